package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"
)

// pageFacts are what the page tells without scripts.
type pageFacts struct {
	firstFacts
	Title, AsOf, Run, Version, Audited, Judged, JudgedSentence, Caution, Shown, ShownOf, Silent, NotAsked, Inputs, Changes, Decisions string
	Severities                                                                                                                        []severityFact
	Rows                                                                                                                              []rowFact
	RowsCut                                                                                                                           bool
	Checks                                                                                                                            []checkFact
	Gaps, Faults                                                                                                                      []countFact
	LookAtData                                                                                                                        string
	Suspects                                                                                                                          []string // what is said below that
	Assumptions, Cuts                                                                                                                 []string
	States                                                                                                                            []stateFact
	Trend                                                                                                                             *trendFact
	Criteria                                                                                                                          []criterionFact
	Cohorts                                                                                                                           *cohortsFact
}

type (
	severityFact struct {
		Mark        int
		Name, Count string
	}
	rowFact struct {
		Number, Mark                                               int
		Severity, Line, Structure, Sentence, Remedy, Check, Margin string
		Tags                                                       []string
		ID, State                                                  string // State is empty for one that stands
		Carried                                                    string // decision, dates, remarks and what is carried through
		Closed                                                     bool   // accepted or planned, in force
	}
	checkFact struct{ Title, ID, Meets, FallsShort, NotAssessed, Judged string }
	countFact struct{ Reason, Count string }

	stateFact struct {
		Mark int
		Name string
	}
	// trendFact is a small chart of the last runs: the points of its lines, and what it says in words.
	trendFact struct{ Shortfalls, Advisories, From, To, Words, Of string }

	criterionFact struct{ Name, Key, Value, From string }
)

// listedPageGaps is how many reasons and kinds of fault the page lists.
const listedPageGaps = 8

func (h *htmlPage) facts() pageFacts {
	r, s := h.result, scopeOf(h.result)
	f := pageFacts{
		Title: h.cut(r.Project.Title), AsOf: h.cut(r.Run.AsOf), Run: r.Run.ID, Version: h.cut(r.Run.Version), Caution: Caution,
		Audited: fmt.Sprintf("%s, %s, %s", counted(s.lines, "line", "lines"), counted(s.structures, "structure", "structures"), lengthInWords(s.lengthKM)),
		Judged:  percentText(r.AssessedPercent()),
	}
	if f.Title == "" {
		f.Title = "Lines without a title"
	}
	totals := r.Totals()
	for i, name := range []string{"shortfalls", "advisories", "notes"} {
		f.Severities = append(f.Severities, severityFact{i, name, grouped(totals[i])})
	}
	f.JudgedSentence = fmt.Sprintf("%s of what the project asks for could be judged; the rest is not assessed, which is not the same as meeting.", f.Judged)
	f.Inputs = fmt.Sprintf("%s in the inputs.", counted(r.Project.Faults.Total(), "fault", "faults"))
	if r.Project.RegisterGiven {
		f.Inputs = fmt.Sprintf("%s read, %s, %s left out. ", counted(r.Project.RowsRead, "register row", "register rows"),
			rowsPlacedInWords(r), grouped(r.Network.RowsLeftOut)) + f.Inputs
		if n := r.Project.RowsPassedOver; n > 0 {
			f.Inputs = fmt.Sprintf("%s passed over, as the project file says. ", counted(n, "register row", "register rows")) + f.Inputs
		}
		if c := countInspections(r.Network); c != nil {
			f.Inputs = sentenceCase(c.inWords()) + ". " + f.Inputs
		}
	}
	f.Changes = h.cut(sentenceCase(headline(h.changes)) + ".")
	f.LookAtData, f.Suspects = lookAtData, suspectsInWords(r, func(name string) string { return isolated(h.cut(name)) })
	if text := decisionsInWords(h.changes.Decided); text != "" {
		f.Decisions = h.cut(sentenceCase(text) + decidedOutInWords(r, h.changes.Decided) + ".")
	}
	for s := history.New; s <= history.Better; s++ {
		f.States = append(f.States, stateFact{int(s), s.String()})
	}
	if f.Trend = trendOf(h.trend); f.Trend != nil {
		f.Trend.Of = trendOfAllLines(r)
	}
	h.addRows(&f)
	h.addChecks(&f)
	for _, g := range gapsOf(r)[:min(len(gapsOf(r)), listedPageGaps)] {
		f.Gaps = append(f.Gaps, countFact{g.reason.String(), grouped(g.count)})
	}
	for _, c := range r.Project.Faults.Counts() {
		f.Faults = append(f.Faults, countFact{faultText(c), grouped(c.Count)})
	}
	for _, a := range r.Run.Assumptions {
		text := a.Text
		if len(a.Lines) > 0 {
			text += " (" + touched(r.Project, a, 3) + ")"
		}
		f.Assumptions = append(f.Assumptions, inOrder(cutText(text, 4*h.limits.text)))
	}
	for _, c := range r.Project.Criteria.List() {
		f.Criteria = append(f.Criteria, criterionFact{c.Name, c.Key, h.cut(c.Shown()), c.From()})
	}
	for i := range r.Project.Rules {
		rules := &r.Project.Rules[i]
		for _, c := range rules.Stated() {
			f.Criteria = append(f.Criteria, criterionFact{c.Name + " (" + touched(r.Project, audit.Assumption{Lines: rules.Lines}, 3) + ")", c.Key, h.cut(c.Shown()), h.cut(rules.From)})
		}
	}
	f.Cohorts = h.cohortsFact()
	f.Cuts = h.cuts()
	return f
}

func (h *htmlPage) cut(text string) string { return cutText(text, h.limits.text) }

// whole is a text that is to be read to its end, such as the sentences of the program.
func (h *htmlPage) whole(text string) string { return cutText(text, wholeTexts*h.limits.text) }

// addRows adds the rows of the table.
func (h *htmlPage) addRows(f *pageFacts) {
	held := h.findingsShown()
	shown := held[:min(len(held), h.limits.rows)]
	names := append(slices.Clone(pageDecisionNames), h.carriedNames()...)
	for i := range shown {
		e, rec := findingRecord(h.result, &shown[i])
		row := rowFact{
			Number: i + 1, Mark: int(e.Verdict.Severity), Severity: rec.Severity, Line: h.cut(rec.Line), Structure: h.cut(rec.Structure),
			Sentence: inOrder(h.whole(rec.Reason)), Remedy: inOrder(h.remedyOf(&shown[i])), Check: rec.Check, Margin: marginPercent(float64(rec.Margin)),
			Carried: h.cut(carriedInWords(names, append(pageDecision(h.changes.Decided.Of(shown[i].Exceptions[0])), textsOfFinding(h.result, &shown[i])...))),
			Closed:  !h.changes.Decided.Open(shown[i].Exceptions[0]),
			ID:      h.result.ExceptionIDs()[shown[i].Exceptions[0]],
		}
		if state, _ := stateOf(h.changes, &shown[i]); state != history.Standing {
			row.State = state.String()
		}
		for _, tag := range tagsOf(rec) {
			row.Tags = append(row.Tags, h.cut(tag))
		}
		if rec.StructureTo != "" {
			row.Structure += " – " + h.cut(rec.StructureTo)
		}
		f.Rows = append(f.Rows, row)
	}
	total := len(decidedFindings(h.result, h.changes.Decided, h.result.Findings()))
	f.RowsCut = len(shown) < total
	of := counted(len(h.result.Exceptions), "exception", "exceptions")
	f.Shown = counted(total, "finding", "findings") + " of " + of + ", worst first"
	if f.RowsCut {
		f.Shown = fmt.Sprintf("the worst %s of %s of %s", grouped(len(shown)), counted(total, "finding", "findings"), of)
	}
	if len(held) == total {
		f.ShownOf = of
	}
}

// tagsOf say in short which circuit, phases and side an exception is about.
func tagsOf(rec record) (parts []string) {
	if rec.Circuit != "" {
		parts = append(parts, "circuit "+rec.Circuit)
	}
	if rec.Phase != "" {
		parts = append(parts, "phase "+rec.Phase)
	}
	if rec.Side != "" {
		parts = append(parts, rec.Side)
	}
	return parts
}

func joined(parts []string) string { return strings.Join(parts, ", ") }

func marginPercent(margin float64) string {
	if unknown(shownMargin(margin)) {
		return ""
	}
	return strings.Replace(strconv.FormatFloat(100*margin, 'f', 1, 64), "-", "\u2212", 1)
}

func percentText(percent float64) string {
	if unknown(percent) {
		return ""
	}
	return strconv.FormatFloat(percent, 'f', 1, 64) + "\u202F%"
}

// addChecks adds what each check said that concerns anything.
func (h *htmlPage) addChecks(f *pageFacts) {
	silent := 0
	for i, c := range h.result.Coverage {
		if _, concerned := c.Assessed(); concerned == 0 {
			if c.NotAsked == 0 {
				silent++
			}
			continue
		}
		f.Checks = append(f.Checks, checkFact{h.result.Checks[i].Title, h.result.Checks[i].ID, grouped(c.Meets), grouped(c.FallsShort),
			grouped(c.Lacking()), strings.TrimSuffix(percentText(audit.JudgedPercent(c)), "\u202F%")})
	}
	if unasked := notAsked(h.result); len(unasked) > 0 {
		f.NotAsked = "Not asked for, in whole or in part, for want of what is in brackets: " + strings.Join(unasked, ", ") + "."
	}
	if silent > 0 {
		f.Silent = counted(silent, "check concerns", "checks concern") + " nothing here."
	}
}

func faultText(c audit.FaultCount) string {
	if c.Column == "" {
		return c.Kind.String()
	}
	return c.Kind.String() + " in " + c.Column
}

// longestDegreeM is the length of a degree of latitude at a pole of WGS 84 in metres, rounded up: a²/b·π/180 with
// a = 6 378 137 m and b = 6 356 752.3 m. No other degree of latitude or longitude is longer.
const longestDegreeM = 111_694

// cuts says what the page leaves out.
func (h *htmlPage) cuts() []string {
	r, c := h.result, &h.chosen
	var out []string
	if !c.all {
		out = append(out, fmt.Sprintf("Map and strip hold %s of %s: all of %s of %s, and of the others those of the exceptions that the page holds, with what stands next to them and the ends of their lines. Every line is on the map with its name, counts and route%s. Of the files %s.",
			grouped(c.count), counted(r.Network.StructureCount(), "structure", "structures"), grouped(c.whole), counted(len(c.lines), "line", "lines"), h.routesOff(), h.wholeAt))
	}
	if c.exceptions < len(r.Exceptions) {
		out = append(out, fmt.Sprintf("This page holds the worst %s of %s exceptions. The files audit.json and exceptions.geojson have all.",
			grouped(c.exceptions), grouped(len(r.Exceptions))))
	}
	if deg := h.zones.simplifiedDeg; deg > 0 {
		out = append(out, fmt.Sprintf("Borders of zones are drawn coarser than they were judged, by up to %s m.", grouped(int(math.Ceil(deg*longestDegreeM)))))
	}
	if told := h.named.cut(); told != "" {
		out = append(out, told)
	}
	if n := len(r.Lines) - len(assessedLines(r)); n > 0 {
		out = append(out, fmt.Sprintf("%s not assessed in this run; the map draws them dashed.", counted(n, "line was", "lines were")))
	}
	return out
}

// routesOff says by how much routes are drawn off.
func (h *htmlPage) routesOff() string {
	if h.routes == nil || !(h.routes.simplifiedDeg > 0) {
		return ""
	}
	return fmt.Sprintf(", drawn within %s m", grouped(int(math.Ceil(h.routes.simplifiedDeg*longestDegreeM))))
}

func assessedLines(r *audit.Result) (lines []int) {
	for l := range r.Lines {
		if r.Lines[l].Assessed {
			lines = append(lines, l)
		}
	}
	return lines
}
