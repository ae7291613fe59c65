package checks_test

import (
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// The Lines sheet and the register contradict each other: one fault, and no crowd of shortfalls.
func TestOverlaysOfSheetsThatContradictEachOther(t *testing.T) {
	b := newBase(t)
	b.Lines[0].Phases = phasesOf(t, "RYB")
	for _, v := range b.told("phase-missing") {
		require.Contains(t, v, "not assessed")
	}
	require.Equal(t, 1, b.Faults.Total())
	require.Contains(t, b.Faults.List()[0].Message(), "names no phases of line")

	b = newBase(t)
	for _, row := range b.rows(4) {
		row.Circuit = b.Symbols.Number("2")
	}
	require.NotContains(t, strings.Join(b.told("phase-missing"), ";"), "3 falls short")
	require.Equal(t, 1, b.Faults.Total())
	require.Contains(t, b.Faults.List()[0].Message(), "is among more circuits than the 1")

	b = newBase(t) // one phase nowhere is no contradiction
	b.drop(func(row *audit.AssemblyRow) bool { return b.Symbols.Text(row.Phase) == "C" })
	require.Contains(t, b.exceptions(), "phase-missing 3 C")
	require.Zero(t, b.Faults.Total())
}

// Where nobody counts the circuits, one that is not registered up to the end of another is missing there: an advisory where it is one
// or two structures short, from three on it ends before.
func TestOverlaysOfACircuitThatStopsShort(t *testing.T) {
	for short := range 4 {
		b := newBase(t)
		b.Lines[0].Circuits = -1
		for _, row := range b.Assemblies.All() {
			if number, err := strconv.Atoi(b.Texts.Get(row.Number)); err == nil && number <= 9-short {
				row.Circuit = b.Symbols.Number("2")
				b.Assemblies.Append(row)
			}
		}
		b.RowsRead = b.Assemblies.Len()
		missing := 0
		for _, v := range b.told("phase-missing") {
			if strings.Contains(v, "falls short") {
				missing++
			}
		}
		require.Equal(t, []int{0, 1, 2, 0}[short], missing, short)
	}
}

// Rows that leave their phase blank are the phases of a circuit where they are as many, in a register with a column Phase as in one
// without; two of three phases are not.
func TestOverlaysOfSeveralBlankPhases(t *testing.T) {
	for rows, want := range map[int]string{1: "3 meets", 2: "3 not assessed a field it needs is faulty, see Faults", 3: "3 meets"} {
		b := newBase(t)
		var gone []audit.Source
		for i, row := range b.rows(3) {
			row.Phase, row.Phases = 0, audit.EveryPhase
			if i >= rows {
				gone = append(gone, row.Source)
			}
		}
		b.drop(func(row *audit.AssemblyRow) bool {
			for _, at := range gone {
				if row.Source == at {
					return true
				}
			}
			return false
		})
		require.Equal(t, []string{want}, at(3, b.told("phase-missing")), rows)
		require.Equal(t, rows == 2, b.Faults.Total() > 0, rows)
	}
}
