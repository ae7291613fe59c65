package read

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
)

// What follows reads JSON text where it stands, without building values of it. It takes what RFC 8259 does and, besides,
// the NaN and Infinity that some programs write.

// errUnfinished says that a text ends within a value: more of it may follow.
var errUnfinished = errors.New("the text ends within a value")

// deepestJSON is how many lists and objects may lie in each other.
const deepestJSON = 200

// unexpected is an error at a place of a JSON text.
type unexpected struct {
	at       int
	found    byte
	expected string
}

func (e *unexpected) Error() string {
	return fmt.Sprintf("%q where %s should be", string(rune(e.found)), e.expected)
}

func skipBlanks(text []byte, i int) int {
	for i < len(text) && (text[i] == ' ' || text[i] == '\n' || text[i] == '\r' || text[i] == '\t') {
		i++
	}
	return i
}

// skipValue returns the place behind the value that starts at a place of the text.
func skipValue(text []byte, i, depth int) (int, error) {
	if i >= len(text) {
		return i, errUnfinished
	}
	switch c := text[i]; {
	case c == '"':
		return skipString(text, i)
	case c == '{', c == '[':
		return skipNested(text, i, depth, nil)
	case c == '-' || isDigit(c):
		return skipNumber(text, i)
	default:
		return skipLiteral(text, i)
	}
}

// mostMembers is how many members an object may have of which all are kept; no table has so many columns.
const mostMembers = lastColumn

// skipNested skips an object or a list. The members of an object are added to those given, if any are: all of them, or
// one more than mostMembers.
func skipNested(text []byte, i, depth int, members *[]member) (int, error) {
	if depth == deepestJSON {
		return i, &unexpected{i, text[i], fmt.Sprintf("no more than %d nested values", deepestJSON)}
	}
	object, closing := text[i] == '{', byte(']')
	if object {
		closing = '}'
	}
	i = skipBlanks(text, i+1)
	if i < len(text) && text[i] == closing {
		return i + 1, nil
	}
	for {
		var err error
		var name []byte
		if object {
			if name, i, err = skipName(text, i); err != nil {
				return i, err
			}
		}
		start := i
		if i, err = skipValue(text, i, depth+1); err != nil {
			return i, err
		}
		if object && members != nil && len(*members) <= mostMembers {
			*members = append(*members, member{plainName(name), text[start:i]})
		}
		i = skipBlanks(text, i)
		switch {
		case i >= len(text):
			return i, errUnfinished
		case text[i] == closing:
			return i + 1, nil
		case text[i] != ',':
			return i, &unexpected{i, text[i], "a comma or " + string(closing)}
		}
		i = skipBlanks(text, i+1)
	}
}

// skipName skips the name of a member with its colon and the blanks up to its value. It returns the name in its quotes
// and the place of the value.
func skipName(text []byte, i int) (name []byte, value int, err error) {
	switch {
	case i >= len(text):
		return nil, i, errUnfinished
	case text[i] != '"':
		return nil, i, &unexpected{i, text[i], "a name in quotes"}
	}
	end, err := skipString(text, i)
	if err != nil {
		return nil, end, err
	}
	name = text[i:end]
	switch i = skipBlanks(text, end); {
	case i >= len(text):
		return nil, i, errUnfinished
	case text[i] != ':':
		return nil, i, &unexpected{i, text[i], "a colon"}
	}
	return name, skipBlanks(text, i+1), nil
}

func skipString(text []byte, i int) (int, error) {
	for i++; i < len(text); i++ {
		switch c := text[i]; {
		case c == '"':
			return i + 1, nil
		case c < ' ':
			return i, &unexpected{i, c, "a closing quote"}
		case c != '\\':
		case i+1 == len(text):
			return i, errUnfinished
		default:
			i++
			if bytes.IndexByte([]byte(`"\/bfnrtu`), text[i]) < 0 {
				return i, &unexpected{i, text[i], "an escaped character"}
			}
			for digits := 4; text[i] == 'u' && digits > 0; digits-- {
				at := i + 5 - digits
				if at >= len(text) {
					return at, errUnfinished
				}
				if !isHex(text[at]) {
					return at, &unexpected{at, text[at], "a hexadecimal digit"}
				}
			}
		}
	}
	return i, errUnfinished
}

func isHex(c byte) bool {
	return '0' <= c && c <= '9' || 'a' <= c && c <= 'f' || 'A' <= c && c <= 'F'
}

// skipNumber skips a number. One that ends with the text may go on.
func skipNumber(text []byte, i int) (int, error) {
	if text[i] == '-' {
		i++
		if i < len(text) && (text[i] == 'I' || text[i] == 'N') {
			return skipLiteral(text, i)
		}
	}
	var err error
	if i < len(text) && text[i] == '0' {
		i++
	} else if i, err = skipDigits(text, i); err != nil {
		return i, err
	}
	if i < len(text) && text[i] == '.' {
		if i, err = skipDigits(text, i+1); err != nil {
			return i, err
		}
	}
	if i < len(text) && (text[i] == 'e' || text[i] == 'E') {
		i++
		if i < len(text) && (text[i] == '+' || text[i] == '-') {
			i++
		}
		if i, err = skipDigits(text, i); err != nil {
			return i, err
		}
	}
	if i == len(text) {
		return i, errUnfinished
	}
	return i, nil
}

// skipDigits skips one digit or more.
func skipDigits(text []byte, i int) (int, error) {
	start := i
	for i < len(text) && isDigit(text[i]) {
		i++
	}
	switch {
	case i == len(text):
		return i, errUnfinished
	case i == start:
		return i, &unexpected{i, text[i], "a digit"}
	}
	return i, nil
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

func skipLiteral(text []byte, i int) (int, error) {
	for _, word := range [...]string{"null", "true", "false", "NaN", "Infinity"} {
		if text[i] != word[0] || len(text)-i >= len(word) && string(text[i:i+len(word)]) != word {
			continue
		}
		if len(text)-i < len(word) {
			if string(text[i:]) == word[:len(text)-i] {
				return i, errUnfinished
			}
			continue
		}
		return i + len(word), nil
	}
	return i, &unexpected{i, text[i], "a value"}
}

// member is a member of an object as it stands there.
type member struct {
	name  []byte
	value json.RawMessage
}

// appendMembers takes an object, whose text is known to be sound, apart.
func appendMembers(to []member, object []byte) []member {
	skipNested(object, 0, 0, &to)
	return to
}

// plainName is a name without its quotes.
func plainName(quoted []byte) []byte {
	if bytes.IndexByte(quoted, '\\') < 0 {
		return quoted[1 : len(quoted)-1]
	}
	return []byte(unquoted(quoted))
}

// unquoted is the text of a JSON string.
func unquoted(raw []byte) (text string) {
	if bytes.IndexByte(raw, '\\') < 0 {
		return string(raw[1 : len(raw)-1])
	}
	if json.Unmarshal(raw, &text) != nil {
		return ""
	}
	return text
}

// isNotFinite tells whether a value is one of those that JSON does not have.
func isNotFinite(raw []byte) bool {
	raw = bytes.TrimPrefix(raw, []byte("-"))
	return len(raw) > 0 && (raw[0] == 'N' || raw[0] == 'I')
}

// decimalAt reads the number that starts at a place of a text and returns the place behind it: exactly by one division
// where its digits fit 53 bits and its power of ten is exact (Clinger 1990), else by the library.
func decimalAt[Text string | []byte](text Text, i int) (value float64, end int, ok bool) {
	const mostDigits, exactInteger = 19, 1 << 53
	start := i
	if i < len(text) && text[i] == '-' {
		i++
	}
	var mantissa uint64
	first := i
	for ; i < len(text) && isDigit(text[i]); i++ {
		mantissa = mantissa*10 + uint64(text[i]-'0')
	}
	digits, power := i-first, 0
	if i < len(text) && text[i] == '.' {
		first = i + 1
		for i++; i < len(text) && isDigit(text[i]); i++ {
			mantissa = mantissa*10 + uint64(text[i]-'0')
		}
		power = i - first
		digits += power
	}
	if digits == 0 || digits > mostDigits || mantissa > exactInteger || i < len(text) && isOfNumber(text[i]) {
		for i < len(text) && isOfNumber(text[i]) {
			i++
		}
		if i == start {
			return 0, i, false
		}
		value, err := strconv.ParseFloat(string(text[start:i]), 64)
		return value, i, err == nil
	}
	value = float64(mantissa) / powersOfTen[power]
	if text[start] == '-' {
		value = -value
	}
	return value, i, true
}

// isOfNumber tells whether a character may stand in a number.
func isOfNumber(c byte) bool {
	return isDigit(c) || c == '.' || c == '-' || c == '+' || c == 'e' || c == 'E'
}

var powersOfTen = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19}
