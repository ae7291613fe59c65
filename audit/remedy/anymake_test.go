package remedy_test

import (
	"math"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A check that nobody asks for says so, or that it does not apply, of whatever hangs in the place of a row, and one that says the same of any
// make-up does.
func TestVerdictsOfAnyMake(t *testing.T) {
	unasked, same := map[string]bool{}, map[string]bool{}
	eachRow(t, func(t *rapid.T, r *audit.Result, site *audit.Site, _ int, row audit.TrialRow) {
		if often(t, "another duty", 30) {
			row.Row.Duty = choose(t, "duty", audit.Suspension, audit.Tension, audit.Jumper, audit.Pin, audit.Post, audit.Shackle)
		}
		hangs, to := site.Assembly(&row), row
		to.Changed, to.Anew, to.Restated, to.Figures = true, true, true, site.Figures(&row)
		to.Row.Makeup = uint32(len(r.Project.Makeups) - 1 - rapid.IntRange(0, len(r.Project.Units)-1).Draw(t, "unit"))
		to.Row.UnitsPerString = int16(rapid.IntRange(1, 60).Draw(t, "units"))
		to.Row.Strings = int16(rapid.IntRange(1, 4).Draw(t, "strings"))
		to.Row.Arrangement = choose(t, "arrangement", audit.Single, audit.Parallel, audit.VSet)
		to.Row.Defective = int16(rapid.IntRange(-1, 3).Draw(t, "defective"))
		if often(t, "nothing stated", 50) {
			to.Figures = to.Figures.OfPlace()
		} else {
			to.Figures.CreepageMM, to.Figures.RatingKN, to.Figures.LengthMM = rapid.Float64Range(1, 20_000).Draw(t, "creepage"), rapid.Float64Range(1, 500).Draw(t, "rating"), math.NaN()
		}
		for _, cell := range [...]audit.Cell{audit.CellUnit, audit.CellUnitsPerString, audit.CellStrings, audit.CellDefective, audit.CellArrangement, audit.CellCreepage, audit.CellRating,
			audit.CellLength, audit.CellArcing, audit.CellTested, audit.CellTestedWet, audit.CellLimits, audit.CellRemarks} {
			if to.Row.Faulty &^= 1 << cell; often(t, "faulty", 10) {
				to.Row.Faulty = to.Row.Faulty.With(cell)
			}
		}
		then := site.Assembly(&to)
		for i, check := range r.Checks {
			if check.Of != audit.OfAssembly {
				continue
			}
			if !site.Asks(i, &hangs) {
				unasked[check.ID] = true
				v := site.Put(i, &then, false)
				require.True(t, v.Outcome == audit.NotApplicable || v.Outcome == audit.NotAssessed && v.Reason.AskedBy() != "", "%s of %s: %s %s", check.ID, then.Hanging(), v.Outcome, v.Reason)
			}
			if check.AnyMake && !hangs.ContradictsUnit() && !then.ContradictsUnit() {
				said := inFull(site, i, &hangs)
				same[check.ID+said[:len("{Outcome:meets")]] = true
				require.Equal(t, said, inFull(site, i, &then), "%s of %s and %s", check.ID, hangs.Hanging(), then.Hanging())
			}
		}
	})
	for _, id := range [...]string{"broken-conductor", "fitting-broken-conductor", "fitting-strength", "swing", "v-set-clearance", "near-worse-zone", "switching-withstand"} {
		require.True(t, unasked[id], id)
	}
	for _, is := range [...]string{"tension-at-terminal{Outcome:meets", "tension-at-deviation{Outcome:falls", "tension-at-uplift{Outcome:not a"} {
		require.True(t, same[is], "%s: %v", is, same)
	}
}
