package xlsx

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// longestCell is how many characters, counted in UTF-16, a cell may hold.
//
// Source: ECMA-376-1:2016, 18.18.93 and the limits that spreadsheet programs publish (common practice).
const longestCell = 32767

// fits says whether a text is no longer than a cell may be.
func fits(text string) bool {
	if len(text) <= longestCell {
		return true
	}
	units := 0
	for _, r := range text {
		units += utf16.RuneLen(r)
	}
	return units <= longestCell
}

// appendRich appends the text of the string item that has just been started: plain, or in runs of their own
// formatting. Phonetic guides are no part of it.
func (x *xmlScanner) appendRich(to []byte) ([]byte, error) {
	begin, plain, runs := len(to), false, false
	for {
		kind, err := x.next()
		switch {
		case err != nil:
			return to, err
		case kind == tokenText:
		case kind == tokenEnd:
			return slices.Replace(to, begin, len(to), unescape(to[begin:])...), nil
		case string(x.name) == "t" && !plain && !runs:
			plain = true
			to, err = x.appendText(to)
		case string(x.name) == "r":
			runs = true
			to, err = x.appendRun(to)
		case string(x.name) == "t":
			err = fmt.Errorf("text beside runs %w", errNotRecognised)
		default:
			err = x.skip()
		}
		if err != nil {
			return to, err
		}
	}
}

// appendRun appends the text of the run that has just been started.
func (x *xmlScanner) appendRun(to []byte) ([]byte, error) {
	for texts := 0; ; {
		kind, err := x.next()
		switch {
		case err != nil:
			return to, err
		case kind == tokenText:
		case kind == tokenEnd:
			return to, nil
		case string(x.name) != "t":
			err = x.skip()
		case texts == 0:
			texts++
			to, err = x.appendText(to)
		default:
			err = fmt.Errorf("second text in a run %w", errNotRecognised)
		}
		if err != nil {
			return to, err
		}
	}
}

// unescape decodes the characters that spreadsheets write as _xHHHH_, because XML cannot hold them or in order to
// write such an escape itself. Halves of characters are left out.
//
// Source: ECMA-376-1:2016, 22.9.2.19 (ST_Xstring).
func unescape(text []byte) []byte {
	const length = len("_x0000_")
	at := bytes.Index(text, []byte("_x"))
	if at < 0 {
		return text
	}
	decoded := slices.Clone(text[:at])
	for at < len(text) {
		if rest := text[at:]; len(rest) >= length && rest[0] == '_' && rest[1] == 'x' && rest[length-1] == '_' {
			if value, err := strconv.ParseUint(string(rest[2:length-1]), 16, 16); err == nil {
				if r := rune(value); utf8.ValidRune(r) {
					decoded = utf8.AppendRune(decoded, r)
				}
				at += length
				continue
			}
		}
		decoded = append(decoded, text[at])
		at++
	}
	return decoded
}

// isPlain says whether a text stands for itself. Some that do are not recognised as such.
func isPlain(text []byte) bool {
	for _, c := range text {
		if !isPlainCharacter(c) {
			return false
		}
	}
	return true
}

func isPlainCharacter(c byte) bool {
	return (c >= ' ' || c == '\n' || c == '\t') && c < utf8.RuneSelf && c != '&' && c != ']'
}

// plainLength returns how much of a text stands for itself and is no mark-up.
func plainLength(text []byte) int {
	for i, c := range text {
		if c == '<' || !isPlainCharacter(c) {
			return i
		}
	}
	return len(text)
}

// decodeXML appends what a text stands for. It ended at a "<", at the "]" of a verbatim text, or at a quote.
func decodeXML(to, raw []byte, until byte) ([]byte, error) {
	for i := 0; i < len(raw); {
		c := raw[i]
		switch {
		case c == '&' && until != ']':
			r, length := reference(raw[i:])
			if length == 0 || !isXMLCharacter(r) {
				return to, errMalformed
			}
			to = utf8.AppendRune(to, r)
			i += length
		case c == '\r':
			to = append(to, '\n')
			i++
			if i < len(raw) && raw[i] == '\n' {
				i++
			}
		case c == '<' && until != ']', c == ']' && until == '<' && bytes.HasPrefix(raw[i:], []byte("]]>")):
			return to, errMalformed
		default:
			r, length := utf8.DecodeRune(raw[i:])
			if r == utf8.RuneError && length == 1 || !isXMLCharacter(r) {
				return to, errMalformed
			}
			to = append(to, raw[i:i+length]...)
			i += length
		}
	}
	return to, nil
}

func isXMLCharacter(r rune) bool {
	return r >= ' ' && r != 0xfffe && r != 0xffff || r == '\n' || r == '\t' || r == '\r'
}

// reference decodes the reference that a text starts with, such as &amp; or &#xe9;, and returns its length, 0 if it is none.
func reference(text []byte) (rune, int) {
	end := bytes.IndexByte(text, ';')
	if end < 2 {
		return 0, 0
	}
	switch name := string(text[1:end]); {
	case name == "amp":
		return '&', end + 1
	case name == "lt":
		return '<', end + 1
	case name == "gt":
		return '>', end + 1
	case name == "quot":
		return '"', end + 1
	case name == "apos":
		return '\'', end + 1
	case name[0] == '#':
		digits, base := name[1:], 10
		if strings.HasPrefix(digits, "x") {
			digits, base = digits[1:], 16
		}
		value, err := strconv.ParseUint(digits, base, 32)
		if err != nil || value > utf8.MaxRune {
			return 0, 0
		}
		return rune(value), end + 1
	}
	return 0, 0
}
