package read

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
)

// check refuses an input none of whose features has a required property, or one that the project file names.
func (c *propertyNames) check(file, section string) error {
	slices.Sort(c.names)
	var trouble problems
	trouble.add(c.checkCut(file, section))
	for i := range c.wanted {
		w, twice := &c.wanted[i], c.slots[i].twice
		if len(twice) > 0 {
			trouble.add(&InputError{File: file,
				Message: fmt.Sprintf("the properties %s all stand for the %s, expected one", quotedList(twice), w.key),
				Hint:    fmt.Sprintf("say which under %s in the project file: properties: {%s: %q}", section, w.key, twice[0])})
		}
		if c.isThere(i) || c.hasOther(w) || !w.required && !w.property.stated || c.looked == 0 {
			continue
		}
		there := "its features have no properties"
		if len(c.names) > 0 {
			there = "the properties there are " + quotedList(c.names)
		}
		hint := fmt.Sprintf("name the property under %s in the project file: properties: {%s: …}", section, w.key)
		if section == "structures" && w.key == "line" {
			name := "…"
			if w.property.stated {
				name = strconv.Quote(w.property.name)
			}
			hint += fmt.Sprintf("; where all of it is one line that no property names, write fixed: {line: %s} instead", name)
		}
		if close := near(w.property.name, c.names); close != "" {
			hint = fmt.Sprintf("if %q is meant, write under %s in the project file: properties: {%s: %q}", close, section, w.key, close)
		}
		trouble.add(&InputError{File: file, Message: fmt.Sprintf("no feature has the property %q; %s", w.property.name, there), Hint: hint})
		c.missing = append(c.missing, w.property.name)
	}
	return trouble.err()
}

// account tells which properties are used and which are not.
func (c *propertyNames) account() (columns []UnderstoodColumn, ignored []IgnoredColumn) {
	used, why := map[string]bool{}, maps.Clone(c.why)
	var open []string
	for i, w := range c.wanted {
		if !c.isThere(i) {
			open = append(open, w.key)
			continue
		}
		first := ""
		for _, s := range c.slots[i].used {
			if !s.used {
				continue
			}
			if s.in.isUnread() {
				continue
			}
			first = cmp.Or(first, s.name)
			used[s.name] = true
			u := UnderstoodColumn{Written: s.name, For: w.key}
			if m := w.property.measure; m != nil {
				u.From, u.Kept = m.name, m.name
				if len(s.in.names) > 0 {
					u.From = s.in.names[0]
				}
			}
			columns = append(columns, u)
		}
		for _, s := range c.slots[i].used {
			if !s.used {
				why[s.name] = fmt.Sprintf("%q stands for %s", first, w.key)
			}
		}
	}
	slices.Sort(c.names)
	for _, name := range c.names {
		if !used[name] {
			ignored = append(ignored, ignoredColumn(name, why[name], open))
		}
	}
	return columns, ignored
}

// hasOther tells whether any feature has what does as well as a wanted property.
func (c *propertyNames) hasOther(w *wantedProperty) bool {
	at := slices.IndexFunc(c.wanted, func(other wantedProperty) bool { return w.or != nil && other.to == w.or })
	return at >= 0 && c.isThere(at)
}

// assumed tells what the result rests on that nobody stated: that a name which is not quite a known one is none, and that one which
// the format has cut is what it is taken for.
func (c *propertyNames) assumed(file string) (texts []string) {
	for _, cut := range c.shortened {
		texts = append(texts, fmt.Sprintf("Of the properties of %s %s.", file, cut))
	}
	const most = 20
	_, ignored := c.account()
	for _, i := range ignored {
		switch {
		case i.Near && len(texts) == most:
			return append(texts, fmt.Sprintf("Further properties of %s are not used, though their names are near to known ones; dryarc read lists them.", file))
		case i.Near:
			texts = append(texts, fmt.Sprintf("The property %q of %s is not used; %s is meant, which the project file would have to say.", i.Written, file, i.Why))
		}
	}
	return texts
}
