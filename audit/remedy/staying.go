package remedy

import (
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// As long as a unit stays of what hangs there, so does what its row says of the whole string: figures that it states bound those of
// the string with units added, and what cannot be read is no better known. Both fall away only with all of the old units. Arcing horns are of the
// fittings, and stay even then: an arcing distance that is shorter than a string of discs, or than that of the type of another insulator, or may be. One
// that is no shorter is of the string itself.

// staying is what of an assembly can stay.
type staying struct {
	can   bool // units of its type can be added to it: how many hang there, in how many strings, is known
	bound bool // its row states figures of its own, or has cells about the string that cannot be read
	horns bool // a row of it speaks of an arcing distance that is of its fittings, or may be, which stay where its units do not
	// mayBeOwn tells that this distance may as well be of the string itself.
	mayBeOwn bool
	open     bool // rows of it say different things of that distance
	fittings bool // the length that its row states, or that cannot be read, has fittings in it, or may, and a clearance or the longest string of the line asks for them
	alike    bool // its rows differ in nothing but their defective units
	// longestMM is the longest string beside which that distance may have been set, by any of its rows; NaN where one does not tell.
	longestMM float64
}

// Cells that say what a string is, and that say something of it.
const (
	makeupCells = audit.Cells(1<<audit.CellUnit | 1<<audit.CellUnitsPerString | 1<<audit.CellStrings | 1<<audit.CellArrangement)
	figureCells = audit.Cells(1<<audit.CellCreepage | 1<<audit.CellRating | 1<<audit.CellLength | 1<<audit.CellArcing | 1<<audit.CellTested | 1<<audit.CellTestedWet | 1<<audit.CellLimits | 1<<audit.CellDefective)
)

// stayingOf is what of an assembly can stay, whose first row says what is given and which is taken for old; nothing where rows of it differ in their unit,
// or one of those that differ states figures of its own.
func (b *bench) stayingOf(m *audit.TrialRow, first, old *audit.Assembly) staying {
	s := staying{bound: isBound(first), horns: first.MayHaveHorns(), mayBeOwn: first.MayArcByItself(), alike: true, longestMM: unitsMM(first),
		can: isCounted(first) && isCounted(old) && len(first.Makeup.Parts) == 1}
	speaks := statesArcing(first)
	for _, row := range b.repeats(m.At) {
		as := audit.TrialRow{At: row, Row: b.network.Project.Assemblies.At(row)}
		repeat := b.site.Assembly(&as)
		if s.bound || isBound(&repeat) || !isCounted(&repeat) || !isOf(&repeat, first.Unit) {
			s.can = false
		}
		s.open = s.open || statesArcing(&repeat) != statesArcing(first) || statesArcing(first) && repeat.Direct.ArcingMM != first.Direct.ArcingMM
		speaks = speaks || statesArcing(&repeat)
		s.horns, s.mayBeOwn, s.longestMM = s.horns || repeat.MayHaveHorns(), s.mayBeOwn || repeat.MayArcByItself(), math.Max(s.longestMM, unitsMM(&repeat))
		s.alike = s.alike && isAlike(first, &repeat)
	}
	s.horns = s.horns || s.open && speaks
	asksLength := !math.IsNaN(b.site.Line().Row.LongestStringMM) || first.Duty == audit.Suspension && b.site.Structure().Room.AsksClearance()
	s.fittings = asksLength && (old.FittingsMM() != 0 || old.Faulty.Has(audit.CellLength))
	return s
}

// statesArcing tells whether a row speaks of an arcing distance.
func statesArcing(a *audit.Assembly) bool {
	return !math.IsNaN(a.Direct.ArcingMM) || a.Faulty.Has(audit.CellArcing)
}

// isAlike tells whether two rows of one assembly say the same of it but for its defective units.
func isAlike(a, b *audit.Assembly) bool {
	sound := func(faulty audit.Cells) audit.Cells {
		return faulty & (makeupCells | figureCells) &^ (1 << audit.CellDefective)
	}
	sameAngle := a.VAngleDeg == b.VAngleDeg || math.IsNaN(a.VAngleDeg) && math.IsNaN(b.VAngleDeg)
	return isMadeAlike(a, b) && sameAngle &&
		a.Mounting == b.Mounting && a.Rings == b.Rings && a.Direct.Equals(b.Direct) && sound(a.Faulty) == sound(b.Faulty)
}

// isMadeAlike tells whether two rows of one assembly say the same of its units and strings.
func isMadeAlike(a, b *audit.Assembly) bool {
	return a.Makeup == b.Makeup && a.UnitsPerString == b.UnitsPerString && a.Strings == b.Strings && a.Arrangement == b.Arrangement &&
		a.Faulty&makeupCells == b.Faulty&makeupCells
}

func isBound(a *audit.Assembly) bool {
	d := &a.Direct
	for _, figure := range d.OfString() {
		if !math.IsNaN(figure) {
			return true
		}
	}
	return a.Faulty&figureCells != 0 || a.Defective < 0
}

// isSetKnown tells whether it is known how many strings an assembly has. Of a V set nothing but the angle can be what cannot be read of its arrangement.
func isSetKnown(a *audit.Assembly) bool {
	return a.Strings > 0 && !a.Faulty.Has(audit.CellStrings) && (a.Arrangement == audit.VSet || !a.Faulty.Has(audit.CellArrangement))
}

// isCounted tells whether it is known how many units of which types an assembly has.
func isCounted(a *audit.Assembly) bool {
	return a.Makeup != nil && isSetKnown(a) && a.UnitsPerString > 0 && a.Faulty&(makeupCells&^(1<<audit.CellArrangement)) == 0
}

// stays tells whether the units of a member stay when so many of a type are to hang there.
func (q *ask) stays(i int, unit *basis.Unit, anew bool) bool {
	return q.staying != nil && q.staying[i].can && !(anew && q.staying[i].bound) && isOf(&q.old[i], unit)
}

// binds tells whether what the row of a member says holds for what is to hang there.
func (q *ask) binds(i int, unit *basis.Unit, anew bool) bool {
	return q.isContradicted(i, unit) || q.tells(i, unit) || q.staying != nil && (q.staying[i].horns || q.staying[i].fittings || q.staying[i].bound && q.stays(i, unit, anew))
}

// tells tells whether rows of a member say something of strings of a unit that takes the place of what hangs there: of the same what cannot be read, of others what is said of tests.
func (q *ask) tells(i int, unit *basis.Unit) bool {
	return i < len(q.said) && slices.ContainsFunc(q.said[i], func(a audit.Assembly) bool {
		return statedTests(&a.Direct)|a.Faulty&testCells != 0 || isOf(&a, unit) && a.Faulty&figureCells != 0
	})
}

// bindsAny tells whether it makes a difference to take all units of strings that state figures of their own, or cannot be read, away.
func (b *bench) bindsAny(q *ask, u int) bool {
	for i := range q.staying {
		if q.staying[i].bound && q.stays(i, b.unit(u), false) {
			return true
		}
	}
	return false
}

// isOwn tells whether strings are of the units that they are measured by, no fewer of them, so that they are in nothing less.
func (b *bench) isOwn(q *ask, unit *basis.Unit, units, strings int, anew bool) bool {
	isOwn := false
	for i := range q.models {
		m := &q.models[i]
		if !isOf(m, unit) || !isSetKnown(m) || sideBySide(m) > strings || q.newcomer && isBound(m) {
			return false
		}
		if b.isModel(m, unit, strings) {
			if isOwn = true; m.UnitsPerString > units {
				return false
			}
		}
	}
	for i := range q.staying {
		if !q.stays(i, unit, anew) && (q.staying[i].bound || !isCounted(&q.old[i]) || slices.ContainsFunc(q.contrary[i], func(a audit.Assembly) bool { return isBound(&a) || !isCounted(&a) })) {
			return false
		}
	}
	return isOwn
}

// remake is a member with strings of like units, to which those that hang there belong where they stay. What cannot be read may be less than the type of
// new units has, and is never more, so that what may not stand by the types is of these.
func (b *bench) remake(q *ask, i, u, units, strings int, anew bool) audit.TrialRow {
	if q.hasUnread(i, b.unit(u), units, strings, anew) {
		if best := b.remadeBy(true, q, i, u, units, strings, anew); b.isRefused(q, &best) {
			return best
		}
	}
	return b.remadeBy(false, q, i, u, units, strings, anew)
}

// hasUnread tells whether something of a member cannot be read of which new units have no more than their type.
func (q *ask) hasUnread(i int, unit *basis.Unit, units, strings int, anew bool) bool {
	if !q.stays(i, unit, anew) {
		return q.unread(i, unit) != 0
	}
	old := &q.old[i]
	return old.Faulty.Has(audit.CellRating) && (units > old.UnitsPerString || strings > old.Strings || old.Defective > 0)
}

// isRefused tells whether a check of assemblies finds a member on trial to fall short in what may not stand.
func (b *bench) isRefused(q *ask, to *audit.TrialRow) bool {
	asm := b.site.Assembly(to)
	return slices.ContainsFunc(b.checks, func(check int) bool {
		v := b.site.Put(check, &asm, false)
		return v.Outcome == audit.FallsShort && !b.allows(q.circuit, check, &v, q.newcomer)
	})
}

// remadeBy is remake with what cannot be read as the types have it, or left unread. The legs of a V set hang on the same attachments.
func (b *bench) remadeBy(types bool, q *ask, i, u, units, strings int, anew bool) audit.TrialRow {
	to := b.restrung(types, q, i, u, units, strings, anew)
	b.spread(q, i, &to)
	if i < len(q.old) {
		for f, isDoubted := range b.site.DoubtedFittings(&q.old[i]) { // which another string does not make believable
			if isDoubted {
				to.Figures.FittingsKN[f], to.Row.Faulty = math.NaN(), to.Row.Faulty.With(audit.CellMounting)
				to.Row.Unbelieved |= 1 << f
			}
		}
	}
	return to
}

// restrung is remadeBy but for the angle of a V set.
func (b *bench) restrung(types bool, q *ask, i, u, units, strings int, anew bool) (to audit.TrialRow) {
	m := q.members[i]
	to = b.remade(m, u, units, strings)
	if b.hidesFittings(q, i, &to.Row) {
		defer func() {
			if to.FittingsUnknown = true; q.old[i].FittingsMM() != 0 { // and they are in the length that the row states
				to.Figures.LengthMM = math.NaN()
				to.Row.Faulty = to.Row.Faulty.With(audit.CellLength)
			}
		}()
	}
	if q.horned { // the set that gives way has horns: whether that which comes has some, and how wide, is not known
		to.Row.Faulty = to.Row.Faulty.With(audit.CellArcing)
	}
	if !q.stays(i, b.unit(u), anew) {
		if q.staying != nil && q.staying[i].horns {
			to.Figures, to.Restated = q.stated[i].OfPlace(), true
			to.Figures.ArcingMM = q.stated[i].ArcingMM
			to.Row.Faulty |= m.Row.Faulty & (1 << audit.CellArcing)
			if now := b.site.Assembly(&to); q.staying[i].open || !(now.LengthMM() >= q.staying[i].longestMM) {
				to.Figures.ArcingMM = math.NaN() // horns set for a longer string say nothing of a shorter one
				to.Row.Faulty = to.Row.Faulty.With(audit.CellArcing)
			} else if own := float64(max(units, 1)) * b.unit(u).ArcingMM; !b.unit(u).Kind.HasUnitCount() && own < to.Figures.ArcingMM {
				to.Figures.ArcingMM = math.NaN() // they are wider than the insulator that is to hang, whose own distance governs
			}
		}
		q.claim(&to, i, b.unit(u))
		if q.staying != nil && q.staying[i].fittings {
			b.keepFittings(&to, &q.old[i])
		}
		unread := q.unread(i, b.unit(u))
		if types {
			unread = 0
		}
		if unread.Has(audit.CellCreepage) {
			to.Figures.CreepageMM = math.NaN()
		}
		if unread.Has(audit.CellRating) {
			to.Figures.RatingKN = math.NaN()
		}
		if unread&testCells != 0 {
			forgetTests(&to, &to.Figures)
		}
		to.Row.Faulty |= unread | b.hidden(q, i, &to)
		return to
	}
	to.Anew, to.Row.Installed, to.Row.Inspected = false, m.Row.Installed, m.Row.Inspected
	to.Row.Faulty |= m.Row.Faulty & (1 << audit.CellRemarks)
	to.Row.Blank |= m.Row.Blank & audit.BlankDefective
	if q.staying[i].bound {
		b.bind(&to, &m, &q.old[i], q.stated[i], b.unit(u))
	}
	if types {
		to.Row.Faulty &^= 1 << audit.CellRating // the weakest of the string is no stronger than the new units
	}
	return to
}

// keepFittings states the length of a string on trial with the fittings that the length of another which hung there tells of: they stay where no unit does.
func (b *bench) keepFittings(to *audit.TrialRow, old *audit.Assembly) {
	if !to.Restated {
		to.Figures, to.Restated = b.site.Figures(to), true
	}
	asm := b.site.Assembly(to)
	to.Figures.LengthMM = asm.UnitsMM() + old.FittingsMM()
	if math.IsNaN(to.Figures.LengthMM) || old.Faulty.Has(audit.CellLength) {
		to.Figures.LengthMM, to.Row.Faulty = math.NaN(), to.Row.Faulty.With(audit.CellLength)
	}
}

// unitsMM is the length of a string by its units, else as its row states it: what its fittings add stays.
func unitsMM(asm *audit.Assembly) float64 {
	if units := asm.UnitsMM(); !math.IsNaN(units) {
		return units
	}
	return asm.LengthMM()
}

// repaired is a member with sound units for its defective ones.
func (b *bench) repaired(m audit.TrialRow, old *audit.Assembly) audit.TrialRow {
	to := m
	if to.Changed, to.Row.Defective = true, 0; !isBound(old) {
		return to
	}
	for _, unit := range old.Units() {
		b.bind(&to, &m, old, b.site.Assembly(&m).Direct, unit)
		m = to
	}
	return to
}

// bind holds a row to what the register says, by figures f, of a string of which units stay, with some of a type added, or taken away: its creepage, its
// length and what it arcs over along its units with theirs, and the rating of the weakest. What it withstood when it was tested says nothing of another string.
func (b *bench) bind(to, was *audit.TrialRow, old *audit.Assembly, f audit.DirectValues, unit *basis.Unit) {
	to.Row.Faulty |= was.Row.Faulty & figureCells
	if old.Defective < 0 {
		to.Row.Defective = -1
	}
	more, beside := float64(int(to.Row.UnitsPerString)-old.UnitsPerString), int(to.Row.Strings) > old.Strings
	if beside {
		b.renew(to, &f, old, old.UnitsPerString)
	} else if old.Defective > 0 {
		b.renew(to, &f, old, old.Defective)
	}
	if to.Row.Direct, to.Restated = 0, true; more > 0 || beside || old.Defective > 0 {
		f.RatingKN = math.Min(f.RatingKN, unit.RatingKN)
	}
	if more != 0 {
		each, stated := unit.CreepageMM, f.CreepageMM/float64(old.UnitsPerString) // of one unit: the less is added, and the more taken away
		if more > 0 && stated < each || more < 0 && stated > each {
			each = stated
		}
		f.CreepageMM, f.LengthMM = f.CreepageMM+more*each, old.LengthWith(more*unit.SpacingMM)
	}
	switch {
	case more > 0 && old.ArcsAlongUnits(): // by as much as the string
		grows := more * unit.SpacingMM
		if withFittings := f.LengthMM - old.Direct.LengthMM; withFittings > grows {
			grows = withFittings
		}
		f.ArcingMM += grows
	case more < 0 && !math.IsNaN(f.ArcingMM): // horns set wider than the string that is left say nothing of it
		f.ArcingMM = math.NaN()
		to.Row.Faulty = to.Row.Faulty.With(audit.CellArcing)
	}
	if beside {
		f.CreepageMM = math.Min(f.CreepageMM, float64(to.Row.UnitsPerString)*unit.CreepageMM)
	}
	if more != 0 || beside {
		forgetTests(to, &f)
	}
	to.Figures = f
}

// renew holds what a row states of its string to what new units have by their types in the place of so many of those that hang there, of unlike ones in the place of
// all, where that is less: what is stated better than the types say is of the very units.
func (b *bench) renew(to *audit.TrialRow, f *audit.DirectValues, old *audit.Assembly, units int) {
	if old.CountsUnits() && (old.UnitsPerString < 1 || old.Faulty.Has(audit.CellUnitsPerString)) { // which share of it they are is not known
		if !math.IsNaN(f.CreepageMM) {
			f.CreepageMM, to.Row.Faulty = math.NaN(), to.Row.Faulty.With(audit.CellCreepage)
		}
		forgetTests(to, f)
		return
	}
	creepage, arcing, count := 0.0, 0.0, 0
	for _, part := range old.Makeup.Parts {
		of, n := b.network.Project.Units[part.Unit], max(part.Count, 1)
		if len(old.Makeup.Parts) == 1 {
			n = max(old.UnitsPerString, 1)
		}
		creepage, arcing, count = creepage+float64(n)*of.CreepageMM, arcing+float64(n)*of.ArcingMM, count+n
	}
	share := 1.0
	if len(old.Makeup.Parts) == 1 {
		share = math.Min(float64(units)/float64(count), 1)
	}
	if creepage < f.CreepageMM {
		f.CreepageMM -= share * (f.CreepageMM - creepage)
	}
	if !old.CountsUnits() && arcing < f.ArcingMM {
		f.ArcingMM = arcing
	}
	renewed := *old
	renewed.Direct.ArcingMM = f.ArcingMM
	for shape, stated := range [...][]*float64{{&f.LightningKV}, {&f.SwitchingKV, &f.WetSwitchingKV}, {&f.WetKV}} {
		has := renewed.Untested(audit.Shape(shape), b.site.Criteria())
		for _, kV := range stated {
			if has.Reason == audit.NoReason && has.KV < *kV {
				*kV = math.NaN() // and they are judged by table, formula or type
			}
		}
	}
}

// hides tells whether a verdict leaves open what falls short now and is to be mended, which the other strings of the circuit may do already.
func (b *bench) hides(circuit audit.Symbol, check int, v *audit.Verdict) bool {
	s := b.state(circuit, check)
	return v.Outcome == audit.NotAssessed && v.Reason.AskedBy() == "" && s.fell && s.worst <= b.want
}

// kindsOfMembers is how many kinds kindOf tells apart.
const kindsOfMembers = 4

// kindOf is the same for members that are alike on trial on one side of so many strings side by side, unless they are bound: V sets are apart, and those whose
// fittings are not known then.
func (b *bench) kindOf(q *ask, i, strings int) (kind int) {
	to := audit.AssemblyRow{RowSaid: audit.RowSaid{Duty: q.members[i].Row.Duty, Strings: int16(strings)}}
	if q.members[i].Row.Arrangement == audit.VSet {
		kind, to.Strings = 1, 2*to.Strings
	}
	if b.hidesFittings(q, i, &to) {
		kind += 2
	}
	return kind
}

// stops tells whether a verdict on a member on trial keeps the string from serving. One that is bound stands for itself, any other for all of
// its kind and side that are not, which are to be made alike.
func (b *bench) stops(q *ask, i, check int, v *audit.Verdict, unit *basis.Unit, strings int, anew bool) bool {
	bound := q.binds(i, unit, anew)
	if !b.allows(q.circuit, check, v, q.newcomer) || bound && b.hides(q.circuit, check, v) {
		return true
	}
	if bound || v.Outcome != audit.NotAssessed {
		return b.leavesOpen(q, i, check, v)
	}
	for k := range q.members {
		if q.members[k].Row.Side == q.members[i].Row.Side && b.kindOf(q, k, strings) == b.kindOf(q, i, strings) && !q.binds(k, unit, anew) && b.leavesOpen(q, k, check, v) {
			return true
		}
	}
	return false
}

// leavesOpen tells whether a verdict leaves open what is judged today of the very member, whatever is not of others of the circuit.
func (b *bench) leavesOpen(q *ask, i, check int, v *audit.Verdict) bool {
	if v.Outcome != audit.NotAssessed || v.Reason.AskedBy() != "" || i >= len(q.old) || !b.state(q.circuit, check).unassessed {
		return false
	}
	today := b.site.Put(check, &q.old[i], false)
	return today.Outcome == audit.FallsShort && today.Severity <= b.want || !q.newcomer && today.Outcome == audit.Meets && !b.mayStayOpen(check, v)
}
