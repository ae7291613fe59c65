package report

import (
	"bytes"
	"context"
	"testing"

	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// The job of structure 1/3 of the demo project, of which one phase has 13 units where class c wants 15 (see PLANTED.csv and the
// exception's own sentence), and of one that another duty mends.
func TestProposal(t *testing.T) {
	r := judged(t, demo(t))
	jobs, err := remedy.Search(context.Background(), r, remedy.Options{})
	require.NoError(t, err)
	proposal := func(line, number string) string {
		var text bytes.Buffer
		for i := range jobs {
			if r.Project.Symbols.Text(r.Network.Lines[jobs[i].Line].Symbol) == line && r.Network.Number(jobs[i].Structure) == number {
				Proposal(&text, r, &jobs[i])
			}
		}
		return text.String()
	}
	text := proposal("DF-220", "1/3")
	require.Contains(t, text, "proposed work, from units marked as stocked; whether the structure bears it is an engineer's to decide")
	require.Contains(t, text, "phase Y: 15 × U160BL (more units); conductor hangs 340 mm lower; its swing is held against the limit stated for the shorter string; there now: R,B: 15 × U160BL; Y: 13 × U160BL")
	require.Contains(t, text, "to fit 2 × U160BL; to remove nothing; price of the units 63.00; a string is 2550 mm long")
	require.Contains(t, text, "open: puncture-margin, not assessed")
	require.Contains(t, proposal("SD-132", "T-017"), "circuit 1, tension, phases A,B,C, back and ahead: ")
}

// Of several circuits that nothing serves each is named.
func TestProposalNamesTheCircuitThatNothingServes(t *testing.T) {
	r := judged(t, demo(t))
	for line := range r.Network.Lines {
		circuits := r.Network.Lines[line].Circuits
		var text bytes.Buffer
		job := remedy.Job{Line: line, Structure: r.Network.Lines[line].First, StoppedBy: []remedy.Stop{{Check: -1, Circuit: circuits[len(circuits)-1].Symbol, Sentence: "None."}}}
		Proposal(&text, r, &job)
		want := "\n  nothing serves: None.\n"
		if len(circuits) > 1 {
			want = "\n  circuit " + r.Project.Symbols.Text(circuits[len(circuits)-1].Symbol) + ", nothing serves: None.\n"
		}
		require.Contains(t, text.String(), want)
	}
}
