package report

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// Who is sent to the faults is told which: at T-060 it is the row of T-0331 (PLANTED.csv), a number that would stand behind the last one.
func TestFaultsBehindAnOpenCheckAreNamed(t *testing.T) {
	r, jobs := demoJobs(t)
	rows := workRows(r, jobs, nil)
	i := slices.IndexFunc(rows, func(w workRow) bool { return w.structure == "T-060" })
	require.GreaterOrEqual(t, i, 0)
	const named = `see Faults: no-such-structure, assemblies.xlsx!Assemblies!B335, "T-0331"`
	require.Contains(t, rows[i].open, "not assessed: strength, puncture-margin\n"+named)
	require.Contains(t, strings.Join(openOnSheet(r, rows[i].job), "\n"), "since: a structure may be missing beside it, "+named)
	var told bytes.Buffer
	Proposal(&told, r, rows[i].job)
	require.Contains(t, told.String(), named)

	sent := map[audit.Reason]int{}
	for l := range r.Network.Lines {
		for s := r.Network.Lines[l].First; s < r.Network.Lines[l].End; s++ {
			r.Rejudge(l, s, func(check int, at audit.Location, v audit.Verdict) {
				if id := r.Checks[check].ID; v.Outcome == audit.NotAssessed && strings.Contains(v.Reason.String(), "see Faults") && id != "odd-one-out" { // which is of others too
					sent[v.Reason]++
					require.NotEmpty(t, r.FaultsBehind(l, s, v.Reason), "%s at %s", id, r.Network.Number(s))
				}
			})
		}
	}
	require.Positive(t, sent[audit.FaultyField])
	require.Positive(t, sent[audit.StructureMayBeMissing])
	require.Empty(t, r.FaultsBehind(0, 0, audit.PunctureUnknown))
}

// A gap of the sequence is beside the two structures that it parts, and no others.
func TestAGapIsNamedBesideItself(t *testing.T) {
	p := demo(t)
	r := judged(t, p)
	l := slices.IndexFunc(r.Network.Lines, func(line audit.Line) bool { return p.Symbols.Text(line.Symbol) == "DF-220" })
	before := r.Network.Lines[l].First + 10
	for i := before + 1; i < r.Network.Lines[l].End; i++ {
		source := r.Network.Source(i)
		for k := range p.Structures.Len() {
			if p.Structures.At(k).Source == source {
				p.Structures.Row(k).Sequence++
			}
		}
	}
	r = judged(t, p)
	for i := before - 2; i <= before+3; i++ {
		found := r.FaultsBehind(l, i, audit.StructureMayBeMissing)
		if i == before || i == before+1 {
			require.Len(t, found, 1)
			require.Equal(t, audit.SequenceGap, found[0].Kind)
			require.Contains(t, faultsBehind(r, &remedy.Job{Line: l, Structure: i}, audit.StructureMayBeMissing), "sequence-gap, ")
		} else {
			require.Empty(t, found)
		}
	}
}
