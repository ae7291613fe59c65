package report

import (
	"context"
	"fmt"

	"dryarc/audit"
)

// writeFaults writes the sheet of what is wrong with the inputs.
func (b *book) writeFaults(ctx context.Context) error {
	p := b.result.Project
	t := b.newTable(ctx, faultsSheet, 0, []column{
		{"Place", 26, look{bold: true, wrap: true}},
		{"Kind", 14, look{indent: 1}},
		{"Column", 14, look{wrap: true}},
		{"Value", 17, look{wrap: true}},
		{"What is wrong", 46, look{wrap: true, indent: 1}},
		{"Weight", 10, look{indent: 1}},
	})
	t.statuses = []status{saying("Weight", audit.Matters.String(), look{bold: true, color: ochre})}
	faults := faultsOf(p)
	for _, f := range faults[:min(len(faults), b.limits.rows)] {
		t.add(f.Where(p.Tables), f.Kind.String(), f.Column, f.Value, f.Message(), f.Weight.String())
	}
	t.remarkCut(min(len(faults), b.limits.rows), len(faults), "listed faults, the first; audit.json has all that are listed")
	for _, c := range p.Faults.Counts() {
		if c.Listed < c.Count {
			t.remark(fmt.Sprintf("%s in column %q: %s listed of %s.", c.Kind, c.Column, grouped(c.Listed), grouped(c.Count)))
		}
	}
	return t.finish()
}
