package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Where an exporter is cut short within the last cell of a register, the run stops and the outputs stay; where it never ended the last line, the
// run goes on.
func TestRegisterCutWithinItsLastCell(t *testing.T) {
	y := yearOfOneLine(t)
	last := y.lines[0].towers[len(y.lines[0].towers)-1]
	last.units[2] = 1
	y.write()
	whole := y.get("Assemblies.csv")
	require.True(t, strings.HasSuffix(whole, ",1\n"))
	project, out := filepath.Join(y.folder, "audit.yaml"), filepath.Join(y.folder, "out")
	night := func(day, text string) (code int, stderr string) {
		y.put("Assemblies.csv", text)
		return auditSince(t, project, out, day)
	}
	code, stderr := night("2026-11-01", whole)
	require.Equal(t, exitDone, code, stderr)
	code, stderr = night("2026-11-02", strings.TrimSuffix(whole, "\n"))
	require.Equal(t, exitInputs, code, stderr)
	require.Contains(t, stderr, "Assemblies.csv: has no line end behind its last row and may be cut within it, though it had one in the run as of 2026-11-01, named under register\n")
	code, stderr = night("2026-11-02", strings.TrimSuffix(whole, ",1\n"))
	require.Equal(t, exitInputs, code, stderr)
	require.Contains(t, stderr, "it has 6 of the 7 cells of the headings, and no line end")
	code, stderr = night("2026-11-03", whole)
	require.Equal(t, exitDone, code, stderr)
	require.Contains(t, stderr, "since 1 November 2026")

	out = filepath.Join(y.folder, "other")
	for _, day := range []string{"2026-11-01", "2026-11-02"} {
		code, stderr = night(day, strings.TrimSuffix(whole, "\n"))
		require.Equal(t, exitDone, code, stderr)
	}
}

// A register that has lost all rows of a structure says nothing of what hung there: it is kept until the rows are back, with its first day.
func TestRowsOfAStructureAreLost(t *testing.T) {
	y := yearOfOneLine(t)
	tower := y.lines[0].towers[2]
	tower.units[0] = 8
	night := func(day string, units ...int) []string {
		copy(tower.units[:], units)
		y.write()
		y.asOf = day
		return y.saidOf("3")
	}
	require.Equal(t, []string{"creepage A new 2026-11-01"}, night("2026-11-01", 8, 14, 14))
	require.Contains(t, night("2026-11-02", 0, 0, 0), "creepage A not assessed the register has no row of the structure any more")
	require.Contains(t, night("2026-11-03", 8, 14, 14), "creepage A standing 2026-11-01")
	require.Contains(t, night("2026-11-04", 0, 14, 14), "creepage A gone nothing of that circuit, phase and side is registered there any more")
}
