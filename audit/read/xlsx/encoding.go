package xlsx

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"path"
	"regexp"
	"slices"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/net/html/charset"
)

// inUTF8 gives the text of a part in UTF-8 if it is in UTF-16, which the standard of packages allows as well; any other text
// is left as it is.
//
// Source: ECMA-376-2:2021, clause 6.2.5 (XML usage).
func inUTF8(part io.Reader) io.Reader {
	var head [4]byte
	n, _ := io.ReadFull(part, head[:])
	part = io.MultiReader(bytes.NewReader(head[:n]), part)
	if order := orderOfUTF16(head[:n]); order != nil {
		return &utf16Reader{in: part, order: order}
	}
	return part
}

// orderOfUTF16 tells UTF-16 by how a part begins: with its mark, or with a tag. It returns nil where it is none.
func orderOfUTF16(head []byte) binary.ByteOrder {
	if len(head) < 4 || string(head) == "\xff\xfe\x00\x00" { // the mark of UTF-32
		return nil
	}
	switch {
	case string(head[:2]) == "\xff\xfe", head[0] == '<' && head[1] == 0 && head[2] != 0 && head[3] == 0:
		return binary.LittleEndian
	case string(head[:2]) == "\xfe\xff", head[0] == 0 && head[1] == '<' && head[2] == 0 && head[3] != 0:
		return binary.BigEndian
	}
	return nil
}

// utf16Reader gives a text in UTF-16 in UTF-8, whose declaration then says so.
type utf16Reader struct {
	in    io.Reader
	order binary.ByteOrder
	begun bool
	raw   [chunkSize]byte
	left  int    // bytes of raw that are half of a character
	out   []byte // what is not yet read
	ended error
}

func (u *utf16Reader) Read(p []byte) (int, error) {
	for len(u.out) == 0 {
		if u.ended != nil {
			return 0, u.ended
		}
		u.more()
	}
	n := copy(p, u.out)
	u.out = u.out[n:]
	return n, nil
}

// more decodes the next characters.
func (u *utf16Reader) more() {
	n, err := io.ReadFull(u.in, u.raw[u.left:])
	if err == io.ErrUnexpectedEOF {
		err = io.EOF
	}
	u.ended = err
	raw := u.raw[:u.left+n]
	out := u.out[:0]
	for len(raw) >= 2 {
		r, size := rune(u.order.Uint16(raw)), 2
		if utf16.IsSurrogate(r) {
			if len(raw) < 4 {
				break
			}
			if r, size = utf16.DecodeRune(r, rune(u.order.Uint16(raw[2:]))), 4; r == utf8.RuneError {
				u.ended, raw = fmt.Errorf("%w: half a character of UTF-16", errMalformed), nil
				break
			}
		}
		out, raw = utf8.AppendRune(out, r), raw[size:]
	}
	if u.left = copy(u.raw[:], raw); u.left > 0 && u.ended == io.EOF {
		u.ended = fmt.Errorf("%w: half a character of UTF-16", errMalformed)
	}
	if !u.begun {
		u.begun = true
		out = declaredUTF8(bytes.TrimPrefix(out, []byte("\xef\xbb\xbf")))
	}
	u.out = out
}

var encodingDeclared = regexp.MustCompile(`^<\?xml[^>]*?\sencoding\s*=\s*["']([^"'>]*)["']`)

// declaredUTF8 makes the declaration of a text say that it is in UTF-8.
func declaredUTF8(text []byte) []byte {
	at := encodingDeclared.FindSubmatchIndex(text)
	if at == nil {
		return text
	}
	return slices.Concat(text[:at[2]], []byte("UTF-8"), text[at[3]:])
}

// archiveInUTF8 returns an archive all of whose parts are in UTF-8, for the library, which takes some of the others for empty
// and of the rest does not tell formulas without a stored value. Where all are it is the archive itself.
func archiveInUTF8(r io.ReaderAt, size int64) (io.ReaderAt, int64, error) {
	archive, err := zip.NewReader(r, size)
	if err != nil {
		return r, size, nil // the library says what it is
	}
	var changed bytes.Buffer
	written, other := zip.NewWriter(&changed), false
	for _, file := range archive.File {
		content, err := contentOf(file)
		if err != nil {
			continue // the library is without it as well
		}
		if ext := path.Ext(file.Name); ext == ".xml" || ext == ".rels" {
			text, err := textInUTF8(content)
			if err != nil {
				return nil, 0, fmt.Errorf("%s %w", file.Name, err)
			}
			other = other || !bytes.Equal(text, content)
			content = text
		}
		to, err := written.CreateHeader(&zip.FileHeader{Name: file.Name, Method: zip.Store})
		if err == nil {
			_, err = to.Write(content)
		}
		if err != nil {
			return nil, 0, err
		}
	}
	if !other {
		return r, size, nil
	}
	if err := written.Close(); err != nil {
		return nil, 0, err
	}
	return bytes.NewReader(changed.Bytes()), int64(changed.Len()), nil
}

func contentOf(file *zip.File) ([]byte, error) {
	entry, err := file.Open()
	if err != nil {
		return nil, err
	}
	defer entry.Close()
	return io.ReadAll(entry)
}

// textInUTF8 decodes a part from the encoding that its start tells.
func textInUTF8(content []byte) ([]byte, error) {
	if order := orderOfUTF16(content[:min(len(content), 4)]); order != nil {
		return io.ReadAll(&utf16Reader{in: bytes.NewReader(content), order: order})
	}
	if bytes.HasPrefix(content, []byte("\xff\xfe")) || bytes.HasPrefix(content, []byte("\x00")) {
		return nil, errEncoding
	}
	at := encodingDeclared.FindSubmatch(content[:min(len(content), longestProlog)])
	if at == nil || strings.EqualFold(string(at[1]), "UTF-8") {
		return content, nil
	}
	decoded, err := charset.NewReaderLabel(string(at[1]), bytes.NewReader(content))
	if err != nil {
		return nil, errEncoding
	}
	text, err := io.ReadAll(decoded)
	return declaredUTF8(text), err
}
