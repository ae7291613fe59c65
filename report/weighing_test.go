package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// Of the demo project: DF-220 5/1 stands beside a road (2) on a line of 220 kV (2) and one circuit, and its single strings are half of what
// is asked for. The rows of SD-132 T-002 name two districts.
func TestWeightsAndCarriedOfWork(t *testing.T) {
	r, jobs := demoJobs(t)
	for i := range jobs {
		if r.Network.Number(jobs[i].Structure) != "T-002" {
			continue
		}
		for k, row := range r.Network.AssemblyRows(jobs[i].Structure) {
			r.Project.Carried.Add(r.Project.Assemblies.Row(int(row)).Source, "Rank", r.Project.Symbols.Number([...]string{"Hale", "Ost"}[k%2]))
		}
	}
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, &account{jobs: jobs}, generous))
	book, err := excelize.OpenReader(&b)
	require.NoError(t, err)
	sheet := cells(t, book, workSheet)
	road := rowOf(t, sheet, "DF-220", "5/1")
	for heading, want := range map[string]string{"Score": "2", "Weighs": "very high", "Counts (%)": "50", "Factor: base": "1", "Factor: crossings": "2", "Factor: voltage": "2",
		"Factor: circuits": "1", "Factor: tee": "1", "Factor: terminal": "1", "Consequence": "4", "Not known, left out": "", "Rank (carried)": "",
		"What the factors are for": "crossings: road; voltage: 220 kV; circuits: 1; tee: none; terminal: none"} {
		require.Equal(t, want, road[heading], heading)
	}
	require.Equal(t, "Hale, Ost", rowOf(t, sheet, "SD-132", "T-002")["Rank (carried)"])
	require.Contains(t, rowOf(t, sheet, "SD-132", "T-060")["Not known, left out"], "crossings: ")
	printed := ""
	for _, name := range book.GetDefinedName() {
		if name.Scope == workSheet && name.Name == "_xlnm.Print_Area" {
			printed = name.RefersTo
		}
	}
	require.Regexp(t, `^'?Work'?!\$A\$1:\$S\$\d+$`, printed, "up to what stays open; the position and the factors are not printed")
	require.Equal(t, "Latitude (deg)", sheet[0][20])

	b.Reset()
	require.NoError(t, writeWorkCSV(context.Background(), &b, r, &account{jobs: jobs}))
	rows, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(b.Bytes(), []byte("\ufeff")))).ReadAll()
	require.NoError(t, err)
	road = rowOf(t, rows, "DF-220", "5/1")
	for name, want := range map[string]string{"score": "2", "counts": "0.5", "consequence": "4", "consequence_band": "very high", "factor_crossings": "2", "page": "audit.html#structure/DF-220/5%2F1"} {
		require.Equal(t, want, road[name], name)
	}
	require.Equal(t, "Hale, Ost", rowOf(t, rows, "SD-132", "T-002")["Rank (carried)"])

	b.Reset()
	require.NoError(t, JSON(context.Background(), &b, r, jobs, nil, nil))
	var decoded struct{ Jobs []jobRecord }
	require.NoError(t, json.Unmarshal(b.Bytes(), &decoded))
	for _, job := range decoded.Jobs {
		if job.Line == "DF-220" && job.Structure == "5/1" {
			require.InDelta(t, 2, float64(job.Priority.Score), 1e-12)
			require.Equal(t, factorRecord{"crossings", "road", 2, ""}, job.Priority.Factors[1])
		}
	}
	work := workRows(r, jobs, nil)
	for i := range work {
		if work[i].line == "DF-220" && work[i].structure == "5/1" {
			require.Equal(t, "Score 2 = base 1 × crossings 2 (road) × voltage 2 (220 kV) × circuits 1 (1) × tee 1 (none) × terminal 1 (none) × short by 0.5; consequence 2.30 of the mean, very high.",
				weighingInWords(&work[i].why))
		}
	}
}
