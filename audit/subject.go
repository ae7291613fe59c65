package audit

import (
	"math"

	"dryarc/audit/basis"
)

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
	// Trial tells that only the outcome and the figures of a verdict count, and nobody reads its sentence.
	Trial bool
	loads *loadMemo // of the structure, nil where loads are found anew each time
	// Registered is what the register holds for the structure.
	Registered Registered
	// Name gives the text of a symbol, for sentences.
	Name func(Symbol) string
}

// Registered counts the assemblies of one structure.
type Registered struct {
	Rows         int32 // all
	CarryPhase   int32 // all but earth-wire and guy insulators, jumpers included
	Duties       [Guy + 1]int32
	NoRegister   bool
	LineUnlisted bool // no row of the whole line
}

// NeedsSentence tells whether a verdict on the subject is to be put into words: one that falls short, unless on trial.
func (s *Subject) NeedsSentence(v Verdict) bool { return v.Outcome == FallsShort && !s.Trial }

// Lacks returns why a needed field of the subject is unknown, or NoReason where it is known.
func (s *Subject) Lacks(f Field) Reason {
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
		case s.Structure.Doubt != NoReason:
			return s.Structure.Doubt
		case s.Structure.Class == 0:
			return NoClass
		}
		return ClassWithoutFigure
	case FieldWeightSpan:
		return s.lacksWeightSpan()
	case FieldPull:
		_, reason := s.WorstPull(0)
		return reason
	case FieldPullBroken:
		_, reason := s.WorstPull(1)
		return reason
	case FieldSwing:
		_, _, reason := s.WorstSwing()
		return reason
	case FieldSwingLimit:
		return unknown(s.Line.Row.SwingLimitDeg, SwingLimitNotStated)
	case FieldLightningWithstand:
		return s.lacksWithstand(Lightning)
	case FieldSwitchingWithstand:
		return s.lacksWithstand(Switching)
	case FieldWetWithstand:
		return s.lacksWithstand(Wet)
	case FieldNominalVoltage:
		return s.lacksVoltage(s.Line.Row.NominalKV)
	case FieldHighestVoltage:
		return s.lacksVoltage(s.Line.HighestKV)
	case FieldLongestString:
		return unknown(s.Line.Row.LongestStringMM, LongestStringNotStated)
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

func (s *Subject) lacksWeightSpan() Reason {
	if !math.IsNaN(s.Structure.WeightSpanColdM) {
		return NoReason
	}
	if _, reason := s.Line.coldConstantM(s.Criteria, s.Structure); reason != NoReason {
		return reason
	}
	return s.groundReason()
}

func (s *Subject) lacksVoltage(figureKV float64) Reason {
	if math.IsNaN(figureKV) && s.Line.Row.Faulty.Has(FieldVoltage) {
		return FaultyField
	}
	return unknown(figureKV, VoltageUnknown)
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
	case FieldStringLength:
		return a.lacksLength(), true
	case FieldRatingOfString:
		switch across := a.Duty == Pin || a.Duty == Post || a.Duty == Shackle; {
		case across && a.Unit == nil:
			return a.lacksString(), true
		case across:
			return unknown(a.Unit.CantileverKN, CantileverUnknown), true
		case !math.IsNaN(a.RatingKN()):
			return NoReason, true
		case a.Faulty.Has(FieldRating) || a.Faulty.Has(FieldUnit):
			return FaultyField, true
		}
		return RatingUnknown, true
	case FieldCouplings:
		return a.lacksCouplings(), true
	case FieldPuncture:
		switch {
		case a.Unit == nil:
			return a.lacksString(), true
		case math.IsNaN(a.Unit.DryKV) || math.IsNaN(a.Unit.PunctureKV):
			return PunctureUnknown, true
		}
		return NoReason, true
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

func (a *Assembly) lacksLength() Reason {
	switch {
	case !math.IsNaN(a.LengthMM()):
		return NoReason
	case a.Faulty.Has(FieldLength):
		return FaultyField
	case a.Makeup == nil:
		return a.lacksString()
	case a.UnitsPerString < 0:
		return UnitsNotStated
	}
	return SpacingUnknown
}

func (a *Assembly) lacksCouplings() Reason {
	if a.Makeup == nil {
		return a.lacksString()
	}
	for _, part := range a.Makeup.Parts {
		if len(a.Makeup.Parts) > 1 && a.units[part.Unit].Coupling == "" {
			return CouplingUnknown
		}
	}
	return NoReason
}

// Distribution tells how the voltage spreads along a string of like units, where the line states the ratio of the
// capacitance to earth over that of a unit: the share that the unit at the conductor carries, and the string's
// efficiency. Indicative only: with this ratio alone long strings come out too pessimistic.
func (s *Subject) Distribution() (share, efficiency float64, ok bool) {
	a := s.Assembly
	if a == nil || a.Unit == nil || !a.Unit.Kind.HasUnitCount() || len(a.Makeup.Parts) > 1 || a.UnitsPerString < 1 || math.IsNaN(s.Line.Row.CapacitanceRatio) {
		return 0, 0, false
	}
	shares, err := basis.VoltageShares(a.UnitsPerString, s.Line.Row.CapacitanceRatio)
	if err != nil {
		return 0, 0, false
	}
	return shares[len(shares)-1], basis.StringEfficiency(shares), true
}
