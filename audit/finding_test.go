package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFindings(t *testing.T) {
	p := &Project{}
	n := &Network{Project: p}
	at := func(structure int, circuit Symbol, phase string, side Side) Location {
		return Location{Structure: structure, To: -1, Assembly: -1, Circuit: circuit, Phase: p.Symbols.Number(phase), Side: side}
	}
	r := &Result{Project: p, Network: n, Exceptions: []Exception{
		{Location: at(1, 1, "C", Ahead), Check: 0, Verdict: Verdict{Sentence: "9 units."}},
		{Location: at(1, 1, "A", Back), Check: 0, Verdict: Verdict{Sentence: "10 units."}},
		{Location: at(1, 1, "A", Back), Check: 1, Verdict: Verdict{Sentence: "Other check."}},
		{Location: at(1, 2, "A", Back), Check: 0, Verdict: Verdict{Sentence: "Other circuit."}},
		{Location: at(2, 1, "A", NoSide), Check: 0, Verdict: Verdict{Sentence: "Other structure."}},
		{Location: at(1, 1, "B", Back), Check: 0, Verdict: Verdict{Severity: Advisory, Sentence: "Milder."}},
		{Location: at(1, 1, "B", NoSide), Check: 1, Verdict: Verdict{Observed: Word("pin"), Sentence: "Other words."}},
		{Location: at(2, 1, "B", NoSide), Check: 0, Verdict: Verdict{Sentence: "Other structure."}},
	}}
	found := r.Findings()
	var exceptions [][]int
	for i := range found {
		exceptions = append(exceptions, found[i].Exceptions)
	}
	require.Equal(t, [][]int{{0, 1}, {2}, {3}, {4, 7}, {5}, {6}}, exceptions)
	require.Equal(t, "A,C", found[0].Phases)
	require.Equal(t, "back and ahead", found[0].Sides)
	require.Equal(t, "9 units. This is the worst of 2.", found[0].Sentence(r))
	require.Equal(t, "A,B", found[3].Phases)
	require.Empty(t, found[3].Sides)
	require.Equal(t, "Other structure.", found[3].Sentence(r))
}
