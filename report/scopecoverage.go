package report

import (
	"cmp"
	"context"
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	scenarios "dryarc/audit/scope"
)

// scopeCoverage is what became of one check on one line, today and in a scenario.
type scopeCoverage struct {
	line, check, newly, mended int
	beside                     bool // the scenario is not about the line: it was judged again for what stands beside it
	today, then                audit.Coverage
}

// lineVerdicts counts exceptions and verdicts of a line, of all checks.
type lineVerdicts struct {
	newly, mended, unjudged, notJudged, notJudgedToday int
	taken                                              int      // of notJudged: since a figure went with what the scenario replaces
	takenOf                                            []string // the checks of these
	unasked                                            int      // verdicts that are asked for today and not in the scenario
}

// addCoverage keeps what became of each check on the lines that were judged again, and of exceptions. It counts them by line of the network.
func (s *ScopeOf) addCoverage(l *scenarios.Look) (lines []lineVerdicts) {
	r := l.Then
	lines = make([]lineVerdicts, len(r.Lines))
	newly, mended := make([]int, len(r.Lines)*len(r.Checks)), make([]int, len(r.Lines)*len(r.Checks))
	s.fresh = make([]uint8, (len(r.Exceptions)+7)/8)
	for _, i := range l.New {
		s.fresh[i/8] |= 1 << (i % 8)
		newly[r.Exceptions[i].Line*len(r.Checks)+r.Exceptions[i].Check]++
	}
	for _, i := range l.Mended {
		s.mended = append(s.mended, int32(i))
		mended[l.Today.Exceptions[i].Line*len(r.Checks)+l.Today.Exceptions[i].Check]++
	}
	for _, i := range l.Unjudged {
		s.unjudged = append(s.unjudged, int32(i))
		lines[l.Today.Exceptions[i].Line].unjudged++
	}
	s.coverage = newKept((*packing).coverage)
	for line := range r.Lines {
		sum := &lines[line]
		for check := range r.Lines[line].Coverage { // none of a line that was not judged again
			at := line*len(r.Checks) + check
			c := scopeCoverage{line: line, check: check, newly: newly[at], mended: mended[at], beside: !l.Chosen[line], then: r.Lines[line].Coverage[check]}
			s.coverage.add(&c)
			sum.newly, sum.mended = sum.newly+c.newly, sum.mended+c.mended
			today := &l.Today.Lines[line].Coverage[check]
			sum.notJudged, sum.notJudgedToday = sum.notJudged+c.then.Lacking(), sum.notJudgedToday+today.Lacking()
			sum.unasked += max(0, c.then.NotAsked-today.NotAsked)
			if n := takenOf(&c.then); n > 0 {
				sum.taken, sum.takenOf = sum.taken+n, append(sum.takenOf, limitInWords(r.Checks[check].ID))
			}
		}
	}
	s.coverage.close()
	return lines
}

// takenOf counts the verdicts that are not given since what was stated went with what a scenario replaces.
func takenOf(c *audit.Coverage) (n int) {
	for _, x := range c.Reasons {
		if x.Outcome == audit.NotAssessed && (x.Reason == audit.LineFigureSuperseded || x.Reason == audit.OwnFigureSuperseded || x.Reason == audit.OwnSlipSuperseded) {
			n += x.Count
		}
	}
	return n
}

// coverageBeside yields the coverage by line and check, beside that of today.
func (s *ScopeOf) coverageBeside(today *audit.Result) iter.Seq[*scopeCoverage] {
	return func(yield func(*scopeCoverage) bool) {
		for _, c := range s.coverage.each() {
			if c.today = today.Lines[c.line].Coverage[c.check]; !yield(c) {
				return
			}
		}
	}
}

// verdictsOf counts what a check says, with the reasons for what it could not judge.
func verdictsOf(c *audit.Coverage) scopeVerdict {
	v := scopeVerdict{countsOf(c), []reasonRecord{}}
	for _, x := range openReasons(c) {
		v.Reasons = append(v.Reasons, reasonRecord{x.Outcome.String(), x.Reason.String(), x.Count, x.Reason.AskedBy()})
	}
	return v
}

func countsOf(c *audit.Coverage) scopeCounts {
	return scopeCounts{c.Meets, c.FallsShort, c.NotApplicable, c.NotAssessed, c.NotAsked}
}

// openReasons are the reasons for which a check was not assessed, the most frequent first.
func openReasons(c *audit.Coverage) (list []audit.ReasonCount) {
	for _, x := range c.Reasons {
		if x.Outcome == audit.NotAssessed {
			list = append(list, x)
		}
	}
	slices.SortFunc(list, func(a, b audit.ReasonCount) int {
		return cmp.Or(cmp.Compare(b.Count, a.Count), cmp.Compare(a.Reason, b.Reason))
	})
	return list
}

// mostReasonsTold is how many reasons of a check on a line the page tells.
const mostReasonsTold = 3

// lackingInWords says why a check could not be judged although the project asks for it, most frequent first, with today's counts where they are
// others.
func lackingInWords(then, today *audit.Coverage) string {
	before := map[audit.Reason]int{}
	for _, x := range openReasons(today) {
		before[x.Reason] = x.Count
	}
	var told []string
	left := 0
	for _, x := range openReasons(then) {
		switch {
		case x.Reason.AskedBy() != "":
		case len(told) == mostReasonsTold:
			left += x.Count
		case before[x.Reason] == x.Count:
			told = append(told, fmt.Sprintf("%s at %s", x.Reason, grouped(x.Count)))
		default:
			told = append(told, fmt.Sprintf("%s at %s (%s today)", x.Reason, grouped(x.Count), grouped(before[x.Reason])))
		}
	}
	if left > 0 {
		told = append(told, fmt.Sprintf("other reasons at %s", grouped(left)))
	}
	return strings.Join(told, "; ")
}

// sumByCheck sums up what each check says on the lines that a scenario is about, today and then.
func (s *ScopeOf) sumByCheck(r *audit.Result) []scopeCoverage {
	sums := make([]scopeCoverage, len(r.Checks))
	for i := range sums {
		sums[i] = scopeCoverage{check: i, today: audit.Coverage{WorstMargin: math.NaN()}, then: audit.Coverage{WorstMargin: math.NaN()}}
	}
	for c := range s.coverageBeside(r) {
		if c.beside {
			continue
		}
		sum := &sums[c.check]
		sum.today.Add(c.today)
		sum.then.Add(c.then)
	}
	return sums
}

// writeCoverage writes the sheet of what each check says of the lines of a scenario, and under each why it could not judge, with today's counts
// beside them.
func (b *scopeBook) writeCoverage(ctx context.Context) error {
	count := look{format: asCount}
	t := b.newTable(ctx, coverageSheet, 2, []column{
		{"Scenario", 18, look{wrap: true}},
		{"Check", 22, look{wrap: true}},
		{"What it finds, and reasons", 50, look{wrap: true}},
		{"Meets", 8, count},
		{"Today: meets", 8, count},
		{"Falls short", 8, count},
		{"Today: falls short", 8, count},
		{"Not assessed", 9, count},
		{"Today: not assessed", 9, count},
		{"Not asked for", 8.5, count},
		{"Today: not asked for", 9, count},
	})
	t.large = true
	rows := 0
	for _, s := range b.scope.Scenarios {
		sums := s.sumByCheck(b.result)
		for i := range sums {
			if c := &sums[i]; c.today.NotAssessed+c.then.NotAssessed > 0 || !judgedNothing(&c.today) || !judgedNothing(&c.then) {
				rows++
				b.addCoverage(t, s.scenario.Name, c)
			}
		}
	}
	t.remarkCut(rows, rows, "checks of scenarios")
	t.remark("Of the lines that the scenario is about. Not assessed is what the project asks for and the inputs cannot tell, never counted as met; under each check stands why.",
		"A check that is not asked for names what would ask for it. Faults stand on the sheet of that name of the audit; scope.json has all of this by line.")
	return t.finish()
}

// addCoverage adds what a check says in a scenario, and the reasons for what it could not judge, then or today.
func (b *scopeBook) addCoverage(t *table, scenario string, c *scopeCoverage) {
	check := b.result.Checks[c.check]
	head := func(value any, format string) styled {
		return styled{value, look{bold: true, fill: paper, format: format, wrap: format == ""}}
	}
	t.add(styled{scenario, look{bold: true, fill: paper, wrap: true}}, head(check.ID, ""), styled{check.Title, look{bold: true, fill: paper, wrap: true}},
		head(c.then.Meets, asCount), head(c.today.Meets, asCount), shortOf(c.then.FallsShort), shortOf(c.today.FallsShort),
		head(c.then.Lacking(), asCount), head(c.today.Lacking(), asCount), head(c.then.NotAsked, asCount), head(c.today.NotAsked, asCount))
	both := audit.Coverage{WorstMargin: math.NaN()}
	both.Add(c.then)
	both.Add(c.today)
	then, today := countsByReason(&c.then), countsByReason(&c.today)
	reasons := openReasons(&both)
	slices.SortStableFunc(reasons, func(x, y audit.ReasonCount) int { return cmp.Compare(then[y.Reason], then[x.Reason]) })
	for _, x := range reasons {
		text, at := x.Reason.String(), 7
		if key := x.Reason.AskedBy(); key != "" {
			text, at = text+"; asked for by "+key, at+2
		}
		row := []any{styled{scenario, look{color: slateSoft, wrap: true}}, styled{check.ID, look{color: slateSoft, wrap: true}}, styled{text, look{wrap: true, indent: 2}},
			nil, nil, nil, nil, nil, nil, nil, nil}
		row[at], row[at+1] = then[x.Reason], today[x.Reason]
		t.add(row...)
	}
}

func countsByReason(c *audit.Coverage) map[audit.Reason]int {
	counts := map[audit.Reason]int{}
	for _, x := range openReasons(c) {
		counts[x.Reason] = x.Count
	}
	return counts
}
