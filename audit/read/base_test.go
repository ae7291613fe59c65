package read

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// grid is a sheet as a table of cells; nil stays empty, a text that starts with = is a formula.
type grid [][]any

// sheets is a workbook by sheet name, in order.
type sheets []struct {
	name string
	rows grid
}

// base is a small project in which nothing is wrong. Tests change one thing in it.
type base struct {
	project    string
	structures string
	zones      string
	assemblies grid
	lines      grid
	units      grid
}

func newBase() base {
	return base{
		project: `title: Two spans
structures: {file: structures.geojson}
zones: {file: zones.geojson}
register: {file: register.xlsx}
`,
		structures: `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"line":"L1","structure":"1","sequence":1,"ground_m":100},"geometry":{"type":"Point","coordinates":[10,50]}},
{"type":"Feature","properties":{"line":"L1","structure":2,"sequence":2},"geometry":{"type":"Point","coordinates":[10.003,50,110]}},
{"type":"Feature","properties":{"line":"L1","structure":3.0,"sequence":3},"geometry":{"type":"Point","coordinates":[10.006,50]}}
]}`,
		zones: `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"class":"d","label":"works"},"geometry":{"type":"Polygon","coordinates":[[[9,49],[11,49],[11,51],[9,51],[9,49]]]}}
]}`,
		assemblies: grid{
			{"Line", "Structure", "Circuit", "Phase", "Side", "Duty", "Unit", "Units per string", "Strings", "Defective units"},
			{"L1", 1, 1, "ABC", "ahead", "tension", "U120B", 10, 2, 0},
			{"L1", 2, nil, "A", nil, "suspension", "U70BL", 8, nil, 1},
		},
		lines: grid{{"Line", "Nominal voltage (kV)", "Highest voltage (kV)"}, {"L1", 110, 123}},
		units: grid{{"Unit", "Kind", "Creepage (mm)"}, {"X1", "composite", 3000}},
	}
}

// write puts the project into a folder and returns the path of its project file.
func (b base) write(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	for name, text := range map[string]string{"audit.yaml": b.project, "structures.geojson": b.structures, "zones.geojson": b.zones} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
	writeWorkbook(t, filepath.Join(folder, "register.xlsx"), sheets{
		{"Assemblies", b.assemblies}, {"Lines", b.lines}, {"Units", b.units},
	})
	return filepath.Join(folder, "audit.yaml")
}

func writeWorkbook(t *testing.T, path string, content sheets) {
	t.Helper()
	book := excelize.NewFile()
	defer func() { require.NoError(t, book.Close()) }()
	for i, s := range content {
		if i == 0 {
			require.NoError(t, book.SetSheetName("Sheet1", s.name))
		} else {
			_, err := book.NewSheet(s.name)
			require.NoError(t, err)
		}
		for r, row := range s.rows {
			for c, value := range row {
				cell, err := excelize.CoordinatesToCellName(c+1, r+1)
				require.NoError(t, err)
				if text, ok := value.(string); ok && len(text) > 1 && text[0] == '=' {
					require.NoError(t, book.SetCellFormula(s.name, cell, text))
				} else if value != nil {
					require.NoError(t, book.SetCellValue(s.name, cell, value))
				}
			}
		}
	}
	require.NoError(t, book.SaveAs(path))
}

func (b base) read(t *testing.T) (*audit.Project, error) {
	t.Helper()
	return Project(context.Background(), b.write(t))
}

func (b base) mustRead(t *testing.T) *audit.Project {
	t.Helper()
	p, err := b.read(t)
	require.NoError(t, err)
	return p
}

// faultsOf lists the faults as people read them.
func faultsOf(p *audit.Project) []string {
	var lines []string
	for _, f := range p.Faults.List() {
		lines = append(lines, f.Kind.String()+" "+f.Where(p.Tables)+": "+f.Message())
	}
	return lines
}

func requireInputError(t *testing.T, err error, message, hint string) {
	t.Helper()
	var input *InputError
	require.ErrorAs(t, err, &input)
	require.Equal(t, message, input.Error())
	require.Equal(t, hint, input.Hint)
}

func TestProjectWithoutFaults(t *testing.T) {
	p := newBase().mustRead(t)
	require.Empty(t, faultsOf(p))
	require.Equal(t, "Two spans", p.Title)
	require.True(t, p.RegisterGiven)
	require.Equal(t, 2, p.RowsRead)
	require.Equal(t, []string{"structures.geojson", "zones.geojson", "register.xlsx!Assemblies", "register.xlsx!Lines", "register.xlsx!Units"},
		tableNames(p))
	require.Len(t, p.Inputs, 3)
	for _, in := range p.Inputs {
		require.Regexp(t, "^[0-9a-f]{64}$", in.SHA256)
	}

	require.Equal(t, 3, p.Structures.Len())
	require.Equal(t, []string{"1", "2", "3"}, []string{p.Texts.Get(p.Structures.At(0).Number), p.Texts.Get(p.Structures.At(1).Number), p.Texts.Get(p.Structures.At(2).Number)})
	require.Equal(t, 100.0, p.Structures.At(0).GroundM)
	require.Equal(t, 110.0, p.Structures.At(1).GroundM, "the height of the point where no property says more")
	require.True(t, p.Structures.At(2).GroundM != p.Structures.At(2).GroundM)
	require.Equal(t, uint32(3), p.Structures.At(2).Source.Row)

	tension, suspension := p.Assemblies.At(0), p.Assemblies.At(1)
	require.Equal(t, audit.Tension, tension.Duty)
	require.Equal(t, audit.Ahead, tension.Side)
	require.Equal(t, 3, tension.Phases.Count())
	require.Equal(t, int16(2), tension.Strings)
	require.Equal(t, "U120B", p.Makeups[tension.Makeup].Text)
	require.Equal(t, "1", p.Symbols.Text(suspension.Circuit), "a blank circuit is circuit 1")
	require.Equal(t, int16(1), suspension.Strings, "blank strings are one")
	require.Equal(t, int16(1), suspension.Defective)
	require.Equal(t, uint32(3), suspension.Source.Row)
	require.Equal(t, audit.NoDay, suspension.Installed)
	require.Equal(t, 123.0, p.Lines[0].HighestKV)
	require.Equal(t, "X1", p.Units[len(p.Units)-1].Name)
}

func tableNames(p *audit.Project) []string {
	var names []string
	for _, table := range p.Tables {
		names = append(names, table.String())
	}
	return names
}

func TestProjectWithoutRegisterAndZones(t *testing.T) {
	b := newBase()
	b.project = "structures: {file: structures.geojson}\n"
	p := b.mustRead(t)
	require.False(t, p.RegisterGiven)
	require.Equal(t, 3, p.Structures.Len())
	require.Empty(t, p.Zones)
}

func TestProjectInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := Project(ctx, newBase().write(t))
	require.ErrorIs(t, err, context.Canceled)
}
