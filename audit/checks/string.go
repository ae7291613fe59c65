package checks

import (
	"fmt"
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// capAndPin tells the strings that are counted in units, and those that may be, since the kind of their units is not stated.
func capAndPin(s *audit.Subject) audit.Reason {
	if s.Assembly.Makeup != nil && !s.Assembly.MayBeCapAndPin() {
		return audit.NotCapAndPin
	}
	return carriesPhase(s)
}

var unitsForVoltage = audit.Check{
	ID:       "units-for-voltage",
	Title:    "Fewer units than any string of this voltage has",
	Of:       audit.OfAssembly,
	Severity: audit.Advisory,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "n·P/146 ≥ ceil(U_n/√3/11)",
		Symbols: []audit.Explained{
			{Symbol: "n", Meaning: "units per string"},
			{Symbol: "P", Meaning: "spacing of the unit", Measure: "mm"},
			{Symbol: "U_n", Meaning: "nominal voltage of the line", Measure: "kV"},
		},
		Limits: "Strings of cap-and-pin units of three-phase lines; of single-phase railways too, with U_n in place of U_n/√3. The voltage is that of service, however the neutral is treated. About 11 kV of phase voltage for a standard disc: a floor that finds mistakes of the register, no rule of design; usual strings are longer.",
		Example: audit.Example{
			Story:   "6 standard discs on a 132 kV line",
			Subject: func() audit.Subject { return discsAt(145, 650, 6, 0) },
			Outcome: audit.FallsShort, Observed: 6, Required: 7,
			Source: "common practice: 132/√3/11 = 6.93, rounded up",
		},
	},
	Trusts: []audit.Need{audit.NeedsDuty, audit.NeedsKind},
	Needs:  []audit.Need{audit.NeedsDuty, audit.NeedsNominalVoltage, audit.NeedsUnit, audit.NeedsKindStated, audit.NeedsUnitsPerString, audit.NeedsInsulatingLength},
	Reads:  audit.ReadsLine,
	Rests:  audit.RestsOnLength,
	OfLine: audit.ReadsVoltages | audit.ReadsLimits,
	Remedy: "Count the units on site; the register is likely wrong.",
	Concerns: func(s *audit.Subject) audit.Reason {
		if !s.Line.Row.System.ThreePhase() && s.Line.Row.System != audit.SinglePhaseRailway {
			return audit.NotThreePhase
		}
		return capAndPin(s)
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		floor := float64(basis.PracticeFloor(s.Line.NominalAlongKV()))
		standard := basis.StandardDiscs(1, s.Assembly.InsulatingMM(s.Line))
		if t.On() {
			along, sheet := "U_n/√3", "U_n/SQRT(3)"
			if s.Line.Row.System.IsRailway() {
				along, sheet = "U_n", "U_n"
			}
			t.Add(audit.Step{Symbol: "n_floor", Meaning: "least number of standard discs", Formula: fmt.Sprintf("ceil(%s/%g)", along, basis.PhaseKVPerDisc),
				Inputs: []audit.Operand{{Symbol: "U_n", Value: audit.Figure(s.Line.Row.NominalKV, "kV")}},
				Result: audit.Figure(floor, ""), Role: audit.Required, Clause: basis.CommonPractice, Sheet: fmt.Sprintf("CEILING(%s/%g,1)", sheet, basis.PhaseKVPerDisc)})
			t.Add(audit.Step{Symbol: "n_std", Meaning: "standard discs of the same length, without fittings", Formula: fmt.Sprintf("length/%g", basis.StandardSpacingMM),
				Inputs: []audit.Operand{{Symbol: "length", Value: audit.Figure(s.Assembly.InsulatingMM(s.Line), "mm")}},
				Result: audit.Figure(standard, ""), Role: audit.Observed, Clause: basis.CommonPractice, Sheet: fmt.Sprintf("length/%g", basis.StandardSpacingMM)})
		}
		v := audit.AtLeast(standard, floor, "standard discs")
		if s.NeedsSentence(v) {
			v = v.Saying(fmt.Sprintf("%s is as long as %.1f standard discs; no string of a %g kV line has fewer than %.0f.",
				s.Assembly.Hanging(), standard, s.Line.Row.NominalKV, floor))
		}
		return v
	},
}

var tensionFewerUnits = audit.Check{
	ID:       "tension-fewer-units",
	Title:    "Tension string shorter than the line's suspension strings",
	Of:       audit.OfAssembly,
	Severity: audit.Advisory,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "C ≥ C_s and S ≥ S_s",
		Symbols: []audit.Explained{
			{Symbol: "C, S", Meaning: "creepage and length of the tension string, without fittings", Measure: "mm"},
			{Symbol: "C_s, S_s", Meaning: "those of most suspension strings of the line where the same specific creepage is in force", Measure: "mm"},
		},
		Limits: "Tension assemblies of lines with at least three suspension strings in the same class. Creepage and length are compared, not counts, since units differ; the length is that of the units, the row's where theirs is not known. The smaller margin is shown.",
		Example: audit.Example{
			Story: "9 units of 295 mm in tension where the suspension strings have 10",
			Subject: func() audit.Subject {
				s := discsAt(145, 650, 9, 0)
				s.Assembly.Duty, s.Assembly.Side = audit.Tension, audit.Back
				s.Structure.SpecificCreepage = s.Criteria.SpecificCreepage(basis.ClassC)
				s.Line.Usual = []audit.Usual{{SpecificCreepage: s.Structure.SpecificCreepage, CreepageMM: 2950, LengthMM: 1460, Strings: 30}}
				return s
			},
			Outcome: audit.FallsShort, Observed: 2655, Required: 2950,
			Source: "common practice: 15/16 and 23/24 units in suspension and tension in the two published line specifications of the creepage figures",
		},
	},
	Trusts: []audit.Need{audit.NeedsDuty},
	Needs:  []audit.Need{audit.NeedsDuty, audit.NeedsCreepage, audit.NeedsInsulatingLength, audit.NeedsSpecificCreepage},
	Reads:  audit.ReadsZone,
	Rests:  audit.RestsOnCreepage | audit.RestsOnLength,
	OfLine: audit.ReadsLimits,
	Remedy: "Lengthen the tension string to at least the suspension string.",
	Concerns: func(s *audit.Subject) audit.Reason {
		if s.Assembly.Duty != audit.Tension && s.Assembly.Duty != audit.DutyUnknown {
			return audit.NotTensionString
		}
		return audit.NoReason
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		if s.Structure.Doubt != audit.NoReason {
			return audit.CannotTell(s.Structure.Doubt)
		}
		usual, reason := s.Line.UsualAt(s.Structure.SpecificCreepage)
		switch {
		case reason == audit.NoReason:
		case reason == audit.FaultyField:
			return audit.CannotTell(reason)
		case s.Line.UsualInDoubt:
			return audit.CannotTell(audit.ZonesAroundUnknown)
		default:
			return audit.DoesNotApply(reason)
		}
		creepage, length := s.Assembly.CreepageMM, s.Assembly.InsulatingMM(s.Line)
		v, what := audit.AtLeast(creepage, usual.CreepageMM, "mm"), "creepage"
		if byLength := audit.AtLeast(length, usual.LengthMM, "mm"); byLength.Margin < v.Margin {
			v, what = byLength, "length"
		}
		if t.On() {
			role := func(is audit.StepRole, of string) audit.StepRole {
				if of != what {
					return audit.InBetween
				}
				return is
			}
			t.Add(audit.Step{Symbol: "C_s", Meaning: fmt.Sprintf("creepage of %d suspension strings", usual.Strings), Result: audit.Figure(usual.CreepageMM, "mm"),
				Role: role(audit.Required, "creepage"), Clause: basis.CommonPractice})
			t.Add(audit.Step{Symbol: "C", Meaning: "creepage of the tension string", Result: audit.Figure(creepage, "mm"), Role: role(audit.Observed, "creepage")})
			t.Add(audit.Step{Symbol: "S_s", Meaning: "length of the suspension strings", Result: audit.Figure(usual.LengthMM, "mm"),
				Role: role(audit.Required, "length"), Clause: basis.CommonPractice})
			t.Add(audit.Step{Symbol: "S", Meaning: "length of the tension string", Result: audit.Figure(length, "mm"), Role: role(audit.Observed, "length")})
		}
		if s.NeedsSentence(v) {
			v = v.Saying(fmt.Sprintf("The tension string %s has %.0f mm of %s, the line's suspension strings in the same class have %.0f mm.",
				s.Assembly.Hanging(), v.Observed.Number, what, v.Required.Number))
		}
		return v
	},
}

var mixedUnits = audit.Check{
	ID:       "mixed-units",
	Title:    "Unlike units in one string",
	Of:       audit.OfAssembly,
	Severity: audit.Advisory,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "kinds of unit in the string = 1",
		Symbols: []audit.Explained{{Symbol: "kinds of unit", Meaning: "units of different designation in one string"}},
		Limits:  "Strings whose Unit names several units. A repair with what was at hand; it shows where to look.",
		Example: audit.Example{
			Story:   "A string of 14 U70BL and one U120B",
			Subject: func() audit.Subject { return mixedString("16", "16") },
			Outcome: audit.FallsShort, Observed: 2, Required: 1,
			Source: "common practice",
		},
	},
	AnyCount: true,
	Trusts:   []audit.Need{audit.NeedsDuty, audit.NeedsUnit},
	Needs:    []audit.Need{audit.NeedsUnit},
	Reads:    audit.ReadsLine,
	Rests:    audit.RestsOnMake,
	OfLine:   audit.ReadsNoFigure,
	Remedy:   "Restore the string to one kind of unit at the next outage.",
	Concerns: carriesPhase,
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		kinds := float64(len(s.Assembly.Makeup.Parts))
		if t.On() {
			t.Add(audit.Step{Symbol: "kinds of unit", Meaning: s.Assembly.Hanging(), Result: audit.Figure(kinds, ""), Role: audit.Observed})
		}
		v := audit.AtMost(kinds, 1, "kinds")
		if s.NeedsSentence(v) {
			v = v.Saying(fmt.Sprintf("The string is made of unlike units: %s.", s.Assembly.Hanging()))
		}
		return v
	},
}

var couplingMismatch = audit.Check{
	ID:       "coupling-mismatch",
	Title:    "Couplings in one string that do not fit together",
	Of:       audit.OfAssembly,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.DiscDimensions},
	Method: audit.Method{
		Formula: "couplings of all units equal",
		Symbols: []audit.Explained{{Symbol: "coupling", Meaning: "size of ball and socket, or designation of the coupling"}},
		Limits:  "Strings of unlike units whose couplings are known. Only equal couplings fit (16, 16A and 16 mm are one); an adapter would be a part of its own.",
		Example: audit.Example{
			Story:   "A string of 14 units with coupling 16 and one with coupling 20",
			Subject: func() audit.Subject { return mixedString("16", "20") },
			Outcome: audit.FallsShort, Observed: math.NaN(), Required: math.NaN(),
			Source: "IEC 60305 coupling sizes (value from memory)",
		},
	},
	AnyCount: true,
	Trusts:   []audit.Need{audit.NeedsDuty, audit.NeedsUnit},
	Needs:    []audit.Need{audit.NeedsUnit, audit.NeedsCouplings},
	Reads:    audit.ReadsLine,
	Rests:    audit.RestsOnMake,
	OfLine:   audit.ReadsNoFigure,
	Remedy:   "Look whether an adapter is fitted, or correct the register.",
	Concerns: func(s *audit.Subject) audit.Reason {
		if s.Assembly.Makeup != nil && len(s.Assembly.Makeup.Parts) == 1 {
			return audit.OneKindOfUnit
		}
		return carriesPhase(s)
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		couplings := s.Assembly.Couplings()
		first := couplings[0]
		compared := 1 + slices.IndexFunc(couplings[1:], func(other string) bool { return !basis.SameCoupling(other, first) }) // 0 where all are alike
		if t.On() {
			for i, coupling := range couplings {
				step := audit.Step{Symbol: fmt.Sprintf("coupling %d", i+1), Result: audit.Word(coupling), Clause: basis.DiscDimensions}
				switch i {
				case 0:
					step.Role = audit.Required
				case max(compared, 1):
					step.Role = audit.Observed
				}
				t.Add(step)
			}
		}
		if other := couplings[compared]; !basis.SameCoupling(other, first) {
			return audit.IsWord(false, other, first).Saying(fmt.Sprintf("%s joins coupling %s to coupling %s.", s.Assembly.Hanging(), first, other))
		}
		return audit.IsWord(true, first, first)
	},
}

var stringTooLong = audit.Check{
	ID:       "string-too-long",
	Title:    "The string that creepage asks for, or that hangs there, is longer than the line allows",
	Of:       audit.OfAssembly,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.CommonPractice, basis.SpecificCreepageUnified, basis.SpecificCreepageLevels},
	Method: audit.Method{
		Formula: "ceil(L/c)·P ≤ S_max;  S_h ≤ S_max",
		Symbols: []audit.Explained{
			{Symbol: "L", Meaning: "creepage required", Measure: "mm"},
			{Symbol: "c", Meaning: "creepage of the unit", Measure: "mm"},
			{Symbol: "P", Meaning: "spacing of the unit", Measure: "mm"},
			{Symbol: "S_h", Meaning: "length of the string that hangs: the row's or units times spacing, the longer", Measure: "mm"},
			{Symbol: "S_max", Meaning: "longest string of the Lines sheet", Measure: "mm"},
		},
		Limits: "Strings of one kind of cap-and-pin unit, on lines that state their longest string: what clearances in the tower allow. Where both are too long the one that creepage asks for is told; what hangs is too long even where nobody knows what creepage asks for, or of which kind its units are." + altitudeLimits,
		Example: audit.Example{
			Story: "Class e at Um 145 kV asks for 16 units of 295 mm, 2336 mm long; the line allows 2000 mm",
			Subject: func() audit.Subject {
				s := stringIn(basis.ClassE, 145, 9, 295, 0)
				s.Line.Row.LongestStringMM = 2000
				return s
			},
			Outcome: audit.FallsShort, Observed: 2336, Required: 2000,
			Source: "IEC TS 60815-1:2008 figures, 4495.5 mm, 16 units (computed)",
		},
	},
	AskedBy: []audit.Need{audit.NeedsLongestString},
	Trusts:  []audit.Need{audit.NeedsDuty, audit.NeedsKind},
	Needs:   []audit.Need{audit.NeedsDuty, audit.NeedsStringLength},
	Drives:  []audit.Quantity{audit.DriveVoltage, audit.DriveSpecificCreepage},
	Reads:   audit.ReadsZone | audit.ReadsAltitude,
	Errs:    audit.ErrsZone | audit.ErrsCreepageAltitude,
	Rests:   audit.RestsOnCreepage | audit.RestsOnLength | audit.RestsOnWithstand | audit.RestsOnLongest,
	OfLine:  audit.ReadsVoltages | audit.ReadsLimits,
	Remedy:  "Take units with a longer creepage at the same spacing, or a composite; where only what hangs is too long, take units out.",
	Concerns: func(s *audit.Subject) audit.Reason {
		if s.Assembly.Makeup != nil && len(s.Assembly.Makeup.Parts) > 1 {
			return audit.NotCapAndPin
		}
		return capAndPin(s)
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict { return besideTerrain(s, t, judgeTooLong) },
}

func judgeTooLong(s *audit.Subject, t *audit.Trace) audit.Verdict {
	needed := lengthNeeded(s, t)
	if needed.Outcome == audit.FallsShort && needed.Severity == audit.Shortfall {
		return needed
	}
	if hangs := audit.AtMost(s.Assembly.LengthMM(), s.Line.Row.LongestStringMM, "mm"); hangs.Outcome == audit.FallsShort {
		clearSteps(t)
		return hangsTooLong(s, t, hangs)
	}
	return needed
}

// lengthNeeded judges the length of the string that the site asks for, as far as that is known.
func lengthNeeded(s *audit.Subject, t *audit.Trace) audit.Verdict {
	for _, need := range append([]audit.Need{audit.NeedsKindStated}, creepageNeeds...) {
		if reason := s.Lacks(need); reason != audit.NoReason {
			return audit.CannotTell(reason)
		}
	}
	if reason := lacksUnitFigures(s.Assembly); reason != audit.NoReason {
		return audit.CannotTell(reason)
	}
	return atSite(s, t, math.Inf(1), lengthRequired)
}

// lacksUnitFigures is why the creepage or the spacing of an assembly's unit is not known, whatever its row states of the whole string.
func lacksUnitFigures(a *audit.Assembly) audit.Reason {
	switch {
	case a.Unit == nil:
		return audit.UnitNotStated
	case math.IsNaN(a.Unit.CreepageMM) && a.UnitFaulty.Has(audit.CellCreepage), math.IsNaN(a.Unit.SpacingMM) && a.UnitFaulty.Has(audit.CellLength):
		return audit.FaultyField
	case math.IsNaN(a.Unit.CreepageMM):
		return audit.UnitCreepageUnknown
	case math.IsNaN(a.Unit.SpacingMM):
		return audit.SpacingUnknown
	}
	return audit.NoReason
}

// hangsTooLong says of a string that hangs that it is too long, whatever its site asks for.
func hangsTooLong(s *audit.Subject, t *audit.Trace, v audit.Verdict) audit.Verdict {
	stated := v.Observed.Number == s.Assembly.Direct.LengthMM
	if t.On() {
		step := audit.Step{Symbol: "S_h", Meaning: "length of the string that hangs", Result: audit.Figure(v.Observed.Number, "mm"), Role: audit.Observed, Clause: basis.OwnFigure}
		if !stated && s.Assembly.Unit != nil {
			step.Formula, step.Sheet, step.Clause = "n·P", "n*P", basis.Arithmetic
			step.Inputs = []audit.Operand{{Symbol: "n", Value: audit.Figure(float64(s.Assembly.UnitsPerString), "")},
				{Symbol: "P", Value: audit.Figure(s.Assembly.Unit.SpacingMM, "mm")}}
		}
		t.Add(step)
	}
	if s.NeedsSentence(v) {
		how := "is"
		if stated {
			how = "is stated to be"
		}
		v = v.Saying(fmt.Sprintf("%s %s %.0f mm long; the line allows %g mm.", s.Assembly.Hanging(), how, v.Observed.Number, s.Line.Row.LongestStringMM))
	}
	return v
}

// lengthRequired judges the length of the string that creepage asks for.
func lengthRequired(s *audit.Subject, t *audit.Trace) audit.Verdict {
	required := requiredCreepage(s, t)
	needed := basis.UnitsNeeded(required, s.Assembly.Unit.CreepageMM)
	if needed < 0 {
		return audit.CannotTell(audit.FigureUnknown)
	}
	units := float64(needed)
	length := units * s.Assembly.Unit.SpacingMM
	t.Recast() // what is required is the line's longest string
	if t.On() {
		t.Add(audit.Step{Symbol: "S", Meaning: "length of the string required", Formula: "ceil(L/c)·P",
			Inputs: []audit.Operand{
				{Symbol: "L", Value: audit.Figure(required, "mm")},
				{Symbol: "c", Value: audit.Figure(s.Assembly.Unit.CreepageMM, "mm")},
				{Symbol: "P", Value: audit.Figure(s.Assembly.Unit.SpacingMM, "mm")},
			},
			Result: audit.Figure(length, "mm"), Role: audit.Observed, Clause: basis.Arithmetic, Sheet: "CEILING(L/c,1)*P"})
	}
	v := audit.AtMost(length, s.Line.Row.LongestStringMM, "mm")
	if s.NeedsSentence(v) {
		v = v.Saying(fmt.Sprintf("%s needs %.0f × %s, %.0f mm long; the line allows %g mm.",
			siteInWords(s), units, s.Assembly.Unit.Name, length, s.Line.Row.LongestStringMM))
	}
	return v
}

var oddOneOut = audit.Check{
	ID:       "odd-one-out",
	Title:    "String unlike those around it",
	Of:       audit.OfAssembly,
	Severity: audit.Note,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "string = the string around it",
		Symbols: []audit.Explained{{Symbol: "string", Meaning: "units and their number, or the creepage that the row states"}},
		Limits: "Compared with the other strings of the same duty at the structure (two or more, all alike), else with those of the two nearest structures of the duty on each side, all alike and in the same zone. " +
			"A mistake of the register or a repair; either is worth a look.",
		Example: audit.Example{
			Story: "One phase with 8 discs where the other two have 9",
			Subject: func() audit.Subject {
				s := discsAt(145, 650, 8, 0)
				s.Assembly.Odd = audit.OddAtStructure
				return s
			},
			Outcome: audit.FallsShort, Observed: math.NaN(), Required: math.NaN(),
			Source: "common practice",
		},
	},
	Trusts:   []audit.Need{audit.NeedsCourse, audit.NeedsDuty},
	Needs:    []audit.Need{audit.NeedsDuty, audit.NeedsUnit, audit.NeedsUnitsPerString},
	Rests:    audit.RestsOnCreepage | audit.RestsOnMake,
	Compares: true,
	OfLine:   audit.ReadsNoFigure,
	Remedy:   "Look at the string, and correct the register or note the repair.",
	Concerns: carriesPhase,
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		hanging, around := s.Assembly.Hanging(), "the other strings of its duty at this structure"
		if t.On() {
			t.Add(audit.Step{Symbol: "string", Result: audit.Word(hanging), Role: audit.Observed})
		}
		switch s.Assembly.Odd {
		case audit.OddUnsure:
			return audit.CannotTell(audit.FaultyField)
		case audit.NotCompared:
			return audit.DoesNotApply(audit.NothingAlike)
		case audit.OddUnknown:
			return audit.CannotTell(audit.ZonesAroundUnknown)
		case audit.LikeTheRest:
			return audit.IsWord(true, hanging, hanging)
		case audit.OddInRun:
			around = "the strings of its duty at the structures around"
		}
		v := audit.IsWord(false, hanging, "alike")
		if s.NeedsSentence(v) {
			v = v.Saying(fmt.Sprintf("%s is unlike %s, which are alike.", hanging, around))
		}
		return v
	},
}
