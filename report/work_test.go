package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/history"
	"dryarc/audit/remedy"
	"dryarc/report/gpkg"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// demoJobs are the demo project with its jobs.
func demoJobs(t *testing.T) (*audit.Result, []remedy.Job) {
	t.Helper()
	r := judged(t, demo(t))
	jobs, err := remedy.Search(context.Background(), r, remedy.Options{})
	require.NoError(t, err)
	require.NotEmpty(t, jobs)
	return r, jobs
}

// rowOf is the row of a structure in a table, by its headings.
func rowOf(t *testing.T, rows [][]string, line, structure string) map[string]string {
	t.Helper()
	for _, row := range rows[1:] {
		named := map[string]string{}
		for i, heading := range rows[0] {
			if i < len(row) {
				named[heading] = row[i]
			}
		}
		if strings.EqualFold(named["Line"]+named["line"], line) && named["Structure"]+named["structure"] == structure {
			return named
		}
	}
	require.Fail(t, "no row", "%s %s", line, structure)
	return nil
}

// Structure 1/3 has 13 units in one phase where class c wants 15 (PLANTED.csv); SD-132 T-060 is a line end in suspension.
func TestWorkAndMaterial(t *testing.T) {
	r, jobs := demoJobs(t)
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, &account{jobs: jobs}, generous))
	book, err := excelize.OpenReader(&b)
	require.NoError(t, err)
	work := cells(t, book, workSheet)
	require.Equal(t, "Rank", work[0][0])
	require.Equal(t, "1", work[1][0])
	job := rowOf(t, work, "DF-220", "1/3")
	require.Equal(t, "2 × U160BL", job["Units to fit"])
	require.Equal(t, "63", job["Cost of units"])
	require.Contains(t, job["What is wrong"], "creepage, circuit 1, ")
	require.Contains(t, job["What to hang"], "15 × U160BL (more units)")
	require.Contains(t, job["What stays open, what stops it"], "not assessed: puncture-margin")
	end := rowOf(t, work, "SD-132", "T-060")
	require.Equal(t, "a part may fall", end["Danger"])
	require.Empty(t, end["Short by (%)"], "a duty is no figure")

	overview := ""
	for _, row := range cells(t, book, overviewSheet) {
		overview += strings.Join(row, " ") + "\n"
	}
	for _, said := range []string{"What to do first", "1. " + work[1][1] + ", " + work[1][2] + ": ", "What it takes", "22 jobs in all; 15 to be done as they stand; 7 with a look or an entry in the register to be made first, see Work", "What needs a look or an entry first", "What no unit to choose from can mend", "The datum that would judge most"} {
		require.Contains(t, overview, said)
	}
	var listed, leftOut []string
	for _, w := range workRows(r, jobs, nil) {
		switch {
		case len(listed) == listedJobs:
		case len(w.job.Remedies) == 0:
			leftOut = append(leftOut, fmt.Sprintf("%d (%s, %s: look or enter first: %s)", w.rank, w.line, w.structure, r.Checks[w.job.StoppedBy[0].Check].ID))
		default:
			listed = append(listed, strconv.Itoa(w.rank))
			require.Contains(t, overview, fmt.Sprintf("%d. %s, %s: ", w.rank, w.line, w.structure))
		}
	}
	require.NotEmpty(t, leftOut)
	require.Contains(t, overview, "Left out in the order, since nothing is to be hung yet: "+strings.Join(leftOut, ", "), "a rank that is not listed is accounted for")
	checks, err := book.GetDataValidations(materialSheet)
	require.NoError(t, err)
	require.Len(t, checks, 1)
	require.Regexp(t, `^L2:L\d+$`, checks[0].Sqref)
	require.Equal(t, "In stock", cells(t, book, materialSheet)[0][11])
	for i, row := range cells(t, book, materialSheet)[1:] {
		if len(row) > 2 && row[2] != "" && row[2] != "all lines" {
			formula, err := book.GetCellFormula(materialSheet, fmt.Sprintf("M%d", i+2))
			require.NoError(t, err)
			require.Empty(t, formula, "what is to be ordered is of all lines")
		}
	}
	_, entries, _ := strings.Cut(overview, "What needs a look or an entry first")
	entries, _, _ = strings.Cut(entries, "What no unit to choose from can mend")
	require.Contains(t, entries, "SD-132, T-031: Circuit 1 has tension assemblies here but none on the back side. Inspect the structure and enter the missing side")
	require.Contains(t, entries, "SD-132, T-033: No assembly for phase A of circuit 1. ")
	requireMaterial(t, jobs, cells(t, book, materialSheet))
}

// requireMaterial holds that the rows of all lines are the sums of the jobs, and those of single lines add up to them.
func requireMaterial(t *testing.T, jobs []remedy.Job, rows [][]string) {
	t.Helper()
	fit, remove, ifNothing := map[string]int{}, map[string]int{}, map[string]int{}
	for i := range jobs {
		for _, x := range jobs[i].Remedies {
			for _, c := range x.Fit {
				if x.Unregistered {
					ifNothing[c.Unit] += c.Count
				} else {
					fit[c.Unit] += c.Count
				}
			}
			for _, c := range x.Remove {
				remove[c.Unit] += c.Count
			}
		}
	}
	number := func(text string) int {
		if text == "" {
			return 0
		}
		n, err := strconv.Atoi(text)
		require.NoError(t, err)
		return n
	}
	byLine, units, conditional := map[string]int{}, 0, 0
	for _, row := range rows[1:] {
		if row[0] != unitItem {
			continue
		}
		if row[2] != "all lines" {
			byLine[row[1]] += number(row[3])
			continue
		}
		units++
		require.Equal(t, []int{fit[row[1]], remove[row[1]]}, []int{number(row[3]), number(row[4])}, row[1])
		if len(row) > 9 {
			require.Equal(t, ifNothing[row[1]], number(row[9]), row[1])
			conditional += number(row[9])
		}
	}
	require.Positive(t, units)
	require.Positive(t, conditional)
	for unit, n := range byLine {
		require.Equal(t, fit[unit], n, unit)
	}
	for unit := range fit {
		require.Contains(t, byLine, unit)
	}
}

// What the register does not have may hang there all the same (PLANTED.csv: rows left out of the register): it is looked at first, and
// what would be hung is counted apart.
func TestAGapInTheRegisterIsLookedAtFirst(t *testing.T) {
	r, jobs := demoJobs(t)
	rows := workRows(r, jobs, nil)
	for _, at := range [][2]string{{"DF-220", "13/3"}, {"SD-132", "T-046"}, {"DF-220", "4/2"}, {"SD-132", "T-024"}, {"DP-33", "35"}} {
		i := slices.IndexFunc(rows, func(w workRow) bool { return w.line == at[0] && w.structure == at[1] })
		require.GreaterOrEqual(t, i, 0, at)
		w := &rows[i]
		require.NotEqual(t, remedy.MayFall, w.why.Danger, at)
		require.Contains(t, w.hangs, ": nothing registered", at)
		require.Regexp(t, `^look what hangs and enter it in the register\nif nothing hangs: circuit `, w.toHang, at)
		require.Empty(t, w.fit, at)
		require.NotEmpty(t, w.afterLook.fit, at)
		require.Zero(t, w.sets, at)
		require.True(t, math.IsNaN(w.price), at)
		require.Positive(t, w.afterLook.price, at)
		rec := jobOf(r, w.job, w.rank, &w.why)
		for _, x := range rec.Remedies {
			require.True(t, x.IfNothingHangs, at)
		}
	}
	sets := slices.IndexFunc(rows, func(w workRow) bool { return strings.Contains(w.toHang, "(another duty)") })
	require.GreaterOrEqual(t, sets, 0)
	require.Empty(t, rows[sets].afterLook.fit, "jumper strings that come with tension sets are work for certain")
}

// Work names the phases on which there is some, and tells of the others what hangs there. The count of phase R at 5/1 is in words
// (PLANTED.csv: not-a-number).
func TestWorkNamesWhatChanges(t *testing.T) {
	r, jobs := demoJobs(t)
	rows := workRows(r, jobs, nil)
	at := func(line, structure string) *workRow {
		i := slices.IndexFunc(rows, func(w workRow) bool { return w.line == line && w.structure == structure })
		require.GreaterOrEqual(t, i, 0, structure)
		return &rows[i]
	}
	for _, c := range []struct{ line, structure, toHang, hangs string }{
		{"SD-132", "T-002", "phase B: change 1 × CLR-145 (sound units for defective ones)", "1 × CLR-145"},
		{"DF-220", "9/3", "phase R: change 2 × U160BL (sound units for defective ones)", "13 × U160BL"},
		{"DF-220", "1/3", "phase Y: 15 × U160BL (more units); conductor hangs 340 mm lower; its swing is held against the limit stated for the shorter string", "R,B: 15 × U160BL; Y: 13 × U160BL"},
	} {
		w := at(c.line, c.structure)
		require.Equal(t, "circuit 1, suspension, "+c.toHang, w.toHang)
		require.Equal(t, "circuit 1, suspension: "+c.hangs, w.hangs)
	}

	w := at("DF-220", "5/1")
	require.Contains(t, w.toHang, "phase R: 2 strings of 13 × U160BL (more strings side by side); its swing is held against the limit stated for the shorter string; count not known: 13 to 26 × U160BL to fit there, what is to be removed is not known\n")
	require.Contains(t, w.toHang, "phases Y,B: 2 strings of 13 × U160BL (more strings side by side)")
	require.Equal(t, "39 to 52 × U160BL", w.fitInWords())
	require.Equal(t, "not known: suspension, phase R", w.removeInWords())
	require.Contains(t, w.findings, "how many units phase R has is not known")
	for _, m := range materialRows(r, rows) {
		if m.name == "U160BL" && m.at < 0 {
			require.Equal(t, []int{13, 1}, []int{m.fewer, m.uncounted})
		}
	}
	rec := jobOf(r, w.job, w.rank, &w.why).Remedies[0]
	require.Equal(t, []countRecord{{"U160BL", 13}}, rec.Fewer)
	require.Equal(t, "phase R", rec.CountNotKnown)
}

// A side that nobody states is said to be assumed.
func TestAssumedSidesAreNamed(t *testing.T) {
	change := remedy.Change{Phases: 1, Sides: []audit.Side{audit.Back, audit.Ahead}, SideUnknown: true}
	x := remedy.Remedy{To: remedy.Set{Unit: "U70BL", UnitsPerString: 9, Strings: 1}, Move: remedy.MoreUnits, Changes: []remedy.Change{change}}
	require.Contains(t, changesInWords(&x)[0], "side not stated, both sides assumed")
	x.Changes[0].Sides = nil
	require.Contains(t, changesInWords(&x)[0], "side not stated, one side assumed")
	x.Changes[0].SideUnknown = false
	require.NotContains(t, changesInWords(&x)[0], "assumed")
}

// The register counts the defective units of the worst of several strings: from how many to how many are to be changed is said.
func TestDefectiveUnitsOfOtherStringsAreCounted(t *testing.T) {
	units := []remedy.Count{{Unit: "U120B", Count: 2}}
	x := remedy.Remedy{To: remedy.Set{Unit: "U120B", UnitsPerString: 10, Strings: 2}, Fit: units, Remove: units, AtLeast: true, More: units,
		Changes: []remedy.Change{{Fit: units, Remove: units, Move: remedy.SoundUnits, AtLeast: true, More: units}}}
	require.Contains(t, changesInWords(&x)[0], "change 2 to 4 × U120B (sound units for defective ones); what is known of the defective units leaves open how many there are in all: up to 2 × U120B more to change")

	r := fixtureResult(t)
	r.Project.Units = append(slices.Clone(r.Project.Units), basis.Unit{Name: "U120B", Price: 10})
	x.Price = 20
	job := remedy.Job{Remedies: []remedy.Remedy{x}}
	var told strings.Builder
	Proposal(&told, r, &job)
	require.Contains(t, told.String(), "to fit 2 to 4 × U120B; to remove 2 to 4 × U120B; price of the units 20.00 to 40.00;")

	w := workRow{job: &job, line: "L", takes: takes{price: math.NaN()}}
	certain, afterLook := partsOf(r, &x)
	require.False(t, afterLook.some)
	w.takes.add(r, &certain)
	require.Equal(t, []string{"2 to 4 × U120B", "2 to 4 × U120B", "20.00 to 40.00"}, []string{w.fitInWords(), w.removeInWords(), w.costInWords()})
	m := materialRows(r, []workRow{w})[0]
	require.Equal(t, amount{fit: 4, remove: 4, structures: 1, fewer: 2, removeFewer: 2}, m.amount)
	require.Equal(t, "to fit: 2 to 4, price 20.00 to 40.00\nto remove: 2 to 4", m.notKnown())
	require.Equal(t, 40.0, m.price())
	require.Equal(t, "2 to 4", countRange(m.remove, m.removeFewer))
	rec := jobOf(r, &job, 1, &remedy.Rank{}).Remedies[0]
	require.Equal(t, [][]countRecord{{{"U120B", 2}}, {{"U120B", 2}}}, [][]countRecord{rec.Fit, rec.More})
	require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 2}}, units, "counting changes no remedy")

	x.Changes[0].RowsContradict = true
	x.Changes = append(x.Changes, remedy.Change{Fit: []remedy.Count{{Unit: "U70", Count: 1}}})
	x.Fit = []remedy.Count{{Unit: "U120B", Count: 2}, {Unit: "U70", Count: 1}}
	certain, afterLook = partsOf(r, &x)
	four := []remedy.Count{{Unit: "U120B", Count: 4}}
	require.Equal(t, []remedy.Count{{Unit: "U70", Count: 1}}, certain.fit)
	require.Empty(t, certain.fewer)
	require.Equal(t, part{fit: four, remove: four, fewer: units, removeFewer: units, price: 40, some: true}, afterLook)
}

func TestValuesAreShort(t *testing.T) {
	require.Equal(t, "1.95", csvField(1.9500000000000002))
	require.Equal(t, "-71.123456789", csvField(-71.123456789))
	require.Equal(t, "33.3333333333333", csvField(100.0/3))
}

// The layers give a structure whose job is for others the severity of that job.
func TestSeverityOfWorkForOthers(t *testing.T) {
	r, jobs := demoJobs(t)
	bare := -1
	counts := exceptionsByStructure(r)
	for i := range r.Network.StructureCount() {
		if counts[i] == 0 {
			bare = i
		}
	}
	require.GreaterOrEqual(t, bare, 0)
	job := remedy.Job{Structure: bare}
	for l := range r.Network.Lines {
		if n := &r.Network.Lines[l]; n.First <= bare && bare < n.End {
			job.Line = l
		}
	}
	jobs = append(jobs, job)
	rows := workRows(r, jobs, nil)
	i := slices.IndexFunc(rows, func(w workRow) bool { return w.job.Structure == bare })
	require.Equal(t, rows[i].why.Severity.String(), structureWorks(r, workRows(r, jobs, nil))[bare].severity)
}

func TestWorkAsValues(t *testing.T) {
	r, jobs := demoJobs(t)
	table := func(name string) [][]string {
		list, err := chosen(&account{jobs: jobs}, []string{"work"})
		require.NoError(t, err)
		for _, o := range list {
			if o.name == name {
				rows, err := csv.NewReader(bytes.NewReader(contentOf(t, r, o.write))).ReadAll()
				require.NoError(t, err)
				return rows
			}
		}
		require.Fail(t, "not written", name)
		return nil
	}
	work := table("work.csv")
	require.Len(t, work, len(jobs)+1)
	job := rowOf(t, work, "DF-220", "1/3")
	require.Equal(t, []string{"2 × U160BL", "63", r.Run.ID}, []string{job["fit"], job["price"], job["run"]})
	fit, sum := map[string]int{}, map[string]int{}
	for _, m := range materialRows(r, workRows(r, jobs, nil)) {
		if m.at < 0 {
			fit[m.item+m.name] = m.fit
		}
	}
	material := table("material.csv")
	for _, row := range material[1:] {
		require.NotEmpty(t, row[2], "no row stands for all lines")
		n, err := strconv.Atoi(row[3])
		require.NoError(t, err)
		sum[row[0]+row[1]] += n
	}
	require.Equal(t, fit, sum, "what a reader adds up is what the work takes")
	for _, row := range material[1:] {
		if row[1] == "U160BL" {
			each, err := strconv.ParseFloat(row[6], 64)
			require.NoError(t, err)
			n, err := strconv.ParseFloat(row[3], 64)
			require.NoError(t, err)
			price, err := strconv.ParseFloat(row[7], 64)
			require.NoError(t, err)
			require.InDelta(t, each*n, price, 1e-9)
			return
		}
	}
	require.Fail(t, "no row of U160BL")
}

// A section that is too long is work at the structures that divide it, which name it from end to end.
func TestDividedSectionsInTheWork(t *testing.T) {
	p := demo(t)
	for i := range p.Lines {
		if p.Symbols.Text(p.Lines[i].Line) == "DF-220" {
			p.Lines[i].SectionLimitKM = 3
		}
	}
	r := judged(t, p)
	jobs, err := remedy.Search(context.Background(), r, remedy.Options{})
	require.NoError(t, err)
	divided := 0
	rows := workRows(r, jobs, nil)
	for i := range rows {
		if w := &rows[i]; strings.Contains(w.findings, "section-length") {
			require.Regexp(t, `section-length(, circuit 1)?, from \S+ to \S+: .*without a tension structure; the line states 3 km\.`, w.findings)
			if w.stoppedBy == "" {
				divided++
				require.Contains(t, w.toHang, "circuit 1, tension, ")
				require.Contains(t, w.toHang, "back and ahead")
			}
		}
	}
	require.Positive(t, divided)
}

// The layers tell of each structure how bad it is, of how many findings, and what to do.
func TestWorkInTheLayers(t *testing.T) {
	r, jobs := demoJobs(t)
	var layer struct {
		Features []struct{ Properties map[string]any }
	}
	require.NoError(t, json.Unmarshal(contentOf(t, r, (&account{jobs: jobs}).by(writeStructures)), &layer))
	works := 0
	for _, f := range layer.Features {
		p := f.Properties
		if p["work_rank"] != nil {
			works++
			require.NotEmpty(t, p["remedy"])
		}
		require.Equal(t, p["exceptions"] == 0.0, p["severity"] == nil)
		require.LessOrEqual(t, p["findings"], p["exceptions"])
		if p["line"] == "DF-220" && p["structure"] == "5/1" {
			require.Equal(t, "shortfall", p["severity"])
			require.Contains(t, p["remedy"], "2 strings of 13 × U160BL (more strings side by side)")
			require.Less(t, p["findings"], p["exceptions"], "three phases are one finding")
		}
	}
	require.Equal(t, len(jobs), works)

	var rows int
	columns := structureLayer(r, &account{jobs: jobs}, unitCountsOf(t, r))
	column := func(name string) int {
		return slices.IndexFunc(columns.Columns, func(c gpkg.Column) bool { return c.Name == name })
	}
	for row := range columns.Rows {
		require.Len(t, row.Values, len(columns.Columns))
		if remedy, is := row.Values[column("remedy")].(string); is && row.Values[1] == "5/1" {
			rows++
			require.Equal(t, "shortfall", row.Values[column("severity")])
			require.Equal(t, int64(1), row.Values[column("severity_rank")])
			require.Equal(t, "audit.html#structure/DF-220/5%2F1", row.Values[column("link")])
			require.Contains(t, remedy, "2 strings of 13 × U160BL")
		}
	}
	require.Equal(t, 1, rows)

	var kml kmlDocument
	require.NoError(t, xml.Unmarshal(contentOf(t, r, (&account{jobs: jobs}).by(writeKML)), &kml))
	last := kml.Folders[len(kml.Folders)-1]
	require.Equal(t, "work, in the order of doing", last.Name)
	require.Len(t, last.Marks, len(jobs))
	require.Regexp(t, `^1\. `, last.Marks[0].Name)
	require.NotEmpty(t, last.Marks[0].Point)
	require.Equal(t, "severity", last.Marks[0].Data[1].Name)
}

func TestJobsOfAuditJSON(t *testing.T) {
	r, jobs := demoJobs(t)
	var b bytes.Buffer
	require.NoError(t, JSON(context.Background(), &b, r, jobs, nil, nil))
	var decoded struct {
		Exceptions []struct{ ID, Line, Structure string }
		Jobs       []jobRecord
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &decoded))
	require.Len(t, decoded.Jobs, len(jobs))
	at := map[string]string{}
	for _, e := range decoded.Exceptions {
		at[e.ID] = e.Line + " " + e.Structure
	}
	for i, job := range decoded.Jobs {
		require.Equal(t, i+1, job.Rank)
		for _, id := range append(job.Exceptions, job.Open...) {
			require.Equal(t, job.Line+" "+job.Structure, at[id])
		}
		if job.Line == "DF-220" && job.Structure == "1/3" {
			require.Equal(t, []remedyRecord{{Circuit: "1", Duty: "suspension", Sides: []string{}, Phases: job.Remedies[0].Phases, From: "R,B: 15 × U160BL; Y: 13 × U160BL",
				To:  &setRecord{"suspension", "single", "U160BL", 15, 1, 0},
				Fit: []countRecord{{"U160BL", 2}}, Remove: []countRecord{}, Fewer: []countRecord{}, Price: 63}}, job.Remedies)
		}
	}
}

// workRows are jobs in the order of doing.
func workRows(r *audit.Result, jobs []remedy.Job, d *history.Decided) []workRow {
	return rowsOf(r, jobs, orderedJobs(r, jobs, d), d)
}
