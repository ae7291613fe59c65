package read

import (
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
	"unicode/utf16"

	"github.com/stretchr/testify/require"
)

// wide is a text in UTF-16.
func wide(text string, bigEndian bool) string {
	var out []byte
	for _, unit := range utf16.Encode([]rune(text)) {
		if bigEndian {
			out = append(out, byte(unit>>8), byte(unit))
		} else {
			out = append(out, byte(unit), byte(unit>>8))
		}
	}
	return string(out)
}

func TestTextsOfEveryEncoding(t *testing.T) {
	const plain = "Line;Remarks\nL1;Räder – €5 𝛀\n"
	const narrow = "Line;Remarks\nL1;R\xe4der \x96 \x805\n"
	long := strings.Repeat("L1;plain\n", 20_000)
	for name, c := range map[string]struct{ text, want, note, guessed string }{
		"UTF-8":                {plain, plain, "", ""},
		"empty":                {"", "", "", ""},
		"mark":                 {byteOrderMark + plain, byteOrderMark + plain, "", ""},
		"Windows-1252":         {narrow, "Line;Remarks\nL1;Räder – €5\n", "text in Windows-1252, since it is not in UTF-8 and nothing says in what it is", "Windows-1252"},
		"late Windows-1252":    {long + narrow, long + "Line;Remarks\nL1;Räder – €5\n", "text in Windows-1252, since it is not in UTF-8 and nothing says in what it is", "Windows-1252"},
		"its last byte":        {"L1;S\xfc", "L1;Sü", "text in Windows-1252, since it is not in UTF-8 and nothing says in what it is", "Windows-1252"},
		"late UTF-8":           {long + plain, long + plain, "", ""},
		"both":                 {plain + "\xe4", plain + "\xe4", "", ""},
		"UTF-16 with mark":     {"\xff\xfe" + wide(long+plain, false), long + plain, "text in UTF-16, as its byte order mark says", ""},
		"UTF-16 the other way": {"\xfe\xff" + wide(plain, true), plain, "text in UTF-16, as its byte order mark says", ""},
		"UTF-16 without":       {wide(long+plain, false), long + plain, "text in UTF-16, since every other byte is zero", ""},
		"the other way":        {wide(plain, true), plain, "text in UTF-16, since every other byte is zero", ""},
		"a zero byte":          {"L1;\x00\x00x;abcdef", "L1;\x00\x00x;abcdef", "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			for _, in := range []io.Reader{strings.NewReader(c.text), iotest.OneByteReader(strings.NewReader(c.text)), iotest.DataErrReader(strings.NewReader(c.text))} {
				text := newTextReader(in, textEncoding{})
				got, err := io.ReadAll(text)
				require.NoError(t, err)
				require.Equal(t, c.want, string(got))
				require.Equal(t, c.note, strings.Join(text.notes(), "; "))
				require.Equal(t, c.guessed, text.guessed())
			}
		})
	}
}

func TestTextsOfNoEncoding(t *testing.T) {
	long := strings.Repeat("L1;plain\n", 20_000)
	for text, want := range map[string]string{
		"a\nb\n\xe4\nx\x8dy":                        "line 4 has the byte 0x8D, which neither UTF-8 nor Windows-1252 has there",
		"a\rb\r\xe4\rx\x9dy":                        "line 4 has the byte 0x9D, which neither UTF-8 nor Windows-1252 has there",
		long + "\xe4\n\x90":                         "line 20002 has the byte 0x90, which neither UTF-8 nor Windows-1252 has there",
		"\xe4\nü\n":                                 "line 2 is in UTF-8, but not all of the lines above are",
		"\xe4\nü":                                   "line 2 is in UTF-8, but not all of the lines above are",
		"\xff\xfe" + wide("a\nb", false) + "x":      "line 2 is not in UTF-16, in which the file starts",
		"\xff\xfe" + wide(long, false) + "\x00\xdc": "line 20001 is not in UTF-16, in which the file starts",
	} {
		for _, in := range []io.Reader{strings.NewReader(text), iotest.OneByteReader(strings.NewReader(text))} {
			_, err := io.ReadAll(newTextReader(in, textEncoding{}))
			require.EqualError(t, err, want)
		}
	}
	gone := errors.New("the disk is gone")
	for _, start := range []string{"a,b\n", "\xe4\n", "\xff\xfea\x00"} {
		_, err := io.ReadAll(newTextReader(io.MultiReader(strings.NewReader(start), iotest.ErrReader(gone)), textEncoding{}))
		require.ErrorIs(t, err, gone)
	}
}

// What the text of an input was taken for is an assumption, of a layer as of the register.
func TestGuessedEncodings(t *testing.T) {
	b := newBase()
	b.structures = strings.Replace(b.structures, `"line":"L1"`, "\"remarks\":\"R\xe4der\",\"line\":\"L1\"", 1)
	p, _, err := Understood(context.Background(), b.write(t))
	require.NoError(t, err)
	require.Equal(t, "Windows-1252", p.Inputs[0].Encoding)
	for _, in := range p.Inputs[1:] {
		require.Empty(t, in.Encoding)
	}
}

// FuzzText holds a text to be handed out as it stands where it is in UTF-8, and as UTF-8 in any case but damage.
func FuzzText(f *testing.F) {
	for _, seed := range []string{"a,b\n", "R\xe4der", "\xff\xfea\x00", "ü\xfc", byteOrderMark + "x"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		whole, wholeErr := io.ReadAll(newTextReader(strings.NewReader(text), textEncoding{}))
		bytewise, err := io.ReadAll(newTextReader(iotest.OneByteReader(strings.NewReader(text)), textEncoding{}))
		if wholeErr != nil {
			require.Error(t, err)
			return
		}
		require.NoError(t, err)
		require.Equal(t, string(whole), string(bytewise))
	})
}
