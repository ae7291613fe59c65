package audit

import (
	"cmp"
	"slices"

	"golang.org/x/sync/errgroup"
)

// Exception is one subject that falls short of one check.
type Exception struct {
	Location
	Check   int // in Result.Checks
	Verdict Verdict
}

// Phases returns the phases of an exception as text: those of the row as written, or those that a place lacks.
func (e *Exception) Phases(p *Project) string {
	if e.Verdict.Missing != 0 {
		return e.Verdict.Missing.String()
	}
	return p.Symbols.Text(e.Phase)
}

// compareExceptions orders exceptions worst first: by severity, by the order of the checks, by margin, and then
// by location and content, so that the order is total, and the same whatever the order of the rows.
func (n *Network) compareExceptions(a, b *Exception) int {
	// Most are told apart by what is compared first.
	if c := cmp.Or(cmp.Compare(a.Verdict.Severity, b.Verdict.Severity), cmp.Compare(a.Check, b.Check), cmp.Compare(a.Verdict.Margin, b.Verdict.Margin)); c != 0 {
		return c
	}
	if c := n.comparePlaces(&a.Location, &b.Location); c != 0 {
		return c
	}
	return cmp.Or(cmp.Compare(a.Verdict.Missing, b.Verdict.Missing), cmp.Compare(a.Verdict.Sentence, b.Verdict.Sentence), cmp.Compare(a.Assembly, b.Assembly))
}

// sortExceptions puts the exceptions worst first: those of one severity and check beside those of others, by numbers, which are moved faster.
func (r *Result) sortExceptions() {
	place := func(e *Exception) int { return int(e.Verdict.Severity)*len(r.Checks) + e.Check }
	first := make([]int, int(severities)*len(r.Checks)+1)
	for i := range r.Exceptions {
		first[place(&r.Exceptions[i])+1]++
	}
	for k := range first[1:] {
		first[k+1] += first[k]
	}
	order, next := make([]int32, len(r.Exceptions)), slices.Clone(first)
	for i := range r.Exceptions {
		k := place(&r.Exceptions[i])
		order[next[k]] = int32(i)
		next[k]++
	}
	var group errgroup.Group
	group.SetLimit(r.Workers())
	for k := range first[1:] {
		if of := order[first[k]:first[k+1]]; len(of) > 1 {
			group.Go(func() error {
				slices.SortFunc(of, func(a, b int32) int { return r.Network.compareExceptions(&r.Exceptions[a], &r.Exceptions[b]) })
				return nil
			})
		}
	}
	_ = group.Wait()       // none fails
	for k := range order { // each round of places that take from each other
		begun := r.Exceptions[k]
		for at := k; ; {
			from := int(order[at])
			if order[at] = int32(at); from == k {
				r.Exceptions[at] = begun
				break
			}
			r.Exceptions[at] = r.Exceptions[from]
			at = from
		}
	}
}
