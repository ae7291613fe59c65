package read

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
)

// makeup is what a text in the column Unit means.
type makeup struct {
	place   uint32 // in Project.Makeups
	sum     int    // units in a string, 0 where the text does not say
	trouble *trouble
}

// makeup reads a text such as U70BL, or 14×U70BL + 1×U120B, once.
func (r *register) makeup(text string) makeup {
	if text == r.lastUnit {
		return r.lastMakeup
	}
	r.lastUnit, r.lastMakeup = text, r.makeupOf(r.house().text(unitList, text))
	return r.lastMakeup
}

func (r *register) makeupOf(text string) makeup {
	m, known := r.makeups[text]
	if !known {
		m = r.newMakeup(text)
		if m.trouble == nil || len(r.makeups) < mostSpellings {
			r.makeups[strings.Clone(text)] = m
		}
	}
	return m
}

func (r *register) newMakeup(text string) makeup {
	if i, ok := r.units[nameKey(text)]; ok {
		return r.addMakeup(text, []audit.Part{{Unit: i}}, 0)
	}
	var parts []audit.Part
	sum := 0
	fields := strings.Split(text, "+")
	for _, field := range fields {
		count, name := counted(field)
		name = r.house().text(unitList, name)
		unit, ok := r.units[nameKey(name)]
		switch {
		case !ok && len(fields) == 1:
			return makeup{trouble: unknownUnit(text, name, "is no unit of the catalogue or of the Units sheet"+r.perhaps(name))}
		case !ok:
			return makeup{trouble: unknownUnit(text, name, fmt.Sprintf("names %q, which is no unit of the catalogue or of the Units sheet%s", strings.TrimSpace(name), r.perhaps(name)))}
		case count == 0 && len(fields) > 1:
			return makeup{trouble: &trouble{kind: audit.UnknownUnit, expected: "does not say how many of each, expected as in 14×U70BL + 1×U120B"}}
		}
		parts, sum = append(parts, audit.Part{Unit: unit, Count: count}), sum+count
	}
	if sum > longestMakeup {
		return makeup{trouble: &trouble{kind: audit.OutOfRange, expected: fmt.Sprintf("adds up to %d units, expected 1 to %d", sum, longestMakeup)}}
	}
	return r.addMakeup(text, inOneOrder(parts), sum)
}

// unknownUnit is the trouble with a unit that nobody knows: one for all rows that name it.
func unknownUnit(text, name, expected string) *trouble {
	name = strings.TrimSpace(name)
	return &trouble{kind: audit.UnknownUnit, expected: expected + "; " + sayWord(unitList, name), gathered: "word " + nameKey(text),
		asks: audit.OpenWord{List: unitList, Text: strings.Clone(excerpt(name))}}
}

// inOneOrder adds up the parts of like units and orders them, so that 14×A + 1×B is the string that 1×B + 14×A is.
func inOneOrder(parts []audit.Part) []audit.Part {
	slices.SortFunc(parts, func(a, b audit.Part) int { return cmp.Compare(a.Unit, b.Unit) })
	kept := parts[:1]
	for _, part := range parts[1:] {
		if last := &kept[len(kept)-1]; last.Unit == part.Unit {
			last.Count += part.Count
			continue
		}
		kept = append(kept, part)
	}
	return kept
}

// longestMakeup is the largest number of units in a string that is believed, as in the column Units per string.
const longestMakeup = 200

func (r *register) addMakeup(text string, parts []audit.Part, sum int) makeup {
	parted := fmt.Sprint(parts)
	if place, known := r.parted[parted]; known && len(parts) > 1 {
		return makeup{place: place, sum: sum}
	}
	r.project.Makeups = append(r.project.Makeups, audit.Makeup{Text: strings.Clone(text), Parts: parts})
	place := uint32(len(r.project.Makeups) - 1)
	r.parted[parted] = place
	return makeup{place: place, sum: sum}
}

func (r *register) perhaps(name string) string {
	if close := near(strings.TrimSpace(name), unitNames(r.project.Units)); close != "" {
		return fmt.Sprintf(", perhaps %q", close)
	}
	return ""
}

// counted takes 14×U70BL apart; the number is 0 where there is none.
func counted(text string) (count int, name string) {
	text = strings.TrimSpace(text)
	digits := 0
	for digits < len(text) && '0' <= text[digits] && text[digits] <= '9' {
		digits++
	}
	rest := strings.TrimSpace(text[digits:])
	for _, times := range [...]string{"×", "x", "X", "*"} {
		if after, ok := strings.CutPrefix(rest, times); ok && 0 < digits && digits < 5 {
			count, _ = strconv.Atoi(text[:digits])
			return count, strings.TrimSpace(after)
		}
	}
	return 0, text
}
