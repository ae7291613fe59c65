package report

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"
)

// The columns in which people decide, and by which a row that comes back is known. package read finds them by these headings.
const (
	decisionHeading = "Decision"
	untilHeading    = "Until"
	byHeading       = "By"
	reasonHeading   = "Reason"
	idHeading       = "Id"
	checkHeading    = "Check"
	markHeading     = "As written"
)

// decisionColumns are the columns in which people decide, with what the decision is worth.
func decisionColumns() []column {
	return []column{
		{decisionHeading, 10, look{fill: sand}},
		{untilHeading, 9, look{fill: sand}},
		{byHeading, 9, look{fill: sand, wrap: true}},
		{reasonHeading, 18, look{fill: sand, wrap: true}},
		{"What it is worth", 20, look{wrap: true}},
	}
}

// idColumns are the columns by which a row is known; the second is hidden.
func idColumns() []column {
	return []column{{idHeading, 12, look{color: slateSoft}}, {markHeading, 12, look{}}}
}

// decisionCells are the cells of decisionColumns.
func decisionCells(said history.Said, worth string) []any {
	return []any{said.Word, said.Until, said.By, said.Reason, worth}
}

// asksDecisions gives the column of decisions its drop-down, and hides the mark.
func (t *table) asksDecisions() {
	for i, c := range t.columns {
		switch c.heading {
		case decisionHeading:
			t.choices = append(t.choices, choices{i, history.Words()})
		case markHeading:
			t.hidden = append(t.hidden, i)
		}
	}
}

// choices are what may be chosen in a column.
type choices struct {
	column int
	words  []string
}

// muted is a row of values in grey, as of what is decided.
func (t *table) muted(values []any) []any {
	grey := make([]any, len(values))
	for i, value := range values {
		l := t.columns[i].look
		if s, ok := value.(styled); ok {
			value, l = s.value, s.look
		}
		grey[i] = styled{value, l.muted()}
	}
	return grey
}

// idsOf are the ids of exceptions, in one cell.
func (b *book) idsOf(exceptions []int) string {
	ids := b.result.ExceptionIDs()
	texts := make([]string, len(exceptions))
	for k, i := range exceptions {
		texts[k] = ids[i]
	}
	return strings.Join(texts, " ")
}

// markText is a mark as a cell; a longer one is left out, and the row then tells by its ids alone.
func markText(mark string) string {
	if len(mark) > longestCell {
		return ""
	}
	return mark
}

// worthOfStructure says what the decisions of a structure as a whole are worth.
func (b *book) worthOfStructure(line, structure string) string {
	var texts []string
	for _, j := range b.decided.OfStructure(line, structure) {
		text := j.Status.String()
		if j.Status != history.InForce && j.Status != history.StillThere {
			text += ": " + j.Said.String()
		}
		for _, more := range [...]string{j.Detail, map[bool]string{true: "lapses within 30 days"}[j.Soon], map[bool]string{true: "never comes back for review"}[j.Forever]} {
			if more != "" {
				text += "; " + more
			}
		}
		texts = append(texts, text)
	}
	return strings.Join(texts, "\n")
}

// writeDecisions writes the sheet of the decisions that stand, those first that want a look.
func (b *book) writeDecisions(ctx context.Context) error {
	t := b.newTable(ctx, decisionsSheet, 2, []column{
		{"What it is worth", 15, look{wrap: true, bold: true}},
		{"Decided", 10, look{}},
		{"Until", 9, look{}},
		{"Review", 13, look{wrap: true}},
		{"By", 12, look{wrap: true}},
		{"Reason", 25, look{wrap: true}},
		{"Line", 10, look{wrap: true}},
		{"Structure", 8.5, look{}},
		{"Check", 15, look{wrap: true}},
		{"Exception", 12, look{}},
		{"Exceptions", 9, look{format: asCount}},
		{"Why", 30, look{wrap: true}},
		{"Since", 9, look{}},
		{"Row in the file", 7.5, look{format: asCount}},
	})
	for _, worth := range []history.Status{history.StillThere, history.Lapsed, history.Contradicted, history.Unmatched} {
		t.statuses = append(t.statuses, saying("What it is worth", worth.String(), look{bold: true, color: ochre}))
	}
	rows, over := b.decisionRows()
	shown := min(len(rows), b.limits.rows)
	for _, j := range rows[:shown] {
		review := ""
		switch {
		case j.Soon:
			review = "lapses within 30 days"
		case j.Forever:
			review = "never comes back for review"
		}
		t.add(j.Status.String(), j.Word, j.Until, review, j.By, j.Reason, j.Line, j.Structure, j.Check, j.Exception, len(j.Governs), j.Detail, j.Decided, j.Row)
	}
	t.remarkCut(shown, len(rows), "decisions; the file of decisions has all")
	for _, text := range b.decided.RemovedInWords() {
		t.remark(text)
	}
	if over > 0 {
		t.remark(fmt.Sprintf("%s that were withdrawn or replaced stand in the file of decisions only.", counted(over, "decision", "decisions")))
	}
	t.remark("Only accept and plan in force leave the gates, and no decision changes a verdict. This sheet is not read back: decide on the sheets Work and Exceptions.")
	return t.finish()
}

// decisionRows are the decisions that stand in the order in which people want to see them, and how many are over.
func (b *book) decisionRows() (rows []*history.Judged, over int) {
	for i := range b.decided.Decisions {
		if j := &b.decided.Decisions[i]; j.Status == history.Over {
			over++
		} else {
			rows = append(rows, j)
		}
	}
	review := func(j *history.Judged) int {
		switch {
		case j.Soon:
			return 0
		case j.Forever:
			return 1
		}
		return 2
	}
	slices.SortStableFunc(rows, func(a, b *history.Judged) int {
		return cmp.Or(cmp.Compare(a.Status, b.Status), cmp.Compare(review(a), review(b)), audit.NaturalCompare(a.Line, b.Line), audit.NaturalCompare(a.Structure, b.Structure))
	})
	return rows, over
}
