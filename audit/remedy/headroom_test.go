package remedy_test

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"sync"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"
	"dryarc/audit/headroom"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// These tests stand here for the random networks.

// driven is a project with a quantity of one line put to a value in its rows and criteria, as its files would state it.
func driven(p *audit.Project, line audit.Symbol, d audit.Drive, value float64) *audit.Project {
	p = p.Clone()
	p.Lines = slices.Clone(p.Lines)
	var kept audit.StructureRows
	for _, row := range p.Structures.All() {
		kept.Append(row)
	}
	p.Structures = kept
	for i := range p.Lines {
		row := &p.Lines[i]
		if row.Line != line {
			continue
		}
		switch d.Quantity {
		case audit.DriveVoltage:
			was := row.HighestKV
			if um, ok := basis.IEC60038.Highest(row.NominalKV); math.IsNaN(was) && ok {
				was = um
			}
			row.NominalKV, row.CreepageKV, row.HighestKV = row.NominalKV*value/was, row.CreepageKV*value/was, value
		case audit.DriveLightningLevel: // with a highest voltage that has such levels
			row.LightningKV, row.SwitchingKV, row.NominalKV = value, math.NaN(), math.NaN()
			for _, um := range append(append([]float64{2}, basis.LevelledUm()...), 2000) {
				if low, high := basis.PlausibleLightningLevels(um); low <= value && value <= high {
					row.HighestKV = um
				}
			}
		case audit.DriveSwitchingLevel:
			row.SwitchingKV, row.LightningKV, row.NominalKV = value, math.NaN(), math.NaN()
			for _, um := range append(append([]float64{250}, basis.LevelledUm()...), 2000) {
				if low, high := basis.PlausibleSwitchingLevels(um); basis.IsRangeTwo(um) && low <= value && value <= high {
					row.HighestKV = um
				}
			}
		case audit.DriveMaximumTension:
			row.MaximumTensionKN = value
		}
	}
	criteria := &p.Criteria
	p.Rules = slices.Clone(p.Rules)
	for i := range p.Rules {
		if rules := &p.Rules[i]; slices.Contains(rules.Lines, line) {
			if criteria = &rules.Criteria; d.Quantity == audit.DriveSpecificCreepage {
				rules.Classes, rules.Zones, rules.ZonesGiven = nil, nil, true
			}
		}
	}
	switch d.Quantity {
	case audit.DriveSpecificCreepage:
		if criteria == &p.Criteria {
			p.Zones = nil
		}
		criteria.DefaultClass = basis.ClassA
		criteria.OwnSpecificCreepage.Base = criteria.CreepageBasis.Base()
		criteria.OwnSpecificCreepage.MMPerKV[basis.ClassA] = value
	case audit.DriveWind:
		criteria.LoadCases = slices.Clone(criteria.LoadCases)
		criteria.LoadCases[d.Case].WindPa = value
	case audit.DriveAltitude:
		for i := range p.Structures.Len() {
			if p.Structures.At(i).Line == line {
				p.Structures.Row(i).GroundM += value
			}
		}
	}
	return p
}

// putTo is an assembly, and the check that is put to it.
type putTo struct{ check, assembly int }

// verdicts audits a project by the checks that a quantity drives, and keeps what they say of one line. What rows say is believed as far
// as it is today: a figure that the quantity rises to by itself, past a tested voltage or what class e asks for, says nothing of the rows.
func verdicts(t require.TestingT, p *audit.Project, today *audit.Project, line int, q audit.Quantity) map[putTo]audit.Verdict {
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	p.Assemblies, p.Direct = today.Assemblies.Clone(), slices.Clone(today.Direct)
	require.NoError(t, audit.Derive(context.Background(), n, 2))
	all := checks.All()
	var some []*audit.Check
	var which []int
	for i, c := range all {
		if slices.Contains(c.Drives, q) {
			some, which = append(some, c), append(which, i)
		}
	}
	var alone sync.Mutex
	found := map[putTo]audit.Verdict{}
	_, err = audit.Assess(context.Background(), n, some, audit.Options{Workers: 2, Each: func(check int, at audit.Location, v audit.Verdict) {
		if at.Line == line {
			alone.Lock()
			found[putTo{which[check], at.Assembly}] = v
			alone.Unlock()
		}
	}})
	require.NoError(t, err)
	return found
}

// tallyOfHeadroom counts what was looked at, so that a test knows that it was no idle one.
type tallyOfHeadroom struct{ curves, limits, byFigures, closedIn, points, steps int }

// requireHeadroom holds the curves of a project against audits of projects that state the quantity otherwise.
func requireHeadroom(t require.TestingT, random *rand.Rand, fresh func() *audit.Project, seen *tallyOfHeadroom) {
	r := audited(t, fresh())
	curves, err := headroom.Of(context.Background(), r, 2)
	require.NoError(t, err)
	requireGroups(t, random, r, fresh, curves, seen)
}

// requireGroups does so for curves of a result, line by line and quantity by quantity.
func requireGroups(t require.TestingT, random *rand.Rand, r *audit.Result, fresh func() *audit.Project, curves []headroom.Curve, seen *tallyOfHeadroom) {
	for len(curves) > 0 {
		of := curves[0]
		var group, rest []headroom.Curve
		for _, c := range curves {
			if c.Line == of.Line && c.Drive == of.Drive {
				group = append(group, c)
			} else {
				rest = append(rest, c)
			}
		}
		curves = rest
		requireCurves(t, random, r, fresh, group, seen)
	}
}

// requireCurves does so for the curves of one line and one quantity.
func requireCurves(t require.TestingT, random *rand.Rand, r *audit.Result, fresh func() *audit.Project, curves []headroom.Curve, seen *tallyOfHeadroom) {
	of := &curves[0]
	line := r.Network.Lines[of.Line].Symbol
	at := func(value float64) map[putTo]audit.Verdict {
		return verdicts(t, driven(fresh(), line, of.Drive, value), r.Project, of.Line, of.Drive.Quantity)
	}
	first := math.NaN()
	for _, c := range curves {
		if !math.IsNaN(c.NowLow) {
			first = c.NowLow
		}
	}
	if of.Drive.Quantity == audit.DriveSpecificCreepage {
		first, _ = basis.SpecificCreepage(r.Network.Criteria(of.Line).CreepageBasis, basis.ClassC)
	}
	if math.IsNaN(first) {
		for _, c := range curves {
			require.Zero(t, c.Counted)
		}
		return
	}
	base := at(first)
	share := func(c *headroom.Curve, then map[putTo]audit.Verdict) float64 {
		meet, counted := 0, 0
		for where, v := range base {
			if where.check != c.Check || r.Project.Assemblies.Row(where.assembly).Duty != c.Duty || v.Outcome > audit.FallsShort {
				continue
			}
			counted++
			if then[where].Outcome == audit.Meets {
				meet++
			}
		}
		require.Equal(t, c.Counted, counted)
		return float64(meet) / float64(counted)
	}
	low, high := math.Inf(1), 0.0
	for i := range curves {
		c := &curves[i]
		notAssessed := 0
		for where, v := range base {
			if where.check == c.Check && r.Project.Assemblies.Row(where.assembly).Duty == c.Duty && v.Outcome == audit.NotAssessed && v.Reason.AskedBy() == "" {
				notAssessed++
			}
		}
		require.Equal(t, c.NotAssessed, notAssessed)
		require.Equal(t, c.Counted, c.Already+c.Endless+c.ByFigures+c.ClosedIn)
		seen.curves, seen.limits, seen.byFigures, seen.closedIn = seen.curves+1, seen.limits+c.Counted, seen.byFigures+c.ByFigures, seen.closedIn+c.ClosedIn
		for k, s := range c.Steps {
			low, high = min(low, s.Value), max(high, s.Value)
			if k > 0 && random.IntN(8) > 0 {
				continue
			}
			seen.steps++
			before, after := share(c, at(s.Value)), share(c, at(min(s.Value*1.001, c.To)))
			require.InDelta(t, c.Share(s.Value), before, 1e-12, "%s %s at %g: %+v", r.Checks[c.Check].ID, c.Drive.Quantity, s.Value, c)
			if s.Value*1.001 <= c.To {
				require.Less(t, after, before, "%s %s above %g: %+v", r.Checks[c.Check].ID, c.Drive.Quantity, s.Value, c)
			}
			if k == 0 && c.Already == 0 {
				require.Equal(t, s.Value, c.Until(0))
				require.Equal(t, 1.0, before)
			}
		}
	}
	if high == 0 {
		return
	}
	for range 50 {
		value := 0.8*low + random.Float64()*(1.2*high-0.8*low)
		value = min(max(value, of.From), of.To)
		then := at(value)
		for i := range curves {
			if c := &curves[i]; c.Counted > 0 {
				seen.points++
				require.InDelta(t, c.Share(value), share(c, then), 1e-12, "%s %s at %g: %+v", r.Checks[c.Check].ID, c.Drive.Quantity, value, c)
			}
		}
	}
}

// On random networks the curves say what audits of networks say that state the quantity otherwise: at 50 points, at the value of the first
// step and others, and 0.1 % above these. All networks that rapid draws are looked at where DRYARC_HARD=1, else an eighth. What is looked
// at is drawn too, so that a network that fails fails again.
func TestHeadroomOfRandomNetworks(t *testing.T) {
	hard := os.Getenv("DRYARC_HARD") != ""
	networks, seen := 0, tallyOfHeadroom{}
	rapid.Check(t, func(t *rapid.T) {
		p := randomProject(t)
		at := rapid.Uint64().Draw(t, "points")
		if passed := rapid.SliceOfN(rapid.Bool(), 3, 3).Draw(t, "passed over"); slices.Contains(passed, true) && !hard {
			return
		}
		networks++
		requireHeadroom(t, rand.New(rand.NewPCG(1, at)), p.Clone, &seen)
	})
	t.Logf("%d networks: %+v", networks, seen)
	require.Positive(t, seen.byFigures)
	require.Positive(t, seen.closedIn)
	require.Greater(t, seen.points, 1000)
}

// A level that rises past the voltage to which every string was tested is no level that was copied: the strings meet up to it. Files that
// state that level are believed less: there it is, on every row (computed with the sample's strings at 100 m, rated for 1000 m).
func TestHeadroomBelievesWhatIsBelievedToday(t *testing.T) {
	const testedKV = 680
	p := sample(t)
	p.Lines[0].LightningKV = 550
	for i := range p.Assemblies.Len() {
		states(p, p.Assemblies.Row(i), func(d *audit.DirectValues) { d.LightningKV = testedKV })
	}
	var seen tallyOfHeadroom
	requireHeadroom(t, rand.New(rand.NewPCG(1, 2)), p.Clone, &seen)
	curves, err := headroom.Of(context.Background(), audited(t, p.Clone()), 1)
	require.NoError(t, err)
	limits := 0
	for _, c := range curves {
		if c.Drive.Quantity == audit.DriveLightningLevel {
			require.Equal(t, testedKV, int(math.Round(c.Until(0))), "%+v", c)
			limits += c.Counted
		}
	}
	require.Equal(t, p.Assemblies.Len(), limits)
	p.Lines[0].LightningKV = testedKV
	level := slices.IndexFunc(checks.All(), func(c *audit.Check) bool { return c.ID == "lightning-withstand" })
	for _, v := range audited(t, p).Exceptions {
		require.NotEqual(t, level, v.Check)
	}
	require.Equal(t, 1, p.Faults.Total(), "a level that is stated so is doubted")
}

func TestHeadroomOfTheDemo(t *testing.T) {
	p := readProject(t, "../../testdata/demo/audit.yaml")
	var seen tallyOfHeadroom
	requireHeadroom(t, rand.New(rand.NewPCG(1, 2)), p.Clone, &seen)
	t.Logf("%+v", seen)
	require.Positive(t, seen.steps)
}

// V sets meet up to the wind and the tension at which a slack leg lets the conductor nearer to the wall or the crossarm than the clearance, or, with a wall on
// the inside of a turn, at which the turn does.
func TestHeadroomOfVSets(t *testing.T) {
	for name, change := range map[string]func(p *audit.Project){
		"walls on both sides": func(*audit.Project) {},
		"a leaning wall":      func(p *audit.Project) { p.Lines[0].Room.WallLean, p.Lines[0].Room.BracketMM = 0.1, 200 },
		"a wall on the right": func(p *audit.Project) { p.Lines[0].Room.WallSide = audit.WallRight },
		"a wall on the left":  func(p *audit.Project) { p.Lines[0].Room.WallSide = audit.WallLeft },
		"a low crossarm":      func(p *audit.Project) { p.Lines[0].Room.ClearanceMM, p.Lines[0].Room.WallDistanceMM = 900, 5000 },
		"still air too": func(p *audit.Project) {
			p.Criteria.LoadCases = append(p.Criteria.LoadCases, audit.LoadCase{Name: "still air", From: audit.MaximumTension, Factor: 1})
			p.Lines[0].Room.ClearancesMM = []audit.CaseFigure{{Case: "still air", Value: 700}}
		},
	} {
		p := besideAWall(t, 800)
		p.Lines[0].Room.WallSide = audit.WallsOnBothSides
		p.Criteria.LoadCases[0].WindPa = 60
		for i := range p.Assemblies.Len() {
			if row := p.Assemblies.Row(i); row.Duty == audit.Suspension {
				row.Strings, row.Arrangement, row.VAngleDeg = 2, audit.VSet, []float32{30, 60, 90, 110}[i%4]
			}
		}
		change(p)
		var seen tallyOfHeadroom
		requireHeadroom(t, rand.New(rand.NewPCG(1, 2)), p.Clone, &seen)
		require.Positive(t, seen.steps, name)
		curves, err := headroom.Of(context.Background(), audited(t, p.Clone()), 1)
		require.NoError(t, err)
		limits := map[audit.Quantity]int{}
		for _, c := range curves {
			if checks.All()[c.Check].ID == "v-set-clearance" {
				limits[c.Drive.Quantity] += c.ByFigures + c.ClosedIn
			}
		}
		require.Positive(t, limits[audit.DriveWind], name)
	}
}

// In a scenario quantities rise from what it says: the curves of its lines are held against audits of the scenario with the quantity stated
// otherwise.
func TestHeadroomOfScenarios(t *testing.T) {
	pristine := readProject(t, "../../testdata/demo/audit.yaml").Pristine()
	require.Len(t, pristine.Scenarios, 2)
	other := pristine.Scenarios[0]
	other.Name, other.Rules = "the salt belt by other criteria too", slices.Clone(other.Rules)
	require.Equal(t, other.Lines, other.Rules[0].Lines)
	criteria := &other.Rules[0].Criteria
	criteria.AltitudeBasis, criteria.CreepageBasis, criteria.LoadCases = basis.SeaLevel, basis.Levels1986, slices.Clone(criteria.LoadCases)
	for i := range criteria.LoadCases {
		criteria.LoadCases[i].WindPa *= 1.5
	}
	pristine.Scenarios = append(pristine.Scenarios, other)
	for i := range pristine.Scenarios {
		scenario := &pristine.Scenarios[i]
		t.Run(scenario.Name, func(t *testing.T) {
			fresh := func() *audit.Project { return pristine.Under(scenario) }
			r := audited(t, fresh())
			curves, err := headroom.OfLines(context.Background(), r, func(line int) bool { return slices.Contains(scenario.Lines, r.Network.Lines[line].Symbol) }, 2)
			require.NoError(t, err)
			var seen tallyOfHeadroom
			requireGroups(t, rand.New(rand.NewPCG(1, 2)), r, fresh, curves, &seen)
			t.Logf("%+v", seen)
			require.Positive(t, seen.steps)
			require.Positive(t, seen.points)
			for _, c := range curves {
				require.Contains(t, scenario.Lines, r.Network.Lines[c.Line].Symbol)
			}
		})
	}
}
