package main

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"
	"dryarc/geo"
	"dryarc/report"

	"github.com/stretchr/testify/require"
)

// requireInREADME compares a part of the README between two markers with what the program makes. DRYARC_UPDATE=1 writes
// it anew.
func requireInREADME(t *testing.T, marker, content string) {
	t.Helper()
	begin, end := "<!-- "+marker+" -->\n", "<!-- /"+marker+" -->"
	file := filepath.Join("..", "..", "README.md")
	raw, err := os.ReadFile(file)
	require.NoError(t, err)
	before, rest, found := strings.Cut(string(raw), begin)
	require.True(t, found, begin)
	have, after, found := strings.Cut(rest, end)
	require.True(t, found, end)
	if os.Getenv("DRYARC_UPDATE") != "" {
		require.NoError(t, os.WriteFile(file, []byte(before+begin+content+end+after), 0o644))
	}
	require.Equal(t, content, have, "run again with DRYARC_UPDATE=1")
}

func TestREADMEListsTheChecks(t *testing.T) {
	var table strings.Builder
	table.WriteString("| check | judges every | severity | faulty condition |\n| --- | --- | --- | --- |\n")
	for _, check := range checks.All() {
		fmt.Fprintf(&table, "| `%s` | %s | %s | %s |\n", check.ID, check.Of, check.Severity, check.Title)
	}
	requireInREADME(t, "checks", table.String())
}

// What an output holds is written by hand; that each on request is named is not left to that.
func TestREADMENamesTheOutputsOnRequest(t *testing.T) {
	readme, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	require.NoError(t, err)
	require.Contains(t, string(readme), "`--also "+strings.Join(report.Also(), ",")+"`")
}

// The schedule of a 132 kV line (Um 145 kV, lightning level 650 kV) at sea level and at 3000 m, one structure in each of
// the classes b to e.
func TestREADMEShowsASchedule(t *testing.T) {
	classes := []basis.Class{basis.ClassB, basis.ClassC, basis.ClassD, basis.ClassE}
	grounds := []float64{0, 3000}
	p := &audit.Project{Criteria: audit.DefaultCriteria(), Makeups: []audit.Makeup{{}}, Units: basis.Catalogue(), Conductors: basis.Conductors()}
	p.AddTable(audit.Table{File: "structures"})
	for _, ground := range grounds {
		line := p.Symbols.Number(fmt.Sprintf("%g m", ground))
		row := audit.UnknownLineRow()
		row.Line, row.NominalKV, row.HighestKV, row.LightningKV, row.System = line, 132, 145, 650, audit.Earthed
		p.Lines = append(p.Lines, row)
		for i, class := range classes {
			number, err := p.Texts.Add(class.String())
			require.NoError(t, err)
			lon := 10 + 0.01*float64(i)
			p.Structures.Append(audit.StructureRow{Line: line, Number: number, Lon: lon, Lat: 50 + ground/1e4, GroundM: ground,
				Sequence: float64(i), AttachmentM: math.NaN(), DeviationLimitDeg: math.NaN()})
			p.Zones = append(p.Zones, audit.Zone{Class: class, Polygons: []geo.Polygon{squareAround(lon, 50+ground/1e4)}})
		}
	}
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 1))
	var table strings.Builder
	table.WriteString("| altitude | class b | class c | class d | class e |\n| --- | --- | --- | --- | --- |\n")
	for l, line := range n.Lines {
		fmt.Fprintf(&table, "| %s |", p.Symbols.Text(line.Symbol))
		schedule := n.Schedule(l, checks.All())
		require.Equal(t, "U120B", schedule.Unit.Name)
		for i := range schedule.Requirements {
			r := &schedule.Requirements[i]
			fmt.Fprintf(&table, " %d units, %.0f mm (%s) |", r.Units, schedule.LengthMM(r), r.Governs.ID)
		}
		table.WriteString("\n")
	}
	requireInREADME(t, "schedule", table.String())
}

func squareAround(lon, lat float64) geo.Polygon {
	const d = 0.001
	flat := []float64{lon - d, lat - d, lon + d, lat - d, lon + d, lat + d, lon - d, lat + d, lon - d, lat - d}
	return geo.Polygon{Flat: flat, Ends: []int{len(flat)}}
}
