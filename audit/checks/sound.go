package checks

import (
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var soundUnits = audit.Check{
	ID:       "sound-units",
	Title:    "String too weak electrically without its defective units",
	Of:       audit.OfAssembly,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.SpecificCreepageUnified, basis.SpecificCreepageLevels, basis.DiscStringTable, basis.GapFormulas, basis.CommonPractice},
	Method: audit.Method{
		Formula: "where the criteria state one, n − d ≥ the least number;  C·(n − d)/n ≥ L, with L as for creepage;  where a level is stated U_w(n − d) ≥ U_level·K_a",
		Symbols: append([]audit.Explained{
			{Symbol: "n", Meaning: "units per string"},
			{Symbol: "d", Meaning: "defective units in the worst string"},
		}, creepageSymbols...),
		Limits: "Strings with defective units. The least number of sound units is judged whatever the string as built does; creepage and withstand where it meets as built, since their own checks " +
			"name the defective units where it does not. In a string of unlike units those with the longest creepage are taken to be the defective ones; a long rod, a composite, " +
			"a pin, a post or a shackle insulator with any defect has failed (common practice: it is one body, so a defect is one of the whole). What a row states for its whole string, creepage, a tested value or an arcing distance, its units have in equal shares, unlike units by their own creepage and spacing, the longest of them defective. A shattered glass disc insulates nothing. " +
			"Wet withstand is an advisory. The least number of sound units is the user's policy and no permission to work." + altitudeLimits,
		Example: audit.Example{
			Story:   "15 units of 525 mm at Um 245 kV in class e, one of them defective",
			Subject: func() audit.Subject { return stringIn(basis.ClassE, 245, 15, 525, 1) },
			Outcome: audit.FallsShort, Observed: 7350, Required: 7595.9,
			Source: "Fotovoltaico Elena environmental study, annex 6, 2016 (published: at least 7595 mm, so 14 units fall short)",
		},
	},
	Needs:  []audit.Need{audit.NeedsDuty, audit.NeedsDefective, audit.NeedsSoundInsulator, audit.NeedsUnitsPerString},
	Errs:   audit.ErrsZone | audit.ErrsAltitude | audit.ErrsCreepageAltitude,
	Pieces: []string{"creepage", "number of sound units", "lightning withstand", "switching withstand", "wet withstand"},
	Rests:  audit.RestsOnCreepage | audit.RestsOnLength | audit.RestsOnWithstand,
	OfLine: audit.ReadsVoltages,
	Remedy: "Replace the defective units or the failed insulator; of the units of a string punctured porcelain first: it is a short circuit and may drop the line.",
	Concerns: func(s *audit.Subject) audit.Reason {
		if s.Assembly.Defective == 0 {
			return audit.NoneDefective
		}
		return carriesPhase(s)
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict { return besideTerrain(s, t, judgeSound) },
}

func judgeSound(s *audit.Subject, t *audit.Trace) audit.Verdict {
	if s.Assembly.HasFailed() {
		return failedInsulator(s, t)
	}
	pieces := [...]func(*audit.Subject, *audit.Trace) audit.Verdict{soundCreepage, soundByPolicy, soundWithstand(audit.Lightning), soundWithstand(audit.Switching), soundWithstand(audit.Wet)}
	if piece := s.Piece(); piece > 0 {
		return pieces[piece-1](s, t)
	}
	governs, verdict := pieces[0], pieces[0](s, nil)
	for _, judge := range pieces[1:] {
		if v := judge(s, nil); graver(v, verdict) {
			governs, verdict = judge, v
		}
	}
	if v := soundByPolicy(s, nil); t.On() && v.Outcome == audit.Meets {
		t.Add(audit.Step{Symbol: "n − d", Meaning: fmt.Sprintf("sound units; the criteria ask for at least %g", v.Required.Number), Result: v.Observed, Clause: basis.OwnFigure})
	}
	return governs(s, t)
}

// graver tells whether one part of the verdict on the sound units counts before another: what falls short, first as a
// shortfall, what cannot be judged, what falls short as built, and what meets. A part that nobody asks for counts for nothing.
func graver(a, b audit.Verdict) bool {
	rank := func(v audit.Verdict) int {
		switch {
		case v.Outcome == audit.FallsShort && v.Severity == audit.Shortfall:
			return 5
		case v.Outcome == audit.FallsShort:
			return 4
		case v.Outcome == audit.NotAssessed:
			return 3
		case v.Reason == audit.AsBuiltFallsShort:
			return 2
		case v.Outcome == audit.Meets:
			return 1
		}
		return 0
	}
	return rank(a) > rank(b)
}

// silent is the part of a verdict that nobody asks for.
func silent() audit.Verdict { return audit.DoesNotApply(audit.NoReason) }

// failedInsulator is the verdict on an insulator of one body with a defect, whatever is asked of it.
func failedInsulator(s *audit.Subject, t *audit.Trace) audit.Verdict {
	if t.On() {
		t.Add(audit.Step{Symbol: "insulator", Result: audit.Word("failed"), Role: audit.Observed, Clause: basis.CommonPractice})
	}
	v := audit.IsWord(false, "failed", "sound")
	if s.NeedsSentence(v) {
		v = v.Saying(fmt.Sprintf("%s has a defect: %s with any defect has failed%s.", s.Assembly.Hanging(), bodyInWords(s.Assembly), worstOfUnlike(s.Assembly)))
	}
	return v
}

// worstOfUnlike says that a verdict on unlike units is that of the worst case.
func worstOfUnlike(a *audit.Assembly) string {
	if a.Makeup == nil || len(a.Makeup.Parts) < 2 || a.Defective >= a.UnitsPerString {
		return ""
	}
	return " (the worst case: which of its unlike units are defective no input says)"
}

// bodyInWords names what a defect has failed as a whole.
func bodyInWords(a *audit.Assembly) string {
	switch {
	case a.Unit == nil || len(a.Makeup.Parts) > 1: // what is in the string beside may be discs
	case a.Unit.Kind == basis.Pin, a.Unit.Kind == basis.Post, a.Unit.Kind == basis.Shackle:
		return "a " + a.Unit.Kind.String() + " insulator"
	}
	return "a long rod or a composite"
}

// soundCreepage judges the creepage that is left, where the string as built meets.
func soundCreepage(s *audit.Subject, t *audit.Trace) audit.Verdict {
	for _, need := range creepageNeeds {
		if reason := s.Lacks(need); reason != audit.NoReason {
			return audit.CannotTell(reason)
		}
	}
	switch built := installedAgainstSite(s, nil); built.Outcome {
	case audit.FallsShort:
		return audit.DoesNotApply(audit.AsBuiltFallsShort)
	case audit.NotAssessed:
		return built
	}
	if math.IsNaN(s.Assembly.SoundCreepageMM()) {
		return audit.CannotTell(audit.UnitCreepageUnknown)
	}
	return atSite(s, t, basis.EditionsApart, creepageLeft)
}

// creepageLeft judges the creepage without the defective units against what one reading of the site asks for.
func creepageLeft(s *audit.Subject, t *audit.Trace) audit.Verdict {
	required, sound := requiredCreepage(s, t), s.Assembly.SoundCreepageMM()
	addInstalledCreepage(t, s.Assembly, audit.InBetween)
	if t.On() {
		t.Add(soundStep(s.Assembly, sound))
	}
	v := audit.AtLeast(sound, required, "mm")
	if s.NeedsSentence(v) {
		left, needs := apart(sound, required, 1)
		v = v.Saying(fmt.Sprintf("%s, %d of them defective, has %s mm of creepage left; %s needs %s mm.",
			s.Assembly.Hanging(), s.Assembly.Defective, left, siteInWords(s), needs))
	}
	return v
}

// soundStep shows the creepage without the defective units, as a formula where the string is of one kind of unit.
func soundStep(a *audit.Assembly, soundMM float64) audit.Step {
	step := audit.Step{Symbol: "C_s", Meaning: fmt.Sprintf("creepage without %d defective units", a.Defective),
		Result: audit.Figure(soundMM, "mm"), Role: audit.Observed, Clause: basis.CommonPractice}
	if a.Makeup != nil && len(a.Makeup.Parts) == 1 && a.Unit.Kind.HasUnitCount() {
		step.Formula, step.Sheet = "C·(n − d)/n", "C*(n-d)/n"
		step.Inputs = []audit.Operand{
			{Symbol: "C", Value: audit.Figure(a.CreepageMM, "mm")}, {Symbol: "n", Value: audit.Figure(float64(a.UnitsPerString), "")},
			{Symbol: "d", Value: audit.Figure(float64(a.Defective), "")},
		}
	}
	return step
}

// soundWithstand judges what the sound units withstand of one shape, where the line states a level for it and the string
// as built meets.
func soundWithstand(shape audit.Shape) func(*audit.Subject, *audit.Trace) audit.Verdict {
	return func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		switch um := s.Line.HighestKV; {
		case shape == audit.Wet && basis.IsRangeTwo(um), shape == audit.Switching && basis.IsRangeOne(um):
			return silent()
		}
		need := [...]audit.Need{audit.NeedsLightningWithstand, audit.NeedsSwitchingWithstand, audit.NeedsWetWithstand}[shape]
		reason := s.Lacks(need)
		if reason == audit.NoReason {
			reason = s.Lacks(audit.NeedsGround)
		}
		switch reason {
		case audit.NoReason:
		case audit.LightningLevelNotStated, audit.SwitchingLevelNotStated, audit.WetLevelUnknown:
			return silent()
		case audit.VoltageUnknown, audit.VoltageNotStandard:
			if math.IsNaN(s.Line.Level(shape)) {
				return silent()
			}
			return audit.CannotTell(reason)
		default:
			if shape == audit.Wet && !reason.IsFaulty() { // an advisory, whose own check says that it is not assessed
				return silent()
			}
			return audit.CannotTell(reason)
		}
		return judgeSoundWithstand(s, t, shape)
	}
}

func judgeSoundWithstand(s *audit.Subject, t *audit.Trace, shape audit.Shape) audit.Verdict {
	a := s.Assembly
	required, ka := requiredWithstand(s, shape)
	built := a.Withstand(shape, a.UnitsPerString, s.Criteria)
	if built.NoLess == audit.NoReason && audit.AtLeast(built.KV, required, "kV").Outcome != audit.Meets {
		return audit.DoesNotApply(audit.AsBuiltFallsShort)
	}
	left := a.SoundWithstand(shape, s.Criteria)
	if left.Reason != audit.NoReason {
		return audit.CannotTell(left.Reason)
	}
	v := audit.AtLeast(left.KV, required, "kV")
	switch reason := openBy(&left, v); {
	case reason == audit.NoReason:
	case shape == audit.Wet: // an advisory, as above
		return silent()
	default:
		return audit.CannotTell(reason)
	}
	if t.On() {
		addWithstand(t, s, shape, left, required, ka, a.Defective)
	}
	byAltitude := byAltitudeAlone(s, shape, v)
	if shape == audit.Wet || byAltitude {
		v = v.As(audit.Advisory)
	}
	v = withinPrintedTables(v, shape, left.From)
	v.AtMost = left.NoMore != audit.NoReason
	if s.NeedsSentence(v) {
		has, needs := apart(left.KV, required, 0)
		v = v.Saying(fmt.Sprintf("%s, %d of them defective, withstands %s kV of %s with those left; %s kV is needed%s%s%s.",
			a.Hanging(), a.Defective, noMore(left.NoMore)+has, shapeName(shape), needs, extrapolated(s), onlyByAltitude(byAltitude), inPrint(v)))
	}
	return v
}

// soundByPolicy judges the number of sound units by the user's own table.
func soundByPolicy(s *audit.Subject, t *audit.Trace) audit.Verdict {
	if len(s.Criteria.SoundUnits) == 0 {
		return silent()
	}
	if reason := s.Lacks(audit.NeedsNominalVoltage); reason != audit.NoReason {
		return audit.CannotTell(reason)
	}
	least, ok := s.Criteria.LeastSoundUnits(s.Line.Row.NominalKV)
	if !ok {
		return silent()
	}
	left := float64(s.Assembly.UnitsPerString - s.Assembly.Defective)
	v := audit.AtLeast(left, float64(least), "units")
	if t.On() {
		t.Add(audit.Step{Symbol: "n − d", Meaning: "sound units", Result: audit.Figure(left, "units"), Role: audit.Observed, Clause: basis.OwnFigure})
		t.Add(audit.Step{Symbol: "n_min", Meaning: "least number of sound units, by the criteria", Result: audit.Figure(float64(least), "units"), Role: audit.Required, Clause: basis.OwnFigure})
	}
	if s.NeedsSentence(v) {
		v = v.Saying(fmt.Sprintf("%s, %d of them defective: %g sound units are left, the criteria ask for %d.",
			s.Assembly.Hanging(), s.Assembly.Defective, left, least))
	}
	return v
}
