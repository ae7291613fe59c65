package read

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// TestRepeatedCells holds that a row whose cells repeat what stands above is read as the row above: with the same faults, and the same
// figures.
func TestRepeatedCells(t *testing.T) {
	const headings = "Line,Structure,Circuit,Phase,Duty,Arrangement,Unit,Units per string,Strings,Installed,Length (m)"
	for name, rows := range map[string][]string{
		"plain":                     {"L1,1,1,A,suspension,single,U70BL,8,1,2019-05-31,1.5"},
		"words for nothing":         {"L1,1,-,A,suspension,single,U70BL,8,unknown,tbc,?"},
		"nothing, then something":   {"L1,1,1,A,suspension,single,U70BL,8,?,-,-", "L1,1,1,A,suspension,single,U70BL,8,1,2019,1.5"},
		"ditto":                     {"L1,1,1,A,suspension,single,U70BL,8,1,2019,1.5", "L1,1,ditto,A,ditto,single,do,8,1,2019,1.5"},
		"no word, no unit":          {"L1,1,1,A,hanging,single,U70,8,1,2019,1.5"},
		"with their unit":           {"L1,1,1,A,suspension,single,U70BL,8 nos,1,2019,1500 mm", "L1,1,1,A,suspension,single,U70BL,8,1,2019,1.5"},
		"out of range":              {"L1,1,1,A,suspension,single,U70BL,800,9,1200-01-01,99", "L1,1,1,A,suspension,single,U70BL,8,1,2019,9.9"},
		"said by another cell":      {"L1,1,1,A,double suspension,,U70BL,2x8,,2019,1.5", "L1,1,1,A,suspension,parallel,U70BL,8,2,2019,1.5"},
		"day or month":              {"L1,1,1,A,suspension,single,U70BL,8,1,03/04/1994,1.5"},
		"an error of a spreadsheet": {"#N/A,#REF!,#N/A,A,suspension,single,#N/A,8,1,2019,1.5", "L1,1,1,A,suspension,single,U70BL,8,1,2019,1.5"},
	} {
		t.Run(name, func(t *testing.T) {
			read := func(times int) *audit.Project {
				text := headings + "\n"
				for _, row := range rows {
					for range times {
						text += row + "\n"
					}
				}
				return readText(t, newBase(), text)
			}
			once, thrice := read(1), read(3)
			require.Equal(t, once.Assemblies.Len()*3, thrice.Assemblies.Len())
			require.Equal(t, 3*rowsAtFault(once), rowsAtFault(thrice))
			for i := range thrice.Assemblies.Len() {
				got, want := thrice.Assemblies.At(i), once.Assemblies.At(i/3)
				if got.Direct > 0 {
					require.Equal(t, fmt.Sprint(once.Direct[want.Direct-1]), fmt.Sprint(thrice.Direct[got.Direct-1]))
				}
				require.Equal(t, once.Texts.Get(want.Number), thrice.Texts.Get(got.Number))
				got.Source, got.Direct, got.Number, want.Source, want.Direct, want.Number = audit.Source{}, 0, 0, audit.Source{}, 0, 0
				require.Equal(t, fmt.Sprint(want), fmt.Sprint(got)) // NaN equals itself in print
			}
		})
	}
}

// rowsAtFault counts the rows that faults are of, one that has several as often.
func rowsAtFault(p *audit.Project) (count int) {
	for _, fault := range p.Faults.List() {
		count += max(fault.Rows, 1)
	}
	return count
}

// readText reads a project whose register is a text.
func readText(t *testing.T, b base, text string) *audit.Project {
	t.Helper()
	path := b.write(t)
	require.NoError(t, os.WriteFile(path, []byte("structures: {file: structures.geojson}\nregister: {file: register.csv}\n"), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), "register.csv"), []byte(text), 0o600))
	p, err := Project(t.Context(), path)
	require.NoError(t, err)
	return p
}

// TestRepeatedPoints holds that a text is not read as the number that stands above it, though both are written alike: the point of
// the text parts thousands.
func TestRepeatedPoints(t *testing.T) {
	p := oneColumn(newBase(), "Length (m)", 1.234, "1.234", "1.234.567", 1.234).mustRead(t)
	require.InDelta(t, 1234, p.Direct[0].LengthMM, 1e-9)
	require.Len(t, faultsOf(p), 2)
	require.True(t, p.Assemblies.At(1).Faulty.Has(audit.CellLength))
	require.False(t, p.Assemblies.At(3).Faulty.Has(audit.CellLength))
}
