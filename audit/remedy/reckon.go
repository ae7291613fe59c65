package remedy

import (
	"cmp"
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// reckon counts the units to fit and to remove, and their price.
func (b *bench) reckon(q *ask, a *answer) {
	hung, shorter := 0, 0
	var now, was []Count // of one assembly
	for i := range a.rows {
		to := b.site.Assembly(&a.rows[i])
		sets := b.setsOf(&to)
		now = unitsIn(now[:0], &to)
		if q.old == nil {
			a.fit = add(a.fit, now, sets)
			a.sets += sets
			hung += sets * to.Strings
			continue
		}
		if was = was[:0]; q.contrary[i] == nil {
			was = unitsIn(was, &q.old[i])
		}
		isGone := q.newcomer || a.gone != nil && a.gone[i]
		a.removeUnknown = a.removeUnknown || isGone && !q.isCounted(i)
		if q.newcomer || to.Strings > q.old[i].Strings {
			a.sets += sets
		}
		before := sets
		if q.newcomer { // hangs there in another duty, on no side
			before = b.setsHung(&q.old[i])
		}
		if isGone || !sameUnits(now, was) {
			a.fit, a.remove = add(a.fit, now, sets), add(a.remove, was, before)
			a.defective = add(a.defective, b.defectiveIn(&q.old[i], was), 1)
			hung += sets * to.Strings
			continue
		}
		if hung += sets * to.Strings; to.UnitsPerString == q.old[i].UnitsPerString {
			hung -= sets * q.old[i].Strings
		}
		for k := range now {
			more := now[k].Count - was[k].Count
			shorter += sets * takenAway(&q.old[i], &to, -more)
			a.fit = add(a.fit, []Count{{now[k].Unit, max(more, 0)}}, sets)
			a.remove = add(a.remove, []Count{{now[k].Unit, max(-more, 0)}}, sets)
		}
		a.defective = add(a.defective, b.defectiveIn(&q.old[i], was), 1)
		for _, left := range b.defectsLeft(&q.old[i], &to) {
			least, more := b.defectsByType(&q.old[i], left)
			a.fit, a.remove, a.more = add(a.fit, least, 1), add(a.remove, least, 1), add(a.more, more, 1)
			a.atLeast = a.atLeast || len(more) > 0
		}
	}
	for i := range a.defective { // not all of them come down where more strings of fewer units hang
		a.defective[i].Count = min(a.defective[i].Count, countOf(a.remove, a.defective[i].Unit))
	}
	for _, c := range a.fit {
		a.units += c.Count
		a.price += float64(c.Count) * b.priceOf(c.Unit)
	}
	if a.changes = hung; a.move <= FewerUnits {
		a.changes = a.units
	}
	switch a.move {
	case MoreUnits:
		a.changes += shorter // where others are
	case FewerUnits:
		for _, c := range a.remove {
			a.changes += c.Count
		}
	}
}

// takenAway counts the units that are taken away of an assembly that loses so many in all: with a string that comes down all of its
// units, even where some of them make another one longer.
func takenAway(old, to *audit.Assembly, lost int) int {
	if down := old.Strings - to.Strings; down > 0 {
		return down*old.UnitsPerString + to.Strings*max(old.UnitsPerString-to.UnitsPerString, 0)
	}
	return max(lost, 0)
}

func (b *bench) priceOf(name string) float64 {
	if u, known := b.numbers[name]; known {
		return b.unit(u).Price
	}
	return math.NaN()
}

// setsOf is how many assemblies a row stands for: one for each phase and side.
func (b *bench) setsOf(a *audit.Assembly) int { return b.phasesOf(a) * b.sidesHeld(a) }

// phasesOf counts the phases of a row; three of a three-phase line where nobody names them.
func (b *bench) phasesOf(a *audit.Assembly) int {
	switch {
	case a.Phases != audit.EveryPhase:
		return a.Phases.Count()
	case b.site.Line().Row.System.ThreePhase():
		return 3
	}
	return 1
}

// sidesHeld is on how many sides an assembly hangs.
func (b *bench) sidesHeld(a *audit.Assembly) int {
	if a.Duty == audit.Tension && a.Side == audit.NoSide && b.network.IsPair(a.Row) {
		return 2
	}
	if a.Duty != audit.Tension || a.Side != audit.BothSides {
		return 1
	}
	return len(b.site.Sides(a.Circuit))
}

// unitsIn appends the units of one assembly by type, none of a type whose number is not known.
func unitsIn(counts []Count, a *audit.Assembly) []Count {
	if a.Makeup == nil || !isSetKnown(a) {
		return counts
	}
	if len(a.Makeup.Parts) == 1 {
		return append(counts, Count{a.Unit.Name, max(a.UnitsPerString, 0) * max(a.Strings, 1)})
	}
	for i, u := range a.Units() {
		counts = add(counts, []Count{{u.Name, max(a.Makeup.Parts[i].Count, 0)}}, max(a.Strings, 1))
	}
	return counts
}

// hasMoreDefectiveThanHang tells whether a row counts more defective units than a rod, post or pin can have: one a string.
func hasMoreDefectiveThanHang(a audit.Assembly) bool {
	return a.Makeup != nil && len(a.Makeup.Parts) == 1 && !a.Unit.Kind.HasUnitCount() && a.Unit.Kind != basis.KindUnknown && a.Defective > max(a.UnitsPerString, 1)
}

// defectsByType are the defective units of strings of a row by type: so many for certain, and as many more as may be. Which of unlike
// units are defective no input says.
func (b *bench) defectsByType(a *audit.Assembly, d audit.Defects) (least, more []Count) {
	strings := max(a.Strings, 1) * b.setsHung(a)
	if d.Phases.Count() == 1 && a.Phases.Count() > 1 { // of one phase of several
		strings /= a.Phases.Count()
	}
	all, types := 0, unitsOfString(a)
	for _, c := range types {
		all += c.Count * strings
	}
	for _, c := range types {
		most, fewest := d.Most, d.Least
		if len(types) > 1 {
			most = min(d.Most, c.Count*strings)
			fewest = min(max(d.Least-(all-c.Count*strings), 0), most)
		}
		least, more = add(least, []Count{{c.Unit, fewest}}, 1), add(more, []Count{{c.Unit, most - fewest}}, 1)
	}
	return least, more
}

// unitsOfString are the units of one string by type.
func unitsOfString(a *audit.Assembly) (types []Count) {
	switch {
	case a.Makeup == nil:
		return nil
	case len(a.Makeup.Parts) == 1:
		return []Count{{a.Unit.Name, max(a.UnitsPerString, 1)}}
	}
	for i, u := range a.Units() {
		types = add(types, []Count{{u.Name, max(a.Makeup.Parts[i].Count, 0)}}, 1)
	}
	return types
}

// defectiveIn are the units that may be defective of all that a row stands for, each assembly of so many units.
func (b *bench) defectiveIn(a *audit.Assembly, units []Count) (counts []Count) {
	sets := b.setsHung(a)
	for _, d := range b.defectsOf(a) {
		for _, c := range units {
			counts = add(counts, []Count{{c.Unit, min(d.Most, sets*c.Count)}}, 1)
		}
	}
	return counts
}

// defectsOf is how many units are defective of all that a row stands for. Of a pair each of the two rows states its own.
func (b *bench) defectsOf(a *audit.Assembly) []audit.Defects {
	strings := max(a.Strings, 1)
	if second, is := b.network.SecondOf(a.Row); is && a.Defective > 0 && a.Side == audit.NoSide {
		rows := &b.network.Project.Assemblies
		each := int(max(rows.At(a.Row).Defective, 0) + max(rows.At(second).Defective, 0))
		return []audit.Defects{{Phases: a.Phases, Least: each, Most: each * max(b.phasesOf(a), 1) * strings}}
	}
	return a.DefectsIn(b.setsHung(a) * strings)
}

// setsHung is how many assemblies a row stands for, one that gives way to another duty among them.
func (b *bench) setsHung(a *audit.Assembly) int { return max(b.phasesOf(a), 1) * b.sidesHeld(a) }

// defectsLeft is how many defective units stay, on each phase and side, in strings of which units are taken away: the defective ones first, of
// every string. How they are shared out among the strings is not known.
func (b *bench) defectsLeft(old, to *audit.Assembly) []audit.Defects {
	strings := b.setsHung(old) * max(old.Strings, 1)
	defects := b.defectsOf(old)
	off := max(old.UnitsPerString-to.UnitsPerString, 0)
	if off == 0 {
		return defects
	}
	if len(defects) > 1 {
		strings = old.Strings
	}
	left := slices.Clone(defects)
	for i := range left {
		d := &left[i]
		least := d.Least - off*strings
		if len(left) == 1 && (d.Least == d.Most || old.Observed == nil) { // the worst string has what is counted of it
			least = max(least, old.Defective-off)
		}
		worst := max(old.Defective, 1)
		d.Least, d.Most = max(least, 0), d.Most/worst*max(old.Defective-off, 0)+max(d.Most%worst-off, 0)
	}
	return left
}

func countOf(counts []Count, unit string) int {
	for _, c := range counts {
		if c.Unit == unit {
			return c.Count
		}
	}
	return 0
}

// add adds counts so many times to others, which stay in the order of their names.
func add(to, counts []Count, times int) []Count {
	for _, c := range counts {
		if c.Count*times == 0 {
			continue
		}
		i, known := slices.BinarySearchFunc(to, c.Unit, func(t Count, name string) int { return cmp.Compare(t.Unit, name) })
		if !known {
			to = slices.Insert(to, i, Count{Unit: c.Unit})
		}
		to[i].Count += c.Count * times
	}
	return to
}

// sameUnits tells whether two assemblies are of the same types.
func sameUnits(a, b []Count) bool {
	return slices.EqualFunc(a, b, func(x, y Count) bool { return x.Unit == y.Unit })
}
