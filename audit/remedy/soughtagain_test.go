package remedy_test

import (
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// allTooLong is the sample in class b, where every string of 10 of 146 mm is longer than the line allows, and 9 would do.
func allTooLong(t *testing.T) *audit.Project {
	p := sample(t)
	p.Criteria.DefaultClass, p.Lines[0].LightningKV, p.Lines[0].LongestStringMM = basis.ClassB, 650, 1400
	return p
}

// Tension strings are compared with suspension strings, which get shorter too: 9 everywhere meet all that 10 did.
func TestWhatNeighboursStopIsSoughtBesideTheirWork(t *testing.T) {
	p := allTooLong(t)
	r, jobs := searched(t, p)
	require.Len(t, jobs, 7)
	for i := range jobs {
		job := &jobs[i]
		require.Empty(t, job.StoppedBy)
		require.NotEmpty(t, job.Remedies)
		for _, x := range job.Remedies {
			require.Equal(t, remedy.FewerUnits, x.Move)
			require.Equal(t, 9, x.To.UnitsPerString)
		}
		switch number := r.Network.Number(job.Structure); number {
		case "1", "4", "7":
			require.Subset(t, job.Needs, []int{1, 2, 4, 5}, number)
			require.Contains(t, remedy.NeedsInWords(r, job), "only together with the work at 2, 3, 5, 6")
		default:
			require.Subset(t, job.NeededBy, []int{0, 3, 6}, number)
			require.Equal(t, "to be done before the work at 1, 4, 7, which does not serve without it", remedy.NeededByInWords(r, job))
		}
	}
	require.Empty(t, audited(t, remedy.Apply(p, jobs)).Exceptions)
}

// Where the suspension strings stay as they are, tension strings that have to be shorter are, and what is common practice is told as an advisory.
func TestWhatNeighboursAskForStopsNoShorterStrings(t *testing.T) {
	p := allTooLong(t)
	for _, number := range [...]string{"2", "3", "5", "6"} {
		for _, row := range rowsAt(p, number) {
			unreadable(row, audit.CellPhase)
		}
	}
	r, jobs := searched(t, p)
	require.NotEmpty(t, jobs)
	for i := range jobs {
		job := &jobs[i]
		switch number := r.Network.Number(job.Structure); number {
		case "1", "4", "7":
			require.Empty(t, job.StoppedBy, number)
			require.Contains(t, openChecks(r, job), "tension-fewer-units", number)
			require.Contains(t, job.Trace[len(job.Trace)-1], "The work brings this advisory: The tension string 9 × U120B", number)
		default:
			require.NotEmpty(t, job.StoppedBy, number)
			require.Empty(t, job.Remedies, number)
		}
	}
}
