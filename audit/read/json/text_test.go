package jsontext

import (
	"bytes"
	"encoding/json"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"
)

func TestSkipValue(t *testing.T) {
	for _, text := range []string{`{}`, `[]`, ` [ ] `, `{"a":1}`, `{"a" : [1, -2.5e+3, "x\"y\\", true,false,null] , "b":{}}`, `"é \u00e9\n"`, `[0,0.5,1e5,-0]`, `""`,
		`[{"a":{"b":[[]]}}]`, "\t[\r\n1]"} {
		i := skipBlanks([]byte(text), 0)
		end, err := skipValue([]byte(text), i, 0)
		require.NoError(t, err, text)
		require.Equal(t, len(strings.TrimRight(text, " ")), end, text)
		require.True(t, json.Valid([]byte(text)))
	}
	for text, want := range map[string]string{
		`[1 2]`: `"2" where a comma or ] should be`, `{"a" 1}`: `"1" where a colon should be`, `{a:1}`: `"a" where a name in quotes should be`,
		`[1,]`: `"]" where a value should be`, `[01]`: `"1" where a comma or ] should be`, `[-]`: `"]" where a digit should be`, `[1.]`: `"]" where a digit should be`,
		`["\x"]`: `"x" where an escaped character should be`, "[\"a\nb\"]": `"\n" where a closing quote should be`, `["\u12g4"]`: `"g" where a hexadecimal digit should be`,
		`[nul]`: `"n" where a value should be`, `[+1]`: `"+" where a value should be`, strings.Repeat("[", 200) + "[1.5,2]": `"[" where no more than 200 nested values should be`, `[[1.5,02]]`: `"2" where a comma or ] should be`, `[[1.5,2.]]`: `"]" where a digit should be`,
		strings.Repeat("[", 201): `"[" where no more than 200 nested values should be`,
	} {
		_, err := skipValue([]byte(text), 0, 0)
		require.EqualError(t, err, want, text)
	}
	for _, text := range []string{`{`, `[`, `[1`, `["a`, `{"a`, `{"a"`, `{"a":`, `{"a":1`, `[1,`, `[tr`, `[-`, `[1.`, `[1e`, `"\`, `"\u00`, `[N`, ``} {
		_, err := skipValue([]byte(text), 0, 0)
		require.Equal(t, errUnfinished, err, text)
	}
}

func TestSkipStringOfAnyLength(t *testing.T) {
	for c := range 256 {
		for before := range 20 {
			text := []byte(`"` + strings.Repeat("a", before) + string([]byte{byte(c)}) + strings.Repeat("b", 9) + `"`)
			end, err := skipString(text, 0)
			switch {
			case c == '"':
				require.NoError(t, err)
				require.Equal(t, before+2, end, "%q", text)
			case c < ' ':
				require.Error(t, err, "%q", text)
				require.Equal(t, before+1, end, "%q", text)
			default: // of a backslash b is what it escapes
				require.NoError(t, err)
				require.Equal(t, len(text), end, "%q", text)
			}
		}
	}
}

func TestJSONWindow(t *testing.T) {
	long := `{"x":"` + strings.Repeat("é", block) + `"}`
	text := "\xef\xbb\xbf\x1e" + `{"a":NaN} ` + "\x1e" + long + `[-Infinity, Infinity,-NaN,1]` + `"` + "\u2028" + `"`
	for name, from := range map[string]io.Reader{
		"whole": strings.NewReader(text), "byte by byte": iotest.OneByteReader(strings.NewReader(text)),
		"end with data": iotest.DataErrReader(strings.NewReader(text)),
	} {
		w := NewWindow(from)
		for _, want := range []string{`{"a":NaN}`, long, `[-Infinity, Infinity,-NaN,1]`, `"` + "\u2028" + `"`} {
			value, err := w.Value()
			require.NoError(t, err, name)
			require.Equal(t, want, string(value), name)
		}
		c, err := w.Peek()
		require.NoError(t, err)
		require.Zero(t, c)
	}
	for text, want := range map[string]error{`{"a":`: io.ErrUnexpectedEOF, "\"\xe9\"": ErrNotUTF8, "": io.ErrUnexpectedEOF, "\xef\xbb": nil} {
		_, err := NewWindow(strings.NewReader(text)).Value()
		require.Error(t, err, text)
		if want != nil {
			require.Equal(t, want, err, text)
		}
	}
	_, err := NewWindow(iotest.ErrReader(io.ErrNoProgress)).Value()
	require.Equal(t, io.ErrNoProgress, err)
}

func TestAppendMembers(t *testing.T) {
	members := AppendMembers(nil, []byte(`{ "a" : 1 , "b":"x,}" ,"c":{"a":[2]},"\u0064":null}`))
	var got []string
	for _, m := range members {
		got = append(got, string(m.Name)+"="+string(m.Value))
	}
	require.Equal(t, []string{"a=1", `b="x,}"`, `c={"a":[2]}`, "d=null"}, got)
	require.Empty(t, AppendMembers(nil, []byte(`{ }`)))
}

// collection is GeoJSON as programs write it.
const collection = `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"line":"L1","structure":"1","sequence":1,"ground_m":100.5},"geometry":{"type":"Point","coordinates":[10,50]}},
{"type":"Feature","properties":{"class":null,"label":"works"},"geometry":{"type":"Polygon","coordinates":[[[9,49],[11,49],[11,51],[9,49]]]}}
]}`

// FuzzSkipValue holds the reader of JSON text against that of the library.
func FuzzSkipValue(f *testing.F) {
	for _, seed := range []string{collection, `[1,{"a":"\ud800"}]`, `{"a":tru}`, "[1e5,01]", "[\"\x01\"]", "[[-1.25,48.1234567],[0,-0.5]]", "[[1.,2]]", "[[1,2] ]", "[[1,2e5]]", "[[12345678901234567890.5,-]]", "{}x", `"\`, "[1"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		i := skipBlanks(text, 0)
		end, err := skipValue(text, i, 0)
		if bytes.ContainsAny(text, "NI") || bytes.Count(text, []byte("["))+bytes.Count(text, []byte("{")) >= deepest {
			return // more is taken, or less
		}
		alone := len(bytes.TrimRight(text, " \n\r\t")) == end
		if lone := bytes.TrimSpace(text); err == errUnfinished && len(lone) > 0 && json.Valid(lone) {
			require.True(t, lone[0] == '-' || '0' <= lone[0] && lone[0] <= '9', "only a number may go on: %q", text)
			return
		}
		require.Equal(t, json.Valid(text), err == nil && alone, "%q", text)
		if err == nil && text[i] == '{' {
			var want map[string]json.RawMessage
			require.NoError(t, json.Unmarshal(text[i:end], &want))
			got := map[string]string{}
			for _, m := range AppendMembers(nil, text[i:end]) {
				got[string(bytes.ToValidUTF8(m.Name, []byte("\ufffd")))] = string(m.Value)
			}
			if bytes.Equal(text, bytes.ToValidUTF8(text, nil)) {
				require.Len(t, got, len(want))
				for name, value := range want {
					require.Equal(t, string(value), got[name])
				}
			}
		}
	})
}
