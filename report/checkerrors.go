package report

import (
	"context"
	"fmt"
	"io"
	"strings"

	"dryarc/audit"
)

// checkErrorRecord is one check that failed on one subject, an error of the program, as audit.json has it.
type checkErrorRecord struct {
	Check       string `json:"check"`
	Line        string `json:"line"`
	Structure   string `json:"structure"`
	StructureTo string `json:"structure_to"`
	Circuit     string `json:"circuit"`
	Phase       string `json:"phase"`
	Side        string `json:"side"`
	Trial       string `json:"trial"` // what it was tried for; empty where a verdict was asked for
	Error       string `json:"error"`
}

func checkErrorOf(r *audit.Result, e *audit.CheckError) checkErrorRecord {
	at := recordOf(r, &audit.Exception{Location: e.Location, Check: e.Check})
	return checkErrorRecord{at.Check, at.Line, at.Structure, at.StructureTo, at.Circuit, at.Phase, at.Side, e.Trial, e.Cause}
}

// where says where the check failed, in words.
func (rec *checkErrorRecord) where() string {
	words := []string{"line " + rec.Line}
	add := func(name, text string) {
		if text != "" {
			words = append(words, name+text)
		}
	}
	add("structure ", rec.Structure)
	add("to ", rec.StructureTo)
	add("circuit ", rec.Circuit)
	add("phase ", rec.Phase)
	add("", rec.Side)
	return strings.Join(words, ", ")
}

// cost says what an error left unsaid.
func (rec *checkErrorRecord) cost() string {
	if rec.Trial == "" {
		return audit.NotAssessed.String()
	}
	return "tried for " + rec.Trial
}

// mostTold is how many errors of checks the terminal is told one by one.
const mostTold = 20

// CheckErrors tells which checks failed, on what and why, those included that failed while the outputs were written. It
// returns how many there are.
func CheckErrors(ctx context.Context, w io.Writer, r *audit.Result) (int, error) {
	found, err := r.CheckErrors(ctx)
	if err != nil {
		return 0, err
	}
	later := r.ErrorsOfOutputs()
	list, count := append(found.List, later.List...), found.Count+later.Count
	var b strings.Builder
	for i := range list[:min(len(list), mostTold)] {
		rec := checkErrorOf(r, &list[i])
		fmt.Fprintf(&b, "check %s failed: %s (%s): %s\n", rec.Check, Visible(rec.where()), rec.cost(), Visible(rec.Error))
	}
	if more := count - mostTold; more > 0 {
		fmt.Fprintf(&b, "and %d more, see the sheet %s\n", more, runSheet)
	}
	_, err = io.WriteString(w, b.String())
	return count, err
}
