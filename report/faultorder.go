package report

import (
	"cmp"
	"slices"

	"dryarc/audit"
)

// faultsOf lists the faults by table, kind, column and content, so that the order of the rows says nothing; of equal ones
// the row decides.
func faultsOf(p *audit.Project) []audit.Fault {
	list := p.Faults.List()
	slices.SortStableFunc(list, func(a, b audit.Fault) int {
		return cmp.Or(cmp.Compare(a.At.Table, b.At.Table), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Column, b.Column),
			cmp.Compare(a.Value, b.Value), cmp.Compare(a.Expected, b.Expected))
	})
	return list
}
