package read

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

type numbered struct {
	number uint32
	cells  []string
}

func recordsOf(t *testing.T, text string) ([]numbered, error) {
	t.Helper()
	r, err := newRecordReader(strings.NewReader(text), textEncoding{})
	if err != nil {
		return nil, err
	}
	var all []numbered
	for {
		more, err := r.next()
		if err != nil || !more {
			return all, err
		}
		all = append(all, numbered{r.number, append([]string(nil), r.cells...)})
	}
}

func TestRecords(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want []numbered
	}{
		"commas":               {"a,b,c\n1,2,3\n", []numbered{{1, []string{"a", "b", "c"}}, {2, []string{"1", "2", "3"}}}},
		"semicolons":           {"a;b;c\n1;2,5;3", []numbered{{1, []string{"a", "b", "c"}}, {2, []string{"1", "2,5", "3"}}}},
		"tabs":                 {"a\tb\tc\r\n1\t\t3\r\n", []numbered{{1, []string{"a", "b", "c"}}, {2, []string{"1", "", "3"}}}},
		"mark":                 {"\xef\xbb\xbfa,b,c\n", []numbered{{1, []string{"a", "b", "c"}}}},
		"sep":                  {"sep=;\r\na;b\r\n", []numbered{{2, []string{"a", "b"}}}},
		"CR alone":             {"a,b,c\r1,2,3\r", []numbered{{1, []string{"a", "b", "c"}}, {2, []string{"1", "2", "3"}}}},
		"newline in a cell":    {"a,b,c\n1,\"x\ny\r\nz\",3\n4,5,6\n", []numbered{{1, []string{"a", "b", "c"}}, {2, []string{"1", "x\ny\r\nz", "3"}}, {5, []string{"4", "5", "6"}}}},
		"quotes":               {`"a","b,c","d""e"` + "\n", []numbered{{1, []string{"a", "b,c", `d"e`}}}},
		"blank behind a quote": {`"a" ,"b" ,c`, []numbered{{1, []string{"a", "b", "c"}}}},
		"inches":               {`5" disc,10",c`, []numbered{{1, []string{`5" disc`, `10"`, "c"}}}},
		"blank rows":           {"a,b,c\n\n,,\n1,2,3", []numbered{{1, []string{"a", "b", "c"}}, {3, []string{"", "", ""}}, {4, []string{"1", "2", "3"}}}},
		"end mark":             {"a,b,c\n1,2,3\n\x1a", []numbered{{1, []string{"a", "b", "c"}}, {2, []string{"1", "2", "3"}}}},
		"end mark in a row":    {"a,b,c\n1,2,3\x1a\x1a", []numbered{{1, []string{"a", "b", "c"}}, {2, []string{"1", "2", "3"}}}},
		"no end mark":          {"a,b,c\n\x1a\n1,2,3", []numbered{{1, []string{"a", "b", "c"}}, {2, []string{"\x1a"}}, {3, []string{"1", "2", "3"}}}},
		"a title":              {"Register, 2024\na;b;c\n1;2;3\n", []numbered{{1, []string{"Register, 2024"}}, {2, []string{"a", "b", "c"}}, {3, []string{"1", "2", "3"}}}},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := recordsOf(t, c.text)
			require.NoError(t, err)
			require.Equal(t, c.want, got)
		})
	}
}

func TestRecordsUnusable(t *testing.T) {
	for text, want := range map[string]string{
		"":                           "is empty, expected a table with headings in its first row",
		"a,b\nM\xfcller,é":           "line 2 is in UTF-8, but not all of the lines above are",
		"é,b\nM\xfcller,2":           "line 2 is not in UTF-8",
		"\xef\xbb\xbfa\xfc,2":        "line 1 is not in UTF-8",
		"a,b\nx\x81,2":               "line 2 has the byte 0x81, which neither UTF-8 nor Windows-1252 has there",
		"\xff\xfea\x00\n\x00,":       "line 2 is not in UTF-16, in which the file starts",
		"\xff\xfea\x00\x00\xd8,\x00": "line 1 is not in UTF-16, in which the file starts",
		"a,\x00b":                    "is neither a workbook nor a table of text",
		"a,b\n\"x,2\n3,4\n":          "line 2 opens a quote that is never closed",
		"a,b\n\"5\" disc\",2\n":      `line 2 has "disc\",2" behind a closing quote, expected the next cell`,
	} {
		_, err := recordsOf(t, text)
		require.EqualError(t, err, want, "%q", text)
	}
}

// TestRecordsBitByBit holds that records are the same however much of their text is at hand: a line that stands there as a whole is taken
// apart otherwise than one that does not.
func TestRecordsBitByBit(t *testing.T) {
	long := strings.Repeat("x", longestPlain)
	for _, text := range []string{
		"a,b,c\n1,2,3\n", "a,b\r\n,\r\n\r\n1,2", "a,b\r1,2\r\r3,4", "a,b\r\r\n1,2\n", "a,b\n1,\r\n2,\r3\n", "a,\"b\nc\",5\" disc\n\"\",\n", "a,b\n1,2\x1a", "a,b\n\x1a\n", "a,b\n1,2\n\x1a",
		",\n,,\n\n,", "a\u00e9,\u221e\nb,c\n", "a,b\n" + long + ",c\nd,e\n", "a,b\n\"c", "a,b\n\"c\"d\n",
	} {
		read := func(room int) (all []string) {
			r := &recordReader{text: newTextReader(strings.NewReader(text), textEncoding{}), block: make([]byte, 0, room), line: 1, comma: ','}
			for {
				more, err := r.next()
				if err != nil || !more {
					return append(all, fmt.Sprint(r.line, err))
				}
				all = append(all, fmt.Sprintf("%d %v %q", r.number, r.apart, r.cells))
			}
		}
		whole := read(recordBlock)
		for _, room := range []int{utf8.UTFMax, 5, 7, 11} {
			require.Equal(t, whole, read(room), "%.40q in steps of %d", text, room)
		}
	}
}

func TestRecordsOfALongTextStayAsTheyAre(t *testing.T) {
	var text strings.Builder
	var want []numbered
	for i := range 3 * recordBlock / 60 {
		cells := []string{fmt.Sprint(i), strings.Repeat("x", i%97), "", fmt.Sprint(-i)}
		want = append(want, numbered{uint32(i + 1), cells})
		text.WriteString(strings.Join(cells, ";") + "\n")
	}
	got, err := recordsOf(t, text.String())
	require.NoError(t, err)
	require.Equal(t, want, got)
}

func TestCutAt(t *testing.T) {
	for _, comma := range []byte{',', ';', '\t', '|'} {
		for _, text := range []string{"", ",", "a", "a,b", "1234567,", "12345678,", ",,,,,,,,,", "L-0000,1,1,A,ahead,tension,single,U120B,10,1,1,35000", "é,ß;\t|\xac,\x2d+-\x00,\x2c\xac\x2c", "a;b;;;c;12345678;123456789"} {
			require.Equal(t, strings.Split(text, string(comma)), cutAt(comma, text, nil), "%q at %q", text, comma)
		}
	}
}

// FuzzRecords holds the reader against that of the library where the text is as RFC 4180 has it.
func FuzzRecords(f *testing.F) {
	for _, seed := range []string{"a,b,c\n1,2,3\n", "a,\"b\nc\",d\r\n", "\"a\"\"b\",c,\n", "a;b,c\n", "\t\n", "\"", "a,b\r\rc"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := recordsOf(t, text)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		if !utf8.ValidString(text) || zeroEveryOther([]byte(text), 0) || zeroEveryOther([]byte(text), 1) {
			return // the library reads UTF-8 alone
		}
		r, _ := newRecordReader(strings.NewReader(text), textEncoding{})
		if strings.Contains(strings.ReplaceAll(text, "\r\n", ""), "\r") || strings.Contains(text, "\" ") || r.line > 1 || r.comma == '"' {
			return
		}
		library := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\xef\xbb\xbf")))
		library.Comma, library.FieldsPerRecord = rune(r.comma), -1
		for _, record := range got {
			if len(record.cells) == 1 && record.cells[0] == "" {
				continue // the library passes over blank rows
			}
			want, err := library.Read()
			for err == nil && len(want) == 1 && want[0] == "" {
				want, err = library.Read() // but not over an empty cell in quotes
			}
			if err != nil {
				require.NotEqual(t, io.EOF, err)
				return // a quote in an unquoted cell
			}
			line, _ := library.FieldPos(0)
			require.Equal(t, uint32(line), record.number)
			for i, cell := range record.cells {
				require.Equal(t, want[i], strings.ReplaceAll(cell, "\r\n", "\n"))
			}
		}
	})
}
