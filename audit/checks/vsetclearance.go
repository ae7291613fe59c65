package checks

import (
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var vSetClearance = audit.Check{
	ID:       "v-set-clearance",
	Title:    "V set holds the conductor nearer to the structure than the clearance",
	Of:       audit.OfAssembly,
	BySpans:  true,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.ClearanceSource, basis.SwingSource, basis.ChangeOfStateSource, basis.OwnFigure},
	Method: audit.Method{
		Formula: "D ≥ D_c;  to the wall D = ((D_w − x_c) − (D_b + z_c)·tan β)·cos β;  to the crossarm D = D_b + z_c;  both legs taut, |θ| ≤ α: x_c = 0, z_c = L_s·cos α;  " +
			"one slack: x_c = ±L_s·(sin|θ| − sin α), z_c = L_s·cos θ;  θ = atan((H_w + W_w/2 ± H_t)/(V + W_i/2))",
		Symbols: []audit.Explained{
			{Symbol: "D", Meaning: "distance of the conductor from the body or a wall, or from the crossarm, whichever leaves less of its clearance", Measure: "mm"},
			{Symbol: "D_c", Meaning: "clearance of the load case", Measure: "mm"},
			{Symbol: "x_c, z_c", Meaning: "how far the conductor is aside of the middle between the attachments, towards the wall, and below them", Measure: "mm"},
			{Symbol: "D_w", Meaning: "wall distance, from the middle between the attachments", Measure: "mm"},
			{Symbol: "D_b", Meaning: "bracket level: how far the crossarm is above the attachments; 0 where none is stated", Measure: "mm"},
			{Symbol: "β", Meaning: "lean of the wall, the angle whose tangent is the wall lean; 0 where none is stated", Measure: "deg"},
			{Symbol: "L_s", Meaning: "length of a leg with its fittings, found as in `swing`", Measure: "mm"},
			{Symbol: "α", Meaning: "half the angle between the legs", Measure: "deg"},
			{Symbol: "θ", Meaning: "angle of the load to the vertical, to the side of the wall: the wind blows to either", Measure: "deg"},
			{Symbol: "H_w, H_t, V", Meaning: "wind on the wind span, pull of the turn, and weight of the conductor on the weight span", Measure: "N"},
			{Symbol: "W_w, W_i", Meaning: "wind on the strings and their weight, as in `swing`", Measure: "N"},
		},
		Limits: "V sets of suspension assemblies of lines or structures that state a clearance, in each load case of the criteria: still air is judged where they have a case without wind. The case and the distance that leave least of the clearance are shown. While both legs are taut the conductor stands where they put it; " +
			"where the load leans by more than half the angle between them one goes slack, and the conductor swings about the attachment of the other. A load that lifts both holds the conductor above the crossarm. The legs are alike and end at the conductor in one point, and half of what both weigh and catch of the wind acts there. " +
			"Distances are those of the conductor's axis at the structure. Wall distance and arm length are those of the middle between the attachments. A wall on one side is on that of the Wall side (left or right along the line), one that stands on both sides is near in either wind; where the side is not stated and the turn pulls, it is not assessed unless either side gives the same verdict. " +
			"Where the length of the legs with their fittings is not known, it is not assessed unless legs of any length from what is known on would give the same. Where only the arm length is stated the wall is no farther. A load case without a clearance or of which the load is not known, a load case that the criteria do not have, and a wall that is farther than the arm is long are not assessed, unless another case falls short; nor is a V set that angle and length of its legs would have attached behind the wall or farther than the arm is long, by more than 2 %. " +
			"The clearance is the project's figure, no approach distance." + terrainLimits,
		Example: audit.Example{
			Story: "A V of 40° with legs of 2 m beside a wall 1.4 m from its middle, under 290 Pa on spans of 300 m, conductor of 28.14 mm and 15.965 N/m, clearance 1.2 m",
			Subject: func() audit.Subject {
				s := loadedAt(structureOf(audit.Tangent, 0))
				s.Assembly.Strings, s.Assembly.Arrangement, s.Assembly.VAngleDeg = 2, audit.VSet, 40
				s.Assembly.Unit.WeightKg, s.Assembly.Direct.LengthMM = math.NaN(), 2000
				s.Structure.Room.WallDistanceMM, s.Structure.Room.ClearanceMM = 1400, 1200
				return s
			},
			Outcome: audit.FallsShort, Observed: 1173.76, Required: 1200,
			Source: "1400 − 2000·(sin 27.07° − sin 20°) = 1173.76 mm (statics, computed)",
		},
	},
	AskedBy: []audit.Need{audit.NeedsClearance},
	Trusts:  []audit.Need{audit.NeedsCourse, audit.NeedsDuty, audit.NeedsArrangement, audit.NeedsKind},
	Needs:   []audit.Need{audit.NeedsDuty, audit.NeedsStrings, audit.NeedsVAngle, audit.NeedsStringLoads, audit.NeedsSwing},
	Drives:  []audit.Quantity{audit.DriveMaximumTension, audit.DriveWind},
	Errs:    audit.ErrsLoads,
	Parted:  audit.ByCase,
	Pieces:  []string{"wall", "crossarm"},
	Rests:   audit.RestsOnLoad | audit.RestsOnLength | audit.RestsOnCourse | audit.RestsOnRoom,
	OfLine:  audit.ReadsPulls | audit.ReadsLimits,
	Remedy:  "Too near the crossarm with both legs taut: take longer legs or a narrower V, or confirm the distances and clearances.",
	Otherwise: []string{
		"Too near the crossarm with one leg slack: hang weights on it, take longer legs, or confirm the distances and clearances.",
		"Too near the wall with one leg slack: open the V wider, hang weights on it, or confirm the distances and clearances.",
		"Too near the wall with both legs taut: move the attachments away from it (where it comes nearer downwards a wider V or shorter legs help too, where it leans away a narrower V or longer legs), or confirm the distances and clearances.",
		"Lifted by its load: hang weights on it, install tension assemblies, or confirm the ground levels and load cases.",
	},
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
		return byRises(s, besideTerrain(s, t, judgeVSetClearance))
	},
}

func judgeVSetClearance(s *audit.Subject, t *audit.Trace) audit.Verdict {
	at, reason := s.NearestOfV()
	if reason != audit.NoReason {
		return audit.CannotTell(reason)
	}
	if t.On() {
		addVPlace(t, s, &at)
	}
	v := besideDoubt(s, audit.AtLeast(at.DistanceMM, at.ClearanceMM, "mm")).Advising(adviceOnV(s, &at))
	if s.NeedsSentence(v) {
		holds := "holds"
		if s.Assembly.Strings > 1 {
			holds = "hold"
		}
		v = v.Saying(fmt.Sprintf("%s, a V set of %.4g°, %s the conductor %s under %s, where the clearance asks for %g mm%s%s.",
			s.Assembly.Hanging(), s.Assembly.VAngleDeg, holds, nearInWords(&at), at.Load.Case.Name, at.ClearanceMM, legsInWords(s, &at), doubtInWords(s)))
	}
	return v
}

// adviceOnV is which remedy moves the conductor away from what it is too near: none of angle, length and weight does so in every state.
func adviceOnV(s *audit.Subject, at *audit.VPlace) uint8 {
	switch slack := at.LegIsSlack(s.Assembly.VAngleDeg); {
	case at.BelowMM < 0:
		return 4
	case slack && at.ToArm:
		return 1
	case slack:
		return 2
	case !at.ToArm:
		return 3
	}
	return 0
}

// nearInWords says how near a conductor is, and to what.
func nearInWords(at *audit.VPlace) string {
	near := fmt.Sprintf("%.0f mm", at.DistanceMM)
	if !at.Exact {
		near = "no more than " + near
	}
	switch {
	case at.ToArm && at.DistanceMM < 0:
		return fmt.Sprintf("%.0f mm above the crossarm", -at.DistanceMM)
	case at.ToArm:
		return near + " below the crossarm"
	case at.DistanceMM < 0:
		return fmt.Sprintf("in the wall at %g mm", at.WallMM)
	case at.ByArmLength:
		return fmt.Sprintf("%s from a wall no farther than the arm is long, %g mm,", near, at.WallMM)
	}
	return fmt.Sprintf("%s from a wall at %g mm", near, at.WallMM)
}

// legsInWords says which legs hold the conductor there.
func legsInWords(s *audit.Subject, at *audit.VPlace) string {
	switch lean := math.Abs(at.LeanDeg); {
	case at.LegIsSlack(s.Assembly.VAngleDeg):
		return fmt.Sprintf("; the load leans by %.2f°, so that one leg is slack and the conductor swings about the attachment of the other", lean)
	case lean > s.Assembly.VAngleDeg/2:
		return "; the load lifts both legs"
	}
	return "; both legs are taut"
}

// addVPlace shows where a V set holds the conductor, and how near that is.
func addVPlace(t *audit.Trace, s *audit.Subject, at *audit.VPlace) {
	weight, wind := addStringLoads(t, s, at.Load)
	lean := audit.Step{Symbol: "θ", Meaning: "angle of the load to the vertical, to the side of the wall", Formula: "atan((H_w + W_w/2 + H_t)/(V + W_i/2))",
		Inputs: swungBy(at.Load, weight, wind), Result: audit.Figure(at.LeanDeg, "deg"), Clause: basis.SwingSource, Sheet: "DEGREES(ATAN2(V+W_i/2,H_w+W_w/2+H_t))"}
	if at.Outward {
		lean.Formula, lean.Sheet = "atan((H_w + W_w/2 − H_t)/(V + W_i/2))", "DEGREES(ATAN2(V+W_i/2,H_w+W_w/2-H_t))"
	}
	if at.ToArm {
		lean.Meaning = "angle of the load to the vertical, to the side to which it leans more"
	}
	t.Add(lean)
	half := figure("α", s.Assembly.VAngleDeg/2, "deg")
	t.Add(audit.Step{Symbol: "α", Meaning: "half the angle between the legs", Formula: "A_v/2", Inputs: []audit.Operand{figure("A_v", s.Assembly.VAngleDeg, "deg")},
		Result: half.Value, Clause: basis.Arithmetic, Sheet: "A_v/2"})
	addStringLength(t, &at.WholeLength, at.ClearanceMM)
	leg := figure("L_s", at.LegMM, "mm")
	if at.LegMM != at.LengthMM {
		leg.Symbol = "L_a"
		t.Add(audit.Step{Symbol: "L_a", Meaning: "length of a leg as its row states it: it may have the fittings in it, since the length of its units is not known", Result: leg.Value, Clause: basis.OwnFigure})
	}
	inputs := []audit.Operand{leg, half, {Symbol: "θ", Value: lean.Result}}
	below := audit.Step{Symbol: "z_c", Meaning: "how far the conductor is below the attachments, both legs taut", Formula: leg.Symbol + "·cos α", Inputs: inputs[:2]}
	aside := audit.Step{Symbol: "x_c", Meaning: "how far it is aside of their middle, both legs taut", Formula: "0", Inputs: inputs}
	switch {
	case at.LegIsSlack(s.Assembly.VAngleDeg):
		below.Meaning, below.Formula, below.Inputs = "how far the conductor is below the attachments, one leg slack and the other in line with the load", leg.Symbol+"·cos θ", []audit.Operand{leg, inputs[2]}
		aside.Meaning, aside.Formula = "how far it is aside of their middle, less than 0 away from the wall", leg.Symbol+"·(sin|θ| − sin α), to the side of θ"
	case at.BelowMM < 0:
		below.Meaning, below.Formula, aside.Meaning = "how far the conductor is below the attachments: the load lifts both legs", "−"+leg.Symbol+"·cos α", "how far it is aside of their middle"
	}
	below.Result, below.Clause, below.Sheet = audit.Figure(at.BelowMM, "mm"), basis.Arithmetic, belowSheet(leg.Symbol, at, s.Assembly.VAngleDeg)
	t.Add(below)
	distance := audit.Step{Symbol: "D", Result: audit.Figure(at.DistanceMM, "mm"), Role: audit.Observed, Clause: basis.ClearanceSource}
	if at.ToArm {
		distance.Meaning, distance.Formula, distance.Sheet = "distance of the conductor from the crossarm", "D_b + z_c", "D_b+z_c"
		distance.Inputs = []audit.Operand{figure("D_b", addBracket(t, s), "mm"), {Symbol: "z_c", Value: below.Result}}
	} else {
		aside.Result, aside.Clause = audit.Figure(at.AsideMM, "mm"), basis.Arithmetic
		aside.Sheet = fmt.Sprintf("IF(OR(ABS(θ)<=α,ABS(θ)>=180-α),0,SIGN(θ)*%s*(SIN(RADIANS(ABS(θ)))-SIN(RADIANS(α))))", leg.Symbol)
		t.Add(aside)
		away := "wall distance, from the middle between the attachments to the body or a wall"
		if at.ByArmLength {
			away = "arm length, of a wall that leans with the bracket level times its lean; the wall is no farther away, and its distance is not stated"
		}
		wall := figure("D_w", at.WallMM, "mm")
		t.Add(audit.Step{Symbol: "D_w", Meaning: away, Result: wall.Value, Clause: basis.OwnFigure})
		distance.Meaning, distance.Formula, distance.Sheet = "distance of the conductor from the wall", "D_w − x_c", "D_w-x_c"
		distance.Inputs = []audit.Operand{wall, {Symbol: "x_c", Value: aside.Result}}
		if leans(s) {
			distance.Inputs = append(distance.Inputs, audit.Operand{Symbol: "z_c", Value: below.Result}, addLean(t, s), figure("D_b", addBracket(t, s), "mm"))
			distance.Formula, distance.Sheet = "(D_w − x_c)·cos β − (D_b + z_c)·sin β", "(D_w-x_c)*COS(RADIANS(β))-(D_b+z_c)*SIN(RADIANS(β))"
		}
	}
	t.Add(distance)
	for i := range t.Steps {
		if t.Steps[i].Symbol == "D_c" {
			t.Steps[i].Role = audit.Required
		}
	}
}

// belowSheet is the formula of a workbook for how far a conductor is below the attachments of its V set.
func belowSheet(leg string, at *audit.VPlace, vAngleDeg float64) string {
	switch {
	case at.LegIsSlack(vAngleDeg):
		return leg + "*COS(RADIANS(θ))"
	case at.BelowMM < 0:
		return "-" + leg + "*COS(RADIANS(α))"
	}
	return leg + "*COS(RADIANS(α))"
}
