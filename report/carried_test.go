package report

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"

	"dryarc/audit"
	"dryarc/report/gpkg"

	"github.com/stretchr/testify/require"
)

// carriedFixture is the fixture with dates and remarks, texts that are carried, and rows passed over.
func carriedFixture(t *testing.T) *audit.Result {
	t.Helper()
	p := fixture(t)
	remarks, err := p.Texts.Add("=cracked")
	require.NoError(t, err)
	a := p.Assemblies.Row(6)
	a.Installed, a.Inspected, a.Remarks = 20_000, 0, remarks
	p.Carried.Add(a.Source, "District", p.Symbols.Number("north & <b>"))
	p.Carried.Add(p.Structures.At(7).Source, "line", p.Symbols.Number("@GIS"))
	p.Carried.Add(p.Structures.At(7).Source, "District", p.Symbols.Number("of the structure"))
	p.Carried.Add(p.Structures.At(3).Source, "District", p.Symbols.Number("south"))
	p.RowsRead, p.RowsPassedOver = p.RowsRead+5, 5
	p.Faults.Add(audit.Fault{Kind: audit.UnknownWord, At: a.Source, Column: "Installed", Value: "x", Weight: audit.ByTheWay})
	return assessed(t, p, 1)
}

func TestCarriedTextsComeThrough(t *testing.T) {
	r := carriedFixture(t)

	rows := csvRows(t, contentOf(t, r, alone.by(writeExceptionsCSV)))
	require.Equal(t, []string{"installed", "inspected", "remarks", "District", "line (carried)", "run"}, rows[0][22:])
	require.Equal(t, []string{"2024-10-04", "1970-01-01", "'=cracked", "north & <b>", "'@GIS"}, rows[1][22:27])
	require.Equal(t, []string{"", "", "", "south", ""}, rows[5][22:27], "an exception of a structure has the structure's")

	sheet := cells(t, openBook(t, r, generous), "Exceptions")
	require.Equal(t, []string{"Installed on", "Inspected on", "Remarks", "District", "line (carried)"}, sheet[0][21:])
	require.Equal(t, []string{"2024-10-04", "1970-01-01", "=cracked", "north & <b>", "@GIS"}, sheet[1][21:])

	var layer struct {
		Features []struct{ Properties map[string]any }
	}
	require.NoError(t, json.Unmarshal(contentOf(t, r, alone.by(writeExceptions)), &layer))
	got := layer.Features[0].Properties
	require.Equal(t, []any{awkwardLine, "2024-10-04", "1970-01-01", "=cracked", "north & <b>", "@GIS"},
		[]any{got["line"], got["installed"], got["inspected"], got["remarks"], got["District"], got["line (carried)"]})
	require.NoError(t, json.Unmarshal(contentOf(t, r, alone.by(writeStructures)), &layer))
	require.Equal(t, []any{"", "south"}, []any{layer.Features[2].Properties["District"], layer.Features[5].Properties["District"]})

	exceptions := exceptionLayer(r, alone.since(r), unitCountsOf(t, r), pointLayer)
	names := make([]string, len(exceptions.Columns))
	for i, c := range exceptions.Columns {
		names[i] = c.Name
	}
	require.Equal(t, []string{"hangs", "read_from", "installed", "inspected", "remarks", "District", "line (carried)",
		"id", "severity_rank", "observed_value", "required_value", "margin_percent", "units_required", "units_installed", "reference_unit", "link"}, names[16:])
	exceptions.Rows(func(row gpkg.Row) bool {
		require.Equal(t, []any{"2024-10-04", "1970-01-01", "=cracked", "north & <b>", "@GIS"}, row.Values[18:23])
		return false
	})

	page := string(contentOf(t, r, alone.by(writePage)))
	require.Contains(t, page, `District: south`)
	for _, name := range []string{"Installed on", "Inspected on", "Remarks", "District", "line"} {
		require.Contains(t, page, `{"name":"`+name+`","values":[`)
	}
	require.Contains(t, page, `"2024-10-04"`)
	require.Contains(t, page, `"=cracked"`)

	kml := string(contentOf(t, r, alone.by(writeKML)))
	for _, data := range []string{
		`<Data name="Installed on">[ \n]*<value>2024-10-04</value>`, `<Data name="Remarks">[ \n]*<value>=cracked</value>`, `<Data name="District">[ \n]*<value>south</value>`,
		`<Data name="line \(carried\)">[ \n]*<value>@GIS</value>`,
	} {
		require.Regexp(t, data, kml)
	}
}

// A page whose findings carry nothing has no column for it.
func TestPageWithoutCarriedTexts(t *testing.T) {
	r := assessed(t, fixture(t), 1)
	page := string(contentOf(t, r, alone.by(writePage)))
	require.Contains(t, page, `"carried":[]`)
}

func TestRowsPassedOverAreCounted(t *testing.T) {
	r := carriedFixture(t)
	require.Equal(t, r.Project.RowsRead, r.Network.RowsPlaced+r.Network.RowsLeftOut+r.Project.RowsPassedOver)
	var out bytes.Buffer
	require.NoError(t, JSON(context.Background(), &out, r, nil, nil, nil))
	var decoded struct {
		Run                  map[string]any
		Faults, Fault_counts []map[string]any
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &decoded))
	require.Equal(t, []any{13.0, 7.0, 1.0, 5.0}, []any{decoded.Run["rows_read"], decoded.Run["rows_placed"], decoded.Run["rows_left_out"], decoded.Run["rows_passed_over"]})
	weights := map[any]any{}
	for _, fault := range decoded.Faults {
		weights[fault["column"]] = fault["weight"]
	}
	require.Equal(t, map[any]any{"Unit": "matters", "Installed": "by the way", "Line": "matters"}, weights)
	out.Reset()
	Summary(&out, r, nil, nil, "out")
	require.Contains(t, out.String(), "13 rows read = 7 placed + 1 left out + 5 passed over\n")
	found := false
	for _, row := range cells(t, openBook(t, r, generous), "Run") {
		found = found || len(row) > 1 && row[0] == "Register rows passed over, as the project file says" && row[1] == "5"
	}
	require.True(t, found)
}

// A name that is carried takes no member of ours, whatever the output, and no other name that is carried.
func TestCarriedNamesTakeNoOther(t *testing.T) {
	p := fixture(t)
	a := p.Assemblies.At(6).Source
	for _, name := range []string{"id", "line", "line (carried)", "Line"} {
		p.Carried.Add(a, name, p.Symbols.Number("x"))
	}
	r := assessed(t, p, 1)
	require.Equal(t, []string{"id (carried)", "line (carried)", "line (carried 2)", "Line (carried 3)"}, carriedNames(r, "id", "line"))
	require.NotContains(t, string(contentOf(t, r, alone.by(writeExceptions))), `"id":"x"`)
}
