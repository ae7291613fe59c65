package read

import (
	"fmt"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// asking is what a zone asks for, or why that cannot be told.
type asking struct {
	stated           audit.StatedFigure
	class            basis.Class
	specificCreepage float64 // mm/kV on the project's basis, 0 where the class decides
	base             basis.Base
	unknown          audit.Reason
}

// notAssessed ends the fault of a zone whose class or figure cannot be told.
const notAssessed = "; creepage in its area is not assessed"

// asks reads what a zone asks for: a class, a figure, or both where they say the same. What cannot be read, says no base or
// contradicts itself is a fault and leaves it unknown.
func (r *zoneReader) asks(f *feature, at audit.Source) asking {
	text, plain := propertyText(f.property(r.names.class.name))
	var classes []basis.Class
	readable := false
	if plain {
		classes, readable = basis.ClassesIn(r.house.text(classList, text))
	}
	figure, base, given, usable := r.figure(f, at)
	fault := func(kind audit.FaultKind, expected string) { r.fault(at, kind, r.names.class.name, text, expected) }
	switch {
	case len(classes) > 1:
		fault(audit.UnknownWord, fmt.Sprintf("names more than one class, %s, expected one", lettersOf(classes))+notAssessed)
		return asking{unknown: audit.ZoneClassUnreadable}
	case given && !usable:
		if text != "" && !readable {
			fault(audit.UnknownWord, "is no pollution class, expected a to f"+notAssessed)
		}
		return asking{unknown: audit.ZoneFigureUnreadable}
	case given && text != "" && !readable:
		fault(audit.UnknownWord, "is no pollution class, expected a to f; the specific creepage decides")
	case given && readable:
		return r.both(f, at, classes[0], figure, base)
	case given:
	case text == "":
		fault(audit.MissingValue, "is blank, expected a pollution class a to f"+notAssessed)
		return asking{unknown: audit.ZoneClassUnreadable}
	case !readable:
		r.unknownWord(at, r.names.class.name, classList, "is no pollution class, expected a to f"+notAssessed, text)
		return asking{unknown: audit.ZoneClassUnreadable}
	default:
		return asking{class: classes[0]}
	}
	return r.settled(audit.StatedFigure{MMPerKV: figure, Base: base})
}

// settled is what a zone asks for that states a figure.
func (r *zoneReader) settled(stated audit.StatedFigure) asking {
	class, figure, ok := stated.Under(r.criteria)
	switch {
	case !ok:
		return asking{stated: stated, unknown: audit.ZoneFigureUnreadable}
	case figure == 0:
		return asking{stated: stated, class: class}
	}
	return asking{stated: stated, class: class, specificCreepage: figure, base: stated.Base}
}

// both takes a class and a figure of one zone. Where the figure is that of the class the class decides, on the basis of the
// project; a class without a figure takes the zone's.
func (r *zoneReader) both(f *feature, at audit.Source, class basis.Class, figure float64, base basis.Base) asking {
	settled := r.settled(audit.StatedFigure{Class: class, MMPerKV: figure, Base: base})
	if settled.unknown == audit.NoReason {
		return settled
	}
	name := r.names.specificCreepage.name
	text, _ := propertyText(f.property(name))
	r.fault(at, audit.OutOfRange, name, text, fmt.Sprintf("on %s is not the figure of class %s, which the zone says too, expected %.4g mm/kV or no class%s", base, class,
		basis.OnBase(r.criteria.SpecificCreepage(class), r.criteria.CreepageBasis.Base(), base), notAssessed))
	return settled
}

// figure returns the specific creepage that a zone states itself, in mm/kV on its base; usable is false where it cannot be
// told what it means.
func (r *zoneReader) figure(f *feature, at audit.Source) (figure float64, base basis.Base, given, usable bool) {
	name := r.names.specificCreepage.name
	raw := f.property(name)
	text, _ := propertyText(raw)
	written, isNumber, given := propertyNumber(raw)
	if !given || !isNumber {
		r.idleBase(f, at)
	}
	if !given {
		return 0, basis.NoBase, false, false
	}
	if !isNumber {
		r.fault(at, audit.NotANumber, name, text, "is not a number"+notAssessed)
		return 0, basis.NoBase, true, false
	}
	if base = r.base(f, at); base == basis.NoBase {
		return 0, base, true, false
	}
	in := r.names.specificCreepage.in
	figure = written*in.factor + in.offset
	if len(in.names) == 0 {
		in.names = millimetresPerKilovolt.units[0].names
	}
	if least := basis.LeastSpecificCreepage(base); !(figure >= least*(1-1e-9) && figure <= basis.MostSpecificCreepage) {
		r.fault(at, audit.OutOfRange, name, text, outOfRange(least, basis.MostSpecificCreepage, in).expected+" on "+base.String()+notAssessed)
		return 0, base, true, false
	}
	return figure, base, true, true
}

// base returns the base of the figure of a zone: its own, else the one that the project file states for all.
func (r *zoneReader) base(f *feature, at audit.Source) basis.Base {
	name := r.names.creepageBase.name
	text, _ := propertyText(f.property(name))
	base, known := basis.ParseBase(text)
	switch {
	case text == "" && r.names.base != basis.NoBase:
		return r.names.base
	case text == "":
		r.fault(at, audit.MissingValue, name, "", "is blank, expected "+basis.BaseWords+notAssessed)
	case !known:
		r.fault(at, audit.UnknownWord, name, text, "is no base of specific creepage, expected "+basis.BaseWords+notAssessed)
	case r.names.base != basis.NoBase && base != r.names.base:
		r.fault(at, audit.UnknownWord, name, text, fmt.Sprintf("contradicts the project file, which says %s%s", r.names.base, notAssessed))
		return basis.NoBase
	}
	return base
}

// idleBase faults a base that cannot be read where no figure is there to rest on it.
func (r *zoneReader) idleBase(f *feature, at audit.Source) {
	name := r.names.creepageBase.name
	text, _ := propertyText(f.property(name))
	if _, known := basis.ParseBase(text); text != "" && !known {
		r.project.Faults.Add(audit.Fault{Kind: audit.UnknownWord, At: at, Column: name, Value: strings.Clone(excerpt(text)), Weight: audit.ByTheWay,
			Expected: "is no base of specific creepage, expected " + basis.BaseWords})
	}
}

func lettersOf(classes []basis.Class) string {
	letters := make([]string, len(classes))
	for i, class := range classes {
		letters[i] = class.String()
	}
	return strings.Join(letters, " and ")
}
