package report

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/audit/remedy"
)

// WriteError tells which file could not be written, and why.
type WriteError struct {
	File string
	Err  error
}

func (e *WriteError) Error() string { return fmt.Sprintf("%s was not written: %v", e.File, e.Err) }

func (e *WriteError) Unwrap() error { return e.Err }

// How says how outputs are written.
type How struct {
	Also   []string      // outputs on request, by name
	Wait   time.Duration // for another run that writes there
	NoLock bool          // the caller knows that no other run writes there
	// Compare, where set, is asked what changed since the earlier run, at a time when no other run replaces what stands in the folder.
	Compare func(context.Context) (*history.Changes, error)
	// Recovering, where set, is asked before the set that a run cut short half replaced is put back: what people wrote into the files
	// that stand there since is lost then.
	Recovering func(context.Context) error
	// Decide, where set, is asked after Compare what the decisions of people come to. The file is closed when all is written.
	Decide func(context.Context, *history.Changes) (*Decisions, error)
	// Stock, where set, is asked what people typed under In stock in the workbook that is replaced, beside what else is asked then and written.
	Stock func(context.Context) (*Stock, error)
	// News, where set, is where the news of the run go as text, and as HTML beside it under a name that ends in .html: both as soon as nothing
	// else can stop the outputs from being replaced, or neither where they are not.
	News string
	// Waiting, where set, is told once for whom the run waits.
	Waiting func(Holder)
	// Staged, where set, is told how many of the outputs are complete, of how many. It may be called by several goroutines, one at a time.
	Staged func(done, of int)
	// Replacing, where set, is asked when all is staged: after nil the outputs are replaced whatever happens to ctx; an error
	// leaves them as they are.
	Replacing func() error
	// Removed, where set, is told of each output of an earlier run that is gone with its set, since this run leaves it out.
	Removed func(name string)

	gone []string // outputs that an earlier run may have left and that do not outlive the new set
}

// Write writes every output of a result and of the jobs that it leads to into dir, which it makes where there is none, and returns what audit.json says of the others.
// The files are staged in a folder inside dir and put in their places when all are complete: an error, or an end of ctx
// before that, leaves what stood in dir as it was, and what a run that was cut short left half replaced is put back
// first. Of several processes that write to one directory each waits for the one before it. A failure is a *WriteError.
//
// An *UnknownOutput is returned where an output on request is unknown. An output on request of an earlier run that this one does
// not write stays, since each carries the id of its run; one that is left out since the network is too large goes with the earlier set.
func Write(ctx context.Context, dir string, r *audit.Result, jobs []remedy.Job, how How) ([]Output, error) {
	names, err := chosen(&account{}, how.Also)
	if err != nil {
		return nil, err
	}
	if err := sparesInputs(dir, r.Project, names); err != nil {
		return nil, err
	}
	if err := sparesDecisions(dir, r.Project.Decisions, names); err != nil {
		return nil, err
	}
	if how.News != "" {
		how.News = filepath.Clean(how.News)
		if err := sparesNews(how.News, r.Project); err != nil {
			return nil, err
		}
	}
	left := leftOut(r, how.Also)
	how.gone = outputNames(left)
	names = slices.DeleteFunc(names, func(o output) bool { return slices.Contains(how.gone, o.name) })
	if err := sparesOthers(dir, names); err != nil {
		return nil, err
	}
	scheduleWhatIsWritten(r, names, mostWhole)
	var decided *Decisions
	var placed *news
	a := account{jobs: jobs, leftOut: left, tellsRisk: slices.Contains(how.Also, riskName)}
	defer func() { decided.close() }()
	swapping := how.Replacing
	unlockNews := func() {}
	defer func() { unlockNews() }()
	how.Replacing = func() error { // no earlier, so that a run that is cut short changes nothing
		if how.News != "" {
			unlock, err := lockNews(ctx, how.News, dir, how)
			if err != nil {
				return err
			}
			unlockNews = unlock
		}
		if swapping != nil {
			if err := swapping(); err != nil {
				return err
			}
		}
		if stock, err := a.inStock(); err != nil {
			return err
		} else if err := stock.unchanged(); err != nil {
			return err
		}
		if err := decided.keep(); err != nil || how.News == "" {
			return err
		}
		placed, err = placeNews(realDisk{}, how.News, r, a.since(r))
		return err
	}
	var asked sync.WaitGroup
	defer asked.Wait()
	done, err := writeAll(ctx, realDisk{}, dir, r, func(f folder) ([]output, error) {
		if how.Stock != nil {
			a.stock = a.takeStock(ctx, r, how.Stock, &asked)
		}
		if how.Compare != nil {
			if a.changes, err = how.Compare(ctx); err != nil {
				return nil, err
			}
		}
		if how.Decide != nil {
			a.changes = a.since(r)
			if decided, err = how.Decide(ctx, a.changes); err != nil {
				return nil, err
			}
			a.changes.Decided = decided.worth()
		}
		if a.log, err = f.readLog(); err != nil {
			return nil, err
		}
		return chosen(&a, how.Also)
	}, how)
	if unsettled := placed.settle(err == nil); unsettled != nil {
		err = errors.Join(err, unsettled)
	}
	return done, err
}

// takeStock begins to ask for the stock, and returns what gives it with what becomes of it once the changes of the account are known.
func (a *account) takeStock(ctx context.Context, r *audit.Result, ask func(context.Context) (*Stock, error), asked *sync.WaitGroup) func() (*Stock, error) {
	var stock *Stock
	var failed error
	asked.Go(func() { stock, failed = ask(ctx) })
	return sync.OnceValues(func() (*Stock, error) {
		if asked.Wait(); failed != nil {
			return nil, failed
		}
		if len(stock.typed) > 0 {
			stock.place(materialRows(r, a.rows(r)), len(r.Run.Lines) > 0)
		}
		stock.dropOwn(r, a)
		return stock, nil
	})
}

// writeAll writes the outputs that list names, which is asked once nobody else writes there and the earlier set is whole.
func writeAll(ctx context.Context, d disk, dir string, r *audit.Result, list func(folder) ([]output, error), how How) (done []Output, err error) {
	if err := ctx.Err(); err != nil { // before anything is made in dir
		return nil, &WriteError{dir, err}
	}
	if err := KeptName(dir); err != nil {
		return nil, &WriteError{dir, err}
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, &WriteError{dir, err}
	}
	unlock, err := lock(ctx, dir, filepath.Join(dir, lockFile), how)
	if err != nil {
		return nil, &WriteError{dir, err}
	}
	defer unlock()
	f := folder{d, dir}
	if cut, unsure := exists(d, f.path(journalFile)); how.Recovering != nil && cut && unsure == nil {
		if err := how.Recovering(ctx); err != nil {
			return nil, inFolder(dir, err)
		}
	}
	if err := f.recover(); err != nil {
		return nil, inFolder(dir, err)
	}
	outputs, err := list(f)
	if err != nil {
		return nil, inFolder(dir, err)
	}
	staging := stagingName()
	if done, err = f.stageAndSwap(ctx, staging, r, outputs, how); err == nil {
		return done, nil
	}
	// A journal that is still there needs the staging folder.
	if open, unsure := exists(d, f.path(journalFile)); !open && unsure == nil {
		if left := f.removeStaging(staging); left != nil {
			err = errors.Join(err, left)
		}
	}
	return nil, inFolder(dir, err)
}

// inFolder makes an error a *WriteError: of a folder, or of a file at hand, where it names no file.
func inFolder(dir string, err error) error {
	var named *WriteError
	if errors.As(err, &named) {
		return err
	}
	return &WriteError{dir, err}
}

// stageAndSwap stages all outputs and then puts them in their places.
func (f folder) stageAndSwap(ctx context.Context, staging string, r *audit.Result, list []output, how How) ([]Output, error) {
	if err := f.makeStaging(staging); err != nil {
		return nil, err
	}
	done, err := f.stageAll(ctx, staging, r, list, how.Staged)
	if err != nil {
		return nil, err
	}
	names := make([]string, len(list))
	for i, o := range list {
		names[i] = o.name
		if err := f.freeName(o.name); err != nil {
			return nil, &WriteError{o.name, err}
		}
	}
	if err := f.disk.SyncFolder(f.path(staging)); err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if how.Replacing != nil {
		if err := how.Replacing(); err != nil {
			return nil, err
		}
	}
	gone, err := f.outdated(how.gone)
	if err != nil {
		return nil, err
	}
	if err := f.swap(staging, names, gone...); err != nil {
		return nil, err
	}
	for _, name := range gone {
		if how.Removed != nil {
			how.Removed(name)
		}
	}
	return done, nil
}

// freeName fails where a file cannot take a name because something other than a file has it.
func (f folder) freeName(name string) error {
	info, err := f.disk.Lstat(f.path(name))
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil
	case err != nil:
		return err
	case info.IsDir():
		return fmt.Errorf("a folder has its name")
	}
	return nil
}
