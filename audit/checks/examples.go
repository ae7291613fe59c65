package checks

import (
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// The subjects of the worked examples: the same values that a run builds from the inputs, made by hand.

// lineAt is a three-phase line with earthed neutral whose limits are stated.
func lineAt(highestKV float64) *audit.Line {
	line := &audit.Line{Row: audit.UnknownLineRow(), HighestKV: highestKV, PhaseToEarthKV: highestKV / math.Sqrt(3)}
	line.Row.Phases = phases("ABC")
	return line
}

func structureOf(role audit.Role, deviationDeg float64) *audit.Structure {
	s := &audit.Structure{Role: role, DeviationDeg: deviationDeg, SpanBackM: 300, SpanAheadM: 300, GroundM: 0,
		DeviationLimitDeg: 2, LimitStated: true, PinLimitDeg: math.NaN(), WeightSpanColdM: math.NaN(),
		Worse: audit.WorseZone{DistanceM: math.NaN()}}
	if role == audit.Tee {
		s.TeeOf = 1
	}
	return s
}

func subjectAt(structure *audit.Structure, line *audit.Line) audit.Subject {
	criteria := audit.DefaultCriteria()
	return audit.Subject{Criteria: &criteria, Line: line, Structure: structure, Name: func(symbol audit.Symbol) string {
		if symbol == 0 {
			return "1"
		}
		return "T2"
	}}
}

// suspensionAt is a suspension assembly of nine standard discs at a structure of a 132 kV line.
func suspensionAt(structure *audit.Structure) audit.Subject {
	s := subjectAt(structure, lineAt(145))
	s.Assembly = discs(9, 295, 0)
	return s
}

// stringIn is a suspension string of like units on a straight run in a pollution class.
func stringIn(class basis.Class, highestKV float64, units int, unitCreepageMM float64, defective int) audit.Subject {
	structure := structureOf(audit.Tangent, 0)
	structure.Class = class
	s := subjectAt(structure, lineAt(highestKV))
	structure.SpecificCreepage = s.Criteria.SpecificCreepage(class)
	s.Assembly = discs(units, unitCreepageMM, defective)
	return s
}

func discs(units int, unitCreepageMM float64, defective int) *audit.Assembly {
	unit := basis.UnknownUnit()
	unit.Name, unit.Kind, unit.CreepageMM = "disc", basis.CapAndPin, unitCreepageMM
	a := &audit.Assembly{Duty: audit.Suspension, Phases: phases("A"), UnitsPerString: units, Strings: 1, Defective: defective}
	a.SetMakeup(&audit.Makeup{Text: unit.Name, Parts: []audit.Part{{Unit: 0}}}, []basis.Unit{unit})
	return a
}

func placeOf(place audit.Place) audit.Subject {
	s := subjectAt(structureOf(audit.Angle, 20), lineAt(145))
	s.Place = &place
	return s
}

func phases(text string) audit.Phases {
	set, ok := audit.ParsePhases(text)
	if !ok {
		panic("checks: no phases: " + text)
	}
	return set
}
