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
		return skipNested(text, i, depth)
	case c == '-', '0' <= c && c <= '9':
		return skipNumber(text, i)
	default:
		return skipLiteral(text, i)
	}
}

// skipNested skips an object or a list.
func skipNested(text []byte, i, depth int) (int, error) {
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
		if object {
			if i, err = skipName(text, i); err != nil {
				return i, err
			}
		}
		if i, err = skipValue(text, i, depth+1); err != nil {
			return i, err
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

// skipName skips the name of a member with its colon and the blanks up to its value.
func skipName(text []byte, i int) (int, error) {
	switch {
	case i >= len(text):
		return i, errUnfinished
	case text[i] != '"':
		return i, &unexpected{i, text[i], "a name in quotes"}
	}
	i, err := skipString(text, i)
	if err != nil {
		return i, err
	}
	switch i = skipBlanks(text, i); {
	case i >= len(text):
		return i, errUnfinished
	case text[i] != ':':
		return i, &unexpected{i, text[i], "a colon"}
	}
	return skipBlanks(text, i+1), nil
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
	digits := func() error {
		start := i
		for i < len(text) && '0' <= text[i] && text[i] <= '9' {
			i++
		}
		switch {
		case i == len(text):
			return errUnfinished
		case i == start:
			return &unexpected{i, text[i], "a digit"}
		}
		return nil
	}
	if i < len(text) && text[i] == '0' {
		i++
	} else if err := digits(); err != nil {
		return i, err
	}
	if i < len(text) && text[i] == '.' {
		i++
		if err := digits(); err != nil {
			return i, err
		}
	}
	if i < len(text) && (text[i] == 'e' || text[i] == 'E') {
		i++
		if i < len(text) && (text[i] == '+' || text[i] == '-') {
			i++
		}
		if err := digits(); err != nil {
			return i, err
		}
	}
	if i == len(text) {
		return i, errUnfinished
	}
	return i, nil
}

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
	i := skipBlanks(object, 1)
	for i < len(object) && object[i] == '"' {
		end, _ := skipString(object, i)
		name := object[i+1 : end-1]
		if bytes.IndexByte(name, '\\') >= 0 {
			name = []byte(unquoted(object[i:end]))
		}
		i = skipBlanks(object, skipBlanks(object, end)+1)
		end, _ = skipValue(object, i, 0)
		to = append(to, member{name, object[i:end]})
		i = skipBlanks(object, skipBlanks(object, end)+1)
	}
	return to
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

// parsePosition reads [longitude, latitude] or [longitude, latitude, height]; ok is false for anything else.
func parsePosition(raw []byte) (position [3]float64, count int, ok bool) {
	if len(raw) == 0 || raw[0] != '[' {
		return position, 0, false
	}
	for i := 1; count < len(position); {
		i = skipBlanks(raw, i)
		end := i
		for end < len(raw) && (raw[end] == '-' || raw[end] == '+' || raw[end] == '.' || raw[end] == 'e' || raw[end] == 'E' || '0' <= raw[end] && raw[end] <= '9') {
			end++
		}
		if position[count], ok = parseDecimal(raw[i:end]); !ok {
			return position, 0, false
		}
		count++
		switch i = skipBlanks(raw, end); {
		case i < len(raw) && raw[i] == ',':
			i++
		case i == len(raw)-1 && raw[i] == ']':
			return position, count, count > 1
		default:
			return position, 0, false
		}
	}
	return position, 0, false
}

// parseDecimal reads a number: exactly by one multiplication where its digits fit 53 bits and its power of ten is exact
// (Clinger 1990), else by the library.
func parseDecimal(text []byte) (float64, bool) {
	const mostDigits, exactPower = 15, 22
	var mantissa uint64
	digits, power, i := 0, 0, 0
	negative := len(text) > 0 && text[0] == '-'
	if negative {
		i++
	}
	point := false
	for ; i < len(text); i++ {
		switch c := text[i]; {
		case '0' <= c && c <= '9':
			mantissa = mantissa*10 + uint64(c-'0')
			if digits++; point {
				power++
			}
		case c == '.' && !point:
			point = true
		default:
			return parseSlowly(text)
		}
		if digits > mostDigits {
			return parseSlowly(text)
		}
	}
	if digits == 0 || power > exactPower {
		return parseSlowly(text)
	}
	value := float64(mantissa) / powersOfTen[power]
	if negative {
		value = -value
	}
	return value, true
}

func parseSlowly(text []byte) (float64, bool) {
	value, err := strconv.ParseFloat(string(text), 64)
	return value, err == nil
}

var powersOfTen = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}
