package main

import (
	"context"
	"encoding/csv"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"
	"dryarc/report"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// LibreOffice recomputes every formula of the Working sheet and agrees with the program, on the demo and on the real case
// with levels, a conductor and load cases that give many exceptions: 6 of its lines, and of broken conductors every fifth, with DRYARC_HARD=1 12
// and all.
func TestLibreOfficeAgreesWithTheWorking(t *testing.T) {
	t.Parallel()
	office := tool(t, "soffice")
	t.Run("demo", func(t *testing.T) {
		out := t.TempDir()
		auditInto(t, demoProject, out)
		require.Greater(t, requireSameWorking(t, office, out), 20)
	})
	t.Run("andes", func(t *testing.T) {
		out := t.TempDir()
		n := andesNetwork(t, func(p *audit.Project) {
			conductor := ofTheAnswerKey(p)
			for i := range p.Lines {
				line := &p.Lines[i]
				line.Conductor, line.MaximumTensionKN, line.ColdTensionKN, line.SwingLimitDeg = conductor, 40, 24, 50
				if i%2 == 1 { // by a clearance, on some beside the limit
					line.Room.WallDistanceMM, line.Room.ClearanceMM, line.FittingsMM = 2000, 900, 300
				}
				if i%4 == 1 {
					line.SwingLimitDeg = math.NaN()
					line.Room.WallLean, line.Room.BracketMM, line.Room.WallSide = 0.05, 150, audit.WallsOnBothSides
				}
				line.LightningKV = map[float64]float64{123: 550, 245: 1050, 72.5: 325}[line.HighestKV]
				if line.LightningKV == 0 {
					line.LightningKV = math.NaN()
				}
			}
			for i := 0; i < p.Assemblies.Len(); i += 5 { // some V sets, of which a leg of the narrow ones goes slack
				if row := p.Assemblies.Row(i); row.Duty == audit.Suspension {
					row.Strings, row.Arrangement, row.VAngleDeg = 2, audit.VSet, []float32{40, 150, 80}[i/5%3]
				}
			}
			p.Criteria.LoadCases = []audit.LoadCase{{Name: "high wind", WindPa: 400, From: audit.MaximumTension, Factor: 1}}
			p.Criteria.InsulatorFactor = audit.InsulatorFactor{Basis: "NESC 277", Tension: 2, Suspension: 2}
		})
		var lines []string // some, so that the workbook stays small
		count := 6
		if hard() {
			count = 12
		}
		for _, line := range n.Lines[:count] {
			lines = append(lines, n.Project.Symbols.Text(line.Symbol))
		}
		result, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{Workers: 2, Version: version, AsOf: "2026-01-01", Lines: lines})
		require.NoError(t, err)
		short := map[string]int{}
		for i := range result.Exceptions {
			short[result.Checks[result.Exceptions[i].Check].ID]++
		}
		require.Greater(t, short["swing"], 50)
		require.Greater(t, short["v-set-clearance"], 30)
		_, err = report.Write(context.Background(), out, result, nil, report.How{})
		require.NoError(t, err)
		require.Greater(t, requireSameWorking(t, office, out), 500)
	})
	t.Run("broken conductors", func(t *testing.T) {
		out := t.TempDir()
		n := andesNetwork(t, breakConductors)
		each, rows := 5, 400 // by fives, so that every kind of line that breakConductors makes is among them
		if hard() {
			each, rows = 1, 2000
		}
		var lines []string
		for i := 0; i < len(n.Lines); i += each {
			lines = append(lines, n.Project.Symbols.Text(n.Lines[i].Symbol))
		}
		result, err := audit.Assess(context.Background(), n, []*audit.Check{checks.ByID("broken-conductor"), checks.ByID("fitting-broken-conductor")}, audit.Options{Workers: 2, Version: version, AsOf: "2026-01-01", Lines: lines})
		require.NoError(t, err)
		_, err = report.Write(context.Background(), out, result, nil, report.How{})
		require.NoError(t, err)
		require.Greater(t, requireSameWorking(t, office, out), rows)
	})
}

// ofTheAnswerKey adds the conductor of the answer key of the real case to a project.
func ofTheAnswerKey(p *audit.Project) audit.Symbol {
	conductor := basis.UnknownConductor()
	conductor.Name, conductor.MassKgPerM, conductor.DiameterMM = "of the answer key", 0.974, 21
	p.Conductors = append(p.Conductors, conductor)
	return p.Symbols.Number(conductor.Name)
}

// breakConductors makes a project ask for broken conductors, one of two or three of a bundle on some lines, clamps that slip on some, and hangs some
// suspension strings in a V or stands them as posts.
func breakConductors(p *audit.Project) {
	conductor := ofTheAnswerKey(p)
	p.Criteria.BrokenConductor = audit.BrokenConductor{Share: audit.ByDuty{Suspension: 0.7, Pin: 1, Post: 0.9}, Factor: audit.ByDuty{Suspension: 6, Pin: 3, Post: 2.5}, Subconductors: 2, Fitting: 2.5, Basis: "own rule"}
	for i := range p.Lines {
		line := &p.Lines[i]
		line.Conductor, line.EverydayTensionKN, line.Subconductors = conductor, 30, 1+i%3
		if i%4 == 2 {
			line.SlipKN = 12
		}
		line.FittingsKN[i%3] = 30
	}
	for i := range p.Units {
		p.Units[i].CantileverKN, p.Units[i].CompressionKN = 8, 20
	}
	for i := range p.Assemblies.Len() {
		row := p.Assemblies.Row(i)
		if row.Duty != audit.Suspension {
			continue
		}
		switch i % 11 {
		case 1:
			row.Arrangement, row.Strings, row.VAngleDeg = audit.VSet, 2, 70
		case 3:
			row.Duty, row.Mounting = audit.Post, audit.Horizontal
		case 5:
			row.Duty, row.Mounting = audit.Post, audit.MountingUnknown
		case 7:
			row.Arrangement, row.Strings = audit.Parallel, 2
		}
	}
}

// recalculateOnLoad has LibreOffice compute every formula anew, whatever values the workbook holds.
const recalculateOnLoad = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>`

// sameCell tells whether two cells hold one text, or one number within 1e-9 of it.
func sameCell(a, b string) bool {
	x, noNumber := strconv.ParseFloat(a, 64)
	y, err := strconv.ParseFloat(b, 64)
	if noNumber != nil || err != nil {
		return a == b
	}
	return math.Abs(x-y) <= 1e-9*max(math.Abs(x), 1e-3)
}

// requireSameWorking compares the sheet with what LibreOffice makes of its formulas, and returns how many rows have some.
func requireSameWorking(t *testing.T, office, out string) (rows int) {
	t.Helper()
	for _, row := range requireSameSheet(t, office, out, "Working") {
		if slices.Contains(row, audit.FallsShort.String()) {
			rows++
		}
	}
	t.Logf("%d rows recomputed", rows)
	return rows
}

// requireSameSheet compares a sheet with what LibreOffice makes of its formulas, and returns its rows.
func requireSameSheet(t *testing.T, office, out, sheet string) [][]string {
	t.Helper()
	profile, converted := t.TempDir(), t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(profile, "user"), 0o777))
	require.NoError(t, os.WriteFile(filepath.Join(profile, "user", "registrymodifications.xcu"), []byte(recalculateOnLoad), 0o666))
	path := filepath.Join(out, report.WorkbookFile)
	book, err := excelize.OpenFile(path, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	defer book.Close()
	want, err := book.GetRows(sheet)
	require.NoError(t, err)
	number, err := book.GetSheetIndex(sheet)
	require.NoError(t, err)
	said, err := exec.Command(office, "-env:UserInstallation=file://"+filepath.ToSlash(profile), "--headless", "--convert-to", valuesOfSheet(number+1), "--outdir", converted,
		path).CombinedOutput()
	require.NoError(t, err, string(said))
	text, err := os.Open(filepath.Join(converted, strings.TrimSuffix(report.WorkbookFile, ".xlsx")+"-"+sheet+".csv"))
	require.NoError(t, err)
	defer text.Close()
	got, err := csv.NewReader(text).ReadAll()
	require.NoError(t, err)
	for r, row := range want {
		for c, cell := range row {
			if cell == "" {
				continue
			}
			recomputed := ""
			if c < len(got[r]) {
				recomputed = got[r][c]
			}
			if !sameCell(cell, recomputed) {
				require.Equal(t, cell, recomputed, "row %d, column %d", r+1, c+1)
			}
		}
	}
	return want
}
