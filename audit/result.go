package audit

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
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
	schedules   []Schedule
	unscheduled error // why there are none
}

// Run is how a result came about.
type Run struct {
	ID          string // the same for the same inputs, criteria, version, date and chosen lines
	Version     string
	AsOf        string
	Lines       []string // chosen; none means all
	Assumptions []Assumption
}

// Assumption is something nobody stated that the result rests on.
type Assumption struct {
	Text  string
	Lines []Symbol // the lines it touches, in their order; nil where it touches all
}

// Exception is one subject that falls short of one check.
type Exception struct {
	Check     int // in Result.Checks
	Line      int // in Network.Lines
	Structure int // in the network; −1 where the whole line is meant
	To        int // the far structure of a span, else −1
	Assembly  int // in Project.Assemblies, else −1
	Circuit   Symbol
	Phase     Symbol // as written
	Side      Side
	Verdict   Verdict
}

// Phases returns the phases of an exception as text: those of the row as written, or those that a place lacks.
func (e *Exception) Phases(p *Project) string {
	if e.Verdict.Missing != 0 {
		return e.Verdict.Missing.String()
	}
	return p.Symbols.Text(e.Phase)
}

// LineResult is what the checks found on one line.
type LineResult struct {
	Assessed   bool
	Exceptions []Exception // moved to Result.Exceptions when all lines are done
	Coverage   []Coverage  // by check
	// OneClassWorse counts the assemblies that meet and would fall short if every pollution class were one worse.
	OneClassWorse int
	classes       classUse
	errors        CheckErrors // moved to Result.errors when all lines are done
}

// Coverage counts the verdicts of one check.
type Coverage struct {
	Meets, FallsShort, NotApplicable, NotAssessed int
	WorstMargin                                   float64 // NaN where no verdict has a margin
	Reasons                                       []ReasonCount
}

// ReasonCount counts one reason.
type ReasonCount struct {
	Outcome Outcome
	Reason  Reason
	Count   int
}

// Assessed is how many subjects were judged, and of how many that the check concerns.
func (c Coverage) Assessed() (judged, concerned int) {
	judged = c.Meets + c.FallsShort
	return judged, judged + c.NotAssessed
}

func (c *Coverage) add(other Coverage) {
	c.Meets += other.Meets
	c.FallsShort += other.FallsShort
	c.NotApplicable += other.NotApplicable
	c.NotAssessed += other.NotAssessed
	if !math.IsNaN(other.WorstMargin) && (math.IsNaN(c.WorstMargin) || other.WorstMargin < c.WorstMargin) {
		c.WorstMargin = other.WorstMargin
	}
	for _, r := range other.Reasons {
		i := slices.IndexFunc(c.Reasons, func(have ReasonCount) bool { return have.Outcome == r.Outcome && have.Reason == r.Reason })
		if i < 0 {
			c.Reasons = append(c.Reasons, r)
			continue
		}
		c.Reasons[i].Count += r.Count
	}
}

// finish gathers the results of the lines.
func (r *Result) finish(o Options) {
	r.Coverage = make([]Coverage, len(r.Checks))
	for i := range r.Coverage {
		r.Coverage[i].WorstMargin = math.NaN()
	}
	for l := range r.Lines {
		line := &r.Lines[l]
		r.Exceptions = append(r.Exceptions, line.Exceptions...)
		line.Exceptions = nil
		r.errors.addAll(line.errors)
		line.errors = CheckErrors{}
		for i := range line.Coverage {
			r.Coverage[i].add(line.Coverage[i])
		}
	}
	for i := range r.Coverage {
		slices.SortFunc(r.Coverage[i].Reasons, func(a, b ReasonCount) int {
			return int(a.Outcome)<<8 + int(a.Reason) - int(b.Outcome)<<8 - int(b.Reason)
		})
	}
	slices.SortFunc(r.Exceptions, func(a, b Exception) int { return r.Network.compareExceptions(&a, &b) })
	r.Run = Run{Version: o.Version, AsOf: o.AsOf, Lines: o.Lines, Assumptions: r.assumptions()}
	r.Run.ID = r.runID()
}

// runID is a hash of all that decides the result.
func (r *Result) runID() string {
	hash := sha256.New()
	criteria, err := json.Marshal(r.Project.Criteria)
	if err != nil {
		panic("audit: criteria do not marshal: " + err.Error())
	}
	fmt.Fprintf(hash, "%d\n%s\n%s\n%q\n%s\n%t %t\n", Schema, r.Run.Version, r.Run.AsOf, r.Run.Lines, criteria, r.Project.RegisterGiven, r.Project.RoutesAlone)
	for _, input := range r.Project.Inputs {
		fmt.Fprintf(hash, "%q %s\n", input.File, input.SHA256)
		if input.System != "" {
			fmt.Fprintf(hash, "%s\n", input.System)
		}
	}
	return hex.EncodeToString(hash.Sum(nil))[:16]
}

// Totals counts the exceptions by severity.
func (r *Result) Totals() (bySeverity [severities]int) {
	for i := range r.Exceptions {
		bySeverity[r.Exceptions[i].Verdict.Severity]++
	}
	return bySeverity
}

// AssessedPercent is the share of verdicts that could be given among those the checks concern; 100 where none does.
func (r *Result) AssessedPercent() float64 {
	var judged, concerned int
	for _, c := range r.Coverage {
		j, n := c.Assessed()
		judged += j
		concerned += n
	}
	if concerned == 0 {
		return 100
	}
	return 100 * float64(judged) / float64(concerned)
}
