package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/audit/remedy"
	"dryarc/report/gpkg"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

const (
	decisionHead = "exception,line,structure,check,decision,until,by,reason,decided,ended,was\n"
	isAccepted   = "accepted, until 2027-10-20, by RK (counterweights)"
	isPlanned    = "planned, until 2027-03-20, by MO (outage)"
)

// decidedDemo is the demo project with its jobs, of which one is accepted whole, one is accepted but for a phase, one planned and one reported done. Nothing
// is registered at T-046, and nothing serves T-031: both are accepted.
func decidedDemo(t *testing.T) (*audit.Result, *account) {
	t.Helper()
	r, jobs := demoJobs(t)
	part := ""
	for i := range r.Exceptions {
		if key := r.Key(i); key.Structure == "T-003" && key.Check == "creepage" && key.Phase == "A" {
			part = key.ID()
		}
	}
	require.NotEmpty(t, part)
	store, err := history.ParseStore([]byte(decisionHead + ",SD-132,T-038,,accept,2027-10-20,RK,counterweights,,,\n,DF-220,5/2,,plan,2027-03-20,MO,outage,,,\n" +
		",SD-132,T-060,,done,,crew,,,,\n,SD-132,T-046,,accept,2028-10-20,RK,,,,\n,SD-132,T-031,,accept,2028-10-20,RK,,,,\n" + part + ",,,,accept,2027-01-01,RK,,,,\n"))
	require.NoError(t, err)
	changes := history.Alone(r)
	changes.Decided = store.Decide(r, changes)
	return r, &account{jobs: jobs, changes: changes}
}

// tableOf is a CSV file by its headings.
func tableOf(t *testing.T, text []byte) (rows []map[string]string) {
	t.Helper()
	all, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	for _, row := range all[1:] {
		named := map[string]string{}
		for i, heading := range all[0] {
			named[heading] = row[i]
		}
		rows = append(rows, named)
	}
	return rows
}

// unitsOf adds what a cell lists, such as "2 × U70BL, 3 × U120B", to sums.
func unitsOf(t *testing.T, cell string, sums map[string]int) {
	t.Helper()
	for _, part := range strings.FieldsFunc(cell, func(r rune) bool { return r == ',' || r == '\n' }) {
		count, unit, is := strings.Cut(strings.TrimSpace(part), " × ")
		if !is {
			continue
		}
		_, most, _ := strings.Cut(count, " to ")
		if most == "" {
			most = count
		}
		n, err := strconv.Atoi(most)
		require.NoError(t, err, part)
		sums[unit] += n
	}
}

func TestDecisionsReachTheWork(t *testing.T) {
	r, a := decidedDemo(t)
	total := len(a.jobs)
	said := map[string]string{"T-038": isAccepted, "T-046": "accepted, until 2028-10-20, by RK", "T-031": "accepted, until 2028-10-20, by RK", "5/2": isPlanned, "T-060": "still there though reported done, by crew",
		"T-003": "1 of 3 accepted, until 2027-01-01, by RK"}
	aside := []string{"T-038", "T-046", "T-031"}

	rows := tableOf(t, contentOf(t, r, a.by(writeWorkCSV)))
	require.Len(t, rows, total)
	var last []string
	for i, row := range rows {
		require.Equal(t, strconv.Itoa(i+1), row["rank"])
		text := row["work_decision"]
		if row["work_until"] != "" {
			text += ", until " + row["work_until"]
		}
		if row["work_by"] != "" {
			text += ", by " + row["work_by"]
		}
		bare, _, _ := strings.Cut(said[row["structure"]], " (")
		require.Equal(t, bare, text, row["structure"])
		if i >= total-len(aside) {
			last = append(last, row["structure"])
		}
	}
	require.ElementsMatch(t, aside, last, "nobody is to do them, so they stand last")
	require.Equal(t, "1", tableOf(t, contentOf(t, r, a.by(writeWorkCSV)))[0]["rank"])
	require.NotContains(t, string(contentOf(t, r, (&account{jobs: a.jobs}).by(writeWorkCSV))), "work_decision", "of a project without decisions")

	t.Run("audit.json", func(t *testing.T) {
		var told struct{ Jobs []jobRecord }
		require.NoError(t, json.Unmarshal(contentOf(t, r, a.by(writeAudit)), &told))
		require.Len(t, told.Jobs, total)
		for i, job := range told.Jobs {
			require.Equal(t, i >= total-len(aside), job.Decision != nil && job.Decision.Aside, job.Structure)
			if said[job.Structure] == "" {
				require.Nil(t, job.Decision)
			}
			switch job.Structure {
			case "T-038":
				require.Equal(t, &workDecision{State: "accepted", Aside: true, Accepted: len(job.Exceptions), Until: "2027-10-20", By: "RK"}, job.Decision)
			case "T-003":
				require.Equal(t, &workDecision{State: "1 of 3 accepted", Accepted: 1, Until: "2027-01-01", By: "RK"}, job.Decision)
			}
		}
	})
	t.Run("layers", func(t *testing.T) {
		var layer struct {
			Features []struct{ Properties map[string]any }
		}
		require.NoError(t, json.Unmarshal(contentOf(t, r, a.by(writeStructures)), &layer))
		seen := 0
		for _, f := range layer.Features {
			p := f.Properties
			structure := fmt.Sprint(p["structure"])
			if said[structure] == "" || p["work_rank"] == nil {
				require.Equal(t, []any{"", "", ""}, []any{p["work_decision"], p["work_until"], p["work_by"]}, structure)
				continue
			}
			seen++
			require.NotEmpty(t, p["work_decision"])
			require.True(t, strings.HasPrefix(p["remedy"].(string), said[structure]+": "), p["remedy"])
		}
		require.Equal(t, len(said), seen)

		table := structureLayer(r, a, unitCountsOf(t, r))
		n, in := slices.IndexFunc(table.Columns, func(c gpkg.Column) bool { return c.Name == workDecisionNames[0] })+3, 0
		require.Equal(t, workDecisionNames, []string{table.Columns[n-3].Name, table.Columns[n-2].Name, table.Columns[n-1].Name})
		for row := range table.Rows {
			require.Len(t, row.Values, len(table.Columns))
			if row.Values[1] == "T-038" && row.Values[0] == "SD-132" {
				require.Equal(t, []any{"accepted", "2027-10-20", "RK"}, row.Values[n-3:n])
			}
			if row.Values[n-3] != nil {
				in++
			}
		}
		require.Equal(t, len(said), in)

		var kml kmlDocument
		require.NoError(t, xml.Unmarshal(contentOf(t, r, a.by(writeKML)), &kml))
		marks := kml.Folders[len(kml.Folders)-1].Marks
		for i, mark := range marks {
			require.Equal(t, i >= total-len(aside), mark.Style == "#"+decidedStyle, mark.Name)
		}
	})
	t.Run("page", func(t *testing.T) {
		data := dataOf(t, string(contentOf(t, r, a.by(writePage))))
		require.Len(t, data.Jobs, total)
		for i, job := range data.Jobs {
			require.Equal(t, i >= total-len(aside), job.Aside == 1)
			structure := data.Texts[data.Structures.Number[job.At]]
			require.Equal(t, said[structure], data.Texts[job.Decided])
			what := data.Texts[data.Structures.Work[job.At]]
			require.Equal(t, job.Aside == 0, strings.Contains(what, "in the order of doing"), what)
			require.Contains(t, what, said[structure])
		}
	})
	t.Run("terminal", func(t *testing.T) {
		var b strings.Builder
		Summary(&b, r, a.jobs, a.changes, "out")
		require.Contains(t, b.String(), fmt.Sprintf("work: %d jobs in all; 3 accepted, the first until 2027-10-20, and not to be done; ", total))
		require.Contains(t, b.String(), "; 1 of which planned, see sheet Work")
	})
	t.Run("workbook", func(t *testing.T) { requireDecidedBook(t, r, a, said, aside) })
}

// requireDecidedBook holds that the sheets Work, Material and Overview tell of decisions, and that what Material counts is the sum over Work.
func requireDecidedBook(t *testing.T, r *audit.Result, a *account, said map[string]string, aside []string) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, a, generous))
	book, err := excelize.OpenReader(&b)
	require.NoError(t, err)
	work, total := cells(t, book, workSheet), len(a.jobs)
	fit, remove := [2]map[string]int{{}, {}}, [2]map[string]int{{}, {}}
	for i, row := range work[1 : total+1] {
		named := rowOf(t, [][]string{work[0], row}, row[1], row[2])
		require.Equal(t, said[row[2]], named["The job is"], row[2])
		isAside := 0
		if i >= total-len(aside) {
			isAside = 1
			require.Contains(t, aside, row[2])
		}
		style, err := book.GetCellStyle(workSheet, fmt.Sprintf("B%d", i+2))
		require.NoError(t, err)
		looks, err := book.GetStyle(style)
		require.NoError(t, err)
		require.Equal(t, isAside == 1, looks.Font.Color == greyText, row[2])
		unitsOf(t, named["Units to fit"], fit[isAside])
		unitsOf(t, named["Units to remove"], remove[isAside])
	}
	require.Equal(t, "T-060", work[1][2], "what was reported done and is still there is above all others")
	requireOneOrder(t, r, a, book)

	material := cells(t, book, materialSheet)
	require.Equal(t, []string{"Accepted, to fit", "Accepted, to remove", "Accepted, only if a look asks", "In stock", "To order"}, material[0][11:])
	number := func(row []string, i int) int {
		if i >= len(row) || row[i] == "" {
			return 0
		}
		n, err := strconv.Atoi(row[i])
		require.NoError(t, err)
		return n
	}
	counted, byLine := [2]map[string]int{{}, {}}, [2]map[string]int{{}, {}}
	accepted := 0
	for i, row := range material[1:] {
		if row[0] != unitItem {
			continue
		}
		if row[2] != allLines {
			byLine[0][row[1]] += number(row, 3)
			byLine[1][row[1]] += number(row, 11)
			continue
		}
		counted[0][row[1]], counted[1][row[1]] = number(row, 3), number(row, 11)
		require.Equal(t, []int{fit[0][row[1]], fit[1][row[1]], remove[0][row[1]], remove[1][row[1]]}, []int{number(row, 3), number(row, 11), number(row, 4), number(row, 12)}, row[1])
		accepted += number(row, 11) + number(row, 13)
		if number(row, 3) > 0 {
			formula, err := book.GetCellFormula(materialSheet, fmt.Sprintf("P%d", i+2))
			require.NoError(t, err)
			require.Equal(t, fmt.Sprintf(`IF(ISNUMBER(O%[1]d),IF(AND(O%[1]d>=0,INT(O%[1]d)=O%[1]d),MAX(0,D%[1]d-O%[1]d),""),"")`, i+2), formula, "what is accepted is not ordered")
		}
	}
	require.Positive(t, accepted)
	require.Equal(t, counted, byLine)
	checks, err := book.GetDataValidations(materialSheet)
	require.NoError(t, err)
	require.Regexp(t, `^O2:O\d+$`, checks[0].Sqref)

	overview := ""
	for _, row := range cells(t, book, overviewSheet) {
		overview += strings.Join(row, " ") + "\n"
	}
	first, takes, _ := strings.Cut(overview, "Worst exceptions of each check")
	require.NotEmpty(t, takes)
	for _, structure := range aside {
		require.NotRegexp(t, `\d+\. SD-132, `+structure+":", first, "it is not to be done")
	}
	require.NotContains(t, first, "SD-132, T-031: Circuit 1 has tension assemblies here", "nor looked at")
	require.Contains(t, first, "DF-220, 5/2: "+isPlanned+": ")
	require.Contains(t, first, fmt.Sprintf("%d jobs in all; 3 accepted, the first until 2027-10-20, and not to be done; ", total))
	require.Contains(t, first, "; 1 of which planned, see Work")
	require.Regexp(t, `Not in these figures, for jobs that are accepted: \d+ units and \d+ sets of fittings\.`, first)
}

// The sheet of a job says what is accepted beside what is, and why; what is said to be wrong is looked at first.
func TestJobSheetsTellDecisions(t *testing.T) {
	r, jobs := demoJobs(t)
	var csv strings.Builder
	csv.WriteString(decisionHead)
	for i := range r.Exceptions {
		switch key := r.Key(i); {
		case key.Structure == "T-017" && key.Check == "swing" && key.Circuit == "1":
			csv.WriteString(key.ID() + ",,,,accept,2027-11-01,Eng,wind screen,,,\n")
		case key.Structure == "T-003" && key.Check == "creepage" && key.Phase == "A":
			csv.WriteString(key.ID() + ",,,,accept,2027-11-01,Eng,washed,,,\n")
		}
	}
	csv.WriteString(",DF-220,5/1,,data wrong,2027-05-01,Eng,drone picture,,,\n,SD-132,T-033,,plan,2027-05-01,M,spring,,,\n")
	store, err := history.ParseStore([]byte(csv.String()))
	require.NoError(t, err)
	changes := history.Alone(r)
	changes.Decided = store.Decide(r, changes)
	data := dataOf(t, string(contentOf(t, r, (&account{jobs: jobs, changes: changes}).by(writePage))))
	seen := map[string]bool{}
	for _, job := range data.Jobs {
		structure := data.Texts[data.Structures.Number[job.At]]
		texts := func(numbers []int64) string {
			var all []string
			for _, n := range numbers {
				all = append(all, data.Texts[n])
			}
			return strings.Join(all, "\n")
		}
		findings, begin, hang, decided := texts(job.Findings), texts(job.Begin), texts(job.Hang), data.Texts[job.Decided]
		seen[structure] = true
		switch structure {
		case "T-017":
			require.Regexp(t, `(?m)^accepted, until 2027-11-01, by Eng \(wind screen\): Suspension string swings beyond the clearance limit \(circuit 1,`, findings)
			require.Regexp(t, `(?m)^Suspension string swings beyond the clearance limit \(circuit 2,`, findings)
			require.Regexp(t, "(?m)^"+acceptedAlone+"circuit 1, tension", hang)
			require.NotContains(t, hang, acceptedAlone+"circuit 2")
			require.Contains(t, decided, "(wind screen)")
		case "T-003":
			require.Regexp(t, `(?m)^accepted, until 2027-11-01, by Eng \(washed\): .*phase A`, strings.ReplaceAll(findings, ", A)", ", phase A)"))
			require.Len(t, strings.Split(findings, "\n"), 2, "the other phases stand apart")
			require.NotContains(t, hang, acceptedAlone, "it serves the other phases too")
		case "5/1":
			require.Equal(t, "look first: the datum is said to be wrong: drone picture", begin)
			require.Contains(t, decided, "data wrong, until 2027-05-01, by Eng (drone picture)")
		case "T-033":
			require.Equal(t, "planned, until 2027-05-01, by M (spring)", decided)
			require.Equal(t, lookFirst+": No assembly for phase A of circuit 1. Inspect the structure and complete the register.", begin)
			require.Empty(t, hang)
		case "T-038":
			require.Empty(t, begin)
		}
	}
	for _, structure := range []string{"T-017", "T-003", "5/1", "T-033", "T-038"} {
		require.True(t, seen[structure], structure)
	}
}

// Of 5/1 nobody knows how many units may stay: where its job is accepted that stays a range everywhere.
func TestAcceptedWorkOfUnknownCountIsARange(t *testing.T) {
	r, jobs := demoJobs(t)
	store, err := history.ParseStore([]byte(decisionHead + ",DF-220,5/1,,accept,2027-06-30,M,,,,\n"))
	require.NoError(t, err)
	changes := history.Alone(r)
	changes.Decided = store.Decide(r, changes)
	a := &account{jobs: jobs, changes: changes}
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, a, generous))
	book, err := excelize.OpenReader(&b)
	require.NoError(t, err)
	overview := ""
	for _, row := range cells(t, book, overviewSheet) {
		overview += strings.Join(row, " ") + "\n"
	}
	require.Regexp(t, `for jobs that are accepted: 39 to 52 units and \d+ sets of fittings\. +1 228\.50 to 1 638\.00`, strings.ReplaceAll(overview, "\u202f", " "))
	of := 0
	for _, row := range tableOf(t, contentOf(t, r, a.by(writeMaterialCSV))) {
		if row["line"] != "DF-220" || row["accepted_structures"] == "0" || row["item"] != unitItem {
			continue
		}
		if row["type"] == "U160BL" {
			require.Equal(t, []string{"52", "13", "1"}, []string{row["accepted_fit"], row["accepted_fit_fewer_by"], row["accepted_remove_not_known_at"]})
			of++
		}
	}
	require.Equal(t, 1, of)
}

// requireOneOrder holds that the sheet Work, the Overview, the page, the brief and the values have the jobs in one order, by rank.
func requireOneOrder(t *testing.T, r *audit.Result, a *account, book *excelize.File) {
	t.Helper()
	var order []string // of those with work
	work := cells(t, book, workSheet)
	hang := slices.Index(work[0], "What to hang")
	for i, row := range work[1 : 1+len(a.jobs)] {
		require.Equal(t, strconv.Itoa(i+1), row[0], "ranks follow each other")
		if row[hang] != "" {
			order = append(order, fmt.Sprintf("%s. %s, %s", row[0], row[1], row[2]))
		}
	}
	var overview []string
	for _, row := range cells(t, book, overviewSheet) {
		if len(row) > 0 && regexp.MustCompile(`^\d+\. .+:$`).MatchString(row[0]) {
			overview = append(overview, strings.TrimSuffix(row[0], ":"))
		}
	}
	require.Greater(t, len(overview), 2)
	require.Equal(t, order[:len(overview)], overview)
	for i, job := range firstOfAccount(t, r, a).First {
		require.Equal(t, order[i], fmt.Sprintf("%d. %s, %s", job.Rank, job.Line, job.Structure))
	}
	jobs := briefOf(r, a).Jobs
	require.NotEmpty(t, jobs)
	for i, job := range jobs {
		require.Equal(t, order[i], fmt.Sprintf("%d. %s, %s", job.Rank, job.Line, job.Structure))
	}
	for i, row := range tableOf(t, contentOf(t, r, a.by(writeWorkCSV))) {
		require.Equal(t, work[i+1][2], row["structure"])
	}
}

// What a job needs that was reported done comes with it, whatever else there is.
func TestWhatIsNeededByWorkReportedDoneComesWithIt(t *testing.T) {
	jobs := []remedy.Job{{Structure: 1}, {Structure: 2, Needs: []int{4}}, {Structure: 3}, {Structure: 4, Needs: []int{1}, NeededBy: []int{2}}}
	said := make([]history.WorkDecision, len(jobs))
	require.Equal(t, []bool{false, false, false, false}, reportedDone(jobs, said))
	said[1].Done = 1
	require.Equal(t, []bool{true, true, false, true}, reportedDone(jobs, said))
}
