package read

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"dryarc/audit/read/shp"

	"github.com/goccy/go-yaml/ast"
	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// textEncoding is what the project file says the texts of a file are in; without a name nothing.
type textEncoding struct {
	name string
	made encoding.Encoding // nil for UTF-8 and UTF-16
}

// The encodings that are no tables of characters.
const (
	utf8Encoding   = "UTF-8"
	utf16Encoding  = "UTF-16" // whose byte order mark, or zeros, say in which order the bytes are
	littleEncoding = "UTF-16LE"
	bigEncoding    = "UTF-16BE"
)

func (e textEncoding) given() bool { return e.name != "" }

const (
	encodingNamesHint = "write a name such as UTF-8, UTF-16, Windows-1252, Windows-1250, ISO-8859-1 or ISO-8859-15"
	statedHint        = "correct the key encoding in the project file, or take it out; then the file itself tells"
)

// encodingKey reads the name of an encoding.
func encodingKey(to *textEncoding) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, _ := scalar(node)
		for _, wide := range [...]string{utf16Encoding, littleEncoding, bigEncoding} {
			if headingKey(text) == headingKey(wide) {
				to.name = wide
				return nil
			}
		}
		found, ok := shp.EncodingNamed(strings.TrimSpace(text))
		if !ok {
			return wrong(node, encodingNamesHint, "%s %s is no encoding that is known", name, written(node))
		}
		to.name, to.made = found.Name, found.Made()
		return nil
	}
}

// reading is what the project file says, as a part of that text.
func (e textEncoding) reading(b *strings.Builder) {
	if e.given() {
		fmt.Fprintf(b, "encoding %q\n", e.name)
	}
}

// noEncoding is the error of a file for which an encoding makes no sense.
func noEncoding(file, section, what, why string) error {
	return &InputError{File: file, Message: fmt.Sprintf("is %s, for which encoding means nothing: %s", what, why), Hint: "take out encoding under " + section + ", or give the file an entry of its own"}
}

// ofTable is the encoding for the table of a shapefile whose part .cpg names another one, or none.
func (e textEncoding) ofTable(file, section string, named []byte) (shp.Encoding, error) {
	found, ok := shp.EncodingNamed(e.name)
	if !ok {
		return found, noEncoding(file, section, "a shapefile", e.name+" is none of its table")
	}
	found.Why = "as the project file says"
	if said := strings.Trim(string(named), " \t\r\n\x00\ufeff"); said != "" && !strings.EqualFold(said, e.name) {
		found.Why += fmt.Sprintf(" and not %q, as its %s does", excerpt(strings.ToValidUTF8(said, "?")), shp.Page)
	}
	return found, nil
}

// beginStated looks whether the start of the text is that of another encoding than the project file states, and decodes it from now on.
func (t *textReader) beginStated() error {
	mark, length := "", 0
	switch {
	case bytes.HasPrefix(t.block, []byte("\xff\xfe")):
		mark, length = littleEncoding, 2
	case bytes.HasPrefix(t.block, []byte("\xfe\xff")):
		mark, length = bigEncoding, 2
	case bytes.HasPrefix(t.block, []byte(byteOrderMark)):
		mark, length = utf8Encoding, 3
	}
	is := t.stated.name
	if is == utf16Encoding {
		switch {
		case mark != "":
			if mark != utf8Encoding {
				is = mark
			}
		case zeroEveryOther(t.block, 1):
			is = littleEncoding
		case zeroEveryOther(t.block, 0):
			is = bigEncoding
		default:
			return &recordError{"does not tell the order of its bytes, which " + utf16Encoding + " in the project file leaves open: it has no byte order mark",
				fmt.Sprintf("write encoding: %s, as most systems have it, or %s", littleEncoding, bigEncoding)}
		}
	}
	if mark != "" && mark != is {
		return &recordError{fmt.Sprintf("starts with the byte order mark of %s, but the project file says that it is in %s", mark, t.stated.name), statedHint}
	}
	if is != utf8Encoding {
		t.block = t.block[length:]
	}
	t.marked = mark != ""
	raw := t.anew()
	switch is {
	case utf8Encoding:
		t.in = raw
	case littleEncoding:
		t.in = transform.NewReader(raw, unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM).NewDecoder())
	case bigEncoding:
		t.in = transform.NewReader(raw, unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM).NewDecoder())
	default:
		if _, single := t.stated.made.(*charmap.Charmap); single {
			t.watch = &utf8Watch{in: raw}
			raw = t.watch
		}
		t.in = transform.NewReader(raw, t.stated.made.NewDecoder())
	}
	return nil
}

// moreStated hands out what was decoded, unless it shows that the text is in another encoding.
func (t *textReader) moreStated() error {
	length := wholeUTF8(t.block)
	tail := t.block[length:]
	cut := len(tail) > 0 && (t.ended != nil || utf8.FullRune(tail))
	t.hand(length)
	at := bytes.IndexFunc(t.out, t.undefined)
	switch {
	case at >= 0:
		return t.contradicts(t.out[at:])
	case cut:
		return t.contradicts(nil)
	case t.ended == io.EOF && len(t.block) == 0 && t.watch != nil && t.watch.onlyUTF8():
		return &recordError{fmt.Sprintf("is in UTF-8 wherever it has letters beyond ASCII, but the project file says that it is in %s", t.stated.name), statedHint}
	}
	return nil
}

// undefined tells whether a character shows that the stated encoding is not that of the text: what its decoder cannot read, and control
// characters where other encodings have letters.
func (t *textReader) undefined(r rune) bool {
	switch t.stated.name {
	case utf8Encoding:
		return false // what is not in it is found before
	case utf16Encoding, littleEncoding, bigEncoding:
		return r == utf8.RuneError
	}
	return r == utf8.RuneError || '\u0080' <= r && r <= '\u009f'
}

func (t *textReader) contradicts(rest []byte) error {
	return &recordError{fmt.Sprintf("line %d is not in %s, as the project file says that the file is", t.lineOf(rest), t.stated.name), statedHint}
}

// utf8Watch looks whether what is read has bytes beyond ASCII, all of which are in UTF-8.
type utf8Watch struct {
	in            io.Reader
	tail          []byte // the start of a character
	beyond, other bool
}

func (w *utf8Watch) Read(p []byte) (int, error) {
	n, err := w.in.Read(p)
	if w.other {
		return n, err
	}
	text := append(w.tail, p[:n]...)
	length := wholeUTF8(text)
	w.beyond = w.beyond || !isPlainASCII(text[:length])
	w.other = utf8.FullRune(text[length:]) && length < len(text)
	w.tail = append(w.tail[:0], text[length:]...)
	return n, err
}

func (w *utf8Watch) onlyUTF8() bool { return w.beyond && !w.other && len(w.tail) == 0 }
