package checks_test

import (
	"math"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// The load of the example leans by atan(2448.18/4789.5) = 27.07° (statics, computed).
func TestSlackLegs(t *testing.T) {
	v := func(deg float64, more ...func(*audit.Subject)) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Assembly.VAngleDeg = deg
			for _, m := range more {
				m(s)
			}
		}
	}
	judge(t, "slack-leg", []judgement{
		{"wide enough", v(90), "meets 27.074/45", ""},
		{"too narrow", v(50), "advisory 27.074/25", "goes slack under high wind"},
		{"no angle", v(math.NaN()), "not assessed: angle of the V set not stated", ""},
		{"an angle that is not readable", v(math.NaN(), func(s *audit.Subject) { s.Assembly.Faulty = s.Assembly.Faulty.With(audit.CellArrangement) }),
			"not assessed: a field it needs is faulty, see Faults", ""},
		{"a single string", v(50, func(s *audit.Subject) { s.Assembly.Arrangement = audit.Single }), "not applicable: no V set", ""},
		{"a tension string", v(50, func(s *audit.Subject) { s.Assembly.Duty = audit.Tension }), "not applicable: no suspension assembly", ""},
		{"a jumper", v(50, func(s *audit.Subject) { s.Assembly.Duty = audit.Jumper }), "not applicable: jumper strings hang in suspension at tension structures", ""},
		{"uplift", v(150, func(s *audit.Subject) { s.Structure.HeightBackM, s.Structure.HeightAheadM = 40, 40 }), "advisory 137.28/75", ""},
		{"the case that leans most", v(50, func(s *audit.Subject) {
			s.Criteria.LoadCases = append(s.Criteria.LoadCases, audit.LoadCase{Name: "storm", WindPa: 580, From: audit.MaximumTension, Factor: 1})
		}), "advisory 45.632/25", "storm"},
		{"beside doubtful geometry", v(50, func(s *audit.Subject) { s.Structure.Doubtful = true }), "advisory 27.074/25: beside doubtful geometry, see Faults", "doubtful"},
		{"where a structure may be missing", v(50, func(s *audit.Subject) { s.Structure.MayMiss = true }), "advisory 27.074/25: a structure may be missing beside it, see Faults", "may be missing"},
	})
}

// The strength of a V set goes from the leg forces, which its derivation shows, and says where a leg is slack.
func TestLegsOfAVSetInTheDerivation(t *testing.T) {
	for _, c := range []struct {
		deg           float64
		first, second float64 // 5378.93·sin(α ± 27.074°)/sin 2α (computed)
		from          string
	}{
		{90, 5117.8, 1655.5, "F_1/1000/n·u·f"},
		{40, 6127.4, -1030.5, "F_c/1000/n·u·f"},
	} {
		_, s := example(t, "slack-leg")
		s.Assembly.VAngleDeg, s.Assembly.Unit.RatingKN = c.deg, 3
		check, _ := example(t, "strength")
		var trace audit.Trace
		verdict := check.Run(s, &trace)
		requireOneMeaning(t, trace)
		requireRoles(t, "strength", trace, verdict)
		found := map[string]audit.Step{}
		for _, step := range trace.Steps {
			found[step.Symbol] = step
		}
		require.InDelta(t, c.first, found["F_1"].Result.Number, 0.5)
		require.InDelta(t, c.second, found["F_2"].Result.Number, 0.5)
		require.InDelta(t, 27.074, found["θ"].Result.Number, 0.005)
		require.Equal(t, c.deg/2, found["α"].Result.Number)
		require.Equal(t, c.from, found["F"].Formula)
		require.Equal(t, audit.FallsShort, verdict.Outcome)
		if c.second < 0 {
			require.Contains(t, verdict.Sentence, "slack")
			require.Contains(t, found["F"].Meaning, "slack")
		} else {
			require.NotContains(t, verdict.Sentence, "slack")
		}
	}
}

// With its weight the derivation goes by what hangs on a string, and each step of it leads to the next.
func TestWeightOfAVSetInTheDerivation(t *testing.T) {
	for _, c := range []struct {
		deg    float64
		number int
		from   string
	}{
		{90, 2, "√(F_1² + F_1·cos α·w_i + (w_i/2)²)/1000·f"},
		{90, 4, "√(F_1² + F_1·cos α·w_i + (w_i/2)²)/1000·f"},
		{40, 2, "√(F_s² + V_s·w_i + (w_i/2)²)/1000·f"},
	} {
		_, s := example(t, "slack-leg")
		s.Assembly.VAngleDeg, s.Assembly.Strings, s.Assembly.Unit.WeightKg, s.Assembly.Unit.RatingKN = c.deg, c.number, 5, 3
		check, _ := example(t, "strength")
		var trace audit.Trace
		verdict := check.Run(s, &trace)
		requireOneMeaning(t, trace)
		requireRoles(t, "strength", trace, verdict)
		last := trace.Steps[len(trace.Steps)-3]
		require.Equal(t, "F", last.Symbol)
		require.Equal(t, c.from, last.Formula)
		require.Contains(t, last.Meaning, "carries its own weight w_i, of the worse leg")
		require.Equal(t, c.deg == 40, strings.Contains(verdict.Sentence, "slack"))
	}
}

// A load that lifts a wide V set has both legs taut above their attachments, where each bears more than the load.
func TestLegsOfALiftedVSet(t *testing.T) {
	_, s := example(t, "slack-leg")
	s.Assembly.VAngleDeg, s.Assembly.Unit.RatingKN = 150, 3
	s.Structure.HeightBackM, s.Structure.HeightAheadM = 40, 40 // 137.28°, so that 75° + 42.72° counts
	check, _ := example(t, "strength")
	var trace audit.Trace
	verdict := check.Run(s, &trace)
	requireOneMeaning(t, trace)
	requireRoles(t, "strength", trace, verdict)
	require.NotContains(t, verdict.Sentence, "slack")
	resultant := 0.0
	for _, step := range trace.Steps {
		switch step.Symbol {
		case "F_c":
			resultant = step.Result.Number
		case "F_1":
			require.InDelta(t, resultant*math.Sin((75+42.72)*math.Pi/180)/math.Sin(150*math.Pi/180), step.Result.Number, 0.5)
		}
	}
	require.Positive(t, resultant)
}

// An angle that was reckoned is told as one reads it.
func TestSlackLegTellsItsAngleInFewDigits(t *testing.T) {
	check, s := example(t, "slack-leg")
	s.Assembly.VAngleDeg = 10.532425880432129
	require.Contains(t, check.Run(s, nil).Sentence, "V set of 10.53° goes slack under high wind, whose load leans by 27.07°, more than the 5.266° of half its angle")
}
