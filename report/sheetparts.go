package report

import (
	"maps"
	"runtime"
)

// partRows is how many rows of a table are made at a time where several goroutines make them (a choice of this program: of the widest table
// they are about 600 kB).
const partRows = 256

// addParts adds rows that are made beside each other, in parts of so many rows each, in the order of the parts. fill adds the rows of a part to a
// table of them alone.
func (t *table) addParts(rows []int, fill func(part int, t *table)) {
	if t.err != nil {
		return
	}
	beside := runtime.GOMAXPROCS(0)
	buffers := make(chan []byte, beside+1) // so many parts are there at a time
	for range cap(buffers) {
		buffers <- nil
	}
	parts := make(chan chan *table, cap(buffers))
	as, below := *t, t.rows.row // while parts are taken t changes
	go func() {
		defer close(parts)
		for k := range rows {
			own, made := as.part(below, <-buffers), make(chan *table, 1)
			below += rows[k]
			parts <- made
			go func() {
				fill(k, own)
				made <- own
			}()
		}
	}()
	for made := range parts {
		buffers <- t.take(<-made)
	}
}

// part is a table of some rows alone, which begin below so many.
func (t *table) part(below int, buffer []byte) *table {
	own := *t
	own.rows = &sheetRows{xml: buffer, names: t.rows.names, row: below}
	own.others, own.cut = maps.Clone(t.others), nil
	return &own
}

// take adds the rows of a part and returns the memory that they stood in.
func (t *table) take(part *table) []byte {
	if t.keep(part.err); t.err != nil {
		return part.rows.xml[:0]
	}
	t.rows.xml = part.rows.xml
	t.keep(t.rows.pack())
	buffer := t.rows.xml
	t.rows.xml, t.rows.row = nil, part.rows.row
	t.data, t.cut = t.rows.row, append(t.cut, part.cut...)
	return buffer
}
