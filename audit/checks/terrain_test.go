package checks

import (
	"math"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// TestUpliftWithinTerrainAccuracy: spans of 300 m and C = 3000 m make g close to 10 each way (computed: 300 m of C over L), so that an error of
// 1 m here alone makes σ = 20 m, and of all three √(10² + 20² + 10²) = 24.5 m; the weight span is −49.6 m with attachments at 120, 100, 115.
func TestUpliftWithinTerrainAccuracy(t *testing.T) {
	for _, c := range []struct {
		name              string
		accuracyM         float64
		back, here, ahead bool
		heightM           float64
		outcome           audit.Outcome
		severity          audit.Severity
		reason            audit.Reason
	}{
		{"levels stated", 2, false, false, false, 100, audit.FallsShort, audit.Shortfall, audit.NoReason},
		{"accuracy not stated", math.NaN(), true, true, true, 100, audit.FallsShort, audit.Shortfall, audit.NoReason},
		{"beyond two standard errors", 1, true, true, true, 100, audit.FallsShort, audit.Shortfall, audit.NoReason},                // 2σ = 48.9 < 49.6
		{"within two standard errors", 1.05, true, true, true, 100, audit.FallsShort, audit.Advisory, audit.WithinTerrainAccuracy}, // 51.4
		{"of a neighbour alone", 2, true, false, false, 100, audit.FallsShort, audit.Shortfall, audit.NoReason},                    // 40
		{"of a neighbour, coarse", 2.6, false, false, true, 100, audit.FallsShort, audit.Advisory, audit.WithinTerrainAccuracy},    // 52
		{"meets within", 1.05, true, true, true, 104, audit.Meets, audit.Shortfall, audit.WithinTerrainAccuracy},                   // W = 30
	} {
		t.Run(c.name, func(t *testing.T) {
			s := tensionAtUplift.Method.Example.Subject()
			st := s.Structure
			st.HeightM = c.heightM
			cold, reason := s.Cold()
			require.Equal(t, audit.NoReason, reason)
			st.WeightSpanColdM = cold.WeightSpanM
			st.TerrainBack, st.TerrainAhead = c.back, c.ahead
			if c.here {
				st.Terrain = 1
			}
			if !math.IsNaN(c.accuracyM) {
				criteria := *s.Criteria
				criteria.TerrainAccuracyM = audit.Stated(c.accuracyM)
				s.Criteria = &criteria
			}
			var trace audit.Trace
			v := tensionAtUplift.Judge(&s, &trace)
			require.Equal(t, c.outcome, v.Outcome)
			if c.outcome == audit.FallsShort {
				require.Equal(t, c.severity, v.Severity)
			}
			if c.reason != audit.NoReason {
				require.Equal(t, c.reason, v.Reason)
			} else {
				require.NotEqual(t, audit.WithinTerrainAccuracy, v.Reason)
			}
		})
	}
}

// TestOutcomeWithinTerrainAccuracy: a string that swings by atan(H/V) at a weight span from rasters. At the limits below one more or less of σ
// decides; the outcome at shifted weight spans is that of the check itself where the weight span is set so.
func TestOutcomeWithinTerrainAccuracy(t *testing.T) {
	for _, c := range []struct {
		name      string
		accuracyM float64
		raster    bool
		limitDeg  float64
		outcome   audit.Outcome
		severity  audit.Severity
		within    bool
	}{
		{"levels stated", 2, false, 34, audit.Meets, audit.Shortfall, false},
		{"accuracy not stated", math.NaN(), true, 34, audit.Meets, audit.Shortfall, false},
		{"meets whatever they are", 0.01, true, 45, audit.Meets, audit.Shortfall, false},
		{"meets by a little", 2, true, 34, audit.Meets, audit.Shortfall, true},
		{"falls short by a little", 2, true, 33.5, audit.FallsShort, audit.Advisory, true},
		{"falls short whatever they are", 0.01, true, 20, audit.FallsShort, audit.Shortfall, false},
		{"falls short, levels stated", 2, false, 33.5, audit.FallsShort, audit.Shortfall, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := swing.Method.Example.Subject() // 33.95°
			s.Line.Row.SwingLimitDeg = c.limitDeg
			if c.raster {
				s.Structure.TerrainBack, s.Structure.Terrain, s.Structure.TerrainAhead = true, 1, true
			}
			criteria := *s.Criteria
			if !math.IsNaN(c.accuracyM) {
				criteria.TerrainAccuracyM = audit.Stated(c.accuracyM)
			}
			s.Criteria = &criteria
			v := swing.Judge(&s, nil)
			require.Equal(t, c.outcome, v.Outcome)
			require.Equal(t, c.within, v.Reason == audit.OutcomeWithinTerrainAccuracy)
			if c.outcome == audit.FallsShort {
				require.Equal(t, c.severity, max(v.Severity, swing.Severity))
				require.Equal(t, c.within, strings.HasSuffix(v.Sentence, "; within the accuracy of ground levels from rasters."), v.Sentence)
			}
		})
	}
}

// TestOffLevels: two standard errors of spans of 300 m with C of about 1750 m and levels known to 1 m each, √(g² + (2g)² + g²) of g = C/L on flat
// ground (computed).
func TestOffLevels(t *testing.T) {
	s := swing.Method.Example.Subject()
	s.Structure.TerrainBack, s.Structure.Terrain, s.Structure.TerrainAhead = true, 1, true
	criteria := *s.Criteria
	criteria.TerrainAccuracyM = audit.Stated(1.0)
	s.Criteria = &criteria
	off := s.OffLevels(-2)
	is, reason := s.Load(&criteria.LoadCases[0])
	require.Equal(t, audit.NoReason, reason)
	shifted, reason := off.Load(&criteria.LoadCases[0])
	require.Equal(t, audit.NoReason, reason)
	require.InDelta(t, is.WeightSpanM-2*math.Sqrt(6)*is.ConstantM/300, shifted.WeightSpanM, 0.1)
	require.Less(t, shifted.VerticalN, is.VerticalN)
}

// TestChecksWithinTerrainAccuracy: of the other checks that weight spans decide, what hangs is judged with the accuracy of its levels, and a
// tension string, which the weight span does not load, is not.
func TestChecksWithinTerrainAccuracy(t *testing.T) {
	suspended := swing.Method.Example.Subject()
	pull, reason := suspended.WorstPull(0)
	require.Equal(t, audit.NoReason, reason)
	for _, c := range []struct {
		name    string
		check   *audit.Check
		subject audit.Subject
		rateKN  float64 // in place of the unit's, 0 to leave it
		outcome audit.Outcome
		within  bool
	}{
		{"slack leg", &slackLeg, slackLeg.Method.Example.Subject(), 0, audit.FallsShort, true},
		{"tension string", &strength, strength.Method.Example.Subject(), 0, audit.FallsShort, false},
		{"string just strong enough", &strength, suspended, pull.Required * 1.001, audit.Meets, true},
		{"string just too weak", &strength, suspended, pull.Required * 0.99, audit.FallsShort, true},
		{"string far stronger", &strength, suspended, pull.Required * 10, audit.Meets, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := c.subject
			s.Structure.TerrainBack, s.Structure.Terrain, s.Structure.TerrainAhead = true, 1, true
			criteria := *s.Criteria
			criteria.TerrainAccuracyM = audit.Stated(5.0)
			s.Criteria = &criteria
			if c.rateKN > 0 {
				assembly := *s.Assembly
				assembly.Direct.RatingKN = c.rateKN
				s.Assembly = &assembly
			}
			v := c.check.Judge(&s, nil)
			require.Equal(t, c.outcome, v.Outcome)
			require.Equal(t, c.within, v.Reason == audit.OutcomeWithinTerrainAccuracy)
			if c.within && c.outcome == audit.FallsShort {
				require.Equal(t, audit.Advisory, v.Severity)
			}
		})
	}
}

// TestLevelsWithinTerrainAccuracy: every check that rests on a level or a rise says where two standard errors of it decide. The rise of 400 m
// known to √2·5 m asks for 144.50 to 147.99 kN, 146.23 between (computed).
func TestLevelsWithinTerrainAccuracy(t *testing.T) {
	steep := func(strings int, ratingKN float64) audit.Subject {
		s := strength.Method.Example.Subject()
		conductor, structure, assembly := *s.Line.Conductor, *s.Structure, *s.Assembly
		conductor.MassKgPerM = 15.97 / basis.Gravity
		s.Line.Conductor, s.Structure, s.Assembly, s.Line.GroundStated, s.Line.Row.MaximumTensionKN = &conductor, &structure, &assembly, true, 58
		structure.SpanBackM, structure.SpanAheadM, structure.HeightBackM, structure.HeightM, structure.HeightAheadM = 600, math.NaN(), 0, 400, math.NaN()
		assembly.Strings, assembly.Direct.RatingKN = strings, ratingKN
		if strings > 1 {
			assembly.Arrangement = audit.Parallel
		}
		return s
	}
	discsOn := func(criteria func(*audit.Criteria), units int, groundM float64) audit.Subject {
		s := discsAt(145, 650, units, groundM)
		criteria(s.Criteria)
		return s
	}
	seaLevel := func(c *audit.Criteria) { c.AltitudeBasis, c.AltitudeBasisStated = basis.SeaLevel, true }
	creeping := func(groundM float64) audit.Subject {
		s := stringIn(basis.ClassE, 245, 15, 525, 0) // 7875 mm for 7595.9 at sea level: enough up to 8150/0.5·ln(1.03674) = 588 m
		s.Structure.GroundM = groundM
		s.Criteria.CreepageAltitudeExponent = audit.Stated(0.5)
		return s
	}
	for _, c := range []struct {
		name      string
		check     *audit.Check
		subject   audit.Subject
		accuracyM float64
		outcome   audit.Outcome
		within    bool
	}{
		{"tension string, strong enough", &strength, steep(1, 149), 5, audit.Meets, false},
		{"tension string, just strong enough", &strength, steep(1, 147), 5, audit.Meets, true},
		{"tension string, just too weak", &strength, steep(1, 145), 5, audit.FallsShort, true},
		{"tension string, too weak", &strength, steep(1, 143), 5, audit.FallsShort, false},
		{"tension string, levels better known", &strength, steep(1, 147), 1, audit.Meets, false},
		{"one of two broken, just strong enough", &strengthOneStringBroken, steep(2, 110), 5, audit.Meets, true}, // 108.38 to 110.99, 109.67 between (computed)
		{"one of two broken, just too weak", &strengthOneStringBroken, steep(2, 109), 5, audit.FallsShort, true},
		{"lightning, just enough", &lightningWithstand, discsOn(seaLevel, 9, 1800), 30, audit.Meets, true}, // 812.55 kV are enough up to 8150·ln(812.55/650) = 1819.1 m
		{"lightning, enough", &lightningWithstand, discsOn(seaLevel, 9, 1758), 30, audit.Meets, false},
		{"lightning, just too little", &lightningWithstand, discsOn(seaLevel, 9, 1830), 30, audit.FallsShort, true},
		{"lightning, too little", &lightningWithstand, discsOn(seaLevel, 9, 1880), 30, audit.FallsShort, false},
		{"creepage, just enough", &creepage, creeping(570), 30, audit.Meets, true},
		{"creepage, enough", &creepage, creeping(520), 30, audit.Meets, false},
		{"creepage, just too little", &creepage, creeping(600), 30, audit.FallsShort, true},
		{"creepage, too little", &creepage, creeping(660), 30, audit.FallsShort, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := c.subject
			s.Structure.TerrainBack, s.Structure.Terrain, s.Structure.TerrainAhead = true, 1, true
			s.Criteria.TerrainAccuracyM = audit.Stated(c.accuracyM)
			v := c.check.Judge(&s, nil)
			require.Equal(t, c.outcome, v.Outcome)
			require.Equal(t, c.within, v.Reason == audit.OutcomeWithinTerrainAccuracy)
			if c.outcome == audit.FallsShort {
				require.Equal(t, c.within, max(v.Severity, c.check.Severity) == audit.Advisory, "%v", v.Sentence)
			}
			s.Structure.TerrainBack, s.Structure.Terrain, s.Structure.TerrainAhead = false, 0, false
			require.NotEqual(t, audit.OutcomeWithinTerrainAccuracy, c.check.Judge(&s, nil).Reason, "levels stated")
		})
	}
}

// TestLevelsAreTakenForOneDatum: what meets by the rise of a span between levels of which nobody says that they are above one datum says so.
func TestLevelsAreTakenForOneDatum(t *testing.T) {
	for name, c := range map[string]struct {
		check *audit.Check
		side  audit.Side
		back  bool
		taken bool
	}{
		"uplift":               {&tensionAtUplift, audit.NoSide, true, true},
		"strength":             {&strength, audit.Back, true, true},
		"strength, other side": {&strength, audit.Ahead, true, false},
		"strength, one datum":  {&strength, audit.Back, false, false},
	} {
		t.Run(name, func(t *testing.T) {
			s := c.check.Method.Example.Subject()
			s.Structure.DatumTakenBack = c.back
			if s.Assembly.Duty == audit.Tension {
				s.Assembly.Side = c.side
			}
			v := c.check.Judge(&s, nil)
			require.Equal(t, audit.FallsShort, v.Outcome)
			require.Equal(t, c.taken, strings.HasSuffix(v.Sentence, "; ground levels are taken to be above one vertical datum, which nobody states of all."), v.Sentence)
		})
	}
}

// TestLevelsByZeroAreTold: what rests on a rise to a level by a sample of exactly 0 says so, of its own level and of those beside it.
func TestLevelsByZeroAreTold(t *testing.T) {
	const says = "a ground level is by a sample of exactly 0 m, which may stand for none"
	for name, c := range map[string]struct {
		check  *audit.Check
		side   audit.Side
		byZero [3]bool
		told   bool
	}{
		"uplift, ahead":                   {&tensionAtUplift, audit.NoSide, [3]bool{false, false, true}, true},
		"uplift, here":                    {&tensionAtUplift, audit.NoSide, [3]bool{false, true, false}, true},
		"uplift, none":                    {&tensionAtUplift, audit.NoSide, [3]bool{}, false},
		"swing, behind":                   {&swing, audit.NoSide, [3]bool{true, false, false}, true},
		"tension assembly, behind":        {&strength, audit.Back, [3]bool{true, false, false}, true},
		"tension assembly, on other side": {&strength, audit.Back, [3]bool{false, false, true}, false},
	} {
		t.Run(name, func(t *testing.T) {
			s := c.check.Method.Example.Subject()
			s.Structure.ByZero = c.byZero
			if s.Assembly.Duty == audit.Tension {
				s.Assembly.Side = c.side
			}
			v := c.check.Judge(&s, nil)
			require.Equal(t, audit.FallsShort, v.Outcome)
			require.Equal(t, c.told, strings.HasSuffix(v.Sentence, "; "+says+"."), v.Sentence)
			require.Equal(t, c.told, strings.HasSuffix(v.Reason.String(), says), v.Reason)
		})
	}
}

// TestOneAccuracyOfTwoIsNone: beside a raster of stated accuracy one of unstated accuracy is not taken as exact: the verdict is as computed, has no σ
// and says so, where the levels that it rests on are of both. What rests on the levels of one of them, or on its own level alone, is judged by these.
func TestOneAccuracyOfTwoIsNone(t *testing.T) {
	const says = "the accuracy of one of its ground levels from rasters is not stated, so that of the verdict is not known"
	for name, c := range map[string]struct {
		check    *audit.Check
		side     audit.Side
		errorsM  [3]float64
		severity audit.Severity
		leftOut  bool
	}{
		"uplift, of both":      {&tensionAtUplift, audit.NoSide, [3]float64{20, 0, 0}, audit.Shortfall, true},
		"uplift, of one":       {&tensionAtUplift, audit.NoSide, [3]float64{20, 20, 20}, audit.Advisory, false},
		"uplift, of neither":   {&tensionAtUplift, audit.NoSide, [3]float64{}, audit.Shortfall, false},
		"strength, behind":     {&strength, audit.Back, [3]float64{20, 0, 20}, audit.Shortfall, true},
		"strength, other side": {&strength, audit.Ahead, [3]float64{0, 1, 1}, audit.Shortfall, false},
	} {
		t.Run(name, func(t *testing.T) {
			s := c.check.Method.Example.Subject()
			st := s.Structure
			st.TerrainBack, st.Terrain, st.TerrainAhead, st.OwnErrorsM = true, 1, true, c.errorsM
			if s.Assembly.Duty == audit.Tension {
				s.Assembly.Side = c.side
			}
			var trace audit.Trace
			v := c.check.Judge(&s, &trace)
			require.Equal(t, audit.FallsShort, v.Outcome)
			require.Equal(t, c.severity, max(v.Severity, c.check.Severity))
			require.Equal(t, c.leftOut, strings.HasSuffix(v.Reason.String(), says), v.Reason)
			require.Equal(t, c.leftOut, strings.HasSuffix(v.Sentence, "; "+says+"."), v.Sentence)
			for _, step := range trace.Steps {
				require.False(t, c.leftOut && step.Symbol == "σ")
			}
		})
	}
}

// TestWhatIsTakenStandsBesideOtherRemarks: what meets with a remark says what is taken of its levels too, and is counted by its remark still.
func TestWhatIsTakenStandsBesideOtherRemarks(t *testing.T) {
	const datum = "ground levels are taken to be above one vertical datum, which nobody states of all"
	for name, c := range map[string]struct {
		accuracyM float64
		says      string
	}{
		"equal heights":            {math.NaN(), "attachment heights not stated, taken as equal above ground; " + datum},
		"within two standard ones": {1.05, "zero is within the accuracy of ground levels from rasters; " + datum}, // as TestUpliftWithinTerrainAccuracy has it
	} {
		t.Run(name, func(t *testing.T) {
			s := tensionAtUplift.Method.Example.Subject()
			st := s.Structure
			st.HeightM, st.TerrainBack, st.Terrain, st.TerrainAhead, st.DatumTakenAhead = 104, true, 1, true, true
			cold, reason := s.Cold()
			require.Equal(t, audit.NoReason, reason)
			st.WeightSpanColdM = cold.WeightSpanM
			if !math.IsNaN(c.accuracyM) {
				criteria := *s.Criteria
				criteria.TerrainAccuracyM = audit.Stated(c.accuracyM)
				s.Criteria = &criteria
			}
			v := tensionAtUplift.Judge(&s, nil)
			require.Equal(t, audit.Meets, v.Outcome)
			require.Equal(t, c.says, v.Reason.String())
		})
	}
}
