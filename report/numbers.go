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
	if n, ok := timesTen(x, digits); ok {
		return appendFixed(b, x < 0, n, digits)
	}
	return strconv.AppendFloat(b, x, 'f', digits, 64)
}

// timesTen is the size of a figure times a power of ten, rounded to a whole number of no more than 15 digits; ok is false where there are more, or where
// the product is half way between two, to which it may be rounded itself. On one side of half way it is never rounded to the other.
func timesTen(x float64, digits int) (n uint64, ok bool) {
	const most = 1 << 49
	if digits < 0 || digits >= len(powersOfTen) {
		return 0, false
	}
	product := float64(math.Abs(x) * float64(powersOfTen[digits])) // rounded, and not fused with what follows
	whole := math.Floor(product)
	if !(product < most) || product-whole == 0.5 {
		return 0, false
	}
	if n = uint64(whole); product-whole > 0.5 {
		n++
	}
	return n, true
}

var powersOfTen = [...]uint64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10}

// appendFixed appends a whole number divided by a power of ten, in a fraction of the time that strconv takes for any figure.
func appendFixed(b []byte, negative bool, n uint64, digits int) []byte {
	if negative {
		b = append(b, '-')
	}
	b = strconv.AppendUint(b, n/powersOfTen[digits], 10)
	if digits == 0 {
		return b
	}
	n %= powersOfTen[digits]
	b = append(append(b, '.'), "0000000000"[:digits]...)
	for i := len(b) - 1; n > 0; i-- {
		b[i] = byte('0' + n%10)
		n /= 10
	}
	return b
}

// appendNumber appends a known number as short as it can be read back the same.
func appendNumber(b []byte, x float64) []byte {
	if size := math.Abs(x); size != 0 && (size < 1e-6 || size >= 1e21) {
		raw, _ := json.Marshal(x) // with an exponent, which is rare
		return append(b, raw...)
	}
	return appendShortest(b, x)
}

// appendShortest appends a known number as short as it can be read back the same, never with an exponent.
func appendShortest(b []byte, x float64) []byte {
	const digits = 7 // as positions mostly have
	n, ok := timesTen(x, digits)
	if !ok || float64(n)/1e7 != math.Abs(x) || x == 0 && math.Signbit(x) {
		return strconv.AppendFloat(b, x, 'f', -1, 64)
	}
	// No two decimals of up to 15 digits are the same number (IEEE 754), and this one has no more, so that none is shorter.
	b = appendFixed(b, x < 0, n, digits)
	for b[len(b)-1] == '0' {
		b = b[:len(b)-1]
	}
	return bytes.TrimSuffix(b, []byte{'.'})
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
