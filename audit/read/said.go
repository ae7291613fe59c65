package read

import (
	"fmt"
	"math"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// said is what the cell of another column says besides its own: side, arrangement and angle by Duty (tension (back), V-string 90°),
// strings by Arrangement (double) or Units per string (2x23). It fills a cell that is blank, and where the cell says otherwise
// nobody can tell which is right.
type said struct {
	strings     int16
	side        audit.Side
	arrangement audit.Arrangement
	angleDeg    float64
}

// wordsOfDuty reads words of a cell Duty or Arrangement that is not one word of its vocabulary.
type wordsOfDuty struct {
	duties       words[audit.Duty]
	sides        words[audit.Side]
	arrangements words[audit.Arrangement]
}

func newWordsOfDuty(h *houseWords) *wordsOfDuty {
	return &wordsOfDuty{
		duties:       withHouse(newWords(audit.DutyWords(), moreDutyWords()...), h, dutyList),
		sides:        withHouse(newWords(audit.SideWords(), moreSideWords()...), h, sideList),
		arrangements: withHouse(newWords(audit.ArrangementWords(), moreArrangementWords()...), h, arrangement),
	}
}

// readDuty reads a cell such as "Tension (back)", "Double tension" or "V-string 90°". All its words must be known, and no two may
// contradict each other. A V by itself is a suspension set: that is what the trade calls so.
func (w *wordsOfDuty) readDuty(a *assembly, cell string) (*trouble, bool) {
	duty, other, ok := w.understand(cell)
	switch {
	case !ok:
		return nil, false
	case duty == audit.DutyUnknown && other.arrangement == audit.VSet && other.side == audit.NoSide:
		duty = audit.Suspension
	case duty == audit.DutyUnknown:
		return nil, false
	}
	a.Duty = duty
	a.dutySaid = other
	return nil, true
}

// readArrangement reads a cell such as "Single I" or "V-string 90°".
func (w *wordsOfDuty) readArrangement(a *assembly, cell string) (*trouble, bool) {
	duty, other, ok := w.understand(cell)
	if !ok || duty != audit.DutyUnknown || other.side != audit.NoSide || other.arrangement == audit.ArrangementUnknown {
		return nil, false
	}
	a.Arrangement = other.arrangement
	a.angleSaid, a.stringsSaid = other.angleDeg, other.strings
	return nil, true
}

// mostWords is the most words that a cell has which is understood (a choice of this program).
const mostWords = 8

// understand finds what the words of a cell say, the longest that are known first.
func (w *wordsOfDuty) understand(cell string) (duty audit.Duty, other said, ok bool) {
	tokens := strings.FieldsFunc(cell, func(r rune) bool { return strings.ContainsRune(" \u00a0\t()[]-–—/,;:+", r) })
	tokens = compoundsParted(tokens)
	if len(tokens) < 2 || len(tokens) > mostWords {
		return 0, other, false
	}
	for len(tokens) > 0 {
		took := 0
		for n := len(tokens); n > 0 && took == 0; n-- {
			text := strings.Join(tokens[:n], "")
			if value, known := w.duties.find(text); known {
				if duty != audit.DutyUnknown && duty != value {
					return 0, other, false
				}
				duty, took = value, n
			} else if value, known := w.sides.find(text); known {
				if other.side != audit.NoSide && other.side != value {
					return 0, other, false
				}
				other.side, took = value, n
			} else if value, known := w.arrangements.find(text); known {
				if other.arrangement != audit.ArrangementUnknown && other.arrangement != value {
					return 0, other, false
				}
				other.arrangement, took = value, n
				if isDouble(text) {
					other.strings = 2
				}
			} else if angle, unit := numeral(text); n <= 2 && angle != "" {
				value, isNumber := parseNumber(angle)
				if _, known := degrees.find(unit); known && isNumber && value >= basis.LeastVAngleDeg && value <= basis.MostVAngleDeg && other.angleDeg == 0 {
					other.angleDeg, took = value, n
				}
			}
		}
		if took == 0 {
			return 0, other, false
		}
		tokens = tokens[took:]
	}
	return duty, other, other.angleDeg == 0 || other.arrangement == audit.VSet
}

// isDouble tells whether a word for strings side by side says that they are two.
func isDouble(word string) bool {
	switch wordKey(word) {
	case "double", "doublestring", "twin", "duplex", "doble", "dupla", "doppelt", "doppelkette":
		return true
	}
	return false
}

// reconcile fills the blank cells of a row with what its other cells say of them, and faults what contradicts.
func (r *register) reconcile(a *assembly) {
	contradicts := func(field audit.Cell, column, value, says string) {
		r.unknown(a, field, audit.Implausible, column, value, says+", expected the same of both or one of them blank")
	}
	d := &a.dutySaid
	switch {
	case d.side == audit.NoSide || a.Faulty.Has(audit.CellSide):
	case a.Side == audit.NoSide:
		a.Side = d.side
	case a.Side != d.side:
		contradicts(audit.CellSide, "Side", a.Side.String(), fmt.Sprintf("is not the side %q that the duty names", d.side))
		a.Side = audit.NoSide
	}
	switch {
	case d.arrangement == audit.ArrangementUnknown || a.Faulty.Has(audit.CellArrangement):
	case a.Arrangement == audit.ArrangementUnknown || a.Arrangement == d.arrangement:
		a.Arrangement = d.arrangement
		a.stringsSaid = max(a.stringsSaid, d.strings)
	default:
		contradicts(audit.CellArrangement, "Arrangement", a.Arrangement.String(), fmt.Sprintf("is not the arrangement %q that the duty names", d.arrangement))
		a.Arrangement = audit.ArrangementUnknown
	}
	if angle := max(a.angleSaid, d.angleDeg); angle > 0 && !a.Faulty.Has(audit.CellArrangement) {
		switch {
		case min(a.angleSaid, d.angleDeg) > 0 && a.angleSaid != d.angleDeg:
			contradicts(audit.CellArrangement, "Arrangement", fmt.Sprintf("%g°", a.angleSaid), fmt.Sprintf("is not the angle %g° that the duty names", d.angleDeg))
			a.vAngleDeg = math.NaN()
		case math.IsNaN(a.vAngleDeg):
			a.vAngleDeg = angle
		case a.vAngleDeg != angle:
			contradicts(audit.CellArrangement, "V angle", fmt.Sprint(a.vAngleDeg), fmt.Sprintf("is not the angle %g that another cell of the row names", angle))
			a.vAngleDeg = math.NaN()
		}
	}
	r.reconcileStrings(a)
}

// reconcileStrings compares the strings that Units per string, Strings and Arrangement say.
func (r *register) reconcileStrings(a *assembly) {
	byUnits := a.stringsByUnits
	switch {
	case byUnits == 0:
	case a.stringsSaid != 0 && a.stringsSaid != byUnits, a.Strings != 0 && a.Strings != byUnits:
		r.unknown(a, audit.CellUnitsPerString, audit.Implausible, "Units per string", fmt.Sprintf("%d × %d", byUnits, a.UnitsPerString),
			fmt.Sprintf("says %d strings, and the row says %d elsewhere; how many units a string has is not known", byUnits, max(a.stringsSaid, a.Strings)))
		a.UnitsPerString, a.Faulty, a.Strings = -1, a.Faulty.With(audit.CellStrings), 0
		return
	}
	said := max(byUnits, a.stringsSaid)
	switch {
	case said == 0 || a.Faulty.Has(audit.CellStrings):
	case a.Strings == 0:
		a.Strings = said
	case a.Strings != said:
		r.unknown(a, audit.CellStrings, audit.Implausible, "Strings", fmt.Sprint(a.Strings),
			fmt.Sprintf("is not the number of strings, %d, that the arrangement names, expected the same of both or one of them blank", said))
	}
}

// compoundsParted takes apart the German words that say arrangement and duty in one: Doppelabspannkette.
func compoundsParted(words []string) (parted []string) {
	for _, word := range words {
		key := wordKey(word)
		switch {
		case strings.HasPrefix(key, "doppel") && key != "doppelt" && key != "doppelkette":
			parted = append(parted, "double", strings.TrimPrefix(key, "doppel"))
		case strings.HasPrefix(key, "einfach") && key != "einfach" && key != "einfachkette":
			parted = append(parted, "single", strings.TrimPrefix(key, "einfach"))
		default:
			parted = append(parted, word)
		}
	}
	return parted
}
