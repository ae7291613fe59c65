package report

import (
	"context"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// writeBasis writes the sheet that says on what each check rests and how it judges.
func (b *book) writeBasis(ctx context.Context) error {
	t := b.newTable(ctx, basisSheet, 1, []column{
		{"Check", 17, look{bold: true, wrap: true}},
		{"What it finds", 21, look{wrap: true}},
		{"Looks at", 9.5, look{indent: 1}},
		{"Severity", 9, look{}},
		{"Basis", 20, look{wrap: true}},
		{"Formula", 26, look{wrap: true, indent: 1}},
		{"Where", 28.5, look{wrap: true, indent: 1}},
		{"Limits", 29, look{wrap: true, indent: 1}},
		{"Remedy", 25, look{wrap: true, indent: 1}},
	})
	for _, c := range b.result.Checks {
		t.add(c.ID, c.Title, c.Of.String(), c.Severity.String(), b.clausesOf(c),
			c.Method.Formula, symbolsOf(c.Method.Symbols), c.Method.Limits, c.Remedies())
	}
	return t.finish()
}

// clausesOf are the sources of a check; beside that of the factor on insulators for which loads it holds, where that is known.
func (b *book) clausesOf(c *audit.Check) string {
	var clauses []string
	for _, clause := range c.Basis {
		if clauses = append(clauses, clause.String()); clause == basis.FactorSource {
			clauses = append(clauses, b.result.Project.FactorRemarks()...)
		}
	}
	return strings.Join(clauses, "\n")
}

func symbolsOf(symbols []audit.Explained) string {
	lines := make([]string, len(symbols))
	for i, s := range symbols {
		lines[i] = s.Symbol + ": " + s.Meaning
		if s.Measure != "" {
			lines[i] += ", " + s.Measure
		}
	}
	return strings.Join(lines, "\n")
}
