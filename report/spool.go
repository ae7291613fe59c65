package report

import (
	"bufio"
	"bytes"
	"compress/flate"
	"encoding/json"
	"io"
	"iter"
)

// spool keeps values as the JSON that is written of them, compressed, until it is known where they go: of a large network there are
// too many to hold as they are.
type spool struct {
	packed  bytes.Buffer
	flate   *flate.Writer
	encoder *json.Encoder
	err     error
}

func newSpool() *spool {
	s := &spool{}
	s.flate, s.err = flate.NewWriter(&s.packed, flate.BestSpeed)
	s.encoder = json.NewEncoder(s.flate)
	s.encoder.SetEscapeHTML(false)
	return s
}

func (s *spool) add(value any) {
	if s.err == nil {
		s.err = s.encoder.Encode(value)
	}
}

// close ends the adding.
func (s *spool) close() {
	if s.err == nil {
		s.err = s.flate.Close()
	}
	s.flate, s.encoder = nil, nil
}

// spooled is a value of a spool, the JSON that is written of it.
type spooled []byte

func (v spooled) appendJSON(b []byte) []byte { return append(b, v...) }

// each yields the values in their order, each as long as the next is not asked for. An error goes to out.
func (s *spool) each(out *jsonStream) iter.Seq[spooled] {
	return func(yield func(spooled) bool) {
		if s.err != nil {
			out.fail(s.err)
			return
		}
		lines := bufio.NewReaderSize(flate.NewReader(bytes.NewReader(s.packed.Bytes())), 1<<16)
		var whole []byte
		for {
			part, err := lines.ReadSlice('\n')
			if whole = append(whole, part...); err == bufio.ErrBufferFull {
				continue
			}
			if len(whole) > 0 && !yield(spooled(bytes.TrimSuffix(whole, []byte("\n")))) {
				return
			}
			whole = whole[:0]
			switch err {
			case nil:
			case io.EOF:
				return
			default:
				out.fail(err)
				return
			}
		}
	}
}
