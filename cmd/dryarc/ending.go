package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"sync"
	"syscall"
	"time"
)

// grace is how long a run may take to end by itself once it is interrupted. A run that reads from a pipe may never end.
const grace = 2 * time.Second

// ending is what a run and those who interrupt it agree on: once the outputs are being replaced the run is finished, and
// once it is given up nothing is replaced any more.
type ending struct {
	mu                           sync.Mutex
	replacing, replaced, givenUp bool
	uncommitted                  error // of a run whose outputs are replaced, and its tables perhaps not
}

// replace is asked by a run that is about to replace the outputs.
func (e *ending) replace() error {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.givenUp {
		return context.Canceled
	}
	e.replacing = true
	return nil
}

// commit tells that the files are replaced, and what is to be said of a run that does not wait for its tables; nil where there are none.
func (e *ending) commit(uncommitted error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	e.uncommitted = uncommitted
}

// done tells that the outputs are replaced.
func (e *ending) done() {
	e.mu.Lock()
	defer e.mu.Unlock()
	e.replaced = true
}

// giveUp gives a run up, with the exit code for that, unless it is replacing outputs and must not be cut short.
func (e *ending) giveUp(stderr io.Writer, force bool) (code int, ok bool) {
	e.mu.Lock()
	defer e.mu.Unlock()
	switch {
	case e.replaced:
		fmt.Fprintln(stderr, "dryarc: interrupted; the outputs are replaced, but not all that the run had to say was printed")
		return exitOutputs, true
	case e.uncommitted != nil:
		return tell(stderr, e.uncommitted, exitOutputs), true
	case e.replacing && !force:
		return 0, false
	case e.replacing:
		fmt.Fprintln(stderr, "dryarc: interrupted while outputs were replaced; the next run into the folder puts the earlier ones back")
	default:
		e.givenUp = true
		fmt.Fprintln(stderr, interrupted)
	}
	return exitInterrupted, true
}

const interrupted = "dryarc: interrupted; earlier outputs are untouched"

// supervise runs the command line until it is done, or interrupted: the first signal asks it to end, and after a grace
// ends it unless it replaces outputs; the second ends it at once.
func supervise(args []string, stdout, stderr io.Writer) int {
	signals := make(chan os.Signal, 2)
	for _, s := range []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP} {
		if !signal.Ignored(s) { // as nohup has it
			signal.Notify(signals, s)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	e := &ending{}
	result := make(chan int, 1)
	go func() { result <- runUntil(ctx, e, args, stdout, stderr) }()
	var over <-chan time.Time
	for asked := false; ; {
		force := false
		select {
		case code := <-result:
			return code
		case <-signals:
			force = asked
			asked = true
			cancel()
			if over == nil {
				over = time.After(grace)
			}
			if !force {
				continue
			}
		case <-over:
			over = time.After(grace)
		}
		if code, ok := e.giveUp(stderr, force); ok {
			return code
		}
	}
}

// endedBy tells whether an error comes of an interruption.
func endedBy(err error) bool { return errors.Is(err, context.Canceled) }
