package checks_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// sideless takes the sides out of the register: structure 5 has two like rows for each phase.
func (b *base) sideless() {
	for i := range b.Assemblies.Len() {
		b.Assemblies.Row(i).Side = audit.NoSide
	}
}

// outcomes tells every verdict on the line, with how many rows are placed and left out.
func (b *base) outcomes() (verdicts []string, placed, leftOut int, assumed bool) {
	n, err := audit.Arrange(b.Project)
	require.NoError(b.t, err)
	require.NoError(b.t, audit.Derive(context.Background(), n, 1))
	r, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{Each: func(i int, at audit.Location, v audit.Verdict) {
		verdicts = append(verdicts, fmt.Sprint(checks.All()[i].ID, at.Structure, at.To, at.Circuit, at.Phase, at.Side, v.Outcome, v.Reason, v.Observed, v.Required))
	}})
	require.NoError(b.t, err)
	require.Equal(b.t, b.RowsRead, n.RowsPlaced+n.RowsLeftOut)
	slices.Sort(verdicts)
	return verdicts, n.RowsPlaced, n.RowsLeftOut, slices.ContainsFunc(r.Run.Assumptions, func(a audit.Assumption) bool { return strings.Contains(a.Text, "a set each way") })
}

// Two like tension rows without sides at a structure within the line are a pair, and anything else a repeat, as before.
func TestPairsOfRowsWithoutSides(t *testing.T) {
	second := func(b *base, phase string) *audit.AssemblyRow {
		of := slices.DeleteFunc(b.rows(5), func(row *audit.AssemblyRow) bool { return b.Symbols.Text(row.Phase) != phase })
		return of[1]
	}
	for name, c := range map[string]struct {
		change func(b *base)
		placed int
		faults int
	}{
		"a row each way": {func(*base) {}, 30, 0},
		"with jumpers": {func(b *base) {
			for _, phase := range []string{"A", "B", "C"} {
				b.assembly(5, phase, audit.Jumper, audit.NoSide)
			}
		}, 33, 0},
		"one row for all phases": {func(b *base) {
			b.drop(func(row *audit.AssemblyRow) bool {
				return b.Texts.Get(row.Number) == "5" && b.Symbols.Text(row.Phase) != "A"
			})
			for _, row := range b.rows(5) {
				row.Phases, row.Phase = phasesOf(b.t, "ABC"), b.Symbols.Number("ABC")
			}
		}, 26, 0},
		"remarks and dates may differ": {func(b *base) {
			second(b, "A").Remarks, second(b, "A").Installed = second(b, "A").Number, audit.YearOf(1994)
		}, 30, 0},
		"they differ": {func(b *base) { second(b, "A").UnitsPerString = 10 }, 27, 3},
		"a third row": {func(b *base) { b.repeat(second(b, "A"), func(*audit.AssemblyRow) {}) }, 27, 4},
		"twice two rows": {func(b *base) {
			b.repeat(second(b, "A"), func(*audit.AssemblyRow) {})
			b.repeat(second(b, "A"), func(*audit.AssemblyRow) {})
		}, 27, 5},
		"a phase has one row":             {func(b *base) { second(b, "A").Duty = audit.EarthWire }, 28, 2},
		"a phase hangs in suspension too": {func(b *base) { b.assembly(5, "A", audit.Suspension, audit.NoSide) }, 28, 3},
		"overlapping phases":              {func(b *base) { second(b, "A").Phases = phasesOf(b.t, "AB") }, 27, 3},
		"a duty that cannot be read": {func(b *base) {
			second(b, "A").Duty, second(b, "A").Faulty = audit.DutyUnknown, audit.Cells(0).With(audit.CellDuty)
		}, 28, 2},
		"a circuit that cannot be read":      {func(b *base) { second(b, "A").Faulty = audit.Cells(0).With(audit.CellCircuits) }, 28, 2},
		"another row of the line has a side": {func(b *base) { b.rows(1)[0].Side = audit.Ahead }, 27, 3},
		"another side cannot be read":        {func(b *base) { b.rows(1)[0].Faulty = audit.Cells(0).With(audit.CellSide) }, 27, 3},
		"at the end of the line":             {func(b *base) { b.repeat(b.rows(1)[0], func(*audit.AssemblyRow) {}) }, 30, 1},
		"at a declared end":                  {func(b *base) { b.Structures.Row(4).Role = audit.DeclaredTerminal }, 27, 3},
		"where the circuit ends": {func(b *base) {
			b.Lines[0].Circuits = -1
			b.drop(func(row *audit.AssemblyRow) bool { return b.Texts.Get(row.Number) > "5" })
		}, 15, 3},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase(t)
			b.sideless()
			c.change(b)
			_, placed, leftOut, assumed := b.outcomes()
			require.Equal(t, []int{c.placed, c.faults}, []int{placed, leftOut})
			require.Equal(t, c.faults, b.Faults.Total())
			require.Equal(t, c.faults == 0 || c.placed == 30, assumed)
		})
	}
}

// A pair is judged as either of its rows would be alone: what the second says makes nothing better, and whether both sides are held
// stays open.
func TestPairsAreJudgedAsOneRow(t *testing.T) {
	for _, units := range []int16{9, 5} {
		pair, alone := newBase(t), newBase(t)
		for _, b := range []*base{pair, alone} {
			b.sideless()
			for _, row := range b.rows(5) {
				row.UnitsPerString = units
			}
		}
		seen := map[audit.Phases]bool{}
		alone.drop(func(row *audit.AssemblyRow) bool {
			second := alone.Texts.Get(row.Number) == "5" && seen[row.Phases]
			seen[row.Phases] = seen[row.Phases] || alone.Texts.Get(row.Number) == "5"
			return second
		})
		got, placed, _, _ := pair.outcomes()
		want, _, _, _ := alone.outcomes()
		require.Equal(t, 30, placed)
		require.Equal(t, want, got)
	}
	b := newBase(t)
	b.sideless()
	b.repeat(b.rows(1)[0], func(*audit.AssemblyRow) {})
	require.Equal(t, []string{"5 not assessed side of the tension assembly not stated"}, at(5, b.told("side-missing")))
	require.Equal(t, []string{"has an earlier row for this circuit, phase, side and duty, which is used; the row is left out; if the two are a set each way, state their sides"},
		[]string{b.Faults.List()[0].Expected})
}
