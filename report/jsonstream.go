package report

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"iter"
)

// appender is a value of which there are so many that it writes its JSON itself, byte for byte as encoding/json would
// without escapes for HTML.
type appender interface {
	appendJSON(b []byte) []byte
}

// jsonStream writes one JSON object member by member, each element of a list on a line of its own, so that two outputs
// compare line by line and no list is held in memory. Text that is no valid UTF-8 is made so, and what turns the direction
// of text is written as an escape of JSON. The first error stays.
type jsonStream struct {
	ctx     context.Context
	w       io.Writer
	buffer  bytes.Buffer
	encoder *json.Encoder
	members int
	err     error
}

func newJSONStream(ctx context.Context, w io.Writer) *jsonStream {
	s := &jsonStream{ctx: ctx, w: w}
	s.encoder = json.NewEncoder(&s.buffer)
	s.encoder.SetEscapeHTML(false)
	return s
}

// member writes one member of the object on a line.
func (s *jsonStream) member(name string, value any) {
	s.begin(name)
	s.value(value)
	s.flush()
}

// list writes a member that is a list.
func list[T any](s *jsonStream, name string, elements iter.Seq[T]) {
	s.begin(name)
	s.buffer.WriteByte('[')
	none := true
	for element := range elements {
		if s.err != nil {
			return
		}
		if !none {
			s.buffer.WriteByte(',')
		}
		none = false
		s.buffer.WriteString("\n  ")
		s.value(element)
		if s.buffer.Len() >= 1<<16 {
			s.flush()
		}
	}
	if !none {
		s.buffer.WriteByte('\n')
	}
	s.buffer.WriteByte(']')
	s.flush()
}

// end closes the object and returns the first error.
func (s *jsonStream) end() error {
	s.buffer.WriteString("\n}\n")
	s.flush()
	return s.err
}

func (s *jsonStream) begin(name string) {
	if s.members == 0 {
		s.buffer.WriteString("{\n")
	} else {
		s.buffer.WriteString(",\n")
	}
	s.members++
	s.value(name)
	s.buffer.WriteString(": ")
}

func (s *jsonStream) value(value any) {
	if own, ok := value.(appender); ok {
		s.buffer.Write(own.appendJSON(s.buffer.AvailableBuffer()))
		return
	}
	if err := s.encoder.Encode(value); err != nil {
		s.fail(err)
		return
	}
	s.buffer.Truncate(s.buffer.Len() - 1) // the encoder ends every value with a new line
}

func (s *jsonStream) flush() {
	if s.err == nil {
		s.err = s.ctx.Err()
	}
	if s.err == nil {
		_, s.err = s.w.Write(turnsEscaped(s.buffer.Bytes()))
	}
	s.buffer.Reset()
}

// fail keeps an error that a list met while it was produced.
func (s *jsonStream) fail(err error) {
	if s.err == nil {
		s.err = err
	}
}

// turnsEscaped is JSON with the characters that turn the direction of text as escapes, which mean the same: JSON has them
// within strings alone.
func turnsEscaped(raw []byte) []byte {
	if bytes.IndexByte(raw, "\u202e"[0]) < 0 && bytes.IndexByte(raw, "\u061c"[0]) < 0 || !bytes.ContainsFunc(raw, turns) {
		return raw
	}
	return []byte(visibleTurns(string(raw)))
}
