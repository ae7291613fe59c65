package read

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"dryarc/audit"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// textReader hands out a text in UTF-8, whatever of the known encodings it is in. UTF-16 is known by its byte order mark, or
// where every other byte at its start is zero. A text is in Windows-1252 where it has no byte order mark and a byte that is
// none of UTF-8, with nothing but ASCII before it and no character of UTF-8 behind it; a text that has both is handed out
// as it stands, for what reads it to say so. Where the project file states an encoding nothing is guessed.
type textReader struct {
	in    io.Reader
	block []byte // read, and not yet looked at
	out   []byte // to be handed out
	room  []byte
	ended error // why nothing can be read beyond the block
	begun bool
	plain bool // nothing more is to be looked for
	ascii bool // all that was handed out
	run   []byte

	stated textEncoding // by the project file
	watch  *utf8Watch   // of what is stated to be in another encoding than UTF-8

	narrow bool // Windows-1252
	wide   bool // UTF-16
	marked bool // a byte order mark says so
	lines  int  // ends of lines that were handed out, by LF
	others int  // by CR, while there are none by LF
}

const (
	textBlock     = 64 << 10
	windows1252   = "Windows-1252"
	undefinedOf   = "\x81\x8d\x8f\x90\x9d" // bytes that Windows-1252 does not define
	byteOrderMark = "\xef\xbb\xbf"
)

// asText is the content of an input as text in UTF-8.
func (in *input) asText(stated textEncoding) *textReader {
	in.text = newTextReader(in, stated)
	return in.text
}

func newTextReader(in io.Reader, stated textEncoding) *textReader {
	return &textReader{in: in, ascii: true, stated: stated}
}

// Read hands out the next of the text.
func (t *textReader) Read(p []byte) (int, error) {
	if n := t.straight(p); n > 0 {
		return n, nil
	}
	for len(t.out) == 0 {
		if t.ended != nil && len(t.block) == 0 {
			if err := t.endOfRun(); err != nil {
				t.ended = err
			}
			return 0, t.ended
		}
		if err := t.more(); err != nil {
			t.ended, t.block, t.run = err, nil, nil
		}
	}
	n := copy(p, t.out)
	t.out = t.out[n:]
	return n, nil
}

// straight reads on into p where nothing but ASCII comes next, as in most texts, so that it need not be moved there, and returns how much;
// anything else it leaves to more.
func (t *textReader) straight(p []byte) int {
	if !t.begun || t.stated.given() || t.narrow || t.plain || t.ended != nil || len(t.out) > 0 || len(t.block) > 0 {
		return 0
	}
	p = p[:min(len(p), len(t.room))]
	var n int
	n, t.ended = t.in.Read(p)
	if !isPlainASCII(p[:n]) {
		t.block = t.room[:copy(t.room, p[:n])]
		return 0
	}
	t.count(p[:n])
	return n
}

// more reads on and puts into out what of it is understood.
func (t *textReader) more() error {
	if t.room == nil {
		t.room = make([]byte, textBlock)
	}
	copy(t.room, t.block)
	n := len(t.block)
	for t.ended == nil && n < len(t.room) {
		var got int
		got, t.ended = t.in.Read(t.room[n:])
		n += got
	}
	t.block = t.room[:n]
	if !t.begun {
		t.begun = true
		if t.stated.given() {
			return t.beginStated()
		}
		if t.findMark() {
			return nil
		}
	}
	if t.stated.given() {
		return t.moreStated()
	}
	if t.narrow {
		return t.widen()
	}
	if t.plain && !t.wide {
		t.hand(len(t.block))
		return nil
	}
	if !t.wide && isPlainASCII(t.block) { // as most texts
		t.hand(len(t.block))
		return nil
	}
	length := wholeUTF8(t.block)
	if t.wide {
		t.hand(length)
		return t.wrongUTF16()
	}
	t.ascii = t.ascii && isPlainASCII(t.block[:length])
	tail := t.block[length:]
	switch {
	case len(tail) == 0 || t.ended == nil && !utf8.FullRune(tail):
		t.hand(length)
	case t.ascii && t.invalid(tail):
		t.hand(length)
		t.narrow = true
	default:
		t.plain = true // what reads it will say that it is not in UTF-8
		t.hand(length)
	}
	return nil
}

// invalid tells whether a text that is not in UTF-8 can be Windows-1252: it is not the zero byte or damage of another kind.
func (t *textReader) invalid(tail []byte) bool { return !t.marked && tail[0] >= utf8.RuneSelf }

// hand puts the start of the block into out.
func (t *textReader) hand(length int) {
	t.out, t.block = t.block[:length], t.block[length:]
	t.count(t.out)
}

// count counts the ends of lines that are handed out.
func (t *textReader) count(text []byte) {
	if t.lines += bytes.Count(text, []byte{'\n'}); t.lines == 0 {
		t.others += bytes.Count(text, []byte{'\r'})
	}
}

// findMark looks at how the text starts. It tells whether the rest is to be read anew, from UTF-16.
func (t *textReader) findMark() bool {
	order := unicode.LittleEndian
	switch start := t.block; {
	case bytes.HasPrefix(start, []byte("\xff\xfe")):
		t.marked, t.block = true, start[2:]
	case bytes.HasPrefix(start, []byte("\xfe\xff")):
		t.marked, t.block, order = true, start[2:], unicode.BigEndian
	case bytes.HasPrefix(start, []byte(byteOrderMark)):
		t.marked = true
		return false
	case zeroEveryOther(start, 1):
	case zeroEveryOther(start, 0):
		order = unicode.BigEndian
	default:
		return false
	}
	t.in = transform.NewReader(t.anew(), unicode.UTF16(order, unicode.IgnoreBOM).NewDecoder())
	t.wide, t.plain = true, true
	return true
}

// anew is the block and what comes behind it, to be read once more.
func (t *textReader) anew() io.Reader {
	rest := []io.Reader{bytes.NewReader(bytes.Clone(t.block))}
	switch t.ended {
	case nil:
		rest = append(rest, t.in)
	case io.EOF:
	default:
		rest = append(rest, failedReader{t.ended})
	}
	t.ended, t.block = nil, nil
	return io.MultiReader(rest...)
}

// failedReader fails.
type failedReader struct{ err error }

func (f failedReader) Read([]byte) (int, error) { return 0, f.err }

// zeroEveryOther tells whether a text has no zero byte but at every other place, most of which have one.
func zeroEveryOther(text []byte, from int) bool {
	const looked, least = 4096, 8
	text = text[:min(len(text), looked)&^1]
	if len(text) < least {
		return false
	}
	zeros := 0
	for i, c := range text {
		if c != 0 {
			continue
		}
		if i%2 != from {
			return false
		}
		zeros++
	}
	return zeros*10 >= len(text)*4
}

// wrongUTF16 finds, in what is to be handed out, what the decoder put where it could not read on.
func (t *textReader) wrongUTF16() error {
	at := bytes.IndexRune(t.out, utf8.RuneError)
	if at < 0 {
		return nil
	}
	return &recordError{fmt.Sprintf("line %d is not in UTF-16, in which the file starts", t.lineOf(t.out[at:])), readableHint}
}

// lineOf is the line of which a rest of what is to be handed out starts.
func (t *textReader) lineOf(rest []byte) int {
	if t.lines > 0 {
		return 1 + t.lines - bytes.Count(rest, []byte{'\n'})
	}
	return 1 + t.others - bytes.Count(rest, []byte{'\r'})
}

// widen decodes the block from Windows-1252.
func (t *textReader) widen() error {
	made := make([]byte, 0, len(t.block)+len(t.block)/8)
	for _, c := range t.block {
		if c < utf8.RuneSelf {
			if err := t.endOfRun(); err != nil {
				return err
			}
			made = append(made, c)
			if c == '\n' {
				t.lines++
			} else if c == '\r' {
				t.others++
			}
			continue
		}
		if bytes.IndexByte([]byte(undefinedOf), c) >= 0 {
			return &recordError{fmt.Sprintf("line %d has the byte 0x%X, which neither UTF-8 nor %s has there", t.lineOf(nil), c, windows1252), encodingHint}
		}
		if len(t.run) <= utf8.UTFMax {
			t.run = append(t.run, c)
		}
		made = utf8.AppendRune(made, charmap.Windows1252.DecodeByte(c))
	}
	t.out, t.block = made, nil
	return nil
}

// endOfRun looks at bytes beyond ASCII, one behind the other: if they are in UTF-8, the text is in two encodings.
func (t *textReader) endOfRun() error {
	run := t.run
	t.run = t.run[:0]
	if len(run) > 1 && utf8.Valid(run) {
		return &recordError{fmt.Sprintf("line %d is in UTF-8, but not all of the lines above are", t.lineOf(nil)), encodingHint}
	}
	return nil
}

// notes says what the text was in, where that is not plain.
func (t *textReader) notes() []string {
	switch {
	case t.stated.given():
		return []string{"text in " + t.stated.name + ", as the project file says"}
	case t.narrow:
		return []string{"text in " + windows1252 + ", since it is not in UTF-8 and nothing says in what it is"}
	case t.wide && t.marked:
		return []string{"text in UTF-16, as its byte order mark says"}
	case t.wide:
		return []string{"text in UTF-16, since every other byte is zero"}
	}
	return nil
}

// guessed is the encoding of which nothing but the text itself tells; empty where it is UTF-8 or told.
func (t *textReader) guessed() string {
	if t.narrow {
		return windows1252
	}
	return ""
}

// encodingNotes says what the text of a sheet was in, and tells the project if that was guessed. Of a workbook there is
// nothing to say.
func (g *gridReader) encodingNotes(p *audit.Project, file string) []string {
	if rows, is := g.from.(*parquetRows); is {
		return unreadColumns(rows.columns)
	}
	if rows, is := g.from.(*queryRows); is {
		return queryNotes(rows.sql, rows.from.Columns())
	}
	rows, is := g.from.(*textRows)
	if !is {
		return nil
	}
	guessed := rows.records.text.guessed()
	for i := range p.Inputs {
		if p.Inputs[i].File == file && guessed != "" {
			p.Inputs[i].Encoding = guessed
		}
	}
	return rows.records.text.notes()
}

// wholeUTF8 is how much of a text is whole characters of UTF-8.
func wholeUTF8(text []byte) (length int) {
	if utf8.Valid(text) {
		return len(text)
	}
	for length < len(text) {
		r, size := utf8.DecodeRune(text[length:])
		if r == utf8.RuneError && size == 1 {
			break
		}
		length += size
	}
	return length
}

func isPlainASCII(text []byte) bool {
	const beyond = 0x8080808080808080 // the bit of each of eight bytes that is set beyond ASCII
	for ; len(text) >= 32; text = text[32:] {
		if (binary.NativeEndian.Uint64(text)|binary.NativeEndian.Uint64(text[8:])|binary.NativeEndian.Uint64(text[16:])|binary.NativeEndian.Uint64(text[24:]))&beyond != 0 {
			return false
		}
	}
	for _, c := range text {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// textProblem returns what is wrong with the encoding of a text, if that is what failed.
func textProblem(file string, err error) *InputError {
	var known *recordError
	if errors.As(err, &known) {
		return &InputError{File: file, Message: known.message, Err: err, Hint: known.hint}
	}
	return nil
}
