package checks

import (
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var pinVoltage = audit.Check{
	ID:       "pin-voltage",
	Title:    "Pin insulator above the voltages it is used for",
	Of:       audit.OfAssembly,
	Severity: audit.Advisory,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "U_m ≤ 36.5 kV",
		Symbols: []audit.Explained{{Symbol: "U_m", Meaning: "highest voltage for equipment", Measure: "kV"}},
		Limits:  "Assemblies with duty pin, or whose unit is of kind pin, but no earth-wire or guy insulators. A line of low voltage that states no U_m has 1 kV at most. Of a railway the voltage to earth, against 36.5/√3 kV. Direct current is not assessed.",
		Example: audit.Example{
			Story: "A pin insulator on a line of Um 72.5 kV",
			Subject: func() audit.Subject {
				s := discsAt(72.5, 325, 1, 0)
				s.Assembly.Duty, s.Assembly.Unit.Kind = audit.Pin, basis.Pin
				return s
			},
			Outcome: audit.FallsShort, Observed: 72.5, Required: 36.5,
			Source: "common practice: up to 33 kV nominal",
		},
	},
	AnyCount: true,
	Reads:    audit.ReadsLine,
	Trusts:   []audit.Need{audit.NeedsDuty, audit.NeedsKind},
	Needs:    []audit.Need{audit.NeedsPinKind, audit.NeedsPinVoltage},
	Rests:    audit.RestsOnMake,
	OfLine:   audit.ReadsVoltages,
	Remedy:   "Correct the register, or replace by a post or a string.",
	Concerns: func(s *audit.Subject) audit.Reason {
		if s.Assembly.Duty != audit.Pin && !s.Assembly.HasKind(basis.Pin) && s.Assembly.LacksKindStanding(audit.Pin, basis.Pin) == audit.NoReason {
			return audit.NotPinInsulator
		}
		return carriesPhase(s)
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		if s.Line.Row.System.IsRailway() { // whose voltage stands along the pin as that of a phase does
			return judgePinOfRailway(s, t)
		}
		return judgeVoltage(s, t, basis.PinMaxUmKV, "A pin insulator")
	},
}

var shackleVoltage = audit.Check{
	ID:       "shackle-voltage",
	Title:    "Shackle insulator above low voltage",
	Of:       audit.OfAssembly,
	Severity: audit.Advisory,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "U_n ≤ 1 kV",
		Symbols: []audit.Explained{{Symbol: "U_n", Meaning: "nominal voltage of the line, else its highest voltage", Measure: "kV"}},
		Limits:  "Assemblies with duty shackle, or whose unit is of kind shackle, but no earth-wire or guy insulators. Direct current of more than 1 kV and up to 1.5 kV is not assessed.",
		Example: audit.Example{
			Story: "A shackle insulator on an 11 kV line",
			Subject: func() audit.Subject {
				s := discsAt(12, 75, 1, 0)
				s.Assembly.Duty, s.Assembly.Unit.Kind = audit.Shackle, basis.Shackle
				s.Line.Row.NominalKV = 11
				return s
			},
			Outcome: audit.FallsShort, Observed: 11, Required: 1,
			Source: "common practice",
		},
	},
	AnyCount: true,
	Reads:    audit.ReadsLine,
	Trusts:   []audit.Need{audit.NeedsDuty, audit.NeedsKind},
	Needs:    []audit.Need{audit.NeedsShackleKind},
	Rests:    audit.RestsOnMake,
	OfLine:   audit.ReadsVoltages,
	Remedy:   "Correct the register, or replace by a tension string.",
	Concerns: func(s *audit.Subject) audit.Reason {
		if s.Assembly.Duty != audit.Shackle && !s.Assembly.HasKind(basis.Shackle) && s.Assembly.LacksKindStanding(audit.Shackle, basis.Shackle) == audit.NoReason {
			return audit.NotShackle
		}
		return carriesPhase(s)
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		voltage := s.Line.VoltageKV()
		if reason := shackleVoltageUnknown(s); reason != audit.NoReason {
			return audit.CannotTell(reason)
		}
		if t.On() {
			t.Add(audit.Step{Symbol: "U_n", Meaning: "voltage of the line", Result: audit.Figure(voltage, "kV"), Role: audit.Observed, Clause: voltageSource(s)})
		}
		v := audit.AtMost(voltage, basis.ShackleMaxKV, "kV")
		if s.NeedsSentence(v) {
			v = v.Saying(fmt.Sprintf("A shackle insulator (%s) on a line of %g kV; they serve up to %g kV.", s.Assembly.Hanging(), voltage, basis.ShackleMaxKV))
		}
		return v
	},
}

// voltageSource is the source of the voltage that tells whether a line is of low voltage.
func voltageSource(s *audit.Subject) basis.Clause {
	if math.IsNaN(s.Line.Row.NominalKV) {
		return highestVoltage(s).Clause
	}
	return basis.OwnFigure
}

// pinVoltageKV is the highest voltage that a pin is judged by: that of the line, or the most that low voltage is where it states none.
func pinVoltageKV(s *audit.Subject) float64 {
	if math.IsNaN(s.Line.HighestKV) {
		return basis.LowVoltageMaxKV
	}
	return s.Line.HighestKV
}

func pinVoltageStep(s *audit.Subject) audit.Step {
	step := highestVoltage(s)
	if math.IsNaN(s.Line.HighestKV) {
		step.Meaning, step.Result, step.Clause = "the most that low voltage is, for which no highest voltage is stated", audit.Figure(basis.LowVoltageMaxKV, "kV"), basis.CommonPractice
	}
	step.Role = audit.Observed
	return step
}

func judgeVoltage(s *audit.Subject, t *audit.Trace, limitKV float64, what string) audit.Verdict {
	if t.On() {
		t.Add(pinVoltageStep(s))
	}
	v := audit.AtMost(pinVoltageKV(s), limitKV, "kV")
	if s.NeedsSentence(v) {
		v = v.Saying(fmt.Sprintf("%s (%s) on a line of Um %g kV; they serve up to %g kV.", what, s.Assembly.Hanging(), s.Line.HighestKV, limitKV))
	}
	return v
}

// judgePinOfRailway judges the voltage of a railway to earth by that of a phase of the three-phase lines that pins serve.
func judgePinOfRailway(s *audit.Subject, t *audit.Trace) audit.Verdict {
	limitKV := basis.PhaseToEarth(basis.PinMaxUmKV)
	if t.On() {
		t.Add(pinVoltageStep(s))
		t.Add(audit.Step{Symbol: "U_max", Meaning: "voltage to earth up to which pins serve", Formula: "U_pin/√3",
			Inputs: []audit.Operand{{Symbol: "U_pin", Value: audit.Figure(basis.PinMaxUmKV, "kV")}},
			Result: audit.Figure(limitKV, "kV"), Role: audit.Required, Clause: basis.CommonPractice, Sheet: "U_pin/SQRT(3)"})
	}
	v := audit.AtMost(pinVoltageKV(s), limitKV, "kV")
	if s.NeedsSentence(v) {
		v = v.Saying(fmt.Sprintf("A pin insulator (%s) on a railway of %g kV to earth; they serve up to %.1f kV to earth.", s.Assembly.Hanging(), s.Line.HighestKV, limitKV))
	}
	return v
}

var punctureMargin = audit.Check{
	ID:       "puncture-margin",
	Title:    "Unit may puncture before it flashes over",
	Of:       audit.OfAssembly,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.PunctureRule},
	Method: audit.Method{
		Formula: "U_dry/U_p ≤ 0.75",
		Symbols: []audit.Explained{
			{Symbol: "U_dry", Meaning: "dry power frequency flashover of the unit", Measure: "kV"},
			{Symbol: "U_p", Meaning: "power frequency puncture voltage of the unit", Measure: "kV"},
		},
		Limits: "Units that can puncture: cap-and-pin, pin and shackle. Long rods, solid posts and composites cannot (class A of IEC 60383-1). Of direct current it is not assessed: both voltages are of power frequency. The share is 0.75 unless the criteria state another. " +
			"Equality meets. A puncture-to-flashover ratio of about 10, often quoted for a good insulator, fits no catalogue value of discs or pins (1.3 to 1.5) and judges nothing.",
		Example: audit.Example{
			Story: "A disc with a dry flashover of 80 kV and a puncture voltage of 105 kV",
			Subject: func() audit.Subject {
				s := discsAt(145, 650, 9, 0)
				s.Assembly.Unit.DryKV, s.Assembly.Unit.PunctureKV = 80, 105
				return s
			},
			Outcome: audit.FallsShort, Observed: 80.0 / 105, Required: 0.75,
			Source: "California General Order 64-A rule 55.3 (published); 80/110 meets, 60/80 meets exactly",
		},
	},
	AnyCount: true,
	Trusts:   []audit.Need{audit.NeedsDuty, audit.NeedsKind},
	Needs:    []audit.Need{audit.NeedsUnit, audit.NeedsAlternating, audit.NeedsPuncture},
	Reads:    audit.ReadsLine,
	Rests:    audit.RestsOnWithstand,
	OfLine:   audit.ReadsNoFigure,
	Remedy:   "Confirm the unit's data sheet; replace units that fall short.",
	Concerns: func(s *audit.Subject) audit.Reason {
		if s.Assembly.Makeup != nil && worstToPuncture(s.Assembly) == nil {
			return audit.CannotPuncture
		}
		return carriesPhase(s)
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		unit := worstToPuncture(s.Assembly)
		ratio, limit := basis.PunctureRatio(unit.DryKV, unit.PunctureKV), s.Criteria.PunctureShare.Value
		if t.On() {
			t.Add(audit.Step{Symbol: "r", Meaning: "share of the puncture voltage at dry flashover", Formula: "U_dry/U_p",
				Inputs: []audit.Operand{{Symbol: "U_dry", Value: audit.Figure(unit.DryKV, "kV")}, {Symbol: "U_p", Value: audit.Figure(unit.PunctureKV, "kV")}},
				Result: audit.Figure(ratio, ""), Role: audit.Observed, Clause: s.Criteria.PunctureShare.ClauseOr(basis.PunctureRule), Sheet: "U_dry/U_p"})
			t.Add(audit.Step{Symbol: "U_p/U_dry", Meaning: "for information: about 10 is often quoted, catalogue values of discs and pins are 1.3 to 1.5",
				Result: audit.Figure(1/ratio, ""), Clause: basis.CommonPractice})
		}
		v := audit.AtMost(ratio, limit, "")
		if s.NeedsSentence(v) {
			v = v.Saying(fmt.Sprintf("%s flashes over dry at %g kV, %.1f %% of its puncture voltage of %g kV; at most %g %% is allowed.",
				unit.Name, unit.DryKV, 100*ratio, unit.PunctureKV, 100*limit))
		}
		return v
	},
}

// worstToPuncture is the unit of a string that flashes over at the largest share of its puncture voltage, or one of which that
// is not known; nil where none can puncture.
func worstToPuncture(a *audit.Assembly) (worst *basis.Unit) {
	largest := math.Inf(-1)
	for _, unit := range a.Units() {
		if !unit.Kind.CanPuncture() && unit.Kind != basis.KindUnknown {
			continue
		}
		if ratio := basis.PunctureRatio(unit.DryKV, unit.PunctureKV); worst == nil || ratio > largest || math.IsNaN(ratio) {
			worst, largest = unit, ratio
		}
	}
	return worst
}
