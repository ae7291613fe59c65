package remedy

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// Change is what is done to one row of the register, or to one that it gets.
type Change struct {
	To          Set
	Phases      audit.Phases
	Sides       []audit.Side // of tension
	Fit, Remove []Count
	Defective   []Count // of Remove: those that may be defective
	Sets        int
	// Move is what happens on this row, which is that of the remedy where rows do not differ in it.
	Move Move
	// DefectiveFirst tells that some of the units that come down are defective ones.
	DefectiveFirst bool
	// AtLeast and More are those of the remedy, on this row.
	AtLeast bool
	More    []Count
	// Unlike is how many units are defective where no input says which of the unlike ones of a string they are, so that somebody has to look
	// first; nil where that is known.
	Unlike *Range
	// LongerMM is by how much longer a string gets, less than 0 where it gets shorter; NaN where none of its duty hangs there, or where that is not
	// known.
	LongerMM float64
	// LowerMM is by how much longer a suspension string gets, so that the conductor hangs as much lower at rest; 0 where it does not, or
	// where that is not known; of a V set at least so much where no fittings are stated. Nothing judges what is left above the ground.
	LowerMM float64
	// Lower tells that it hangs lower where LowerMM is not known.
	Lower bool
	// SwingOfShorter tells that it is longer, or may be, and its swing was held against a limit in degrees, which is that of what hangs there.
	SwingOfShorter bool
	// CountUnknown tells that it is not known how many units hang there: Fit is as if none did, of which Fewer may hang there already, and
	// what is to be removed is not known. Where nothing else about the string is known to be sound, Fewer is empty: all comes down.
	CountUnknown bool
	Fewer        []Count
	// RowsContradict tells that it is not known because rows of the register contradict each other, so that somebody has to look first.
	RowsContradict bool
	// Uncounted are the types of which it is not known how many hang there, where CountUnknown; UnknownType where the type is not either.
	Uncounted []string
	// SideUnknown tells that no side is stated; it is reckoned for those that Sides has, or for one where that is empty.
	SideUnknown bool
}

// Range is from how many to how many.
type Range struct{ Least, Most int }

// UnknownType stands for a type of unit that nobody knows.
const UnknownType = "type not known"

// typesOf are the types of what hangs, each once.
func typesOf(a *audit.Assembly) (types []string) {
	if a.Makeup == nil || a.Faulty.Has(audit.CellUnit) {
		return []string{UnknownType}
	}
	for _, u := range a.Units() {
		if !slices.Contains(types, u.Name) {
			types = append(types, u.Name)
		}
	}
	return types
}

// changesOf lists the rows of an answer on which there is anything to do, in the order of the rows.
func (b *bench) changesOf(q *ask, a *answer) (changes []Change) {
	for i := range a.rows {
		one := ask{newcomer: q.newcomer}
		if q.old != nil {
			one.old, one.contrary = q.old[i:i+1], q.contrary[i:i+1]
		}
		work := answer{rows: a.rows[i : i+1], move: a.move}
		if a.gone != nil {
			work.gone = a.gone[i : i+1]
		}
		b.reckon(&one, &work)
		to := b.site.Assembly(&a.rows[i])
		c := Change{To: setOf(&to), Phases: to.Phases, Fit: work.fit, Remove: work.remove, Defective: work.defective, Sets: work.sets, AtLeast: work.atLeast, More: work.more}
		if a.move != SoundUnits {
			c.To.Unit = a.to.Unit
		}
		if c.Move = a.move; a.move == MoreUnits || a.move == FewerUnits {
			c.Move = moveOf(&q.old[i], &to)
			c.DefectiveFirst = to.UnitsPerString < q.old[i].UnitsPerString && q.old[i].Defective > 0
		}
		c.LongerMM = math.NaN()
		if q.old != nil {
			c.LongerMM = longerMM(&q.old[i], &to)
			c.LowerMM, c.Lower = lowerMM(&q.old[i], &to, b.site.Line().Row.FittingsMM)
			c.SwingOfShorter = c.Move != SoundUnits && b.isHeldAsShorter(q, i, &to)
		}
		if to.Duty == audit.Tension {
			c.Sides, c.SideUnknown = b.sidesOf(&to), to.Side == audit.NoSide
		}
		if q.old != nil && !q.isCounted(i) && isCounted(&to) {
			b.leaveUncounted(q, i, &to, &c)
		}
		switch {
		case c.Move == SoundUnits && q.old != nil && !c.CountUnknown && c.Sets == 0:
			changes = append(changes, b.soundByPlace(&q.old[i], &to, &c)...)
		case len(c.Fit) > 0 || len(c.Remove) > 0 || c.Sets > 0 || c.CountUnknown || c.AtLeast:
			changes = append(changes, c)
		}
	}
	return changes
}

// soundByPlace are sound units for defective ones on each phase and side that has some, or may.
func (b *bench) soundByPlace(old, to *audit.Assembly, all *Change) (changes []Change) {
	for _, d := range b.defectsLeft(old, to) {
		if d.Most == 0 {
			continue
		}
		c := *all
		if d.Phases != 0 {
			c.Phases = d.Phases
		}
		if to.Duty == audit.Tension && (d.Side == audit.Back || d.Side == audit.Ahead) {
			c.Sides = []audit.Side{d.Side}
		}
		c.Fit, c.More = b.defectsByType(old, d)
		c.Remove, c.Defective, c.AtLeast = c.Fit, c.Fit, len(c.More) > 0
		if c.AtLeast && len(unitsOfString(old)) > 1 {
			c.Unlike = &Range{d.Least, d.Most}
		}
		changes = append(changes, c)
	}
	return changes
}

// longerMM is by how much another string of the same duty is longer: fittings that the stated length of the old one tells of stay. NaN where that is
// not known.
func longerMM(old, to *audit.Assembly) float64 {
	if old.Duty != to.Duty {
		return math.NaN()
	}
	longer := to.LengthMM() - old.LengthMM()
	if math.IsNaN(to.Direct.LengthMM) {
		longer += old.FittingsMM()
	}
	if math.IsNaN(longer) { // the fittings stay
		longer = to.UnitsMM() - old.UnitsMM()
	}
	return longer
}

// lowerMM is by how much a conductor hangs lower on another string, of a V set with its points of attachment as they are: fittingsMM are those of
// the line, NaN where none are stated. Where that is not known lower tells whether it does.
func lowerMM(old, to *audit.Assembly, fittingsMM float64) (mm float64, lower bool) {
	if old.Duty != audit.Suspension || to.Duty != audit.Suspension || old.Arrangement != to.Arrangement && (old.Arrangement == audit.VSet || to.Arrangement == audit.VSet) {
		return 0, false
	}
	longer := longerMM(old, to)
	known := !math.IsNaN(longer)
	if !known {
		lower = old.Unit != nil && to.Unit != nil && old.Unit.Name == to.Unit.Name && to.UnitsPerString > old.UnitsPerString && old.UnitsPerString > 0
	}
	if known && longer > 0 && old.Arrangement == audit.VSet {
		longer, lower = basis.VSetDropM(legMM(old, fittingsMM)/1000, longer/1000, old.VAngleDeg)*1000, true
	}
	if !(longer > 0) {
		return 0, lower
	}
	return longer, false
}

// legMM is the length of a leg of a V set from its attachment to the conductor: with the fittings that a stated length tells of, else with those of
// the line. Where neither is stated it is that of the units, on which the conductor hangs lower by less than it will.
func legMM(a *audit.Assembly, ofLineMM float64) float64 {
	mm := a.UnitsMM()
	if own := a.FittingsMM(); own > 0 {
		return mm + own
	}
	if math.IsNaN(ofLineMM) {
		return mm
	}
	return mm + ofLineMM
}

// moveOf is what happens to strings of which units stay.
func moveOf(old, to *audit.Assembly) Move {
	switch {
	case sideBySide(to) > sideBySide(old):
		return MoreStrings
	case to.UnitsPerString > old.UnitsPerString:
		return MoreUnits
	case to.UnitsPerString < old.UnitsPerString:
		return FewerUnits
	}
	return SoundUnits
}

// leaveUncounted says of a change where it is not known how many units hang what of it is not known for that.
func (b *bench) leaveUncounted(q *ask, i int, to *audit.Assembly, c *Change) {
	said := q.contrary[i]
	c.CountUnknown, c.RowsContradict = true, said != nil
	if said == nil {
		said = q.old[i : i+1]
	}
	strings, mayStay := to.Strings, !q.newcomer && !q.staying[i].bound
	for k := range said {
		was := &said[k]
		for _, name := range typesOf(was) {
			if !slices.Contains(c.Uncounted, name) {
				c.Uncounted = append(c.Uncounted, name)
			}
		}
		if isSetKnown(was) {
			strings = min(was.Strings, strings)
		}
		mayStay = mayStay && isOf(was, to.Unit) && !was.Faulty.Has(audit.CellUnit)
	}
	if mayStay {
		c.Fewer = add(nil, []Count{{to.Unit.Name, to.UnitsPerString * strings}}, b.setsOf(to))
	}
}

// sidesOf are the sides on which a tension assembly is reckoned to hang; none where one is but nobody says which.
func (b *bench) sidesOf(a *audit.Assembly) []audit.Side {
	switch {
	case a.Side == audit.BothSides, a.Side == audit.NoSide && b.network.IsPair(a.Row):
		return b.site.Sides(a.Circuit)
	case a.Side == audit.NoSide:
		return nil
	}
	return []audit.Side{a.Side}
}

// hangs is what hangs at one row, and what its rows say where they contradict each other.
type hangs struct {
	audit.Assembly
	contrary []audit.Assembly
}

// inWords says what hangs, or may.
func (h *hangs) inWords() string {
	if h.contrary == nil {
		return hangingInWords(&h.Assembly)
	}
	var words []string
	for i := range h.contrary {
		if text := hangingInWords(&h.contrary[i]); !slices.Contains(words, text) {
			words = append(words, text)
		}
	}
	return strings.Join(words, " or ") + " (rows contradict each other)"
}

func hangingInWords(a *audit.Assembly) string {
	text := a.Hanging()
	if a.Arrangement == audit.VSet {
		text += vInWords(a.VAngleDeg)
	}
	return text
}

// hanging says what hangs in words, each string with its phases and side where they differ.
func hanging(old []hangs) string {
	type kind struct {
		text   string
		side   audit.Side
		phases audit.Phases
	}
	var kinds []kind
	for i := range old {
		text := old[i].inWords()
		if at := slices.IndexFunc(kinds, func(k kind) bool { return k.text == text && k.side == old[i].Side }); at >= 0 {
			kinds[at].phases |= old[i].Phases
			continue
		}
		kinds = append(kinds, kind{text, old[i].Side, old[i].Phases})
	}
	alike := !slices.ContainsFunc(kinds, func(k kind) bool { return k.text != kinds[0].text })
	var words []string
	for _, k := range kinds {
		if alike {
			return k.text
		}
		where := k.phases.String()
		if side := k.side.String(); side != "" {
			where = strings.TrimPrefix(where+" "+side, " ")
		}
		if where != "" {
			where = fmt.Sprintf("%s: ", where)
		}
		words = append(words, where+k.text)
	}
	return strings.Join(words, "; ")
}
