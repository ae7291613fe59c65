package checks_test

import (
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// A line on which nobody has ever heard of phase C does not meet with A and B, unless the sheet Lines says that these are all.
func TestOverlaysOfAPhaseThatTheRegisterLacks(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(b *base)
		want   string
	}{
		{"two of three", func(*base) {}, "not assessed which phases the circuit has is not known"},
		{"one of three", func(b *base) { b.drop(func(row *audit.AssemblyRow) bool { return b.Symbols.Text(row.Phase) == "B" }) },
			"not assessed which phases the circuit has is not known"},
		{"two stated", func(b *base) { b.Lines[0].Phases = phasesOf(t, "AB") }, "meets"},
		{"a single-phase line", func(b *base) { b.Lines[0].System = audit.SinglePhase }, "meets"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase(t)
			b.Lines[0].Phases = 0
			b.drop(func(row *audit.AssemblyRow) bool { return b.Symbols.Text(row.Phase) == "C" })
			c.change(b)
			require.Equal(t, []string{"3 " + c.want}, at(3, b.told("phase-missing")))
		})
	}
}

// Phase 3 alone may be all three of them.
func TestOverlaysOfAPhaseThatMayBeACount(t *testing.T) {
	const unread = "not assessed a field it needs is faulty, see Faults"
	for _, c := range []struct {
		name   string
		phases map[string]string
		keep   string // phases whose rows stay
		want   string // of phase-missing at 3
		faults int
	}{
		{"three in every row", map[string]string{"A": "3"}, "3", unread, 1},
		{"the phases 1, 2 and 3", map[string]string{"A": "1", "B": "2", "C": "3"}, "123", "meets", 0},
		{"phases 2 and 3 side by side", map[string]string{"A": "2", "B": "3"}, "23", "not assessed which phases the circuit has is not known", 0},
		{"one phase A", nil, "A", "not assessed which phases the circuit has is not known", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase(t)
			b.Lines[0].Phases = 0
			for i := range b.Assemblies.Len() {
				if name := c.phases[b.Symbols.Text(b.Assemblies.At(i).Phase)]; name != "" {
					b.Assemblies.Row(i).Phase, b.Assemblies.Row(i).Phases = b.Symbols.Number(name), phasesOf(t, name)
				}
			}
			b.drop(func(row *audit.AssemblyRow) bool { return !strings.Contains(c.keep, b.Symbols.Text(row.Phase)) })
			require.Equal(t, []string{"3 " + c.want}, at(3, b.told("phase-missing")))
			require.Equal(t, c.faults, b.Faults.Total(), "%v", b.Faults.List())
			if c.faults > 0 {
				require.Contains(t, b.Faults.List()[0].Expected, "it may name a phase or say how many there are")
				require.Equal(t, b.Assemblies.Len(), b.Faults.List()[0].Rows)
			}
		})
	}
}
