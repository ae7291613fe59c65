package report

import (
	"context"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
)

// firstFacts are what the page tells first: how bad it is, what to do, by which checks and on which lines, and why not all was judged.
type firstFacts struct {
	Headline, NoException, WhyJudged, NoWork, PassedWork, MoreWork, Unranked, NotRanked, NotInBars string
	First                                                                                          []firstJob
	Bars, MoreBars                                                                                 []checkBar
	Ranked, MoreRanked                                                                             []rankedLine
}

type (
	// firstJob is one of the first jobs to do. Link leads to an exception that it mends, to its structure where it is for other work.
	firstJob struct {
		Rank                  int
		Line, Structure, What string
		Link                  template.URL
	}
	// checkBar is how many open exceptions of each severity a check has, and how long a bar that is, of barLength.
	checkBar struct {
		Check int
		Title string
		Parts []barPart
	}
	barPart struct {
		Mark                     int
		Name, Count, From, Width string
	}
	// rankedLine is a line by its open exceptions, with a small strip on which each stands where it is.
	rankedLine struct {
		Rank                          int
		Line, Title, Per100, InWords  string
		Link                          template.URL
		Shortfalls, Advisories, Notes string // paths of the strip
	}
)

// What is listed first, and what more can be unfolded.
const (
	listedFirst  = 5
	listedBars   = 7
	listedRanked = 6
	mostRanked   = 60
)

// The units of the small drawings.
const (
	barLength   = 100
	stripLength = 200
	stripSteps  = 100 // marks nearer than that are one
)

// addFirst adds what the page tells first.
func (h *htmlPage) addFirst(ctx context.Context, f *firstFacts) error {
	f.Headline, f.NoException = h.headline(), h.noException()
	h.addFirstJobs(f)
	bars := h.checkBars()
	f.Bars, f.MoreBars = bars[:min(len(bars), listedBars)], bars[min(len(bars), listedBars):]
	if out := decidedOut(h.result, h.changes.Decided); out != [3]int{} {
		f.NotInBars = fmt.Sprintf("Not counted here and on lines: %s, which the findings list in grey.", counted(out[0]+out[1]+out[2], "exception accepted or planned", "exceptions accepted or planned"))
	}
	h.addRanking(f)
	return h.addWhyJudged(ctx, f)
}

// severityNames name one and several of each severity.
var severityNames = [...][2]string{audit.Shortfall: {"shortfall", "shortfalls"}, audit.Advisory: {"advisory", "advisories"}, audit.Note: {"note", "notes"}}

// noException says that there is none, and of how much that is said.
func (h *htmlPage) noException() string {
	if len(gapsOf(h.result)) == 0 {
		return "No exception."
	}
	return fmt.Sprintf("No exception in what could be judged: %s.", percentText(h.result.AssessedPercent()))
}

// headline says how bad it is.
func (h *htmlPage) headline() string {
	r := h.result
	totals := r.Totals()
	var parts []string
	for i, names := range severityNames {
		if totals[i] > 0 {
			parts = append(parts, counted(totals[i], names[0], names[1]))
		}
	}
	if len(parts) == 0 {
		return h.noException()
	}
	at, of := 0, 0
	counts := exceptionsByStructure(r)
	for l := range r.Lines {
		if !r.Lines[l].Assessed {
			continue
		}
		line := &r.Network.Lines[l]
		of += line.End - line.First
		for i := line.First; i < line.End; i++ {
			if counts[i] > 0 {
				at++
			}
		}
	}
	open := ""
	if out := decidedOut(r, h.changes.Decided); out != [3]int{} {
		open = fmt.Sprintf(" Open of these: %s; the rest is accepted or planned.", grouped(totals[0]+totals[1]+totals[2]-out[0]-out[1]-out[2]))
	}
	return fmt.Sprintf("%s, at %s of %s.%s", inARow(parts), grouped(at), counted(of, "structure", "structures"), open)
}

// inARow joins words with commas and an "and" before the last.
func inARow(parts []string) string {
	if len(parts) < 2 {
		return joined(parts)
	}
	return joined(parts[:len(parts)-1]) + " and " + parts[len(parts)-1]
}

// addFirstJobs adds the first jobs in the order of doing.
func (h *htmlPage) addFirstJobs(f *firstFacts) {
	rows := h.rowIDs()
	listed, _ := toDoFirst(h.jobs, listedFirst)
	for _, w := range listed {
		job := firstJob{Rank: w.rank, Line: h.cut(w.line), Structure: h.cut(w.structure), What: h.whole(w.workFirst(h.result)),
			Link: template.URL("#" + pagePlace(w.line, w.structure))}
		if i := slices.IndexFunc(w.job.Exceptions, func(e int) bool { return rows[e] != "" }); i >= 0 {
			job.Link = template.URL("#e-" + rows[w.job.Exceptions[i]])
		}
		f.First = append(f.First, job)
	}
	if len(listed) == 0 {
		f.NoWork = nothingToDoFirst(h.result, h.counts)
	} else if text := leftOutOfOrder(h.result, h.jobs, listed[len(listed)-1].rank, listedPassed); text != "" {
		f.PassedWork = inOrder(h.whole(text + "; see the sheet " + workSheet + " of " + WorkbookFile + "."))
	}
	if h.counts.All > 0 {
		f.MoreWork = sentenceCase(h.counts.inWords()) + "."
	}
}

// workFirst is the job in words, and after it what was decided about it: a long reason hides no work.
func (w *workRow) workFirst(r *audit.Result) string {
	text := strings.TrimPrefix(w.workInWords(r), w.decided())
	if decision := w.said.String(); decision != "" {
		text = strings.TrimSuffix(text, ".") + " (" + decision + ")"
	}
	return text
}

// whatNext says what comes first where nothing was found: what could not be judged, where there is any.
func whatNext(r *audit.Result) string {
	if len(gapsOf(r)) == 0 {
		return "all was judged that the project asks for."
	}
	return "first comes what could not be judged, " + percentText(100-r.AssessedPercent()) + " of what the project asks for."
}

// rowIDs gives each exception that the page holds the id of the row of its finding.
func (h *htmlPage) rowIDs() map[int]string {
	rows := make(map[int]string, h.chosen.exceptions)
	for _, finding := range h.findingsShown() {
		id := h.result.ExceptionIDs()[finding.Exceptions[0]]
		for _, e := range finding.Exceptions {
			rows[e] = id
		}
	}
	return rows
}

// checkBars are the checks that have open exceptions: those with most shortfalls first, then those with most advisories.
func (h *htmlPage) checkBars() (bars []checkBar) {
	r := h.result
	counts := openByCheck(r, h.changes.Decided)
	most := 1
	var order []int
	for i := range counts {
		most = max(most, counts[i].total())
		if counts[i].total() > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return slices.Compare(counts[b][:], counts[a][:])
	})
	for _, i := range order {
		bar := checkBar{Check: i, Title: r.Checks[i].Title}
		from := 0.0
		for severity, n := range counts[i] {
			if n > 0 {
				width := max(1, barLength*float64(n)/float64(most))
				bar.Parts = append(bar.Parts, barPart{severity, severityNames[severity][min(n, 2)-1], grouped(n), tenth(from), tenth(width)})
				from += width
			}
		}
		bars = append(bars, bar)
	}
	return bars
}

func tenth(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }

// addRanking adds the lines by their open exceptions per 100 structures.
func (h *htmlPage) addRanking(f *firstFacts) {
	r := h.result
	var order []lineRank
	without := 0
	for _, x := range rankedLines(r, h.changes.Decided) {
		switch {
		case x.open.total() > 0:
			order = append(order, x)
		case r.Lines[x.line].Assessed:
			without++
		}
	}
	drawn := order[:min(len(order), mostRanked)]
	strips := h.smallStrips(drawn)
	for i, x := range drawn {
		l := x.line
		line := &r.Network.Lines[l]
		ranked := rankedLine{Rank: i + 1, Link: template.URL("#" + pagePlace(r.Project.Symbols.Text(line.Symbol), "")), Line: h.cut(r.Project.Symbols.Text(line.Symbol)), Title: h.cut(r.Project.Symbols.Text(line.Row.Name)), Per100: tenth(x.per),
			InWords:    fmt.Sprintf("%s on %s", grouped(x.open.total()), counted(line.End-line.First, "structure", "structures")),
			Shortfalls: strips[l].path(audit.Shortfall), Advisories: strips[l].path(audit.Advisory), Notes: strips[l].path(audit.Note)}
		if i < listedRanked {
			f.Ranked = append(f.Ranked, ranked)
		} else {
			f.MoreRanked = append(f.MoreRanked, ranked)
		}
	}
	if more := len(order) - len(drawn); more > 0 {
		f.NotRanked = fmt.Sprintf("%s with fewer are on the sheet Lines of exceptions.xlsx.", counted(more, "line", "lines"))
	}
	if without > 0 {
		f.Unranked = fmt.Sprintf("%s no open exception, which is not the same as meeting: see what was judged.", counted(without, "line has", "lines have"))
	}
}

// smallStrip tells at which steps along a line exceptions of each severity are.
type smallStrip [audit.Note + 1][stripSteps + 1]bool

// smallStrips finds where on some lines their open exceptions are.
func (h *htmlPage) smallStrips(lines []lineRank) map[int]*smallStrip {
	r, strips := h.result, make(map[int]*smallStrip, len(lines))
	for _, x := range lines {
		strips[x.line] = &smallStrip{}
	}
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		if strip := strips[e.Line]; strip != nil && e.Structure >= 0 && h.changes.Decided.Open(i) {
			strip[e.Verdict.Severity][int(math.Round(stripSteps*shareAlong(r, e.Line, e.Structure)))] = true
		}
	}
	return strips
}

// shareAlong is how far along its line a structure is, from 0 to 1: by chainage, else by its place in the order.
func shareAlong(r *audit.Result, l, structure int) float64 {
	line := &r.Network.Lines[l]
	if share := r.Network.ChainageM(l, structure) / (1000 * lengthKM(r, l)); share >= 0 && share <= 1 {
		return share
	}
	return float64(structure-line.First) / float64(max(1, line.End-1-line.First))
}

// path draws the marks of a severity: shortfalls stand on the line, advisories and notes hang below it.
func (s *smallStrip) path(severity audit.Severity) string {
	stroke := [...]string{audit.Shortfall: "1v8", audit.Advisory: "10v5", audit.Note: "10v2"}[severity]
	var b strings.Builder
	for step, marked := range s[severity] {
		if marked {
			fmt.Fprintf(&b, "M%d %s", step*stripLength/stripSteps, stroke)
		}
	}
	return b.String()
}

// listedReasons is how many reasons for not judging are told first.
const listedReasons = 3

// addWhyJudged says why not all could be judged.
func (h *htmlPage) addWhyJudged(ctx context.Context, f *firstFacts) error {
	gaps := gapsOf(h.result)
	if len(gaps) == 0 {
		return nil
	}
	total, told := 0, 0
	for _, g := range gaps {
		total += g.count
	}
	var parts []string
	for _, g := range gaps[:min(len(gaps), listedReasons)] {
		parts = append(parts, fmt.Sprintf("%s (%s)", g.reason, grouped(g.count)))
		told += g.count
	}
	text := joined(parts)
	if more := len(gaps) - listedReasons; more > 0 {
		text += fmt.Sprintf(", and %s (%s)", counted(more, "other reason", "other reasons"), grouped(total-told))
	}
	f.WhyJudged = fmt.Sprintf("Not judged: %s, for %s.", counted(total, "verdict", "verdicts"), text)
	datum, err := h.result.DatumThatJudgesMost(ctx)
	if err != nil {
		return err
	}
	if datum.Count > 0 {
		f.WhyJudged += " " + datumInWords(h.result, &datum)
	}
	f.WhyJudged = cutText(f.WhyJudged, 2*h.limits.text)
	return nil
}

// remedyOf says what mends a finding: the job of its structure where that is for it, else what its check advises.
func (h *htmlPage) remedyOf(f *audit.Finding) string {
	e := &h.result.Exceptions[f.Exceptions[0]]
	if !h.ofJob(f) {
		return h.result.Checks[e.Check].RemedyFor(&e.Verdict)
	}
	return h.jobInWords(h.work[e.Structure])
}

// remedyNumber says by number what remedyOf says in words: 1 the job of its structure, 0 what its check advises, 1 more than its Advice where that is another.
func (h *htmlPage) remedyNumber(f *audit.Finding) int64 {
	advice := h.result.Exceptions[f.Exceptions[0]].Verdict.Advice
	switch {
	case h.ofJob(f):
		return 1
	case advice > 0:
		return 1 + int64(advice)
	}
	return 0
}

// jobInWords is the job of a structure with its place in the order of doing, which stays however long the job is.
func (h *htmlPage) jobInWords(w *workRow) string {
	if w.said.Aside {
		return h.whole(w.workInWords(h.result))
	}
	return fmt.Sprintf("%s – %d in the order of doing", strings.TrimSuffix(h.whole(w.workInWords(h.result)), "."), w.rank)
}

// ofJob tells whether the job of its structure mends any of a finding.
func (h *htmlPage) ofJob(f *audit.Finding) bool {
	w := h.work[h.result.Exceptions[f.Exceptions[0]].Structure]
	return w != nil && slices.ContainsFunc(f.Exceptions, func(e int) bool {
		return slices.Contains(w.job.Exceptions, e) || slices.Contains(w.job.AlsoMends, e)
	})
}
