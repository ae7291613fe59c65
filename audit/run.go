package audit

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
)

// Options are what a run is told beyond the project.
type Options struct {
	Version string
	AsOf    string   // date, YYYY-MM-DD
	Lines   []string // the lines to assess; none means all
	Workers int      // lines worked on at a time; less than 1 means 1
	// Progress, where set, is told from any goroutine how many lines are done.
	Progress func(done, total int)
	// Each, where set, is told every verdict, those that meet too, with the workers of the run; a result keeps only what
	// falls short.
	Each func(check int, at Location, v Verdict)
	// Unjudged, where set, is told of each verdict that is not assessed why, also where nobody asks for it, as Each is.
	Unjudged func(check int, at Location, why Reason)
	// Before, where set, is what the same checks said of the network that this one is arranged from. Where Each is not set, what they would say
	// again is taken from it. Unjudged is not told of what is taken, which is nothing that the project asks for and that was not assessed.
	Before *Result
}

// Run is how a result came about.
type Run struct {
	ID          string // the same for the same inputs and reading of them, criteria, version, date and chosen lines
	Version     string
	AsOf        string
	Lines       []string // chosen; none means all
	Assumptions []Assumption
}

// runID is a hash of all that decides the result.
func (r *Result) runID() string {
	hash := sha256.New()
	criteria, err := json.Marshal(r.Project.Criteria)
	if err != nil {
		panic("audit: criteria do not marshal: " + err.Error())
	}
	fmt.Fprintf(hash, "%d\n%s\n%s\n%q\n%s\n%t %t\n", Schema, r.Run.Version, r.Run.AsOf, r.Run.Lines, criteria, r.Project.RegisterGiven, r.Project.RoutesAlone)
	for _, k := range r.Project.Criteria.List() {
		if k.Stated { // a stated figure weighs more than the same by default
			fmt.Fprintln(hash, k.Key)
		}
	}
	for i := range r.Project.Rules {
		r.Project.Rules[i].hash(hash, &r.Project.Symbols)
	}
	fmt.Fprintf(hash, "%q\n", r.Project.Reading)
	for _, input := range r.Project.Inputs {
		fmt.Fprintf(hash, "%q %s\n", input.File, input.SHA256)
		if input.System != "" {
			fmt.Fprintf(hash, "%s\n", input.System)
		}
	}
	return hex.EncodeToString(hash.Sum(nil))[:16]
}
