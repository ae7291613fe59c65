package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// standing is how the example of a check stands by the errors of its inputs, changed a little; no zones are about.
func standing(t *testing.T, check string, change func(s *audit.Subject)) (audit.Standing, audit.Verdict) {
	c, s := example(t, check)
	criteria := *s.Criteria
	s.Criteria = &criteria
	change(&s)
	v := c.Run(s, nil)
	return audit.NewUncertainty(&audit.Network{Project: &audit.Project{}}).Standing(c, &s, &v), v
}

// TestStandingOfADeviation: 5 m on spans of 300 m make 2.34° (computed: σ = 5·√(1/300² + 1/300² + (2/300)²) rad), against a limit of 2°.
func TestStandingOfADeviation(t *testing.T) {
	sigma := 5 * math.Sqrt(6) / 300 * 180 / math.Pi // 2.3391
	for _, c := range []struct{ deviation, errors float64 }{
		{2, 0}, {2.01, -0.01 / sigma}, {1.99, 0.01 / sigma}, {6.6, -4.6 / sigma}, {-6.6, -4.6 / sigma}, {0, 2 / sigma}, {15, -13 / sigma},
	} {
		s, v := standing(t, "tension-at-deviation", func(s *audit.Subject) {
			s.Criteria.PositionAccuracyM = audit.Stated(5)
			s.Structure.DeviationDeg, s.Structure.SpanBackM, s.Structure.SpanAheadM = c.deviation, 300, 300
		})
		require.InDelta(t, c.errors, s.Errors, 1e-4, "%g", c.deviation)
		require.InDelta(t, sigma, s.Sigmas[audit.OfPositions], 1e-4, "%g", c.deviation)
		require.Equal(t, c.errors < 0, v.Outcome == audit.FallsShort)
	}
}

// TestStandingOfAPull: a string of 120 kN with a factor of 2 bears 60 kN; of T one standard error is 5 %, so that the distance is (120 − 2·T)/(0.1·T)
// (computed).
func TestStandingOfAPull(t *testing.T) {
	for _, c := range []struct{ tensionKN, errors float64 }{{60, 0}, {65, -10 / 6.5}, {55, 10 / 5.5}, {60.06, -0.12 / 6.006}, {59.94, 0.12 / 5.994},
		{54.54, 10.92 / 5.454}, {54.56, 10.88 / 5.456}, {66.66, -13.32 / 6.666}, {66.67, -13.34 / 6.667}} {
		s, v := standing(t, "strength", func(s *audit.Subject) {
			s.Criteria.TensionAccuracyPercent, s.Line.Row.MaximumTensionKN = audit.Stated(5), c.tensionKN
		})
		require.InDelta(t, c.errors, s.Errors, 1e-9, "%g", c.tensionKN)
		require.Equal(t, math.Abs(c.errors) < 2, v.Reason == audit.OutcomeWithinErrors)
		require.Equal(t, audit.Shortfall, v.Severity, "a remark weighs nothing")
		require.True(t, s.Unstated[audit.OfPositions])
		require.False(t, s.Unstated[audit.OfTensions])
	}
	s, _ := standing(t, "strength", func(*audit.Subject) {})
	require.False(t, s.Moves(), "nobody states an error")
	require.True(t, s.Unstated[audit.OfTensions])
	s, _ = standing(t, "strength", func(s *audit.Subject) { s.Criteria.TensionAccuracyPercent = audit.Stated(0) })
	require.False(t, s.Moves(), "stated to be exact")
	require.False(t, s.Unstated[audit.OfTensions])
}

// TestStandingOfHeights: levels that are stated, as wide as those of a raster with the same error: σ of the weight span is √((e·g1)² + (e·(g1 + g2))² + (e·g2)²).
// An attachment height that is stated too, with the same error, makes it √2 times as wide. It changes no verdict.
func TestStandingOfHeights(t *testing.T) {
	for _, attached := range []bool{false, true} {
		var without audit.Verdict
		for _, metres := range []float64{math.NaN(), 1} {
			s, v := standing(t, "tension-at-uplift", func(s *audit.Subject) {
				if !math.IsNaN(metres) {
					s.Criteria.HeightAccuracyM = audit.Stated(metres)
				}
				s.Line.AttachmentsStated = attached
				st := s.Structure
				st.SpanBackM, st.SpanAheadM, st.HeightBackM, st.HeightM, st.HeightAheadM = 300, 300, 100, 98, 101
				cold, reason := s.Cold()
				require.Equal(t, audit.NoReason, reason)
				st.WeightSpanColdM = cold.WeightSpanM
			})
			if math.IsNaN(metres) {
				require.False(t, s.Moves())
				without = v
				continue
			}
			require.Equal(t, [...]any{without.Outcome, without.Severity, without.Observed}, [...]any{v.Outcome, v.Severity, v.Observed})
			_, subject := example(t, "tension-at-uplift")
			st := *subject.Structure
			st.SpanBackM, st.SpanAheadM, st.HeightBackM, st.HeightM, st.HeightAheadM = 300, 300, 100, 98, 101
			subject.Structure = &st
			cold, _ := subject.Cold()
			back, ahead := st.LowPointSlopes(cold.ConstantM)
			sigma := basis.WeightSpanSigma(1, 1, 1, back, ahead)
			if attached {
				sigma *= math.Sqrt2
			}
			require.InEpsilon(t, sigma, s.Sigmas[audit.OfStatedHeights], 1e-3)
			require.InEpsilon(t, v.Observed.Number/sigma, s.Errors, 1e-3)
		}
	}
}

// TestStandingOfPartsOfSoundUnits: nine discs, one of them defective, at Um 145 kV and 650 kV: a verdict of creepage, lightning and wet withstand. Each has its own
// standard error: of lightning σ = 650·K_a·20/8150 kV (computed), of wet withstand 275 in place of 650. What meets is as near as the nearest part, which
// is not the one that it is told by, and what falls short as far as the farthest.
func TestStandingOfPartsOfSoundUnits(t *testing.T) {
	for _, c := range []struct {
		groundM, wetKV, levelKV, hasKV, errors float64
		part                                   string
		outcome                                audit.Outcome
	}{
		{1950, 400, 650, 730.816, 0.254, "lightning withstand", audit.Meets},
		{1970, 400, 650, 730.816, -0.744, "", audit.FallsShort},
		{1950, math.NaN(), 275, 301.5, -9.88, "", audit.FallsShort},
		{1970, math.NaN(), 275, 301.5, -10.85, "wet withstand", audit.FallsShort},
	} {
		s, v := standing(t, "sound-units", func(s *audit.Subject) {
			_, *s = example(t, "lightning-withstand")
			criteria := *s.Criteria
			s.Criteria = &criteria
			s.Line.HighestKV, s.Line.Row.NominalKV, s.Line.Row.LightningKV, s.Line.WetKV, s.Line.PhaseToEarthKV = 145, 132, 650, 275, basis.PhaseToEarth(145)
			s.Criteria.HeightAccuracyM, s.Criteria.AltitudeBasis = audit.Stated(20), basis.Rated1000
			s.Structure.GroundM, s.Structure.Class, s.Structure.SpecificCreepage = c.groundM, basis.ClassB, s.Criteria.SpecificCreepage(basis.ClassB)
			s.Assembly.UnitsPerString, s.Assembly.Defective, s.Assembly.Direct.WetKV = 9, 1, c.wetKV
			s.Assembly.SetMakeup(s.Assembly.Makeup, []basis.Unit{*s.Assembly.Unit})
		})
		require.Equal(t, c.outcome, v.Outcome, "%+v", c)
		sigma := c.levelKV * math.Exp((c.groundM-1000)/8150) * 20 / 8150
		require.InEpsilon(t, sigma, s.Sigmas[audit.OfStatedHeights], 2e-3, "%+v", c)
		require.InEpsilon(t, c.errors, s.Errors, 5e-3, "%+v", c)
		require.InDelta(t, c.hasKV, s.Observed.Number, 0.01)
		require.Equal(t, c.part, s.Part)
		require.Equal(t, math.Abs(c.errors) < 2, v.Reason == audit.OutcomeWithinErrors, "%+v", c)
	}
}

// TestStandingOfTheCaseBehind: of a V set the case without wind governs, which nothing moves; the one behind it is as near as it would be alone.
func TestStandingOfTheCaseBehind(t *testing.T) {
	hang := func(cases ...audit.LoadCase) (audit.Standing, audit.Verdict) {
		return standing(t, "v-set-clearance", func(s *audit.Subject) {
			s.Criteria.LoadCases, s.Criteria.TensionAccuracyPercent, s.Criteria.HeightAccuracyM = cases, audit.Stated(5), audit.Stated(1)
			s.Structure.Room.ClearanceMM = 1150
			for i := range cases {
				s.Structure.Room.ClearancesMM = append(s.Structure.Room.ClearancesMM, audit.CaseFigure{Case: cases[i].Name, Value: []float64{1150, 1399}[i]})
			}
		})
	}
	wind := audit.LoadCase{Name: "high wind", WindPa: 290, From: audit.MaximumTension, Factor: 1}
	alone, _ := hang(wind)
	require.Less(t, alone.Errors, 2.0)
	require.Empty(t, alone.Part)
	both, v := hang(wind, audit.LoadCase{Name: "still air", From: audit.MaximumTension, Factor: 1})
	require.Equal(t, 1399.0, v.Required.Number, "still air governs")
	require.Equal(t, audit.OutcomeWithinErrors, v.Reason)
	require.Equal(t, alone.Errors, both.Errors)
	require.Equal(t, alone.Sigmas, both.Sigmas)
	require.Equal(t, "high wind, wall", both.Part)
}

// TestStandingIsTowardsTheLimit: a string that lifts swings far beyond its limit by the wind; a metre more of a level turns it up altogether in still air, which
// tells nothing of how near that limit is. Two standard errors towards it do not bring it there, as judging again tells.
func TestStandingIsTowardsTheLimit(t *testing.T) {
	levels := func(metres float64) func(s *audit.Subject) {
		return func(s *audit.Subject) {
			st := s.Structure
			st.DeviationDeg, st.HeightBackM, st.HeightM, st.HeightAheadM = 0, 100, 75+metres, 100
			s.Criteria.HeightAccuracyM = audit.Stated(1)
			s.Criteria.LoadCases = append(s.Criteria.LoadCases[:1:1], audit.LoadCase{Name: "still air", From: audit.MaximumTension, Factor: 1})
		}
	}
	s, v := standing(t, "swing", levels(0))
	require.Equal(t, audit.FallsShort, v.Outcome)
	_, away := standing(t, "swing", levels(-4))
	require.Equal(t, 180.0, away.Observed.Number)
	_, atTwo := standing(t, "swing", levels(2))
	require.Equal(t, audit.FallsShort, atTwo.Outcome)
	require.Less(t, s.Errors, -2.0)
	require.Equal(t, audit.NoReason, v.Reason)
}

// TestStandingBesideWhatIsNotAssessed: 120 kN beside a factor of 2, or of 2.2 for what was installed before 1985, which is not known: with a tension that is more by its
// standard error nothing is judged, so that what is less of it tells how near that is.
func TestStandingBesideWhatIsNotAssessed(t *testing.T) {
	s, v := standing(t, "strength", func(s *audit.Subject) {
		s.Criteria.InsulatorFactor.By = []audit.ExactFactor{{For: []audit.FactorOf{audit.TensionFactor}, InstalledBefore: 1985, Factor: 2.2, Basis: "own rule"}}
		s.Criteria.TensionAccuracyPercent, s.Line.Row.MaximumTensionKN = audit.Stated(5), 53
	})
	require.Equal(t, audit.Meets, v.Outcome)
	require.InEpsilon(t, (120-2.2*53)/(2.2*53*0.05), s.Errors, 1e-9)
	require.Equal(t, audit.OutcomeWithinErrors, v.Reason)
}
