package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"
	"dryarc/audit/remedy"
	"dryarc/audit/scope"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// stateOfTheirOwn lets structures state clearances and deviation limits of their own, and load cases tensions in kN.
func stateOfTheirOwn(r *rand.Rand, in *inputs) {
	for _, f := range in.layers["structures"].Features {
		if r.IntN(4) == 0 {
			f.Properties["clearance_mm"] = []any{300.0, "1200", "900; cold: 400", "?"}[r.IntN(4)]
		}
		if r.IntN(4) == 0 {
			f.Properties["deviation_limit_deg"] = []any{0.5, 4.0, 20.0, "oops"}[r.IntN(4)]
		}
	}
	if r.IntN(2) == 0 {
		in.project = replaceCriteria(in.project, [][2]string{{"load_cases", "[{name: high wind, wind_Pa: 400, tension: 20}, {name: cold, tension: cold, uplift: true}]"}})
	}
}

// verdicts are those of a run, sorted, without the rows where assemblies stand: those of a register that is written anew are others.
func verdicts(found []finding) string {
	var lines []string
	for i := range found {
		f := found[i]
		f.row = audit.Source{}
		if f.reason == audit.LineFigureSuperseded { // a written sheet has something there that cannot be read
			f.reason = audit.FaultyField
		}
		lines = append(lines, fmt.Sprintf("%s %s: %s %s %s %s %s", f.check, f.subject, f.outcome, f.severity, f.reason, inFigures(f.observed), inFigures(f.required)))
	}
	slices.Sort(lines)
	return strings.Join(lines, "\n")
}

// An audit of the sheets that are written of a scenario, with the layers as they were, gives every verdict of the scenario: of the sheet
// Lines beside the register of today, and of the register after the work. With the column Superseded figures emptied some would be others,
// and meet what the scenario does not.
func TestSheetsOfAScenarioGiveItsVerdicts(t *testing.T) {
	t.Parallel()
	turns := uint64(5)
	if os.Getenv("DRYARC_HARD") != "" {
		turns = 200
	}
	unearned := 0
	for seed := range turns {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			fresh := func() *inputs {
				in, r := island(t), rand.New(rand.NewPCG(seed, 11))
				for _, s := range settable {
					in.addMissing(s.heading)
				}
				stateOfTheirOwn(r, in)
				if seed%3 == 1 {
					spoil(r, in)
				}
				return in
			}
			r := rand.New(rand.NewPCG(seed, 12))
			c := drawChange(r, linesOf(fresh()))
			c.classes, c.worse = nil, false // which would go into the zones
			c.set = append(c.set, [][2]string{{"Nominal voltage (kV)", "110"}, {"Maximum tension (kN)", "26"}, {"Conductor", "Zebra"}}[r.IntN(3)])
			slices.Reverse(c.set) // of a column that was drawn too this one stays
			for i := len(c.set) - 1; i > 0; i-- {
				if slices.ContainsFunc(c.set[:i], func(s [2]string) bool { return s[0] == c.set[i][0] }) {
					c.set = slices.Delete(c.set, i, i+1)
				}
			}
			unearned += requireSheetsGiveTheVerdicts(t, fresh, c)
		})
	}
	if !t.Failed() {
		require.Positive(t, unearned, "verdicts that the column keeps from being met")
	}
}

// requireSheetsGiveTheVerdicts returns how many verdicts of the written sheets would meet that the scenario cannot tell, if nothing in them
// were superseded.
func requireSheetsGiveTheVerdicts(t *testing.T, fresh func() *inputs, c change) (unearned int) {
	t.Helper()
	ctx := context.Background()
	in, folder := fresh(), t.TempDir()
	in.project += "scenarios:\n" + c.inWords("another")
	in.writeAll(t, folder)
	path, out := filepath.Join(folder, "audit.yaml"), filepath.Join(folder, "out")
	about := c.inWords("another")
	var said bytes.Buffer
	require.Equal(t, exitDone, run(ctx, []string{"scope", path, "--also", "register,lines", "--out", out, "--as-of", "2026-01-01"}, &said, &said), said.String())

	project, err := read.Project(ctx, path)
	require.NoError(t, err)
	pristine := project.Pristine()
	then, err := runProject(pristine.Under(&pristine.Scenarios[0]), nil)
	require.NoError(t, err)
	network, err := audit.Arrange(project)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(ctx, network, 1))
	today, err := audit.Assess(ctx, network, checks.All(), audit.Options{Workers: 1})
	require.NoError(t, err)
	var worked *outcomeRun
	require.NoError(t, scope.Run(ctx, pristine, today, scope.Options{Workers: 1}, func(l *scope.Look) (err error) {
		worked, err = runProject(remedy.Apply(l.Then.Project, l.Jobs), nil)
		return err
	}))

	in = fresh() // the layers as they were
	if len(c.criteria) > 0 {
		in.project += "for:\n  - lines: [" + strings.Join(c.lines, ", ") + "]\n" + c.criteriaInWords("    ")
	}
	written := func(register string, change func(*audit.Project)) []finding {
		was := in.project
		defer func() { in.project = was }()
		in.project = strings.Replace(in.project, "register: {file: "+islandRegister+"}", "register: "+register, 1)
		in.writeAll(t, folder)
		p, err := read.Project(ctx, path)
		require.NoError(t, err, about)
		change(p)
		r, err := runProject(p, nil)
		require.NoError(t, err, about)
		return r.findings
	}
	asWritten := func(*audit.Project) {}
	lines := "[{file: " + filepath.Join(out, "scope-lines.xlsx") + "}, {file: [Assemblies.csv, Units.csv, Conductors.csv]}]"
	requireSameText(t, verdicts(then.findings), verdicts(written(lines, asWritten)), about)
	requireSameText(t, verdicts(worked.findings), verdicts(written("{file: "+filepath.Join(out, "scope-register.xlsx")+"}", asWritten)), about)

	told := map[subject]audit.Outcome{}
	for _, f := range then.findings {
		f.row.Table = 0 // the sheets are others
		told[f.subject] = f.outcome
	}
	for _, f := range written(lines, func(p *audit.Project) {
		for i := range p.Lines {
			p.Lines[i].Superseded = 0
		}
	}) {
		f.row.Table = 0
		if f.outcome == audit.Meets && told[f.subject] == audit.NotAssessed {
			unearned++
		}
	}
	return unearned
}

// What structures and load cases state for what a scenario replaces is named in the sheet Lines that is written of it, and told beside it with
// every structure; an audit of that sheet gives every verdict of the scenario, and says what is superseded as faults of the line's row. Stated
// anew and taken out of the cell it is judged by.
func TestSheetsOfAScenarioNameWhatIsSuperseded(t *testing.T) {
	t.Parallel()
	in, folder := island(t), t.TempDir()
	in.structure(t, "SD-132", "T-044").Properties["deviation_limit_deg"] = 9
	in.project = replaceCriteria(in.project, [][2]string{{"load_cases", "[{name: high wind, wind_Pa: 400, tension: 30}, {name: cold, tension: cold, uplift: true}]"}})
	plain := in.project
	in.project += "scenarios: [{name: x, lines: [SD-132], set: {nominal_voltage_kV: 138, highest_voltage_kV: 170, lightning_level_kV: 650, swing_limit_deg: 70, clearance_mm: 900, conductor: Zebra, deviation_limit_deg: 8}}]\n"
	in.writeAll(t, folder)
	project, err := read.Project(context.Background(), filepath.Join(folder, "audit.yaml"))
	require.NoError(t, err)
	then, err := runProject(project.Under(&project.Scenarios[0]), nil)
	require.NoError(t, err)
	out := filepath.Join(folder, "out")
	var said bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"scope", filepath.Join(folder, "audit.yaml"), "--also", "register,lines", "--out", out, "--as-of", "2026-01-01"}, &said, &said), said.String())
	const column, noMore = "The column Superseded figures of the sheet Lines keeps an audit by these sheets from judging by ", "A fault that it brings"
	require.NotContains(t, said.String(), noMore)
	told := []string{
		column + `clearance_mm, however the layer names it, of these structures: state it anew there, then take "clearance of structures" out of the cell: SD-132 T-024, SD-132 T-034.`,
		column + `deviation_limit_deg, however the layer names it, of these structures: state it anew there, then take "deviation limit of structures" out of the cell: SD-132 T-017, SD-132 T-022, SD-132 T-038, SD-132 T-044.`,
		column + `the tension that load cases give in kN on these lines: state load_cases for the conductor of the scenario, then take "tension of load cases" out of the cell: SD-132.`,
	}
	for _, note := range told {
		require.Contains(t, said.String(), note)
	}
	const cell = "clearance of structures; deviation limit of structures; tension of load cases; slip load of assemblies"
	for _, sheets := range []string{"scope-lines.xlsx", "scope-register.xlsx"} {
		for _, note := range told {
			require.Contains(t, textOfSheet(t, filepath.Join(out, sheets), "Notes"), note)
		}
		require.Contains(t, textOfSheet(t, filepath.Join(out, sheets), "Lines"), cell)
	}

	in.project = strings.Replace(plain, "register: {file: "+islandRegister+"}", "register: [{file: "+filepath.Join(out, "scope-lines.xlsx")+"}, {file: [Assemblies.csv, Units.csv, Conductors.csv]}]", 1)
	audited := func() *outcomeRun {
		in.writeAll(t, folder)
		run, err := runInFolder(folder, nil)
		require.NoError(t, err)
		return run
	}
	as := audited()
	requireSameText(t, verdicts(then.findings), verdicts(as.findings))
	var faults []string
	for _, f := range as.faults {
		if f.Kind == audit.FigureSuperseded && strings.HasPrefix(f.Where(as.tables), filepath.Join(out, "scope-lines.xlsx")) {
			faults = append(faults, f.Message())
		}
	}
	row := []string{
		`superseded figures "clearance of structures" leaves open what rests on the clearance that structures of the line state for themselves (T-024, T-034), until it is stated anew and the cell does not name it any more`,
		`superseded figures "deviation limit of structures" leaves open what rests on the deviation limit that structures of the line state for themselves (T-017, T-022, T-038, T-044), until it is stated anew and the cell does not name it any more`,
		`superseded figures "tension of load cases" leaves open what rests on the tension that load cases give in kN, until they give that of the conductor of the line and the cell does not name it any more`,
	}
	require.Subset(t, faults, row)

	var explained bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"explain", filepath.Join(folder, "audit.yaml"), "SD-132", "T-024"}, &explained, &explained), explained.String())
	require.Regexp(t, `superseded +clearance of structures: what it states is not judged by \(superseded figures, .*scope-lines.xlsx!Lines row \d+\)`, explained.String())

	anew := func(f *finding) bool {
		return f.check == "tension-at-deviation" && f.structure == "T-044" && f.outcome != audit.NotAssessed && f.outcome != audit.NotApplicable
	}
	require.False(t, slices.ContainsFunc(as.findings, func(f finding) bool { return anew(&f) }))
	book, err := excelize.OpenFile(filepath.Join(out, "scope-lines.xlsx"))
	require.NoError(t, err)
	rows, err := book.GetRows("Lines")
	require.NoError(t, err)
	for i := range rows {
		if rows[i][0] == "SD-132" {
			at, err := excelize.CoordinatesToCellName(len(rows[0]), i+1)
			require.NoError(t, err)
			require.Equal(t, cell, rows[i][len(rows[0])-1])
			require.NoError(t, book.SetCellValue("Lines", at, "clearance of structures; tension of load cases"))
		}
	}
	require.NoError(t, book.Save())
	require.NoError(t, book.Close())
	require.True(t, slices.ContainsFunc(audited().findings, func(f finding) bool { return anew(&f) }))
}

// What fell short by a figure that is superseded later is not mended.
func TestSupersedingClearsNothing(t *testing.T) {
	t.Parallel()
	in, folder := island(t), t.TempDir()
	out := filepath.Join(folder, "out")
	audited := func(asOf string) string {
		in.writeAll(t, folder)
		var said bytes.Buffer
		require.Equal(t, exitDone, run(context.Background(), []string{"audit", filepath.Join(folder, "audit.yaml"), "--out", out, "--as-of", asOf}, &said, &said), said.String())
		content, err := os.ReadFile(filepath.Join(out, "audit.json"))
		require.NoError(t, err)
		return string(content)
	}
	type cleared struct{ Check, Structure, Why string }
	in.structure(t, "SD-132", "T-022").Properties["deviation_limit_deg"] = 0.01
	audited("2026-01-01")
	in.state(t, "Lines", "Line=SD-132", "Superseded figures", "deviation limit of structures")
	var after struct{ Cleared []cleared }
	require.NoError(t, json.Unmarshal([]byte(audited("2026-01-02")), &after))
	found := 0
	for _, c := range after.Cleared {
		if c.Check == "tension-at-deviation" && c.Structure == "T-022" {
			found++
			require.Equal(t, "not assessed", c.Why)
		}
	}
	require.Positive(t, found)
}

// Of the row of a scenario that cell alone is unreadable which the scenario took: what is blank today is so, and the figure in its place judges.
func TestSheetOfAScenarioLeavesBlankWhatIsBlank(t *testing.T) {
	t.Parallel()
	const note = "Lines whose Clearance went with the voltage"
	files := hamlet()
	files["lines.csv"] = "Line,Nominal voltage (kV),Highest voltage (kV),Creepage voltage (kV),Conductor,Maximum tension (kN),Wall distance (mm),Clearance (mm)\nL1,132,145,90,Panther,20,2500,1000\n"
	files["assemblies.csv"] = "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string,Strings,Length (mm)\nL1,2,1,\"A,B,C\",,suspension,U120B,10,1,1700\n"
	files["audit.yaml"] = strings.NewReplacer("creepage_basis: unified", "load_cases: [{name: wind, wind_Pa: 400, tension: maximum}]", "criteria: {default_class: d}", "set: {nominal_voltage_kV: 220}").Replace(files["audit.yaml"])
	out, ended, said := scopeOfFiles(t, files, "--also", "lines")
	require.Equal(t, exitDone, ended, said)
	require.Contains(t, said, note)

	path := filepath.Join(out, "scope-lines.xlsx")
	book, err := excelize.OpenFile(path)
	require.NoError(t, err)
	rows, err := book.GetRows("Lines")
	require.NoError(t, err)
	for i, heading := range rows[0] {
		cell, taken := "", slices.Contains([]string{"Clearance (mm)", "Creepage voltage (kV)"}, heading)
		if i < len(rows[1]) {
			cell = rows[1][i]
		}
		require.Equal(t, taken, cell == "#N/A", "%s: %q", heading, cell)
		if taken {
			at, err := excelize.CoordinatesToCellName(i+1, 2)
			require.NoError(t, err)
			require.NoError(t, book.SetCellValue("Lines", at, map[string]float64{"Clearance (mm)": 1500, "Creepage voltage (kV)": 140}[heading]))
		}
	}
	require.NoError(t, book.Save())
	require.NoError(t, book.Close())

	folder := filepath.Dir(out)
	project := strings.Replace(files["audit.yaml"], "register: {file: [assemblies.csv, lines.csv]}", "register: {file: [assemblies.csv, "+path+"]}", 1)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "audit.yaml"), []byte(project[:strings.Index(project, "scenarios:")]), 0o600))
	audited, err := runInFolder(folder, nil)
	require.NoError(t, err)
	require.Empty(t, audited.faults)
	require.True(t, slices.ContainsFunc(audited.findings, func(f finding) bool {
		return f.check == "swing" && (f.outcome == audit.Meets || f.outcome == audit.FallsShort)
	}))
}
