package read

// recordsAhead reads the records of a text beside who takes them, which is a quarter of the work on a register.
type recordsAhead struct {
	records *recordReader
	full    chan *recordBatch
	empty   chan *recordBatch
	stopped chan struct{}
	batch   *recordBatch // from which rows are taken
	taken   int
}

// recordBatch are records that follow each other.
type recordBatch struct {
	rows  []row
	cells []string // room for theirs
	last  bool
	err   error // why none comes behind the last; nil at the end of the text
}

// How much is read ahead; choices of this program.
const (
	batchesAhead   = 3
	recordsInBatch = 512
	cellsInBatch   = 24 * recordsInBatch
	longInBatch    = 1 << 20 // bytes of records that are not plain
)

// readAhead begins to read ahead. stop must be called before anything else asks the reader of the records.
func (r *textRows) readAhead() (stop func()) {
	a := &recordsAhead{records: r.records, full: make(chan *recordBatch, batchesAhead), empty: make(chan *recordBatch, batchesAhead), stopped: make(chan struct{})}
	for range batchesAhead {
		a.empty <- new(recordBatch)
	}
	go a.read()
	r.ahead = a
	return func() {
		r.ahead = nil
		close(a.empty)
		<-a.stopped
	}
}

// read fills batches until the text ends or nobody empties them any more.
func (a *recordsAhead) read() {
	defer close(a.stopped)
	for b := range a.empty {
		b.rows, b.cells = b.rows[:0], b.cells[:0]
		for long := 0; !b.last && len(b.rows) < recordsInBatch && long < longInBatch; long += len(a.records.record) {
			b.last, b.err = a.readInto(b)
		}
		if a.full <- b; b.last {
			return
		}
	}
}

// readInto adds a record to a batch, or tells that it is the last one and why.
func (a *recordsAhead) readInto(b *recordBatch) (last bool, err error) {
	if before := len(b.rows); before > 0 && cap(b.cells)-len(b.cells) < len(b.rows[before-1].cells) || before == 0 && cap(b.cells) == 0 {
		b.cells = make([]string, 0, cellsInBatch)
	}
	a.records.cells = b.cells[len(b.cells):]
	var to row
	if more, err := a.records.take(&to); !more {
		return true, err
	}
	b.rows = append(b.rows, to)
	if end := len(b.cells) + len(to.cells); end <= cap(b.cells) { // else they have room of their own
		b.cells = b.cells[:end]
	}
	return false, nil
}

// next hands out the next record; false without an error is the end.
func (a *recordsAhead) next(to *row) (bool, error) {
	for a.batch == nil || a.taken == len(a.batch.rows) {
		if b := a.batch; b != nil {
			if b.last {
				return false, b.err
			}
			a.empty <- b
		}
		a.batch, a.taken = <-a.full, 0
	}
	*to = a.batch.rows[a.taken]
	a.taken++
	return true, nil
}
