package main

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
)

// messyProject says of the messy case which sheets and headings are what, and what two of its names mean; nothing else. Its texts
// are the folder, the file of structures and the file of the 400 kV line without its ending.
const messyProject = `structures: {file: %[1]s/%[2]s, only: {Status: [IN SERVICE]}, carry: [Owner]}
zones: {file: %[1]s/Pollution.gpkg}
register:
  - file: %[1]s/66kV_raw.xlsx
    sheets: {66kV Pole register: Assemblies}
    carry: ["Str. Type"]
  - file: %[1]s/132kV_raw.xlsx
    sheets: {Summary: ignore, Cct 1: Assemblies, Cct 2: Assemblies}
    columns: {Arrangement: String config., Inspected: Date insp.}
  - file: %[1]s/%[3]s.csv
    sheets: {%[3]s: Assemblies}
    columns: {Line: Leitung/Line, Duty: String}
  - file: %[1]s/insulators.csv
    sheets: {insulators: Units}
    columns: {Price: Unit price}
  - file: %[1]s/lines.csv
    sheets: {lines: Lines}
words: {Line: {Ostrey-Keldby 1: OSTREY - KELDBY 1 & 2, Ostrey-Keldby 2: OSTREY - KELDBY 1 & 2}}
criteria: {default_class: b, creepage_basis: unified, deviation_limit_deg: 2, pin_deviation_limit_deg: 5}
`

// messyCase writes the project file of the messy case.
func messyCase(t *testing.T, structures, bill string) (project, folder string) {
	t.Helper()
	folder = filepath.Join(filepath.Dir(andesCase(t)), "messy")
	project = filepath.Join(t.TempDir(), "audit.yaml")
	require.NoError(t, os.WriteFile(project, fmt.Appendf(nil, messyProject, filepath.ToSlash(folder), structures, bill), 0o600))
	return project, folder
}

// TestMessyExceptions holds the audit of the untouched exports to the answer key: every exception of three checks and no other,
// whatever the encoding of a file and the form of a layer, with nothing unassessed and every row accounted for.
func TestMessyExceptions(t *testing.T) {
	t.Parallel()
	for _, form := range [...][2]string{
		{"Structures.gpkg", "400kV_bom"}, {"Structures.gpkg", "400kV_cp1252"}, {"Structures.gpkg", "400kV_utf16"}, {"Structures_utm.geojson", "400kV_bom"},
	} {
		t.Run(form[0]+" "+form[1], func(t *testing.T) {
			project, folder := messyCase(t, form[0], form[1])
			named := map[string]bool{"creepage": true, "tension-at-deviation": true, "tension-at-terminal": true}
			key := func(of ...string) string { return strings.Join(of, "|") }
			var expected, got []string
			for _, row := range readCSV(t, filepath.Join(folder, "expected.csv")) {
				expected = append(expected, key(row["check"], row["line"], row["structure"], row["circuit"], row["side"]))
			}
			result := auditInto(t, project, t.TempDir())
			for _, e := range result.Exceptions {
				if named[e.Check] {
					got = append(got, key(e.Check, e.Line, e.Structure, e.Circuit, e.Side))
				}
			}
			slices.Sort(expected)
			slices.Sort(got)
			require.Equal(t, expected, got)
			for _, c := range result.Coverage {
				require.False(t, named[c.Check] && c.NotAssessed > 0, c.Check)
			}
			require.Equal(t, []int{254, 254, 0}, []int{result.Run.RowsRead, result.Run.RowsPlaced, result.Run.RowsLeftOut})
			require.Empty(t, result.Faults)
		})
	}
}

// TestMessyAssemblies holds what each assembly is, and the class it stands in, to the answer key. The file of the 400 kV line has
// two rows for its tension structures within the line that tell no sides and are alike: a pair, which is judged once.
func TestMessyAssemblies(t *testing.T) {
	project, folder := messyCase(t, "Structures.gpkg", "400kV_bom")
	p, err := read.Project(context.Background(), project)
	require.NoError(t, err)
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 1))
	var expected, got []string
	for _, row := range readCSV(t, filepath.Join(folder, "truth.csv")) {
		if row["line"] == "Keldby-Marrow 400" {
			row["side"] = ""
		}
		expected = append(expected, fmt.Sprint(row["line"], " ", row["structure"], " ", row["circuit"], " ", row["side"], ": ", row["duty"], " ", row["arrangement"], " ",
			row["strings"], "×", row["units_per_string"], " ", row["creepage_mm"], " ", row["class"]))
	}
	for l := range n.Lines {
		line := &n.Lines[l]
		for i := line.First; i < line.End; i++ {
			for _, r := range n.AssemblyRows(i) {
				a := n.Assembly(r)
				side, units := "", ""
				if a.Side == audit.Back || a.Side == audit.Ahead {
					side = a.Side.String()
				}
				if a.UnitsPerString > 0 && a.Duty != audit.Post {
					units = fmt.Sprint(a.UnitsPerString)
				}
				is := fmt.Sprint(p.Symbols.Text(line.Symbol), " ", n.Number(i), " ", p.Symbols.Text(a.Circuit), " ", side, ": ", a.Duty, " ",
					cmp.Or(a.Arrangement, audit.Single), " ", a.Strings, "×", units, " ", a.CreepageMM, " ", n.Structure(l, i).Class)
				if got = append(got, is); n.IsPair(int(r)) {
					got = append(got, is)
				}
			}
		}
	}
	slices.Sort(expected)
	slices.Sort(got)
	require.Equal(t, expected, got)
}

// TestMessyFilesAreFoundTheirWay holds that untouched exports are read by a project file of mappings: each table, and of each the
// columns that the audit needs.
func TestMessyFilesAreFoundTheirWay(t *testing.T) {
	path, _ := messyCase(t, "Structures.gpkg", "400kV_bom")
	p, understood, err := read.Understood(context.Background(), path)
	require.NoError(t, err)
	require.Equal(t, 180, p.Structures.Len())
	require.Equal(t, []string{"VELLMARK"}, compact(p, "Owner", func(yield func(audit.Source)) {
		for i := range p.Structures.Len() {
			yield(p.Structures.At(i).Source)
		}
	}))

	found := map[string][]string{}
	for _, u := range understood {
		var columns []string
		for _, c := range u.Columns {
			columns = append(columns, c.For)
		}
		found[filepath.Base(u.Table.File)+" "+u.Table.Sheet] = columns
	}
	circuit := []string{"Line", "Structure", "Circuit", "Phase", "Duty", "Arrangement", "Unit", "Units per string", "Inspected"}
	require.Equal(t, map[string][]string{
		"Structures.gpkg T_STRUCTURES":     {"line", "structure", "ground_m"},
		"Pollution.gpkg Pollution zones":   {"class", "label"},
		"66kV_raw.xlsx 66kV Pole register": {"Line", "Structure", "Phase", "Duty", "Unit", "Units per string", "Installed", "Inspected", "Remarks", "Rating"},
		"132kV_raw.xlsx Cct 1":             circuit,
		"132kV_raw.xlsx Cct 2":             circuit,
		"400kV_bom.csv ":                   {"Line", "Structure", "Phase", "Duty", "Unit", "Units per string", "Creepage"},
		"lines.csv ":                       {"Line", "Name", "Circuits", "Phases", "Nominal voltage", "Lightning level", "Conductor", "Subconductors", "Maximum tension"},
		"insulators.csv ":                  {"Unit", "Kind", "Rating", "Cantilever", "Spacing", "Creepage", "Price"},
	}, found)

	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.Equal(t, p.RowsRead, n.RowsPlaced+n.RowsLeftOut+p.RowsPassedOver)
	for _, u := range understood {
		b := n.Balances()[u.Number]
		require.Equal(t, b.Read, b.Used+b.LeftOut+b.PassedOver, u.Table)
	}
}

// compact lists the different texts that are carried under a name.
func compact(p *audit.Project, name string, rows func(yield func(audit.Source))) []string {
	var texts []string
	i := slices.Index(p.Carried.Names, name)
	rows(func(at audit.Source) { texts = append(texts, p.CarriedAt(at)[i]) })
	slices.Sort(texts)
	return slices.Compact(texts)
}
