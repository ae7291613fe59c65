package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"
)

// bySeverity counts exceptions by audit.Severity.
type bySeverity [audit.Note + 1]int

func (b bySeverity) total() int { return b[audit.Shortfall] + b[audit.Advisory] + b[audit.Note] }

// exceptionsByLine counts the exceptions of every line of the network.
func exceptionsByLine(r *audit.Result) []bySeverity {
	counts := make([]bySeverity, len(r.Network.Lines))
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		counts[e.Line][e.Verdict.Severity]++
	}
	return counts
}

// exceptionsByStructure counts the exceptions at the structures of the network that have any; one of a span counts where it begins.
func exceptionsByStructure(r *audit.Result) map[int]uint32 {
	counts := map[int]uint32{}
	for i := range r.Exceptions {
		if at := r.Exceptions[i].Structure; at >= 0 {
			counts[at]++
		}
	}
	return counts
}

// exceptionsByCheck counts the exceptions of every check.
func exceptionsByCheck(r *audit.Result) []int {
	counts := make([]int, len(r.Checks))
	for i := range r.Exceptions {
		counts[r.Exceptions[i].Check]++
	}
	return counts
}

// openByCheck counts the exceptions of every check that are neither accepted nor planned, in force.
func openByCheck(r *audit.Result, d *history.Decided) []bySeverity {
	counts := make([]bySeverity, len(r.Checks))
	for i := range r.Exceptions {
		if d.Open(i) {
			counts[r.Exceptions[i].Check][r.Exceptions[i].Verdict.Severity]++
		}
	}
	return counts
}

// scope is what was assessed.
type scope struct {
	lines, structures, assemblies int
	lengthKM                      float64
}

func scopeOf(r *audit.Result) scope {
	var s scope
	for l := range r.Lines {
		if !r.Lines[l].Assessed {
			continue
		}
		line := &r.Network.Lines[l]
		s.lines++
		s.structures += line.End - line.First
		s.assemblies += line.RowsPlaced
		if km := lengthKM(r, l); !math.IsNaN(km) {
			s.lengthKM += km
		}
	}
	return s
}

// rowsPlacedInWords says how many rows of the register are placed on structures, and on a run that left out lines how many of them on those that
// were judged.
func rowsPlacedInWords(r *audit.Result) string {
	text := grouped(r.Network.RowsPlaced) + " placed"
	if s := scopeOf(r); s.lines < len(r.Lines) {
		text += fmt.Sprintf(" (%s on the lines chosen)", grouped(s.assemblies))
	}
	return text
}

// lengthKM is the length of a line along its structures.
func lengthKM(r *audit.Result, line int) float64 {
	return r.Network.ChainageM(line, r.Network.Lines[line].End-1) / 1000
}

// lineTotals adds the verdicts of all checks on a line.
func lineTotals(line *audit.LineResult) audit.Coverage {
	total := audit.Coverage{WorstMargin: math.NaN()}
	for _, c := range line.Coverage {
		total.Meets += c.Meets
		total.FallsShort += c.FallsShort
		total.NotApplicable += c.NotApplicable
		total.NotAssessed += c.NotAssessed
		total.NotAsked += c.NotAsked
	}
	return total
}

// circuitsOf is how many circuits a line has: as many as are stated or registered, −1 where neither tells.
func circuitsOf(line *audit.Line) int {
	if n := max(len(line.Circuits), line.Row.Circuits); n > 0 {
		return n
	}
	return -1
}

// gap is a reason for which subjects were not assessed, and how often it is.
type gap struct {
	reason audit.Reason
	count  int
}

// gapsOf lists the reasons for which subjects were not assessed although the project asks for it, the most frequent first.
func gapsOf(r *audit.Result) []gap {
	var gaps []gap
	for _, c := range r.Coverage {
		for _, reason := range c.Reasons {
			if reason.Outcome != audit.NotAssessed || reason.Reason.AskedBy() != "" {
				continue
			}
			i := slices.IndexFunc(gaps, func(g gap) bool { return g.reason == reason.Reason })
			if i < 0 {
				i = len(gaps)
				gaps = append(gaps, gap{reason: reason.Reason})
			}
			gaps[i].count += reason.Count
		}
	}
	slices.SortFunc(gaps, func(a, b gap) int { return cmp.Or(cmp.Compare(b.count, a.count), cmp.Compare(a.reason, b.reason)) })
	return gaps
}

// notAsked lists the checks for which the project does not ask, each with what would ask for it; those that it asks for somewhere, for which
// the sheet of coverage tells where it does not, are not among them.
func notAsked(r *audit.Result) []string {
	var list []string
	for i, c := range r.Coverage {
		if _, concerned := c.Assessed(); concerned > 0 {
			continue
		}
		var keys []string
		for _, reason := range c.Reasons {
			if key := reason.Reason.AskedBy(); reason.Outcome == audit.NotAssessed && key != "" {
				keys = append(keys, key)
			}
		}
		if len(keys) > 0 {
			list = append(list, r.Checks[i].ID+" ("+strings.Join(keys, "; ")+")")
		}
	}
	return list
}
