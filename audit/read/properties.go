package read

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
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
	taken  int  // names that have been taken to the wanted properties
	cut    bool // there are more names

	missing []string          // which no feature has
	why     map[string]string // what else is done with a property
}

// mostNames is how many names of properties are told.
const mostNames = 1000

// wantedProperty is a property by its key in the project file.
type wantedProperty struct {
	key      string
	property property
	or       *property // does as well
	required bool
	synonyms []string  // what else it may be called
	to       *property // which the reader looks at; of each file the property, or the synonym that it has
	others   []string  // of several names that stand for it all but the first
	seen     bool      // itself or the other
	itself   bool
}

// of makes the reader look at what a file calls the property.
func (w wantedProperty) of(to *property, synonyms ...string) wantedProperty {
	w.property, w.to, w.synonyms = *to, to, synonyms
	return w
}

// take looks at the name of a property that an input has; it may be a synonym of the one that is wanted. The name that is
// looked for, where the input has it from the first, is surer than any synonym.
func (w *wantedProperty) take(name string, own bool) {
	if w.property.stated || name == w.to.name {
		return
	}
	in, is := w.calls(name)
	switch {
	case !is || own && w.to.name == w.property.name:
	case w.to.name != w.property.name:
		w.others = append(w.others, name)
	default:
		w.to.name, w.to.in = name, in
	}
}

// calls tells whether a name is one for the property, and the unit that it names. Case, blanks and marks do not matter.
func (w *wantedProperty) calls(name string) (unitOfMeasure, bool) {
	outside, unit := inBrackets(name)
	key := headingKey(outside)
	for _, known := range append([]string{w.property.name}, w.synonyms...) {
		if known = headingKey(known); key == known {
			in, problem := unitOf(name, w.property.measure, unit)
			return withoutName(in, unit), problem == ""
		}
		if m := w.property.measure; m != nil && strings.HasPrefix(key, known) {
			for _, in := range m.units {
				if slices.ContainsFunc(in.names, func(unit string) bool { return key == known+headingKey(unit) }) {
					return in, true
				}
			}
		}
	}
	return unitOfMeasure{}, false
}

// withoutName is a unit that nobody stated where unit is blank.
func withoutName(in unitOfMeasure, unit string) unitOfMeasure {
	if unit == "" {
		return unitOfMeasure{factor: 1}
	}
	return in
}

// newPropertyCount starts counting for one file.
func newPropertyCount(wanted []wantedProperty) propertyCount {
	c := propertyCount{wanted: slices.Clone(wanted), known: map[string]bool{}}
	for i := range c.wanted {
		w := &c.wanted[i]
		if w.to == nil {
			w.to = &w.property
		} else {
			*w.to = w.property
		}
	}
	return c
}

// note counts a feature. What it calls the properties is known behind it.
func (c *propertyCount) note(f *feature) {
	const enough = 1000
	if c.looked++; c.looked <= enough {
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
		for ; c.taken < len(c.names); c.taken++ {
			for i := range c.wanted {
				c.wanted[i].take(c.names[c.taken], c.known[c.wanted[i].property.name])
			}
		}
	}
	for i := range c.wanted {
		if w := &c.wanted[i]; !w.itself {
			w.itself = f.property(w.to.name) != nil
			w.seen = w.seen || w.itself || w.or != nil && f.property(w.or.name) != nil
		}
	}
}

// check refuses an input none of whose features has a required property, or one that the project file names.
func (c *propertyCount) check(file, section string) error {
	slices.Sort(c.names)
	var trouble problems
	for i := range c.wanted {
		w := &c.wanted[i]
		if w.required && len(w.others) > 0 && w.itself {
			trouble.add(&InputError{File: file,
				Message: fmt.Sprintf("the properties %s all stand for the %s, expected one", quotedList(append([]string{w.to.name}, w.others...)), w.key),
				Hint:    fmt.Sprintf("say which under %s in the project file: properties: {%s: %q}", section, w.key, w.to.name)})
		}
		if w.seen || !w.required && !w.property.stated || c.looked == 0 {
			continue
		}
		there := "its features have no properties"
		if len(c.names) > 0 {
			there = "the properties there are " + quotedList(c.names)
		}
		hint := fmt.Sprintf("name the property under %s in the project file: properties: {%s: …}", section, w.key)
		if close := near(w.property.name, c.names); close != "" {
			hint = fmt.Sprintf("if %q is meant, write under %s in the project file: properties: {%s: %q}", close, section, w.key, close)
		}
		trouble.add(&InputError{File: file, Message: fmt.Sprintf("no feature has the property %q; %s", w.property.name, there), Hint: hint})
		c.missing = append(c.missing, w.property.name)
	}
	return trouble.err()
}

// account tells which properties are used and which are not.
func (c *propertyCount) account() (columns []UnderstoodColumn, ignored []IgnoredColumn) {
	used, why := map[string]bool{}, maps.Clone(c.why)
	if why == nil {
		why = map[string]string{}
	}
	var open []string
	for _, w := range c.wanted {
		if !w.itself {
			open = append(open, w.key)
			continue
		}
		used[w.to.name] = true
		u := UnderstoodColumn{Written: w.to.name, For: w.key}
		if m := w.property.measure; m != nil {
			u.From, u.Kept = m.name, m.name
			if len(w.to.in.names) > 0 {
				u.From = w.to.in.names[0]
			}
		}
		columns = append(columns, u)
		for _, other := range w.others {
			why[other] = fmt.Sprintf("%q stands for %s", w.to.name, w.key)
		}
	}
	slices.Sort(c.names)
	for _, name := range c.names {
		if !used[name] {
			ignored = append(ignored, IgnoredColumn{name, cmp.Or(why[name], resembles(name, open))})
		}
	}
	return columns, ignored
}
