package checks

import (
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// The subjects of the worked examples: the same values that a run builds from the inputs, made by hand.

// lineAt is a three-phase line with earthed neutral whose limits are stated.
func lineAt(highestKV float64) *audit.Line {
	line := &audit.Line{Row: audit.UnknownLineRow(), HighestKV: highestKV, WetKV: math.NaN(), PhaseToEarthKV: basis.PhaseToEarth(highestKV), Along: audit.AlongPhase}
	line.Row.Phases = phases("ABC")
	return line
}

func structureOf(role audit.Role, deviationDeg float64) *audit.Structure {
	s := &audit.Structure{Role: role, DeviationDeg: deviationDeg, SpanBackM: 300, SpanAheadM: 300, GroundM: 0,
		DeviationLimitDeg: 2, LimitStated: true, PinLimitDeg: math.NaN(), WeightSpanColdM: math.NaN(),
		Worse: audit.WorseZone{DistanceM: math.NaN()}}
	s.HeightBackM, s.HeightM, s.HeightAheadM = math.NaN(), math.NaN(), math.NaN()
	s.RulingBackM, s.RulingAheadM = math.NaN(), math.NaN()
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
	unit.Name, unit.Kind, unit.CreepageMM, unit.SpacingMM, unit.DiameterMM = "disc", basis.CapAndPin, unitCreepageMM, basis.StandardSpacingMM, 255
	a := &audit.Assembly{Duty: audit.Suspension, Phases: phases("A"), UnitsPerString: units, Strings: 1, Defective: defective,
		Direct: audit.UnknownDirectValues()}
	a.SetMakeup(&audit.Makeup{Text: unit.Name, Parts: []audit.Part{{Unit: 0}}}, []basis.Unit{unit})
	return a
}

// discsAt is a suspension string of standard discs (146 × 255 mm, creepage 295 mm) at an altitude, on a line with a
// lightning level.
func discsAt(highestKV, lightningKV float64, units int, groundM float64) audit.Subject {
	structure := structureOf(audit.Tangent, 0)
	structure.GroundM = groundM
	line := lineAt(highestKV)
	line.Row.LightningKV = lightningKV
	if highestKV == 145 {
		line.Row.NominalKV = 132
	}
	line.WetKV, _ = basis.PowerFrequencyLevel(highestKV, lightningKV)
	s := subjectAt(structure, line)
	s.Assembly = discs(units, 295, 0)
	return s
}

// loadedAt is a suspension string on a line with a conductor of 15.965 N/m and 28.14 mm, spans of 300 m on level ground,
// and one load case of 290 Pa at 28.02 kN with a factor of 2.
func loadedAt(structure *audit.Structure) audit.Subject {
	s := suspensionAt(structure)
	conductor := basis.UnknownConductor()
	conductor.Name, conductor.MassKgPerM, conductor.DiameterMM = "drum 12", 15.965/basis.Gravity, 28.14
	s.Line.Conductor = &conductor
	s.Line.Row.MaximumTensionKN, s.Line.Row.Subconductors = 28.02, 1
	s.Line.Row.SwingLimitDeg = 30
	structure.WindSpanM = 300
	structure.HeightBackM, structure.HeightM, structure.HeightAheadM = 0, 0, 0
	s.Criteria.LoadCases = []audit.LoadCase{{Name: "high wind", WindPa: 290, From: audit.MaximumTension, Factor: 1}}
	s.Criteria.InsulatorFactor = audit.InsulatorFactor{Basis: "NESC 277", Tension: 2, Suspension: 2, Cantilever: 2.5, Compression: 2, OneStringBroken: 1.5}
	s.Assembly.Unit.RatingKN = 120
	s.Assembly.Unit.WindAreaM2 = 0 // which the published form leaves out
	return s
}

// mixedString is a string of 14 units and one other, with their couplings.
func mixedString(coupling, other string) audit.Subject {
	s := discsAt(245, 1050, 15, 0)
	first, second := *s.Assembly.Unit, *s.Assembly.Unit
	first.Name, first.Coupling = "U70BL", coupling
	second.Name, second.Coupling = "U120B", other
	s.Assembly.SetMakeup(&audit.Makeup{Text: "14×U70BL + 1×U120B", Parts: []audit.Part{{Unit: 0, Count: 14}, {Unit: 1, Count: 1}}},
		[]basis.Unit{first, second})
	return s
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
