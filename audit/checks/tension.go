package checks

import (
	"fmt"
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/geo"
)

var tensionAtTerminal = audit.Check{
	ID:       "tension-at-terminal",
	Title:    "No tension assembly where the line ends",
	Of:       audit.OfAssembly,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "duty = tension",
		Symbols: []audit.Explained{{Symbol: "duty", Meaning: "what the assembly is there to do"}},
		Limits: "First and last structure of a line that does not go on beyond the extract. A one-sided pull is a matter of statics: " +
			"a suspension, pin or post assembly cannot take it. Shackles serve up to 1 kV. Jumper, earth-wire and guy insulators are exempt. An advisory where another line of the voltage runs on " +
			"within the deviation limit, and where by the register a circuit ends while another goes on.",
		Example: audit.Example{
			Story:   "A suspension assembly at the last structure of a 132 kV line",
			Subject: func() audit.Subject { return suspensionAt(structureOf(audit.Terminal, math.NaN())) },
			Outcome: audit.FallsShort, Observed: math.NaN(), Required: math.NaN(),
			Source: "common practice",
		},
	},
	AnyCount: true,
	AnyMake:  true,
	Trusts:   slices.Concat([]audit.Need{audit.NeedsTee}, audit.EndsHere.Trusts, []audit.Need{audit.NeedsDuty}),
	Needs:    []audit.Need{audit.NeedsDuty},
	Rests:    audit.RestsOnCourse,
	OfLine:   audit.ReadsVoltages,
	Remedy:   "Install tension assemblies on the line side, or correct the register.",
	Concerns: func(s *audit.Subject) audit.Reason {
		if reason := audit.EndsHere.Passes(s); reason != audit.NoReason && !s.Assembly.CircuitEnds {
			return reason
		}
		return exemptFromTension(s)
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		v := takesTension(s)
		where := "where the line ends"
		switch {
		case s.Assembly.CircuitEnds:
			where = fmt.Sprintf("where circuit %s ends, by the register, and the line goes on", s.Name(s.Assembly.Circuit))
			v = v.As(audit.Advisory)
		case s.Structure.RunsOn != 0:
			where = fmt.Sprintf("where the line ends and line %s of its voltage runs on, perhaps one line under two names", s.Name(s.Structure.RunsOn))
			v = v.As(audit.Advisory)
		}
		addDuty(t, s, where, basis.CommonPractice)
		return v.Saying(inWords(s, v, where))
	},
}

var tensionAtTee = audit.Check{
	ID:       "tension-at-tee",
	Title:    "No tension assembly on the through line of a tee",
	Of:       audit.OfAssembly,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "duty = tension",
		Symbols: []audit.Explained{{Symbol: "duty", Meaning: "what the assembly is there to do"}},
		Limits: "A structure, itself no line end, at which another line of the same Um (132 and 138 kV are both 145; or of a voltage unknown) ends whose next structure does not " +
			"stand on this line. An advisory unless the criterion tension_at_tee asks for it.",
		Example: audit.Example{
			Story:   "A suspension assembly where another 132 kV line ends, the criteria silent",
			Subject: func() audit.Subject { return suspensionAt(structureOf(audit.Tee, 0.3)) },
			Outcome: audit.FallsShort, Observed: math.NaN(), Required: math.NaN(),
			Source: "common practice",
		},
	},
	AnyCount: true,
	AnyMake:  true,
	Trusts:   append(slices.Clone(audit.IsTee.Trusts), audit.NeedsDuty),
	Needs:    []audit.Need{audit.NeedsDuty},
	Rests:    audit.RestsOnCourse,
	OfLine:   audit.ReadsVoltages,
	Remedy:   "Install tension assemblies on both sides, or confirm that the tap is slack.",
	Concerns: concerns(&audit.IsTee),
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		v := takesTension(s)
		ends := fmt.Sprintf("where line %s ends", s.Name(s.Structure.TeeOf))
		asked := basis.OwnFigure
		if !s.Criteria.TensionAtTee {
			asked = basis.CommonPractice
			v = v.As(audit.Advisory)
		}
		addDuty(t, s, ends, asked)
		return v.Saying(inWords(s, v, ends))
	},
}

var tensionAtDeviation = audit.Check{
	ID:       "tension-at-deviation",
	Title:    "No tension assembly where the line turns",
	Of:       audit.OfAssembly,
	BySpans:  true,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.OwnFigure, basis.CommonPractice},
	Method: audit.Method{
		Formula: "|δ| ≤ δ_lim, or duty = tension;  σ = e·√(1/a² + 1/b² + (1/a + 1/b)²)·180/π",
		Symbols: []audit.Explained{
			{Symbol: "δ", Meaning: "forward azimuth of the span ahead less the arriving forward azimuth of the span behind, on the WGS 84 ellipsoid", Measure: "deg"},
			{Symbol: "δ_lim", Meaning: "deviation limit of the structure, else of the line, else of the project", Measure: "deg"},
			{Symbol: "σ", Meaning: "standard error of the deviation", Measure: "deg"},
			{Symbol: "e", Meaning: "standard error of a position per horizontal axis", Measure: "m"},
			{Symbol: "a, b", Meaning: "spans behind and ahead", Measure: "m"},
		},
		Limits: "Between line ends. While 2° is only the default, what exceeds it is an advisory; a limit that the project, the line or the structure states makes it a " +
			"shortfall. Beside doubtful geometry, and where a structure may be missing, it is an advisory. Less than 2σ above the limit it is an advisory within survey accuracy, less than 2σ below it meets with a remark. Pin and post assemblies are judged by a limit " +
			"stated for the structure, else for them by the criteria, else for the line, otherwise not assessed. Equality meets.",
		Example: audit.Example{
			Story:   "A suspension assembly where the line turns by 15°, the limit stated as 2°",
			Subject: func() audit.Subject { return suspensionAt(structureOf(audit.Angle, 15)) },
			Outcome: audit.FallsShort, Observed: 15, Required: 2,
			Source: "common practice",
		},
	},
	AnyCount: true,
	AnyMake:  true,
	Trusts:   append(slices.Clone(audit.Turns.Trusts), audit.NeedsDuty),
	Needs:    slices.Concat([]audit.Need{audit.NeedsDuty}, audit.Turns.Needs),
	Errs:     audit.ErrsTurn,
	Rests:    audit.RestsOnCourse,
	OfLine:   audit.ReadsVoltages,
	Remedy:   "Install tension assemblies on both sides, or show that the suspension assembly's swing and load allow the turn.",
	Concerns: concerns(&audit.Turns),
	Judge:    judgeDeviation,
}

func judgeDeviation(s *audit.Subject, t *audit.Trace) audit.Verdict {
	size := math.Abs(s.Structure.DeviationDeg)
	limit, stated := s.Structure.LimitDeg(s.Assembly.Duty)
	addDeviation(t, s, limit, stated)
	switch s.Assembly.Duty {
	case audit.Tension:
		return takesTension(s).Because(audit.TensionStandsAnywhere)
	case audit.Shackle:
		if v := takesTension(s); v.Outcome != audit.FallsShort {
			return v
		}
	}
	v := s.Structure.AgainstLimit(s.Assembly.Duty)
	switch {
	case v.Outcome == audit.NotAssessed:
		return v
	case s.Assembly.ContradictsUnit() && (v.Outcome == audit.Meets || s.Assembly.Duty != audit.Suspension): // what does not hang in suspension may be in tension
		return audit.CannotTell(audit.UnitNotOfDuty)
	}
	if !stated {
		v = v.As(audit.Advisory)
	}
	band := basis.SurveyBandSigmas * sigmaDeg(s)
	within := ""
	if math.Abs(size-limit) < band {
		if v.Outcome == audit.Meets {
			return v.Because(audit.WithinSurveyAccuracy)
		}
		v = v.As(audit.Advisory).Because(audit.WithinSurveyAccuracy)
		within = fmt.Sprintf(" (within survey accuracy: 2σ = %.2f°)", band)
	}
	if v.Outcome != audit.FallsShort {
		return v
	}
	hand := "right"
	if s.Structure.DeviationDeg < 0 {
		hand = "left"
	}
	return besideDoubt(s, v).Saying(fmt.Sprintf("%s where the line turns %.2f° %s; the limit is %g°%s%s.",
		assemblyInWords(s), size, hand, limit, within, doubtInWords(s)))
}

// sigmaDeg is the standard error of the deviation, 0 where the accuracy of positions is not stated.
func sigmaDeg(s *audit.Subject) float64 {
	if !s.Criteria.PositionAccuracyM.Known() {
		return 0
	}
	sigma := geo.DeviationSigma(s.Criteria.PositionAccuracyM.Value, s.Structure.SpanBackM, s.Structure.SpanAheadM)
	if math.IsNaN(sigma) {
		return 0
	}
	return sigma
}

// concerns tells where a check of tension by a cause is silent.
func concerns(cause *audit.Cause) func(s *audit.Subject) audit.Reason {
	return func(s *audit.Subject) audit.Reason {
		if reason := cause.Passes(s); reason != audit.NoReason {
			return reason
		}
		return exemptFromTension(s)
	}
}

// exemptFromTension tells which assemblies the tension checks leave alone.
func exemptFromTension(s *audit.Subject) audit.Reason {
	switch s.Assembly.Duty {
	case audit.Jumper:
		return audit.IsJumper
	case audit.EarthWire, audit.Guy:
		return audit.CarriesNoPhase
	}
	return audit.NoReason
}

// takesTension judges whether an assembly can take a one-sided pull: a tension assembly, or a shackle up to 1 kV.
func takesTension(s *audit.Subject) audit.Verdict {
	duty := s.Assembly.Duty
	if duty != audit.Suspension && s.Assembly.ContradictsUnit() {
		return audit.CannotTell(audit.UnitNotOfDuty)
	}
	if duty == audit.Shackle {
		switch reason := shackleVoltageUnknown(s); {
		case reason != audit.NoReason:
			return audit.CannotTell(reason)
		case basis.IsLowVoltage(s.Line.VoltageKV()):
			return audit.IsWord(true, duty.String(), audit.Tension.String())
		}
	}
	return audit.IsWord(duty == audit.Tension, duty.String(), audit.Tension.String())
}

// shackleVoltageUnknown is why nobody can tell whether a line is of the low voltage that shackles serve, NoReason where it can be
// told.
func shackleVoltageUnknown(s *audit.Subject) audit.Reason {
	switch voltage := s.Line.VoltageKV(); {
	case basis.IsLowVoltage(voltage):
	case s.Line.Row.SystemUnread() && basis.IsLowDirectVoltage(voltage):
		return audit.FaultyField
	case math.IsNaN(s.Line.Row.NominalKV) && s.Line.Row.Faulty.Has(audit.CellVoltage):
		return audit.FaultyField
	case math.IsNaN(voltage):
		return audit.VoltageUnknown
	case s.Line.Row.System.IsDirect() && basis.IsLowDirectVoltage(voltage):
		return audit.ShackleOnDirectCurrent
	}
	return audit.NoReason
}

func addDuty(t *audit.Trace, s *audit.Subject, why string, asked basis.Clause) {
	if !t.On() {
		return
	}
	t.Add(audit.Step{Symbol: "duty required", Meaning: why, Result: audit.Word(audit.Tension.String()), Role: audit.Required, Clause: asked})
	t.Add(audit.Step{Symbol: "duty", Meaning: "as registered", Result: audit.Word(s.Assembly.Duty.String()), Role: audit.Observed})
}

func addDeviation(t *audit.Trace, s *audit.Subject, limitDeg float64, stated bool) {
	if !t.On() {
		return
	}
	source := basis.OwnFigure
	switch {
	case math.IsNaN(limitDeg):
		source = basis.Clause{}
	case !stated:
		source = s.Criteria.DeviationLimitDeg.Clause
	}
	t.Add(audit.Step{Symbol: "δ", Meaning: "deviation, positive to the right", Result: audit.Figure(s.Structure.DeviationDeg, "deg"),
		Clause: basis.Arithmetic})
	limitRole, dutyRole := audit.Required, audit.InBetween // what is observed is |δ|, which no step shows
	if takesTension(s).Outcome == audit.Meets {
		limitRole, dutyRole = audit.InBetween, audit.Observed
	}
	t.Add(audit.Step{Symbol: "δ_lim", Meaning: "deviation limit", Result: audit.Figure(limitDeg, "deg"), Role: limitRole, Clause: source})
	if s.Criteria.PositionAccuracyM.Known() {
		t.Add(audit.Step{Symbol: "σ", Meaning: "standard error of the deviation", Formula: "e·√(1/a² + 1/b² + (1/a + 1/b)²)·180/π",
			Inputs: []audit.Operand{
				{Symbol: "e", Value: audit.Figure(s.Criteria.PositionAccuracyM.Value, "m")},
				{Symbol: "a", Value: audit.Figure(s.Structure.SpanBackM, "m")},
				{Symbol: "b", Value: audit.Figure(s.Structure.SpanAheadM, "m")},
			},
			Result: audit.Figure(sigmaDeg(s), "deg"), Clause: basis.Arithmetic,
			Sheet: "DEGREES(e*SQRT(1/a^2+1/b^2+(1/a+1/b)^2))"})
	}
	t.Add(audit.Step{Symbol: "duty", Meaning: "as registered", Result: audit.Word(s.Assembly.Duty.String()), Role: dutyRole})
}

// inWords is the sentence of a tension check that falls short, empty otherwise.
func inWords(s *audit.Subject, v audit.Verdict, where string) string {
	if v.Outcome != audit.FallsShort {
		return ""
	}
	is := "needed"
	if v.Severity == audit.Advisory {
		is = "advised"
	}
	return fmt.Sprintf("%s %s; a tension assembly is %s.", assemblyInWords(s), where, is)
}

func assemblyInWords(s *audit.Subject) string {
	duty := s.Assembly.Duty.String()
	return "A " + duty + " assembly (" + s.Assembly.Hanging() + ")"
}
