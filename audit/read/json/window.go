package jsontext

import (
	"errors"
	"fmt"
	"io"
	"unicode/utf8"
)

// Window goes through JSON text of any length value by value and holds no more of it than one value.
type Window struct {
	in      io.Reader
	text    []byte // read and not yet passed over
	at      int
	err     error // of the input; io.EOF at its end
	started bool
}

// NewWindow makes a window on a text.
func NewWindow(in io.Reader) *Window { return &Window{in: in} }

// ErrNotUTF8 says that a text is in another encoding.
var ErrNotUTF8 = errors.New("is not in UTF-8")

// ErrLongValue says that a value is longer than LongestValue.
var ErrLongValue = errors.New("has a value that is too long")

const (
	block        = 256 << 10 // bytes read at a time
	LongestValue = 192 << 20 // bytes of one value, which is held as a whole
)

// more reads on. What was passed over is given up.
func (w *Window) more() bool {
	if w.err != nil {
		return false
	}
	w.text = append(w.text[:0], w.text[w.at:]...)
	w.at = 0
	if len(w.text) > LongestValue {
		w.err = ErrLongValue
		return false
	}
	if cap(w.text)-len(w.text) < block {
		w.text = append(make([]byte, 0, min(2*cap(w.text), LongestValue)+block), w.text...)
	}
	var n int
	n, w.err = io.ReadFull(w.in, w.text[len(w.text):cap(w.text)])
	w.text = w.text[:len(w.text)+n]
	if w.err == io.ErrUnexpectedEOF {
		w.err = io.EOF
	}
	return n > 0
}

// Peek goes to the next character that is no blank: a byte order mark and the record separators of RFC 8142 are. It is 0
// at the end of the text.
func (w *Window) Peek() (byte, error) {
	for {
		w.at = skipBlanks(w.text, w.at)
		switch {
		case w.at == len(w.text):
			if !w.more() {
				if w.err == io.EOF {
					return 0, nil
				}
				return 0, w.err
			}
			if !w.started {
				w.started = true
				if len(w.text) >= 3 && string(w.text[:3]) == "\xef\xbb\xbf" {
					w.at = 3
				}
			}
		case w.text[w.at] == 0x1e:
			w.at++
		default:
			return w.text[w.at], nil
		}
	}
}

// Ended tells, after Peek, whether the text is at its end.
func (w *Window) Ended() bool { return w.at == len(w.text) }

// Pass passes over the character that Peek found.
func (w *Window) Pass() { w.at++ }

// Take passes over one character, which must be the one expected.
func (w *Window) Take(c byte, expected string) error {
	found, err := w.Peek()
	switch {
	case err != nil:
		return err
	case found == 0 && w.Ended():
		return io.ErrUnexpectedEOF
	case found != c:
		return &UnexpectedError{w.at, found, expected}
	}
	w.at++
	return nil
}

// Value passes over the next value and returns its text, which is good until the next call.
func (w *Window) Value() ([]byte, error) {
	return w.scan(func() (int, error) { return skipValue(w.text, w.at, 0) })
}

// Object passes over the next value, sets members to those of the object that it is, and inner to those of the object that the last of
// them called name is, and returns its text. All are good until the next call. A value that is no object has no members.
func (w *Window) Object(members *[]Member, name string, inner *[]Member) ([]byte, error) {
	within := taken{members: *inner}
	all := taken{members: *members, of: `"` + name + `"`, within: &within}
	value, err := w.scan(func() (int, error) {
		all.members, within.members = all.members[:0], within.members[:0]
		if w.at < len(w.text) && w.text[w.at] == '{' {
			return skipNested(w.text, w.at, 0, &all)
		}
		return skipValue(w.text, w.at, 0)
	})
	*members, *inner = all.members, within.members
	return value, err
}

// scan passes over the next value, whose end is looked for again whenever more of it has been read.
func (w *Window) scan(end func() (int, error)) ([]byte, error) {
	if _, err := w.Peek(); err != nil {
		return nil, err
	}
	for {
		end, err := end()
		switch {
		case err == nil:
			value := w.text[w.at:end]
			w.at = end
			if !utf8.Valid(value) {
				return nil, ErrNotUTF8
			}
			return value, nil
		case err != errUnfinished:
			return nil, err
		case !w.more():
			if w.err == io.EOF {
				return nil, io.ErrUnexpectedEOF
			}
			return nil, w.err
		}
	}
}

// Name passes over the name of a member and its colon.
func (w *Window) Name() (string, error) {
	c, err := w.Peek()
	switch {
	case err != nil:
		return "", err
	case c == 0 && w.Ended():
		return "", io.ErrUnexpectedEOF
	case c != '"':
		return "", &UnexpectedError{w.at, c, "a name in quotes"}
	}
	raw, err := w.Value()
	if err != nil {
		return "", err
	}
	name := Unquoted(raw)
	return name, w.Take(':', "a colon")
}

// GoesOn tells whether a list or an object goes on after the value that was read, or ends.
func (w *Window) GoesOn(closing byte) (bool, error) {
	c, err := w.Peek()
	switch {
	case err != nil:
		return false, err
	case c == 0 && w.Ended():
		return false, io.ErrUnexpectedEOF
	case c != ',' && c != closing:
		return false, &UnexpectedError{w.at, c, fmt.Sprintf("a comma or %c", closing)}
	}
	w.at++
	return c == ',', nil
}
