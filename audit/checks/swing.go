package checks

import (
	"fmt"
	"math"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var swing = audit.Check{
	ID:       "swing",
	Title:    "Suspension string swings beyond the clearance limit",
	Of:       audit.OfAssembly,
	BySpans:  true,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.SwingSource, basis.ClearanceSource, basis.ChangeOfStateSource, basis.OwnFigure},
	Method: audit.Method{
		Formula: "φ ≤ φ_lim;  tan φ = (2·T·sin(δ/2)·m + HS·p·d·m + W_w/2)/(VS·w·m + W_i/2);  φ_lim = min(φ_s, φ_w, φ_a);  φ_w = asin((D_w·cos β − D_b·sin β − D_c)/L_s) − β;  φ_a = acos((D_c − D_b)/L_s)",
		Symbols: []audit.Explained{
			{Symbol: "φ", Meaning: "swing from the vertical, the larger of both wind directions", Measure: "deg"},
			{Symbol: "φ_lim", Meaning: "largest swing that is allowed in the load case: the least of those that are known", Measure: "deg"},
			{Symbol: "φ_s", Meaning: "swing limit of the Lines sheet", Measure: "deg"},
			{Symbol: "φ_w, φ_a", Meaning: "swing at which the string's lower end is as near to the body or a wall, or to the crossarm above, as the clearance allows", Measure: "deg"},
			{Symbol: "D_w", Meaning: "wall distance", Measure: "mm"},
			{Symbol: "D_c", Meaning: "clearance of the load case", Measure: "mm"},
			{Symbol: "D_b", Meaning: "bracket level: how far the crossarm is above the attachment; 0 where none is stated", Measure: "mm"},
			{Symbol: "β", Meaning: "lean of the wall, the angle whose tangent is the wall lean; 0 where none is stated", Measure: "deg"},
			{Symbol: "L_s", Meaning: "length of the string: the row's where that is beyond its units', else that of its units and the line's fittings; under the crossarm the row's alone where that of its units is not known", Measure: "mm"},
			{Symbol: "HS, VS", Meaning: "wind span and weight span", Measure: "m"},
			{Symbol: "p", Meaning: "wind pressure of the load case", Measure: "Pa"},
			{Symbol: "d, w", Meaning: "diameter and weight of the conductor, with ice", Measure: "m, N/m"},
			{Symbol: "W_i", Meaning: "weight of the strings; left out where the unit states none, which gives the larger swing", Measure: "N"},
			{Symbol: "W_w", Meaning: "wind on the strings; of units that state no wind area on their diameter times their spacing, which is no less", Measure: "N"},
			{Symbol: "m", Meaning: "subconductors of a phase"},
		},
		Limits: "Suspension strings of lines that state a swing limit, or a clearance; V sets are held by two legs, and `v-set-clearance` judges them. Both may be stated by load case, and where both are the lesser holds. The load case that comes nearest to its limit is shown; where the load in one is not known, nothing is judged unless another falls short. A conductor that lifts its string gives more than 90°. " +
			"Where no wall lean is stated the wall is upright, at the wall distance, which is measured to where it comes nearest as far down as the string reaches; one that leans is at the wall distance at the bracket level, and comes nearer by its lean below. Where no bracket level is stated the crossarm is level with the attachment: an arm that is higher leaves more room. A string that keeps the clearance not even at rest falls short at any swing. " +
			"Where no clearance of a load case is stated the swing limit alone holds. Where one is and the wall distance, or the length of the string with its fittings, is not, it is not assessed, whatever the swing limit, unless it is exceeded, or the string swings too far for the units alone, or with the wall as far away as the arm is long. A Length of the row within 2 % of its units' is that of the units alone, and so is one of units whose length is not known, but under the crossarm, where it may have the fittings in it; one beyond has the fittings in it, and is not assessed where it is more than 2 % less than units and the line's fittings together, unless the string swings too far for it; one below contradicts them, and is not believed. A wall that is farther away than the arm is long, or a load case that the criteria do not have, is not assessed. " +
			"The clearance is the project's figure, no approach distance." + terrainLimits,
		Example: audit.Example{
			Story: "A string of 600 N at a turn of 2°, spans of 300 m, 290 Pa, T 28.02 kN, limit 30°",
			Subject: func() audit.Subject {
				s := loadedAt(structureOf(audit.Tangent, 2))
				s.Assembly.Unit.WeightKg = 600 / basis.Gravity / float64(s.Assembly.UnitsPerString)
				return s
			},
			Outcome: audit.FallsShort, Observed: 33.95, Required: 30,
			Source: "RUS Bulletin 1724E-200 chapter 7, form published; 33.95° (computed)",
		},
	},
	AskedBy: []audit.Need{audit.NeedsSwingLimit},
	Trusts:  []audit.Need{audit.NeedsCourse, audit.NeedsDuty, audit.NeedsArrangement, audit.NeedsKind},
	Needs:   []audit.Need{audit.NeedsDuty, audit.NeedsStrings, audit.NeedsStringLoads, audit.NeedsSwing},
	Drives:  []audit.Quantity{audit.DriveMaximumTension, audit.DriveWind},
	Errs:    audit.ErrsLoads,
	Parted:  audit.ByCase,
	Rests:   audit.RestsOnLoad | audit.RestsOnLength | audit.RestsOnCourse | audit.RestsOnRoom | audit.RestsOnSwing,
	OfLine:  audit.ReadsPulls | audit.ReadsLimits,
	Remedy:  "Install tension assemblies or a V set, or hang weights on the string.",
	Otherwise: []string{
		"Too near the crossarm at rest: take a longer string, or confirm the distances and clearances.",
		"Too near the wall at rest: move the attachment away from it (where it comes nearer downwards a shorter string helps too, where it leans away a longer one), or confirm the distances and clearances.",
	},
	Concerns: func(s *audit.Subject) audit.Reason {
		switch {
		case s.Assembly.Duty == audit.Jumper:
			return audit.IsJumper
		case s.Assembly.Duty != audit.Suspension && s.Assembly.Duty != audit.DutyUnknown:
			return audit.NotSuspension
		case s.Assembly.Arrangement == audit.VSet:
			return audit.VSetDoesNotSwing
		case s.Structure.Role == audit.Terminal:
			return audit.WrongDutyAtEnd
		}
		return audit.NoReason
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		return byRises(s, besideTerrain(s, t, judgeSwing))
	},
}

func judgeSwing(s *audit.Subject, t *audit.Trace) audit.Verdict {
	load, angle, allowed, reason := s.TightestSwing()
	if reason != audit.NoReason {
		return audit.CannotTell(reason)
	}
	if t.On() {
		addSwing(t, s, load, angle)
		addAllowed(t, s, &allowed)
	}
	v := besideDoubt(s, audit.AtMost(angle, allowed.Deg, "deg")).Advising(adviceOnSwing(&allowed))
	if s.NeedsSentence(v) {
		does := fmt.Sprintf("swings by %.2f° under %s; %s", angle, load.Case.Name, allowedInWords(&allowed))
		if allowed.AtRest() {
			does = fmt.Sprintf("hangs too near under %s: %s", load.Case.Name, allowedInWords(&allowed))
		}
		v = v.Saying(fmt.Sprintf("%s %s%s.", s.Assembly.Hanging(), does, doubtInWords(s)))
	}
	return v
}

// adviceOnSwing is which remedy is for a string: what holds it still does not help one that is too near at rest.
func adviceOnSwing(a *audit.AllowedSwing) uint8 {
	switch {
	case !a.AtRest():
		return 0
	case a.Deg == a.WallDeg:
		return 2
	}
	return 1
}

// addSwing shows how the swing of a string comes about.
func addSwing(t *audit.Trace, s *audit.Subject, load audit.Load, angle float64) {
	weight, wind := addStringLoads(t, s, load)
	t.Add(audit.Step{Symbol: "φ", Meaning: "swing, the larger of both wind directions", Formula: "atan((H_t ± (H_w + W_w/2))/(V + W_i/2))",
		Inputs: swungBy(load, weight, wind), Result: audit.Figure(angle, "deg"), Role: audit.Observed, Clause: basis.SwingSource,
		Sheet: "DEGREES(MAX(ABS(ATAN2(V+W_i/2,H_t+H_w+W_w/2)),ABS(ATAN2(V+W_i/2,H_t-H_w-W_w/2))))"})
}

// addStringLoads shows the load case, the loads of the conductors and the wind on the strings, which it returns with their weight, in N.
func addStringLoads(t *audit.Trace, s *audit.Subject, load audit.Load) (weight, wind float64) {
	t.Add(audit.Step{Symbol: "load case", Result: audit.Word(load.Case.Name)})
	addTension(t, s, load)
	addLoad(t, s, load)
	weight, wind, area := s.StringLoadsN(load)
	meaning := "wind on the strings"
	if unmeasured := s.Assembly.Unmeasured(); len(unmeasured) > 0 {
		meaning += ", of " + named(unmeasured) + " on its diameter times its spacing, which is no less than its wind area, which is not stated"
	}
	t.Add(audit.Step{Symbol: "W_w", Meaning: meaning, Formula: "p·A",
		Inputs: []audit.Operand{{Symbol: "p", Value: audit.Figure(load.Case.WindPa, "Pa")}, {Symbol: "A", Value: audit.Figure(area, "m2")}},
		Result: audit.Figure(wind, "N"), Clause: basis.SwingSource, Sheet: "p*A"})
	return weight, wind
}

// swungBy are the loads that swing a string: those of the conductors, and the weight of the strings and the wind on them.
func swungBy(load audit.Load, weight, wind float64) []audit.Operand {
	return []audit.Operand{
		{Symbol: "H_t", Value: audit.Figure(load.TurnN, "N")}, {Symbol: "H_w", Value: audit.Figure(load.WindN, "N")}, {Symbol: "V", Value: audit.Figure(load.VerticalN, "N")},
		{Symbol: "W_w", Value: audit.Figure(wind, "N")}, {Symbol: "W_i", Value: audit.Figure(weight, "N")},
	}
}

// addAllowed shows how far a string may swing: as the line states it, and by the clearance.
func addAllowed(t *audit.Trace, s *audit.Subject, a *audit.AllowedSwing) {
	stated := audit.Step{Symbol: "φ_lim", Meaning: "swing limit of the Lines sheet", Result: audit.Figure(a.StatedDeg, "deg"), Role: audit.Required, Clause: s.Line.Row.SourceOf("Swing limit")}
	if math.IsNaN(a.WallDeg) && math.IsNaN(a.ArmDeg) {
		t.Add(stated)
		return
	}
	limit := audit.Step{Symbol: "φ_lim", Meaning: "largest swing that is allowed, the least of them", Result: audit.Figure(a.Deg, "deg"), Role: audit.Required, Clause: basis.Arithmetic}
	var least []string
	take := func(step audit.Step) {
		t.Add(step)
		limit.Inputs, least = append(limit.Inputs, audit.Operand{Symbol: step.Symbol, Value: step.Result}), append(least, step.Symbol)
	}
	if !math.IsNaN(a.StatedDeg) {
		stated.Symbol, stated.Role = "φ_s", audit.InBetween
		take(stated)
	}
	addStringLength(t, &a.WholeLength, a.ClearanceMM)
	length, clearance := figure("L_s", a.LengthMM, "mm"), figure("D_c", a.ClearanceMM, "mm")
	if !math.IsNaN(a.WallDeg) {
		away := "wall distance, from the attachment to the body or a wall"
		if a.ByArmLength {
			away = "arm length, of a wall that leans with the bracket level times its lean; the wall is no farther away, and its distance is not stated"
		}
		t.Add(audit.Step{Symbol: "D_w", Meaning: away, Result: audit.Figure(a.WallMM, "mm"), Clause: basis.OwnFigure})
		step := audit.Step{Symbol: "φ_w", Meaning: "swing at which the lower end is the clearance away from it; 180 where it is out of reach, -90 where no string fits", Formula: "asin((D_w − D_c)/L_s)",
			Inputs: []audit.Operand{figure("D_w", a.WallMM, "mm"), clearance, length}, Result: audit.Figure(a.WallDeg, "deg"), Clause: basis.ClearanceSource}
		sine, lean := "(D_w-D_c)/L_s", ""
		if leans(s) {
			step.Inputs = append(step.Inputs, addLean(t, s), figure("D_b", addBracket(t, s), "mm"))
			step.Formula, sine, lean = "asin((D_w·cos β − D_b·sin β − D_c)/L_s) − β", "(D_w*COS(RADIANS(β))-D_b*SIN(RADIANS(β))-D_c)/L_s", "-β"
		}
		step.Sheet = fmt.Sprintf("IF(%[1]s>1,180,IF(%[1]s<-1,-90,DEGREES(ASIN(%[1]s))%[2]s))", sine, lean)
		take(step)
	}
	if !math.IsNaN(a.ArmDeg) {
		if a.UnderArmMM < a.LengthMM {
			length = figure("L_a", a.UnderArmMM, "mm")
			t.Add(audit.Step{Symbol: "L_a", Meaning: "length of the string under the crossarm, as its row states it: it may have the fittings in it, since the length of its units is not known", Result: length.Value, Clause: basis.OwnFigure})
		}
		step := audit.Step{Symbol: "φ_a", Meaning: "swing at which the lower end is the clearance below the crossarm; -90 where no string of the length fits", Formula: "acos(D_c/" + length.Symbol + ")",
			Inputs: []audit.Operand{clearance, length}, Result: audit.Figure(a.ArmDeg, "deg"), Clause: basis.ClearanceSource,
			Sheet: strings.ReplaceAll("IF(D_c/L>1,-90,DEGREES(ACOS(D_c/L)))", "/L", "/"+length.Symbol)}
		if math.Abs(s.Structure.Room.BracketMM) > 0 {
			step.Meaning += "; 180 where it is out of reach"
			step.Inputs = append(step.Inputs, figure("D_b", addBracket(t, s), "mm"))
			step.Formula = "acos((D_c − D_b)/" + length.Symbol + ")"
			step.Sheet = strings.ReplaceAll("IF((D_c-D_b)/L>1,-90,IF((D_c-D_b)/L<-1,180,DEGREES(ACOS((D_c-D_b)/L))))", "/L", "/"+length.Symbol)
		}
		take(step)
	}
	limit.Formula, limit.Sheet = "min("+strings.Join(least, ", ")+")", "MIN("+strings.Join(least, ",")+")"
	t.Add(limit)
}

// addStringLength shows the length of a string and the clearance that it has to keep.
func addStringLength(t *audit.Trace, a *audit.WholeLength, clearanceMM float64) {
	step := audit.Step{Symbol: "L_s", Meaning: "length of the string with its fittings, as its row states it: it is beyond that of its units", Result: audit.Figure(a.LengthMM, "mm"), Clause: basis.OwnFigure}
	switch {
	case a.FittingsContradict:
		step.Meaning = "length of the string as its row states it: units and the line's fittings together are longer, the string is no shorter"
	case a.WithoutFittings:
		step.Meaning, step.Clause = "length of the units alone, as far as it is known: the string is no shorter", basis.Clause{}
	case a.FittingsMM > 0:
		step.Meaning, step.Formula, step.Sheet, step.Clause = "length of the string, that of its units and the line's fittings", "L_u + L_f", "L_u+L_f", basis.Arithmetic
		step.Inputs = []audit.Operand{figure("L_u", a.LengthMM-a.FittingsMM, "mm"), figure("L_f", a.FittingsMM, "mm")}
	}
	t.Add(step)
	t.Add(audit.Step{Symbol: "D_c", Meaning: "clearance of the load case, the project's figure and no approach distance", Result: audit.Figure(clearanceMM, "mm"), Clause: basis.OwnFigure})
}

// allowedInWords says how far a string may swing, and why.
func allowedInWords(a *audit.AllowedSwing) string {
	length := fmt.Sprintf("%.0f mm of string", a.LengthMM)
	switch {
	case a.WithoutFittings:
		length = fmt.Sprintf("%.0f mm of units alone", a.LengthMM)
	case a.FittingsContradict:
		length = fmt.Sprintf("%.0f mm of string at least", a.LengthMM)
	}
	shortest := fmt.Sprintf("%.0f mm of string", a.UnderArmMM)
	from := fmt.Sprintf("a wall at %g mm", a.WallMM)
	if a.ByArmLength {
		from = fmt.Sprintf("a wall no farther than the arm is long, %g mm,", a.WallMM)
	}
	switch wall := a.Deg == a.WallDeg; {
	case a.Deg == a.StatedDeg:
		return fmt.Sprintf("the line allows %g°", a.StatedDeg)
	case a.AtRest() && wall:
		return fmt.Sprintf("with %s the clearance of %g mm is not kept even at rest beside %s", length, a.ClearanceMM, strings.TrimSuffix(from, ","))
	case a.AtRest():
		return fmt.Sprintf("with %s the clearance of %g mm from the crossarm is not kept even at rest", shortest, a.ClearanceMM)
	case wall:
		return fmt.Sprintf("with %s the clearance of %g mm from %s allows %.2f°", length, a.ClearanceMM, from, a.Deg)
	}
	return fmt.Sprintf("with %s the clearance of %g mm from the crossarm allows %.2f°", shortest, a.ClearanceMM, a.Deg)
}
