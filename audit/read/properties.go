package read

import (
	"bytes"
	"encoding/json"
	"strconv"
	"strings"

	jsontext "dryarc/audit/read/json"
)

// propertyText returns a property as text, a number without needless decimals: 7.0 is "7". Null and a property that
// is not there are empty; ok is false for a list or an object.
func propertyText(raw json.RawMessage) (text string, ok bool) {
	switch {
	case len(raw) == 0 || string(raw) == "null" || jsontext.IsNotFinite(raw):
		return "", true
	case raw[0] == '"':
		return Composed(strings.TrimSpace(jsontext.Unquoted(raw))), true
	case raw[0] == '[' || raw[0] == '{':
		return string(raw), false
	case bytes.ContainsAny(raw, ".eE") && raw[0] != 't' && raw[0] != 'f':
		value, err := strconv.ParseFloat(string(raw), 64)
		if err != nil {
			return string(raw), false
		}
		return strconv.FormatFloat(value, 'f', -1, 64), true
	}
	return string(raw), true
}

// propertyNumber returns a property that is a number, or a text that is one; ok is false for anything else, given for
// anything but blanks.
func propertyNumber(raw json.RawMessage) (value float64, ok, given bool) {
	if value, end, ok := jsontext.DecimalAt([]byte(raw), 0); ok && end == len(raw) {
		return value, true, true
	}
	text, isText := propertyText(raw)
	value, ok = parseNumber(text)
	return value, ok && isText, text != ""
}

// propertyTexts returns a property that may be one text or a list of them.
func propertyTexts(raw json.RawMessage) (texts []string, ok bool) {
	if len(raw) == 0 || raw[0] != '[' {
		text, ok := propertyText(raw)
		return []string{text}, ok
	}
	var list []json.RawMessage
	if json.Unmarshal(raw, &list) != nil {
		return []string{string(raw)}, false
	}
	for _, entry := range list {
		text, ok := propertyText(entry)
		if !ok {
			return []string{string(raw)}, false
		}
		texts = append(texts, text)
	}
	if len(texts) == 0 {
		texts = []string{""}
	}
	return texts, true
}
