package report

import (
	"dryarc/audit"
	"dryarc/audit/history"
)

// Closing is the summary of a run for programs.
type Closing struct {
	ID            string          `json:"id"`
	AsOf          string          `json:"as_of"`
	Headline      string          `json:"headline"` // the changes in words
	Lines         int             `json:"lines"`
	Structures    int             `json:"structures"`
	Exceptions    severityRecord  `json:"exceptions"`
	Changes       changeCounts    `json:"changes"`
	Decisions     *decisionCounts `json:"decisions"` // null where the project names no file of them
	JudgedPercent number          `json:"judged_percent"`
	Faults        int             `json:"faults"`
	LeftOut       []leftOutRecord `json:"left_out,omitempty"` // outputs that the network is too large for
}

// ClosingOf is the summary of a result whose run also wrote some outputs on request.
func ClosingOf(r *audit.Result, c *history.Changes, also ...string) Closing {
	totals, s := r.Totals(), scopeOf(r)
	return Closing{ID: r.Run.ID, AsOf: r.Run.AsOf, Headline: headline(c), Lines: s.lines, Structures: s.structures,
		Exceptions: severityRecord{totals[audit.Shortfall], totals[audit.Advisory], totals[audit.Note]}, Changes: changeCountsOf(c),
		Decisions: decisionCountsOf(r, c.Decided), JudgedPercent: number(r.AssessedPercent()), Faults: r.Project.Faults.Total(), LeftOut: leftOutRecords(leftOut(r, also))}
}
