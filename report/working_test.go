package report

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	input "dryarc/audit/read"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// demo reads the demo project.
func demo(t testing.TB) *audit.Project {
	t.Helper()
	p, err := input.Project(context.Background(), filepath.Join("..", "testdata", "demo", "audit.yaml"))
	require.NoError(t, err)
	return p
}

// judged audits a project with the real checks.
func judged(t testing.TB, p *audit.Project) *audit.Result {
	t.Helper()
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 1))
	r, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{Version: "0.0-test", AsOf: "2026-03-31"})
	require.NoError(t, err)
	return r
}

// strict is the demo project with figures that hardly a string can meet, so that the checks of figures find much.
func strict(t testing.TB) *audit.Result {
	t.Helper()
	p := demo(t)
	p.Criteria.CreepageAltitudeExponent = audit.Stated(0.6)
	p.Criteria.ZoneMarginM = audit.Stated(20_000)
	p.Criteria.InsulatorFactor = audit.InsulatorFactor{Basis: "invented", Tension: 4, Suspension: 4, Cantilever: 4, Compression: 4, OneStringBroken: 3}
	p.Criteria.LoadCases = []audit.LoadCase{{Name: "storm", WindPa: 1900, TemperatureC: audit.NotStated(), From: audit.MaximumTension, Factor: 1.3}}
	for i := range p.Lines {
		line := &p.Lines[i]
		line.LongestStringMM, line.SwingLimitDeg, line.MaximumTensionKN, line.Subconductors = 900, 5, 60, 2
		line.LightningKV = 1425
		line.Room.WallDistanceMM, line.Room.ClearanceMM, line.FittingsMM = 1300, 1200, 250
		if i == 0 {
			line.NominalKV, line.HighestKV, line.SwitchingKV = 400, 420, 1175
		} else {
			line.NominalKV *= 3
			line.HighestKV *= 3
		}
	}
	for i := range p.Units {
		if i%2 == 0 {
			p.Units[i].DryKV, p.Units[i].PunctureKV = 80, 105
		}
	}
	direct := audit.UnknownDirectValues()
	direct.ArcingMM = 1500
	p.Direct = append(p.Direct, direct)
	for i := range p.Assemblies.Len() {
		if p.Assemblies.Row(i).Line == p.Lines[0].Line && p.Assemblies.Row(i).Direct == 0 {
			p.Assemblies.Row(i).Direct = uint32(len(p.Direct))
		}
		if i%3 == 0 && p.Assemblies.Row(i).UnitsPerString > 2 {
			p.Assemblies.Row(i).Defective = 1
		}
	}
	return judged(t, p)
}

// workedRows are the rows of the Working sheet with a verdict, by row number from 1.
func workedRows(rows [][]string) (found []int) {
	for i, row := range rows {
		if len(row) >= workedVerdict && (row[workedVerdict-1] == "falls short" || row[workedVerdict-1] == "meets") {
			found = append(found, i+1)
		}
	}
	return found
}

func TestWorkingHoldsTheChecksOfFigures(t *testing.T) {
	r := strict(t)
	found, of := workings(r, 1_000_000)
	var ids []string
	rows := 0
	for _, w := range found {
		ids = append(ids, r.Checks[w.check].ID)
		rows += len(w.rows)
	}
	require.Subset(t, ids, []string{"creepage", "sound-units", "lightning-withstand", "switching-withstand", "puncture-margin",
		"string-too-long", "units-for-voltage", "strength", "swing"})
	require.NotContains(t, ids, "tension-at-deviation", "its formula does not lead to what is compared")
	inFigures, inAll := 0, 0
	for i := range r.Exceptions {
		if e := &r.Exceptions[i]; slices.Contains(ids, r.Checks[e.Check].ID) {
			inAll++
			if e.Verdict.Observed.Word == "" {
				inFigures++
			}
		}
	}
	require.Equal(t, inFigures, rows)
	require.Equal(t, inAll, of)
	require.Less(t, inFigures, inAll, "an insulator that has failed is told in words")

	cut, all := workings(r, 7)
	require.Equal(t, of, all)
	require.Equal(t, 7, shownIn(cut))
}

// Wherever a derivation says what is observed and what is required, it is what the verdict compared.
func TestStepsAreWhatTheVerdictCompared(t *testing.T) {
	policy := demo(t)
	for i := range policy.Lines {
		policy.Criteria.SoundUnits = append(policy.Criteria.SoundUnits, audit.SoundUnitsRule{NominalKV: policy.Lines[i].NominalKV, Units: 90})
	}
	roles := map[string]int{}
	for _, r := range []*audit.Result{strict(t), judged(t, demo(t)), judged(t, policy)} {
		for l := range r.Network.Lines {
			for i := r.Network.Lines[l].First; i < r.Network.Lines[l].End; i++ {
				for _, d := range audit.Explain(r.Network, r.Checks, l, i) {
					if d.Verdict.Outcome > audit.FallsShort {
						continue
					}
					for role, want := range map[audit.StepRole]audit.Value{audit.Observed: d.Verdict.Observed, audit.Required: d.Verdict.Required} {
						var have []string
						for _, step := range d.Trace.Steps {
							if step.Role == role {
								have = append(have, Value(audit.Value{Number: step.Result.Number, Word: step.Result.Word}))
							}
						}
						require.LessOrEqual(t, len(have), 1, "%s of %v", d.Check.ID, d.At)
						if len(have) == 1 {
							require.Equal(t, Value(audit.Value{Number: want.Number, Word: want.Word}), have[0], "%s of %v", d.Check.ID, d.At)
							roles[d.Check.ID]++
						}
					}
				}
			}
		}
	}
	require.Greater(t, len(roles), 20)
}

// Every formula that a check gives to a spreadsheet is made of functions, numbers and the symbols of its inputs.
func TestEverySheetFormulaHasItsCells(t *testing.T) {
	seen := 0
	for _, check := range checks.All() {
		var trace audit.Trace
		check.Run(check.Method.Example.Subject(), &trace)
		for _, step := range trace.Steps {
			if step.Sheet == "" {
				continue
			}
			seen++
			_, ok := inCells(step.Sheet, func(name string) (string, bool) {
				return "A1", slices.ContainsFunc(step.Inputs, func(in audit.Operand) bool { return in.Symbol == name })
			})
			require.True(t, ok, "%s: %s of %v", check.ID, step.Sheet, step.Inputs)
		}
	}
	require.Greater(t, seen, 10)
}

func TestFormulaInCells(t *testing.T) {
	cells := map[string]string{"m": "K5", "H": "L5", "U_m": "M5", "e": "N5", "ε": "O5"}
	tests := []struct{ formula, want string }{
		{"U_m/SQRT(3)", "M5/SQRT(3)"},
		{"IF(H>1000,EXP(m*(H-1000)/8150),1)", "IF(L5>1000,EXP(K5*(L5-1000)/8150),1)"},
		{"e*1E-9+1.5e3*ε", "N5*1E-9+1.5e3*O5"},
		{`IF(m=0,"m","H")`, `IF(K5=0,"m","H")`},
		{"m*unknown", ""},
	}
	for _, test := range tests {
		got, ok := inCells(test.formula, func(name string) (string, bool) { cell, ok := cells[name]; return cell, ok })
		require.Equal(t, test.want, got)
		require.Equal(t, test.want != "", ok)
	}
}

// storedValue is the value that a workbook stores beside a formula.
var storedValue = regexp.MustCompile(`(</f>)<v>[^<]*</v>`)

// LibreOffice computes the formulas from the inputs alone, since the stored values are taken out before: it must find
// what the audit found, and what is stored. A reviewer has lengthened the first string, whose verdict turns, and only that.
func TestLibreOfficeRecalculatesTheWorking(t *testing.T) {
	require.Greater(t, recalculated(t, strict(t), lengthenFirst), 200)
}

// The same of derivations that begin with the change of state of the ruling span, and of a share of the rated strength, with ice.
func TestLibreOfficeRecalculatesTensions(t *testing.T) {
	p := demo(t)
	p.Criteria.InsulatorFactor = audit.InsulatorFactor{Basis: "invented", Tension: 9, Suspension: 12, Cantilever: 9, OneStringBroken: 9}
	ice := audit.LoadCase{Name: "ice", WindPa: 600, IceMM: 25, IceDensityKgPerM3: 900, TemperatureC: audit.Stated(-5), From: audit.CalculatedTension, Factor: 1.2, Uplift: true}
	share := audit.LoadCase{Name: "share", WindPa: 500, TemperatureC: audit.NotStated(), From: audit.ShareOfStrength, Share: 0.6, Factor: 1}
	for name, c := range map[string]audit.LoadCase{"calculated": ice, "share": share} {
		t.Run(name, func(t *testing.T) {
			p := *p
			p.Criteria.LoadCases = []audit.LoadCase{c}
			r := judged(t, &p)
			found, _ := workings(r, 1_000_000)
			var strength *working
			for i := range found {
				if r.Checks[found[i].check].ID == "strength" {
					strength = &found[i]
				}
			}
			require.NotNil(t, strength)
			for _, symbol := range map[string][]string{"calculated": {"T_s", "q", "VS", "w_2"}, "share": {"T_s", "RTS", "VS"}}[name] {
				require.GreaterOrEqual(t, strength.column(symbol), 0, symbol)
			}
			require.Greater(t, recalculated(t, r, nil), 50)
		})
	}
}

// recalculated has LibreOffice compute the Working sheet anew, after a reviewer has changed a row of it, and returns how many rows
// were compared.
func recalculated(t *testing.T, r *audit.Result, change func(*testing.T, *excelize.File, [][]string) int) int {
	t.Helper()
	path := saved(t, "working.xlsx", bookBytes(t, r))
	file := openFile(t, path)
	want := cells(t, file, workingSheet)
	changed := 0
	if change != nil {
		changed = change(t, file, want)
	}
	require.NoError(t, file.Save())
	book, err := os.ReadFile(path)
	require.NoError(t, err)
	bare := withPart(t, book, partOf(t, workingSheet), func(part string) string { return storedValue.ReplaceAllString(part, "$1") })
	got := cells(t, openFile(t, converted(t, saved(t, "bare.xlsx", bare), "xlsx")), workingSheet)

	rows := workedRows(want)
	if change != nil {
		require.Contains(t, rows, changed)
	}
	compared := 0
	last := 0 // row that tells which exception the figures are of
	for row := rows[0]; row <= rows[len(rows)-1]; row++ {
		if slices.Contains(rows, row) {
			last = row
		} else { // more figures of the same, or a heading
			for column, text := range want[row-1] {
				x, err := strconv.ParseFloat(text, 64)
				if err != nil || last == changed {
					continue
				}
				require.InDelta(t, x, number64(t, got[row-1][column]), 1e-9*max(1e-3, abs(x)), "row %d, column %d", row, column+1)
				compared++
			}
			continue
		}
		require.Equal(t, want[row-1][:workedObserved-1], got[row-1][:workedObserved-1])
		if row == changed {
			require.Equal(t, "meets", got[row-1][workedVerdict-1])
			require.Positive(t, number64(t, got[row-1][workedMargin-1]))
			continue
		}
		require.Equal(t, "falls short", got[row-1][workedVerdict-1], "row %d", row)
		for column := workedObserved - 1; column < len(want[row-1]); column++ {
			if column == workedVerdict-1 || want[row-1][column] == "" {
				continue
			}
			x, y := number64(t, want[row-1][column]), number64(t, got[row-1][column])
			require.InDelta(t, x, y, 1e-9*max(1e-3, abs(x)), "row %d, column %d", row, column+1)
			compared++
		}
	}
	t.Logf("%d rows, %d figures", len(rows), compared)
	return len(rows)
}

func abs(x float64) float64 { return max(x, -x) }

// lengthenFirst gives the first string of the check creepage 90 units, and returns its row.
func lengthenFirst(t *testing.T, file *excelize.File, rows [][]string) int {
	t.Helper()
	heading := slices.IndexFunc(rows, func(row []string) bool { return len(row) > 0 && strings.HasPrefix(row[0], "creepage: ") })
	require.Positive(t, heading)
	units := slices.Index(rows[heading], "n")
	require.Positive(t, units)
	worked := workedRows(rows)
	row := worked[slices.IndexFunc(worked, func(row int) bool { return row > heading })] // below the heading and the formulas in words, from 1
	cell, err := excelize.CoordinatesToCellName(units+1, row)
	require.NoError(t, err)
	formula, err := file.GetCellFormula(workingSheet, cell)
	require.NoError(t, err)
	require.Empty(t, formula, "the number of units is an input")
	require.NoError(t, file.SetCellValue(workingSheet, cell, 90))
	return row
}

func TestWorkingOfNothing(t *testing.T) {
	rows := cells(t, openBook(t, fixtureResult(t), generous), workingSheet)
	require.Equal(t, "None.", rows[len(rows)-1][0])
	said := ""
	for _, row := range rows[1 : len(rows)-1] {
		said += row[0] + " "
	}
	require.Contains(t, said, "a 22, b 27.8, c 34.7, d 43.3, e 53.7") // IEC TS 60815-1:2008 (published)
}

func TestACutWorkingSaysSo(t *testing.T) {
	r := strict(t)
	_, of := workings(r, 0)
	limits := generous
	limits.worked = 5
	rows := cells(t, openBook(t, r, limits), workingSheet)
	require.Len(t, workedRows(rows), 5)
	require.Equal(t, fmt.Sprintf("5 of %s exceptions of these checks, the worst.", grouped(of)), rows[len(rows)-1][0])
}

func TestFiguresStandBeforeWhatFollowsFromThem(t *testing.T) {
	found, _ := workings(strict(t), 10_000)
	for _, w := range found {
		for _, row := range w.rows {
			for _, f := range row.figures {
				for _, symbol := range f.inputs {
					require.Less(t, w.column(symbol), w.column(f.symbol), "%s of check %d", f.symbol, w.check)
				}
			}
		}
	}
}
