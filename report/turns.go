package report

import "sync"

// A turn is the place of a table among those that are filled beside each other. Styles are numbered in the order in
// which they are asked for, so that a workbook is the same in bytes whichever table is quicker: the columns of all
// tables come first, in the order of the tables, and what a table asks for later waits until those before it are done.
type turn struct {
	place      int
	all        []*turn
	begun      chan struct{} // closed when the styles of its columns are known
	done       chan struct{} // closed when all of it is written
	begin, end sync.Once
}

func takeTurns(n int) []*turn {
	all := make([]*turn, n)
	for i := range all {
		all[i] = &turn{place: i, all: all, begun: make(chan struct{}), done: make(chan struct{})}
	}
	return all
}

// toBegin waits until the tables before this one have their columns.
func (t *turn) toBegin() {
	for _, before := range t.all[:t.place] {
		<-before.begun
	}
}

// started tells the others that this one has its columns.
func (t *turn) started() { t.begin.Do(func() { close(t.begun) }) }

// toAsk waits until a style that nobody knows yet may be numbered. Before started it need not wait: that was toBegin.
func (t *turn) toAsk() {
	select {
	case <-t.begun:
	default:
		return
	}
	for _, other := range t.all {
		<-other.begun
	}
	for _, before := range t.all[:t.place] {
		<-before.done
	}
}

// finish tells the others that this one is written, or has failed.
func (t *turn) finish() {
	t.started()
	t.end.Do(func() { close(t.done) })
}
