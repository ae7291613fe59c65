package report

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// A register that its own project would read otherwise is not written.
func TestRemedied(t *testing.T) {
	r := fixtureResult(t)
	var out bytes.Buffer
	require.NoError(t, writeRemedied(context.Background(), &out, r, nil, "run 1"))
	require.NotZero(t, out.Len())

	r.Project.WordsTwice = `Unit "U70BL"`
	out.Reset()
	require.ErrorContains(t, writeRemedied(context.Background(), &out, r, nil, "run 1"), `would change Unit "U70BL" once more`)
	require.Zero(t, out.Len())
}

// What the project file carries of the register stands in it again, in the rows it was of.
func TestRemediedCarries(t *testing.T) {
	r := fixtureResult(t)
	p := r.Project
	require.NotZero(t, p.Assemblies.Len())
	p.Carried.Add(p.Assemblies.Row(0).Source, "District", p.Symbols.Number("Hale"))
	p.Carried.Add(p.Structures.At(0).Source, "Of structures alone", p.Symbols.Number("x"))
	var out bytes.Buffer
	require.NoError(t, writeRemedied(context.Background(), &out, r, nil, "run 1"))
	file, err := excelize.OpenReader(&out)
	require.NoError(t, err)
	defer func() { require.NoError(t, file.Close()) }()
	rows, err := file.GetRows("Assemblies")
	require.NoError(t, err)
	last := len(rows[0]) - 1
	require.Equal(t, "District", rows[0][last])
	require.Equal(t, "Hale", rows[1][last])
	require.NotContains(t, rows[0], "Of structures alone")
	lines, err := file.GetRows("Lines")
	require.NoError(t, err)
	require.NotContains(t, lines[0], "District")
}

// A text of the register that is carried stands in it whole, as long as a cell holds it; where one does not, the notes name the cell.
func TestRemediedCarriesLongTexts(t *testing.T) {
	r := fixtureResult(t)
	p := r.Project
	whole := strings.Repeat("w", longestCell)
	p.Carried.Add(p.Assemblies.Row(0).Source, "Access", p.Symbols.Number(whole))
	written := func() (access, notes string) {
		var out bytes.Buffer
		require.NoError(t, writeRemedied(context.Background(), &out, r, nil, "run 1"))
		file, err := excelize.OpenReader(&out)
		require.NoError(t, err)
		defer func() { require.NoError(t, file.Close()) }()
		rows, err := file.GetRows("Assemblies")
		require.NoError(t, err)
		said, err := file.GetRows("Notes")
		require.NoError(t, err)
		return rows[1][len(rows[0])-1], fmt.Sprint(said)
	}
	access, notes := written()
	require.True(t, whole == access)
	require.NotContains(t, notes, "Longer texts")

	p.Carried = audit.CarriedTexts{}
	p.Carried.Add(p.Assemblies.Row(0).Source, "Access", p.Symbols.Number(whole+"w"))
	access, notes = written()
	require.True(t, whole[1:]+"…" == access)
	require.Regexp(t, `A cell holds 32.767 characters\. Longer texts of the inputs, which end in … here, stand in Assemblies![A-Z]+2: take them`, notes)
}

// A cell that is blank and stays what stands in for that is blank again: 0 of defective units would say that somebody has looked.
func TestBlankCellsStayBlank(t *testing.T) {
	cells := func(row audit.AssemblyRow) (of [3]any) {
		for _, c := range assemblyCells(fixtureResult(t).Project) {
			if i := slices.Index([]string{"Circuit", "Strings", "Defective units"}, c.heading); i >= 0 {
				of[i] = c.value(&row)
			}
		}
		return of
	}
	r := fixtureResult(t)
	one := audit.AssemblyRow{RowSaid: audit.RowSaid{Circuit: r.Project.Symbols.Number("1"), Strings: 1}}
	require.Equal(t, [3]any{"1", 1, 0}, cells(one))
	one.Blank = audit.BlankCircuit | audit.BlankStrings | audit.BlankDefective
	require.Equal(t, [3]any{nil, nil, nil}, cells(one))
	one.Strings, one.Defective = 2, 3
	require.Equal(t, [3]any{nil, 2, 3}, cells(one))
	one.Arrangement = audit.VSet
	require.Equal(t, [3]any{nil, nil, 3}, cells(one))
	one.Strings = 1
	require.Equal(t, [3]any{nil, 1, 3}, cells(one))
}
