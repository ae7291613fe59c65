package read

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
)

// chosen tells whether a feature is one of those that the project file reads. It is doubtful where that cannot be told; then it is
// kept where a layer keeps such, and passed over with a fault elsewhere. It is an error if one spelling of a property says that it is
// and another that it is not.
func (l *layer) chosen(f *feature) (chosen, doubtful bool, err error) {
	chosen = true
	var doubts []audit.Fault
	for i := range l.only {
		o := &l.only[i]
		texts := l.properties.texts(f, l.properties.only+i)
		holds := len(texts) == 0 && o.holds("") || len(texts) > 0 && o.holds(texts[0])
		for _, text := range texts {
			if o.holds(text) != holds {
				return false, false, &InputError{File: l.project.Tables[l.table].File,
					Message: fmt.Sprintf("feature %d has several properties spelled like %q, which say %s, so that it cannot be told whether it is to be read", f.number, o.name, quotedList(texts)),
					Hint:    "take out the one that is not meant"}
			}
		}
		if t := l.noChoice(f, i, texts); t != nil && !holds {
			doubts = append(doubts, audit.Fault{Kind: t.kind, At: l.source(f), Column: o.name, Value: strings.Clone(excerpt(strings.Join(texts, ""))), Expected: t.expected})
			continue
		}
		chosen = chosen && holds
	}
	if !chosen || len(doubts) == 0 {
		return chosen, false, nil
	}
	for _, doubt := range doubts {
		if l.idle {
			doubt.Weight = audit.ByTheWay
		}
		l.project.Faults.Gather(doubt, valueKey(doubt.Value))
	}
	return l.keepsDoubtful, true, nil
}

// noChoice says what keeps a property from telling whether a feature is to be read; nil where it tells.
func (l *layer) noChoice(f *feature, i int, texts []string) *trouble {
	follows := ", so that it cannot be told whether the feature is to be read; it is passed over"
	if l.keepsDoubtful {
		follows = ", so that it cannot be told whether the feature is to be read; where it lies, what it asks for is not assessed"
	}
	for _, one := range l.properties.slots[l.properties.only+i].found {
		if _, plain := propertyText(f.members[one.member].Value); !plain {
			return &trouble{kind: audit.UnknownWord, expected: "is neither text nor number" + follows}
		}
	}
	switch {
	case len(texts) == 0:
		return &trouble{kind: audit.MissingValue, expected: "is blank" + follows}
	case saysNoChoice(texts[0]):
		return &trouble{kind: audit.UnknownWord, expected: "is no value" + follows}
	}
	return nil
}

// saysNoChoice tells whether a text in a property or a cell says nothing by which rows or features can be chosen.
func saysNoChoice(text string) bool { return isErrorValue(text) || nothingIn(text) != saysSomething }

// carryThrough keeps what is carried through of a feature that is used: what all spellings say where they differ.
func (l *layer) carryThrough(f *feature) error {
	for i, name := range l.carry {
		texts := l.properties.texts(f, l.properties.carried+i)
		if len(texts) == 0 {
			continue
		}
		text := strings.Join(texts, "; ")
		if len(texts) > 1 {
			l.project.Faults.Add(audit.Fault{Kind: audit.Implausible, At: l.source(f), Column: name, Value: excerpt(text), Weight: audit.ByTheWay,
				Expected: "stands in several properties that differ only in spelling; all are carried through"})
		}
		symbol, err := l.longTexts.carriedSymbol(l.project, text)
		if err != nil {
			return &InputError{File: l.project.Tables[l.table].File, Message: err.Error(), Err: err, Hint: fullHint}
		}
		l.project.Carried.Add(l.source(f), name, symbol)
	}
	return nil
}

// checkChoice refuses a file none of whose features has a property that the project file names.
func (l *layer) checkChoice(file string) error {
	var trouble problems
	check := func(slot int, name, key, why string) {
		for _, used := range l.properties.slots[slot].used {
			l.properties.why[used.name] = why
		}
		if !l.properties.isThere(slot) {
			there := slices.Sorted(slices.Values(l.properties.names))
			message, hint := notThere("property", name, key, there)
			trouble.add(&InputError{File: file, Message: message, Hint: hint})
		}
	}
	for i, o := range l.only {
		check(l.properties.only+i, o.name, "only", "but chooses the features")
	}
	for i, name := range l.carry {
		check(l.properties.carried+i, name, "carry", "but carried through")
	}
	return trouble.err()
}
