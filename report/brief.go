package report

import (
	"context"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"
)

// The sheet of the brief, in millimetres: what A4 and Letter both have within margins of 12 mm, so that it prints on either on two pages.
const (
	sheetWidthMM  = 186.0
	sheetHeightMM = 250.0
	sheetFootMM   = 7.0
	leastMapMM    = 80.0
	jobWidthMM    = sheetWidthMM - 5 // beside its letter
)

// briefLimits are how much the brief names.
const (
	briefWorst = 10
	briefJobs  = 4
	briefText  = 400 // characters of one text
)

// brief is what the two pages are filled with.
type brief struct {
	Title, AsOf, Run, Version, Audited, Answer, Changes, Decisions, Suspects, Worst, Work, Judged string
	StyleHash                                                                                     string
	Style                                                                                         template.CSS
	TitleSize                                                                                     int
	Severities                                                                                    []severityFact
	Jobs                                                                                          []briefJob
	NoJob, PassedJobs, MoreJobs                                                                   string
	Map                                                                                           briefMap
	Heading, More                                                                                 string
	Size                                                                                          int // of the table: 0 is the largest
	Rows                                                                                          []briefRow
	Cautions                                                                                      []string
}

type (
	briefJob struct {
		Rank                          int
		at                            int // the structure
		Letter, Line, Structure, What string
	}
	briefRow struct {
		Number, Mark                              int
		Severity, Line, Detail, Wrong, Do, Margin string
		Structure, StructureTo                    string
		Link                                      string
	}
)

// writeBrief writes two pages for somebody with little time: what is wrong, how bad, where and what first; then the worst.
func writeBrief(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	t, err := template.ParseFS(pageFiles, "page/brief.html")
	if err != nil {
		return err
	}
	style, err := pageFiles.ReadFile("page/brief.css")
	if err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	b := briefOf(r, a)
	b.Style, b.StyleHash = template.CSS(style), contentHash(string(style))
	return t.Execute(w, b)
}

func briefOf(r *audit.Result, a *account) *brief {
	s, changes, rows := scopeOf(r), a.since(r), a.rows(r)
	cut := func(text string) string { return cutText(text, briefText) }
	b := &brief{Title: cut(r.Project.Title), AsOf: cut(r.Run.AsOf), Run: r.Run.ID, Version: cut(r.Run.Version), Judged: percentText(r.AssessedPercent()),
		Audited: fmt.Sprintf("%s, %s, %s", counted(s.lines, "line", "lines"), counted(s.structures, "structure", "structures"), lengthInWords(s.lengthKM)),
		Answer:  briefAnswer(r, changes.Decided), Changes: cut(sentenceCase(headline(changes)) + ".")}
	if b.Title == "" {
		b.Title = "Lines without a title"
	}
	totals, out := r.Totals(), decidedOut(r, changes.Decided)
	for i, name := range []string{"shortfalls", "advisories", "notes"} {
		if out[i] > 0 {
			name += fmt.Sprintf(", %s open", grouped(totals[i]-out[i]))
		}
		b.Severities = append(b.Severities, severityFact{i, name, grouped(totals[i])})
	}
	if text := decisionsInWords(changes.Decided); text != "" {
		b.Decisions = cut(sentenceCase(text) + decidedOutInWords(r, changes.Decided) + ".")
	}
	if texts := suspectsInWords(r, func(name string) string { return isolated(cut(name)) }); len(texts) > 0 {
		b.Suspects = lookAtData + ". " + strings.Join(texts, " ")
	}
	if worst, some := worstLine(r, changes.Decided); some {
		b.Worst = "Worst line: " + worst.inWords(r, func(name string) string { return isolated(cut(name)) }) + " structures."
	}
	if c := countRows(r, rows); c.All > 0 {
		b.Work = "Work: " + c.inWords() + "."
	}
	b.Cautions = []string{Caution,
		fmt.Sprintf("%s of what the project asks for could be judged; the rest is not assessed, which is not the same as meeting.", b.Judged),
		"A shortfall is against a rule that says shall, or that the project or the line states; an advisory against common practice or a default nobody confirmed.",
		fmt.Sprintf("The inputs have %s; the verdicts rest on %s. All of it, with the figures and where they come from, is in %s and %s.",
			counted(r.Project.Faults.Total(), "fault", "faults"), counted(len(r.Run.Assumptions), "assumption", "assumptions"), pageFile, WorkbookFile)}
	picked := worstOfEach(r, changes.Decided, briefWorst)
	room := b.fillHead(r, rows)
	b.fillTable(r, changes, rows, picked)
	const reckoned = 20 // what the texts above take is reckoned on the high side; where it is not, the map is drawn smaller
	b.Map = briefMapOf(r, changes.Decided, b.jobStructures(), sheetWidthMM, room+reckoned, briefMapBytes)
	return b
}

// jobStructures are the structures of the jobs on the first sheet, in the order of their letters.
func (b *brief) jobStructures() (structures []int) {
	for i := range b.Jobs {
		structures = append(structures, b.Jobs[i].at)
	}
	return structures
}

// Lettered says what the letters on the map are; empty where there are none.
func (b *brief) Lettered() string {
	switch n := len(b.Jobs); n {
	case 0:
		return ""
	case 1:
		return "A: the job above. "
	default:
		return fmt.Sprintf("A to %s: the jobs above. ", b.Jobs[n-1].Letter)
	}
}

// briefAnswer says in a sentence what is wrong and where.
func briefAnswer(r *audit.Result, d *history.Decided) string {
	var at [audit.Note + 1]map[int]bool
	var open bySeverity
	lines := map[int]bool{}
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		if !d.Open(i) {
			continue
		}
		severity := e.Verdict.Severity
		if open[severity]++; at[severity] == nil {
			at[severity] = map[int]bool{}
		}
		if e.Structure >= 0 {
			at[severity][e.Structure] = true
		}
		lines[e.Line] = true
	}
	if open.total() == 0 {
		return "Nothing open was found in what could be judged."
	}
	var parts []string
	for severity, names := range [...][2]string{{"shortfall", "shortfalls"}, {"advisory", "advisories"}} {
		if n := open[severity]; n > 0 {
			parts = append(parts, fmt.Sprintf("%s at %s", counted(n, names[0], names[1]), counted(len(at[severity]), "structure", "structures")))
		}
	}
	if len(parts) == 0 {
		parts = append(parts, counted(open[audit.Note], "note", "notes"))
	}
	return fmt.Sprintf("%s open, on %s.", strings.Join(parts, " and "), counted(len(lines), "line", "lines"))
}

// fillHead fills the first page above the map, and returns the height that is left for the map. Jobs are named as long as there is room.
func (b *brief) fillHead(r *audit.Result, rows []workRow) (roomMM float64) {
	titlePoints := [...]float64{18, 14, 11, 9}
	for b.TitleSize < len(titlePoints)-1 && linesIn(b.Title, boldWider*titlePoints[b.TitleSize], sheetWidthMM) > 2 {
		b.TitleSize++
	}
	const body, gaps = 10, 26.0 // of rules, headings and paddings
	used := gaps + sheetFootMM + heightIn(b.Title, boldWider*titlePoints[b.TitleSize], sheetWidthMM) + 2*heightIn(b.Audited+b.Run, body, sheetWidthMM) +
		heightIn(b.Answer, boldWider*15, sheetWidthMM) + 14 // the figures
	for _, text := range []string{b.Changes, b.Decisions, b.Worst, b.Work} {
		used += heightIn(text, body, sheetWidthMM)
	}
	used += heightIn(b.Suspects, boldWider*body, sheetWidthMM)
	left := sheetHeightMM - used
	counts, named := countRows(r, rows), jobCounts{}
	listed, all := toDoFirst(rows, briefJobs)
	if len(listed) == 0 {
		b.NoJob = nothingToDoFirst(r, counts)
		left -= heightIn(b.NoJob, body, sheetWidthMM)
	}
	last := 0
	for _, w := range listed {
		job := briefJob{w.rank, w.job.Structure, jobLetter(len(b.Jobs)), cutText(w.line, briefText), cutText(w.structure, briefText), inOrder(cutText(w.decided()+strings.ReplaceAll(w.toHang, "\n", "; "), briefText))}
		height := heightIn(fmt.Sprintf("%s, %s – ", job.Line, job.Structure), boldWider*body, jobWidthMM) + heightIn(job.What, body, jobWidthMM) + 1 // the first may share a line with the rest
		if left-height < leastMapMM {
			break
		}
		left -= height
		b.Jobs, last = append(b.Jobs, job), w.rank
		named.add(r, w.job, &w.said)
	}
	if all > len(b.Jobs) {
		b.MoreJobs = moreToDo(counts.Ready - named.Ready)
		left -= heightIn(b.MoreJobs, body, sheetWidthMM)
	}
	if text := leftOutOfOrder(r, rows, last, listedPassed); text != "" {
		b.PassedJobs = inOrder(cutText(text, briefText)) + "."
		left -= heightIn(b.PassedJobs, body, sheetWidthMM)
	}
	return math.Floor(left)
}

// moreToDo says where the jobs are that are not named, and how many of them are to be done as they stand; what begins with a look is none of these.
func moreToDo(ready int) string {
	in := fmt.Sprintf("in the order of doing on the sheet %s of %s.", workSheet, WorkbookFile)
	if ready == 0 {
		return "More that begins with a look or an entry in the register, " + in
	}
	return fmt.Sprintf("%s more %s, %s", grouped(ready), asTheyStand, in)
}

// The columns of the table in millimetres, and its sizes in points, by brief.Size.
const (
	whereMM = 46.0
	wrongMM = 103.0
)

var tablePoints = [...]float64{9.5, 8.75, 8, 7.25}

// fillTable fills the second page with the worst findings, in the largest type in which all fit; where they do in none it names fewer, and says so.
func (b *brief) fillTable(r *audit.Result, c *history.Changes, rows []workRow, picked []int) {
	works := map[int]*workRow{}
	for i := range rows {
		works[rows[i].job.Structure] = &rows[i]
	}
	all, findings := make([]briefRow, len(picked)), findingsWith(r, c.Decided, picked)
	for n, i := range picked {
		all[n] = briefRowOf(r, c, works, n+1, findings[i])
	}
	room := sheetHeightMM - sheetFootMM - 24
	for _, text := range b.Cautions {
		room -= heightIn(text, 9.5, sheetWidthMM-6) + 1
	}
	fits := 0
	for b.Size = range tablePoints {
		if fits = rowsThatFit(all, tablePoints[b.Size], room); fits == len(all) {
			break
		}
	}
	b.Rows = all[:fits]
	b.Heading = fmt.Sprintf("The %s worst", numberWord(fits))
	switch of := len(r.Exceptions); {
	case of == 0:
		b.Heading = "Nothing was found"
		b.More = "That is of what could be judged; see below."
	case fits == 1:
		b.Heading = "The worst"
		fallthrough
	default:
		b.More = fmt.Sprintf("Of %s; of each severity the worst of every check comes first, then the second worst, a structure once for each. All are in %s and %s.", counted(of, "exception", "exceptions"), pageFile, WorkbookFile)
	}
	if fits < len(all) {
		b.More += " There is room for no more, so long are the texts."
	}
}

func rowsThatFit(rows []briefRow, points, roomMM float64) (fit int) {
	for i := range rows {
		row := &rows[i]
		where := heightIn(row.Severity, points, whereMM) + heightIn(row.Line+", "+row.Structure+" – "+row.StructureTo, points, whereMM) + heightIn(row.Detail, points, whereMM)
		roomMM -= max(where, heightIn(row.Wrong, points, wrongMM)+heightIn(row.Do, points, wrongMM)) + 2.2
		if roomMM < 0 {
			return i
		}
	}
	return len(rows)
}

func briefRowOf(r *audit.Result, c *history.Changes, works map[int]*workRow, number int, f *audit.Finding) briefRow {
	e, rec := findingRecord(r, f)
	cut := func(text string) string { return inOrder(cutText(text, briefText)) }
	name := func(text string) string { return cutText(text, briefText) }
	row := briefRow{Number: number, Mark: int(e.Verdict.Severity), Severity: rec.Severity, Line: name(rec.Line), Structure: name(rec.Structure), StructureTo: name(rec.StructureTo), Detail: cut(joined(tagsOf(rec))),
		Wrong: cut(rec.Reason), Do: cut("Do: " + rec.Remedy), Margin: marginInWords(float64(rec.Margin)), Link: exceptionLink(r.ExceptionIDs()[f.Exceptions[0]])}
	if w := works[e.Structure]; w != nil && e.Structure >= 0 {
		row.Do = cut("Do: " + withoutSentence(w.workInWords(r), e.Verdict.Sentence))
	}
	if !c.Decided.Open(f.Exceptions[0]) {
		row.Detail = joined(append([]string{"accepted or planned"}, row.Detail))
	}
	return row
}

// withoutSentence leaves a sentence out of a text that says it again.
func withoutSentence(text, sentence string) string {
	before, after, found := strings.Cut(text, sentence)
	if !found || sentence == "" {
		return text
	}
	return strings.TrimSpace(strings.TrimSpace(before) + " " + strings.TrimSpace(after))
}

// numberWord is a small number as a word.
func numberWord(n int) string {
	words := [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"}
	if n < len(words) {
		return words[n]
	}
	return grouped(n)
}
