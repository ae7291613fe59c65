package checks

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var fittingSymbols = []audit.Explained{
	{Symbol: "R", Meaning: "rating of the fitting that needs the largest share of its own: the row's, else the line's", Measure: "kN"},
	{Symbol: "F", Meaning: "load on it in the load case that asks for most, with the case's load factor", Measure: "kN"},
	{Symbol: "γ", Meaning: "factor of the criteria for fittings"},
	{Symbol: "T_s", Meaning: "tension where the span is attached, as for strength", Measure: "kN"},
	{Symbol: "m", Meaning: "subconductors of a phase"},
	{Symbol: "H, V", Meaning: "load of the conductors across and down, as for strength", Measure: "N"},
	{Symbol: "w_i", Meaning: "weight of one string; left out where its units state none", Measure: "N"},
	{Symbol: "s", Meaning: "strings"},
}

const fittingLimits = "Tension and suspension assemblies of which a clamp, a yoke, or ball and socket has a rating in the register, by its row or else by its line. A clamp carries one subconductor, a yoke the whole phase with all its strings, ball and socket one string, as " +
	"the string itself is loaded for strength. The weakest, which needs the largest share of its rating, governs and is named; what states no rating is not looked at, and one of more than five times what the strings are rated at together is believed in no verdict. The units of the string are judged by strength. Beside a broken conductor fittings are judged by fitting-broken-conductor. The factor for fittings is one of its own: that of insulators never stands " +
	"in for it, and without it nothing is assessed. Where a rating cannot be read, or the load in some case or on some side is not known, it falls short by what is known or is not assessed. A yoke of suspension is loaded with the weight of the strings too, since it may be above them."

var fittingStrength = audit.Check{
	ID:       "fitting-strength",
	Title:    "Fitting too weak for its load",
	Of:       audit.OfAssembly,
	BySpans:  true,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.SwingSource, basis.ChangeOfStateSource, basis.FactorSource},
	Method: audit.Method{
		Formula: "R ≥ F·γ;  clamp: F = T_s, or √(V² + H²)/m;  yoke: F = T_s·m, or √((V + s·w_i)² + H²);  ball and socket: F of one string",
		Symbols: fittingSymbols,
		Limits:  fittingLimits + terrainLimits,
		Example: audit.Example{
			Story: "65 kN on a single tension string with ball and socket of 120 kN and a yoke of 170 kN, factor 2.5 for fittings",
			Subject: func() audit.Subject {
				s := fittedAt()
				s.Line.Row.MaximumTensionKN = 65
				s.Assembly.Direct.FittingsKN = audit.Ratings{math.NaN(), 170, 120}
				return s
			},
			Outcome: audit.FallsShort, Observed: 120, Required: 162.5,
			Source: "65 kN × 2.5 = 162.5 kN on each (computed); the factor is an example without a source",
		},
	},
	AskedBy:  []audit.Need{audit.AsksFittings, audit.AsksLoads},
	Trusts:   []audit.Need{audit.NeedsCourse, audit.NeedsDuty, audit.NeedsArrangement, audit.NeedsKind},
	Needs:    []audit.Need{audit.NeedsDuty, audit.NeedsNoFaultySide, audit.NeedsStrings, audit.NeedsFittings},
	Drives:   []audit.Quantity{audit.DriveMaximumTension, audit.DriveWind},
	Strings:  true,
	Between:  true,
	Errs:     audit.ErrsLoads,
	Parted:   audit.ByCase | audit.BySide | audit.ByFitting,
	Rests:    audit.RestsOnLoad | audit.RestsOnFitting | audit.RestsOnCourse,
	OfLine:   audit.ReadsPulls,
	Remedy:   "Take a stronger fitting, or confirm its rating, the tension and the load cases.",
	Concerns: fitted,
	Judge:    func(s *audit.Subject, t *audit.Trace) audit.Verdict { return judgeFittingsAt(s, t, 0) },
}

var fittingStrengthOneStringBroken = audit.Check{
	ID:       "fitting-strength-one-string-broken",
	Title:    "Ball and socket of the remaining strings too weak when one of several breaks",
	Of:       audit.OfAssembly,
	BySpans:  true,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.SwingSource, basis.ChangeOfStateSource, basis.FactorSource},
	Method: audit.Method{
		Formula: "R ≥ F·γ with s − 1 strings",
		Symbols: fittingSymbols,
		Limits:  fittingLimits + terrainLimits + " Assemblies of two or more strings, ball and socket alone: clamp and yoke carry no more than with all strings. The factor is the criteria's for fittings with one string broken.",
		Example: audit.Example{
			Story: "100 kN on a double tension string with ball and socket of 120 kN, factor 1.5 for fittings with one string broken",
			Subject: func() audit.Subject {
				s := fittedAt()
				s.Line.Row.MaximumTensionKN = 100
				s.Assembly.Strings, s.Assembly.Arrangement = 2, audit.Parallel
				s.Assembly.Direct.FittingsKN[audit.BallAndSocket] = 120
				return s
			},
			Outcome: audit.FallsShort, Observed: 120, Required: 150,
			Source: "100 kN × 1.5 (computed); the factor is an example without a source",
		},
	},
	AskedBy: []audit.Need{audit.AsksBallAndSocket, audit.AsksLoads},
	Trusts:  []audit.Need{audit.NeedsCourse, audit.NeedsDuty, audit.NeedsArrangement, audit.NeedsKind},
	Needs:   []audit.Need{audit.NeedsDuty, audit.NeedsNoFaultySide, audit.NeedsStrings, audit.NeedsFittingsBroken},
	Drives:  []audit.Quantity{audit.DriveMaximumTension, audit.DriveWind},
	Strings: true,
	Between: true,
	Errs:    audit.ErrsLoads,
	Parted:  audit.ByCase | audit.BySide | audit.ByFitting,
	Rests:   audit.RestsOnLoad | audit.RestsOnFitting | audit.RestsOnCourse,
	OfLine:  audit.ReadsPulls,
	Remedy:  "Take a stronger ball and socket, or confirm its rating, the tension and the load cases.",
	Concerns: func(s *audit.Subject) audit.Reason {
		return cmp.Or(parallelStrings(s), fitted(s))
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict { return judgeFittingsAt(s, t, 1) },
}

var fittingBrokenConductor = audit.Check{
	ID:       "fitting-broken-conductor",
	Title:    "Fitting too weak for the pull beside a broken conductor",
	Of:       audit.OfAssembly,
	BySpans:  true,
	Severity: audit.Shortfall,
	Basis:    brokenConductor.Basis,
	Method: audit.Method{
		Formula: "R ≥ F·γ;  clamp: F = √(T_b² + (l_b·w)²);  yoke: F = √((V + s·w_i)² + P_l² + P_t²);  ball and socket: F of one string",
		Symbols: []audit.Explained{
			{Symbol: "R", Meaning: "rating of the fitting that needs the largest share of its own: the row's, else the line's", Measure: "kN"},
			{Symbol: "F", Meaning: "load on it after the break that asks for more, behind or ahead, with the case's load factor", Measure: "kN"},
			{Symbol: "γ", Meaning: "factor of the criterion for fittings"},
			{Symbol: "T_b, l_b", Meaning: "tension of one subconductor that is left, in kN, and what of its span hangs here, in m, as in broken-conductor; w is its weight"},
			{Symbol: "P_l, P_t, V", Meaning: "pull and weight of the phase after the break, as in broken-conductor", Measure: "N"},
			{Symbol: "w_i", Meaning: "weight of one string; left out where its units state none", Measure: "N"},
			{Symbol: "s", Meaning: "strings"},
		},
		Limits: "Suspension assemblies of which a clamp, a yoke, or ball and socket has a rating in the register, by its row or else by its line, for the criterion broken_conductor, with its loads and what they leave out. A clamp carries one subconductor, one that breaks or, where that is more, one that goes on; a yoke " +
			"the whole phase with all its strings; ball and socket one string. The weakest, which needs the largest share of its rating, governs and is named; what states no rating is not looked at. No factor of insulators or of other loads stands in for that of the criterion. Where one break is not known, or a rating " +
			"cannot be read, it falls short by what is known or is not assessed." + terrainLimits,
		Example: audit.Example{
			Story: "The twin conductors of broken-conductor on a clamp of 40 kN, a yoke of 80 kN and a ball and socket of 70 kN, factor 1.8 for fittings",
			Subject: func() audit.Subject {
				s := brokenConductor.Method.Example.Subject()
				s.Assembly.Direct.FittingsKN, s.Criteria.BrokenConductor.Fitting = audit.Ratings{40, 80, 70}, 1.8
				return s
			},
			Outcome: audit.FallsShort, Observed: 70, Required: 71.09,
			Source: "39.2·√(1 + sinh²(150/1227.67))·1.8 = 71.09 kN on yoke and on ball and socket; half of it on a clamp (statics, computed); the factor is an example without a source",
		},
	},
	AskedBy:   []audit.Need{audit.AsksFittingsBroken},
	Trusts:    []audit.Need{audit.NeedsCourse, audit.NeedsDuty, audit.NeedsArrangement, audit.NeedsKind},
	Needs:     []audit.Need{audit.NeedsDuty, audit.NeedsCourse, audit.NeedsArrangement, audit.NeedsKind, audit.NeedsStrings, audit.NeedsFittingsBeside},
	Drives:    brokenConductor.Drives,
	Strings:   true,
	KeepsDuty: true,
	Between:   true,
	Errs:      audit.ErrsLoads,
	Parted:    audit.ByBreak | audit.ByFitting,
	Rests:     audit.RestsOnLoad | audit.RestsOnFitting | audit.RestsOnCourse,
	OfLine:    audit.ReadsPulls,
	Remedy:    "Take a stronger fitting, clamps that slip earlier, or confirm its rating, the tension and the share of it that is left.",
	Concerns: func(s *audit.Subject) audit.Reason {
		switch s.Assembly.Duty {
		case audit.Pin, audit.Post, audit.Shackle:
			return audit.HasNoFittings
		}
		return brokenConductor.Concerns(s)
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		return byRises(s, besideTerrain(s, t, judgeBrokenFitting))
	},
}

func judgeBrokenFitting(s *audit.Subject, t *audit.Trace) audit.Verdict {
	worst, reason := s.WorstBrokenFitting()
	if reason != audit.NoReason {
		return audit.CannotTell(reason)
	}
	addBrokenFitting(t, s, &worst)
	v := audit.AtLeast(worst.RatedKN, worst.Required, "kN")
	if v.Outcome == audit.Meets && worst.Unsure != audit.NoReason {
		return audit.CannotTell(worst.Unsure)
	}
	if v = besideDoubt(s, v).OfFitting(worst.Fitting); s.NeedsSentence(v) {
		needs, carries := "needs", map[audit.Fitting]string{audit.Clamp: "that of one subconductor", audit.Yoke: "that of the phase", audit.BallAndSocket: "that of one string"}[worst.Fitting]
		if worst.Fitting == audit.BallAndSocket && worst.Pull.LegSlack {
			carries = "that of one string of the leg that stays taut, the other being slack"
		}
		if worst.GoesOn {
			carries += " that goes on"
		}
		if worst.Unsure != audit.NoReason {
			needs = "needs at least"
		}
		_, of := s.BrokenFactor()
		v = v.Saying(fmt.Sprintf("The %s of %s is rated %s kN%s; %s: %.2f kN on it, %s, which %s %.2f kN (factor %g, %s)%s.", worst.Fitting, s.Assembly.Hanging(), inHundredths(worst.RatedKN), byItsLine(worst.OfLine),
			breakInWords(&worst.Pull.BrokenLoad), worst.KN, carries, needs, worst.Required, s.Criteria.BrokenConductor.Fitting, of, doubtInWords(s)))
	}
	return v
}

// addBrokenFitting shows how a break comes on the weakest fitting.
func addBrokenFitting(t *audit.Trace, s *audit.Subject, worst *audit.BrokenFitting) {
	if !t.On() {
		return
	}
	p := &worst.Pull
	b := &p.BrokenLoad
	addBrokenLoad(t, s, b)
	f, w := figure("f", b.Case.Factor, ""), figure("w", b.Case.WeightNPerM(b.Conductor), "N/m")
	step := audit.Step{Symbol: "F", Meaning: "load on the clamp of one subconductor", Result: audit.Figure(worst.KN, "kN"), Clause: basis.Arithmetic,
		Formula: "√((1000·T_b)² + (l_b·w)²)/1000·f", Sheet: "SQRT((1000*T_b)^2+(l_b*w)^2)/1000*f",
		Inputs: []audit.Operand{figure("T_b", b.LeftKN, "kN"), figure("l_b", b.HangsM, "m"), w, f}}
	switch {
	case worst.Fitting == audit.BallAndSocket:
		step = brokenStep(t, s, p)
		step.Meaning = "load on ball and socket: " + step.Meaning
	case worst.Fitting == audit.Yoke:
		step.Meaning = "load on the yoke, which carries the phase and its strings, each of the weight w_i"
		step.Formula, step.Sheet = "√((V + s·w_i)² + P_l² + P_t²)/1000·f", "SQRT(MAX(ABS(V),ABS(V+s*w_i))^2+P_l^2+P_t^2)/1000*f"
		step.Inputs = []audit.Operand{figure("V", b.DownN, "N"), figure("s", float64(s.Assembly.Strings), ""), figure("w_i", s.Assembly.StringWeightN(), "N"),
			figure("P_l", b.AlongN, "N"), figure("P_t", b.AcrossN, "N"), f}
	case worst.GoesOn:
		step.Meaning = "load on the clamp of one subconductor that goes on"
		step.Formula, step.Sheet = "√((2·1000·T·sin(|δ|/2))² + (l_g·w)²)/1000·f", "SQRT((2*1000*T*SIN(RADIANS(ABS(δ))/2))^2+(l_g*w)^2)/1000*f"
		step.Inputs = []audit.Operand{figure("T", b.TensionKN, "kN"), figure("δ", s.Structure.DeviationDeg, "deg"), figure("l_g", b.GoesOnM, "m"), w, f}
	}
	t.Add(step)
	_, of := s.BrokenFactor()
	t.Add(audit.Step{Symbol: "R_req", Meaning: "rating needed of the " + worst.Fitting.String() + ", factor of " + of, Formula: "F·γ",
		Inputs: []audit.Operand{figure("F", worst.KN, "kN"), figure("γ", s.Criteria.BrokenConductor.Fitting, "")},
		Result: audit.Figure(worst.Required, "kN"), Role: audit.Required, Clause: basis.OwnFigure, Sheet: "F*γ"})
	t.Add(audit.Step{Symbol: "R", Meaning: "rating of the " + worst.Fitting.String() + byItsLine(worst.OfLine) + ", the weakest of the chain", Result: audit.Figure(worst.RatedKN, "kN"), Role: audit.Observed, Clause: basis.OwnFigure})
	for _, f := range s.BrokenFittings() {
		t.Add(shareStep(f.Fitting, f.OfLine, "with the span "+spanOn(f.Pull.SideBroken())+" broken", f.KN, s.Criteria.BrokenConductor.Fitting, f.RatedKN))
	}
}

// shareStep shows how much of its rating a fitting needs.
func shareStep(f audit.Fitting, ofLine bool, when string, loadKN, factor, ratedKN float64) audit.Step {
	suffix := "_" + string(strings.ToUpper(f.String())[0])
	return audit.Step{Symbol: "U" + suffix, Meaning: fmt.Sprintf("share of the rating of the %s%s that is needed %s", f, byItsLine(ofLine), when), Formula: "F" + suffix + "·γ" + suffix + "/R" + suffix,
		Inputs: []audit.Operand{figure("F"+suffix, loadKN, "kN"), figure("γ"+suffix, factor, ""), figure("R"+suffix, ratedKN, "kN")},
		Result: audit.Figure(loadKN*factor/ratedKN, ""), Clause: basis.OwnFigure, Sheet: "F" + suffix + "*γ" + suffix + "/R" + suffix}
}

// fittedAt is a tension string where a line ends, of whose fittings none is rated.
func fittedAt() audit.Subject {
	s := loadedAt(structureOf(audit.Terminal, math.NaN()))
	s.Assembly.Duty, s.Assembly.Side = audit.Tension, audit.Back
	s.Criteria.InsulatorFactor = audit.InsulatorFactor{Basis: "own rule", Fitting: 2.5, FittingOneStringBroken: 1.5}
	return s
}

// fitted tells the assemblies that the conductor does not load, and those that are no strings.
func fitted(s *audit.Subject) audit.Reason {
	switch s.Assembly.Duty {
	case audit.Pin, audit.Post, audit.Shackle:
		return audit.HasNoFittings
	}
	return loadedByConductor(s)
}

func judgeFittingsAt(s *audit.Subject, t *audit.Trace, broken int) audit.Verdict {
	if slack(s) {
		return audit.CannotTell(audit.SlackSpan)
	}
	return byRises(s, besideTerrain(s, t, func(s *audit.Subject, t *audit.Trace) audit.Verdict { return judgeFittings(s, t, broken) }))
}

func judgeFittings(s *audit.Subject, t *audit.Trace, broken int) audit.Verdict {
	loads, reason := s.FittingLoads(broken, false)
	if reason != audit.NoReason {
		return audit.CannotTell(reason)
	}
	worst := &loads.Of[loads.Governs]
	v := audit.AtLeast(worst.RatedKN, worst.Required, "kN")
	if unsure := loads.UnsureFactor(); unsure != audit.NoReason && v.Outcome == audit.Meets {
		most, _ := s.FittingLoads(broken, true)
		governs := &most.Of[most.Governs]
		if v = audit.AtLeast(governs.RatedKN, governs.Required, "kN"); v.Outcome != audit.Meets {
			addFittings(t, s, &loads, broken)
			return audit.CannotTell(unsure)
		}
		loads, worst = most, governs
	}
	addFittings(t, s, &loads, broken)
	if v.Outcome == audit.Meets && worst.Unsure != audit.NoReason {
		return audit.CannotTell(worst.Unsure)
	}
	if s.Assembly.Duty != audit.Tension || audit.AtLeast(worst.RatedKN, worst.HorizontalKN(), "kN").Outcome == audit.Meets {
		v = besideDoubt(s, v)
	}
	if v = v.OfFitting(worst.Fitting); s.NeedsSentence(v) {
		needs, doubt := "needs", ""
		if worst.Unsure != audit.NoReason {
			needs = "needs at least"
		}
		if v.Severity == audit.Advisory {
			doubt = doubtInWords(s)
		}
		v = v.Saying(fmt.Sprintf("The %s of %s is rated %s kN%s; %s puts %.1f kN on it%s, which %s %.2f kN (factor %s)%s.", worst.Fitting, s.Assembly.Hanging(), inHundredths(worst.RatedKN),
			ofLine(worst), worst.Pull.Load.Case.Name, worst.KN, carriesInWords(s, worst, broken), needs, worst.Required, worst.Factor.Words(), doubt))
	}
	return v
}

func ofLine(f *audit.FittingLoad) string { return byItsLine(f.OfLine) }

func byItsLine(is bool) string {
	if is {
		return " by its line"
	}
	return ""
}

// carriesInWords says what a fitting carries.
func carriesInWords(s *audit.Subject, f *audit.FittingLoad, broken int) string {
	switch {
	case f.Fitting == audit.Clamp:
		return ", that of one subconductor" + attachedInWords(f.Pull)
	case f.Fitting == audit.Yoke:
		return ", that of the phase" + attachedInWords(f.Pull)
	case broken > 0:
		return ", that of each string that is left" + attachedInWords(f.Pull)
	case f.Pull.LegSlack:
		return ", that of one string of the leg that stays taut, the other being slack" + attachedInWords(f.Pull)
	}
	return ", that of one string" + attachedInWords(f.Pull)
}

// addFittings shows how the load on the weakest fitting comes about, and how much of their ratings the others need.
func addFittings(t *audit.Trace, s *audit.Subject, loads *audit.FittingLoads, broken int) {
	if !t.On() {
		return
	}
	worst := &loads.Of[loads.Governs]
	addLoadOf(t, s, worst.Pull, broken)
	t.Add(fittingStep(s, worst, broken))
	t.Add(audit.Step{Symbol: "R_req", Meaning: "rating needed of the " + worst.Fitting.String() + ", factor of " + worst.Factor.From(), Formula: "F·γ",
		Inputs: []audit.Operand{figure("F", worst.KN, "kN"), figure("γ", worst.Factor.Value, "")},
		Result: audit.Figure(worst.Required, "kN"), Role: audit.Required, Clause: basis.OwnFigure, Sheet: "F*γ"})
	t.Add(audit.Step{Symbol: "R", Meaning: "rating of the " + worst.Fitting.String() + ofLine(worst) + ", the weakest of the chain", Result: audit.Figure(worst.RatedKN, "kN"), Role: audit.Observed, Clause: basis.OwnFigure})
	for i := range loads.Of {
		f := &loads.Of[i]
		if f.Pull.Load.Case == nil {
			continue
		}
		t.Add(shareStep(f.Fitting, f.OfLine, "in "+f.Pull.Load.Case.Name, f.KN, f.Factor.Value, f.RatedKN))
	}
}

// fittingStep shows how the load of the conductors comes on a fitting.
func fittingStep(s *audit.Subject, f *audit.FittingLoad, broken int) audit.Step {
	if f.Fitting == audit.BallAndSocket {
		step := pullStep(s, f.Pull, broken)
		step.Meaning = "load on ball and socket: " + step.Meaning
		return step
	}
	load := &f.Pull.Load
	factor, m := figure("f", load.Case.Factor, ""), figure("m", float64(load.Subconductors), "")
	step := audit.Step{Symbol: "F", Meaning: "load on the clamp of one subconductor", Result: audit.Figure(f.KN, "kN"), Clause: basis.Arithmetic}
	if f.Fitting == audit.Yoke {
		step.Meaning = "load on the yoke, which carries the phase"
	}
	switch tension, attached := s.Assembly.Duty == audit.Tension, figure("T_s", f.Pull.AttachedKN, "kN"); {
	case tension && f.Fitting == audit.Clamp:
		step.Formula, step.Sheet, step.Inputs = "T_s·f", "T_s*f", []audit.Operand{attached, factor}
	case tension:
		step.Formula, step.Sheet, step.Inputs = "T_s·m·f", "T_s*m*f", []audit.Operand{attached, m, factor}
	case f.Fitting == audit.Clamp:
		step.Formula, step.Sheet = "F_c/1000/m·f", "F_c/1000/m*f"
		step.Inputs = []audit.Operand{figure("F_c", load.ResultantN, "N"), m, factor}
	default:
		step.Meaning += " and its strings, each of the weight w_i"
		step.Formula, step.Sheet = "√((V + s·w_i)² + (H_w + H_t)²)/1000·f", "SQRT(MAX(ABS(V),ABS(V+s*w_i))^2+(H_w+H_t)^2)/1000*f"
		step.Inputs = []audit.Operand{figure("V", load.VerticalN, "N"), figure("s", float64(s.Assembly.Strings), ""), figure("w_i", s.Assembly.StringWeightN(), "N"),
			figure("H_w", load.WindN, "N"), figure("H_t", load.TurnN, "N"), factor}
	}
	return step
}
