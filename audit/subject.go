package audit

import "math"

// Subject is what a check looks at: always the criteria and a line; a structure unless the check is of lines; an
// assembly, a place or a structure beyond a span where the check is of those. It is a value: a trial assembly is
// a Subject with another Assembly.
type Subject struct {
	Criteria  *Criteria
	Line      *Line
	Structure *Structure
	Assembly  *Assembly
	Place     *Place
	Section   *Section
	// CrossingsGiven tells whether the project says what spans cross.
	CrossingsGiven bool
	// Registered is what the register holds for the structure.
	Registered Registered
	// Name gives the text of a symbol, for sentences.
	Name func(Symbol) string
}

// Registered counts the assemblies of one structure.
type Registered struct {
	Rows         int // all
	CarryPhase   int // all but earth-wire and guy insulators, jumpers included
	Duties       [Guy + 1]int
	NoRegister   bool
	LineUnlisted bool // no row of the whole line
}

// Lacks returns why a needed field of the subject is unknown, or NoReason where it is known.
func (s Subject) Lacks(f Field) Reason {
	if s.Assembly != nil {
		if reason, mine := s.Assembly.lacks(f); mine {
			return reason
		}
	}
	switch f {
	case FieldDeviation:
		return unknown(s.Structure.DeviationDeg, DeviationUnknown)
	case FieldSpecificCreepage:
		switch {
		case !math.IsNaN(s.Structure.SpecificCreepage):
			return NoReason
		case s.Structure.Class == 0:
			return NoClass
		}
		return ClassWithoutFigure
	case FieldWeightSpan:
		return s.lacksWeightSpan()
	case FieldSectionLimit:
		return unknown(s.Line.Row.SectionLimitKM, SectionLimitNotStated)
	case FieldPhaseToEarth:
		return s.Line.NoVoltage
	case FieldCreepageAltitude:
		if s.Criteria.CreepageAltitudeExponent.Value == 0 {
			return NoReason
		}
		return s.Lacks(FieldGround)
	case FieldGround:
		if s.Structure.Faulty.Has(FieldGround) {
			return FaultyField
		}
		return unknown(s.Structure.GroundM, GroundUnknown)
	}
	return NoReason
}

func (s Subject) lacksWeightSpan() Reason {
	switch {
	case !math.IsNaN(s.Structure.WeightSpanColdM):
		return NoReason
	case s.Line.Conductor == nil || math.IsNaN(s.Line.Conductor.MassKgPerM):
		return ConductorUnknown
	case math.IsNaN(s.Line.Row.ColdTensionKN):
		return ColdTensionUnknown
	case s.Structure.Faulty.Has(FieldGround):
		return FaultyField
	case s.Structure.Changes != "":
		return OtherConductor
	}
	return GroundUnknown
}

func unknown(figure float64, reason Reason) Reason {
	if math.IsNaN(figure) {
		return reason
	}
	return NoReason
}

// lacks answers for the fields of an assembly; mine is false for other fields.
func (a *Assembly) lacks(f Field) (reason Reason, mine bool) {
	missing := func(is bool, reason Reason) (Reason, bool) {
		switch {
		case !is:
			return NoReason, true
		case a.Faulty.Has(f):
			return FaultyField, true
		}
		return reason, true
	}
	switch f {
	case FieldDuty:
		return missing(a.Duty == DutyUnknown, DutyNotStated)
	case FieldSide:
		return missing(a.Duty.HasSides() && a.Side == NoSide, SideNotStated)
	case FieldUnit:
		return missing(a.Makeup == nil, UnitNotStated)
	case FieldUnitsPerString:
		return missing(a.UnitsPerString < 0, UnitsNotStated)
	case FieldStrings:
		return missing(a.Strings < 0, StringsNotStated)
	case FieldDefective:
		return missing(a.Defective < 0, DefectiveNotStated)
	case FieldCreepage:
		switch {
		case !math.IsNaN(a.CreepageMM):
			return NoReason, true
		case a.Faulty.Has(FieldCreepage) || a.Faulty.Has(FieldUnit) || a.Faulty.Has(FieldUnitsPerString):
			return FaultyField, true
		case a.Makeup == nil:
			return UnitNotStated, true
		case a.UnitsPerString < 0:
			return UnitsNotStated, true
		}
		return UnitCreepageUnknown, true
	}
	return NoReason, false
}
