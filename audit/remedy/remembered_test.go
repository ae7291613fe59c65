package remedy_test

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// eachTrial draws assemblies on trial at structures of random networks and of the demo project.
func eachTrial(t *testing.T, each func(t *rapid.T, r *audit.Result, site *audit.Site, structure int, row audit.TrialRow)) {
	eachRow(t, func(t *rapid.T, r *audit.Result, site *audit.Site, structure int, row audit.TrialRow) {
		row.Changed = true
		if often(t, "another unit", 80) {
			row.Row.Makeup = uint32(len(r.Project.Makeups) - 1 - rapid.IntRange(0, len(r.Project.Units)-1).Draw(t, "unit"))
		}
		row.Row.UnitsPerString = int16(rapid.IntRange(1, 60).Draw(t, "units"))
		row.Row.Strings = int16(rapid.IntRange(1, 4).Draw(t, "strings"))
		row.Row.Arrangement = choose(t, "arrangement", audit.Single, audit.Parallel, audit.VSet)
		each(t, r, site, structure, row)
	})
}

// Checks that say on what of a structure they rest say the same whatever else is otherwise there.
func TestVerdictsRestOnWhatChecksSayOfTheSite(t *testing.T) {
	judged, mattered := map[string]bool{}, map[string]bool{}
	eachTrial(t, func(t *rapid.T, r *audit.Result, site *audit.Site, structure int, row audit.TrialRow) {
		a := site.Assembly(&row)
		fields := reflect.TypeFor[audit.Structure]().NumField()
		for range 12 {
			doubt, lesser := often(t, "in doubt", 30), choose(t, "or", 0.0, 16, 27.8, 31)
			move := func() {
				if site.MoveTo(structure); doubt {
					site.Structure().Doubt, site.Structure().LesserCreepage = audit.ZonesAroundUnknown, lesser
				}
			}
			move()
			before := *site.Reads()
			said := map[int]string{}
			for i, check := range r.Checks {
				if check.Reads != 0 {
					said[i] = inFull(site, i, &a)
				}
			}
			requireSameOfLinesReadAlike(t, r, site, &a, said, judged)
			move()
			field := rapid.IntRange(0, fields-1).Draw(t, "field")
			if often(t, "what zones ask", 20) {
				is, _ := reflect.TypeFor[audit.Structure]().FieldByName(choose(t, "of them", "Class", "SpecificCreepage", "StatedBase", "Doubt", "LesserCreepage", "GroundM"))
				field = is.Index[0]
			}
			name := scramble(t, reflect.ValueOf(site.Structure()).Elem(), field)
			now := site.Reads()
			for i, check := range r.Checks {
				if check.Reads == 0 {
					continue
				}
				other := inFull(site, i, &a)
				if !now.As(&before, check.Reads) {
					mattered[check.ID] = mattered[check.ID] || other != said[i]
					continue
				}
				judged[check.ID] = true
				require.Equal(t, said[i], other, "%s, %s at %s", check.ID, name, a.Hanging())
			}
		}
	})
	for _, id := range [...]string{"creepage", "string-too-long", "tension-fewer-units"} {
		require.True(t, mattered[id], id)
	}
	for _, id := range [...]string{"creepage", "lightning-withstand", "units-for-voltage", "mixed-units", "another line", "a line that is read alike"} {
		require.True(t, judged[id], id)
	}
}

// requireSameOfLinesReadAlike changes the line, and requires that checks that say on what they rest say the same where the line is read alike.
func requireSameOfLinesReadAlike(t *rapid.T, r *audit.Result, site *audit.Site, a *audit.Assembly, said map[int]string, judged map[string]bool) {
	line := site.Line()
	was, reads := *line, site.LineReads()
	defer func() { *line = was }()
	switch rapid.IntRange(0, 10).Draw(t, "of the line") {
	case 0, 1, 2, 3, 4:
		of := reflect.ValueOf(line).Elem()
		i := rapid.IntRange(0, of.NumField()-1).Draw(t, "field of the line")
		if !of.Field(i).CanSet() {
			return
		}
		scramble(t, of, i)
	case 5, 6, 7:
		scramble(t, reflect.ValueOf(&line.Row).Elem(), rapid.IntRange(0, reflect.TypeFor[audit.LineRow]().NumField()-1).Draw(t, "field of its row"))
	case 8:
		line.Circuits = nil
	case 9:
		line.Row.Set = &audit.SetColumns{Scenario: "x", Columns: map[string]bool{"Highest voltage": true, "Lightning level": true}}
	case 10:
		line.Usual = slices.Clone(line.Usual)
		for i := range line.Usual {
			line.Usual[i].Strings = rapid.IntRange(1, 5).Draw(t, "usual strings")
		}
	}
	if site.LineReads() != reads {
		judged["another line"] = true
		return
	}
	for i := range said {
		judged["a line that is read alike"] = true
		require.Equal(t, said[i], inFull(site, i, a), "%s at %s", r.Checks[i].ID, a.Hanging())
	}
}

// How a string compares with those around it is told to no check but those that say so.
func TestVerdictsRestOnOddnessWhereChecksSaySo(t *testing.T) {
	mattered := map[string]bool{}
	eachTrial(t, func(t *rapid.T, r *audit.Result, site *audit.Site, _ int, row audit.TrialRow) {
		a := site.Assembly(&row)
		for i, check := range r.Checks {
			if check.Of != audit.OfAssembly {
				continue
			}
			a.Odd = audit.NotCompared
			said := inFull(site, i, &a)
			for a.Odd = audit.LikeTheRest; a.Odd <= audit.OddUnsure; a.Odd++ {
				if other := inFull(site, i, &a); check.Compares {
					mattered[check.ID] = mattered[check.ID] || other != said
				} else {
					require.Equal(t, said, other, check.ID)
				}
			}
		}
	})
	require.Equal(t, map[string]bool{"odd-one-out": true}, mattered)
}

// inFull is what a check says of an assembly, but for its sentence.
func inFull(site *audit.Site, check int, a *audit.Assembly) string {
	v := site.Put(check, a, false)
	v.Sentence = ""
	return fmt.Sprintf("%+v", v)
}

// scramble changes a field, of one that has fields itself one of those, and returns its name.
func scramble(t *rapid.T, of reflect.Value, i int) string {
	name, field := of.Type().Field(i).Name, of.Field(i)
	switch field.Kind() {
	case reflect.Struct:
		if field.NumField() > 0 && field.Field(0).CanSet() {
			return name + "." + scramble(t, field, rapid.IntRange(0, field.NumField()-1).Draw(t, "part"))
		}
	case reflect.Float64, reflect.Float32:
		field.SetFloat(choose(t, "figure", math.NaN(), 0, -40, 12, 350, 1500, 3000))
	case reflect.Bool:
		field.SetBool(!field.Bool())
	case reflect.String:
		field.SetString("x")
	default:
		switch n := rapid.IntRange(0, 6).Draw(t, "number"); {
		case field.CanInt():
			field.SetInt(int64(n))
		case field.CanUint():
			field.SetUint(uint64(n))
		default:
			field.SetZero()
		}
	}
	return name
}

// A check that says so lets strings pass between two numbers of units that it lets pass.
func TestWhatMeetsAtBothEndsMeetsBetween(t *testing.T) {
	told := 0
	eachTrial(t, func(t *rapid.T, r *audit.Result, site *audit.Site, _ int, row audit.TrialRow) {
		low := rapid.IntRange(2, 58).Draw(t, "low")
		high := rapid.IntRange(low+2, 60).Draw(t, "high")
		of := func(units int) *audit.Assembly {
			row.Row.UnitsPerString = int16(units)
			a := site.Assembly(&row)
			return &a
		}
		for i, check := range r.Checks {
			if !check.Between {
				continue
			}
			meets := func(units int, clear float64) bool {
				v := site.Put(i, of(units), false)
				return v.Outcome == audit.Meets && v.Margin > clear
			}
			if meets(low, 1e-6) && meets(high, 1e-6) {
				told++
				require.True(t, meets(rapid.IntRange(low+1, high-1).Draw(t, "between"), -1e-9), "%s, %s", check.ID, of(low).Hanging())
			}
		}
	})
	require.Greater(t, told, 100)
}

// A check that says so does not fall short of a string that weighs and is rated between others that it lets pass.
func TestWhatBearsMoreAndLessBearsBetween(t *testing.T) {
	told := map[string]int{}
	eachTrial(t, func(t *rapid.T, r *audit.Result, site *audit.Site, structure int, row audit.TrialRow) {
		c := site.Criteria()
		was := c.BrokenConductor
		defer func() { c.BrokenConductor = was }()
		share, factor := choose(t, "share", 0.3, 0.7), choose(t, "factor", 1.1, 1.8)
		c.BrokenConductor = audit.BrokenConductor{Share: audit.ByDuty{Suspension: share}, Factor: audit.ByDuty{Suspension: factor}, Basis: "a test"}
		if len(c.LoadCases) > 0 {
			c.BrokenConductor.Case = c.LoadCases[0].Name
		}
		site.MoveTo(structure)
		row.Row.Arrangement, row.Row.Defective, row.Restated = choose(t, "arrangement", audit.Single, audit.Parallel), 0, true
		row.Row.Duty = choose(t, "duty", audit.Suspension, audit.Tension)
		stated := site.Figures(&row)
		of := stated.OfPlace()
		of.SlipKN = choose(t, "slip", 5.0, 30)
		for u := range r.Project.Units {
			r.Project.Units[u].WeightKg = choose(t, "weight", math.NaN(), 2, 6, 40, 200)
		}
		type load struct{ weight, rating float64 }
		another := func() (a audit.Assembly, l load) {
			u := rapid.IntRange(0, len(r.Project.Units)-1).Draw(t, "unit")
			row.Row.Makeup, row.Row.UnitsPerString = uint32(len(r.Project.Makeups)-len(r.Project.Units)+u), int16(rapid.IntRange(1, 60).Draw(t, "units"))
			row.Figures = of
			if often(t, "of the whole string", 30) {
				row.Figures.CreepageMM, row.Figures.LengthMM, row.Figures.ArcingMM, row.Figures.LightningKV = 3000, 2000, 1500, 900
			}
			a = site.Assembly(&row)
			return a, load{a.StringWeightN(), r.Project.Units[u].RatingKN}
		}
		lighter, x := another()
		heavier, y := another()
		between, z := another()
		if min(x.weight, y.weight) > z.weight || max(x.weight, y.weight) < z.weight || !(max(x.rating, y.rating) <= z.rating) {
			return
		}
		for i, check := range r.Checks {
			if !check.ByLoad {
				continue
			}
			require.True(t, check.Strings)
			passes := func(a *audit.Assembly) bool {
				v := site.Put(i, a, false)
				return v.Outcome == audit.NotApplicable || v.Outcome == audit.Meets && v.Margin > 1e-6
			}
			if passes(&lighter) && passes(&heavier) {
				v := site.Put(i, &between, false)
				require.NotEqual(t, audit.FallsShort, v.Outcome, "%s, %s, %s and %s", check.ID, between.Hanging(), lighter.Hanging(), heavier.Hanging())
				if v.Outcome == audit.Meets {
					told[check.ID]++
				}
			}
		}
	})
	for _, id := range [...]string{"strength", "strength-one-string-broken", "broken-conductor"} {
		require.Greater(t, told[id], 20, "%s: %v", id, told)
	}
}

// A search that remembers finds what one does that asks everything of every structure.
func TestRememberedIsWhatIsFoundAnew(t *testing.T) {
	same := func(t require.TestingT, p *audit.Project, o remedy.Options) (jobs int) {
		r := audited(t, p)
		remembered, err := remedy.Search(context.Background(), r, o)
		require.NoError(t, err)
		anew, err := remedy.SearchAnew(context.Background(), r, o)
		require.NoError(t, err)
		require.Len(t, remembered, len(anew))
		for i := range anew {
			require.Equal(t, fmt.Sprintf("%+v", anew[i]), fmt.Sprintf("%+v", remembered[i]))
		}
		return len(anew)
	}
	found, states := 0, 0
	for k, o := range []remedy.Options{{}, {Buy: true}, {Advisories: true}, {Buy: true}} {
		p := readProject(t, filepath.Join("..", "..", "testdata", "demo", "audit.yaml"))
		for i := range p.Assemblies.Len() {
			if row := p.Assemblies.Row(i); row.UnitsPerString > 3 {
				row.UnitsPerString -= 3
			}
		}
		for i := range p.Lines {
			if row := &p.Lines[i]; k > 0 && row.NominalKV > 60 {
				row.HighestKV, row.LongestStringMM, row.LightningKV = 245, 2600, 950
			}
		}
		if k == 3 {
			p.Criteria.AltitudeBasis = basis.SeaLevel
		}
		found += same(t, p, o)
		tried, forgotten := remedy.NotBornOut(audited(t, p), o)
		require.Empty(t, forgotten)
		states += tried
	}
	require.Greater(t, found, 100)
	require.Greater(t, states, 100)
	rapid.Check(t, func(t *rapid.T) {
		p := randomProject(t)
		if often(t, "a longest string", 50) {
			for i := range p.Lines {
				p.Lines[i].LongestStringMM = choose(t, "longest", 1200.0, 1800, 2600)
			}
		}
		same(t, p, remedy.Options{Buy: often(t, "bought", 60), Advisories: often(t, "advisories", 30)})
	})
}
