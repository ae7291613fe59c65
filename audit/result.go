package audit

import (
	"math"
	"slices"
	"sync"
)

// Schema is the version of the result as programs read it.
const Schema = 1

// Result is what an audit found. Every output is written from it.
type Result struct {
	Project    *Project
	Network    *Network
	Checks     []*Check
	Exceptions []Exception  // worst first
	Coverage   []Coverage   // by check, over all assessed lines
	Lines      []LineResult // by line of the network
	Run        Run

	errors      CheckErrors // of the checks when they judged
	later       laterErrors
	workers     int // lines worked on at a time
	scheduling  sync.Once
	scheduled   func(structure int) bool // of which they tell; nil for all
	schedules   []Schedule
	unscheduled error      // why there are none
	strings     [][]uint32 // by line, see stringsOf
	identifying sync.Once
	ids         []string // of the exceptions
	telling     sync.Once
	rasters     string // that ground levels may be from
}

// LineResult is what the checks found on one line.
type LineResult struct {
	Assessed   bool
	Exceptions []Exception // moved to Result.Exceptions when all lines are done
	Coverage   []Coverage  // by check
	// OneClassWorse counts the assemblies that meet and would fall short if every pollution class were one worse.
	OneClassWorse int
	classes       classUse
	watched       ruleSet     // the entries of the watch list that something is on, or may be
	errors        CheckErrors // moved to Result.errors when all lines are done
}

// finish gathers the results of the lines, and what stands of an earlier one.
func (r *Result) finish(o Options, stands *unchanged) {
	r.Coverage = make([]Coverage, len(r.Checks))
	for i := range r.Coverage {
		r.Coverage[i].WorstMargin = math.NaN()
	}
	count := 0
	for l := range r.Lines {
		count += len(r.Lines[l].Exceptions)
	}
	if stands != nil {
		r.Exceptions = stands.exceptions()
	}
	r.Exceptions = slices.Grow(r.Exceptions, count) // no more room than they take, since they may be very many
	for l := range r.Lines {
		line := &r.Lines[l]
		r.Exceptions = append(r.Exceptions, line.Exceptions...)
		line.Exceptions = nil
		r.errors.addAll(line.errors)
		line.errors = CheckErrors{}
		for i := range line.Coverage {
			r.Coverage[i].Add(line.Coverage[i])
		}
	}
	for i := range r.Coverage {
		slices.SortFunc(r.Coverage[i].Reasons, func(a, b ReasonCount) int {
			return int(a.Outcome)<<8 + int(a.Reason) - int(b.Outcome)<<8 - int(b.Reason)
		})
	}
	r.sortExceptions()
	r.Run = Run{Version: o.Version, AsOf: o.AsOf, Lines: o.Lines, Assumptions: r.assumptions()}
	r.Run.ID = r.runID()
}

// Workers is how many lines are worked on at a time, 1 or more.
func (r *Result) Workers() int { return max(r.workers, 1) }

// Totals counts the exceptions by severity.
func (r *Result) Totals() (bySeverity [severities]int) {
	for i := range r.Exceptions {
		bySeverity[r.Exceptions[i].Verdict.Severity]++
	}
	return bySeverity
}

// AssessedPercent is JudgedPercent of all checks; 100 where the project asks for nothing.
func (r *Result) AssessedPercent() float64 {
	if percent := JudgedPercent(r.Coverage...); !math.IsNaN(percent) {
		return percent
	}
	return 100
}

// JudgedPercent is the share of verdicts that could be given among those the project asks for, cut to the tenth that is
// shown, so that it is 100 only where all were, and the same in every output; NaN where the project asks for none.
func JudgedPercent(coverage ...Coverage) float64 {
	var judged, concerned int
	for i := range coverage {
		j, n := coverage[i].Assessed()
		judged, concerned = judged+j, concerned+n
	}
	if concerned == 0 {
		return math.NaN()
	}
	return float64(1000*judged/concerned) / 10
}
