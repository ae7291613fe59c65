package checks

import (
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

func figure(symbol string, value float64, measure string) audit.Operand {
	return audit.Operand{Symbol: symbol, Value: audit.Figure(value, measure)}
}

// addTension shows the conductor's weight in a load case, its tension, and the catenary constant that follows.
func addTension(t *audit.Trace, s *audit.Subject, load audit.Load) {
	c, conductor := load.Case, load.Conductor
	bare := []audit.Operand{figure("M", conductor.MassKgPerM, "kg/m"), figure("g", basis.Gravity, "m/s²")}
	ice := []audit.Operand{figure("t_i", c.IceMM, "mm"), figure("ρ", c.IceDensityKgPerM3, "kg/m³"), figure("d_0", conductor.DiameterMM, "mm")}
	weight := audit.Step{Symbol: "w", Meaning: "weight of " + conductor.Name, Formula: "M·g", Inputs: bare,
		Result: audit.Figure(c.WeightNPerM(conductor), "N/m"), Clause: basis.Arithmetic, Sheet: "M*g"}
	if c.IceMM > 0 {
		weight.Meaning, weight.Formula, weight.Sheet = "weight of "+conductor.Name+" with its ice", "M·g + π·ρ·t_i·(d_0 + t_i)·10⁻⁶·g", "M*g+PI()*ρ*t_i*(d_0+t_i)*1E-6*g"
		weight.Inputs = append(bare, ice...)
	}
	t.Add(weight)
	stated, symbol := load.TensionKN, "T"
	if load.StatedKN > 0 {
		stated, symbol = load.StatedKN, "T_p"
	}
	switch c.From {
	case audit.CalculatedTension:
		addChangeOfState(t, s, load)
	case audit.ShareOfStrength:
		t.Add(audit.Step{Symbol: symbol, Meaning: "tension of one subconductor, a share of the rated strength", Formula: "c·RTS",
			Inputs: []audit.Operand{figure("c", c.Share, ""), figure("RTS", conductor.RatedStrengthKN, "kN")},
			Result: audit.Figure(stated, "kN"), Clause: basis.OwnFigure, Sheet: "c*RTS"})
	default:
		t.Add(audit.Step{Symbol: symbol, Meaning: "tension of one subconductor, " + c.From.String(), Result: audit.Figure(stated, "kN"), Clause: s.Line.Row.SourceOf(tensionColumn(c.From))})
	}
	if load.StatedKN > 0 {
		which := "the larger pull of the spans here"
		if load.Side != audit.NoSide {
			which = "the pull of that span here"
		}
		t.Add(audit.Step{Symbol: "T", Meaning: "horizontal tension, at which " + which + ", T·cosh(x/C), is the T_p that the project states", Result: audit.Figure(load.TensionKN, "kN"), Clause: basis.Arithmetic})
	}
	t.Add(audit.Step{Symbol: "C", Meaning: "catenary constant", Formula: "1000·T/w",
		Inputs: []audit.Operand{figure("T", load.TensionKN, "kN"), figure("w", c.WeightNPerM(conductor), "N/m")},
		Result: audit.Figure(load.ConstantM, "m"), Clause: basis.Arithmetic, Sheet: "1000*T/w"})
}

// tensionColumn is the column of the Lines sheet that states a tension.
func tensionColumn(from audit.TensionFrom) string {
	switch from {
	case audit.ColdTension:
		return "Cold tension"
	case audit.EverydayTension:
		return "Everyday tension"
	}
	return "Maximum tension"
}

// addChangeOfState shows the change of state of the ruling span from the everyday tension: T²·(T + a) = b has one positive root,
// which a spreadsheet finds in closed form.
func addChangeOfState(t *audit.Trace, s *audit.Subject, load audit.Load) {
	c, conductor, row := load.Case, load.Conductor, &s.Line.Row
	wind := basis.WindLoad(c.WindPa, c.OverIceMM(conductor))
	pulling := c.PullingNPerM(conductor)
	stiffness := conductor.ModulusGPa * conductor.AreaMM2
	bend := func(w float64) float64 { return stiffness * math.Pow(w*load.RulingM/1000, 2) / 24 }
	everyday := row.EverydayTensionKN
	a := stiffness*conductor.Expansion1e6PerK*1e-6*(c.TemperatureC.Value-row.EverydayC) + bend(conductor.WeightNPerM())/(everyday*everyday) - everyday
	b := bend(pulling)
	stretch := []audit.Operand{figure("E", conductor.ModulusGPa, "GPa"), figure("A_c", conductor.AreaMM2, "mm²"), figure("S", load.RulingM, "m")}
	w2 := figure("w_2", pulling, "N/m")
	addDiameter(t, load)
	t.Add(audit.Step{Symbol: "w_w", Meaning: "wind on it", Formula: "p·d/1000",
		Inputs: []audit.Operand{figure("p", c.WindPa, "Pa"), figure("d", c.OverIceMM(conductor), "mm")},
		Result: audit.Figure(wind, "N/m"), Clause: basis.Arithmetic, Sheet: "p*d/1000"})
	t.Add(audit.Step{Symbol: "w_2", Meaning: "weight and wind together, new state", Formula: "√(w² + w_w²)",
		Inputs: []audit.Operand{figure("w", c.WeightNPerM(conductor), "N/m"), figure("w_w", wind, "N/m")},
		Result: audit.Figure(pulling, "N/m"), Clause: basis.Arithmetic, Sheet: "SQRT(w^2+w_w^2)"})
	t.Add(audit.Step{Symbol: "w_1", Meaning: "weight of the bare conductor, everyday state", Formula: "M·g",
		Inputs: []audit.Operand{figure("M", conductor.MassKgPerM, "kg/m"), figure("g", basis.Gravity, "m/s²")},
		Result: audit.Figure(conductor.WeightNPerM(), "N/m"), Clause: basis.Arithmetic, Sheet: "M*g"})
	t.Add(audit.Step{Symbol: "a", Meaning: "of the change of state from the everyday tension T_1 at t_1, in the ruling span S", Formula: "E·A_c·α_t·10⁻⁶·(t_2 − t_1) + E·A_c·(w_1·S/1000)²/(24·T_1²) − T_1",
		Inputs: append([]audit.Operand{figure("α_t", conductor.Expansion1e6PerK, "1e-6/K"), figure("t_2", c.TemperatureC.Value, "°C"), figure("t_1", row.EverydayC, "°C"),
			figure("w_1", conductor.WeightNPerM(), "N/m"), figure("T_1", everyday, "kN")}, stretch...),
		Result: audit.Figure(a, "kN"), Clause: basis.ChangeOfStateSource, Sheet: "E*A_c*α_t*1E-6*(t_2-t_1)+E*A_c*(w_1*S/1000)^2/(24*T_1^2)-T_1"})
	t.Add(audit.Step{Symbol: "b", Formula: "E·A_c·(w_2·S/1000)²/24", Inputs: append([]audit.Operand{w2}, stretch...),
		Result: audit.Figure(b, "kN³"), Clause: basis.ChangeOfStateSource, Sheet: "E*A_c*(w_2*S/1000)^2/24"})
	q := b/2 - math.Pow(a/3, 3)
	t.Add(audit.Step{Symbol: "q", Meaning: "on the way to the root", Formula: "b/2 − (a/3)³", Inputs: []audit.Operand{figure("a", a, "kN"), figure("b", b, "kN³")},
		Result: audit.Figure(q, "kN³"), Clause: basis.Arithmetic, Sheet: "b/2-(a/3)^3"})
	t.Add(audit.Step{Symbol: "T", Meaning: "tension of one subconductor, calculated: that at the low point of the conductor as the wind blows it out", Formula: "the positive root of T²·(T + a) = b",
		Inputs: []audit.Operand{figure("a", a, "kN"), figure("q", q, "kN³")},
		Result: audit.Figure(load.TensionKN, "kN"), Clause: basis.ChangeOfStateSource,
		Sheet: "IF(ABS(q)>=ABS(a/3)^3,(q+SQRT(q^2-(a/3)^6))^(1/3)+(a/3)^2/(q+SQRT(q^2-(a/3)^6))^(1/3)-a/3,2*ABS(a/3)*COS(ACOS(q/ABS(a/3)^3)/3)-a/3)"})
}

// addDiameter shows the diameter that the wind meets.
func addDiameter(t *audit.Trace, load audit.Load) {
	c, conductor := load.Case, load.Conductor
	t.Add(audit.Step{Symbol: "d", Meaning: "diameter of the conductor with its ice", Formula: "d_0 + 2·t_i",
		Inputs: []audit.Operand{figure("d_0", conductor.DiameterMM, "mm"), figure("t_i", c.IceMM, "mm")},
		Result: audit.Figure(c.OverIceMM(conductor), "mm"), Clause: basis.Arithmetic, Sheet: "d_0+2*t_i"})
}

// lowPoint is a step that finds where the low point of a span is.
func lowPoint(n, meaning string, spanM, riseM, constantM float64) audit.Step {
	return lowPointBy("x"+n, "C", n, meaning, spanM, riseM, constantM)
}

// lowPointBy is the same with symbols of its own for the low point and the catenary constant.
func lowPointBy(x, c, n, meaning string, spanM, riseM, constantM float64) audit.Step {
	return audit.Step{Symbol: x, Meaning: meaning, Formula: "L" + n + "/2 − " + c + "·asinh(h" + n + "/(2" + c + "·sinh(L" + n + "/2" + c + ")))",
		Inputs: []audit.Operand{figure("L"+n, spanM, "m"), figure("h"+n, riseM, "m"), figure(c, constantM, "m")},
		Result: audit.Figure(basis.LowPoint(spanM, riseM, constantM), "m"), Clause: basis.Arithmetic,
		Sheet: "L" + n + "/2-" + c + "*ASINH(h" + n + "/(2*" + c + "*SINH(L" + n + "/(2*" + c + "))))"}
}

// rise is a step that finds how far the one end of a span is above the other.
func rise(n, meaning, far, near string, farM, nearM float64) audit.Step {
	return audit.Step{Symbol: "h" + n, Meaning: meaning, Formula: far + " − " + near, Inputs: []audit.Operand{figure(far, farM, "m"), figure(near, nearM, "m")},
		Result: audit.Figure(farM-nearM, "m"), Clause: basis.Arithmetic, Sheet: far + "-" + near}
}

// addBehind and addAhead show the low points of the spans of a structure. Heights are those of the attachments, or the ground's.
func addBehind(t *audit.Trace, st *audit.Structure, constantM float64) {
	t.Add(rise("1", "rise of the span behind", "z", "z_1", st.HeightM, st.HeightBackM))
	t.Add(lowPoint("1", "low point of the span behind, from the structure behind", st.SpanBackM, st.HeightM-st.HeightBackM, constantM))
}

func addAhead(t *audit.Trace, st *audit.Structure, constantM float64) {
	t.Add(rise("2", "rise of the span ahead", "z_2", "z", st.HeightAheadM, st.HeightM))
	t.Add(lowPoint("2", "low point of the span ahead, from here", st.SpanAheadM, st.HeightAheadM-st.HeightM, constantM))
}

// addWeightSpan shows the weight span of a load case as a step of a symbol and a role.
func addWeightSpan(t *audit.Trace, s *audit.Subject, load audit.Load, symbol, meaning string, role audit.StepRole) {
	st := s.Structure
	step := audit.Step{Symbol: symbol, Meaning: meaning, Result: audit.Figure(load.WeightSpanM, "m"), Role: role, Clause: basis.Arithmetic}
	behind := []audit.Operand{figure("L1", st.SpanBackM, "m"), figure("x1", basis.LowPoint(st.SpanBackM, st.HeightM-st.HeightBackM, load.ConstantM), "m")}
	ahead := figure("x2", basis.LowPoint(st.SpanAheadM, st.HeightAheadM-st.HeightM, load.ConstantM), "m")
	hasBack, hasAhead := !math.IsNaN(st.SpanBackM), !math.IsNaN(st.SpanAheadM)
	if hasBack {
		addBehind(t, st, load.ConstantM)
	}
	if hasAhead {
		addAhead(t, st, load.ConstantM)
	}
	switch {
	case hasBack && hasAhead:
		step.Formula, step.Sheet, step.Inputs = "(L1 − x1) + x2", "(L1-x1)+x2", append(behind, ahead)
	case hasBack:
		step.Formula, step.Sheet, step.Inputs = "L1 − x1", "L1-x1", behind
	case hasAhead:
		step.Formula, step.Sheet, step.Inputs = "x2", "x2", []audit.Operand{ahead}
	}
	t.Add(step)
}

// addAttached shows what one subconductor pulls at the attachment of a tension assembly.
func addAttached(t *audit.Trace, s *audit.Subject, pull audit.Pull) {
	load, st := pull.Load, s.Structure
	step := audit.Step{Symbol: "T_s", Meaning: "tension at the support", Result: audit.Figure(pull.AttachedKN, "kN")}
	switch {
	case math.IsNaN(pull.FromLowPointM):
		step.Formula, step.Inputs, step.Sheet = "T", []audit.Operand{figure("T", load.TensionKN, "kN")}, "T"
		switch {
		case s.Criteria.StatedTension == basis.AtSupport && load.Case.From != audit.CalculatedTension:
			step.Meaning += ", which is what the project states"
			step.Clause = basis.OwnFigure
		case pull.Unsure != audit.NoReason:
			step.Meaning += ", at least the horizontal tension: " + pull.Unsure.String()
		default:
			step.Meaning += ", taken as the horizontal tension: the line has no ground levels"
		}
	case load.Side == audit.Back:
		addBehind(t, st, load.ConstantM)
		t.Add(audit.Step{Symbol: "x", Meaning: "from the low point to here", Formula: "L1 − x1",
			Inputs: []audit.Operand{figure("L1", st.SpanBackM, "m"), figure("x1", basis.LowPoint(st.SpanBackM, st.HeightM-st.HeightBackM, load.ConstantM), "m")},
			Result: audit.Figure(pull.FromLowPointM, "m"), Clause: basis.Arithmetic, Sheet: "L1-x1"})
	default:
		addAhead(t, st, load.ConstantM)
		t.Add(audit.Step{Symbol: "x", Meaning: "from the low point to here", Formula: "x2", Inputs: []audit.Operand{figure("x2", pull.FromLowPointM, "m")},
			Result: audit.Figure(pull.FromLowPointM, "m"), Clause: basis.Arithmetic, Sheet: "x2"})
	}
	if !math.IsNaN(pull.FromLowPointM) {
		step.Formula, step.Sheet, step.Clause = "T·cosh(x/C)", "T*COSH(x/C)", basis.Arithmetic
		step.Inputs = []audit.Operand{figure("T", load.TensionKN, "kN"), figure("x", pull.FromLowPointM, "m"), figure("C", load.ConstantM, "m")}
	}
	t.Add(step)
	addWindAcross(t, st, pull)
}

// addWindAcross shows what the wind across the span would add to the pull of a tension assembly, which is left out.
func addWindAcross(t *audit.Trace, st *audit.Structure, pull audit.Pull) {
	c, name, span := pull.Load.Case, "L2", st.SpanAheadM
	if pull.Load.Side == audit.Back {
		name, span = "L1", st.SpanBackM
	}
	if c.WindPa == 0 || math.IsNaN(span) {
		return
	}
	across := c.WindPa * c.OverIceMM(pull.Load.Conductor) * span / 2 * 1e-6
	t.Add(audit.Step{Symbol: "T_w", Meaning: "what the wind across the span would add to it, and is not in it", Formula: "√(T_s² + (p·d·" + name + "/2·10⁻⁶)²) − T_s",
		Inputs: []audit.Operand{figure("T_s", pull.AttachedKN, "kN"), figure("p", c.WindPa, "Pa"), figure("d", c.OverIceMM(pull.Load.Conductor), "mm"), figure(name, span, "m")},
		Result: audit.Figure(basis.Resultant(pull.AttachedKN, across)-pull.AttachedKN, "kN"), Clause: basis.Arithmetic,
		Sheet: "SQRT(T_s^2+(p*d*" + name + "/2*1E-6)^2)-T_s"})
}

// attachedInWords says what a subconductor pulls at a tension assembly where that is not the tension that the line states.
func attachedInWords(pull audit.Pull) string {
	if !(pull.AttachedKN > pull.Load.TensionKN) {
		return ""
	}
	return fmt.Sprintf(" (tension %.2f kN at the support, %.2f kN horizontal)", pull.AttachedKN, pull.Load.TensionKN)
}
