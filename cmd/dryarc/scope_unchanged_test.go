package main

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
)

// readOfLines are columns of the sheet Lines by what checks say they read of a line; the rest is read by all.
var readOfLines = map[audit.LineReads][]string{
	audit.ReadsPulls:    {"Conductor", "Subconductors", "MaximumTensionKN", "EverydayTensionKN", "EverydayC", "ColdTensionKN", "SlipKN", "FittingsKN"},
	audit.ReadsVoltages: {"NominalKV", "HighestKV", "CreepageKV", "LightningKV", "SwitchingKV"},
	audit.ReadsLimits:   {"SwingLimitDeg", "SwingLimitsDeg", "FittingsMM", "Room", "SectionLimitKM", "LongestStringMM"},
	audit.ReadsNoFigure: {"Faulty", "Phases", "Circuits", "System", "DeviationLimitDeg", "CapacitanceRatio", "Superseded", "Set"},
}

// restate puts something else into a column of a row of the sheet Lines.
func restate(r *rand.Rand, p *audit.Project, row *audit.LineRow, column string) {
	figure := func() float64 {
		return []float64{math.NaN(), 0.4, 1, 3, 7, 12, 25, 40, 72.5, 145, 220, 245, 420, 650, 1050, 1200, 2600}[r.IntN(17)]
	}
	switch field := reflect.ValueOf(row).Elem().FieldByName(column); column {
	case "Conductor":
		row.Conductor, _ = p.Symbols.Find([]string{"Zebra", "Dog", "Panther", "SD-132"}[r.IntN(4)])
	case "Faulty":
		row.Faulty = row.Faulty.With(audit.Cell(r.IntN(20)))
	case "Phases":
		row.Phases, _ = audit.ParsePhases([]string{"ABC", "AB"}[r.IntN(2)])
	case "Circuits", "Subconductors":
		field.SetInt(int64(r.IntN(4) - 1))
	case "System":
		row.System = audit.System(r.IntN(6))
	case "Superseded":
		row.Superseded = audit.Superseded(r.IntN(16))
	case "Set":
		row.Set = &audit.SetColumns{Scenario: "another", Columns: map[string]bool{"Maximum tension": true, "Highest voltage": true, "Swing limit": true}}
	case "SwingLimitsDeg":
		row.SwingLimitsDeg = []audit.CaseFigure{{Case: "everyday", Value: figure()}}
	case "FittingsKN":
		row.FittingsKN[r.IntN(len(row.FittingsKN))] = figure()
	case "Room":
		switch room := &row.Room; r.IntN(6) {
		case 0:
			room.ArmLengthMM = figure()
		case 1:
			room.WallDistanceMM = figure()
		case 2:
			room.WallLean = []float64{math.NaN(), 0.1, -0.1}[r.IntN(3)]
		case 3:
			room.ClearanceMM = figure()
		case 4:
			room.ClearancesMM = []audit.CaseFigure{{Case: "ice", Value: figure()}}
		default:
			room.WallSide = audit.WallSide(r.IntN(4))
		}
	default:
		field.SetFloat(figure())
	}
}

// said assesses a network and returns all that is said by check: what falls short, and how the verdicts are counted on each line; where lacking is
// not nil, the structures too where what the project asks for is not assessed.
func said(t *testing.T, n *audit.Network, list []*audit.Check, before *audit.Result, lacking [][]int) (r *audit.Result, of []string) {
	t.Helper()
	options := audit.Options{Workers: 1, Before: before}
	if lacking != nil {
		clear(lacking)
		options.Unjudged = func(check int, at audit.Location, why audit.Reason) {
			if at.Structure >= 0 && why.AskedBy() == "" {
				lacking[check] = append(lacking[check], at.Structure)
			}
		}
	}
	r, err := audit.Assess(context.Background(), n, list, options)
	require.NoError(t, err)
	text := make([]strings.Builder, len(r.Checks))
	for i := range r.Exceptions {
		e := r.Exceptions[i]
		e.Circuit, e.Phase = 0, 0 // which are numbered otherwise where all is arranged anew
		fmt.Fprintf(&text[e.Check], "%+v %+v\n", e.Location, e.Verdict)
	}
	for l := range r.Lines {
		for i, c := range r.Lines[l].Coverage {
			fmt.Fprintf(&text[i], "%d %+v\n", l, c)
		}
	}
	for i := range text {
		if lacking != nil {
			fmt.Fprintln(&text[i], lacking[i])
		}
		of = append(of, text[i].String())
	}
	return r, of
}

// requireTakenIsSaidAnew holds what is taken of an earlier result against what the checks say, and returns that as said does.
func requireTakenIsSaidAnew(t *testing.T, n *audit.Network, today *audit.Result, list []*audit.Check, lacking [][]int, about string) []string {
	t.Helper()
	anew, want := said(t, n, list, nil, lacking)
	taken, got := said(t, n, list, today, lacking)
	for i := range list {
		require.Equal(t, want[i], got[i], "%s: %s", list[i].ID, about)
	}
	require.Equal(t, fmt.Sprint(anew.Run.Assumptions, anew.Coverage, anew.Exceptions), fmt.Sprint(taken.Run.Assumptions, taken.Coverage, taken.Exceptions), about)
	for l := range anew.Lines {
		require.Equal(t, anew.Lines[l].OneClassWorse, taken.Lines[l].OneClassWorse, about)
	}
	return want
}

// restated are projects of which the lines are restated: one in which everything is stated, the same by other criteria, and lines of the real case.
func restated() map[string]func(t *testing.T) *inputs {
	return map[string]func(t *testing.T) *inputs{
		"everything": island,
		"other criteria": func(t *testing.T) *inputs {
			in := island(t)
			in.project = replaceCriteria(in.project, [][2]string{{"load_cases", "[{name: frost, tension: cold, uplift: true}]"}, {"grading_rings", "{100: both}"},
				{"watch_list", "[{material: porcelain, installed_until: 1990, note: look}]"}, {"ageing", "{porcelain: 20}"}, {"inspection_years", "1"},
				{"direct_current_creepage", "{a: 30, b: 35, c: 45, d: 55, e: 70}"}})
			return in
		},
		"the real case": func(t *testing.T) *inputs {
			folder := andesCase(t)
			workbook, err := os.ReadFile(filepath.Join(folder, "assemblies.xlsx"))
			require.NoError(t, err)
			return sampleOfAndes(readLayer(t, filepath.Join(folder, "structures.geojson")), readLayer(t, filepath.Join(folder, "zones.geojson")), demoCells(t, workbook))
		},
	}
}

// What is taken of today where a check says that it does not read what a line has otherwise is what the check would say: on lines of which any
// column is restated each result is the one of which nothing is taken. Checks that would not say what they read would be found.
func TestWhatIsNotReadOfLinesChangesNoVerdict(t *testing.T) {
	t.Parallel()
	list := checks.All()
	unread := make([]*audit.Check, len(list)) // the same, as if none of them read any figure
	for i := range list {
		check := *list[i]
		check.OfLine = audit.ReadsNoFigure
		unread[i] = &check
	}
	columns := []string{"Line", "Name", "Source"} // which are the same wherever anything is taken
	for _, of := range readOfLines {
		columns = append(columns, of...)
	}
	for i := range reflect.TypeFor[audit.LineRow]().NumField() {
		require.Contains(t, columns, reflect.TypeFor[audit.LineRow]().Field(i).Name)
	}
	mattered := map[string]audit.LineReads{}
	for name, fresh := range restated() {
		t.Run(name, func(t *testing.T) { requireSameOfRestatedLines(t, fresh(t), list, unread, mattered) })
	}
	for _, check := range list {
		require.NotZero(t, check.OfLine, check.ID)
		if reads := check.OfLine &^ audit.ReadsNoFigure; !t.Failed() {
			require.Equal(t, reads&^unseen[check.ID], reads&^unseen[check.ID]&mattered[check.ID], "%s would not be found", check.ID)
		}
	}
}

// unseen is what checks read and what makes no difference on the lines of the test: low voltage for shackles that take tension, and fittings that
// are no part of a length as stated.
var unseen = map[string]audit.LineReads{
	"tension-at-terminal": audit.ReadsVoltages, "tension-at-uplift": audit.ReadsVoltages, "tension-at-change": audit.ReadsVoltages,
	"tension-at-deviation": audit.ReadsVoltages, "tension-at-crossing": audit.ReadsVoltages, "tension-at-tee": audit.ReadsVoltages,
	"tension-fewer-units": audit.ReadsLimits, "units-for-voltage": audit.ReadsLimits,
}

// requireSameOfRestatedLines restates lines of a project, and notes which columns matter to what checks say.
func requireSameOfRestatedLines(t *testing.T, in *inputs, list, unread []*audit.Check, mattered map[string]audit.LineReads) {
	turns := 150
	if os.Getenv("DRYARC_HARD") != "" {
		turns = 3000
	}
	folder := t.TempDir()
	in.writeAll(t, folder)
	project, err := read.Project(context.Background(), filepath.Join(folder, "audit.yaml"))
	require.NoError(t, err)
	project.AsOf = audit.DayOf("2026-01-01")
	pristine := project.Pristine()
	network, err := audit.Arrange(project)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), network, 1))
	today, _ := said(t, network, list, nil, nil)
	todayUnread, _ := said(t, network, unread, nil, nil)
	r := rand.New(rand.NewPCG(17, uint64(len(in.project))))
	for range turns {
		sheet := slices.Clone(pristine.Lines)
		reads := []audit.LineReads{audit.ReadsPulls, audit.ReadsVoltages, audit.ReadsLimits, audit.ReadsNoFigure}[r.IntN(4)]
		about := ""
		for range 1 + r.IntN(3) {
			row, column := &sheet[r.IntN(len(sheet))], readOfLines[reads][r.IntN(len(readOfLines[reads]))]
			was := fmt.Sprint(reflect.ValueOf(row).Elem().FieldByName(column))
			restate(r, pristine, row, column)
			about += fmt.Sprintf("%s of %s was %s, is %v; ", column, pristine.Symbols.Text(row.Line), was, reflect.ValueOf(row).Elem().FieldByName(column))
		}
		scenario := audit.Scenario{Name: "another", Sheet: sheet, Rules: pristine.Rules}
		n, err := network.Under(pristine, &scenario)
		require.NoError(t, err)
		require.NoError(t, audit.DeriveLike(context.Background(), n, network, 1))
		requireTakenIsSaidAnew(t, n, today, list, make([][]int, len(list)), about)
		want := requireTakenIsSaidAnew(t, n, today, list, nil, about)
		alone, err := audit.Arrange(pristine.Under(&scenario))
		require.NoError(t, err)
		require.NoError(t, audit.Derive(context.Background(), alone, 1))
		_, arranged := said(t, alone, list, nil, nil)
		for i := range list {
			require.Equal(t, arranged[i], want[i], "%s, arranged alone: %s", list[i].ID, about)
		}
		_, unlike := said(t, n, unread, todayUnread, nil)
		for i := range list {
			if want[i] != unlike[i] {
				require.NotEqual(t, audit.ReadsNoFigure, reads, "%s: %s", list[i].ID, about)
				mattered[list[i].ID] |= reads
			}
		}
	}
}
