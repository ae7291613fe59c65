package main

import (
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"
	"dryarc/audit/scope"

	"github.com/stretchr/testify/require"
)

// change is a scenario as a project file states it, and what a project says in whose files it was written.
type change struct {
	lines    []string
	set      [][2]string // headings of the sheet Lines as written, and what stands in them
	criteria [][2]string
	classes  map[string]string // nil for none
	worse    bool
}

// settable are columns of the sheet Lines with values of which some contradict others.
var settable = []struct {
	heading, key string
	values       []string
}{
	{"Nominal voltage (kV)", "nominal_voltage_kV", []string{"33", "66", "132", "220", "400"}},
	{"Highest voltage (kV)", "highest_voltage_kV", []string{"36", "72.5", "145", "245", "420"}},
	{"Creepage voltage (kV)", "creepage_voltage_kV", []string{"20", "84", "160"}},
	{"Lightning level (kV)", "lightning_level_kV", []string{"170", "325", "650", "1050"}},
	{"Switching level (kV)", "switching_level_kV", []string{"750", "850"}},
	{"System", "system", []string{"earthed", "isolated", "direct current", "single-phase railway"}},
	{"Circuits", "circuits", []string{"1", "2"}},
	{"Phases", "phases", []string{"'A,B,C'", "'R,Y,B'"}},
	{"Conductor", "conductor", []string{"Zebra", "panther", "DOG"}},
	{"Subconductors", "subconductors", []string{"1", "2"}},
	{"Maximum tension (kN)", "maximum_tension_kN", []string{"8", "25", "40"}},
	{"Everyday tension (kN)", "everyday_tension_kN", []string{"5", "22"}},
	{"Everyday temperature (C)", "everyday_temperature_C", []string{"15", "30"}},
	{"Cold tension (kN)", "cold_tension_kN", []string{"7", "30"}},
	{"Slip load (kN)", "slip_load_kN", []string{"4", "12"}},
	{"Deviation limit (deg)", "deviation_limit_deg", []string{"1", "5"}},
	{"Swing limit (deg)", "swing_limit_deg", []string{"20", "55"}},
	{"Arm length (mm)", "arm_length_mm", []string{"1200", "3600"}},
	{"Wall distance (mm)", "wall_distance_mm", []string{"1100", "2500"}},
	{"Wall lean", "wall_lean", []string{"0.05", "0.2"}},
	{"Bracket level (mm)", "bracket_level_mm", []string{"150", "900"}},
	{"Wall side", "wall_side", []string{"left", "both"}},
	{"Clearance (mm)", "clearance_mm", []string{"300", "900"}},
	{"Fittings (mm)", "fittings_mm", []string{"150", "340"}},
	{"Clamp rating (kN)", "clamp_rating_kN", []string{"20", "90"}},
	{"Yoke rating (kN)", "yoke_rating_kN", []string{"30", "120"}},
	{"Ball and socket rating (kN)", "ball_and_socket_rating_kN", []string{"25", "120"}},
	{"Section limit (km)", "section_limit_km", []string{"2", "8"}},
	{"Longest string (mm)", "longest_string_mm", []string{"1200", "2600"}},
	{"Capacitance ratio", "capacitance_ratio", []string{"0.05", "0.2"}},
	{"Superseded figures", "superseded_figures", []string{"none", "clearance of structures", "deviation limit; tension of load cases", "slip load of assemblies"}},
}

// otherCriteria are criteria in place of those of the projects under test, one line each.
var otherCriteria = [][2]string{
	{"deviation_limit_deg", "6"}, {"pin_deviation_limit_deg", "3"}, {"position_accuracy_m", "3"}, {"tee_tolerance_m", "40"}, {"tension_at_tee", "true"},
	{"default_class", "d"}, {"default_class", "a"}, {"creepage_basis", "1986"}, {"specific_creepage", "{base: Um/√3, c: 34.7, d: 50, e: 60}"},
	{"creepage_altitude_exponent", "0.2"}, {"altitude_basis", "sea level"}, {"switching_exponent", "0.9"}, {"gap_factor", "1.4"}, {"wet_share", "0.8"},
	{"puncture_share", "0.5"}, {"sound_units", "{33: 3, 132: 10}"}, {"zone_margin_m", "900"}, {"span_limit_m", "300"}, {"route_tolerance_m", "1"},
	{"long_span_m", "350"}, {"crossing_rules", "{river: tension, railway: double}"},
	{"insulator_factor", "{basis: own, tension: 3, suspension: 3, cantilever: 3, compression: 3, one_string_broken: 2}"},
	{"insulator_factor", "{basis: own, tension: 2, suspension: 2, cantilever: 2, compression: 2, fitting: 2.5, by: [{for: [tension, suspension, fitting], crossing: [river, road], factor: 3, basis: own}, {for: tension, at: terminal, factor: 4, basis: own}, " +
		"{for: [tension, suspension], material: glass, factor: 1.8, basis: own}, {for: suspension, installed_before: 2001, factor: 3, basis: own}]}"},
	{"load_cases", "[{name: gale, wind_Pa: 700, tension: maximum}, {name: frost, tension: cold, uplift: true}]"},
	{"stated_tension", "at support"}, {"unequal_sharing", "1.2"}, {"residual_strength", "{porcelain: 0.5, glass: 0.6}"}, {"combined_loads", "each"},
	{"ageing", "{porcelain: 20, U70BL: 15}"}, {"broken_conductor", "{share: {suspension: 0.9, pin: 1, post: 0.8}, factor: 2.5, basis: own rule}"},
	{"voltages", "north american"}, {"arcing_distance", "string length less hardware"}, {"flashover_minimum", "GO 64 table 6"},
	{"grading_rings", "{100: live, 300: both}"}, {"watch_list", "[{material: porcelain, installed_until: 1990, note: look}]"},
	{"creepage_voltage", "{isolated: Um, resonant: Um/√3, earth_faults: own rule}"}, {"direct_current_creepage", "{a: 30, b: 35, c: 45, d: 55, e: 70}"},
	{"height_accuracy_m", "4"}, {"zone_accuracy_m", "90"}, {"tension_accuracy_percent", "8"},
}

func drawChange(r *rand.Rand, lines []string) (c change) {
	for _, line := range lines {
		if r.IntN(2) == 0 {
			c.lines = append(c.lines, line)
		}
	}
	if len(c.lines) == 0 {
		c.lines = lines[:1]
	}
	if r.IntN(4) > 0 {
		for _, at := range r.Perm(len(settable))[:1+r.IntN(5)] {
			s := settable[at]
			c.set = append(c.set, [2]string{s.heading, s.values[r.IntN(len(s.values))]})
		}
	}
	if r.IntN(3) > 0 {
		for _, at := range r.Perm(len(otherCriteria))[:1+r.IntN(4)] {
			if k := otherCriteria[at]; !slices.ContainsFunc(c.criteria, func(other [2]string) bool { return other[0] == k[0] }) {
				c.criteria = append(c.criteria, k)
			}
		}
	}
	switch r.IntN(3) {
	case 0:
		c.worse = true
	case 1:
		c.classes = map[string]string{"a": "e", "b": "c", "c": "a"}
	default:
		c.worse = len(c.set) == 0 && len(c.criteria) == 0 // a scenario changes something
	}
	return c
}

// inWords is the change as a scenario.
func (c *change) inWords(name string) string {
	text := fmt.Sprintf("  - name: %s\n    lines: [%s]\n", name, strings.Join(c.lines, ", "))
	if len(c.set) > 0 {
		text += "    set:\n"
	}
	for _, s := range c.set {
		at := slices.IndexFunc(settable, func(k struct {
			heading, key string
			values       []string
		}) bool {
			return k.heading == s[0]
		})
		text += fmt.Sprintf("      %s: %s\n", settable[at].key, s[1])
	}
	text += c.criteriaInWords("    ")
	switch {
	case c.worse:
		text += "    classes: worse by 1\n"
	case c.classes != nil:
		var pairs []string
		for from, to := range c.classes {
			pairs = append(pairs, from+": "+to)
		}
		text += "    classes: {" + strings.Join(pairs, ", ") + "}\n"
	}
	return text
}

func (c *change) criteriaInWords(indent string) string {
	if len(c.criteria) == 0 {
		return ""
	}
	text := indent + "criteria:\n"
	for _, k := range c.criteria {
		text += fmt.Sprintf("%s  %s: %s\n", indent, k[0], k[1])
	}
	return text
}

// class is the class that takes the place of one.
func (c *change) class(was string) string {
	if c.worse && was >= "a" && was <= "d" {
		return string(was[0] + 1)
	}
	if to, changed := c.classes[was]; changed {
		return to
	}
	return was
}

// spoil makes cells of the sheet Lines and the classes of zones unreadable, blank or contradictory.
func spoil(r *rand.Rand, in *inputs) {
	sheet := in.sheets["Lines"]
	for range r.IntN(6) {
		row, column := 1+r.IntN(len(sheet)-1), 1+r.IntN(len(sheet[0])-1)
		sheet[row][column] = []string{"", "?", "oops", "1"}[r.IntN(4)]
	}
	if r.IntN(4) == 0 {
		in.sheets["Lines"] = slices.Delete(sheet, 1, 2)
	}
	if r.IntN(6) == 0 {
		sheet[1+r.IntN(len(sheet)-2)][0] = "#N/A" // a row that names no line
	}
	if zones := in.layers["zones"].Features; r.IntN(3) == 0 {
		zones[r.IntN(len(zones))].Properties["class"] = "?"
	}
	for _, line := range linesOf(in) {
		if r.IntN(2) == 0 {
			pairSets(r, in.sheets["Assemblies"], line)
		}
	}
}

// pairSets takes the sides from the rows of a line in a register, so that it has two like rows for most tension structures within the line, and spoils a cell of some
// of these rows.
func pairSets(r *rand.Rand, sheet [][]string, line string) {
	column := func(heading string) int {
		return slices.IndexFunc(sheet[0], func(text string) bool { return text == heading || strings.HasPrefix(text, heading+" (") })
	}
	side, duty := column("Side"), column("Duty")
	said := []int{column("Creepage"), column("Rating"), column("Length"), column("Arcing"), column("Lightning withstand"), column("Wet withstand")}
	first := map[string][]string{}
	for _, row := range sheet[1:] {
		if row[column("Line")] != line {
			continue
		}
		if row[side] = ""; row[duty] != "tension" {
			continue
		}
		key := strings.Join([]string{row[column("Structure")], row[column("Circuit")], row[column("Phase")]}, "\t")
		if like, isSecond := first[key]; isSecond {
			copy(row, like)
		} else {
			first[key] = slices.Clone(row)
		}
		if at := said[r.IntN(len(said))]; at >= 0 && r.IntN(3) == 0 {
			row[at] = "?"
		}
	}
}

// ofLines are the findings of some lines, one a line of text. What is superseded in a scenario is stated in files as what nobody knows, which is a
// fault.
func ofLines(found []finding, is func(line string) bool) string {
	var b strings.Builder
	for i := range found {
		if f := &found[i]; is(f.line) {
			reason := f.reason
			if reason == audit.OwnFigureSuperseded || reason == audit.LineFigureSuperseded {
				reason = audit.FaultyField
			}
			fmt.Fprintf(&b, "%s %s %d: %s %s %s %s %s\n", f.check, f.subject, f.row.Table, f.outcome, f.severity, reason, inFigures(f.observed), inFigures(f.required))
		}
	}
	return b.String()
}

func requireSameText(t *testing.T, want, got string, about ...any) {
	t.Helper()
	if want == got {
		return
	}
	a, b := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range min(len(a), len(b)) {
		require.Equal(t, a[i], b[i], about...)
	}
	require.Equal(t, len(a), len(b), about...)
}

func linesOf(in *inputs) (lines []string) {
	for _, f := range in.layers["structures"].Features {
		if line, ok := f.Properties["line"].(string); ok && line != "" && !slices.Contains(lines, line) {
			lines = append(lines, line)
		}
	}
	return lines
}

// requireScenarioIsAsInFiles holds a scenario against a project in whose files it was written: every verdict is the same. What a
// scenario does not judge again is as today. It tells whether the scenario makes any difference.
func requireScenarioIsAsInFiles(t *testing.T, fresh func() *inputs, c change) (differs bool) {
	t.Helper()
	folder := t.TempDir()
	in := fresh()
	in.project += "scenarios:\n" + c.inWords("another")
	about := in.project[len(in.project)-len(c.inWords("another")):]
	in.writeAll(t, folder)
	project, err := read.Project(context.Background(), filepath.Join(folder, "audit.yaml"))
	require.NoError(t, err, about)
	pristine := project.Pristine()
	scenario, err := runProject(pristine.Under(&pristine.Scenarios[0]), nil)
	require.NoError(t, err, about)
	inFiles := func(rules bool) *outcomeRun {
		in := fresh()
		c.inFiles(in, rules)
		folder := t.TempDir()
		in.writeAll(t, folder)
		run, err := runInFolder(folder, nil)
		require.NoError(t, err, about)
		return run
	}
	chosen := func(line string) bool { return slices.Contains(c.lines, line) }
	others := func(line string) bool { return !chosen(line) }
	requireSameText(t, ofLines(inFiles(true).findings, chosen), ofLines(scenario.findings, chosen), about)
	requireSameText(t, ofLines(inFiles(false).findings, others), ofLines(scenario.findings, others), about)

	network, err := audit.Arrange(project)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), network, 1))
	today, err := audit.Assess(context.Background(), network, checks.All(), audit.Options{Workers: 1})
	require.NoError(t, err)
	requireArrangedFromToday(t, pristine, today, scenario, about)
	asToday, err := runProject(pristine.Pristine(), nil)
	require.NoError(t, err)
	require.NoError(t, scope.Run(context.Background(), pristine, today, scope.Options{Workers: 1}, func(l *scope.Look) error {
		again := map[string]bool{}
		for i := range l.Then.Lines {
			again[l.Then.Project.Symbols.Text(l.Then.Network.Lines[i].Symbol)] = l.Then.Lines[i].Assessed
		}
		left := func(line string) bool { return !again[line] }
		requireSameText(t, ofLines(asToday.findings, left), ofLines(scenario.findings, left), about)
		return nil
	}))
	every := func(string) bool { return true }
	return ofLines(asToday.findings, every) != ofLines(scenario.findings, every)
}

// requireArrangedFromToday holds the network of the first scenario that is arranged from that of today, of which most is taken, against one
// that is arranged of its rows alone: every verdict is the same on every line, and every fault and what is taken for equal. What is taken of
// what today's audit says is what would be said.
func requireArrangedFromToday(t *testing.T, pristine *audit.Project, today *audit.Result, alone *outcomeRun, about string) {
	t.Helper()
	whole, err := audit.Arrange(pristine.Under(&pristine.Scenarios[0]))
	require.NoError(t, err)
	from, err := today.Network.Under(pristine, &pristine.Scenarios[0])
	require.NoError(t, err)
	inWords := func(n *audit.Network) string {
		var text strings.Builder
		for _, f := range n.Project.Faults.List() {
			fmt.Fprintln(&text, f.Where(n.Project.Tables), f.Message(), f.Rows)
		}
		for _, taken := range n.Taken() {
			fmt.Fprintln(&text, taken.Text, taken.Lines)
		}
		fmt.Fprintln(&text, n.RowsPlaced, n.RowsLeftOut, n.Renumbering)
		for i := range n.Inspected {
			fmt.Fprintf(&text, "%+v\n", n.Inspected[i])
		}
		for _, row := range slices.Sorted(maps.Keys(n.Project.Observed)) {
			fmt.Fprintf(&text, "%d %+v %s\n", row, *n.Project.Observed[row], n.Project.Assemblies.At(int(row)).Inspected)
		}
		return text.String()
	}
	requireSameText(t, inWords(whole), inWords(from), about)
	require.NoError(t, audit.DeriveLike(context.Background(), from, today.Network, 1))
	requireTakenIsSaidAnew(t, from, today, checks.All(), nil, about)
	taken, err := runNetwork(from, nil)
	require.NoError(t, err)
	every := func(string) bool { return true }
	requireSameText(t, ofLines(alone.findings, every), ofLines(taken.findings, every), about)
}

// requireCriteriaOfLinesAreAsForAll holds criteria of some lines against a project that states them for all: on these lines every
// verdict is the same, on the others it is what it was.
func requireCriteriaOfLinesAreAsForAll(t *testing.T, fresh func() *inputs, c change) {
	t.Helper()
	run := func(change func(in *inputs)) []finding {
		in, folder := fresh(), t.TempDir()
		change(in)
		in.writeAll(t, folder)
		r, err := runInFolder(folder, nil)
		require.NoError(t, err, in.project)
		return r.findings
	}
	chosen := func(line string) bool { return slices.Contains(c.lines, line) }
	others := func(line string) bool { return !chosen(line) }
	about := c.criteriaInWords("") + strings.Join(c.lines, ", ")
	own := run(func(in *inputs) {
		in.project += "for:\n  - lines: [" + strings.Join(c.lines, ", ") + "]\n" + c.criteriaInWords("    ")
	})
	all := run(func(in *inputs) { in.project = c.inCriteria(in.project) })
	none := run(func(*inputs) {})
	requireSameText(t, ofLines(all, chosen), ofLines(own, chosen), about)
	requireSameText(t, ofLines(none, others), ofLines(own, others), about)
}

// Scenarios of any kind, and criteria of some lines, over a project in which everything is stated and over one with spoilt cells.
func TestScenarioIsAsInFiles(t *testing.T) {
	t.Parallel()
	turns := uint64(6)
	if os.Getenv("DRYARC_HARD") != "" {
		turns = 400
	}
	ran, different := 0, 0
	for seed := range turns {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			fresh := func() *inputs {
				in := island(t)
				for _, s := range settable {
					in.addMissing(s.heading)
				}
				if seed%3 > 0 {
					spoil(rand.New(rand.NewPCG(seed, 1)), in)
				}
				return in
			}
			c := drawChange(rand.New(rand.NewPCG(seed, 2)), linesOf(fresh()))
			if c.lines = nameable(fresh(), c.lines); len(c.lines) == 0 {
				return
			}
			ran++
			if requireScenarioIsAsInFiles(t, fresh, c) {
				different++
			}
			if len(c.criteria) > 0 {
				requireCriteriaOfLinesAreAsForAll(t, fresh, c)
			}
		})
	}
	if !t.Failed() {
		require.GreaterOrEqual(t, different, ran/2, "scenarios that make a difference")
	}
}

// nameable are the lines of which a row of the sheet Lines can be written. Where a row names no line, a row that is added would say that
// it was not that of its line; a scenario does not say so, and leaves in doubt what it does not set.
func nameable(in *inputs, lines []string) (list []string) {
	rows := in.sheets["Lines"]
	named := func(name string) bool {
		return slices.ContainsFunc(rows[1:], func(row []string) bool { return row[0] == name })
	}
	for _, line := range lines {
		if named(line) || !named("#N/A") {
			list = append(list, line)
		}
	}
	return list
}

// A line without a row of its own beside a row that names no line is as unearned in a scenario as it was, but for what is set.
func TestScenarioLeavesWhatIsLostInDoubt(t *testing.T) {
	judged := func(isLost bool) map[string]map[audit.Outcome]int {
		in, folder := island(t), t.TempDir()
		rows := in.sheets["Lines"]
		if isLost {
			rows[slices.IndexFunc(rows, func(row []string) bool { return row[0] == "SD-132" })][0] = "#N/A"
		}
		in.project += "scenarios:\n  - {name: one, lines: [SD-132], set: {nominal_voltage_kV: 132, highest_voltage_kV: 145, swing_limit_deg: 89}}\n"
		in.writeAll(t, folder)
		project, err := read.Project(context.Background(), filepath.Join(folder, "audit.yaml"))
		require.NoError(t, err)
		then, err := runProject(project.Under(&project.Scenarios[0]), nil)
		require.NoError(t, err)
		outcomes := map[string]map[audit.Outcome]int{}
		for _, f := range then.findings {
			if f.line != "SD-132" {
				continue
			}
			if outcomes[f.check] == nil {
				outcomes[f.check] = map[audit.Outcome]int{}
			}
			outcomes[f.check][f.outcome]++
		}
		return outcomes
	}
	sound, lost := judged(false), judged(true)
	for _, check := range []string{"creepage", "swing", "lightning-withstand", "section-length", "string-too-long"} {
		require.Positive(t, sound[check][audit.Meets], "%s meets where the row is there", check)
		require.Positive(t, lost[check][audit.NotAssessed], check)
		require.Zero(t, lost[check][audit.Meets], check)
	}
}

// Each criterion alone may be another on one line, also where it is one that tells of two lines.
func TestEachCriterionOfALine(t *testing.T) {
	t.Parallel()
	fresh := func() *inputs { return island(t) }
	for i, k := range otherCriteria {
		if i%4 != 0 && os.Getenv("DRYARC_HARD") == "" {
			continue
		}
		t.Run(k[0], func(t *testing.T) {
			requireCriteriaOfLinesAreAsForAll(t, fresh, change{lines: []string{"SD-132", "DP-33"}, criteria: [][2]string{k}})
		})
	}
}

// A tested voltage between what two values of a criterion believe is doubted by the one that holds on its line: 338 kV of wet withstand are
// reckoned for the discs of T-024 and 749 kV of lightning impulse for the rod of T-004, of which 439 and 974 kV are believed.
func TestTestedVoltagesAreDoubtedByTheCriteriaOfTheirLine(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		where, column, value string
		criterion            [2]string
	}{
		{"Structure=T-024, Circuit=1", "Wet withstand", "400", [2]string{"wet_share", "0.3"}},
		{"Structure=T-024, Circuit=1", "Wet withstand", "500", [2]string{"wet_share", "1"}},
		{"Structure=T-004, Circuit=1", "Lightning withstand", "900", [2]string{"gap_factor", "1"}},
		{"Structure=T-004, Circuit=1", "Lightning withstand", "1100", [2]string{"gap_factor", "1.8"}},
	} {
		t.Run(c.criterion[0]+" "+c.criterion[1], func(t *testing.T) {
			fresh := func() *inputs {
				in := island(t)
				in.state(t, "Assemblies", c.where, c.column, c.value)
				return in
			}
			of := change{lines: []string{"SD-132"}, criteria: [][2]string{c.criterion}}
			requireCriteriaOfLinesAreAsForAll(t, fresh, of)
			require.True(t, requireScenarioIsAsInFiles(t, fresh, of))
		})
	}
}

// The same on lines of the real case.
func TestScenarioOfAndesIsAsInFiles(t *testing.T) {
	t.Parallel()
	folder := andesCase(t)
	structures := readLayer(t, filepath.Join(folder, "structures.geojson"))
	zones := readLayer(t, filepath.Join(folder, "zones.geojson"))
	workbook, err := os.ReadFile(filepath.Join(folder, "assemblies.xlsx"))
	require.NoError(t, err)
	book := demoCells(t, workbook)
	fresh := func() *inputs {
		in := sampleOfAndes(structures, zones, book)
		in.project = strings.Replace(in.project, "criteria: {deviation_limit_deg: 2, default_class: b, position_accuracy_m: 0, creepage_basis: unified}",
			"criteria:\n  deviation_limit_deg: 2\n  default_class: b\n  position_accuracy_m: 0\n  creepage_basis: unified", 1)
		for _, s := range settable {
			in.addMissing(s.heading)
		}
		return in
	}
	lines := linesOf(fresh())
	requireScenarioIsAsInFiles(t, fresh, change{lines: lines[:len(lines)/2], worse: true,
		set: [][2]string{{"Nominal voltage (kV)", "220"}, {"Highest voltage (kV)", "245"}, {"Lightning level (kV)", "1050"}, {"Conductor", "Zebra"}, {"Maximum tension (kN)", "40"}}})
	for seed := range uint64(2) {
		requireScenarioIsAsInFiles(t, fresh, drawChange(rand.New(rand.NewPCG(seed, 3)), lines))
	}
}
