package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// ratings are of clamp, yoke, and ball and socket; 0 where not stated.
func ratings(clamp, yoke, socket float64) audit.Ratings {
	r := audit.UnknownRatings()
	for f, kN := range [...]float64{clamp, yoke, socket} {
		if kN > 0 {
			r[f] = kN
		}
	}
	return r
}

// 28.02 kN in each subconductor, a factor of 2.5: 70.05 kN for what carries one of them, 140.1 kN for what carries two (computed).
func TestFittingsOfTensionStrings(t *testing.T) {
	fitted := func(r audit.Ratings, more ...func(*audit.Subject)) func(*audit.Subject) {
		return func(s *audit.Subject) {
			structure := *s.Structure
			s.Structure = &structure
			s.Line.Row.MaximumTensionKN, s.Line.Row.FittingsKN, s.Assembly.Direct.FittingsKN = 28.02, audit.UnknownRatings(), r
			for _, m := range more {
				m(s)
			}
		}
	}
	ofLine := func(r audit.Ratings) func(*audit.Subject) {
		return func(s *audit.Subject) { s.Line.Row.FittingsKN = r }
	}
	unreadOfLine := func(f audit.Fitting) func(*audit.Subject) {
		return func(s *audit.Subject) { s.Line.Row.Faulty = s.Line.Row.Faulty.With(audit.LineFittings[f]) }
	}
	twin := func(s *audit.Subject) { s.Line.Row.Subconductors = 2 }
	double := func(s *audit.Subject) { s.Assembly.Strings, s.Assembly.Arrangement = 2, audit.Parallel }
	unreadable := func(s *audit.Subject) { s.Assembly.Faulty = s.Assembly.Faulty.With(audit.CellMounting) }
	rated := func(kN float64) func(*audit.Subject) {
		return func(s *audit.Subject) { s.Assembly.Direct.RatingKN = kN }
	}
	unitless := func(s *audit.Subject) { s.Assembly.Makeup, s.Assembly.Unit = nil, nil }
	unread := func(s *audit.Subject) {
		unitless(s)
		s.Assembly.Faulty = s.Assembly.Faulty.With(audit.CellRating)
	}
	const implausible = "not assessed: a fitting is rated at more than five times what the strings are together, or where that is not known more than the strongest units, which is likely another unit of measure"
	const notAsked, faulty = "not assessed: no rating of fittings stated", "not assessed: a field it needs is faulty, see Faults"
	judge(t, "fitting-strength", []judgement{
		{"none stated", fitted(ratings(0, 0, 0)), notAsked, ""},
		{"clamp at what it needs", fitted(ratings(70.05, 0, 0)), "meets 70.05/70.05", ""},
		{"clamp below it", fitted(ratings(70, 0, 0)), "shortfall 70/70.05", "The clamp of 9 × disc is rated 70 kN; high wind puts 28.0 kN on it, that of one subconductor, which needs 70.05 kN (factor 2.5, own rule)."},
		// 73.115 kN at the upper end of the span, 58 kN of tension: 182.79 and 145 kN.
		{"no less than by the tension alone, where a structure may be missing", fitted(ratings(150, 0, 0), rising(func(s *audit.Subject) { s.Structure.MayMiss = true })), "advisory 150/182.79: a structure may be missing beside it, see Faults", "(factor 2.5, own rule); a structure may be missing beside it, see Faults."},
		{"less than by the tension alone", fitted(ratings(140, 0, 0), rising(func(s *audit.Subject) { s.Structure.MayMiss = true })), "shortfall 140/182.79", "(factor 2.5, own rule)."},
		{"clamps of a bundle bear one subconductor each", fitted(ratings(70.05, 0, 0), twin), "meets 70.05/70.05", ""},
		{"the yoke bears the phase", fitted(ratings(0, 140, 0), twin), "shortfall 140/140.1", "yoke of 9 × disc is rated 140 kN; high wind puts 56.0 kN on it, that of the phase"},
		{"whatever the number of strings", fitted(ratings(0, 140, 0), twin, double), "shortfall 140/140.1", ""},
		{"ball and socket bear a string", fitted(ratings(0, 0, 70), twin, double), "shortfall 70/70.05", "ball and socket of 2 strings of 9 × disc is rated 70 kN; high wind puts 28.0 kN on it, that of one string"},
		{"strings share unequally", fitted(ratings(0, 0, 70.05), twin, double, func(s *audit.Subject) { s.Criteria.UnequalSharing = audit.Stated(1.1) }), "shortfall 70.05/77.055", ""},
		{"load factor of the case", fitted(ratings(0, 140, 0), func(s *audit.Subject) { s.Criteria.LoadCases[0].Factor = 2 }), "shortfall 140/140.1", ""},
		{"the weakest of the chain", fitted(ratings(80, 100, 72), double), "meets 80/70.05", ""},
		{"the weakest of the chain, by its share", fitted(ratings(69, 60, 34), double), "shortfall 60/70.05", "The yoke"},
		{"of the line where the row states none", fitted(ratings(80, 0, 0), ofLine(ratings(20, 69, 0))), "shortfall 69/70.05", "rated 69 kN by its line"},
		{"five times what the strings are rated", fitted(ratings(700, 0, 0), double, rated(70)), "meets 700/70.05", ""},
		{"more than that, likely of another unit", fitted(ratings(701, 0, 0), double, rated(70)), implausible, ""},
		{"of the line too", fitted(ratings(0, 0, 0), rated(70), ofLine(ratings(0, 0, 4500))), implausible, ""},
		{"strings of unknown rating, as strong as the strongest units", fitted(ratings(530, 0, 0), unitless, double), "meets 530/70.05", ""},
		{"stronger, likely of another unit", fitted(ratings(531, 0, 0), unitless, double), implausible, ""},
		{"a yoke carries two of them", fitted(ratings(0, 1060, 0), unitless, double), "meets 1060/70.05", ""},
		{"a yoke, more", fitted(ratings(0, 1061, 0), unitless, double), implausible, ""},
		{"strings whose rating cannot be read, five times the weakest units", fitted(ratings(0, 0, 200), unread), "meets 200/70.05", ""},
		{"more than they may bear", fitted(ratings(0, 0, 201), unread), faulty, ""},
		{"beside one that is too weak", fitted(ratings(69, 4500, 0), rated(70)), "shortfall 69/70.05", "needs at least 70.05 kN"},
		{"a rating that cannot be read", fitted(ratings(80, 0, 0), unreadable), faulty, ""},
		{"a rating that cannot be read, beside one that is too weak", fitted(ratings(69, 0, 0), unreadable), "shortfall 69/70.05", "needs at least 70.05 kN"},
		{"is none of the line's", fitted(ratings(0, 0, 0), unreadable, ofLine(ratings(90, 90, 90))), faulty, ""},
		{"one of the line that cannot be read", fitted(ratings(80, 0, 0), unreadOfLine(audit.Yoke)), faulty, ""},
		{"one of the line that cannot be read, where the row states its own", fitted(ratings(80, 0, 0), unreadOfLine(audit.Clamp)), "meets 80/70.05", ""},
		{"no factor for fittings, and that of insulators never stands in", fitted(ratings(10, 0, 0), func(s *audit.Subject) { s.Criteria.InsulatorFactor.Fitting, s.Criteria.InsulatorFactor.Tension = 0, 2 }),
			"not assessed: no insulator factor for fittings in the criteria", ""},
		{"unit not stated, which it does not ask", fitted(ratings(70, 0, 0), unitless), "shortfall 70/70.05", "unit not known"},
		{"a factor at terminals", fitted(ratings(0, 80, 0), exact(audit.ExactFactor{For: []audit.FactorOf{audit.FittingFactor}, At: audit.AtTerminal, Factor: 3})), "shortfall 80/84.06", "factor 3, own study at a terminal"},
		{"a factor by crossings that nobody gives", fitted(ratings(0, 80, 0), exact(audit.ExactFactor{For: []audit.FactorOf{audit.FittingFactor}, Crossings: []string{"railway"}, Factor: 3}), func(s *audit.Subject) { s.CrossingsGiven = false }),
			"not assessed: no crossings given, by which insulator factors go that would not judge alike", ""},
		{"and it meets by each", fitted(ratings(0, 90, 0), exact(audit.ExactFactor{For: []audit.FactorOf{audit.FittingFactor}, Crossings: []string{"railway"}, Factor: 3}), func(s *audit.Subject) { s.CrossingsGiven = false }),
			"meets 90/84.06", ""},
		{"slack span", fitted(ratings(1, 1, 1), func(s *audit.Subject) { s.Structure.SlackBack = true }), "not assessed: a slack span to a gantry has a tension of its own, which is not stated", ""},
		{"jumper", fitted(ratings(1, 1, 1), duty(audit.Jumper), func(s *audit.Subject) { s.Structure.Role = audit.Angle }), passesJumper, ""},
		{"post", fitted(ratings(1, 1, 1), duty(audit.Post)), "not applicable: pins, posts and shackles have no fittings of a string", ""},
	})
	judge(t, "fitting-strength-one-string-broken", []judgement{
		{"what is left bears all", fitted(ratings(0, 0, 42.03), double), "meets 42.03/42.03", ""},
		{"below it", fitted(ratings(0, 0, 42), double), "shortfall 42/42.03", "that of each string that is left"},
		{"clamp and yoke bear no more than before", fitted(ratings(1, 1, 42.03), double), "meets 42.03/42.03", ""},
		{"clamp and yoke alone", fitted(ratings(1, 1, 0), double), notAsked, ""},
		{"single", fitted(ratings(0, 0, 1), func(s *audit.Subject) { s.Assembly.Strings, s.Assembly.Arrangement = 1, audit.Single }), "not applicable: no parallel strings", ""},
	})
}

// The loads of TestLoadsOnStrings: 2448.18 N across and 4789.5 N down, 5378.93 N together.
func TestFittingsOfSuspensionStrings(t *testing.T) {
	suspension := func(r audit.Ratings, more ...func(*audit.Subject)) func(*audit.Subject) {
		return func(s *audit.Subject) {
			_, level := example(t, "swing")
			structure := *level.Structure
			structure.DeviationDeg = 0
			s.Structure, s.Line.Row.MaximumTensionKN, s.Assembly.Duty, s.Assembly.Side = &structure, 28.02, audit.Suspension, audit.NoSide
			s.Assembly.Strings, s.Assembly.Arrangement, s.Assembly.Unit.WeightKg = 1, audit.Single, math.NaN()
			s.Assembly.Direct.FittingsKN = r
			for _, m := range more {
				m(s)
			}
		}
	}
	heavy := func(s *audit.Subject) { s.Assembly.Unit.WeightKg, s.Assembly.UnitsPerString = 5, 9 } // 441.3 N
	double := func(s *audit.Subject) { s.Assembly.Strings, s.Assembly.Arrangement = 2, audit.Parallel }
	judge(t, "fitting-strength", []judgement{
		{"clamp", suspension(ratings(13, 0, 0)), "shortfall 13/13.447", ""},
		{"clamp of two subconductors", suspension(ratings(13, 0, 0), func(s *audit.Subject) { s.Line.Row.Subconductors = 2 }), "shortfall 13/13.447", ""},
		{"yoke of two subconductors", suspension(ratings(0, 26, 0), func(s *audit.Subject) { s.Line.Row.Subconductors = 2 }), "shortfall 26/26.895", ""},
		{"the clamp does not bear the string", suspension(ratings(13.5, 0, 0), heavy), "meets 13.5/13.447", ""},
		// √(2448.18² + (4789.5 + 2·441.299)²) = 6177.88 N (computed)
		{"the yoke bears both strings", suspension(ratings(0, 15, 0), heavy, double), "shortfall 15/15.445", "6.2 kN"},
		// √(1224.09² + (2394.75 + 441.299)²) = 3088.94 N
		{"ball and socket bear their string", suspension(ratings(0, 0, 7), heavy, double), "shortfall 7/7.7224", ""},
		// a leg at 45°: 5.1178 kN, and the yoke bears the resultant
		{"V legs under wind", suspension(ratings(0, 0, 12), func(s *audit.Subject) {
			s.Assembly.Strings, s.Assembly.Arrangement, s.Assembly.VAngleDeg = 2, audit.VSet, 90
		}), "shortfall 12/12.795", ""},
		{"yoke of a V", suspension(ratings(0, 13, 0), func(s *audit.Subject) {
			s.Assembly.Strings, s.Assembly.Arrangement, s.Assembly.VAngleDeg = 2, audit.VSet, 90
		}), "shortfall 13/13.447", ""},
		{"V without an angle", suspension(ratings(0, 13, 0), func(s *audit.Subject) {
			s.Assembly.Strings, s.Assembly.Arrangement, s.Assembly.VAngleDeg = 2, audit.VSet, math.NaN()
		}), "not assessed: angle of the V set not stated", ""},
	})
}

// The derivation names the weakest of the chain, and what each of the others needs of its rating.
func TestDerivationOfFittings(t *testing.T) {
	check := checks.ByID("fitting-strength")
	_, s := example(t, "fitting-strength")
	var trace audit.Trace
	v := check.Run(s, &trace)
	require.Contains(t, v.Sentence, "The ball and socket of")
	shares := map[string]float64{}
	for _, step := range trace.Steps {
		if step.Role == audit.Observed {
			require.Equal(t, "rating of the ball and socket, the weakest of the chain", step.Meaning)
		}
		shares[step.Symbol] = step.Result.Number
	}
	require.InDelta(t, 162.5/170, shares["U_Y"], 1e-12)
	require.InDelta(t, 162.5/120, shares["U_B"], 1e-12)
	require.NotContains(t, shares, "U_C")
}

// Beside a broken conductor too: a clamp of 40 kN bears 19.75 kN, yoke and ball and socket of 80 and 70 kN bear 39.49 kN, each by 1.8 (computed).
func TestDerivationOfFittingsBesideABrokenConductor(t *testing.T) {
	check, s := example(t, "fitting-broken-conductor")
	var trace audit.Trace
	check.Run(s, &trace)
	shares := map[string]float64{}
	for _, step := range trace.Steps {
		shares[step.Symbol] = step.Result.Number
	}
	require.InDelta(t, 71.087/2/40, shares["U_C"], 1e-4)
	require.InDelta(t, 71.087/80, shares["U_Y"], 1e-4)
	require.InDelta(t, 71.087/70, shares["U_B"], 1e-4)
}

// A verdict on fittings tells which governs, and one on strings that it is of none.
func TestVerdictTellsTheFitting(t *testing.T) {
	for id, rated := range map[string]audit.Ratings{"fitting-strength": ratings(100, 20, 100), "fitting-strength-one-string-broken": ratings(0, 0, 20), "fitting-broken-conductor": ratings(0, 20, 0)} {
		check, s := example(t, id)
		s.Assembly.Direct.FittingsKN, s.Line.Row.FittingsKN = rated, audit.UnknownRatings()
		v := check.Run(s, nil)
		require.Equal(t, audit.FallsShort, v.Outcome, id)
		f, is := v.Fitting()
		require.True(t, is, id)
		require.Equal(t, 20.0, rated[f], id)
	}
	check, s := example(t, "strength")
	v := check.Run(s, nil)
	_, is := v.Fitting()
	require.False(t, is)
}
