package jsontext

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"math/bits"
)

// errUnfinished says that a text ends within a value: more of it may follow.
var errUnfinished = errors.New("the text ends within a value")

// deepest is how many lists and objects may lie in each other.
const deepest = 200

// UnexpectedError says what stands at a place of a JSON text instead of what was expected.
type UnexpectedError struct {
	at       int
	found    byte
	expected string
}

func (e *UnexpectedError) Error() string {
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
	case c == '[':
		if end := skipPosition(text, i); end > i && depth < deepest {
			return end, nil
		}
		return skipNested(text, i, depth, nil)
	case c == '{':
		return skipNested(text, i, depth, nil)
	case c == '-' || isDigit(c):
		return skipNumber(text, i)
	default:
		return skipLiteral(text, i)
	}
}

// MostMembers is how many members an object may have of which all are kept; no sheet has more columns.
const MostMembers = 1 << 14

// skipNested skips an object or a list. The members of an object are added to those given, if any are.
func skipNested(text []byte, i, depth int, to *taken) (int, error) {
	if depth == deepest {
		return i, &UnexpectedError{i, text[i], fmt.Sprintf("no more than %d nested values", deepest)}
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
		if i, err = to.skip(text, name, i, depth+1); err != nil {
			return i, err
		}
		if object && to != nil && len(to.members) <= MostMembers {
			to.members = append(to.members, Member{plainName(name), text[start:i]})
		}
		i = skipBlanks(text, i)
		switch {
		case i >= len(text):
			return i, errUnfinished
		case text[i] == closing:
			return i + 1, nil
		case text[i] != ',':
			return i, &UnexpectedError{i, text[i], "a comma or " + string(closing)}
		}
		i = skipBlanks(text, i+1)
	}
}

// taken are the members of an object: all of them, or one more than MostMembers. Those of the object that the last of them with a name is are
// taken in the same pass.
type taken struct {
	members []Member
	of      string // in quotes; empty for none
	within  *taken
}

// skip skips the value of a member of an object, or one of a list, which has no name.
func (t *taken) skip(text, name []byte, i, depth int) (int, error) {
	if t == nil || t.of == "" || string(name) != t.of {
		return skipValue(text, i, depth)
	}
	if t.within.members = t.within.members[:0]; i < len(text) && text[i] == '{' {
		return skipNested(text, i, depth, t.within)
	}
	return skipValue(text, i, depth)
}

// skipPosition skips a list of decimal numbers without blanks, as nearly all of what is in a geometry; anything else it leaves, and so
// what is wrong, to skipNested.
func skipPosition(text []byte, i int) int {
	for at := i + 1; ; at++ {
		if charAt(text, at) == '-' {
			at++
		}
		first := at
		at = passDigits(text, at)
		if at == first || at > first+1 && text[first] == '0' {
			return i
		}
		if charAt(text, at) == '.' {
			first = at + 1
			if at = passDigits(text, first); at == first {
				return i
			}
		}
		switch charAt(text, at) {
		case ',':
		case ']':
			return at + 1
		default:
			return i
		}
	}
}

// passDigits passes over the digits that come next, if any do, eight at a time.
func passDigits(text []byte, i int) int {
	for i+8 <= len(text) {
		if others := noDigits(binary.LittleEndian.Uint64(text[i:])); others != 0 {
			return i + bits.TrailingZeros64(others)/8
		}
		i += 8
	}
	for i < len(text) && isDigit(text[i]) {
		i++
	}
	return i
}

const ones = 0x0101010101010101 // in each of eight bytes

// noDigits has the high bit of each of eight bytes that is no digit: of one, less its '0', 9 or less remain, so that the bit stays unset where
// the rest up to it is added.
func noDigits(word uint64) uint64 {
	const low, high = 0x7f7f7f7f7f7f7f7f, 0x8080808080808080
	return ((word^ones*'0')&low + ones*(0x7f-9) | word) & high
}

// skipName skips the name of a member with its colon and the blanks up to its value. It returns the name in its quotes
// and the place of the value.
func skipName(text []byte, i int) (name []byte, value int, err error) {
	switch {
	case i >= len(text):
		return nil, i, errUnfinished
	case text[i] != '"':
		return nil, i, &UnexpectedError{i, text[i], "a name in quotes"}
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
		return nil, i, &UnexpectedError{i, text[i], "a colon"}
	}
	return name, skipBlanks(text, i+1), nil
}

func skipString(text []byte, i int) (int, error) {
	for i = passPlain(text, i+1); i < len(text); i++ {
		switch c := text[i]; {
		case c == '"':
			return i + 1, nil
		case c < ' ':
			return i, &UnexpectedError{i, c, "a closing quote"}
		case c != '\\':
		case i+1 == len(text):
			return i, errUnfinished
		default:
			i++
			if bytes.IndexByte([]byte(`"\/bfnrtu`), text[i]) < 0 {
				return i, &UnexpectedError{i, text[i], "an escaped character"}
			}
			for digits := 4; text[i] == 'u' && digits > 0; digits-- {
				at := i + 5 - digits
				if at >= len(text) {
					return at, errUnfinished
				}
				if !isHex(text[at]) {
					return at, &UnexpectedError{at, text[at], "a hexadecimal digit"}
				}
			}
		}
	}
	return i, errUnfinished
}

// passPlain passes over the characters of a string that come next and stand for themselves, as far as they are eight or more together.
func passPlain(text []byte, i int) int {
	const low, high = 0x7f7f7f7f7f7f7f7f, 0x8080808080808080
	for ; i+8 <= len(text); i += 8 {
		word := binary.LittleEndian.Uint64(text[i:])
		quote, escape := word^ones*'"', word^ones*'\\'
		// the high bit of each byte that is neither of both nor below a space
		plain := (quote&low + low | quote) & (escape&low + low | escape) & (word&low + ones*(0x80-' ') | word)
		if others := ^plain & high; others != 0 {
			return i + bits.TrailingZeros64(others)/8
		}
	}
	return i
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
		return i, &UnexpectedError{i, text[i], "a digit"}
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
	return i, &UnexpectedError{i, text[i], "a value"}
}

// Member is a member of an object as it stands there.
type Member struct {
	Name  []byte
	Value json.RawMessage
}

// AppendMembers takes an object, whose text is known to be sound, apart.
func AppendMembers(to []Member, object []byte) []Member {
	t := taken{members: to}
	skipNested(object, 0, 0, &t)
	return t.members
}

// plainName is a name without its quotes.
func plainName(quoted []byte) []byte {
	if bytes.IndexByte(quoted, '\\') < 0 {
		return quoted[1 : len(quoted)-1]
	}
	return []byte(Unquoted(quoted))
}

// Unquoted is the text of a JSON string.
func Unquoted(raw []byte) string {
	if bytes.IndexByte(raw, '\\') < 0 {
		return string(raw[1 : len(raw)-1])
	}
	return unescaped(raw)
}

// unescaped is the text of a JSON string in which characters are escaped.
func unescaped(raw []byte) (text string) {
	if json.Unmarshal(raw, &text) != nil {
		return ""
	}
	return text
}

// HasNotFinite tells whether a number in a text is one of those that JSON does not have.
func HasNotFinite(raw []byte) bool {
	for i := 0; i < len(raw); i++ {
		switch raw[i] {
		case '"':
			end, err := skipString(raw, i)
			if err != nil {
				return false
			}
			i = end - 1
		case 'N', 'I':
			return true
		}
	}
	return false
}

// IsNotFinite tells whether a value is one of those that JSON does not have.
func IsNotFinite(raw []byte) bool {
	raw = bytes.TrimPrefix(raw, []byte("-"))
	return len(raw) > 0 && (raw[0] == 'N' || raw[0] == 'I')
}
