package report

import (
	"context"
	"math"

	"dryarc/audit"
)

// writeCoverage writes the sheet of what each check said, and under each why.
func (b *book) writeCoverage(ctx context.Context) error {
	r := b.result
	count := look{format: asCount}
	t := b.newTable(ctx, coverageSheet, 1, []column{
		{"Check", 19, look{wrap: true}},
		{"What it finds, and reasons", 45, look{wrap: true}},
		{"Meets", 9, count},
		{"Falls short", 9, count},
		{"Not applicable", 9, count},
		{"Not assessed", 9, count},
		{"Not asked for", 9, count},
		{"Judged (%)", 8, look{format: asPercent}},
		{"Worst margin (%)", 9, look{format: asPercent}},
	})
	for i, c := range r.Coverage {
		check := r.Checks[i]
		head := func(value any, format string) styled {
			return styled{value, look{bold: true, fill: paper, format: format, wrap: format == ""}}
		}
		t.add(head(check.ID, ""), styled{check.Title, look{bold: true, fill: paper, wrap: true}}, head(c.Meets, asCount),
			shortOf(c.FallsShort), head(c.NotApplicable, asCount), head(c.Lacking(), asCount), head(c.NotAsked, asCount),
			head(audit.JudgedPercent(c), asPercent), head(shownMargin(c.WorstMargin)*100, asPercent))
		for _, reason := range c.Reasons {
			text, at := reason.Reason.String(), 2+int(reason.Outcome)
			if key := reason.Reason.AskedBy(); reason.Outcome == audit.NotAssessed && key != "" {
				text, at = text+"; asked for by "+key, at+1
			}
			row := []any{styled{check.ID, look{color: slateSoft, wrap: true}}, styled{text, look{wrap: true, indent: 2}},
				nil, nil, nil, nil, nil, math.NaN(), math.NaN()}
			row[at] = reason.Count
			t.add(row...)
		}
	}
	t.remarkCut(len(r.Checks), len(r.Checks), "")
	return t.finish()
}

// shortOf is the count of what falls short in a row of totals.
func shortOf(n int) styled {
	l := look{bold: true, fill: paper, format: asCount}
	if n > 0 {
		l.fill = amber
	}
	return styled{n, l}
}
