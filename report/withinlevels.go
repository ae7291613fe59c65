package report

import (
	"context"
	"iter"

	"dryarc/audit"
)

// withinLevelRecord is a verdict that would be another within the accuracy of ground levels from rasters, as audit.json has it.
type withinLevelRecord struct {
	Check        string  `json:"check"`
	Line         string  `json:"line"`
	Structure    string  `json:"structure"`
	Circuit      string  `json:"circuit"`
	Phase        string  `json:"phase"`
	Side         string  `json:"side"`
	Outcome      string  `json:"outcome"`
	Observed     figure  `json:"observed"`
	Required     figure  `json:"required"`
	Measure      string  `json:"measure"`
	Margin       number  `json:"margin"`
	Reason       string  `json:"reason"`
	GroundM      metres  `json:"ground_m"`
	GroundFrom   string  `json:"ground_from"`
	GroundErrorM metres  `json:"ground_error_m"` // null where nobody states it
	At           *origin `json:"at"`
}

// withinLevelRecords lists them, by line and structure.
func withinLevelRecords(ctx context.Context, r *audit.Result) iter.Seq[withinLevelRecord] {
	return func(yield func(withinLevelRecord) bool) {
		for e := range r.WithinLevels(ctx) {
			if !yield(withinLevelRecordOf(r, e)) {
				return
			}
		}
	}
}

func withinLevelRecordOf(r *audit.Result, e *audit.Exception) withinLevelRecord {
	of, s := recordOf(r, e), r.Network.Structure(e.Line, e.Structure)
	ground := levelOf(r, &s)
	return withinLevelRecord{of.Check, of.Line, of.Structure, of.Circuit, of.Phase, of.Side, e.Verdict.Outcome.String(), of.Observed, of.Required, of.Measure,
		of.Margin, e.Verdict.Reason.String(), metres(s.GroundM), ground.from, metres(ground.errorM), of.At}
}

// writeLevels writes the sheet of verdicts that would be others within the accuracy of ground levels from rasters.
func (b *book) writeLevels(ctx context.Context) error {
	t := b.newTable(ctx, levelsSheet, 2, []column{
		{"Line", 12, look{}},
		{"Structure", 9, look{bold: true}},
		{"Circuit", 6, look{}},
		{"Phase", 6, look{wrap: true}},
		{"Side", 6, look{}},
		{"Check", 17, look{wrap: true}},
		{"Outcome", 10, look{}},
		{"Observed", 9, look{format: asTenths}},
		{"Required", 9, look{format: asTenths}},
		{"Measure", 8, look{indent: 1}},
		{"Margin (%)", 8, look{format: asPercent}},
		{"Why", 24, look{wrap: true}},
		{"Ground (m)", 8, look{format: asTenths}},
		{"Ground from", 16, look{wrap: true, indent: 1}},
		{"Ground σ (m)", 8, look{format: asTenths}},
		{"Read from", 21, look{wrap: true, indent: 1, color: slateSoft}},
	})
	t.statuses = []status{{heading: "Outcome", when: `{Outcome}="` + audit.FallsShort.String() + `"`, look: look{bold: true, color: ochre}}}
	shown := 0
	for e := range b.result.WithinLevels(ctx) {
		if shown == b.limits.rows {
			break
		}
		shown++
		rec := withinLevelRecordOf(b.result, e)
		t.add(rec.Line, rec.Structure, rec.Circuit, rec.Phase, rec.Side, rec.Check, rec.Outcome, figureCell(e.Verdict.Observed), figureCell(e.Verdict.Required),
			rec.Measure, shownMargin(float64(rec.Margin))*100, rec.Reason, rec.GroundM, rec.GroundFrom, rec.GroundErrorM, rec.At.String())
	}
	t.remarkCut(shown, b.result.CountWithinLevels(), "verdicts, by line; audit.json has all")
	t.remark("Within two standard errors of the levels of the structure and those beside it these verdicts would be others: what falls short is an advisory for that, and what meets is no exception. A better level judges them.")
	return t.finish()
}
