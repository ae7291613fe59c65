package report

import (
	"context"
	"fmt"
)

// writeFaults writes the sheet of what is wrong with the inputs.
func (b *book) writeFaults(ctx context.Context) error {
	p := b.result.Project
	t := b.newTable(ctx, faultsSheet, 0, []column{
		{"Place", 34, look{bold: true, wrap: true}},
		{"Kind", 16, look{indent: 1}},
		{"Column", 18, look{wrap: true}},
		{"Value", 24, look{wrap: true}},
		{"What is wrong", 82, look{wrap: true, indent: 1}},
		{"Weight", 11, look{indent: 1}},
	})
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
