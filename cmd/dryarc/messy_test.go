package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"dryarc/audit"
	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
)

// messyMappings says of the messy case which sheets and headings are what, and nothing else.
const messyMappings = `structures: {file: %[1]s/Structures.gpkg, only: {Status: [IN SERVICE]}, carry: [Owner]}
zones: {file: %[1]s/Pollution.gpkg}
register:
  - file: %[1]s/66kV_raw.xlsx
    sheets: {66kV Pole register: Assemblies}
    carry: ["Str. Type"]
  - file: %[1]s/132kV_raw.xlsx
    sheets: {Summary: ignore, Cct 1: Assemblies, Cct 2: Assemblies}
    columns: {Arrangement: String config., Inspected: Date insp.}
  - file: %[1]s/400kV_bom.csv
    sheets: {400kV_bom: Assemblies}
    columns: {Line: Leitung/Line, Duty: String}
  - file: %[1]s/insulators.csv
    sheets: {insulators: Units}
    columns: {Price: Unit price}
`

// TestMessyFilesAreFoundTheirWay holds that untouched exports are read by a project file of mappings: each table, and of each the
// columns that the audit needs. What their words and names mean is another matter.
func TestMessyFilesAreFoundTheirWay(t *testing.T) {
	cases := os.Getenv("DRYARC_CASES")
	if cases == "" {
		t.Skip("DRYARC_CASES names no folder of cases")
	}
	path := filepath.Join(t.TempDir(), "audit.yaml")
	require.NoError(t, os.WriteFile(path, fmt.Appendf(nil, messyMappings, filepath.ToSlash(filepath.Join(cases, "messy"))), 0o600))
	p, understood, err := read.Understood(context.Background(), path)
	require.NoError(t, err)
	require.Len(t, p.Structures, 180)
	require.Equal(t, []string{"VELLMARK"}, compact(p, "Owner", func(yield func(audit.Source)) {
		for i := range p.Structures {
			yield(p.Structures[i].Source)
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
