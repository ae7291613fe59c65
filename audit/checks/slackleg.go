package checks

import (
	"fmt"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var slackLeg = audit.Check{
	ID:       "slack-leg",
	Title:    "Leg of a V set goes slack",
	Of:       audit.OfAssembly,
	BySpans:  true,
	Severity: audit.Advisory,
	Basis:    []basis.Clause{basis.CommonPractice, basis.Arithmetic},
	Method: audit.Method{
		Formula: "θ ≤ α;  θ = atan((H_w + H_t)/V);  F_2 = F_c·sin(α − θ)/sin 2α, which is slack below 0",
		Symbols: []audit.Explained{
			{Symbol: "θ", Meaning: "angle of the load of the conductors to the vertical", Measure: "deg"},
			{Symbol: "α", Meaning: "half the angle between the legs", Measure: "deg"},
			{Symbol: "H_w, H_t", Meaning: "wind on the wind span and pull of the turn", Measure: "N"},
			{Symbol: "V", Meaning: "weight of the conductor on the weight span", Measure: "N"},
			{Symbol: "F_c", Meaning: "resultant of the three", Measure: "N"},
			{Symbol: "F_1, F_2", Meaning: "force of the leg that bears more, and of the other", Measure: "N"},
		},
		Limits: "V sets of suspension assemblies, in the load case whose load leans most. A leg that goes slack is jerked when it draws tight again, and the other then bears the load alone (common practice). The legs are " +
			"taken as alike, and the weight of the strings is left out." + terrainLimits,
		Example: audit.Example{
			Story: "A V of 50° under 290 Pa on spans of 300 m, conductor of 28.14 mm and 15.965 N/m",
			Subject: func() audit.Subject {
				s := loadedAt(structureOf(audit.Tangent, 0))
				s.Assembly.Strings, s.Assembly.Arrangement, s.Assembly.VAngleDeg = 2, audit.VSet, 50
				return s
			},
			Outcome: audit.FallsShort, Observed: 27.07, Required: 25,
			Source: "atan(2448.18/4789.5) = 27.07° (statics, computed)",
		},
	},
	AskedBy:       []audit.Need{audit.AsksLoads},
	Trusts:        []audit.Need{audit.NeedsCourse, audit.NeedsDuty, audit.NeedsArrangement},
	Needs:         []audit.Need{audit.NeedsDuty, audit.NeedsVAngle, audit.NeedsSwing},
	Drives:        []audit.Quantity{audit.DriveMaximumTension, audit.DriveWind},
	Errs:          audit.ErrsLoads,
	Parted:        audit.ByCase,
	ByAttachments: true,
	Rests:         audit.RestsOnLoad | audit.RestsOnLength | audit.RestsOnCourse,
	OfLine:        audit.ReadsPulls,
	Remedy:        "Open the V wider, hang weights on it, or confirm the load cases.",
	Concerns: func(s *audit.Subject) audit.Reason {
		switch {
		case s.Assembly.Duty == audit.Jumper:
			return audit.IsJumper
		case s.Assembly.Duty != audit.Suspension && s.Assembly.Duty != audit.DutyUnknown:
			return audit.NotSuspension
		case s.Assembly.Arrangement != audit.VSet:
			return audit.NotVSet
		case s.Structure.Role == audit.Terminal:
			return audit.WrongDutyAtEnd
		}
		return audit.NoReason
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		return byRises(s, besideTerrain(s, t, judgeSlackLeg))
	},
}

func judgeSlackLeg(s *audit.Subject, t *audit.Trace) audit.Verdict {
	load, reason := s.WorstLean()
	if reason != audit.NoReason {
		return audit.CannotTell(reason)
	}
	if t.On() {
		t.Add(audit.Step{Symbol: "load case", Result: audit.Word(load.Case.Name)})
		addLoad(t, s, load)
		addVLegs(t, s, load)
		for i := range t.Steps {
			switch t.Steps[i].Symbol {
			case "θ":
				t.Steps[i].Role = audit.Observed
			case "α":
				t.Steps[i].Role = audit.Required
			}
		}
	}
	half := s.Assembly.VAngleDeg / 2
	v := besideDoubt(s, audit.AtMost(load.LeanDeg(), half, "deg"))
	if s.NeedsSentence(v) {
		v = v.Saying(fmt.Sprintf("A leg of the V set of %.4g° goes slack under %s, whose load leans by %.2f°, more than the %.4g° of half its angle%s.",
			s.Assembly.VAngleDeg, load.Case.Name, load.LeanDeg(), half, doubtInWords(s)))
	}
	return v
}

// addVLegs shows how the load of the conductors comes on the two legs of a V set.
func addVLegs(t *audit.Trace, s *audit.Subject, load audit.Load) {
	first, second := basis.VLegs(load.TransverseN(), load.VerticalN, s.Assembly.VAngleDeg)
	half, lean := s.Assembly.VAngleDeg/2, load.LeanDeg()
	t.Add(audit.Step{Symbol: "θ", Meaning: "angle of the load to the vertical", Formula: "atan((H_w + H_t)/V)",
		Inputs: []audit.Operand{
			{Symbol: "H_w", Value: audit.Figure(load.WindN, "N")}, {Symbol: "H_t", Value: audit.Figure(load.TurnN, "N")}, {Symbol: "V", Value: audit.Figure(load.VerticalN, "N")},
		}, Result: audit.Figure(lean, "deg"), Clause: basis.Arithmetic, Sheet: "DEGREES(ATAN2(V,ABS(H_w+H_t)))"})
	addVHalf(t, s, half)
	leg := func(symbol, meaning, sign string, force float64) {
		step := vLegStep(symbol, meaning, sign, half, lean, figure("F_c", load.ResultantN, "N"), force)
		if s.Assembly.Lifted(load) {
			step.Formula, step.Sheet = strings.Replace(step.Formula, " θ)", " (180° − θ))", 1), strings.Replace(step.Sheet, "θ)", "(180-θ))", 1)
		}
		t.Add(step)
	}
	leg("F_1", "force of the leg that bears more, while both are taut", "+", first)
	other := "force of the other leg"
	if s.Assembly.LegSlack(load) {
		other = "force that would keep the other leg taut: it is slack, and the first bears the load alone"
	}
	leg("F_2", other, "-", second)
}

// addVHalf shows half the angle of a V set.
func addVHalf(t *audit.Trace, s *audit.Subject, half float64) {
	t.Add(audit.Step{Symbol: "α", Meaning: "half the angle between the legs", Formula: "A/2",
		Inputs: []audit.Operand{{Symbol: "A", Value: audit.Figure(s.Assembly.VAngleDeg, "deg")}},
		Result: audit.Figure(half, "deg"), Clause: basis.Arithmetic, Sheet: "A/2"})
}

// vLegStep shows the force of a leg of a V set under a resultant that leans in its plane.
func vLegStep(symbol, meaning, sign string, half, lean float64, resultant audit.Operand, force float64) audit.Step {
	return audit.Step{Symbol: symbol, Meaning: meaning, Formula: resultant.Symbol + "·sin(α " + map[string]string{"+": "+", "-": "−"}[sign] + " θ)/sin(2·α)",
		Inputs: []audit.Operand{resultant, figure("α", half, "deg"), figure("θ", lean, "deg")},
		Result: audit.Figure(force, "N"), Clause: basis.Arithmetic, Sheet: resultant.Symbol + "*SIN(RADIANS(α" + sign + "θ))/SIN(RADIANS(2*α))"}
}

// onVLeg completes the step of the load on one string of a V set.
func onVLeg(step audit.Step, s *audit.Subject, pull audit.Pull, broken int, common []audit.Operand) audit.Step {
	if v := pulledInV(s, pull, broken); v.OwnN > 0 {
		return v.complete(step, s.Assembly, common[2])
	}
	first, _ := basis.VLegs(pull.Load.TransverseN(), pull.Load.VerticalN, s.Assembly.VAngleDeg)
	from := audit.Operand{Symbol: "F_1", Value: audit.Figure(first, "N")}
	step.Meaning = fmt.Sprintf("load on one string of the worse leg of a V set of %.4g°, %d strings in all", s.Assembly.VAngleDeg, s.Assembly.Strings)
	if pull.LegSlack {
		from = audit.Operand{Symbol: "F_c", Value: audit.Figure(pull.Load.ResultantN, "N")}
		step.Meaning += ", the other being slack"
	}
	step.Meaning += withoutOwn(s.Assembly)
	alongside := audit.Operand{Symbol: "n", Value: audit.Figure(float64(s.Assembly.Alongside(s.Assembly.Strings-broken)), "")}
	step.Formula, step.Sheet = from.Symbol+"/1000/n·u·f", from.Symbol+"/1000/n*u*f"
	step.Inputs = append([]audit.Operand{from, alongside}, common[1:]...)
	return step
}
