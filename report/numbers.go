package report

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"dryarc/audit"
)

// The numbers of the JSON outputs. An unknown one is null.
type (
	number  float64 // as short as it can be read back the same
	metres  float64 // also kilometres
	degrees float64
)

// The decimals of the outputs.
const metresDecimals, degreesDecimals = 4, 10

func (n number) MarshalJSON() ([]byte, error) {
	if unknown(float64(n)) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(n))
}

func (n number) appendJSON(b []byte) []byte {
	if unknown(float64(n)) {
		return append(b, "null"...)
	}
	return appendNumber(b, float64(n))
}

func (m metres) MarshalJSON() ([]byte, error) { return m.appendJSON(nil), nil }

func (d degrees) MarshalJSON() ([]byte, error) { return d.appendJSON(nil), nil }

func (m metres) appendJSON(b []byte) []byte { return appendDecimals(b, float64(m), metresDecimals) }

func (d degrees) appendJSON(b []byte) []byte { return appendDecimals(b, float64(d), degreesDecimals) }

func appendDecimals(b []byte, x float64, digits int) []byte {
	if unknown(x) {
		return append(b, "null"...)
	}
	if math.Abs(x) < 0.5*math.Pow10(-digits) {
		x = 0 // never −0.0000
	}
	return strconv.AppendFloat(b, x, 'f', digits, 64)
}

// appendNumber appends a known number as short as it can be read back the same.
func appendNumber(b []byte, x float64) []byte {
	if size := math.Abs(x); size != 0 && (size < 1e-6 || size >= 1e21) {
		raw, _ := json.Marshal(x) // with an exponent, which is rare
		return append(b, raw...)
	}
	return strconv.AppendFloat(b, x, 'f', -1, 64)
}

func unknown(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) }

// figure is an observed or required value: a number, a word, or null.
type figure audit.Value

func (f figure) MarshalJSON() ([]byte, error) {
	switch {
	case f.Word != "":
		return json.Marshal(f.Word)
	default:
		return number(f.Number).MarshalJSON()
	}
}

func (f figure) appendJSON(b []byte) []byte {
	if f.Word != "" {
		return appendValue(b, f)
	}
	return number(f.Number).appendJSON(b)
}

// appendValue appends what encoding/json writes of a value without escapes for HTML.
func appendValue(b []byte, value any) []byte {
	b, _ = appendEncoded(b, value) // of kinds that are always written
	return b
}

// appendEncoded is appendValue of a value of any kind.
func appendEncoded(b []byte, value any) ([]byte, error) {
	out := bytes.NewBuffer(b)
	encoder := json.NewEncoder(out)
	encoder.SetEscapeHTML(false)
	err := encoder.Encode(value)
	return bytes.TrimSuffix(out.Bytes(), []byte("\n")), err
}

// word is a text of a vocabulary; the empty one is null.
type word string

func (w word) MarshalJSON() ([]byte, error) { return w.appendJSON(nil), nil }

func (w word) appendJSON(b []byte) []byte {
	if w == "" {
		return append(b, "null"...)
	}
	return appendText(b, string(w))
}

// appendText appends a text in quotes. What must be escaped, or might be, encoding/json writes.
func appendText(b []byte, text string) []byte {
	ascii := true
	for i := range len(text) {
		c := text[i]
		if c < ' ' || c == '"' || c == '\\' {
			return appendValue(b, text)
		}
		ascii = ascii && c < utf8.RuneSelf
	}
	if !ascii && (!utf8.ValidString(text) || strings.Contains(text, "\u2028") || strings.Contains(text, "\u2029")) {
		return appendValue(b, text)
	}
	b = append(b, '"')
	b = append(b, text...)
	return append(b, '"')
}
