package report

import (
	"context"
	"fmt"

	"dryarc/audit/history"
)

// stateLook is how the state of an exception looks: what is new or worse stands out.
func stateLook(state history.State) look {
	switch state {
	case history.New, history.Worse:
		return look{bold: true, color: ochre}
	case history.Better:
		return look{color: blue}
	}
	return look{color: slateSoft}
}

// writeCleared writes the sheet of what the earlier run found and this one does not, with the reason. What is there no more only because
// a datum was lost is not cleared by that, and stands out.
func (b *book) writeCleared(ctx context.Context) error {
	c := b.changes
	t := b.newTable(ctx, clearedSheet, 4, []column{
		{"Why", 12, look{bold: true}},
		{"Severity", 8.5, look{}},
		{"Line", 10, look{wrap: true}},
		{"Structure", 8.5, look{bold: true}},
		{"To", 6, look{}},
		{"Circuit", 6.5, look{}},
		{"Phase", 6, look{wrap: true}},
		{"Side", 6, look{}},
		{"Check", 15, look{wrap: true}},
		{"What was wrong", 35.5, look{wrap: true}},
		{"What is known now", 28, look{wrap: true}},
		{"Observed then", 9, look{format: asTenths}},
		{"Required then", 9, look{format: asTenths}},
		{"Measure", 8.5, look{indent: 1}},
		{"Margin then (%)", 7.5, look{format: asPercent}},
		{"First seen", 9, look{}},
	})
	t.statuses = append(severityStatuses("Severity"), saying("Why", history.NotAssessed.String(), look{bold: true, color: ochre}))
	counts := c.Counts()
	total := counts.Cleared() + counts.ByWhy[history.NotAssessed]
	shown := 0
	for i := range c.Cleared {
		cleared := &c.Cleared[i]
		if cleared.Why == history.NotInRun || shown == b.limits.exceptions {
			continue
		}
		shown++
		rec := &cleared.Record
		t.add(cleared.Why.String(), rec.Severity.String(), rec.Line, rec.Structure, rec.To, rec.Circuit, rec.Phase, rec.Side,
			rec.Check, rec.Sentence, cleared.Detail, figureCell(rec.Observed), figureCell(rec.Required), rec.Measure, shownMargin(rec.Margin)*100, rec.FirstSeen)
	}
	t.remarkCut(shown, total, "exceptions that are not there any more; audit.json has all")
	if c.Since == nil {
		t.remark("There was no earlier run to compare with.")
	}
	if counts.ByWhy[history.NotAssessed] > 0 {
		t.remark(fmt.Sprintf("%s cleared. What is not assessed any more (%s) is not cleared: %s.", counted(counts.Cleared(), "exception is", "exceptions are"),
			grouped(counts.ByWhy[history.NotAssessed]), lostInWords(counts)))
	}
	if n := counts.ByWhy[history.NotInRun]; n > 0 {
		t.remark(fmt.Sprintf("%s on lines that this run left out; audit.json keeps them.", counted(n, "exception", "exceptions")))
	}
	for _, texts := range [][]string{renamedInWords(c), c.Remarks} {
		for i, text := range texts {
			if i == listedRenamed {
				t.remark(fmt.Sprintf("and %s more, see audit.json", grouped(len(texts)-i)))
				break
			}
			t.remark(text)
		}
	}
	return t.finish()
}

// listedRenamed is how many new names are listed.
const listedRenamed = 200

// lostInWords says of how many that cannot be judged a datum was lost, and of how many none.
func lostInWords(c history.Counts) string {
	switch lost := c.LostNow() + c.Lost; {
	case c.NothingLost == 0:
		return "a datum was lost, and nobody can tell"
	case lost == 0:
		return "no datum was lost, but nobody can tell of what stands there now"
	default:
		return fmt.Sprintf("of %s a datum was lost, of %s none, and nobody can tell of what stands there now", grouped(lost), grouped(c.NothingLost))
	}
}
