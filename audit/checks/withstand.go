package checks

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

const withstandLimits = "The withstand of a string is the register row's tested value, else the withstand of an insulator that is a whole string, or its flashover by its factor (0.9616 lightning, the wet share wet), else the table of 146 mm discs interpolated on string length " +
	"(discs of 250 to 280 mm diameter and 127 to 170 mm spacing, 20 discs at most), else a gap formula on the dry arcing distance (1 to 10 m; a shorter one falls short where 1 m does, a longer one meets where 10 m does, and what is between is not assessed), which of cap-and-pin units is units times spacing where the criterion arcing_distance says so and none is stated; the verdict says which. An arcing distance that the row states " +
	"shorter than the string, or than that of an insulator that is a whole string, as between horns, governs by the gap formula where that gives less than table or insulator; a tested value of the row is taken for that of the string as it hangs, with its horns. Of cap-and-pin units that state less flashover of the same voltage than a disc of the table (of impulse dry flashover, where they state none of lightning), or less withstand than such are rated for (87.5 kV of lightning impulse, 35 kV wet), no more is known than that the string has no more than table or formula give, nor than all together. Of unlike units the longest are taken to be the defective ones. Long rods, composites and posts in series with other units have tested values or none. Altitude by the basis of the " +
	"criteria: a level that covers sites up to 1000 m is raised from there, one that is required at the site from sea level; above 2000 m the formula is extrapolated." + altitudeLimits + " "

var withstandSymbols = []audit.Explained{
	{Symbol: "U_w", Meaning: "withstand voltage of the string at sea level", Measure: "kV"},
	{Symbol: "U_level", Meaning: "withstand level of the line", Measure: "kV"},
	{Symbol: "K_a", Meaning: "altitude factor exp(m·H/8150), or exp(m·(H − 1000)/8150) above 1000 m"},
	{Symbol: "m", Meaning: "altitude exponent, 1 for lightning and power frequency"},
	{Symbol: "H", Meaning: "ground level above sea level", Measure: "m"},
}

var lightningWithstand = audit.Check{
	ID:       "lightning-withstand",
	Title:    "Lightning impulse withstand below the line's level",
	Of:       audit.OfAssembly,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.InsulationLevelsSource, basis.DiscStringTablePositive, basis.DiscStringTable, basis.GapFormulas, basis.AltitudeFromSeaLevel, basis.AltitudeFrom1000m},
	Method: audit.Method{
		Formula: "U_w ≥ U_level·K_a;  U_w = 0.9616·U_50",
		Symbols: withstandSymbols,
		Limits: withstandLimits + "Lines that state a lightning level; without one not assessed. A string that falls short only by the altitude factor is an advisory while the criteria state no altitude " +
			"basis.",
		Example: audit.Example{
			Story:   "12 standard discs at 2000 m on a line of Um 245 kV whose level of 1050 kV covers sites up to 1000 m",
			Subject: func() audit.Subject { return discsAt(245, 1050, 12, 2000) },
			Outcome: audit.FallsShort, Observed: 1062.6, Required: 1187.1,
			Source: "disc table (positive impulse, published), altitude factor 1.1305 (published 1.13); 14 discs would do (computed)",
		},
	},
	AskedBy:  []audit.Need{audit.AsksLightning},
	Trusts:   []audit.Need{audit.NeedsDuty},
	Needs:    []audit.Need{audit.NeedsDuty, audit.NeedsSoundInsulator, audit.NeedsLightningWithstand},
	Drives:   []audit.Quantity{audit.DriveLightningLevel, audit.DriveAltitude},
	Reads:    audit.ReadsAltitude,
	Errs:     audit.ErrsAltitude,
	Rests:    audit.RestsOnWithstand | audit.RestsOnLength,
	OfLine:   audit.ReadsVoltages,
	Remedy:   "Lengthen the string, or confirm the level and the altitude basis.",
	Sizes:    true,
	Concerns: carriesPhaseWhole,
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		return besideTerrain(s, t, withstandOf(audit.Lightning))
	},
}

var switchingWithstand = audit.Check{
	ID:       "switching-withstand",
	Title:    "Switching impulse withstand below the line's level",
	Of:       audit.OfAssembly,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.InsulationLevelsSource, basis.GapFormulas, basis.AltitudeFromSeaLevel, basis.AltitudeFrom1000m},
	Method: audit.Method{
		Formula: "U_w ≥ U_level·K_a;  U_w = 0.9232·K·1080·ln(0.46·d + 1)",
		Symbols: append([]audit.Explained{
			{Symbol: "d", Meaning: "dry arcing distance including horns", Measure: "m"},
			{Symbol: "K", Meaning: "gap factor of the criteria, 1.25 unless stated (value from memory)"},
		}, withstandSymbols...),
		Limits: withstandLimits + "Range II only (Um above 245 kV, but not 252 kV); a level outside half the lowest to 1.5 times the highest standard one of Um, below the crest of Um/√3, or no less than the lightning level is a fault; there is no disc table for switching impulse. A value that was tested wet is Wet switching withstand, of a row or of an insulator that is a whole string; the lesser of it and of Switching withstand, of which nobody says whether it is wet, governs, and the verdict says " +
			"which; where one of the two cannot be read it is not assessed. The gap formula is of dry gaps: nothing here reckons what rain takes of it. The exponent m is 0.75 unless the criteria state another (IEC 62271-1).",
		Example: audit.Example{
			Story: "An arcing distance of 3.2 m at 500 m on a line of Um 420 kV, level 1050 kV",
			Subject: func() audit.Subject {
				s := discsAt(420, 1425, 21, 500)
				s.Line.Row.SwitchingKV = 1050
				s.Assembly.Direct.ArcingMM = 3200
				return s
			},
			Outcome: audit.Meets, Observed: 1127.95, Required: 1050,
			Source: "formula of IEC 60071-2:2018 (computed)",
		},
	},
	AskedBy: []audit.Need{audit.AsksSwitching},
	Trusts:  []audit.Need{audit.NeedsDuty},
	Needs:   []audit.Need{audit.NeedsDuty, audit.NeedsHighestVoltage, audit.NeedsSoundInsulator, audit.NeedsSwitchingWithstand},
	Drives:  []audit.Quantity{audit.DriveSwitchingLevel, audit.DriveAltitude},
	Reads:   audit.ReadsAltitude,
	Errs:    audit.ErrsAltitude,
	Rests:   audit.RestsOnWithstand | audit.RestsOnLength,
	OfLine:  audit.ReadsVoltages,
	Remedy:  "Enlarge the arcing distance, or confirm the level and the gap factor.",
	Sizes:   true,
	Concerns: func(s *audit.Subject) audit.Reason {
		if basis.IsRangeOne(s.Line.HighestKV) && !s.Line.Row.System.IsDirect() && !s.Line.Row.SystemUnread() {
			return audit.IsRangeOne
		}
		return carriesPhaseWhole(s)
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		return besideTerrain(s, t, withstandOf(audit.Switching))
	},
}

var wetWithstand = audit.Check{
	ID:       "wet-withstand",
	Title:    "Wet power frequency withstand below the standard level",
	Of:       audit.OfAssembly,
	Severity: audit.Advisory,
	Basis:    []basis.Clause{basis.InsulationLevelsSeen, basis.InsulationLevelsSource, basis.DiscStringTable, basis.CommonPractice},
	Method: audit.Method{
		Formula: "U_w ≥ U_level·K_a;  U_w = 0.90·wet flashover",
		Symbols: withstandSymbols,
		Limits: withstandLimits + "Range I only (Um up to 245 kV, and 252 kV), and never beyond the table. U_level is the standard short-duration power frequency voltage of the pair to which the line's lightning level " +
			"belongs. A margin of less than 2.5 % by the disc table is within the difference of printed tables, and says so.",
		Example: audit.Example{
			Story:   "12 standard discs at sea level, Um 245 kV, lightning level 1050 kV, so 460 kV at power frequency",
			Subject: func() audit.Subject { return discsAt(245, 1050, 12, 0) },
			Outcome: audit.FallsShort, Observed: 441, Required: 460,
			Source: "disc table, 0.90 × 490 kV (value from memory); pair 1050/460 (published in tables of transformer levels)",
		},
	},
	AskedBy: []audit.Need{audit.AsksLightning},
	Trusts:  []audit.Need{audit.NeedsDuty},
	Needs:   []audit.Need{audit.NeedsDuty, audit.NeedsHighestVoltage, audit.NeedsSoundInsulator, audit.NeedsWetWithstand},
	Drives:  []audit.Quantity{audit.DriveAltitude},
	Reads:   audit.ReadsAltitude,
	Errs:    audit.ErrsAltitude,
	Rests:   audit.RestsOnWithstand | audit.RestsOnLength,
	OfLine:  audit.ReadsVoltages,
	Remedy:  "Lengthen the string, or enter its tested wet withstand.",
	Sizes:   true,
	Concerns: func(s *audit.Subject) audit.Reason {
		if basis.IsRangeTwo(s.Line.HighestKV) && !s.Line.Row.System.IsDirect() && !s.Line.Row.SystemUnread() {
			return audit.IsRangeTwo
		}
		return carriesPhaseWhole(s)
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		return besideTerrain(s, t, withstandOf(audit.Wet))
	},
}

// shapeName is the shape of a voltage in words.
func shapeName(shape audit.Shape) string {
	return [...]string{"lightning impulse", "switching impulse", "wet power frequency"}[shape]
}

func withstandOf(shape audit.Shape) judgement {
	return func(s *audit.Subject, t *audit.Trace) audit.Verdict { return judgeWithstand(s, t, shape) }
}

func judgeWithstand(s *audit.Subject, t *audit.Trace, shape audit.Shape) audit.Verdict {
	unknown := s.LacksGround()
	if atLeast := unknown != audit.NoReason; atLeast != s.AtLeast {
		other := *s
		other.AtLeast = atLeast
		s = &other
	}
	withstand := s.Assembly.Withstand(shape, s.Assembly.UnitsPerString, s.Criteria)
	required, ka := requiredWithstand(s, shape)
	if t.On() {
		addWithstand(t, s, shape, withstand, required, ka, 0)
	}
	v := audit.AtLeast(withstand.KV, required, "kV")
	if s.AtLeast && v.Outcome == audit.Meets {
		clearSteps(t)
		return audit.CannotTell(unknown)
	}
	if reason := openBy(&withstand, v); reason != audit.NoReason {
		clearSteps(t)
		return audit.CannotTell(reason)
	}
	byAltitude := withstand.NoMore == audit.NoReason && byAltitudeAlone(s, shape, v)
	if byAltitude {
		v = v.As(audit.Advisory)
	}
	v = withinPrintedTables(v, shape, withstand.From)
	v.AtMost = withstand.NoMore != audit.NoReason
	if s.AtLeast && s.NeedsSentence(v) {
		has, needs := apart(withstand.KV, required, 0)
		return v.Saying(fmt.Sprintf("%s withstands %s kV of %s (%s)%s; %s kV is needed at any altitude; the ground level here is not known%s.",
			s.Assembly.Hanging(), noMore(withstand.NoMore)+has, shapeName(shape), withstand.From, leftInWords(s, shape), needs, inPrint(v)))
	}
	if s.NeedsSentence(v) {
		has, needs := apart(withstand.KV, required, 0)
		v = v.Saying(fmt.Sprintf("%s withstands %s kV of %s (%s)%s; %s kV is needed at %.0f m (level %g kV, exponent %g, %s basis%s)%s%s.",
			s.Assembly.Hanging(), noMore(withstand.NoMore)+has, shapeName(shape), withstand.From, leftInWords(s, shape), needs, s.Structure.GroundM, s.Line.Level(shape), s.Criteria.Exponent(shape),
			s.Criteria.AltitudeBasis, extrapolated(s), onlyByAltitude(byAltitude), inPrint(v)))
	}
	return v
}

// openBy is why a verdict cannot be told by a withstand that is known to be no more, or no less, alone.
func openBy(w *audit.Withstand, v audit.Verdict) audit.Reason {
	if v.Outcome == audit.Meets {
		return w.NoMore
	}
	return w.NoLess
}

// withinPrintedTables remarks on a wet verdict by the disc table whose margin is less than printed tables differ by.
func withinPrintedTables(v audit.Verdict, shape audit.Shape, from audit.WithstandFrom) audit.Verdict {
	if shape == audit.Wet && from == audit.DiscTable && v.Outcome <= audit.FallsShort && math.Abs(v.Margin) < basis.PrintedTablesApart {
		return v.Because(audit.WithinPrintedTables)
	}
	return v
}

// inPrint says so of one that falls short.
func inPrint(v audit.Verdict) string {
	if v.Reason != audit.WithinPrintedTables {
		return ""
	}
	return "; " + v.Reason.String()
}

// byAltitudeAlone tells whether lightning withstand falls short only by an altitude factor whose basis nobody stated.
func byAltitudeAlone(s *audit.Subject, shape audit.Shape, v audit.Verdict) bool {
	return shape == audit.Lightning && v.Outcome == audit.FallsShort && !s.Criteria.AltitudeBasisStated &&
		audit.AtLeast(v.Observed.Number, s.Line.Level(shape), "kV").Outcome == audit.Meets
}

// onlyByAltitude says that a string falls short by altitude alone.
func onlyByAltitude(is bool) string {
	if !is {
		return ""
	}
	return "; the level itself it withstands, and nobody stated the altitude basis"
}

// noMore says in words of a voltage that it is no more, where there is a reason for it.
func noMore(why audit.Reason) string {
	if why == audit.NoReason {
		return ""
	}
	return "no more than "
}

// asABound says the same of a step on the trace.
func asABound(why audit.Reason) string {
	if why == audit.NoReason {
		return ""
	}
	return "; the string has no more than that"
}

// extrapolated says so where ground stands above the altitudes for which the factor has data.
func extrapolated(s *audit.Subject) string {
	if s.Structure.GroundM > basis.AltitudeDataEndM {
		return fmt.Sprintf(", extrapolated above %g m", basis.AltitudeDataEndM)
	}
	return ""
}

// leftInWords says what a string with defective units withstands without them.
func leftInWords(s *audit.Subject, shape audit.Shape) string {
	if s.Assembly.Defective <= 0 {
		return ""
	}
	text := ", 1 unit of it defective"
	if s.Assembly.Defective > 1 {
		text = fmt.Sprintf(", %d units of it defective", s.Assembly.Defective)
	}
	if left := s.Assembly.SoundWithstand(shape, s.Criteria); left.Reason == audit.NoReason {
		text += fmt.Sprintf(" and %s%.0f kV left", noMore(left.NoMore), left.KV)
	}
	return text
}

// requiredWithstand is the withstand voltage at sea level that a string needs where it hangs, in kV.
func requiredWithstand(s *audit.Subject, shape audit.Shape) (requiredKV, ka float64) {
	if atAnyAltitude(s) {
		return basis.RequiredWithstand(s.Line.Level(shape), 1), 1
	}
	ka, _, err := basis.AltitudeFactor(s.Criteria.AltitudeBasis, s.Structure.GroundM, s.Criteria.Exponent(shape))
	if err != nil {
		return math.NaN(), math.NaN()
	}
	return basis.RequiredWithstand(s.Line.Level(shape), ka), ka
}

// addWithstand shows what is required and what the string withstands without some defective units.
func addWithstand(t *audit.Trace, s *audit.Subject, shape audit.Shape, w audit.Withstand, required, ka float64, defective int) {
	m, h := s.Criteria.Exponent(shape), s.Structure.GroundM
	formula, sheet := altitudeFormula(s.Criteria.AltitudeBasis)
	meaning := "altitude factor, " + s.Criteria.AltitudeBasis.String() + " basis"
	if h > basis.AltitudeDataEndM {
		meaning += fmt.Sprintf(", extrapolated above %g m", basis.AltitudeDataEndM)
	}
	factor := audit.Step{Symbol: "K_a", Meaning: meaning, Formula: formula,
		Inputs: []audit.Operand{{Symbol: "m", Value: audit.Figure(m, "")}, {Symbol: "H", Value: audit.Figure(h, "m")}},
		Result: audit.Figure(ka, ""), Clause: altitudeSource(s.Criteria, shape), Sheet: sheet}
	if atAnyAltitude(s) {
		factor = audit.Step{Symbol: "K_a", Meaning: "altitude factor, the least there is at any altitude: the ground level is not known", Result: audit.Figure(ka, "")}
	}
	t.Add(factor)
	t.Add(levelStep(s, shape))
	t.Add(audit.Step{Symbol: "U_req", Meaning: "withstand required, referred to sea level", Formula: "U_level·K_a",
		Inputs: []audit.Operand{{Symbol: "U_level", Value: audit.Figure(s.Line.Level(shape), "kV")}, {Symbol: "K_a", Value: audit.Figure(ka, "")}},
		Result: audit.Figure(required, "kV"), Role: audit.Required, Clause: basis.Arithmetic, Sheet: "U_level*K_a"})
	step := audit.Step{Symbol: "U_w", Meaning: "withstand of " + s.Assembly.Hanging() + ": " + w.From.String(),
		Result: audit.Figure(w.KV, "kV"), Role: audit.Observed, Clause: withstandSource(w.From, shape, s.Criteria)}
	if own := s.Assembly.IdleTestedKV(shape); !math.IsNaN(own) && (w.From == audit.DiscTable || w.From == audit.GapFormula || w.From == audit.GapOverUnits) {
		step.Meaning += fmt.Sprintf("; the tested value of one unit, %g kV, is not used for a string of %d", own, s.Assembly.UnitsPerString)
	}
	switch w.From {
	case audit.DiscTable:
		addTable(t, s.Assembly, shape, defective, &step, s.Criteria)
	case audit.UnitsTogether:
		n := audit.Operand{Symbol: "n", Value: audit.Figure(float64(s.Assembly.UnitsPerString-defective), "")}
		step.Formula, step.Sheet = "n·U_1", "n*U_1"
		step.Inputs = []audit.Operand{n, {Symbol: "U_1", Value: audit.Figure(w.KV/n.Value.Number, "kV")}}
	case audit.GapOverUnits:
		t.Add(unitsStep(s.Assembly, defective, w.GapM))
		fallthrough
	case audit.GapFormula:
		addGap(&step, shape, &w, s.Criteria)
	}
	if w.From == audit.UnitFlashover {
		step.Formula, step.Sheet = "f·U_f", "f*U_f"
		factor := basis.WithstandFromU50(1, basis.LightningSigma)
		if shape == audit.Wet {
			factor = s.Criteria.WetShare.Value
		}
		step.Inputs = []audit.Operand{{Symbol: "f", Value: audit.Figure(factor, "")}, {Symbol: "U_f", Value: audit.Figure(audit.UnitFlashoverKV(s.Assembly.Unit, shape), "kV")}}
	}
	step.Meaning += asABound(w.NoMore)
	if n := s.Assembly.UnitsPerString; w.From == audit.ShareOfTested {
		step.Formula, step.Sheet = "U_t·(n − d)/n", "U_t*(n-d)/n"
		step.Inputs = []audit.Operand{{Symbol: "U_t", Value: audit.Figure(s.Assembly.Withstand(shape, n, s.Criteria).KV, "kV")},
			{Symbol: "n", Value: audit.Figure(float64(n), "")}, {Symbol: "d", Value: audit.Figure(float64(defective), "")}}
		if len(s.Assembly.Makeup.Parts) > 1 {
			step.Formula, step.Sheet = "U_t·L_s/L_u", "U_t*L_s/L_u"
			step.Inputs = append(step.Inputs[:1], figure("L_s", s.Assembly.UnitsLeftMM(n-defective), "mm"), figure("L_u", s.Assembly.UnitsMM(), "mm"))
			step.Meaning += withoutLongest(defective)
		}
	}
	t.Add(step)
}

// levelStep is the level that the line states, or at power frequency the one that goes with it.
func levelStep(s *audit.Subject, shape audit.Shape) audit.Step {
	column := "Lightning level"
	if shape == audit.Switching {
		column = "Switching level"
	}
	step := audit.Step{Symbol: "U_level", Meaning: "level of the Lines sheet", Result: audit.Figure(s.Line.Level(shape), "kV"), Clause: s.Line.Row.SourceOf(column)}
	if shape == audit.Wet {
		step.Meaning = fmt.Sprintf("power frequency level of the standard pair with the line's lightning level of %g kV at Um %g kV", s.Line.Row.LightningKV, s.Line.HighestKV)
		step.Clause = basis.InsulationLevelSource(s.Line.HighestKV, s.Line.Row.LightningKV)
	}
	return step
}

// altitudeFormula is the altitude factor in words and as a spreadsheet finds it.
func altitudeFormula(from basis.AltitudeBasis) (words, sheet string) {
	if from == basis.Rated1000 {
		return fmt.Sprintf("exp(m·(H − %[1]g)/%[2]g) above %[1]g m, else 1", basis.RatedAltitudeM, basis.ScaleHeightM),
			fmt.Sprintf("IF(H>%[1]g,EXP(m*(H-%[1]g)/%[2]g),1)", basis.RatedAltitudeM, basis.ScaleHeightM)
	}
	return fmt.Sprintf("exp(m·H/%g), never below 1", basis.ScaleHeightM), fmt.Sprintf("MAX(1,EXP(m*H/%g))", basis.ScaleHeightM)
}

// discsStep shows how many standard discs are as long as the string without its defective units.
func discsStep(a *audit.Assembly, defective int) audit.Step {
	if len(a.Makeup.Parts) > 1 {
		_, discs, _ := a.TableFlashover(a.UnitsPerString - defective)
		return audit.Step{Symbol: "x", Meaning: fmt.Sprintf("standard discs of the same length, of %d unlike units%s", a.UnitsPerString-defective, withoutLongest(defective)), Result: audit.Figure(discs, "")}
	}
	step := audit.Step{Symbol: "x", Meaning: "standard discs of the same length",
		Formula: fmt.Sprintf("n·P/%g", basis.StandardSpacingMM), Sheet: fmt.Sprintf("n*P/%g", basis.StandardSpacingMM),
		Inputs: []audit.Operand{{Symbol: "n", Value: audit.Figure(float64(a.UnitsPerString), "")}, {Symbol: "P", Value: audit.Figure(a.Unit.SpacingMM, "mm")}},
		Result: audit.Figure(basis.StandardDiscs(a.UnitsPerString-defective, a.Unit.SpacingMM), "")}
	if defective > 0 {
		step.Formula, step.Sheet = fmt.Sprintf("(n − d)·P/%g", basis.StandardSpacingMM), fmt.Sprintf("(n-d)*P/%g", basis.StandardSpacingMM)
		step.Inputs = append(step.Inputs, audit.Operand{Symbol: "d", Value: audit.Figure(float64(defective), "")})
	}
	return step
}

// addTable shows what the disc table says at the length of the string, and how the withstand follows.
func addTable(t *audit.Trace, a *audit.Assembly, shape audit.Shape, defective int, step *audit.Step, criteria *audit.Criteria) {
	length := discsStep(a, defective)
	t.Add(length)
	units := a.UnitsPerString - defective
	f, discs, ok := a.TableFlashover(units)
	if !ok {
		return
	}
	read := func(symbol, what string, source basis.Clause, value func(basis.Flashover) float64) audit.Operand {
		row := audit.Step{Symbol: symbol, Meaning: what + " flashover by the table" + betweenRows(discs, value), Formula: what + " flashover(x)",
			Inputs: []audit.Operand{{Symbol: "x", Value: length.Result}}, Result: audit.Figure(value(f), "kV"), Clause: source, Sheet: interpolated(value)}
		t.Add(row)
		return audit.Operand{Symbol: symbol, Value: row.Result}
	}
	if shape == audit.Wet {
		wet := read("U_wet", "wet", basis.DiscStringTable, func(f basis.Flashover) float64 { return f.WetKV })
		share := audit.Operand{Symbol: "f", Value: audit.Figure(criteria.WetShare.Value, "")}
		step.Formula, step.Sheet, step.Inputs = "f·U_wet", "f*U_wet", []audit.Operand{share, wet}
		return
	}
	source := basis.DiscStringTable
	if discs >= 2-basis.Tolerance { // one disc alone was not seen in print
		source = basis.DiscStringTablePositive
	}
	positive := read("U_50p", "positive lightning impulse", source, func(f basis.Flashover) float64 { return f.PositiveKV })
	negative := read("U_50n", "negative lightning impulse", basis.DiscStringTable, func(f basis.Flashover) float64 { return f.NegativeKV })
	step.Formula = fmt.Sprintf("%g·min(U_50p, U_50n)", basis.WithstandFromU50(1, basis.LightningSigma))
	step.Sheet = fmt.Sprintf("(1-%g*%g)*MIN(U_50p,U_50n)", basis.WithstandSigmas, basis.LightningSigma)
	step.Inputs = []audit.Operand{positive, negative}
	if f.PositiveKV <= f.NegativeKV {
		step.Clause = source
	}
}

// betweenRows names the rows of the disc table between which x standard discs lie, with what they say.
func betweenRows(discs float64, value func(basis.Flashover) float64) string {
	row := func(n int) float64 {
		f, _ := basis.StringFlashover(n, basis.StandardSpacingMM, basis.StandardDiameterMM)
		return value(f)
	}
	if n := int(math.Round(discs)); math.Abs(discs-float64(n)) <= basis.Tolerance*discs {
		return fmt.Sprintf(", row %d", n)
	}
	n := int(discs)
	return fmt.Sprintf(", interpolated on length between row %d (%g kV) and row %d (%g kV)", n, row(n), n+1, row(n+1))
}

// withoutLongest says that the longest of unlike units are taken to be the defective ones.
func withoutLongest(defective int) string {
	if defective <= 0 {
		return ""
	}
	return fmt.Sprintf(", without the longest %d", defective)
}

// unitsStep shows the length of the units that stands for the arcing distance, without the defective ones.
func unitsStep(a *audit.Assembly, defective int, gapM float64) audit.Step {
	step := audit.Step{Symbol: "d", Meaning: "dry arcing distance, by the criteria the string length less hardware: the length of its units", Result: audit.Figure(gapM, "m"), Clause: basis.OwnFigure}
	if len(a.Makeup.Parts) > 1 {
		step.Meaning += withoutLongest(defective)
		step.Formula, step.Sheet, step.Inputs = "L_u/1000", "L_u/1000", []audit.Operand{{Symbol: "L_u", Value: audit.Figure(a.UnitsMM(), "mm")}}
		if defective > 0 {
			step.Formula, step.Sheet = "(L_u − L_d)/1000", "(L_u-L_d)/1000"
			step.Inputs = append(step.Inputs, audit.Operand{Symbol: "L_d", Value: audit.Figure(a.UnitsMM()-1000*gapM, "mm")})
		}
		return step
	}
	n := audit.Operand{Symbol: "n", Value: audit.Figure(float64(a.UnitsPerString), "")}
	step.Formula, step.Sheet, step.Inputs = "n·P/1000", "n*P/1000", []audit.Operand{n, {Symbol: "P", Value: audit.Figure(a.Unit.SpacingMM, "mm")}}
	if defective > 0 {
		step.Formula, step.Sheet = step.Formula+"·(n − n_d)/n", step.Sheet+"*(n-n_d)/n"
		step.Inputs = append(step.Inputs, audit.Operand{Symbol: "n_d", Value: audit.Figure(float64(defective), "")})
	}
	return step
}

// addGap shows the gap formula by which a withstand was found, at the end of its range where the gap is outside it.
func addGap(step *audit.Step, shape audit.Shape, w *audit.Withstand, criteria *audit.Criteria) {
	d, distanceM := "d", w.GapM
	if nearestM := basis.NearestGap(distanceM); nearestM != distanceM && w.KV > 0 {
		step.Meaning += fmt.Sprintf("; of %g m, the end of its range, since the distance is %.4g m", nearestM, distanceM)
		d, distanceM = "d_r", nearestM
	}
	step.Inputs = []audit.Operand{{Symbol: d, Value: audit.Figure(distanceM, "m")}, {Symbol: "K", Value: audit.Figure(criteria.GapFactor.Value, "")}}
	if shape == audit.Switching {
		share := basis.WithstandFromU50(1, basis.SwitchingSigma)
		step.Formula, step.Sheet = fmt.Sprintf("%g·K·1080·ln(0.46·%s + 1)", share, d), fmt.Sprintf("(1-%g*%g)*K*1080*LN(0.46*%s+1)", basis.WithstandSigmas, basis.SwitchingSigma, d)
		return
	}
	share := basis.WithstandFromU50(1, basis.LightningSigma)
	step.Formula, step.Sheet = fmt.Sprintf("%g·(0.74 + 0.26·K)·530·%s", share, d), fmt.Sprintf("(1-%g*%g)*(0.74+0.26*K)*530*%s", basis.WithstandSigmas, basis.LightningSigma, d)
}

// interpolated reads a column of the disc table at x as a spreadsheet does.
func interpolated(value func(basis.Flashover) float64) string {
	var column []string
	for n := 1; ; n++ {
		f, ok := basis.StringFlashover(n, basis.StandardSpacingMM, basis.StandardDiameterMM)
		if !ok {
			break
		}
		column = append(column, strconv.FormatFloat(value(f), 'g', -1, 64))
	}
	list := strings.Join(column, ",")
	at := fmt.Sprintf("MIN(MAX(INT(x),1),%d)", len(column)-1)
	return fmt.Sprintf("(CHOOSE(%[1]s,%[2]s)+(x-%[1]s)*(CHOOSE(%[1]s+1,%[2]s)-CHOOSE(%[1]s,%[2]s)))", at, list)
}

// altitudeSource is the source of the altitude factor: the basis, or the project where the exponent is its own.
func altitudeSource(criteria *audit.Criteria, shape audit.Shape) basis.Clause {
	if shape == audit.Switching {
		return criteria.SwitchingExponent.ClauseOr(criteria.AltitudeBasis.Source())
	}
	return criteria.AltitudeBasis.Source()
}

// withstandSource is the source of a withstand, or the project where a factor in it is its own.
func withstandSource(from audit.WithstandFrom, shape audit.Shape, criteria *audit.Criteria) basis.Clause {
	switch {
	case from == audit.DiscTable && shape == audit.Wet:
		return criteria.WetShare.ClauseOr(basis.DiscStringTable)
	case from == audit.DiscTable:
		return basis.DiscStringTable
	case from == audit.UnitFlashover && shape == audit.Wet:
		return criteria.WetShare.ClauseOr(basis.CommonPractice)
	case from == audit.UnitFlashover:
		return basis.GapFormulas
	case from == audit.GapFormula, from == audit.GapOverUnits:
		return criteria.GapFactor.ClauseOr(basis.GapFormulas)
	}
	return basis.Clause{}
}
