package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"sync/atomic"
	"time"

	"golang.org/x/sync/errgroup"
)

// result is what became of a mutant.
type result struct {
	*mutant
	killed  bool
	by      string // the test that failed, and how
	reached int    // tests that execute the place
}

// quick is up to how long a test is on the processor that is run together with others of its binary; slower ones come
// one by one.
const quick = 300 * time.Millisecond

// batch is the tests that one process runs.
type batch struct {
	tests []*test
	takes used
}

func (b *batch) add(t *test) {
	b.tests = append(b.tests, t)
	b.takes.processor += t.takes.processor
	b.takes.clock += t.takes.clock
}

// limits are those of a changed program: past them it is taken not to end.
func (b *batch) limits() limits {
	return limits{10*b.takes.processor + 10*time.Second, 20*b.takes.clock + time.Minute}
}

// judge runs the tests that reach each mutant against it.
func (s *suite) judge(ctx context.Context, o options, mutants []*mutant, stderr io.Writer) ([]result, error) {
	results := make([]result, len(mutants))
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(o.workers)
	var done atomic.Int64
	for i, m := range mutants {
		group.Go(func() error {
			var err error
			results[i], err = s.judgeOne(ctx, m)
			fate := "survived"
			if results[i].killed {
				fate = "killed by " + results[i].by
			}
			fmt.Fprintf(stderr, "mutate: %d of %d: %s\t%s\n", done.Add(1), len(mutants), m, fate)
			return err
		})
	}
	return results, group.Wait()
}

func (s *suite) judgeOne(ctx context.Context, m *mutant) (result, error) {
	r := result{mutant: m}
	for _, b := range s.batches(m) {
		r.reached += len(b.tests)
		if r.killed {
			continue
		}
		said, _, err := b.tests[0].in.run(ctx, s.work, mutantVariable, strconv.Itoa(m.id), b.limits(),
			"-test.failfast", "-test.run", only(b.tests...))
		if ctx.Err() != nil {
			return r, ctx.Err()
		}
		if err != nil {
			r.killed, r.by = true, b.tests[0].in.pkg+" "+how(said, err)
		}
	}
	return r, nil
}

// batches are the runs that could kill a mutant, the quickest first: the quick tests of each binary together, the
// others one by one.
func (s *suite) batches(m *mutant) []batch {
	var batches []batch
	for _, b := range s.binaries {
		together := batch{}
		for _, t := range b.tests {
			switch {
			case !t.reaches[m.id]:
			case t.takes.processor > quick:
				batches = append(batches, batch{[]*test{t}, t.takes})
			default:
				together.add(t)
			}
		}
		if len(together.tests) > 0 {
			batches = append(batches, together)
		}
	}
	slices.SortStableFunc(batches, func(a, b batch) int { return cmp.Compare(a.takes.processor, b.takes.processor) })
	return batches
}

var (
	failed  = regexp.MustCompile(`(?m)^--- FAIL: (\S+)`)
	stopped = regexp.MustCompile(`(?m)^(panic|fatal error): .*`)
)

// how says which test killed a mutant.
func how(said string, err error) string {
	if name := failed.FindStringSubmatch(said); name != nil {
		return name[1]
	}
	if errors.Is(err, errTooSlow) || errors.Is(err, context.DeadlineExceeded) {
		return "(too slow)"
	}
	if message := stopped.FindString(said); message != "" {
		return "(" + message + ")"
	}
	return fmt.Sprintf("(%v)", err)
}
