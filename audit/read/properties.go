package read

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
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
		return strings.TrimSpace(jsontext.Unquoted(raw)), true
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

// propertyCount notes which of the wanted properties the features of an input have, to find a name that is wrong.
type propertyCount struct {
	wanted []wantedProperty
	names  []string // of the first features
	known  map[string]bool
	looked int
	cut    bool // there are more names
}

// mostNames is how many names of properties are told.
const mostNames = 1000

// wantedProperty is a property by its key in the project file.
type wantedProperty struct {
	key      string
	property property
	or       property // does as well, if it has a name
	required bool
	seen     bool // itself or the other
	itself   bool
}

// newPropertyCount starts counting for one file.
func newPropertyCount(wanted []wantedProperty) propertyCount {
	return propertyCount{wanted: slices.Clone(wanted), known: map[string]bool{}}
}

// note counts a feature.
func (c *propertyCount) note(f *feature) {
	for i := range c.wanted {
		if w := &c.wanted[i]; !w.itself {
			w.itself = f.property(w.property.name) != nil
			w.seen = w.seen || w.itself || w.or.name != "" && f.property(w.or.name) != nil
		}
	}
	const enough = 1000
	if c.looked++; c.looked > enough {
		return
	}
	for _, m := range f.members {
		switch {
		case c.known[string(m.Name)]:
		case len(c.names) == mostNames:
			c.cut = true
		default:
			name := string(m.Name)
			c.known[name] = true
			c.names = append(c.names, name)
		}
	}
}

// check refuses an input none of whose features has a required property, or one that the project file names.
func (c *propertyCount) check(file, section string) error {
	slices.Sort(c.names)
	for _, w := range c.wanted {
		if w.seen || !w.required && !w.property.stated || c.looked == 0 {
			continue
		}
		there := "its features have no properties"
		if len(c.names) > 0 {
			there = "the properties there are " + quotedList(c.names)
		}
		candidate := near(w.property.name, c.names)
		if candidate == "" {
			candidate = "…"
		}
		return &InputError{File: file,
			Message: fmt.Sprintf("no feature has the property %q; %s", w.property.name, there),
			Hint:    fmt.Sprintf("name the property under %s in the project file: properties: {%s: %s}", section, w.key, candidate)}
	}
	return nil
}

// account tells which properties are used and which are not.
func (c *propertyCount) account() (columns []UnderstoodColumn, ignored []IgnoredColumn) {
	used := map[string]bool{}
	var open []string
	for _, w := range c.wanted {
		if !w.itself {
			open = append(open, w.key)
			continue
		}
		used[w.property.name] = true
		u := UnderstoodColumn{Written: w.property.name, For: w.key}
		if m := w.property.measure; m != nil {
			u.From, u.Kept = m.name, m.name
			if len(w.property.in.names) > 0 {
				u.From = w.property.in.names[0]
			}
		}
		columns = append(columns, u)
	}
	slices.Sort(c.names)
	for _, name := range c.names {
		if !used[name] {
			ignored = append(ignored, IgnoredColumn{name, resembles(name, open)})
		}
	}
	return columns, ignored
}
