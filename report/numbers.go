package report

import (
	"encoding/json"
	"math"
	"strconv"

	"dryarc/audit"
)

// The numbers of the JSON outputs. An unknown one is null.
type (
	number  float64 // as short as it can be read back the same
	metres  float64 // four decimals; also kilometres
	degrees float64 // ten decimals
)

func (n number) MarshalJSON() ([]byte, error) {
	if unknown(float64(n)) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(n))
}

func (m metres) MarshalJSON() ([]byte, error) { return decimals(float64(m), 4), nil }

func (d degrees) MarshalJSON() ([]byte, error) { return decimals(float64(d), 10), nil }

func decimals(x float64, digits int) []byte {
	if unknown(x) {
		return []byte("null")
	}
	if math.Abs(x) < 0.5*math.Pow10(-digits) {
		x = 0 // never −0.0000
	}
	return strconv.AppendFloat(nil, x, 'f', digits, 64)
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

// word is a text of a vocabulary; the empty one is null.
type word string

func (w word) MarshalJSON() ([]byte, error) {
	if w == "" {
		return []byte("null"), nil
	}
	return json.Marshal(string(w))
}
