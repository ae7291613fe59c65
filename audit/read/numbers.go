package read

import (
	"math"
	"strconv"
	"strings"

	jsontext "dryarc/audit/read/json"
)

// exactDigits is how many digits a whole number may have that is exact.
const exactDigits = 15

// parseNumber reads a decimal number: digits, one point, a sign, an exponent; nothing else that Go would accept.
func parseNumber(text string) (float64, bool) {
	if len(text) <= exactDigits && text != "" {
		n, digits := 0, 0
		for digits < len(text) && '0' <= text[digits] && text[digits] <= '9' {
			n = 10*n + int(text[digits]-'0')
			digits++
		}
		if digits == len(text) {
			return float64(n), true
		}
	}
	value, end, ok := jsontext.DecimalAt(text, 0)
	return value, ok && end == len(text) && !math.IsInf(value, 0)
}

// tidyNumber returns a text as people see it in a spreadsheet, which stores 1.1 as 1.1000000000000001 and shows
// 15 digits. Other texts are returned as they are, those of 16 digits before the point too, which such a store would not tell apart.
func tidyNumber(text string) string {
	const stored = 16 // characters that a number with more than 15 digits and a point has at least
	if len(text) <= stored || strings.IndexByte(text, '.') < 0 {
		return text
	}
	value, ok := parseNumber(text)
	if !ok || math.Abs(value) >= 1e15 {
		return text
	}
	shown, err := strconv.ParseFloat(strconv.FormatFloat(value, 'g', 15, 64), 64)
	if err != nil {
		return text
	}
	return strconv.FormatFloat(shown, 'f', -1, 64)
}
