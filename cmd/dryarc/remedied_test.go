package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"
	"dryarc/audit/remedy"
	"dryarc/report"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// assessedProject reads and audits a project.
func assessedProject(t *testing.T, path string) *audit.Result {
	t.Helper()
	p, err := read.Project(context.Background(), path)
	require.NoError(t, err)
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 2))
	r, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{Workers: 2, Version: version, AsOf: "2026-01-01"})
	require.NoError(t, err)
	return r
}

// withRemedied writes the register with jobs done and audits it in place of the one that it was made from.
func withRemedied(t *testing.T, r *audit.Result, jobs []remedy.Job, folder, register string) *audit.Result {
	t.Helper()
	out := t.TempDir()
	_, err := report.Write(context.Background(), out, r, jobs, report.How{Also: []string{"remedied"}})
	require.NoError(t, err)
	project, err := os.ReadFile(filepath.Join(folder, "audit.yaml"))
	require.NoError(t, err)
	before, after, found := strings.Cut(string(project), register)
	require.True(t, found)
	path := filepath.Join(folder, "after.yaml")
	require.NoError(t, os.WriteFile(path, []byte(before+filepath.Join(out, "remedied.xlsx")+after), 0o600))
	return assessedProject(t, path)
}

func idsOf(r *audit.Result, severity audit.Severity) (ids []string) {
	for i, id := range r.ExceptionIDs() {
		if r.Exceptions[i].Verdict.Severity == severity {
			ids = append(ids, id)
		}
	}
	return ids
}

// The register with the work done is read and audited: what the first run said it would mend is mended, and nothing else falls short.
func TestRegisterAfterTheWork(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, os.DirFS(demoDir)))
	r := assessedProject(t, filepath.Join(folder, "audit.yaml"))
	jobs, err := remedy.Search(context.Background(), r, remedy.Options{Workers: 2})
	require.NoError(t, err)
	var open []string
	for i := range jobs {
		for _, o := range jobs[i].Open {
			if o.Exception >= 0 {
				open = append(open, r.ExceptionIDs()[o.Exception])
			}
		}
	}
	before, after := idsOf(r, audit.Shortfall), idsOf(withRemedied(t, r, jobs, folder, "assemblies.xlsx"), audit.Shortfall)
	require.NotEmpty(t, before)
	require.LessOrEqual(t, float64(len(after)), 0.2*float64(len(before)), "at least 80 % are mended")
	for _, id := range after {
		require.Contains(t, open, id)
	}
}

// Without any work the register comes back as it was: every verdict is the same, also of rows with cells that cannot be read.
func TestRegisterComesBackAsItWas(t *testing.T) {
	t.Parallel()
	for _, damage := range []string{"", "?!", "?", "twelve", "12 or 13", "1,500", "1 500,5 mm", "99999999", "#REF!", "2x", "١٢"} {
		folder := t.TempDir()
		in := island(t)
		if damage != "" {
			for _, rows := range in.sheets {
				for column := 2; column < len(rows[0]); column++ {
					row := 1 + (7*column)%(len(rows)-1)
					rows[row][column] = damage
				}
			}
			in.sheets["Assemblies"][40][1] = "" // a row that names no structure
		}
		in.writeAll(t, folder)
		r := assessedProject(t, filepath.Join(folder, "audit.yaml"))
		again := withRemedied(t, r, nil, folder, islandRegister)
		requireSame(t, r, again, fmt.Sprintf("damaged %q", damage))
		requireTextsKept(t, r.Project, again.Project)
	}
}

// islandRegister is the register of the island as its project file names it.
const islandRegister = "[Assemblies.csv, Lines.csv, Units.csv, Conductors.csv]"

// requireSame asks that two audits say the same of everything.
func requireSame(t *testing.T, r, again *audit.Result, of string) {
	t.Helper()
	for i := range r.Coverage {
		require.Equal(t, fmt.Sprint(r.Coverage[i]), fmt.Sprint(again.Coverage[i]), "%s, %s", r.Checks[i].ID, of)
	}
	for _, severity := range []audit.Severity{audit.Shortfall, audit.Advisory, audit.Note} {
		require.ElementsMatch(t, idsOf(r, severity), idsOf(again, severity), "%s, %s", severity, of)
	}
}

// Names of circuits and phases that can be read, but are none that the line is known to have, come back as they were written, and as
// little known: without any work nothing differs, and with it only what is mended.
func TestForeignNamesComeBack(t *testing.T) {
	t.Parallel()
	for _, foreign := range []struct {
		of, heading string
		name        func(row int, cell string) string
	}{
		{"one circuit too many", "Circuit", func(row int, cell string) string { return pick(row%30 == 0, "3", cell) }},
		{"a circuit of another name", "Circuit", func(row int, cell string) string { return pick(row%5 == 0, "North", cell) }},
		{"many circuits", "Circuit", func(row int, cell string) string { return cell + "abc"[row%3:row%3+1] }},
		{"another phase", "Phase", func(row int, cell string) string { return pick(row%7 == 0, "X", cell) }},
		{"a number of phases", "Phase", func(int, string) string { return "3" }},
	} {
		folder := t.TempDir()
		in := island(t)
		rows := in.sheets["Assemblies"]
		column := slices.Index(rows[0], foreign.heading)
		require.GreaterOrEqual(t, column, 0)
		for i, row := range rows[1:] {
			row[column] = foreign.name(i, row[column])
		}
		in.writeAll(t, folder)
		r := assessedProject(t, filepath.Join(folder, "audit.yaml"))
		requireSame(t, r, withRemedied(t, r, nil, folder, islandRegister), foreign.of)

		jobs, err := remedy.Search(context.Background(), r, remedy.Options{Workers: 2})
		require.NoError(t, err)
		before, after := idsOf(r, audit.Shortfall), idsOf(withRemedied(t, r, jobs, folder, islandRegister), audit.Shortfall)
		require.Subset(t, before, after, foreign.of)
		ids := r.ExceptionIDs()
		for i := range jobs {
			for _, e := range jobs[i].Exceptions {
				if !slices.ContainsFunc(jobs[i].Open, func(o remedy.Open) bool { return o.Exception == e }) && r.Exceptions[e].Verdict.Severity == audit.Shortfall {
					require.NotContains(t, after, ids[e], foreign.of)
				}
			}
		}
	}
}

func pick(first bool, one, other string) string {
	if first {
		return one
	}
	return other
}

// A text that is no number in its column is none in the register after the work, where the column has another unit of measure: beside whole
// millimetres 73,5 would be read with a decimal comma, which beside centimetres with points it was not.
func TestRegisterAfterTheWorkReadsNoMore(t *testing.T) {
	folder := t.TempDir()
	in := island(t)
	rows := in.sheets["Assemblies"]
	column := slices.Index(rows[0], "Length (mm)")
	require.GreaterOrEqual(t, column, 0)
	rows[0][column] = "Length (cm)"
	for i := range rows[1:] {
		rows[1+i][column] = ""
	}
	rows[1][column], rows[2][column] = "131.4", "73,5"
	in.writeAll(t, folder)
	r := assessedProject(t, filepath.Join(folder, "audit.yaml"))
	requireUnread := func(p *audit.Project, value string) {
		require.True(t, slices.ContainsFunc(p.Faults.List(), func(f audit.Fault) bool {
			return f.Kind == audit.NotANumber && f.Column == "Length" && f.Value == value
		}), value)
	}
	requireUnread(r.Project, "73,5")
	requireUnread(withRemedied(t, r, nil, folder, islandRegister).Project, "#N/A: 73,5")
}

// requireTextsKept asks that each text of a register that could not be read stands in the register after the work, and cannot be read there.
func requireTextsKept(t *testing.T, p, again *audit.Project) {
	t.Helper()
	type cell struct{ column, text string }
	unread := func(p *audit.Project) map[cell]int {
		found := map[cell]int{}
		for _, f := range p.Faults.List() {
			switch f.Kind {
			case audit.NotANumber, audit.OutOfRange, audit.UnknownWord, audit.UnknownUnit:
				if text := strings.TrimPrefix(f.Value, "#N/A: "); p.Tables[f.At.Table].Sheet != "" || strings.HasSuffix(p.Tables[f.At.Table].File, ".csv") {
					found[cell{f.Column, text}] += max(f.Rows, 1)
				}
			}
		}
		return found
	}
	before, after := unread(p), unread(again)
	for c, n := range before {
		require.GreaterOrEqual(t, after[c], n, "%s %q", c.column, c.text)
	}
}

// Its sheets have the columns that are read, all of them.
func TestRegisterAfterTheWorkHasEveryColumn(t *testing.T) {
	r := assessedProject(t, demoProject)
	out := t.TempDir()
	_, err := report.Write(context.Background(), out, r, nil, report.How{Also: []string{"remedied"}})
	require.NoError(t, err)
	book, err := excelize.OpenFile(filepath.Join(out, "remedied.xlsx"))
	require.NoError(t, err)
	defer book.Close()
	for _, sheet := range read.Sheets() {
		rows, err := book.GetRows(sheet.Name)
		require.NoError(t, err)
		var headings []string
		for _, c := range sheet.Columns {
			headings = append(headings, c.Heading)
		}
		slices.Sort(headings)
		slices.Sort(rows[0])
		require.Equal(t, headings, rows[0], sheet.Name)
	}
}

// Names with characters that a workbook can hold only by their escape come back as they were, so that they still join.
func TestControlCharactersComeBack(t *testing.T) {
	folder := t.TempDir()
	const line, remark = "L\x011", "one\x07 \x1b[31m_x0041_ \uFFFE\x7f two\nthree"
	for name, text := range map[string]string{
		"audit.yaml":         "structures: {file: structures.geojson}\nregister: {file: [Assemblies.csv, Lines.csv]}\n",
		"structures.geojson": `{"type":"FeatureCollection","features":[` + pointOf("L\\u00011", "1\\u0002", 0) + "," + pointOf("L\\u00011", "2", 1) + `]}`,
		"Assemblies.csv":     "Line,Structure,Duty,Unit,Units per string,Remarks\n" + line + ",1\x02,tension,U120B,9,\"" + remark + "\"\n" + line + ",2,tension,U120B,9,\n",
		"Lines.csv":          "Line,Nominal voltage (kV)\n" + line + ",110\n",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
	r := assessedProject(t, filepath.Join(folder, "audit.yaml"))
	again := withRemedied(t, r, nil, folder, "[Assemblies.csv, Lines.csv]")
	for _, p := range []*audit.Project{r.Project, again.Project} {
		require.Equal(t, 2, p.Assemblies.Len())
		a := p.Assemblies.Row(0)
		require.Equal(t, []string{line, "1\x02", remark}, []string{p.Symbols.Text(a.Line), p.Texts.Get(a.Number), p.Texts.Get(a.Remarks)})
	}
	for i := range r.Coverage {
		require.Equal(t, fmt.Sprint(r.Coverage[i]), fmt.Sprint(again.Coverage[i]), r.Checks[i].ID)
	}
}

func pointOf(line, structure string, at int) string {
	return fmt.Sprintf(`{"type":"Feature","properties":{"line":"%s","structure":"%s"},"geometry":{"type":"Point","coordinates":[%g,50]}}`, line, structure, 10+0.003*float64(at))
}

// A slip load and the ratings of fittings are of the place: where another string is hung they stay with it, in the register after the work too.
func TestFiguresOfThePlaceStayAfterTheWork(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, os.DirFS(demoDir)))
	p, err := read.Project(context.Background(), filepath.Join(folder, "audit.yaml"))
	require.NoError(t, err)
	for i := range p.Assemblies.Len() {
		row := p.Assemblies.Row(i)
		figures := audit.UnknownDirectValues()
		if stated := p.Figures(row); stated != nil {
			figures = *stated
		}
		figures.SlipKN, figures.FittingsKN = 12, audit.Ratings{90, 110, 100}
		row.Direct = p.AddFigures(figures)
	}
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 2))
	r, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{Workers: 2, Version: version, AsOf: "2026-01-01"})
	require.NoError(t, err)
	jobs, err := remedy.Search(context.Background(), r, remedy.Options{Workers: 2})
	require.NoError(t, err)
	after := withRemedied(t, r, jobs, folder, "assemblies.xlsx").Project
	replaced, without := 0, 0
	for i := range after.Assemblies.Len() {
		row := after.Assemblies.Row(i)
		if i < p.Assemblies.Len() && row.UnitsPerString != p.Assemblies.Row(i).UnitsPerString {
			replaced++
		}
		figures := after.Figures(row)
		if figures == nil || figures.SlipKN != 12 || figures.FittingsKN != (audit.Ratings{90, 110, 100}) {
			without++
		}
	}
	require.Greater(t, replaced, 5)
	require.Equal(t, after.Assemblies.Len()-p.Assemblies.Len(), without, "only what is hung where nothing hung states none")
}

// Of several cells of one kind those alone are unreadable in the register after the work that could not be read, or are not believed: what the line states holds for others.
func TestRegisterAfterTheWorkKeepsCellsBesideUnreadOnes(t *testing.T) {
	for name, c := range map[string]struct {
		line, row string // ratings: of the clamp that the line states; yoke, ball and socket of the row
		want      []string
		more      int // faults
	}{
		"one that cannot be read":                {"40", ",?", []string{"", "", "", "", "?"}, 0},
		"one that is not believed":               {"40", "900,", []string{"", "", "", "#N/A", ""}, 1},
		"one that the line states, not believed": {"900", ",16", []string{"", "", "#N/A", "", "16"}, 1},
		"one of each":                            {"40", "900,?", []string{"", "", "", "#N/A", "?"}, 1},
	} {
		t.Run(name, func(t *testing.T) {
			folder, out := t.TempDir(), t.TempDir()
			for name, text := range map[string]string{
				"audit.yaml":         "structures: {file: structures.geojson}\nregister: {file: [Assemblies.csv, Lines.csv]}\ncriteria: {default_class: c}\n",
				"structures.geojson": `{"type":"FeatureCollection","features":[` + pointOf("L", "1", 0) + "," + pointOf("L", "2", 1) + "," + pointOf("L", "3", 2) + `]}`,
				"Assemblies.csv":     "Line,Structure,Phase,Duty,Unit,Units per string,Yoke rating (kN),Ball and socket rating (kN)\nL,1,ABC,tension,U120B,11,,\nL,2,ABC,suspension,U120B,8," + c.row + "\nL,3,ABC,tension,U120B,11,,\n",
				"Lines.csv":          "Line,Nominal voltage (kV),Highest voltage (kV),Clamp rating (kN)\nL,132,145," + c.line + "\n",
			} {
				require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
			}
			r := assessedProject(t, filepath.Join(folder, "audit.yaml"))
			jobs, err := remedy.Search(context.Background(), r, remedy.Options{Workers: 2})
			require.NoError(t, err)
			_, err = report.Write(context.Background(), out, r, jobs, report.How{Also: []string{"remedied"}})
			require.NoError(t, err)
			book, err := excelize.OpenFile(filepath.Join(out, "remedied.xlsx"))
			require.NoError(t, err)
			defer book.Close()
			rows, err := book.GetRows("Assemblies")
			require.NoError(t, err)
			at := func(heading string) string {
				if column := slices.Index(rows[0], heading); column < len(rows[2]) {
					return rows[2][column]
				}
				return ""
			}
			require.Equal(t, "10", at("Units per string"))
			var cells []string
			for _, heading := range []string{"Mounting", "Grading rings", "Clamp rating (kN)", "Yoke rating (kN)", "Ball and socket rating (kN)"} {
				cells = append(cells, at(heading))
			}
			require.Equal(t, c.want, cells)
			after := withRemedied(t, r, jobs, folder, "[Assemblies.csv, Lines.csv]")
			require.Len(t, after.Project.Faults.List(), len(r.Project.Faults.List())+c.more)
		})
	}
}
