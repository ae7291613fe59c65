package shp

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/htmlindex"
)

// Encoding is what the texts of a table are written in.
type Encoding struct {
	Name string // in words, such as Windows-1252
	Why  string // what says so; empty where all is ASCII
	made encoding.Encoding

	Guessed bool // nothing but the texts themselves tells, and they are not in UTF-8
}

// EncodingError says that texts cannot be read.
type EncodingError struct{ Message string }

func (e *EncodingError) Error() string { return e.Message }

const utf8Name = "UTF-8"

// Made is what decodes texts; nil where they are in UTF-8.
func (e Encoding) Made() encoding.Encoding { return e.made }

func (e Encoding) isUTF8() bool { return e.made == nil }

// FindEncoding finds the encoding of a table: that which the part .cpg names, else that of the table's language driver,
// else UTF-8 where all texts are in it and Windows-1252 where they are not. named is the content of that part.
func FindEncoding(named []byte, in io.Reader) (Encoding, error) {
	if name := string(bytes.Trim(named, " \t\r\n\x00\xef\xbb\xbf")); name != "" {
		made, ok := EncodingNamed(name)
		if !ok {
			return Encoding{}, &EncodingError{fmt.Sprintf("the part %s names the encoding %q, which is not known", Page, name)}
		}
		made.Why = "as its " + string(Page) + " says"
		return made, nil
	}
	shape, err := readTableHeader(in)
	if err != nil {
		return Encoding{}, err
	}
	if page, ok := driverPages[shape.driver]; ok {
		made, _ := EncodingNamed(strconv.Itoa(page))
		made.Why = fmt.Sprintf("as the language driver %d of its %s says", shape.driver, Table)
		return made, nil
	}
	ascii, valid, err := scanRows(in, shape)
	switch {
	case err != nil:
		return Encoding{}, err
	case ascii:
		return Encoding{Name: utf8Name}, nil
	case valid:
		return Encoding{Name: utf8Name, Why: "since all of them are in it and nothing says otherwise"}, nil
	}
	return Encoding{Name: "Windows-1252", Why: "since not all of them are in UTF-8 and nothing says in what they are", made: charmap.Windows1252, Guessed: true}, nil
}

// driverPages are the code pages of the language drivers.
//
// Source: value from memory, the language driver numbers of dBASE and FoxPro.
var driverPages = map[byte]int{
	0x01: 437, 0x02: 850, 0x03: 1252, 0x08: 865, 0x09: 437, 0x0a: 850, 0x0b: 437, 0x0d: 437, 0x0e: 850, 0x0f: 437, 0x10: 850, 0x11: 437, 0x12: 850,
	0x13: 932, 0x14: 850, 0x15: 437, 0x16: 850, 0x17: 865, 0x18: 437, 0x19: 437, 0x1a: 850, 0x1b: 437, 0x1c: 863, 0x1d: 850, 0x1f: 852,
	0x22: 852, 0x23: 852, 0x24: 860, 0x25: 850, 0x26: 866, 0x37: 850, 0x40: 852, 0x4d: 936, 0x4e: 949, 0x4f: 950, 0x50: 874, 0x57: 1252,
	0x58: 1252, 0x59: 1252, 0x64: 852, 0x65: 866, 0x66: 865, 0x6c: 863, 0x78: 950, 0x79: 949, 0x7a: 936, 0x7b: 932, 0x7c: 874,
	0x87: 852, 0xc8: 1250, 0xc9: 1251, 0xca: 1254, 0xcb: 1253, 0xcc: 1257,
}

// EncodingNamed finds an encoding by its name, or by the number of its code page, as the part .cpg writes them. UTF-16 is none
// of a table.
func EncodingNamed(name string) (Encoding, bool) {
	key := strings.ToLower(name)
	for _, ahead := range [...]string{"ansi", "oem", "windows", "cp", " ", "-", "_"} {
		key = strings.TrimPrefix(key, ahead)
	}
	switch page, err := strconv.Atoi(key); {
	case err != nil:
		key = strings.ToLower(name)
	case page == 65001:
		key = "utf-8"
	case page == 437:
		return Encoding{Name: "code page 437", made: charmap.CodePage437}, true
	case page == 850:
		return Encoding{Name: "code page 850", made: charmap.CodePage850}, true
	case page == 852:
		return Encoding{Name: "code page 852", made: charmap.CodePage852}, true
	case page == 855:
		return Encoding{Name: "code page 855", made: charmap.CodePage855}, true
	case page == 860:
		return Encoding{Name: "code page 860", made: charmap.CodePage860}, true
	case page == 863:
		return Encoding{Name: "code page 863", made: charmap.CodePage863}, true
	case page == 865:
		return Encoding{Name: "code page 865", made: charmap.CodePage865}, true
	case page == 866:
		key = "ibm866"
	case page == 874 || 1250 <= page && page <= 1258:
		key = fmt.Sprintf("windows-%d", page)
	case 28591 <= page && page <= 28606:
		key = fmt.Sprintf("iso-8859-%d", page-28590)
	case 88591 <= page && page <= 88599:
		key = fmt.Sprintf("iso-8859-%d", page-88590)
	case 885910 <= page && page <= 885916:
		key = fmt.Sprintf("iso-8859-%d", page-885900)
	case page == 932:
		key = "shift_jis"
	case page == 936:
		key = "gbk"
	case page == 949:
		key = "euc-kr"
	case page == 950:
		key = "big5"
	}
	switch key {
	case "iso-8859-1", "iso8859-1", "iso_8859-1", "latin1": // the index has Windows-1252 for it
		return Encoding{Name: "ISO-8859-1", made: charmap.ISO8859_1}, true
	case "utf8", "utf-8":
		return Encoding{Name: utf8Name}, true
	}
	made, err := htmlindex.Get(key)
	if err != nil {
		return Encoding{}, false
	}
	known, err := htmlindex.Name(made)
	if err != nil || strings.HasPrefix(known, "utf-16") || known == "replacement" || known == "x-user-defined" {
		return Encoding{}, false
	}
	if rest, is := strings.CutPrefix(known, "windows-"); is {
		known = "Windows-" + rest
	}
	return Encoding{Name: known, made: made}, true
}

// scanRows tells whether the fields of all rows are ASCII, or else valid UTF-8. A part of a character at the end of a field
// is of UTF-8 only where others are whole.
func scanRows(in io.Reader, shape tableShape) (ascii, valid bool, err error) {
	t, err := shape.table(in, Encoding{Name: "any", made: charmap.ISO8859_1}) // which has every byte
	if err != nil {
		return false, false, err
	}
	ascii, valid = true, true
	characters, cut := false, false // beyond ASCII: whole ones, and parts at the end of a field
	look := func(text []byte) {
		if text, _, _ = bytes.Cut(text, []byte{0}); isASCII(text) {
			return
		}
		whole := wholeCharacters(text)
		ascii, valid = false, valid && utf8.Valid(whole)
		characters, cut = characters || !isASCII(whole), cut || len(whole) < len(text)
	}
	for i := range t.fields {
		look(shape.fields[i*fieldBytes:][:nameBytes])
	}
	for {
		if more, err := t.next(); !more || err != nil {
			return ascii, valid && (characters || !cut), err
		}
		if isASCII(t.row) {
			continue
		}
		rest := t.row[1:]
		for _, f := range t.fields {
			look(rest[:f.length])
			rest = rest[f.length:]
		}
	}
}

// name decodes the name of a field, which may be cut in the middle of a character.
func (e Encoding) name(raw []byte) (string, error) {
	if e.isUTF8() {
		raw = wholeCharacters(raw)
	}
	return e.decode(raw)
}

func (e Encoding) decode(raw []byte) (string, error) {
	if e.isUTF8() {
		if !utf8.Valid(raw) {
			return "", fmt.Errorf("is not in %s, %q", e.Name, raw)
		}
		return string(raw), nil
	}
	if e.made == charmap.Windows1252 {
		for _, c := range raw {
			if strings.IndexByte("\x81\x8d\x8f\x90\x9d", c) >= 0 {
				return "", fmt.Errorf("has the byte 0x%X, which %s does not define", c, e.Name)
			}
		}
	}
	text, err := e.made.NewDecoder().Bytes(raw)
	if err != nil || bytes.ContainsRune(text, utf8.RuneError) {
		return "", fmt.Errorf("is not in %s, %q", e.Name, raw)
	}
	return string(text), nil
}
