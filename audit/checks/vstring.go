package checks

import (
	"fmt"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// onV is what comes on one string of the worse leg of a V set, with the symbols of the loads that it is a share of.
type onV struct {
	basis.VString
	across, acrossSheet string // what acts across the line, in its formula and in that of the sheet
	of                  []audit.Operand
	down                audit.Operand
	along               audit.Operand // without a symbol where nothing pulls along the line
	carrying, alongside int
	share               float64
	slack               bool
}

// pulledInV is onV of a load case.
func pulledInV(s *audit.Subject, pull audit.Pull, broken int) onV {
	a, load, carrying := s.Assembly, pull.Load, s.Assembly.Strings-broken
	share := basis.SharingFactor(a.Alongside(carrying), s.Criteria.UnequalSharing.Value)
	return onV{
		VString: a.OnVString(load.TransverseN(), 0, load.VerticalN, carrying, share), across: "(H_w + H_t)", acrossSheet: "ABS(H_w+H_t)",
		of: []audit.Operand{figure("H_w", load.WindN, "N"), figure("H_t", load.TurnN, "N")}, down: figure("V", load.VerticalN, "N"),
		carrying: carrying, alongside: a.Alongside(carrying), share: share, slack: pull.LegSlack,
	}
}

// brokenInV is onV of a break.
func brokenInV(s *audit.Subject, p *audit.BrokenPull) onV {
	a := s.Assembly
	share := basis.SharingFactor(a.Alongside(a.Strings), s.Criteria.UnequalSharing.Value)
	return onV{
		VString: a.OnVString(p.AcrossN, p.AlongN, p.DownN, a.Strings, share), across: "P_t", acrossSheet: "P_t",
		of: []audit.Operand{figure("P_t", p.AcrossN, "N")}, down: figure("V", p.DownN, "N"), along: figure("P_l", p.AlongN, "N"),
		carrying: a.Strings, alongside: a.Alongside(a.Strings), share: share, slack: p.LegSlack,
	}
}

// addVString shows how loads and weights come on the lower end of the string.
func addVString(t *audit.Trace, s *audit.Subject, v *onV) {
	u, n, own := figure("u", v.share, ""), figure("n", float64(v.alongside), ""), figure("w_i", v.OwnN, "N")
	down, across := figure("V_s", v.VerticalN(), "N"), figure("H_s", v.AcrossN, "N")
	t.Add(audit.Step{Symbol: "V_s", Meaning: "load downwards on the lower end of one string, with half the weight w_i of each string of both legs", Formula: "V·u/n + w_i·s/(2·n)", Sheet: "V*u/n+w_i*s/(2*n)",
		Inputs: []audit.Operand{v.down, u, n, own, figure("s", float64(v.carrying), "")}, Result: down.Value, Clause: basis.Arithmetic})
	t.Add(audit.Step{Symbol: "H_s", Meaning: "load across the line on it", Formula: v.across + "·u/n", Sheet: v.acrossSheet + "*u/n", Inputs: append(v.of, u, n), Result: across.Value, Clause: basis.Arithmetic})
	plane := down
	if v.along.Symbol != "" {
		plane = figure("p", v.PlaneN(), "N")
		t.Add(audit.Step{Symbol: "p", Meaning: "load in the plane of the legs, which the pull along the line has turned", Formula: "√(V_s² + (P_l·u/n)²)", Sheet: "SQRT(V_s^2+(P_l*u/n)^2)",
			Inputs: []audit.Operand{down, v.along, u, n}, Result: plane.Value, Clause: basis.Arithmetic})
	}
	resultant := v.resultant()
	t.Add(audit.Step{Symbol: resultant.Symbol, Meaning: "load on the lower end", Formula: "√(" + plane.Symbol + "² + H_s²)", Sheet: "SQRT(" + plane.Symbol + "^2+H_s^2)",
		Inputs: []audit.Operand{plane, across}, Result: resultant.Value, Clause: basis.Arithmetic})
	t.Add(audit.Step{Symbol: "θ", Meaning: "its angle to the middle of the legs", Formula: "atan(H_s/" + plane.Symbol + ")", Sheet: "DEGREES(ATAN2(" + plane.Symbol + ",H_s))",
		Inputs: []audit.Operand{across, plane}, Result: audit.Figure(v.LeanDeg(), "deg"), Clause: basis.Arithmetic})
	addVHalf(t, s, v.AngleDeg/2)
	first, _ := basis.VLegs(v.AcrossN, v.PlaneN(), v.AngleDeg)
	t.Add(vLegStep("F_1", "pull of the leg that bears more, while both are taut", "+", v.AngleDeg/2, v.LeanDeg(), resultant, first))
}

func (v *onV) resultant() audit.Operand {
	return figure("F_s", basis.Resultant(v.AcrossN, v.PlaneN()), "N")
}

// complete completes the step of the load on the top unit.
func (v *onV) complete(step audit.Step, a *audit.Assembly, f audit.Operand) audit.Step {
	own, down := figure("w_i", v.OwnN, "N"), figure("V_s", v.VerticalN(), "N")
	step.Meaning = fmt.Sprintf("%s, of the worse leg of a V set of %.4g°, %d strings in all", onTopUnit(a), v.AngleDeg, a.Strings)
	if v.slack {
		step.Meaning += ", the other being slack"
		step.Formula, step.Sheet = "√(F_s² + V_s·w_i + (w_i/2)²)/1000·f", "SQRT(F_s^2+V_s*w_i+(w_i/2)^2)/1000*f"
		step.Inputs = []audit.Operand{v.resultant(), down, own, f}
		return step
	}
	first, _ := basis.VLegs(v.AcrossN, v.PlaneN(), v.AngleDeg)
	step.Formula, step.Sheet = "√(F_1² + F_1·cos α·w_i + (w_i/2)²)/1000·f", "SQRT(F_1^2+F_1*COS(RADIANS(α))*w_i+(w_i/2)^2)/1000*f"
	step.Inputs = []audit.Operand{figure("F_1", first, "N"), figure("α", v.AngleDeg/2, "deg"), own, f}
	if v.along.Symbol != "" {
		step.Formula, step.Sheet = "√(F_1² + F_1·cos α·w_i·V_s/p + (w_i/2)²)/1000·f", "SQRT(F_1^2+F_1*COS(RADIANS(α))*w_i*V_s/p+(w_i/2)^2)/1000*f"
		step.Inputs = append(step.Inputs, down, figure("p", v.PlaneN(), "N"))
	}
	return step
}

// withoutOwn says in the words of a step why the own weight of a V string is not in its load.
func withoutOwn(a *audit.Assembly) string {
	if a.StringWeightN() > 0 {
		return ", without their weight, which an uplift bears"
	}
	return ", without their weight, since their units state none"
}
