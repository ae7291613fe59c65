package remedy_test

import (
	"math"
	"slices"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// swinging is the sample in class a with strings whose own wind makes them swing: a light unit of which each has 1 m² in the wind, and
// levels at which every string is judged.
func swinging(t *testing.T, limitDeg float64) *audit.Project {
	p := sample(t)
	loaded(p, 20)
	p.Criteria.DefaultClass = basis.ClassA
	p.Lines[0].LightningKV = 450
	p.Lines[0].SwingLimitDeg = limitDeg
	for u := range p.Units {
		if unit := &p.Units[u]; unit.Name == "U120B" {
			unit.WeightKg, unit.WindAreaM2, unit.Stocked = 4, 1, true
		}
	}
	return p
}

// A string that swings too far for the wind on it loses as few units as serve, before the duty changes; where what is left has too little
// creepage, the duty changes.
func TestStringsThatSwingAreShortenedFirst(t *testing.T) {
	r, jobs := searched(t, swinging(t, 54))
	require.NotEmpty(t, jobs)
	for _, job := range jobs {
		require.Empty(t, job.StoppedBy)
		require.Len(t, job.Remedies, 1)
		x := &job.Remedies[0]
		require.Equal(t, remedy.FewerUnits, x.Move)
		units := x.To.UnitsPerString
		require.Equal(t, remedy.Set{Duty: audit.Suspension, Arrangement: audit.Single, Unit: "U120B", UnitsPerString: units, Strings: 1}, x.To)
		require.Empty(t, x.Fit)
		require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 3 * (10 - units)}}, x.Remove)
		require.Zero(t, x.Sets)

		more := swinging(t, 54)
		for _, row := range rowsAt(more, r.Network.Number(job.Structure)) {
			row.UnitsPerString = int16(units + 1)
		}
		swings := func(e audit.Exception) bool { return e.Structure == job.Structure && r.Checks[e.Check].ID == "swing" }
		require.True(t, slices.ContainsFunc(audited(t, more).Exceptions, swings), "%d units swing too far", units+1)
	}
	_, jobs = searched(t, swinging(t, 44))
	require.NotEmpty(t, jobs)
	require.Equal(t, remedy.OtherDuty, jobs[0].Remedies[0].Move)
}

// Where a check of what a string withstands cannot be judged, nothing is taken away from it.
func TestNothingIsShortenedUnjudged(t *testing.T) {
	p := swinging(t, 54)
	p.Lines[0].LightningKV = math.NaN()
	_, jobs := searched(t, p)
	require.NotEmpty(t, jobs)
	for _, job := range jobs {
		for _, x := range job.Remedies {
			require.NotEqual(t, remedy.FewerUnits, x.Move)
		}
	}
}

// Of strings that are too long no more comes down than what is too long: 11 of 146 mm are 1606 mm.
func TestTooLongLosesNoMoreThanThat(t *testing.T) {
	p := sample(t)
	p.Criteria.DefaultClass = basis.ClassA
	p.Lines[0].LightningKV = 450
	p.Lines[0].LongestStringMM = 1606
	for _, row := range rowsAt(p, "3") {
		row.UnitsPerString = 13
	}
	_, jobs := searched(t, p)
	require.Len(t, jobs, 1)
	require.Len(t, jobs[0].Remedies, 1)
	require.Equal(t, remedy.FewerUnits, jobs[0].Remedies[0].Move)
	require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 6}}, jobs[0].Remedies[0].Remove)
}

// Where strings of one structure differ in length, and some are too long, the one make-up for all is that for which the fewest units are moved:
// 11 of 146 mm are 1606 mm.
func TestTooLongBesideOneThatIsNot(t *testing.T) {
	p := sample(t)
	p.Criteria.DefaultClass = basis.ClassA
	p.Lines[0].LightningKV = 450
	p.Lines[0].LongestStringMM = 1606
	for i, row := range rowsAt(p, "3") {
		row.UnitsPerString = [...]int16{13, 9, 13}[i]
	}
	_, jobs := searched(t, p)
	require.Len(t, jobs, 1)
	require.Len(t, jobs[0].Remedies, 1)
	x := &jobs[0].Remedies[0]
	require.Equal(t, 11, x.To.UnitsPerString, "10 would be 1 to fit and 6 to take away, 9 none to fit and 8")
	require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 2}}, x.Fit)
	require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 4}}, x.Remove)
}

// Jumpers get one string. Where a second one comes down, a longer string in its place is no less change for having more of its units: the
// least number that serves is the least change.
func TestNoMoreUnitsForThoseOfAStringThatComesDown(t *testing.T) {
	p := sample(t)
	loaded(p, 20) // which one string bears
	for _, row := range rowsAt(p, "4") {
		if row.Duty != audit.Jumper {
			continue
		}
		if row.UnitsPerString = 7; row.Phases.String() != "C" {
			row.Strings, row.Arrangement = 2, audit.Parallel
		}
	}
	r, jobs := searched(t, p)
	asks, smaller := remedy.BruteForce(r, remedy.Options{})
	require.Equal(t, 1, asks)
	require.Empty(t, smaller)
	require.Len(t, jobs, 1)
	require.Len(t, jobs[0].Remedies, 1)
	chosen := &jobs[0].Remedies[0]
	require.Equal(t, []any{10, 1}, []any{chosen.To.UnitsPerString, chosen.To.Strings})
	require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 3}}, chosen.Fit)
	require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 2 * 4}}, chosen.Remove)
}
