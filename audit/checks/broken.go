package checks

import (
	"cmp"
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var brokenConductor = audit.Check{
	ID:       "broken-conductor",
	Title:    "String or insulator too weak for the pull beside a broken conductor",
	Of:       audit.OfAssembly,
	BySpans:  true,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.CommonPractice, basis.Arithmetic, {Document: "the document that the criterion broken_conductor names", Tag: basis.Published}},
	Method: audit.Method{
		Formula: "R ≥ F·γ;  F = √((V/s + w_i)² + (P/s)²);  P = T_b·k, T_b = min(φ·T, S);  pins and posts: U ≤ 1",
		Symbols: []audit.Explained{
			{Symbol: "R", Meaning: "rating of one string: the row's, else that of its weakest unit", Measure: "kN"},
			{Symbol: "F", Meaning: "load on one string after the break that asks for more, behind or ahead", Measure: "kN"},
			{Symbol: "γ", Meaning: "factor of the criterion, for the duty"},
			{Symbol: "T", Meaning: "horizontal tension of one subconductor of the span that stays, everyday or of the load case that the criterion names", Measure: "kN"},
			{Symbol: "φ", Meaning: "share of it that is left once the string has swung and the structure has given, of the criterion, for the duty"},
			{Symbol: "S", Meaning: "pull at which the clamp or tie of one subconductor slips: the row's Slip load, else the line's; without one nothing slips", Measure: "kN"},
			{Symbol: "T_b", Meaning: "horizontal tension of one subconductor that is left; C_b is its catenary constant", Measure: "kN"},
			{Symbol: "k", Meaning: "subconductors of a phase that break: all, unless the criterion says how many"},
			{Symbol: "P, P_l, P_t", Meaning: "pull of the span that stays, and its parts along the line and across it, by half the deviation", Measure: "N"},
			{Symbol: "V", Meaning: "weight of the span that stays, by its arc from its low point by T_b", Measure: "N"},
			{Symbol: "s", Meaning: "parallel strings"},
			{Symbol: "w_i", Meaning: "weight of one string; left out where its units state none", Measure: "N"},
			{Symbol: "p", Meaning: "load in the plane of a V set, √(V² + P_l²); its legs bear p, P_t and their weight as they bear V and H in strength", Measure: "N"},
			{Symbol: "U", Meaning: "how much of the strength of a pin or post F_t, F_v and F_l use, as in strength; γ is the factor on each of its strengths"},
		},
		Limits: "Suspension, pin and post assemblies between two spans, for the criterion broken_conductor; the units alone, their fittings by fitting-broken-conductor. The conductors of the span behind are broken, then those of the span ahead; the break that asks for more governs. No wind; ice and load factor are those of a load case that the criterion names. " +
			"The tension, conductor and bundle are those of the span that stays, so that unlike spans are judged each by its own; a stated pull at the support is that of the span that stays. Where one break is not known (a slack span that stays, a height) an assembly falls short by the other, or is not assessed. " +
			"The pull and the weight are those of the span that stays as a catenary of T_b between its attachments as they were: how far the string, the arm and the structure give is in the share that the project states, and so is a jerk. Subconductors that do not break keep T, turn and weight in both spans, which have to be alike for that. " +
			"A weight below 0 lifts: the string bears the resultant all the same. Parallel strings share equally unless the criteria state unequal_sharing, whichever way they stand to the line. A pull along the line turns the plane of a V set about the line through its attachments until the load lies in it; a leg then goes slack by the turn alone, and the other bears all. " +
			"A pin or post is bent along the line however it stands. Where the line or the circuit ends one span pulls anyway, and what is no tension assembly falls short there as tension-at-terminal has it; its strength is not judged, but for a shackle's of low voltage. A tension assembly bears the whole tension of its span with or without a break, in strength. " +
			"The slip load is that of one subconductor and only limits the pull: nothing says that a clamp slips in time; one of less than a tenth of the tension is not believed, and nothing assessed by it. " + defectLimits + postLimits + terrainLimits,
		Example: audit.Example{
			Story: "Twin conductors of 28 kN everyday on strings of 70 kN, spans of 300 m on level ground, of which 0.7 is left, factor 1.8",
			Subject: func() audit.Subject {
				s := loadedAt(structureOf(audit.Tangent, 0))
				s.Line.Row.EverydayTensionKN, s.Line.Row.Subconductors = 28, 2
				s.Criteria.BrokenConductor = audit.BrokenConductor{Share: everyDuty(0.7), Factor: everyDuty(1.8), Basis: "own rule"}
				s.Assembly.Unit.RatingKN = 70
				return s
			},
			Outcome: audit.FallsShort, Observed: 70, Required: 71.09,
			Source: "39.2·√(1 + sinh²(150/1227.67))·1.8 = 71.09 kN (statics, computed); 1.8 as GB 50545 has it for broken wires (value from memory)",
		},
	},
	AskedBy:   []audit.Need{audit.AsksBrokenConductor},
	Trusts:    []audit.Need{audit.NeedsCourse, audit.NeedsDuty, audit.NeedsArrangement, audit.NeedsKind},
	Needs:     []audit.Need{audit.NeedsDuty, audit.NeedsCourse, audit.NeedsArrangement, audit.NeedsKind, audit.NeedsStrings, audit.NeedsSoundInsulator, audit.NeedsBrokenPull, audit.NeedsRatingOfString},
	Drives:    []audit.Quantity{audit.DriveMaximumTension, audit.DriveWind}, // of the load case that is named, by the wind where its tension is calculated
	Strings:   true,
	KeepsDuty: true,
	Between:   true,
	ByLoad:    true,
	Errs:      audit.ErrsLoads,
	Parted:    audit.ByBreak,
	Rests:     audit.RestsOnLoad | audit.RestsOnRating | audit.RestsOnCourse,
	OfLine:    audit.ReadsPulls,
	Remedy:    "Take stronger units or parallel strings, clamps that slip earlier, or confirm the tension and the share of it that is left.",
	Concerns: func(s *audit.Subject) audit.Reason {
		switch duty := s.Assembly.Duty; {
		case duty == audit.Jumper:
			return audit.IsJumper
		case duty == audit.EarthWire, duty == audit.Guy:
			return audit.CarriesNoPhase
		case duty == audit.Tension, duty == audit.Shackle:
			return audit.NoneOfThree
		case s.Structure.Role == audit.Terminal, s.Assembly.CircuitEnds:
			return audit.PullsOneSidedly
		}
		return audit.NoReason
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		return byRises(s, besideTerrain(s, t, func(s *audit.Subject, t *audit.Trace) audit.Verdict {
			if onPost(s) {
				b, reason := s.BrokenBearing()
				return judgeBearing(s, t, &b, reason)
			}
			return judgeBroken(s, t)
		}))
	},
}

func everyDuty(figure float64) audit.ByDuty {
	return audit.ByDuty{Suspension: figure, Pin: figure, Post: figure}
}

func judgeBroken(s *audit.Subject, t *audit.Trace) audit.Verdict {
	p, reason := s.WorstBroken()
	if reason != audit.NoReason {
		return audit.CannotTell(reason)
	}
	addBrokenPull(t, s, &p)
	rating, reason := addRating(nil, s, false)
	v := audit.AtLeast(rating, p.Required, "kN")
	if reason != audit.NoReason && v.Outcome != audit.FallsShort {
		return audit.CannotTell(reason)
	}
	addRating(t, s, false)
	if v.Outcome == audit.Meets && p.Unsure != audit.NoReason {
		return audit.CannotTell(p.Unsure)
	}
	if v = besideDoubt(s, v); s.NeedsSentence(v) {
		what, needs := "one string", "needs"
		if p.LegSlack {
			what = "one string of the leg that stays taut, the other being slack,"
		}
		if p.Unsure != audit.NoReason {
			needs = "needs at least"
		}
		factor, of := s.BrokenFactor()
		v = v.Saying(fmt.Sprintf("%s; %s: %.2f kN on %s, which %s %.2f kN (factor %g, %s)%s.", ratedInWords(s, rating, false, reason), breakInWords(&p.BrokenLoad), p.KN, what, needs, p.Required, factor,
			of, doubtInWords(s)))
	}
	return v
}

// breakInWords says what breaks, and what the span that stays pulls then.
func breakInWords(b *audit.BrokenLoad) string {
	what := "the conductor"
	if b.Number > 1 {
		what = fmt.Sprintf("%d subconductors", b.Number)
	} else if b.Subconductors > 1 {
		what = "a subconductor"
	}
	slips := ""
	if b.SlipKN < b.Share*b.TensionKN {
		slips = ", where the clamp slips,"
	}
	return fmt.Sprintf("with %s broken in the span %s, the one %s pulls %.2f kN%s by %s", what, spanOn(b.SideBroken()), spanOn(b.Side), b.LeftKN*float64(b.Number), slips, b.Case.Name)
}

// spanOn says on which side a span is.
func spanOn(side audit.Side) string {
	if side == audit.Back {
		return "behind"
	}
	return "ahead"
}

// addBrokenLoad shows what a break leaves.
func addBrokenLoad(t *audit.Trace, s *audit.Subject, b *audit.BrokenLoad) {
	t.Add(audit.Step{Symbol: "broken", Result: audit.Word("the span " + spanOn(b.SideBroken()) + "; the one " + spanOn(b.Side) + " stays")})
	t.Add(audit.Step{Symbol: "load case", Result: audit.Word(b.Case.Name)})
	if c := b.Case; c.Factor != 1 || c.FactorBasis != "" {
		t.Add(audit.Step{Symbol: "f", Meaning: "load factor of the case, " + cmp.Or(c.FactorBasis, "basis not stated"), Result: audit.Figure(c.Factor, ""), Clause: basis.OwnFigure})
	}
	addTension(t, s, b.Load)
	_, of := s.BrokenFactor()
	left := audit.Step{Symbol: "T_b", Meaning: "tension that is left, by the share φ of " + of + "; no slip load is stated", Formula: "φ·T",
		Inputs: []audit.Operand{figure("φ", b.Share, ""), figure("T", b.TensionKN, "kN")}, Result: audit.Figure(b.LeftKN, "kN"), Clause: basis.OwnFigure, Sheet: "φ*T"}
	if !math.IsNaN(b.SlipKN) {
		whose := "the line's"
		if b.SlipOwn {
			whose = "the row's"
		}
		left.Meaning = "tension that is left, by the share φ of " + of + ", at most the slip load S, " + whose
		left.Formula, left.Sheet, left.Inputs = "min(φ·T, S)", "MIN(φ*T,S)", append(left.Inputs, figure("S", b.SlipKN, "kN"))
	}
	t.Add(left)
	w, k, lost := figure("w", b.Case.WeightNPerM(b.Conductor), "N/m"), figure("k", float64(b.Number), ""), figure("T_b", b.LeftKN, "kN")
	t.Add(audit.Step{Symbol: "C_b", Meaning: "catenary constant by that", Formula: "1000·T_b/w", Inputs: []audit.Operand{lost, w}, Result: audit.Figure(b.LeftM, "m"), Clause: basis.Arithmetic, Sheet: "1000*T_b/w"})
	goOn := b.Subconductors > b.Number
	if goOn {
		addGoesOn(t, s, b)
	}
	addHangs(t, s, b, goOn)
	hangs, turn := figure("l_b", b.HangsM, "m"), figure("δ", s.Structure.DeviationDeg, "deg")
	weight := audit.Step{Symbol: "V", Meaning: "weight of the span that stays", Formula: "l_b·w·k", Sheet: "l_b*w*k", Inputs: []audit.Operand{hangs, w, k}, Result: audit.Figure(b.DownN, "N"), Clause: basis.Arithmetic}
	across := audit.Step{Symbol: "P_t", Meaning: "its pull across the line", Formula: "1000·T_b·k·sin(|δ|/2)", Sheet: "1000*T_b*k*SIN(RADIANS(ABS(δ))/2)",
		Inputs: []audit.Operand{lost, k, turn}, Result: audit.Figure(b.AcrossN, "N"), Clause: basis.Arithmetic}
	if goOn {
		m := figure("m", float64(b.Subconductors), "")
		weight.Meaning += ", and of the subconductors that go on"
		weight.Formula, weight.Sheet, weight.Inputs = "l_b·w·k + l_g·w·(m − k)", "l_b*w*k+l_g*w*(m-k)", append(weight.Inputs, figure("l_g", b.GoesOnM, "m"), m)
		across.Meaning += ", with the turn of the subconductors that go on"
		across.Formula, across.Sheet = "1000·(T_b·k + 2·T·(m − k))·sin(|δ|/2)", "1000*(T_b*k+2*T*(m-k))*SIN(RADIANS(ABS(δ))/2)"
		across.Inputs = append(across.Inputs, figure("T", b.TensionKN, "kN"), m)
	}
	t.Add(weight)
	t.Add(audit.Step{Symbol: "P_l", Meaning: "its pull along the line", Formula: "1000·T_b·k·cos(|δ|/2)", Sheet: "1000*T_b*k*COS(RADIANS(ABS(δ))/2)",
		Inputs: []audit.Operand{lost, k, turn}, Result: audit.Figure(b.AlongN, "N"), Clause: basis.Arithmetic})
	t.Add(across)
}

// addGoesOn shows how much of a subconductor that goes on hangs here.
func addGoesOn(t *audit.Trace, s *audit.Subject, b *audit.BrokenLoad) {
	st := s.Structure
	addBehind(t, st, b.ConstantM)
	addAhead(t, st, b.ConstantM)
	t.Add(audit.Step{Symbol: "l_g", Meaning: "length of the arc of a subconductor that goes on, from low point to low point", Formula: "C·(sinh((L1 − x1)/C) + sinh(x2/C))", Sheet: "C*(SINH((L1-x1)/C)+SINH(x2/C))",
		Inputs: []audit.Operand{figure("C", b.ConstantM, "m"), figure("L1", st.SpanBackM, "m"), figure("x1", basis.LowPoint(st.SpanBackM, st.HeightM-st.HeightBackM, b.ConstantM), "m"),
			figure("x2", basis.LowPoint(st.SpanAheadM, st.HeightAheadM-st.HeightM, b.ConstantM), "m")}, Result: audit.Figure(b.GoesOnM, "m"), Clause: basis.Arithmetic})
}

// addHangs shows how much of the span that stays hangs here; its rise is known already where the weight span is.
func addHangs(t *audit.Trace, s *audit.Subject, b *audit.BrokenLoad, riseKnown bool) {
	st := s.Structure
	step := audit.Step{Symbol: "l_b", Meaning: "length of its arc that hangs here, from its low point; below 0 it lifts", Result: audit.Figure(b.HangsM, "m"), Clause: basis.Arithmetic}
	if b.Side == audit.Back {
		riseM := st.HeightM - st.HeightBackM
		if !riseKnown {
			t.Add(rise("1", "rise of the span behind", "z", "z_1", st.HeightM, st.HeightBackM))
		}
		t.Add(lowPointBy("x_b", "C_b", "1", "low point of the span behind, from the structure behind", st.SpanBackM, riseM, b.LeftM))
		step.Formula, step.Sheet = "C_b·sinh((L1 − x_b)/C_b)", "C_b*SINH((L1-x_b)/C_b)"
		step.Inputs = []audit.Operand{figure("L1", st.SpanBackM, "m"), figure("x_b", basis.LowPoint(st.SpanBackM, riseM, b.LeftM), "m")}
	} else {
		riseM := st.HeightAheadM - st.HeightM
		if !riseKnown {
			t.Add(rise("2", "rise of the span ahead", "z_2", "z", st.HeightAheadM, st.HeightM))
		}
		t.Add(lowPointBy("x_b", "C_b", "2", "low point of the span ahead, from here", st.SpanAheadM, riseM, b.LeftM))
		step.Formula, step.Sheet, step.Inputs = "C_b·sinh(x_b/C_b)", "C_b*SINH(x_b/C_b)", []audit.Operand{figure("x_b", basis.LowPoint(st.SpanAheadM, riseM, b.LeftM), "m")}
	}
	step.Inputs = append(step.Inputs, figure("C_b", b.LeftM, "m"))
	t.Add(step)
}

// addBrokenPull shows how a break comes on one string.
func addBrokenPull(t *audit.Trace, s *audit.Subject, p *audit.BrokenPull) {
	if !t.On() {
		return
	}
	addBrokenLoad(t, s, &p.BrokenLoad)
	t.Add(brokenStep(t, s, p))
	factor, of := s.BrokenFactor()
	t.Add(audit.Step{Symbol: "R_req", Meaning: "rating needed, factor of " + of, Formula: "F·γ", Sheet: "F*γ",
		Inputs: []audit.Operand{figure("F", p.KN, "kN"), figure("γ", factor, "")}, Result: audit.Figure(p.Required, "kN"), Role: audit.Required, Clause: basis.OwnFigure})
}

// brokenStep is the step of the load on one string, after those of a V set that it needs.
func brokenStep(t *audit.Trace, s *audit.Subject, p *audit.BrokenPull) audit.Step {
	b, a := &p.BrokenLoad, s.Assembly
	share := basis.SharingFactor(a.Alongside(a.Strings), s.Criteria.UnequalSharing.Value)
	u, f := figure("u", share, ""), figure("f", b.Case.Factor, "")
	down, along, across := figure("V", b.DownN, "N"), figure("P_l", b.AlongN, "N"), figure("P_t", b.AcrossN, "N")
	step := audit.Step{Symbol: "F", Result: audit.Figure(p.KN, "kN"), Clause: basis.Arithmetic}
	if a.Alongside(a.Strings) >= 2 {
		step.Clause = s.Criteria.UnequalSharing.ClauseOr(step.Clause)
	}
	if v := brokenInV(s, p); a.HangsInV() && v.OwnN > 0 {
		addVString(t, s, &v)
		step = v.complete(step, a, f)
	} else if a.HangsInV() {
		leg := addBrokenLegs(t, s, p)
		step.Meaning = fmt.Sprintf("load on one string of the worse leg of a V set of %.4g°, %d strings in all", a.VAngleDeg, a.Strings)
		if p.LegSlack {
			step.Meaning += ", the other being slack"
		}
		step.Meaning += withoutOwn(a)
		step.Formula, step.Sheet = leg.Symbol+"/1000/n·u·f", leg.Symbol+"/1000/n*u*f"
		step.Inputs = []audit.Operand{leg, figure("n", float64(a.Alongside(a.Strings)), ""), u, f}
	} else {
		step.Meaning = onTopUnit(a)
		step.Formula, step.Sheet = "√((V·u/s + w_i)² + (P_l² + P_t²)·(u/s)²)/1000·f", "SQRT(MAX(ABS(V*u/s),ABS(V*u/s+w_i))^2+(P_l^2+P_t^2)*(u/s)^2)/1000*f"
		step.Inputs = []audit.Operand{down, figure("w_i", a.StringWeightN(), "N"), along, across, figure("s", float64(a.Strings), ""), u, f}
	}
	return step
}

// addBrokenLegs shows how a break comes on the legs of a V set, and returns the force by which the worse is judged.
func addBrokenLegs(t *audit.Trace, s *audit.Subject, b *audit.BrokenPull) audit.Operand {
	inPlane := basis.VPlaneLoad(b.AlongN, b.DownN)
	plane, across := figure("p", inPlane, "N"), figure("P_t", b.AcrossN, "N")
	half, lean := s.Assembly.VAngleDeg/2, basis.VLeanDeg(b.AcrossN, inPlane)
	resultant := figure("F_c", basis.Resultant(b.AcrossN, inPlane), "N")
	t.Add(audit.Step{Symbol: "p", Meaning: "load in the plane of the legs, which the pull along the line has turned", Formula: "√(V² + P_l²)", Sheet: "SQRT(V^2+P_l^2)",
		Inputs: []audit.Operand{figure("V", b.DownN, "N"), figure("P_l", b.AlongN, "N")}, Result: plane.Value, Clause: basis.Arithmetic})
	t.Add(audit.Step{Symbol: "F_c", Meaning: "load of the conductors", Formula: "√(p² + P_t²)", Sheet: "SQRT(p^2+P_t^2)", Inputs: []audit.Operand{plane, across}, Result: resultant.Value, Clause: basis.Arithmetic})
	t.Add(audit.Step{Symbol: "θ", Meaning: "angle of the load in that plane, from its middle", Formula: "atan(P_t/p)", Sheet: "DEGREES(ATAN2(p,ABS(P_t)))",
		Inputs: []audit.Operand{across, plane}, Result: audit.Figure(lean, "deg"), Clause: basis.Arithmetic})
	first, _ := basis.VLegs(b.AcrossN, inPlane, s.Assembly.VAngleDeg)
	addVHalf(t, s, half)
	leg := vLegStep("F_1", "force of the leg that bears more, while both are taut", "+", half, lean, resultant, first)
	t.Add(leg)
	if b.LegSlack {
		return resultant
	}
	return audit.Operand{Symbol: leg.Symbol, Value: leg.Result}
}

// addBrokenPost shows what a break puts on a pin or post.
func addBrokenPost(t *audit.Trace, s *audit.Subject, p *audit.PostLoad, f audit.Operand) {
	b := p.Broken
	addBrokenLoad(t, s, b)
	u := figure("u", p.Sharing, "")
	for _, part := range [...]struct {
		symbol, meaning, from string
		newtons, kN           float64
	}{
		{"F_t", "load across the line", "P_t", b.AcrossN, p.SideKN}, {"F_v", "load downwards, below 0 it lifts", "V", b.DownN, p.DownKN}, {"F_l", "load along the line", "P_l", b.AlongN, p.AlongKN},
	} {
		t.Add(audit.Step{Symbol: part.symbol, Meaning: part.meaning, Formula: part.from + "/1000·u·f", Sheet: part.from + "/1000*u*f",
			Inputs: []audit.Operand{figure(part.from, part.newtons, "N"), u, f}, Result: audit.Figure(part.kN, "kN"), Clause: basis.Arithmetic})
	}
}
