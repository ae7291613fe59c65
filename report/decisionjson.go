package report

import (
	"path/filepath"

	"dryarc/audit"
	"dryarc/audit/history"
)

// The members of audit.json that tell of decisions.
type (
	// decided is the decision that speaks for an exception.
	decided struct {
		Decision string `json:"decision"`
		Until    string `json:"until"`
		By       string `json:"by"`
		Reason   string `json:"reason"`
		Status   string `json:"status"`
		Detail   string `json:"detail"`
		Of       string `json:"of"` // exception, structure and check, structure, or line and check
	}
	decisionCounts struct {
		File         string         `json:"file"`
		InForce      int            `json:"in_force"`
		Lapsing      int            `json:"lapsing"`   // of those, within 30 days
		Undated      int            `json:"undated"`   // of those, that never come back for review
		Overruled    int            `json:"overruled"` // by narrower ones, all that they are of
		Lapsed       int            `json:"lapsed"`
		Contradicted int            `json:"contradicted"`
		Unreadable   int            `json:"unreadable"`
		StillThere   int            `json:"still_there"`
		Unmatched    int            `json:"unmatched"`
		Unjudged     int            `json:"not_assessed"`
		Settled      int            `json:"settled"`
		Exceptions   severityRecord `json:"exceptions"` // accepted or planned, in force
		// That the run before showed, and that are not in the file any more; not written where there are none.
		Removed []removedDecision `json:"removed,omitempty"`
	}
	removedDecision struct {
		Exception string `json:"exception"` // an id; empty where it is of a structure or a line
		Line      string `json:"line"`
		Structure string `json:"structure"`
		Check     string `json:"check"`
		Decision  string `json:"decision"`
		Until     string `json:"until"`
		By        string `json:"by"`
		Reason    string `json:"reason"`
	}
)

func decidedOf(j *history.Judged) *decided {
	if j == nil {
		return nil
	}
	return &decided{j.Word, j.Until, j.By, j.Reason, j.Status.String(), j.Detail, j.Of()}
}

func decisionCountsOf(r *audit.Result, d *history.Decided) *decisionCounts {
	if d == nil {
		return nil
	}
	out := decidedOut(r, d)
	counts := &decisionCounts{File: filepath.Base(r.Project.Decisions), InForce: d.Count(history.InForce), Overruled: d.Count(history.Overruled), Lapsed: d.Count(history.Lapsed), Contradicted: d.Count(history.Contradicted),
		Unreadable: d.Count(history.Unreadable), StillThere: d.Count(history.StillThere), Unmatched: d.Count(history.Unmatched), Unjudged: d.Count(history.Unjudged), Settled: d.Count(history.Settled),
		Exceptions: severityRecord{out[audit.Shortfall], out[audit.Advisory], out[audit.Note]}}
	for i := range d.Decisions {
		if d.Decisions[i].Soon {
			counts.Lapsing++
		}
		if d.Decisions[i].Forever {
			counts.Undated++
		}
	}
	for _, x := range d.Removed {
		counts.Removed = append(counts.Removed, removedDecision{x.Exception, x.Line, x.Structure, x.Check, x.Word, x.Until, x.By, x.Reason})
	}
	return counts
}
