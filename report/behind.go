package report

import (
	"fmt"
	"strings"

	"dryarc/audit"
	"dryarc/audit/remedy"
)

const (
	seeFaults    = "see Faults: "
	listedBehind = 3
)

// faultsBehind names the faults for which something at the structure of a job is not assessed, by kind, place and value; empty where none is.
func faultsBehind(r *audit.Result, j *remedy.Job, reason audit.Reason) string {
	var texts []string
	for _, f := range r.FaultsBehind(j.Line, j.Structure, reason) {
		text := f.Kind.String() + ", " + f.Where(r.Project.Tables)
		if f.Value != "" {
			text += fmt.Sprintf(", %q", f.Value)
		}
		texts = append(texts, text)
	}
	if more := len(texts) - listedBehind; more > 0 {
		texts = append(texts[:listedBehind], fmt.Sprintf("and %s more", grouped(more)))
	}
	return strings.Join(texts, "; ")
}

// reasonWithFaults is why something is not assessed, with the faults by name to which it sends the reader.
func reasonWithFaults(r *audit.Result, j *remedy.Job, reason audit.Reason) string {
	faults := faultsBehind(r, j, reason)
	if faults == "" {
		return reason.String()
	}
	return strings.TrimSuffix(reason.String(), strings.TrimSuffix(seeFaults, ": ")) + seeFaults + faults
}
