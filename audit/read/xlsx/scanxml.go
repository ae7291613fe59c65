package xlsx

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// longestToken is the longest tag or text between tags, in bytes: 32 767 characters, each written as a reference.
const longestToken = 1 << 20

// deepest is how many elements may stand one in another; a workbook has fewer than twenty.
const deepest = 256

type xmlToken int

const (
	tokenStart xmlToken = iota
	tokenEnd
	tokenText
	tokenEOF
)

// attribute is one of a start tag; its value is decoded.
type attribute struct{ name, value []byte }

// xmlScanner goes through the tokens of a part in UTF-8. It checks what encoding/xml checks: whatever is malformed there
// is malformed here, or not recognised. Comments and processing instructions are passed over; a declaration of a
// document type is an error, so that entities are never expanded.
type xmlScanner struct {
	in     io.Reader
	window []byte // read from in
	at     int    // of what is not yet passed in the window
	ended  error  // why in gives no more

	open   []byte // the names of the open elements, one after another
	starts []int  // of each of them in open
	empty  bool   // the element just started ends at once

	// Of the token just returned; until the next one.
	name       []byte // of the element without its prefix
	attributes []attribute
	text       []byte
	decoded    []byte // room for text
}

// newXMLScanner passes over the declaration of a part.
func newXMLScanner(in io.Reader) (*xmlScanner, error) {
	x := &xmlScanner{in: in}
	const mark, declaration = "\xef\xbb\xbf", "<?xml"
	for len(x.window) < len(mark+declaration)+1 {
		if err := x.more(); err == io.EOF {
			break
		} else if err != nil {
			return nil, err
		}
	}
	if len(x.window) > 0 && (x.window[0] == 0 || x.window[0] >= 0xfe) {
		return nil, fmt.Errorf("encoding %w", errNotRecognised)
	}
	if bytes.HasPrefix(x.window, []byte(mark)) {
		x.at += len(mark)
	}
	rest := x.window[x.at:]
	if !bytes.HasPrefix(rest, []byte(declaration)) || len(rest) > len(declaration) && !isXMLSpace(rest[len(declaration)]) {
		return x, nil
	}
	length, err := x.find(len(declaration), "?>")
	if err != nil {
		return nil, err
	}
	for _, field := range strings.Fields(strings.ToLower(strings.ReplaceAll(string(x.window[x.at+len(declaration):x.at+length]), "'", `"`))) {
		switch field {
		case `version="1.0"`, `encoding="utf-8"`, `standalone="yes"`, `standalone="no"`:
		default:
			return nil, fmt.Errorf("declaration %w", errNotRecognised)
		}
	}
	x.at += length + len("?>")
	return x, nil
}

// more reads more into the window, which may move. It returns io.EOF where nothing is left.
func (x *xmlScanner) more() error {
	if x.ended != nil {
		return x.ended
	}
	if len(x.window)-x.at > longestToken {
		return fmt.Errorf("%w: a tag or a text in it is longer than %d MiB", ErrTooLarge, longestToken>>20)
	}
	x.window = x.window[:copy(x.window, x.window[x.at:])]
	x.at = 0
	x.window = slices.Grow(x.window, 2*chunkSize)
	n, err := x.in.Read(x.window[len(x.window):cap(x.window)])
	x.window = x.window[:len(x.window)+n]
	x.ended = err
	if n > 0 {
		return nil
	}
	return err
}

// within is more where something has begun that must end.
func (x *xmlScanner) within() error { return early(x.more()) }

// early words the end of a part where something has begun that must end.
func early(err error) error {
	if err == io.EOF {
		return errMalformed
	}
	return err
}

// find returns the place of a mark in what is not yet passed, from a place on.
func (x *xmlScanner) find(from int, mark string) (int, error) {
	for {
		if rest := x.window[x.at:]; len(rest) > from {
			if i := bytes.Index(rest[from:], []byte(mark)); i >= 0 {
				return from + i, nil
			}
			from = max(from, len(rest)-len(mark)+1)
		}
		if err := x.within(); err != nil {
			return 0, err
		}
	}
}

// next goes to the next token.
func (x *xmlScanner) next() (xmlToken, error) {
	if x.empty {
		x.empty = false
		x.close()
		return tokenEnd, nil
	}
	for {
		for len(x.window)-x.at < 2 {
			if err := x.more(); err == io.EOF {
				return x.atEnd()
			} else if err != nil {
				return 0, err
			}
		}
		if x.window[x.at] != '<' {
			return x.readText()
		}
		switch x.window[x.at+1] {
		case '/':
			return x.readEnd()
		case '?':
			if err := x.skipInstruction(); err != nil {
				return 0, err
			}
		case '!':
			if isText, err := x.readMarkup(); isText || err != nil {
				return tokenText, err
			}
		default:
			return x.readStart()
		}
	}
}

// atEnd ends a part of which a character is left at most.
func (x *xmlScanner) atEnd() (xmlToken, error) {
	rest := x.window[x.at:]
	if len(x.starts) > 0 || len(rest) > 0 && rest[0] == '<' {
		return 0, errMalformed
	}
	return tokenEOF, nil
}

func (x *xmlScanner) readText() (xmlToken, error) {
	from := 0
	for {
		if i := bytes.IndexByte(x.window[x.at+from:], '<'); i >= 0 {
			raw := x.window[x.at : x.at+from+i]
			x.at += len(raw)
			return tokenText, x.setText(raw, '<')
		}
		from = len(x.window) - x.at
		if err := x.more(); err == io.EOF && len(x.starts) == 0 {
			x.at = len(x.window)
			return tokenEOF, nil
		} else if err != nil {
			return 0, early(err)
		}
	}
}

func (x *xmlScanner) setText(raw []byte, until byte) (err error) {
	x.text = raw
	if !isPlain(raw) {
		x.decoded, err = decodeXML(x.decoded[:0], raw, until)
		x.text = x.decoded
	}
	return err
}

// readMarkup passes over a comment, or reads a section of verbatim text.
func (x *xmlScanner) readMarkup() (isText bool, err error) {
	const comment, verbatim = "<!--", "<![CDATA["
	err = x.ahead(len(comment))
	if err == nil && x.window[x.at+2] == '[' {
		err = x.ahead(len(verbatim))
	}
	if err != nil {
		return false, err
	}
	switch rest := x.window[x.at:]; {
	case bytes.HasPrefix(rest, []byte(comment)):
		length, err := x.find(len(comment), "--")
		if err == nil {
			err = x.ahead(length + len("-->"))
		}
		if err == nil && x.window[x.at+length+2] != '>' {
			err = errMalformed
		}
		x.at += length + len("-->")
		return false, err
	case bytes.HasPrefix(rest, []byte(verbatim)):
		length, err := x.find(len(verbatim), "]]>")
		if err != nil {
			return true, err
		}
		raw := x.window[x.at+len(verbatim) : x.at+length]
		x.at += length + len("]]>")
		return true, x.setText(raw, ']')
	}
	return false, ErrDeclared
}

// ahead has at least so many bytes in the window that are not yet passed.
func (x *xmlScanner) ahead(length int) error {
	for len(x.window)-x.at < length {
		if err := x.within(); err != nil {
			return err
		}
	}
	return nil
}

func (x *xmlScanner) skipInstruction() error {
	length, err := x.find(2, "?>")
	if err != nil {
		return err
	}
	target := x.window[x.at+2 : x.at+length]
	if n := nameLength(target); n == 0 || string(target[:n]) == "xml" || n < len(target) && !isXMLSpace(target[n]) {
		return fmt.Errorf("instruction %w", errNotRecognised)
	}
	x.at += length + 2
	return nil
}

func (x *xmlScanner) readEnd() (xmlToken, error) {
	length, err := x.find(2, ">")
	if err != nil {
		return 0, err
	}
	if len(x.starts) == 0 {
		return 0, errMalformed
	}
	tag, name := x.window[x.at+2:x.at+length], x.open[x.starts[len(x.starts)-1]:]
	if !bytes.HasPrefix(tag, name) || spaceLength(tag[len(name):]) < len(tag)-len(name) {
		return 0, errMalformed
	}
	x.at += length + 1
	x.close()
	return tokenEnd, nil
}

// close ends the innermost element.
func (x *xmlScanner) close() {
	last := len(x.starts) - 1
	x.name = localName(x.open[x.starts[last]:])
	x.open, x.starts = x.open[:x.starts[last]], x.starts[:last]
}

func (x *xmlScanner) readStart() (xmlToken, error) {
	for {
		length, err := x.parseStart(x.window[x.at:])
		if err == nil && length > 0 {
			x.at += length
			return tokenStart, nil
		}
		if err == nil {
			err = x.within()
		}
		if err != nil {
			return 0, err
		}
	}
}

// parseStart reads a start tag and returns its length, 0 if it does not end here.
func (x *xmlScanner) parseStart(tag []byte) (int, error) {
	i := 1 + nameLength(tag[1:])
	switch {
	case i == len(tag):
		return 0, nil
	case i == 1 || tag[i] >= utf8.RuneSelf:
		return 0, fmt.Errorf("name %w", errNotRecognised)
	}
	name := tag[1:i]
	x.attributes = x.attributes[:0]
	for {
		i += spaceLength(tag[i:])
		switch {
		case i+1 >= len(tag) && (i == len(tag) || tag[i] == '/'):
			return 0, nil
		case tag[i] == '>':
			return i + 1, x.start(name, false)
		case tag[i] == '/' && tag[i+1] == '>':
			return i + 2, x.start(name, true)
		case tag[i] == '/':
			return 0, errMalformed
		}
		length, err := x.parseAttribute(tag[i:])
		if length == 0 || err != nil {
			return 0, err
		}
		i += length
	}
}

func (x *xmlScanner) start(name []byte, empty bool) error {
	if len(x.starts) == deepest {
		return fmt.Errorf("depth %w", errNotRecognised)
	}
	x.starts = append(x.starts, len(x.open))
	x.open = append(x.open, name...)
	x.name, x.empty = localName(x.open[len(x.open)-len(name):]), empty
	return nil
}

// parseAttribute adds an attribute and returns its length, 0 if it does not end here.
func (x *xmlScanner) parseAttribute(tag []byte) (int, error) {
	named := nameLength(tag)
	i := named + spaceLength(tag[named:])
	switch {
	case i == len(tag):
		return 0, nil
	case named == 0 || tag[named] >= utf8.RuneSelf:
		return 0, fmt.Errorf("attribute %w", errNotRecognised)
	case tag[i] != '=':
		return 0, errMalformed
	}
	i++
	i += spaceLength(tag[i:])
	if i == len(tag) {
		return 0, nil
	}
	quote := tag[i]
	if quote != '"' && quote != '\'' {
		return 0, errMalformed
	}
	i++
	length := bytes.IndexByte(tag[i:], quote)
	if length < 0 {
		return 0, nil
	}
	value := tag[i : i+length]
	if !isPlain(value) || bytes.IndexByte(value, '<') >= 0 {
		var err error
		if value, err = decodeXML(nil, value, quote); err != nil {
			return 0, err
		}
	}
	x.attributes = append(x.attributes, attribute{tag[:named], value})
	return i + length + 1, nil
}

// skip passes over the element that has just been started.
func (x *xmlScanner) skip() error {
	for depth := 1; depth > 0; {
		switch kind, err := x.next(); {
		case err != nil:
			return err
		case kind == tokenStart:
			depth++
		case kind == tokenEnd:
			depth--
		}
	}
	return nil
}

// appendText appends the text of the element that has just been started, which holds no other element.
func (x *xmlScanner) appendText(to []byte) ([]byte, error) {
	for {
		switch kind, err := x.next(); {
		case err != nil:
			return to, err
		case kind == tokenText:
			to = append(to, x.text...)
		case kind == tokenEnd:
			return to, nil
		default:
			return to, fmt.Errorf("element %q in a text %w", x.name, errNotRecognised)
		}
	}
}

// root goes to the root element, which must have a name in the name space of workbooks.
func (x *xmlScanner) root(name string) error {
	for {
		kind, err := x.next()
		switch {
		case err != nil:
			return err
		case kind == tokenText && len(bytes.TrimSpace(x.text)) == 0:
			continue
		case kind != tokenStart || string(x.name) != name:
			return fmt.Errorf("root %w", errNotRecognised)
		}
		declares := "xmlns"
		if prefix := len(x.open) - len(x.name); prefix > 0 {
			declares += ":" + string(x.open[:prefix-1])
		}
		for _, a := range x.attributes {
			if string(a.name) == declares && isSpreadsheetSpace(string(a.value)) {
				return nil
			}
		}
		return fmt.Errorf("name space %w", errNotRecognised)
	}
}

// isSpreadsheetSpace tells whether a name space is that of workbooks.
//
// Source: ECMA-376-1:2016, annex A: the strict form has one of its own; ECMA-376-4:2016: the transitional one.
func isSpreadsheetSpace(space string) bool {
	return space == "http://schemas.openxmlformats.org/spreadsheetml/2006/main" || space == "http://purl.oclc.org/ooxml/spreadsheetml/main"
}

// localName returns a name without its prefix.
func localName(name []byte) []byte { return name[bytes.IndexByte(name, ':')+1:] }

// nameLength returns the length of a name of ASCII letters with one prefix at most, 0 if there is none.
func nameLength(text []byte) int {
	colon := 0
	for i, c := range text {
		switch {
		case 'a' <= c && c <= 'z', 'A' <= c && c <= 'Z', c == '_':
		case i > colon && ('0' <= c && c <= '9' || c == '-' || c == '.'):
		case c == ':' && i > 0 && colon == 0:
			colon = i + 1
		default:
			if i == colon {
				return 0
			}
			return i
		}
	}
	return len(text)
}

func isXMLSpace(c byte) bool { return c == ' ' || c == '\n' || c == '\t' || c == '\r' }

func spaceLength(text []byte) int {
	for i, c := range text {
		if !isXMLSpace(c) {
			return i
		}
	}
	return len(text)
}
