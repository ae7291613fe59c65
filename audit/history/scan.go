package history

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"unicode/utf16"
	"unicode/utf8"
)

// scanner reads a JSON text value by value and passes over what nobody asks for, in the memory of its buffer. The first error stays, and
// after it every value is empty.
type scanner struct {
	r       io.Reader
	buffer  []byte
	at, end int
	read    int64  // bytes before the buffer
	text    []byte // of the last string or number
	depth   int
	err     error
}

const (
	bufferSize    = 1 << 18
	longestText   = 1 << 20
	deepestNested = 100
)

func newScanner(r io.Reader) *scanner { return &scanner{r: r, buffer: make([]byte, bufferSize)} }

func (s *scanner) fail(format string, args ...any) {
	if s.err == nil {
		s.err = fmt.Errorf("at byte %d: %w", s.read+int64(s.at), fmt.Errorf(format, args...))
	}
	s.at, s.end = 0, 0
}

// more fills the buffer once it is used up, and tells whether there is anything in it.
func (s *scanner) more() bool {
	for tries := 0; s.at == s.end && s.err == nil; tries++ {
		n, err := s.r.Read(s.buffer)
		s.read += int64(s.end)
		s.at, s.end = 0, n
		switch {
		case n > 0:
			return true
		case errors.Is(err, io.EOF):
			s.fail("it ends too early")
		case err != nil:
			s.fail("%w", err)
		case tries > 100:
			s.fail("%w", io.ErrNoProgress)
		}
	}
	return s.err == nil
}

// next is the byte that comes next, behind blanks; 0 after an error.
func (s *scanner) next() byte {
	for s.more() {
		switch c := s.buffer[s.at]; c {
		case ' ', '\t', '\r', '\n':
			s.at++
		default:
			return c
		}
	}
	return 0
}

func (s *scanner) take(want byte) {
	if c := s.next(); c != want {
		s.fail("%q stands where %q is expected", c, want)
		return
	}
	s.at++
}

// object reads an object, or null; each is told the name of a member and reads its value.
func (s *scanner) object(each func(name []byte)) {
	var name []byte
	s.elements('{', '}', func() {
		s.take('"')
		s.string()
		name = append(name[:0], s.text...)
		s.take(':')
		each(name)
	})
}

// array reads a list, or null; each reads an element.
func (s *scanner) array(each func()) { s.elements('[', ']', each) }

func (s *scanner) elements(open, shut byte, each func()) {
	if s.null() {
		return
	}
	if s.depth++; s.depth > deepestNested {
		s.fail("values are nested too deep")
	}
	s.take(open)
	if s.next() != shut {
		for each(); s.next() == ','; each() {
			s.at++
		}
	}
	s.take(shut)
	s.depth--
}

// null reads null where it comes next, and tells so.
func (s *scanner) null() bool {
	if s.next() != 'n' {
		return false
	}
	s.word("null")
	return true
}

func (s *scanner) word(word string) {
	for i := 0; i < len(word) && s.more(); i++ {
		if s.buffer[s.at] != word[i] {
			s.fail("%q is expected", word)
			return
		}
		s.at++
	}
}

// string reads a string into text, behind its opening quotation mark.
func (s *scanner) string() {
	s.text = s.text[:0]
	for s.more() {
		rest := s.buffer[s.at:s.end]
		quote := bytes.IndexByte(rest, '"')
		stop := quote
		if stop < 0 {
			stop = len(rest)
		}
		if escape := bytes.IndexByte(rest[:stop], '\\'); escape >= 0 {
			s.text = append(s.text, rest[:escape]...)
			s.at += escape + 1
			s.escape()
			continue
		}
		s.text = append(s.text, rest[:stop]...)
		s.at += stop
		if quote >= 0 {
			s.at++
			return
		}
		if len(s.text) > longestText {
			s.fail("a text is longer than %d bytes", longestText)
		}
	}
}

var plainEscapes = [256]byte{'"': '"', '\\': '\\', '/': '/', 'b': '\b', 'f': '\f', 'n': '\n', 'r': '\r', 't': '\t'}

// escape reads what stands behind a backslash.
func (s *scanner) escape() {
	if !s.more() {
		return
	}
	c := s.buffer[s.at]
	s.at++
	if plain := plainEscapes[c]; plain != 0 {
		s.text = append(s.text, plain)
		return
	}
	if c != 'u' {
		s.fail("%q is no escape", c)
		return
	}
	r := s.hex()
	if utf16.IsSurrogate(r) {
		s.word(`\u`)
		r = utf16.DecodeRune(r, s.hex())
	}
	s.text = utf8.AppendRune(s.text, r)
}

func (s *scanner) hex() (r rune) {
	for range 4 {
		if !s.more() {
			return 0
		}
		digit, err := strconv.ParseUint(string(s.buffer[s.at]), 16, 8)
		if err != nil {
			s.fail("%q is no hexadecimal digit", s.buffer[s.at])
			return 0
		}
		r = r<<4 | rune(digit)
		s.at++
	}
	return r
}

// words reads a string, or null as an empty one. It stands until the next value is read.
func (s *scanner) words() []byte {
	if s.null() {
		return nil
	}
	s.take('"')
	s.string()
	return s.text
}

// number reads a number, NaN for null.
func (s *scanner) number() float64 {
	if s.null() {
		return math.NaN()
	}
	s.bare()
	x, err := strconv.ParseFloat(string(s.text), 64)
	if err != nil {
		s.fail("%q is no number", s.text)
	}
	return x
}

// bare reads a number, true or false into text, as far as it goes.
func (s *scanner) bare() {
	s.text = s.text[:0]
	s.next()
	for s.more() {
		c := s.buffer[s.at]
		if c != '+' && c != '-' && c != '.' && (c < '0' || c > '9') && (c < 'a' || c > 'z') && c != 'E' || len(s.text) > 400 {
			return
		}
		s.text = append(s.text, c)
		s.at++
	}
}

// skip passes over a value of any kind.
func (s *scanner) skip() {
	switch s.next() {
	case '{':
		s.object(func([]byte) { s.skip() })
	case '[':
		s.array(s.skip)
	case '"':
		s.at++
		s.string()
	default:
		if s.bare(); len(s.text) == 0 {
			s.fail("%q is no value", s.next())
		}
	}
}
