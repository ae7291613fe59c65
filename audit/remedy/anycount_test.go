package remedy_test

import (
	"fmt"
	"math"
	"path/filepath"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What a check is said to say of any number of units it says of each, whatever is stated of the whole string, and of every unit.
func TestVerdictsOfAnyCount(t *testing.T) {
	told := map[string]bool{}
	eachRow(t, func(t *rapid.T, r *audit.Result, site *audit.Site, _ int, row audit.TrialRow) {
		requireSameOfAnyCount(t, r, site, row, told)
	})
	for _, id := range [...]string{"tension-at-deviation", "double-at-crossing", "mixed-units", "pin-voltage", "puncture-margin", "swing", "switching-withstand"} {
		require.True(t, told[id], id)
	}
}

// eachRow draws rows at the structures of lines of random networks and of the demo project, in which each unit is known.
func eachRow(t *testing.T, each func(t *rapid.T, r *audit.Result, site *audit.Site, structure int, row audit.TrialRow)) {
	demo := readProject(t, filepath.Join("..", "..", "testdata", "demo", "audit.yaml"))
	demo.Makeups = withEachUnit(demo)
	demo.Criteria.CreepageAltitudeExponent = audit.Stated(0.5)
	r := audited(t, demo)
	rapid.Check(t, func(t *rapid.T) {
		r := r
		if often(t, "a random network", 50) {
			p := randomProject(t)
			p.Makeups = withEachUnit(p)
			r = audited(t, p)
		}
		line := rapid.IntRange(0, len(r.Network.Lines)-1).Draw(t, "line")
		site := r.Network.NewSite(line, r.Checks, "a test")
		for i := r.Network.Lines[line].First; i < r.Network.Lines[line].End; i++ {
			site.MoveTo(i)
			rows := site.Rows()
			if len(rows) == 0 {
				continue
			}
			row := rows[rapid.IntRange(0, len(rows)-1).Draw(t, "row")]
			each(t, r, site, i, row)
		}
	})
}

// withEachUnit are the makeups of a project and one of each unit alone.
func withEachUnit(p *audit.Project) []audit.Makeup {
	makeups := p.Makeups
	if len(makeups) == 0 {
		makeups = []audit.Makeup{{}}
	}
	for u := range p.Units {
		makeups = append(makeups, audit.Makeup{Text: p.Units[u].Name, Parts: []audit.Part{{Unit: u}}})
	}
	return makeups
}

func requireSameOfAnyCount(t *rapid.T, r *audit.Result, site *audit.Site, row audit.TrialRow, told map[string]bool) {
	row.Changed, row.Restated = true, true
	row.Row.Makeup = uint32(len(r.Project.Makeups) - 1 - rapid.IntRange(0, len(r.Project.Units)-1).Draw(t, "unit"))
	row.Row.Strings = int16(rapid.IntRange(1, 4).Draw(t, "strings"))
	row.Row.Arrangement = choose(t, "arrangement", audit.Single, audit.Parallel, audit.VSet)
	if often(t, "another duty", 30) {
		row.Row.Duty = choose(t, "duty", audit.Suspension, audit.Tension, audit.Jumper, audit.Pin, audit.Post, audit.Shackle)
	}
	another := func(label string) audit.Assembly {
		row.Row.UnitsPerString = int16(rapid.IntRange(2, 60).Draw(t, label))
		figure := func(what string) float64 {
			if often(t, what, 70) {
				return math.NaN()
			}
			return rapid.Float64Range(1, 20_000).Draw(t, what)
		}
		row.Figures = audit.DirectValues{CreepageMM: figure("creepage"), RatingKN: figure("rating"), LengthMM: figure("length"), ArcingMM: figure("arcing"), WetSwitchingKV: figure("wet switching"),
			LightningKV: figure("lightning"), SwitchingKV: figure("switching"), WetKV: figure("wet")}
		for _, cell := range [...]audit.Cell{audit.CellCreepage, audit.CellRating, audit.CellLength, audit.CellArcing, audit.CellTested} {
			if row.Row.Faulty &^= 1 << cell; often(t, "faulty", 10) {
				row.Row.Faulty = row.Row.Faulty.With(cell)
			}
		}
		return site.Assembly(&row)
	}
	first := another("units")
	second := another("other units")
	for check := range r.Checks {
		if r.Checks[check].Of != audit.OfAssembly {
			continue
		}
		v, anyCount := site.PutCount(check, &first)
		if !anyCount {
			continue
		}
		told[r.Checks[check].ID] = true
		other := site.Put(check, &second, false)
		v.Sentence, other.Sentence = "", "" // which nobody reads
		require.Equal(t, fmt.Sprintf("%+v", v), fmt.Sprintf("%+v", other), "%s, %s and %s", r.Checks[check].ID, first.Hanging(), second.Hanging())
	}
}
