package report

import (
	"bytes"
	"slices"
	"testing"

	"dryarc/audit"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// Where one phase or side has no row (PLANTED.csv), what hangs on the others is told, and which has nothing.
func TestWhatHangsBesideAGapIsTold(t *testing.T) {
	r, jobs := demoJobs(t)
	rows := workRows(r, jobs, nil)
	for _, c := range []struct{ line, structure, hangs string }{
		{"DF-220", "4/2", "circuit 1, tension: R,Y,B back: 14 × U160BL; R,B ahead: 14 × U160BL; Y ahead: nothing registered"},
		{"SD-132", "T-024", "circuit 2, suspension: A,C: 9 × U70BL; B: nothing registered"},
		{"DP-33", "35", "circuit 1, post: A,C: 1 × LP33-1000; B: nothing registered"},
		{"DF-220", "13/3", "circuit 1, suspension: nothing registered"},
		{"SD-132", "T-031", "circuit 1, tension: A,B,C ahead: 10 × U120B; back: nothing registered"},
		{"SD-132", "T-033", "circuit 1, suspension: B,C: 9 × U70BL; A: nothing registered"},
	} {
		i := slices.IndexFunc(rows, func(w workRow) bool { return w.line == c.line && w.structure == c.structure })
		require.GreaterOrEqual(t, i, 0, c.structure)
		require.Equal(t, c.hangs, rows[i].hangs, c.structure)
		var told bytes.Buffer
		Proposal(&told, r, rows[i].job)
		if len(rows[i].job.Remedies) > 0 {
			require.Contains(t, told.String(), "there now: "+c.hangs[len("circuit 1, "):], c.structure)
		}
	}
	found := 0
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		if r.Network.Number(e.Structure) == "T-031" && r.Checks[e.Check].ID == "side-missing" {
			found++
			require.Equal(t, "tension: A,B,C ahead: 10 × U120B; back: nothing registered", installedOf(r, e), "the earth wire hangs on no phase")
		}
	}
	require.Equal(t, 1, found)
}

// What is mended of a duty and what is missing of it stand in one sentence.
func TestAGapBesideWhatIsMended(t *testing.T) {
	job := remedy.Job{Remedies: []remedy.Remedy{{Circuit: 1, Duty: 1, From: "11 × U70BL", Phases: 3}, {Circuit: 1, Duty: 1, Unregistered: true, Phases: 4}}}
	require.Equal(t, "11 × U70BL; "+audit.Phases(4).String()+": nothing registered", hangsInWords(&job, &job.Remedies[0]))
	job.Remedies[1].Circuit = 2
	require.Equal(t, "11 × U70BL", hangsInWords(&job, &job.Remedies[0]))
}
