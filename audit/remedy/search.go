package remedy

import (
	"cmp"
	"context"
	"slices"

	"dryarc/audit"

	"golang.org/x/sync/errgroup"
)

// Search finds the jobs of a result, in the order of its lines and structures. A section that is too long is divided by jobs at structures
// within it; exceptions of spans and of lines are of no one structure and stand in no job. It fails only when ctx ends or the changed project cannot be arranged.
func Search(ctx context.Context, r *audit.Result, o Options) ([]Job, error) {
	s := newStock(r, o)
	jobs, err := s.search(ctx, r, o)
	if err != nil {
		return nil, err
	}
	if jobs, err = s.prove(ctx, r, jobs, o); err != nil {
		return nil, err
	}
	if jobs, err = s.divide(ctx, r, jobs, o); err != nil {
		return nil, err
	}
	nameTogether(r, jobs)
	return jobs, nil
}

// worklist is the structures of one line that have something to mend, with their exceptions.
type worklist struct {
	line       int
	structures []int
	exceptions [][]int
}

// worklists finds the structures with exceptions to mend, by line.
func worklists(r *audit.Result, want audit.Severity) (lists []worklist) {
	var order []int
	for i := range r.Exceptions {
		if e := &r.Exceptions[i]; e.Verdict.Severity <= want && e.Structure >= 0 && e.To < 0 {
			order = append(order, i)
		}
	}
	slices.SortFunc(order, func(a, b int) int {
		x, y := &r.Exceptions[a], &r.Exceptions[b]
		return cmp.Or(cmp.Compare(x.Line, y.Line), cmp.Compare(x.Structure, y.Structure), cmp.Compare(a, b))
	})
	for _, i := range order {
		e := &r.Exceptions[i]
		if len(lists) == 0 || lists[len(lists)-1].line != e.Line {
			lists = append(lists, worklist{line: e.Line})
		}
		l := &lists[len(lists)-1]
		if k := len(l.structures); k == 0 || l.structures[k-1] != e.Structure {
			l.structures, l.exceptions = append(l.structures, e.Structure), append(l.exceptions, nil)
		}
		k := len(l.structures) - 1
		l.exceptions[k] = append(l.exceptions[k], i)
	}
	return lists
}

// search solves every structure by itself, lines in parallel.
func (s *stock) search(ctx context.Context, r *audit.Result, o Options) ([]Job, error) {
	lists := slices.DeleteFunc(worklists(r, wanted(o)), func(l worklist) bool { return !o.mends(l.line) })
	found := make([][]Job, len(lists))
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(max(o.Workers, 1))
	for i := range lists {
		group.Go(func() error {
			b := s.benchOf(r, lists[i].line, o)
			reads := b.first.LineReads()
			b.memory = s.memories.take(reads)
			defer s.memories.put(reads, b.memory)
			found[i] = make([]Job, 0, len(lists[i].structures))
			for k, structure := range lists[i].structures {
				if err := ctx.Err(); err != nil {
					return err
				}
				if job := b.solve(structure, lists[i].exceptions[k]); job != nil {
					found[i] = append(found[i], *job)
				}
			}
			r.NoteErrors(b.first.Errors())
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		return nil, err
	}
	return slices.Concat(found...), nil
}
