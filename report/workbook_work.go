package report

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit/remedy"
)

// writeWork writes the sheet of jobs, in the order of doing: one row a structure.
func (b *book) writeWork(ctx context.Context) error {
	r := b.result
	columns := []column{
		{"Rank", 5, look{format: asCount}},
		{"Line", 10, look{wrap: true, indent: 1}},
		{"Structure", 8.5, look{bold: true}},
		{"Page", 5.5, look{color: blue}},
		{"Severity", 8.5, look{}},
		{"Danger", 9, look{wrap: true}},
		{"Short by (%)", 7, look{format: asPercent}},
		{"What is wrong", 38, look{wrap: true, indent: 1}},
		{"What hangs", 19, look{wrap: true, indent: 1}},
		{"What to hang", 25, look{wrap: true, bold: true}},
		{"Units to fit", 13, look{wrap: true, indent: 1}},
		{"Units to remove", 12, look{wrap: true}},
		{"Sets to add", 6, look{format: asCount}},
		{"Cost of units", 8, look{format: asCount}},
		{"What stays open, what stops it", 24, look{wrap: true, indent: 1}},
		{"Longitude (deg)", 9.5, look{format: asLonLat}},
		{"Latitude (deg)", 9.5, look{format: asLonLat}},
	}
	if b.decided != nil {
		columns = append(slices.Insert(columns, toHangColumn+1, decisionColumns()...), idColumns()[1])
	}
	t := b.newTable(ctx, workSheet, 3, columns)
	shown := min(len(b.work), b.limits.rows)
	for _, w := range b.workByDecision()[:shown] {
		p := r.Network.Position(w.job.Structure)
		values := []any{w.rank, w.line, w.structure, pageLink(w.line, w.structure), styled{w.why.Severity.String(), severityLook(w.why.Severity)}, w.why.Danger.String(), w.shortagePercent(),
			w.findings, w.hangs, w.toHang, unitsInWords(w.fit), unitsInWords(w.remove), countOrNothing(w.sets), w.price, joinedLines(w.open, w.stoppedBy, w.chosen()), p[0], p[1]}
		if b.decided != nil {
			said := b.decided.FilledOfStructure(w.line, w.structure)
			values = slices.Insert(values, toHangColumn+1, decisionCells(said, b.worthOfStructure(w.line, w.structure))...)
			values = append(values, markText(b.decided.MarkOfStructure(said, w.line, w.structure)))
			if len(w.job.Exceptions) > 0 && !slices.ContainsFunc(w.job.Exceptions, b.decided.Open) {
				values = t.muted(values)
			}
		}
		t.add(values...)
	}
	t.asksDecisions()
	t.remarkCut(shown, len(b.work), "jobs, the first to do; audit.json has all")
	t.remark("The order: severity, then what may fall before a flashover at a crossing before the rest, then the shortage; what has no figure before what has. " +
		"Proposals of a screening: whether a structure bears its work is an engineer's to decide.")
	return t.finish()
}

// toHangColumn is where the column What to hang stands, behind which people decide.
const toHangColumn = 9

// workByDecision are the jobs in the order of doing, those first that were reported done.
func (b *book) workByDecision() []*workRow {
	rows := make([]*workRow, len(b.work))
	for i := range b.work {
		rows[i] = &b.work[i]
	}
	reported := func(w *workRow) int {
		if slices.ContainsFunc(w.job.Exceptions, func(e int) bool { return notDone(b.decided, e) == 0 }) {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(rows, func(x, y *workRow) int { return cmp.Compare(reported(x), reported(y)) })
	return rows
}

// joinedLines joins what is not empty, a line each.
func joinedLines(texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(text string) bool { return text == "" }), "\n")
}

// chosen says where units come from that are not in stock.
func (w *workRow) chosen() string {
	if w.job.Candidates == remedy.Stocked || len(w.job.Remedies) == 0 {
		return ""
	}
	return "chosen from " + w.chooses
}

// countOrNothing is a count as a cell, blank for none.
func countOrNothing(n int) any {
	if n == 0 {
		return nil
	}
	return n
}

// writeMaterial writes the sheet of what the work takes, for the store: each item in all, and then by line.
func (b *book) writeMaterial(ctx context.Context) error {
	t := b.newTable(ctx, materialSheet, 2, []column{
		{"Item", 8, look{}},
		{"Type", 34, look{bold: true, wrap: true}},
		{"Line", 16, look{}},
		{"To fit", 9, look{format: asCount}},
		{"To remove", 10, look{format: asCount}},
		{"Structures", 10, look{format: asCount}},
		{"Price each", 10, look{format: asHundred}},
		{"Price", 12, look{format: asHundred}},
		{"In stock", 12, look{fill: sand, format: asCount}},
		{"To order", 12, look{format: asCount, fill: sand}},
	})
	rows := materialRows(b.result, b.work)
	for i := range rows {
		m := &rows[i]
		line, l := m.line, look{}
		var order any
		if line == "" {
			line, l = "all lines", look{bold: true}
			if row := t.rows.row + 1; m.fit > 0 {
				order = styled{computed{fmt.Sprintf(`IF(I%d="","",MAX(0,D%d-I%d))`, row, row, row), ""}, look{format: asCount, fill: sand}}
			}
		}
		t.add(m.item, m.name, styled{line, l}, countOrNothing(m.fit), countOrNothing(m.remove), m.structures, m.each, m.price(), nil, order)
	}
	t.remarkCut(len(rows), len(rows), "items")
	if len(rows) > 0 {
		t.remark("In stock is for the store to fill; what is to be ordered follows. A set is an assembly whose fittings are not there yet: a new one, one of another duty, one with more strings.")
	}
	return t.finish()
}
