package audit

import (
	"math"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// The least number of units is found with few trials: a requirement that grows with the units is leapt to, a leap too far is
// walked back, and where a table begins or ends nothing is made up.
func TestLeastUnits(t *testing.T) {
	linear := func(needs float64) func(n int) Verdict {
		return func(n int) Verdict { return AtLeast(float64(n), needs, "") }
	}
	for name, c := range map[string]struct {
		first  int
		judge  func(n int) Verdict
		n      int
		want   Outcome
		trials int
	}{
		"one will do":                          {1, linear(1), 1, Meets, 1},
		"sixty":                                {1, linear(60), 60, Meets, 3},
		"all there are":                        {1, linear(MostUnitsAsked), MostUnitsAsked, Meets, 3},
		"more than there are":                  {1, linear(MostUnitsAsked + 1), MostUnitsAsked + 1, FallsShort, 1},
		"from what other checks need":          {9, linear(5), 9, Meets, 1},
		"strings gain a little more than that": {1, func(n int) Verdict { return AtLeast(math.Pow(float64(n), 1.1), 20, "") }, 16, Meets, 8},
		"strings gain less than that":          {1, func(n int) Verdict { return AtLeast(math.Sqrt(float64(n)), 3, "") }, 9, Meets, 9},
		"a table from 5 units on": {1, func(n int) Verdict {
			if n < 5 {
				return CannotTell(WithstandUnknown)
			}
			return AtLeast(float64(n), 3, "")
		}, 5, Meets, 6},
		"a table up to 20 units, leapt beyond": {1, func(n int) Verdict {
			if n > 20 {
				return CannotTell(WithstandUnknown)
			}
			return AtLeast(math.Pow(float64(n), 1.1), 24, "")
		}, 18, Meets, 20},
		"a table up to 20 units, too short": {1, func(n int) Verdict {
			if n > 20 {
				return CannotTell(WithstandUnknown)
			}
			return AtLeast(float64(n), 25, "")
		}, 21, FallsShort, 23},
		"never told":       {1, func(int) Verdict { return CannotTell(GroundUnknown) }, mostUnits + 1, NotAssessed, mostUnits},
		"does not concern": {1, func(int) Verdict { return DoesNotApply(IsRangeTwo) }, 1, NotApplicable, 1},
		"the check failed": {1, func(int) Verdict { return CannotTell(CheckFailed) }, 1, NotAssessed, 1},
	} {
		trials := 0
		n, outcome := leastUnits(c.first, func(n int) Verdict { trials++; return c.judge(n) })
		require.Equal(t, c.want, outcome, name)
		require.Equal(t, c.n, n, name)
		require.LessOrEqual(t, trials, c.trials, name)
	}
}

// Requirements are counted in the unit of which a line has most strings, else the first stocked one, else U120B.
func TestReferenceUnit(t *testing.T) {
	for name, c := range map[string]struct {
		rows    []uint32 // makeups
		stocked string
		want    string
		assumed bool
	}{
		"most strings":                 {[]uint32{1, 2, 2}, "", "fog", false},
		"most strings, last":           {[]uint32{2, 2, 1, 1, 1}, "", "disc", false},
		"of equally many the first":    {[]uint32{2, 1}, "", "fog", false},
		"a unit of a mixed string too": {[]uint32{1, 4, 4}, "", "disc", false},
		"no composite":                 {[]uint32{3, 3, 2}, "", "fog", false},
		"stocked, not the composite":   {[]uint32{3}, "fog", "fog", true},
		"none of its own":              {nil, "", "U120B", true},
		"unknown unit":                 {[]uint32{0}, "", "U120B", true},
	} {
		s := newSketch(t)
		s.straight("L", 5)
		for _, unit := range []struct {
			name string
			kind basis.Kind
		}{{"rod", basis.Composite}, {"fog", basis.CapAndPin}, {"U120B", basis.CapAndPin}} {
			u := basis.UnknownUnit()
			u.Name, u.Kind, u.Stocked = unit.name, unit.kind, unit.name == c.stocked || unit.name == "rod"
			s.p.Units = append(s.p.Units, u)
		}
		s.p.Makeups = append(s.p.Makeups, Makeup{Parts: []Part{{Unit: 2}}}, Makeup{Parts: []Part{{Unit: 1}}}, Makeup{Parts: []Part{{Unit: 0, Count: 5}, {Unit: 3, Count: 4}}})
		for i, makeup := range c.rows {
			s.assembly("L", string(rune('1'+i)), "1", "A", Suspension, NoSide).Makeup = makeup
		}
		unit, assumed := s.network().referenceUnit(0)
		require.Equal(t, c.want, unit.Name, name)
		require.Equal(t, c.assumed, assumed, name)
	}
	s := newSketch(t)
	s.straight("L", 2)
	s.p.Units = nil
	s.p.Makeups = []Makeup{{}}
	unit, assumed := s.network().referenceUnit(0)
	require.Nil(t, unit)
	require.True(t, assumed)
}

// loaded is a straight line of five structures on level ground: Panther (0.974 kg/m, 21 mm) at 28 kN under 400 Pa, strings
// that may swing by 40°, a factor of 2.
func loaded(t *testing.T) *sketch {
	s := newSketch(t)
	s.straight("L", 5)
	for i := range s.p.Structures.Len() {
		s.p.Structures.Row(i).GroundM = 100
		s.assembly("L", s.p.Texts.Get(s.p.Structures.At(i).Number), "1", "A", Suspension, NoSide)
	}
	s.p.Conductors = basis.Conductors()
	row := s.line("L")
	row.Conductor, row.MaximumTensionKN, row.SwingLimitDeg, row.NominalKV = s.p.Symbols.Number("Panther"), 28, 40, 132
	s.p.Criteria.LoadCases = []LoadCase{{Name: "wind", WindPa: 400, From: MaximumTension, Factor: 1}}
	s.p.Criteria.InsulatorFactor = InsulatorFactor{Basis: "project", Tension: 2, Suspension: 2, Cantilever: 2, Compression: 2, OneStringBroken: 1.5}
	s.p.Units[0].SpacingMM, s.p.Units[0].WindAreaM2 = 146, 0
	return s
}

// Up to which turn a string bears: tan 40° = (2·T·sin(δ/2) + p·d·L)/(w·L), solved for δ; by its rating R,
// (R/2)² = (2·T·sin(δ/2) + p·d·L)² + (w·L)² (statics, computed).
func TestBearsUpToTheTurnThatStaticsAllow(t *testing.T) {
	turn := func(pullN float64) float64 { return 2 * math.Asin(pullN/(2*28000)) * 180 / math.Pi }
	span := loaded(t).network().Structure(0, 0).SpanAheadM
	wind, weight := 400*0.021*span, 0.974*basis.Gravity*span
	bySwing := turn(weight*math.Tan(40*math.Pi/180) - wind)
	for name, c := range map[string]struct {
		change func(s *sketch)
		want   float64
	}{
		"swing":            {func(*sketch) {}, 0}, // 8.4 N/m of wind against 9.55 N/m of weight swing by 41.3°
		"swing, less wind": {func(s *sketch) { s.p.Criteria.LoadCases[0].WindPa = 100 }, turn(weight*math.Tan(40*math.Pi/180) - wind/4)},
		"half a degree": {func(s *sketch) {
			s.p.Criteria.LoadCases[0].WindPa = (weight*math.Tan(40*math.Pi/180) - 2*28000*math.Sin(0.25*math.Pi/180)) / (0.021 * span)
		}, 0.5},
		"strength governs":  {func(s *sketch) { s.p.Criteria.LoadCases[0].WindPa, s.p.Units[0].RatingKN = 100, 8 }, turn(math.Sqrt(4000*4000-weight*weight) - wind/4)},
		"strength does not": {func(s *sketch) { s.p.Criteria.LoadCases[0].WindPa, s.p.Units[0].RatingKN = 100, 1200 }, turn(weight*math.Tan(40*math.Pi/180) - wind/4)},
		"strength not assessed": {func(s *sketch) {
			s.p.Criteria.LoadCases[0].WindPa, s.p.Units[0].RatingKN, s.p.Criteria.InsulatorFactor.Suspension = 100, 8, 0
		}, math.NaN()},
		"strength not assessed, and no straight run borne": {func(s *sketch) { s.p.Criteria.InsulatorFactor.Suspension = 0 }, 0},
		"rating unknown": {func(s *sketch) { s.p.Criteria.LoadCases[0].WindPa, s.p.Units[0].RatingKN = 100, math.NaN() }, math.NaN()},
		"rating that cannot be read": {func(s *sketch) {
			s.p.Criteria.LoadCases[0].WindPa = 100
			for i := range s.p.Assemblies.Len() {
				s.p.Assemblies.Row(i).Faulty = s.p.Assemblies.Row(i).Faulty.With(CellRating)
			}
		}, math.NaN()},
		"weight of the unit that cannot be read": {func(s *sketch) {
			s.p.Criteria.LoadCases[0].WindPa, s.p.UnitFaults = 100, []Cells{1 << CellWeight}
		}, math.NaN()},
		"the worse of two cases": {func(s *sketch) {
			s.p.Criteria.LoadCases = append(s.p.Criteria.LoadCases, LoadCase{Name: "still", From: MaximumTension, Factor: 1})
		}, 0},
		"wind area of the unit not known": {func(s *sketch) {
			s.p.Criteria.LoadCases[0].WindPa, s.p.Units[0].WindAreaM2 = 100, math.NaN()
		}, math.NaN()},
		"no swing limit": {func(s *sketch) { s.p.Lines[0].SwingLimitDeg = math.NaN() }, math.NaN()},
		"no conductor":   {func(s *sketch) { s.p.Lines[0].Conductor = 0 }, math.NaN()},
		"no load case":   {func(s *sketch) { s.p.Criteria.LoadCases = nil }, math.NaN()},
		"V sets only": {func(s *sketch) {
			for i := range s.p.Assemblies.Len() {
				s.p.Assemblies.Row(i).Arrangement = VSet
			}
		}, math.NaN()},
		"tension only": {func(s *sketch) {
			for i := range s.p.Assemblies.Len() {
				s.p.Assemblies.Row(i).Duty = Tension
			}
		}, math.NaN()},
		"of the usual string, which hangs three times": {func(s *sketch) {
			s.p.Criteria.LoadCases[0].WindPa, s.p.Units[0].RatingKN = 100, 120
			weak := s.p.Units[0]
			weak.RatingKN = 0.1
			s.p.Units = append(s.p.Units, weak)
			s.p.Makeups = append(s.p.Makeups, Makeup{Parts: []Part{{Unit: 1}}})
			s.p.Assemblies.Row(0).Makeup, s.p.Assemblies.Row(1).Makeup = 2, 2
		}, turn(weight*math.Tan(40*math.Pi/180) - wind/4)},
	} {
		s := loaded(t)
		s.p.Units[0].RatingKN = 120
		c.change(s)
		got := s.network().BearsDeg(0)
		require.Equal(t, math.IsNaN(c.want), math.IsNaN(got), name)
		require.InDelta(t, zeroIfNone(c.want), zeroIfNone(got), 1e-6, name)
	}
	require.Less(t, bySwing, 0.0, "at 400 Pa not even a straight run")
}

// A pull that may be larger than what is known of it shows only that a string is too weak.
func TestPullThatIsAtLeastSoMuch(t *testing.T) {
	for name, c := range map[string]struct {
		unsure    Reason
		ratingKN  float64
		ok, known bool
	}{
		"known, enough":     {NoReason, 70, true, true},
		"known, just so":    {NoReason, 60, true, true},
		"known, too weak":   {NoReason, 40, false, true},
		"unsure, enough":    {GroundUnknown, 70, true, false},
		"unsure, too weak":  {GroundUnknown, 40, false, true},
		"rating is unknown": {NoReason, math.NaN(), false, false},
	} {
		ok, known := (&Pull{Required: 60, Unsure: c.unsure}).isBorneBy(c.ratingKN)
		require.Equal(t, [2]bool{c.ok, c.known}, [2]bool{ok, known}, name)
	}
}

// Tension and strings of a schedule: a structure that needs tension is sized for the full pull, one at a crossing for two
// strings.
func TestScheduleStrengthAndStrings(t *testing.T) {
	for name, c := range map[string]struct {
		rating  float64
		change  func(s *sketch)
		strings [5]int32
	}{
		"strong enough":        {120, func(*sketch) {}, [5]int32{1, 1, 1, 1, 1}},
		"two at the line ends": {40, func(*sketch) {}, [5]int32{2, 1, 1, 1, 2}}, // 56 kN against 40
		"double at a river": {120, func(s *sketch) {
			s.p.Criteria.CrossingRules = []CrossingRule{{Kind: "long span", Double: true}}
			s.p.Criteria.LongSpanM = Stated(300)
		}, [5]int32{2, 2, 2, 2, 2}},
		"rating unknown":                 {math.NaN(), func(*sketch) {}, [5]int32{}},
		"rating unknown, double asked":   {math.NaN(), func(s *sketch) { s.p.Criteria.LongSpanM = Stated(300) }, [5]int32{2, 2, 2, 2, 2}},
		"no load case":                   {120, func(s *sketch) { s.p.Criteria.LoadCases = nil }, [5]int32{}},
		"no load case, double asked for": {120, func(s *sketch) { s.p.Criteria.LoadCases, s.p.Criteria.LongSpanM = nil, Stated(300) }, [5]int32{2, 2, 2, 2, 2}},
	} {
		s := loaded(t)
		s.p.Units[0].RatingKN = c.rating
		s.p.Criteria.StatedTension = basis.AtSupport // so that 28 kN is the pull
		c.change(s)
		n := s.network()
		schedule := n.Schedule(0, []*Check{sizing()})
		var strings [5]int32
		for i := range schedule.Requirements {
			q := &schedule.Requirements[i]
			strings[i] = q.Strings
			require.Equal(t, n.Project.Criteria.LoadCases == nil, math.IsNaN(q.RatingKN), name)
			if i == 0 && !math.IsNaN(q.RatingKN) {
				require.InDelta(t, 56, q.RatingKN, 1e-9, "%s: 28 kN with a factor of 2", name)
				require.Equal(t, Tension, q.Duty)
			}
			require.EqualValues(t, 7, q.Units)
			require.Equal(t, 7*146.0, schedule.LengthMM(q))
		}
		require.Equal(t, c.strings, strings, name)
	}
}
