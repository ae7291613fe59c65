package report

import (
	"context"
	"io"
	"sync"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/audit/remedy"
	"dryarc/audit/risk"
)

// account is what a run tells beside its result.
type account struct {
	jobs    []remedy.Job
	changes *history.Changes       // nil where nothing was compared
	log     *runLog                // of the earlier runs into the folder
	stock   func() (*Stock, error) // that people typed; nil for none
	leftOut []output               // that the network is too large for and nobody asked for

	orderOnce sync.Once
	order     []orderedJob // by inOrder

	cohortsOnce sync.Once
	cohorts     []audit.Cohort // by cohortsOf

	tellsRisk   bool // the ranking by risk was asked for
	riskOnce    sync.Once
	risk        *risk.Risk // by risks
	unranked    error
	sensitivity sensitivity

	inWordsOnce sync.Once
	inWords     []workRow // by rows
}

// since are the changes of a result; where nothing was compared everything is new.
func (a *account) since(r *audit.Result) *history.Changes {
	if a != nil && a.changes != nil {
		return a.changes
	}
	return history.Alone(r)
}

// work are the jobs.
func (a *account) work() []remedy.Job {
	if a == nil {
		return nil
	}
	return a.jobs
}

// inOrder are the jobs in the order of doing, which is reckoned once: all that a run tells is known by the first output that asks.
func (a *account) inOrder(r *audit.Result) []orderedJob {
	if a == nil {
		return nil
	}
	a.orderOnce.Do(func() { a.order = orderedJobs(r, a.jobs, a.decisions()) })
	return a.order
}

// rows are the jobs as people read them, in the order of doing. All outputs share them, since those that hold them are written beside each
// other: nobody changes them.
func (a *account) rows(r *audit.Result) []workRow {
	if a == nil {
		return nil
	}
	a.inWordsOnce.Do(func() { a.inWords = rowsOf(r, a.work(), a.inOrder(r), a.decisions()) })
	return a.inWords
}

// decisions are what the decisions of people are worth; nil where the project has none.
func (a *account) decisions() *history.Decided {
	if a == nil || a.changes == nil {
		return nil
	}
	return a.changes.Decided
}

// inStock is what people typed under In stock.
func (a *account) inStock() (*Stock, error) {
	if a == nil || a.stock == nil {
		return nil, nil
	}
	return a.stock()
}

// runs is the log.
func (a *account) runs() *runLog {
	if a == nil || a.log == nil {
		return &runLog{}
	}
	return a.log
}

// by binds an output that tells of more than the result to what there is to tell.
func (a *account) by(write func(context.Context, io.Writer, *audit.Result, *account) error) func(context.Context, io.Writer, *audit.Result) error {
	return func(ctx context.Context, w io.Writer, r *audit.Result) error { return write(ctx, w, r, a) }
}
