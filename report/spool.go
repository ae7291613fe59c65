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

// each yields the values in their order. An error goes to out.
func (s *spool) each(out *jsonStream) iter.Seq[json.RawMessage] {
	return func(yield func(json.RawMessage) bool) {
		if s.err != nil {
			out.fail(s.err)
			return
		}
		lines := bufio.NewReaderSize(flate.NewReader(bytes.NewReader(s.packed.Bytes())), 1<<16)
		for {
			line, err := lines.ReadBytes('\n')
			if len(line) > 0 && !yield(json.RawMessage(bytes.TrimSuffix(line, []byte("\n")))) {
				return
			}
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
