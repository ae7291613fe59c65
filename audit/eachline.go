package audit

import (
	"context"

	"golang.org/x/sync/errgroup"
)

// eachLine does something to every wanted line, with so many lines worked on at a time; less than 1 means 1. It fails only
// when ctx ends.
func (n *Network) eachLine(ctx context.Context, workers int, wanted func(line int) bool, do func(line int)) error {
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(max(workers, 1))
	for i := range n.Lines {
		if !wanted(i) {
			continue
		}
		group.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			do(i)
			return nil
		})
	}
	return group.Wait()
}

func everyLine(int) bool { return true }
