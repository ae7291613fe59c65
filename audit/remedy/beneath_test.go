package remedy_test

import (
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// Class f has no figure: 10 × U120B fall short of that of class e, and how many would do nobody knows. So every structure that falls short has a job that
// says so, and what else falls short there is mended all the same: structure 5 turns too far for suspension.
func TestWhatFallsShortOfTheLeastHasAJob(t *testing.T) {
	of := func(class basis.Class) *audit.Project {
		p := sample(t)
		p.Criteria.DefaultClass = class
		for i := 5; i < 7; i++ {
			p.Structures.Row(i).Lat += 0.0015 * float64(i-4)
		}
		return p
	}
	r, jobs := searched(t, of(basis.ClassF))
	require.Len(t, jobs, 7)
	for i := range jobs {
		job := &jobs[i]
		require.NotEmpty(t, job.StoppedBy)
		creepage := 0
		for _, stop := range job.StoppedBy {
			require.True(t, stop.Unjudged, stop.Sentence)
			if r.Checks[stop.Check].ID == "creepage" {
				creepage++
				require.Contains(t, stop.Sentence, "creepage of what would take the place of 10 × U120B cannot be judged: the class has no specific creepage on this basis.")
			}
		}
		require.Positive(t, creepage)
		left := 0
		for _, open := range job.Open {
			if open.Exception >= 0 && r.Checks[open.Check].ID == "creepage" {
				left++
			}
		}
		require.Positive(t, left)
	}
	turns := jobAt(r, jobs, "5")
	require.Len(t, turns.Remedies, 2)
	require.Equal(t, audit.Tension, turns.Remedies[0].To.Duty)

	// Class e has one, so that longer strings serve.
	_, jobs = searched(t, of(basis.ClassE))
	for i := range jobs {
		require.NotEmpty(t, jobs[i].Remedies)
		require.Empty(t, jobs[i].StoppedBy)
	}
}

// A cell that says which assembly it is, is no limit of what may hang.
func TestACellThatCannotBeReadIsNoLimit(t *testing.T) {
	p := sample(t)
	for _, row := range rowsAt(p, "3") {
		row.UnitsPerString = 8
		unreadable(row, audit.CellPhase)
	}
	r, jobs := searched(t, p)
	job := jobAt(r, jobs, "3")
	require.Empty(t, job.Remedies)
	require.Len(t, job.StoppedBy, 1)
	require.True(t, job.StoppedBy[0].Unjudged)
	require.Equal(t, "which assembly it is cannot be read", job.StoppedBy[0].Lacks)
}

// Where it cannot be judged whether sets that would divide a section serve, no limit is known to keep it from being divided.
func TestSectionThatMayBeDivided(t *testing.T) {
	p := sample(t)
	p.Lines[0].SectionLimitKM = 0.7
	p.Criteria.DefaultClass = basis.ClassF
	r, jobs := searched(t, p)
	job := jobAt(r, jobs, "1")
	require.Contains(t, job.StoppedBy[len(job.StoppedBy)-1].Sentence, "The section from 1 to 4 is not divided: at ")
	for _, stop := range job.StoppedBy {
		require.True(t, stop.Unjudged, stop.Sentence)
	}
}
