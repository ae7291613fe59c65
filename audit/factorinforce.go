package audit

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit/basis"
)

// A factor that names all that another names, and more, takes the place of that one, as any does of the general one. Of those that apply and
// of which none takes the place of the other the largest holds. So a smaller factor than the general one holds only where the project states it
// for just that.

// FactorInForce is the factor that holds for an assembly in a load case.
type FactorInForce struct {
	Value float64 // 0 where none is stated
	Basis string
	By    *ExactFactor // nil where the general one holds
	// Unsure is why another may hold, since it is not known whether a more exact one applies; NoReason where that makes no difference.
	Unsure Reason
}

// Words are the factor with its basis, and for what it is where it is not the general one: "2.7, own study for tension of porcelain".
func (f *FactorInForce) Words() string { return fmt.Sprintf("%g, %s", f.Value, f.From()) }

// From is the basis of the factor, and for what it is where it is not the general one.
func (f *FactorInForce) From() string {
	if f.By == nil {
		return f.Basis
	}
	return strings.TrimSpace(f.Basis + " " + f.By.words())
}

// candidate is a factor that applies, or may.
type candidate struct {
	of   *ExactFactor
	open Reason // why it is not known whether it applies; NoReason where it does
}

// general is the factor beside the more exact ones, which is for everything.
var general ExactFactor

// factor finds what holds of a kind of factor in a load case: the least that may hold, or the most. Of a tension assembly it is that
// for the span on a side. Of a string of unlike units the largest of its units holds.
func (s *Subject) factor(of FactorOf, c *LoadCase, side Side, most bool) (f FactorInForce) {
	factors := &s.Criteria.InsulatorFactor
	f = FactorInForce{Value: *factors.At(of), Basis: factors.basis()}
	if len(factors.By) == 0 {
		return f
	}
	units := s.Assembly.Units()
	if len(units) == 0 || of.OfFitting() {
		units = []*basis.Unit{nil}
	}
	for i, unit := range units {
		its := s.factorOfUnit(of, c, side, unit, most)
		if its.Value == 0 {
			return its
		}
		if unsure := max(f.Unsure, its.Unsure); i == 0 || its.Value > f.Value {
			f, f.Unsure = its, unsure
		} else {
			f.Unsure = unsure
		}
	}
	return f
}

// factorOfUnit is factor for one of the units of a string, nil where it is not known or does not matter.
func (s *Subject) factorOfUnit(of FactorOf, c *LoadCase, side Side, unit *basis.Unit, most bool) FactorInForce {
	factors := &s.Criteria.InsulatorFactor
	var room [8]candidate
	list, certain := room[:0], 0
	if *factors.At(of) > 0 {
		list, certain = append(list, candidate{of: &general}), 1
	}
	for i := range factors.By {
		e := &factors.By[i]
		if !slices.Contains(e.For, of) {
			continue
		}
		applies, open := s.appliesTo(e, c, side, unit)
		switch {
		case applies && open == NoReason:
			list = append(list, candidate{of: e})
			certain++
		case applies:
			list = append(list, candidate{e, open})
		}
	}
	if certain == 0 {
		return FactorInForce{Basis: factors.basis()}
	}
	value := func(e *ExactFactor) float64 {
		if e == &general {
			return *factors.At(of)
		}
		return e.Factor
	}
	// What a factor that applies for certain takes the place of is none of those that may hold.
	holds := func(k int) bool {
		for j := range list {
			if list[j].open != NoReason || !list[j].of.replaces(list[k].of) {
				continue
			}
			holdsOther, open := s.holdsOther(list[k].of, list[j].of, side)
			if !holdsOther {
				return false
			}
			list[k].open = max(list[k].open, open)
		}
		return true
	}
	stays := func(k int) bool {
		for j := range list {
			if list[j].of.replaces(list[k].of) {
				if holdsOther, open := s.holdsOther(list[k].of, list[j].of, side); !holdsOther || open != NoReason {
					return false
				}
			}
		}
		return list[k].open == NoReason
	}
	var largest, smallest, floor *ExactFactor
	open := NoReason
	for k := range list {
		if !holds(k) {
			continue
		}
		e := list[k].of
		if largest == nil || value(e) > value(largest) {
			largest = e
		}
		if smallest == nil || value(e) < value(smallest) {
			smallest = e
		}
		if stays(k) && (floor == nil || value(e) > value(floor)) {
			floor = e
		}
		open = max(open, list[k].open)
	}
	if floor != nil {
		smallest = floor
	}
	chosen := smallest
	if most {
		chosen = largest
	}
	f := FactorInForce{Value: value(chosen), Basis: factors.basis()}
	if chosen != &general {
		f.By, f.Basis = chosen, chosen.Basis
	}
	if value(smallest) != value(largest) {
		f.Unsure = open
	}
	return f
}

// appliesTo tells whether a factor is for the subject's assembly in a load case, and why that is not known where it may or may not be.
func (s *Subject) appliesTo(e *ExactFactor, c *LoadCase, side Side, unit *basis.Unit) (applies bool, open Reason) {
	for _, part := range [...]func() (bool, Reason){
		func() (bool, Reason) { return e.isForCase(c), NoReason },
		func() (bool, Reason) { return e.isOfKind(c) },
		func() (bool, Reason) { return s.isMadeOf(e, unit) },
		func() (bool, Reason) { return s.isInstalled(e) },
		func() (bool, Reason) { return s.endsHere(e) },
		func() (bool, Reason) { return s.holdsCrossing(e, side) },
	} {
		ok, unknown := part()
		if !ok {
			return false, NoReason
		}
		open = max(open, unknown)
	}
	return true, open
}

// isForCase tells whether a factor is for a load case by its name.
func (e *ExactFactor) isForCase(c *LoadCase) bool {
	return len(e.Cases) == 0 || slices.ContainsFunc(e.Cases, func(name string) bool { return IsSameLoadCase(name, c.Name) })
}

// isOfCase tells whether a factor is for a load case, or may be.
func (e *ExactFactor) isOfCase(c *LoadCase) bool {
	ofKind, _ := e.isOfKind(c)
	return e.isForCase(c) && ofKind
}

// isOfKind tells whether a load case is of a kind that a factor is for. Of one that states no kind that is not known.
func (e *ExactFactor) isOfKind(c *LoadCase) (applies bool, open Reason) {
	switch {
	case len(e.Kinds) == 0:
		return true, NoReason
	case c.Kind == "":
		return true, CaseKindNotStated
	}
	return isNamed(e.Kinds, c.Kind), NoReason
}

// isMadeOf tells whether a unit is of the type and material that a factor is for.
func (s *Subject) isMadeOf(e *ExactFactor, unit *basis.Unit) (applies bool, open Reason) {
	switch {
	case len(e.Units) == 0 && len(e.Materials) == 0:
		return true, NoReason
	case unit == nil:
		return true, s.Assembly.lacksString()
	case len(e.Units) > 0 && !isNamed(e.Units, unit.Name):
		return false, NoReason
	case len(e.Materials) == 0:
		return true, NoReason
	case strings.TrimSpace(unit.Material) == "":
		return true, FactorAsksMaterial
	}
	return isNamed(e.Materials, unit.Material), NoReason
}

// isInstalled tells whether an assembly was installed in the years that a factor is for.
func (s *Subject) isInstalled(e *ExactFactor) (applies bool, open Reason) {
	if !e.AsksInstalled() {
		return true, NoReason
	}
	a := s.Assembly
	if !a.Dated {
		return true, a.lacks(true, CellRemarks, FactorAsksInstalled)
	}
	first, last := a.Installed.Between()
	if e.InstalledBefore > 0 {
		switch edge := newYear(e.InstalledBefore); {
		case first >= edge:
			return false, NoReason
		case last >= edge:
			open = FactorAsksInstalled
		}
	}
	if e.InstalledFrom > 0 {
		switch edge := newYear(e.InstalledFrom); {
		case last < edge:
			return false, NoReason
		case first < edge:
			open = FactorAsksInstalled
		}
	}
	return true, open
}

// newYear is the first day of a year.
func newYear(year int) Day {
	first, _ := YearOf(year).Between()
	return first
}

// date says when an assembly was installed, where a factor goes by that. What stands for two sets of different days, or states a day that has
// not been, says nothing of it. What a trial hangs anew says itself which day stands for all that it may be hung on.
func (v *visitor) date(a *Assembly, trial *TrialRow) {
	if !v.n.Criteria(v.line).InsulatorFactor.asksInstalled() {
		return
	}
	p := v.n.Project
	switch second, isPair := v.n.SecondOf(a.Row); {
	case trial != nil:
		a.Installed = trial.Row.Installed
	case isPair && p.Assemblies.ownOf(uint32(second)).Installed != p.Assemblies.ownOf(uint32(a.Row)).Installed:
		return
	default:
		a.Installed = p.Assemblies.ownOf(uint32(a.Row)).Installed
	}
	a.Dated = a.Installed != NoDay && !a.Installed.isBeyond(p.AsOf)
}

// endsHere tells whether the line or the circuit of an assembly ends where a factor is for that.
func (s *Subject) endsHere(e *ExactFactor) (applies bool, open Reason) {
	switch {
	case e.At == "", s.Structure.Role == Terminal && s.Structure.RunsOn == 0, s.Assembly.CircuitEnds:
		return true, NoReason
	case s.Assembly.Faulty.Has(CellCircuits):
		return true, FaultyField
	case s.Structure.Role == Terminal, s.Assembly.CircuitMayEnd: // another line, perhaps the same one by another name, or another circuit goes on
		return true, FactorAsksEnd
	}
	return false, NoReason
}

// holdsOther tells whether an assembly holds a span that crosses what a factor is for and not one for fewer kinds, which then takes its place for
// those alone.
func (s *Subject) holdsOther(e, fewer *ExactFactor, side Side) (applies bool, open Reason) {
	if len(e.Crossings) == 0 {
		return false, NoReason
	}
	other := ExactFactor{Crossings: slices.DeleteFunc(slices.Clone(e.Crossings), func(kind string) bool { return isNamed(fewer.Crossings, kind) })}
	if len(other.Crossings) == 0 {
		return false, NoReason
	}
	return s.holdsCrossing(&other, side)
}

// holdsCrossing tells whether an assembly holds a span that crosses what a factor is for: of a tension assembly the span on a side.
func (s *Subject) holdsCrossing(e *ExactFactor, side Side) (applies bool, open Reason) {
	if len(e.Crossings) == 0 {
		return true, NoReason
	}
	may := NoReason
	if !s.CrossingsGiven && !(s.Criteria.LongSpanM.Known() && len(e.Crossings) == 1 && isNamed(e.Crossings, LongSpanKind)) {
		may = FactorAsksCrossings
	}
	for _, of := range [...]Side{Back, Ahead} {
		if side != NoSide && side != of {
			continue
		}
		asked := &s.Structure.Ahead
		if of == Back {
			asked = &s.Structure.Back
		}
		for _, kind := range asked.Kinds {
			if isNamed(e.Crossings, kind) {
				return true, NoReason
			}
		}
		switch {
		case asked.Unreadable || asked.MayCross:
			may = FaultyField
		case may == NoReason && s.Structure.CutOff() && math.IsNaN(s.Structure.spanM(of)):
			may = BeyondExtract
		}
	}
	return may != NoReason, may
}
