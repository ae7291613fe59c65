package audit

import (
	"math/bits"
	"strings"
	"unicode"
)

// Phases is a set of phase names. The names are those that utilities paint on their structures; which three belong
// together is the register's affair.
type Phases uint32

// EveryPhase stands for "all of the circuit" where nobody has said which phases the circuit has.
const EveryPhase = Phases(1<<len(phaseNames) - 1)

var phaseNames = [...]string{
	"A", "R", "Y", "B", "C", "S", "T", "U", "V", "W", "L1", "L2", "L3", "1", "2", "3",
	"red", "yellow", "blue", "white", "top", "middle", "bottom", "left", "centre", "right", plus, minus,
}

// The poles of a direct-current line.
const plus, minus = "+", "−"

// ParsePhases reads phases as written: one name, names set apart by commas, spaces or strokes, or single letters
// run together (ABC, RYB, L1L2L3), and the poles + and −. ok is false when a name is not known.
func ParsePhases(text string) (set Phases, ok bool) {
	if set, ok = polesOnly(text); ok {
		return set, true
	}
	for _, name := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(",;/+-& \t", r) }) {
		if p := onePhase(name); p != 0 {
			set |= p
			continue
		}
		run, ok := phaseRun(name)
		if !ok {
			return 0, false
		}
		set |= run
	}
	return set, set != 0
}

// polesOnly reads a text that holds nothing but the signs of poles, any hyphen or dash being a minus: among names they part
// these, as in A+B.
func polesOnly(text string) (set Phases, ok bool) {
	for _, r := range text {
		switch {
		case r == '+':
			set |= onePhase(plus)
		case r == '±':
			set |= onePhase(plus) | onePhase(minus)
		case r == '\u2212' || unicode.Is(unicode.Pd, r):
			set |= onePhase(minus)
		case !strings.ContainsRune(",;/& \t", r):
			return 0, false
		}
	}
	return set, set != 0
}

func onePhase(name string) Phases {
	switch {
	case strings.EqualFold(name, "positive"):
		name = plus
	case strings.EqualFold(name, "negative"):
		name = minus
	}
	for i, known := range phaseNames {
		if strings.EqualFold(name, known) {
			return 1 << i
		}
	}
	return 0
}

// phaseRun reads names run together. Names of one length only, each once, so that "TOP" is never T, O and P.
func phaseRun(name string) (set Phases, ok bool) {
	width := 1
	if strings.HasPrefix(strings.ToUpper(name), "L1") || strings.HasPrefix(strings.ToUpper(name), "L2") {
		width = 2
	}
	if len(name)%width != 0 || len(name) > 4*width {
		return 0, false
	}
	for i := 0; i < len(name); i += width {
		p := onePhase(name[i : i+width])
		if p == 0 || set&p != 0 {
			return 0, false
		}
		set |= p
	}
	return set, set != 0
}

// Count returns the number of phases in the set.
func (p Phases) Count() int { return bits.OnesCount32(uint32(p)) }

// String lists the names in their fixed order, set apart by commas; EveryPhase is written as nothing.
func (p Phases) String() string {
	if p == EveryPhase {
		return ""
	}
	var names []string
	for i, name := range phaseNames {
		if p&(1<<i) != 0 {
			names = append(names, name)
		}
	}
	return strings.Join(names, ",")
}
