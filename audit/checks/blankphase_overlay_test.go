package checks_test

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// A blank phase is all of the circuit, but not beside rows of the same duty and side that name phases: then it is not known, each
// row is judged, and no phase counts as there for it.
func TestOverlaysOfABlankPhase(t *testing.T) {
	const unknown = `missing-value phase is blank, though row 9 names phases of circuit 1 here: which phases this row is of is not known; it is judged, phase-missing is not assessed`
	blank := func(row *audit.AssemblyRow) { row.Phase, row.Phases = 0, audit.EveryPhase }
	for _, c := range []struct {
		name    string
		change  func(b *base)
		missing []string // phase-missing at 3
		judged  int      // assemblies at 3 whose creepage is judged
		faults  []string
	}{
		{"beside two phases named", func(b *base) { blank(b.rows(3)[0]) }, []string{"3 not assessed a field it needs is faulty, see Faults"}, 3, []string{unknown}},
		{"beside one phase named, one missing", func(b *base) {
			blank(b.rows(3)[0])
			gone := b.rows(3)[2].Source
			b.drop(func(row *audit.AssemblyRow) bool { return row.Source == gone })
		}, []string{"3 not assessed a field it needs is faulty, see Faults"}, 2, []string{unknown}},
		{"alone", func(b *base) {
			blank(b.rows(3)[0])
			first, second := b.rows(3)[1].Source, b.rows(3)[2].Source
			b.drop(func(row *audit.AssemblyRow) bool { return row.Source == first || row.Source == second })
		}, []string{"3 meets"}, 1, nil},
		{"beside phases of another duty", func(b *base) {
			b.assembly(3, "A", audit.Post, audit.NoSide)
			blank(b.rows(3)[3])
		}, []string{"3 meets"}, 4, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase(t)
			c.change(b)
			require.Equal(t, c.missing, at(3, b.told("phase-missing")))
			var faults []string
			for _, fault := range b.Faults.List() {
				faults = append(faults, fault.Kind.String()+" "+fault.Message())
			}
			require.Equal(t, c.faults, faults)
			require.Len(t, at(3, b.told("creepage")), c.judged)
		})
	}
	t.Run("on the other side", func(t *testing.T) {
		b := newBase(t)
		for _, row := range b.rows(5) {
			if row.Side == audit.Ahead {
				blank(row)
			}
		}
		rows := b.rows(5)
		first, second := rows[3].Source, rows[5].Source
		b.drop(func(row *audit.AssemblyRow) bool { return row.Source == first || row.Source == second })
		require.Equal(t, []string{"5 ahead meets", "5 back meets"}, at(5, b.told("phase-missing")))
		require.Zero(t, b.Faults.Total())
	})
}

// How many circuits a line has need not be stated: those that the register shows are judged.
func TestOverlayOfABlankCountOfCircuits(t *testing.T) {
	for _, check := range []string{"phase-missing", "side-missing"} {
		b := newBase(t)
		b.drop(func(row *audit.AssemblyRow) bool { return row.Source == b.rows(3)[0].Source })
		stated := b.told(check)
		require.NotEmpty(t, stated)
		b.Lines[0].Circuits = -1
		require.Equal(t, stated, b.told(check))
	}
}
