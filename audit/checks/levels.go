package checks

import (
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var levelPair = audit.Check{
	ID:       "level-pair",
	Title:    "Insulation levels of the line are no standard pair",
	Of:       audit.OfLine,
	Severity: audit.Note,
	Basis:    []basis.Clause{basis.InsulationLevelsSeen, basis.InsulationLevelsSource},
	Method: audit.Method{
		Formula: "(U_sw, U_li) ∈ pairs of U_m",
		Symbols: []audit.Explained{
			{Symbol: "U_sw", Meaning: "switching impulse level of the line, in range II", Measure: "kV"},
			{Symbol: "U_li", Meaning: "lightning impulse level of the line", Measure: "kV"},
			{Symbol: "U_m", Meaning: "highest voltage for equipment", Measure: "kV"},
		},
		Limits: "Lines that state a lightning level, above 245 kV (but not 252 kV) a switching level too. In range I the lightning level must be one that has a standard power frequency level at U_m, in range II both must stand together; a level that " +
			"national standards add (200 kV at 36 kV, 350 kV at 72.5 kV) counts, and 1175 kV of switching impulse at 420 kV, whose pairs are not known, is not assessed. A U_m outside the tables is not assessed: 1100 kV, 126 and 252 kV, and 121, 169 and 242 kV of " +
			"North American practice. Always a note: a line may well have levels that are no standard ones, and every string is judged by those that are stated.",
		Example: audit.Example{
			Story: "1050 kV of switching and 1175 kV of lightning impulse on a line of Um 420 kV",
			Subject: func() audit.Subject {
				s := subjectAt(structureOf(audit.Tangent, 0), lineAt(420))
				s.Structure = nil
				s.Line.Row.SwitchingKV, s.Line.Row.LightningKV = 1050, 1175
				return s
			},
			Outcome: audit.FallsShort, Observed: math.NaN(), Required: math.NaN(),
			Source: "pairs of 420 kV in tables of transformer levels (published): 1050 goes with 1300 or 1425",
		},
	},
	AskedBy: []audit.Need{audit.AsksLevels},
	Needs:   []audit.Need{audit.NeedsLevels},
	Rests:   audit.RestsOnWithstand,
	OfLine:  audit.ReadsVoltages,
	Remedy:  "Confirm both levels and the highest voltage in the Lines sheet.",
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		um, row := s.Line.HighestKV, &s.Line.Row
		standing := basis.LevelPair(um, row.LightningKV, row.SwitchingKV)
		switch standing {
		case basis.NoPairsKnown:
			return audit.CannotTell(audit.NoStandardPairs)
		case basis.PairNotKnown:
			return audit.CannotTell(audit.PairNotKnown)
		}
		levels := fmt.Sprintf("%g kV of lightning impulse", row.LightningKV)
		stated, how := row.SourceOf("Lightning level"), "lightning impulse/power frequency"
		if basis.IsRangeTwo(um) {
			levels = fmt.Sprintf("%g kV of switching and ", row.SwitchingKV) + levels
			how = "switching with lightning impulse"
		}
		pairs := basis.LevelPairsInWords(um)
		v := audit.IsWord(standing != basis.NoSuchPair, levels, pairs)
		if t.On() {
			t.Add(audit.Step{Symbol: "U", Meaning: "levels of the Lines sheet", Result: v.Observed, Role: audit.Observed, Clause: stated})
			t.Add(audit.Step{Symbol: "pairs", Meaning: fmt.Sprintf("standard pairs of Um %g kV, %s in kV", um, how), Result: v.Required, Role: audit.Required, Clause: basis.LevelPairSource(um)})
		}
		if s.NeedsSentence(v) {
			v = v.Saying(fmt.Sprintf("Levels of %s are no standard pair of Um %g kV; those are, %s in kV: %s (%s).", levels, um, how, pairs, basis.LevelPairSource(um)))
		}
		return v
	},
}
