package read

import (
	"context"
	"path/filepath"
	"testing"

	"dryarc/audit"
	"dryarc/audit/read/xlsx"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// withMerged reads the base with more rows, some cells merged and one row hidden.
func withMerged(t *testing.T, cells ...[2]string) *audit.Project {
	t.Helper()
	b := newBase()
	b.assemblies = grid{
		{"Line", "Structure", "Phase", "Duty", "Unit", "Units per string", "Defective units", "Remarks"},
		{"L1", 1, "A", "tension", "U120B", 10, 1, "north"},
		{nil, nil, "B", "tension", "U120B", 10},
		{nil, nil, "C", "tension", "U120B", 10},
		{"L1", 2, "A", "suspension", "U120B", 10},
	}
	path := b.write(t)
	register := filepath.Join(filepath.Dir(path), "register.xlsx")
	book, err := excelize.OpenFile(register)
	require.NoError(t, err)
	for _, area := range cells {
		require.NoError(t, book.MergeCell("Assemblies", area[0], area[1]))
	}
	require.NoError(t, book.SetRowVisible("Assemblies", 3, false))
	require.NoError(t, book.Save())
	require.NoError(t, book.Close())
	p, understood, err := Understood(context.Background(), path)
	require.NoError(t, err)
	for _, u := range understood {
		if u.Table.Sheet == "Assemblies" {
			require.Contains(t, u.Notes, "hidden rows, which are read too: 1")
		}
	}
	return p
}

func TestMergedCells(t *testing.T) {
	p := withMerged(t, [2]string{"A2", "A4"}, [2]string{"B2", "B4"}, [2]string{"H2", "H3"})
	require.Empty(t, faultsOf(p))
	require.Equal(t, 4, p.Assemblies.Len())
	for i, want := range []string{"L1 1 north", "L1 1 north", "L1 1 ", "L1 2 "} {
		a := p.Assemblies.At(i)
		require.Equal(t, want, p.Symbols.Text(a.Line)+" "+p.Texts.Get(a.Number)+" "+p.Texts.Get(a.Remarks))
	}
}

func TestMergedNumbers(t *testing.T) {
	p := withMerged(t, [2]string{"A2", "A4"}, [2]string{"B2", "B4"}, [2]string{"G2", "G3"})
	require.Equal(t, []string{`missing-value register.xlsx!Assemblies!G3: defective units is merged with the "1" above; give each row its own value, or where each of them has that one say so under register: fill_down: [Defective units]`}, faultsOf(p))
	require.Equal(t, int16(-1), p.Assemblies.At(1).Defective)
}

func TestNotMerged(t *testing.T) {
	p := withMerged(t)
	require.Equal(t, 2, p.Assemblies.Len(), "blank cells are merged with nothing")
	require.Equal(t, 2, p.Faults.Total(), "line and structure, in two rows each")
}

func TestMergedCellsPass(t *testing.T) {
	m := newMergedCells([]xlsx.Area{{Column: 0, First: 5, Last: 6}, {Column: 0, First: 2, Last: 3}, {Column: 1, First: 2, Last: 2}})
	var got []string
	for row := uint32(1); row < 8; row++ {
		m.pass(row, []string{string(rune('a' + row))})
		got = append(got, m.text(row, 0)+m.text(row, 1))
	}
	require.Equal(t, []string{"", "", "c", "", "", "f", ""}, got)
}

// TestMergedInALargeSheet finds the merged areas in the middle of the rows, as in a sheet too large to look before.
func TestMergedInALargeSheet(t *testing.T) {
	b := newBase()
	b.assemblies = grid{
		{"Line", "Structure", "Phase", "Duty", "Unit", "Units per string"},
		{"L1", 1, "A", "tension", "U120B", 10}, {nil, nil, "B", "tension", "U120B", 10}, {"L1", 2, "A", "suspension", "U120B", 10},
	}
	path := b.write(t)
	workbook := filepath.Join(filepath.Dir(path), "register.xlsx")
	book, err := excelize.OpenFile(workbook)
	require.NoError(t, err)
	require.NoError(t, book.MergeCell("Assemblies", "A2", "A3"))
	require.NoError(t, book.MergeCell("Assemblies", "B2", "B3"))
	require.NoError(t, book.Save())
	require.NoError(t, book.Close())

	file, err := readProjectFile(path)
	require.NoError(t, err)
	f, p := &half{projectFile: file}, &audit.Project{Makeups: make([]audit.Makeup, 1)}
	w, err := openWorkbook(context.Background(), f, p, &file.register.entries[0], "register.xlsx")
	require.NoError(t, err)
	w.large = 1
	reader := &register{half: f, project: p, units: map[string]int{}, makeups: map[string]makeup{}, rowsRead: map[string]int{}}
	require.NoError(t, reader.readAssemblies(context.Background(), w))
	require.Equal(t, 3, p.Assemblies.Len())
	require.Equal(t, "L1 1", p.Symbols.Text(p.Assemblies.At(1).Line)+" "+p.Texts.Get(p.Assemblies.At(1).Number))
}
