package remedy

import (
	"fmt"
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// The register and the type of a unit may contradict each other: a row states less of its string than as many units have by their type. Taking
// all of it down and hanging the same again mends nothing then. So units of that type that hang anew have no more than the row says, in
// proportion to their number; what it says of a test holds for the same number in as many strings, and of others nothing is known.

// contradicted is what a row states of a string that is less than its units have by their type.
type contradicted struct {
	of    audit.Assembly
	units int                // at least 1
	less  audit.DirectValues // of what it states, what is less
	first lessStated
}

// lessStated is a figure that a row states, and what its units have.
type lessStated struct {
	what, measure string
	stated, has   float64
}

// text says what is stated less than the units have, the first of it.
func (c *contradicted) text() string {
	f := &c.first
	return fmt.Sprintf("%s is stated with %.0f %s of %s, and its units have %.0f %s by their type", c.of.Hanging(), f.stated, f.measure, f.what, f.has, f.measure)
}

// contradictedOf looks for figures of a row that are less than those of its units; ok is false where there are none, or the row does not say
// how many units of which one type it is of.
func (b *bench) contradictedOf(a *audit.Assembly) (c contradicted, ok bool) {
	const cells = audit.Cells(1<<audit.CellUnit | 1<<audit.CellUnitsPerString)
	if a.Makeup == nil || len(a.Makeup.Parts) != 1 || a.Faulty&cells != 0 && a.Unit.Kind.HasUnitCount() || a.Faulty.Has(audit.CellUnit) {
		return c, false
	}
	units, less, first := a.UnitsPerString, audit.UnknownDirectValues(), lessStated{}
	if !a.Unit.Kind.HasUnitCount() {
		units = max(units, 1)
	}
	if units < 1 {
		return c, false
	}
	byType := *a
	d := &byType.Direct
	d.LightningKV, d.SwitchingKV, d.WetKV, d.WetSwitchingKV = math.NaN(), math.NaN(), math.NaN(), math.NaN()
	byType.UnitsPerString, byType.Faulty = units, byType.Faulty&^(1<<audit.CellTested|1<<audit.CellTestedWet|1<<audit.CellLimits)
	if !a.CountsUnits() { // of discs it is of their fittings, which stay
		d.ArcingMM, byType.Faulty = math.NaN(), byType.Faulty&^(1<<audit.CellArcing)
	}
	note := func(of *float64, stated, has float64, what, measure string) {
		if !(stated < has-basis.Tolerance*has) {
			return
		}
		if *of = stated; first.what == "" {
			first = lessStated{what, measure, stated, has}
		}
	}
	n := float64(units)
	note(&less.CreepageMM, a.Direct.CreepageMM, n*a.Unit.CreepageMM, "creepage", "mm")
	note(&less.RatingKN, a.Direct.RatingKN, a.Unit.RatingKN, "rating", "kN")
	if !a.CountsUnits() && !a.MayHaveHorns() { // of horns it is of their fittings too
		note(&less.ArcingMM, a.Direct.ArcingMM, n*a.Unit.ArcingMM, "arcing distance", "mm")
	}
	for _, tested := range [...]struct {
		of     *float64
		stated float64
		shape  audit.Shape
		what   string
	}{{&less.LightningKV, a.Direct.LightningKV, audit.Lightning, "lightning impulse withstand"}, {&less.SwitchingKV, a.Direct.SwitchingKV, audit.Switching, "switching impulse withstand"},
		{&less.WetKV, a.Direct.WetKV, audit.Wet, "wet withstand"}, {&less.WetSwitchingKV, a.Direct.WetSwitchingKV, audit.Switching, "wet switching impulse withstand"}} {
		if !math.IsNaN(tested.stated) {
			has := byType.Withstand(tested.shape, units, b.site.Criteria())
			if has.NoMore == audit.NoReason && has.NoLess == audit.NoReason && !(tested.of == &less.WetSwitchingKV && has.IsByGap()) { // a dry gap says nothing of what is wet
				note(tested.of, tested.stated, has.KV, tested.what, "kV")
			}
		}
	}
	if first.what == "" {
		return c, false
	}
	return contradicted{*a, units, less, first}, true
}

// contradictedBy lists what any row of a member, of which the first says what is given, says less of than its units have by their type.
func (b *bench) contradictedBy(m *audit.TrialRow, first *audit.Assembly) (all []contradicted) {
	note := func(a *audit.Assembly) {
		if isBound(a) {
			if c, is := b.contradictedOf(a); is {
				all = append(all, c)
			}
		}
	}
	note(first)
	for _, row := range b.repeats(m.At) {
		a := b.site.Assembly(&audit.TrialRow{At: row, Row: b.network.Project.Assemblies.At(row)})
		note(&a)
	}
	return all
}

// isContradicted tells whether a row of a member states less than a unit has by its type.
func (q *ask) isContradicted(i int, unit *basis.Unit) bool {
	if i >= len(q.contradicted) {
		return false
	}
	for k := range q.contradicted[i] {
		if isOf(&q.contradicted[i][k].of, unit) {
			return true
		}
	}
	return false
}

// claim holds what is to hang anew to what rows of its member state of strings of the same units.
func (q *ask) claim(to *audit.TrialRow, i int, unit *basis.Unit) {
	if !q.isContradicted(i, unit) {
		return
	}
	if !to.Restated {
		to.Figures, to.Restated = audit.UnknownDirectValues(), true
	}
	f, units := &to.Figures, max(float64(to.Row.UnitsPerString), 1)
	for k := range q.contradicted[i] {
		c := &q.contradicted[i][k]
		if !isOf(&c.of, unit) {
			continue
		}
		share := units / float64(c.units)
		f.CreepageMM, f.RatingKN = lesser(f.CreepageMM, share*c.less.CreepageMM), lesser(f.RatingKN, c.less.RatingKN)
		f.ArcingMM = lesser(f.ArcingMM, share*c.less.ArcingMM)
		if statedTests(&c.less) == 0 {
			continue
		}
		if share == 1 && int(to.Row.Strings) == c.of.Strings {
			f.LightningKV, f.SwitchingKV, f.WetKV = lesser(f.LightningKV, c.less.LightningKV), lesser(f.SwitchingKV, c.less.SwitchingKV), lesser(f.WetKV, c.less.WetKV)
			f.WetSwitchingKV = lesser(f.WetSwitchingKV, c.less.WetSwitchingKV)
			continue
		}
		to.Row.Faulty |= statedTests(&c.less)
		forgetTests(to, f)
	}
}

// lesser is the lesser of two figures as far as they are known.
func lesser(a, b float64) float64 {
	if math.IsNaN(a) || b < a {
		return b
	}
	return a
}

// lookFirst says what has to be looked at where nothing serves: where the register contradicts the type of a unit, says of a unit that it stands or hangs as it does
// not, or counts more defective units than there are; empty for nothing.
func (q *ask) lookFirst() string {
	if i := slices.IndexFunc(q.old, func(a audit.Assembly) bool { return a.ContradictsUnit() }); i >= 0 {
		return fmt.Sprintf(" Its duty (%s) and its unit (%s) contradict each other, look first which is right.", q.old[i].Duty, q.old[i].Hanging())
	}
	for _, all := range q.contradicted {
		if len(all) > 0 {
			return " The register and the type contradict each other, look first which is right: " + all[0].text() + "."
		}
	}
	if i := slices.IndexFunc(q.old, hasMoreDefectiveThanHang); i >= 0 {
		return fmt.Sprintf(" The register counts %d defective units of %s, look first how many there are.", q.old[i].Defective, q.old[i].Hanging())
	}
	return ""
}
