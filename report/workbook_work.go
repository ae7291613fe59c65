package report

import (
	"context"
	"slices"
	"strings"

	"dryarc/audit/remedy"
)

// writeWork writes the sheet of jobs, in the order of doing: one row a structure. What a crew needs is printed; where the structure is
// in degrees and how the order was weighed stands to the right of that.
func (b *book) writeWork(ctx context.Context) error {
	r := b.result
	factors := factorNames(b.work)
	columns, printed := b.workColumns(factors)
	t := b.newTable(ctx, workSheet, 3, columns)
	t.printed, t.large = printed, true
	if b.decided != nil {
		t.statuses = append(t.statuses, status{look: look{color: greyText}, when: `OR(LEFT({The job is},8)="accepted",AND({Decision}="accept",{What it is worth}=""))`})
	}
	t.statuses = append(t.statuses, severityStatuses("Severity")...)
	shown := min(len(b.work), b.limits.rows)
	for i := range b.work[:shown] {
		w := &b.work[i]
		p := r.Network.Position(w.job.Structure)
		values := []any{w.rank, w.line, w.structure, pageLink(w.line, w.structure)}
		for _, text := range w.carried {
			values = append(values, text)
		}
		values = append(values, w.why.Severity.String(), w.why.Danger.String(), w.shortagePercent())
		if factors != nil {
			values = append(values, w.score(), w.why.Consequence.Band)
		}
		values = append(values, w.findings, w.hangs, w.toHang)
		said := b.decided.FilledOfStructure(w.line, w.structure)
		if b.decided != nil {
			values = append(values, w.said.String())
			values = append(values, decisionCells(said, b.worthOfStructure(w.line, w.structure))...)
		}
		values = append(values, w.fitInWords(), w.removeInWords(), countOrNothing(w.sets), priceCell(w.price, w.less), w.afterLook.inWords(),
			joinedLines(w.open, w.stoppedBy, w.chosen()), p[0], p[1])
		if factors != nil {
			values = append(values, w.why.Counts*100)
			values = append(values, factorValues(&w.why)...)
			values = append(values, w.why.Consequence.Known, w.why.Consequence.OfMean, factorsFor(&w.why), notKnown(&w.why))
		}
		if b.decided != nil {
			values = append(values, markText(b.decided.MarkOfStructure(said, w.line, w.structure)))
		}
		if w.said.Aside {
			values = t.muted(values)
		}
		t.add(values...)
	}
	t.asksDecisions()
	t.remarkCut(shown, len(b.work), "jobs, the first to do; audit.json has all")
	if unmet := remedy.UnmetWeights(r); len(unmet) > 0 {
		t.remark("Weights that nothing has: " + strings.Join(unmet, "; ") + ".")
	}
	if factors == nil {
		t.remark("The order: 1. severity; 2. what may fall before a flashover at a crossing before the rest; 3. what has no figure before what has; 4. the shortage.")
	} else {
		t.remark("The order: 1. severity; 2. score, what the project states a failure weighs times how far the assembly falls short, both in the columns to the right; 3. danger; 4. shortage.",
			"What is not known is left out of the score and named. Weighs: the band of the consequence beside the mean of all structures assessed. Of the mean: how many times that mean it is.",
			"Counts: how much of it counts, the shortage or what the project states where that is no figure.")
	}
	if b.decided != nil {
		t.remark("Before all of that comes what was reported done and is still there, with what it needs done before.",
			"The job is: what the decisions in force come to, counted by the exceptions that it is for. One that is accepted whole is not to be done: it stands last, in grey, and Material counts it apart.",
			"A job that is planned, or accepted in part, stays in the order and is counted whole; done and data wrong take none away. Accepted work that other work needs stays too.")
	}
	t.remark(sentenceCase(countRows(r, b.work).inWords()) + ".")
	t.remark("Structures with advisories only have no job. Proposals of a screening: whether a structure bears its work is an engineer's to decide.")
	return t.finish()
}

// factorPrefix stands before the name of a factor in the heading of its column.
const factorPrefix = "Factor: "

// workColumns are the columns of the sheet of jobs, and how many of them are printed.
func (b *book) workColumns(factors []string) (columns []column, printed int) {
	columns = []column{
		{"Rank", 5, look{format: asCount}},
		{"Line", 11, look{wrap: true, indent: 1}},
		{"Structure", 8.5, look{bold: true}},
		{"Page", 8, look{color: blue}},
	}
	from := len(columns)
	columns = append(columns, column{"Severity", 8.5, look{}}, column{"Danger", 9, look{wrap: true}}, column{"Short by (%)", 7, look{format: asPercent}})
	if factors != nil {
		columns = append(columns, column{"Score", 7, look{format: asFactor, bold: true}}, column{"Weighs", 7.5, look{wrap: true, indent: 1}})
	}
	columns = append(columns,
		column{"What is wrong", 38, look{wrap: true, indent: 1}},
		column{"What hangs", 19, look{wrap: true, indent: 1}},
		column{"What to hang", 26, look{wrap: true, bold: true, indent: 1}})
	if b.decided != nil {
		columns = append(columns, column{"The job is", 12, look{wrap: true, bold: true}})
		columns = append(columns, decisionColumns()...)
	}
	columns = append(columns,
		column{"Units to fit", 13, look{wrap: true, indent: 1}},
		column{"Units to remove", 12, look{wrap: true}},
		column{"Sets to add", 6, look{format: asCount}},
		column{"Cost of units", 10, look{format: asHundred, align: "right", wrap: true}},
		column{"Only if a look asks for it", 13, look{wrap: true, indent: 1}},
		column{"What stays open, what stops it", 24, look{wrap: true, indent: 1}})
	printed = len(columns)
	columns = append(columns,
		column{"Longitude (deg)", 9.5, look{format: asLonLat}},
		column{"Latitude (deg)", 9.5, look{format: asLonLat}})
	if factors != nil {
		columns = append(columns, column{"Counts (%)", 8, look{format: asPercent}})
		for _, name := range factors {
			columns = append(columns, column{factorPrefix + name, 10, look{format: asFactor}})
		}
		columns = append(columns, column{"Consequence", 11, look{format: asFactor, bold: true}}, column{"Of the mean", 8, look{format: asHundred}},
			column{"What the factors are for", 38, look{wrap: true, indent: 1}}, column{"Not known, left out", 34, look{wrap: true, indent: 1}})
	}
	var taken []string
	if b.decided != nil {
		columns = append(columns, idColumns()[1])
		taken = append(taken, idHeading, checkHeading) // a row that comes back is known by what stands under these
	}
	for _, c := range columns {
		taken = append(taken, c.heading)
	}
	for i, name := range carriedNames(b.result, taken...) {
		columns = slices.Insert(columns, from+i, column{name, 10, look{wrap: true, indent: 1}})
		printed++
	}
	return columns, printed
}

// joinedLines joins what is not empty, a line each.
func joinedLines(texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(text string) bool { return text == "" }), "\n")
}

// chosen says where units come from that are not in stock.
func (w *workRow) chosen() string {
	if w.job.Candidates == remedy.Stocked || w.job.Candidates == remedy.Bought || len(w.job.Remedies) == 0 {
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
