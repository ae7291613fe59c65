package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// onPost is a post on level ground: 2448.18 N of wind across the line and 4789.5 N down (290 Pa on 28.14 mm and 15.965 N/m over 300 m,
// computed), on a cantilever rating of 20 kN by factor 2.5, 24 kN pushed and 20 kN pulled by factor 2.
func onPost(mounting audit.Mounting, more ...func(*audit.Subject)) func(*audit.Subject) {
	return func(s *audit.Subject) {
		s.Structure.Role, s.Structure.DeviationDeg = audit.Tangent, 0
		s.Line.Row.MaximumTensionKN = 28.02
		a := s.Assembly
		a.Duty, a.Side, a.Strings, a.Arrangement, a.UnitsPerString, a.Mounting = audit.Post, audit.NoSide, 1, audit.Single, 1, mounting
		a.Unit.Kind, a.Unit.CantileverKN, a.Unit.CompressionKN, a.Unit.RatingKN = basis.Post, 20, 24, 20
		for _, m := range more {
			m(s)
		}
	}
}

func TestPostsByTheirMounting(t *testing.T) {
	unit := func(cantilever, compression, rating float64) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Assembly.Unit.CantileverKN, s.Assembly.Unit.CompressionKN, s.Assembly.Unit.RatingKN = cantilever, compression, rating
		}
	}
	nan := math.NaN()
	stack := func(s *audit.Subject) { s.Assembly.UnitsPerString = 3 }
	pin := func(s *audit.Subject) { s.Assembly.Duty = audit.Pin }
	turn := func(s *audit.Subject) { s.Structure.DeviationDeg = -20 } // pulls 9731.24 N
	each := func(s *audit.Subject) {
		s.Criteria.CombinedLoads, s.Criteria.CombinedLoadsStated = audit.EachUtilisation, true
	}
	faulty := func(cell audit.Cell) func(*audit.Subject) {
		return func(s *audit.Subject) { s.Assembly.Faulty = s.Assembly.Faulty.With(cell) }
	}
	unitFaulty := func(s *audit.Subject) { s.Assembly.UnitFaulty = s.Assembly.UnitFaulty.With(audit.CellRating) }
	lost := "not assessed: a field it needs is faulty, see Faults"
	judge(t, "strength", []judgement{
		{"upright", onPost(audit.Upright), "meets 0.70515/1", ""}, // 2.44818·2.5/20 + 4.7895·2/24
		{"upright and bent too much", onPost(audit.Upright, unit(6, 24, 20)), "shortfall 1.4192/1", "141.9 % of its strength"},
		{"a stack, of which nobody states the cantilever rating", onPost(audit.Upright, stack), "not assessed: " + audit.StackCantileverUnknown.String(), ""},
		{"a stack, horizontal", onPost(audit.Horizontal, stack), "not assessed: " + audit.StackCantileverUnknown.String(), ""},
		{"a stack that bears less than one, which is bent too much", onPost(audit.Upright, stack, unit(6, 24, 20)), "shortfall 1.4192/1", "cantilever rating of one, which the stack has not"},
		{"a stack that nothing bends", onPost(audit.Upright, stack, func(s *audit.Subject) { s.Criteria.LoadCases[0].WindPa = 0 }), "meets 0.39913/1", ""},
		{"upright, pulled by nothing", onPost(audit.Upright, unit(20, 24, nan)), "meets 0.70515/1", ""},
		{"upright, strong enough across its axis alone", onPost(audit.Upright, unit(7, 24, 20)), "shortfall 1.2735/1", "pushing along its axis"},
		{"the same, each alone", onPost(audit.Upright, unit(7, 24, 20), each), "meets 0.87435/1", ""},
		{"each alone, and one too much", onPost(audit.Upright, unit(6, 24, 20), each), "shortfall 1.0201/1", "each counts alone"},
		{"horizontal", onPost(audit.Horizontal), "meets 0.84351/1", ""}, // 4.7895·2.5/20 + 2.44818·2/20
		{"horizontal, pushed harder than pulled", onPost(audit.Horizontal, unit(20, 10, 20)), "shortfall 1.0883/1", "pushing along its axis"},
		{"horizontal in a turn", onPost(audit.Horizontal, turn), "shortfall 1.8166/1", "pulling along its axis"},
		{"mounting not stated, both meet", onPost(audit.MountingUnknown), "meets 0.84351/1", ""},
		{"mounting not stated, both fall short", onPost(audit.MountingUnknown, turn), "shortfall 1.8166/1", "upright it is used to 192.2 %"},
		{"mounting not stated, only upright meets", onPost(audit.MountingUnknown, unit(11, 24, 20)), "not assessed: " + audit.MountingNotStated.String(), ""},
		{"mounting not stated, only horizontal meets", onPost(audit.MountingUnknown, turn, unit(20, 100, 100)), "not assessed: " + audit.MountingNotStated.String(), ""},
		{"mounting not stated, upright needs no pull", onPost(audit.MountingUnknown, unit(20, 24, nan)), "not assessed: " + audit.MountingNotStated.String(), ""},
		{"mounting not stated, nothing known", onPost(audit.MountingUnknown, unit(20, nan, nan)), "not assessed: compression rating of the pin or post unknown", ""},
		{"mounting not readable", onPost(audit.MountingUnknown, faulty(audit.CellMounting)), lost, ""},
		{"grading rings not readable, which share its kind of cells", onPost(audit.Upright, faulty(audit.CellMounting)), "meets 0.70515/1", ""},
		{"a pin is upright", onPost(audit.MountingUnknown, pin), "meets 0.70515/1", ""},
		{"a pin that is said to be horizontal", onPost(audit.Horizontal, pin), "meets 0.84351/1", ""},
		{"a pin whose mounting is not readable", onPost(audit.MountingUnknown, pin, faulty(audit.CellMounting)), lost, ""},
		{"compression unknown", onPost(audit.Upright, unit(20, nan, 20)), "not assessed: compression rating of the pin or post unknown", ""},
		{"compression unknown, bent too much without", onPost(audit.Upright, unit(6, nan, 20)), "shortfall 1.0201/1", "4.79 kN pushing along its axis are left out"},
		{"compression not readable, bent too much without", onPost(audit.Upright, unit(6, nan, 20), unitFaulty), lost, ""},
		{"cantilever unknown", onPost(audit.Upright, unit(nan, 24, 20)), "not assessed: cantilever rating of the insulator unknown", ""},
		{"no wind and no turn bend it", onPost(audit.Upright, unit(nan, 24, 20), func(s *audit.Subject) { s.Criteria.LoadCases[0].WindPa = 0 }), "meets 0.39913/1", ""},
		{"horizontal, pull unknown", onPost(audit.Horizontal, unit(20, 24, nan)), "not assessed: " + audit.AxialRatingUnknown.String(), ""},
		{"the row's own rating is the pull", onPost(audit.Horizontal, unit(20, 24, nan), func(s *audit.Subject) { s.Assembly.Direct.RatingKN = 20 }), "meets 0.84351/1", ""},
		{"the row's own rating not readable", onPost(audit.Horizontal, unit(20, 24, nan), faulty(audit.CellRating)), lost, ""},
		{"no factor for compression", onPost(audit.Upright, func(s *audit.Subject) { s.Criteria.InsulatorFactor.Compression = 0 }),
			"not assessed: no insulator factor for compression in the criteria", ""},
		{"no factor for tension, which nothing asks for", onPost(audit.Upright, func(s *audit.Subject) { s.Criteria.InsulatorFactor.Tension = 0 }), "meets 0.70515/1", ""},
		{"load factor, and two that share unequally", onPost(audit.Upright, func(s *audit.Subject) {
			s.Criteria.LoadCases[0].Factor, s.Criteria.UnequalSharing, s.Assembly.Strings = 1.3, audit.Stated(1.1), 2
		}), "shortfall 1.0084/1", ""},
		{"the circuit ends on it", onPost(audit.Upright, func(s *audit.Subject) { s.Assembly.CircuitEnds = true }), "shortfall 3.915/1", ""}, // √(2.44818² + 28.02²)·2.5/20 + 0.3991
		{"the worse of two cases", onPost(audit.Upright, func(s *audit.Subject) {
			s.Criteria.LoadCases = append([]audit.LoadCase{{Name: "calm", From: audit.MaximumTension, Factor: 1}}, s.Criteria.LoadCases...)
		}), "meets 0.70515/1", ""},
	})
}

// The needs of a post are asked for each of them, and must leave no work to the collector.
func TestPostsAreLookedUpWithoutAllocating(t *testing.T) {
	check, s := example(t, "strength")
	onPost(audit.MountingUnknown)(&s)
	for _, need := range check.Needs {
		require.Zero(t, testing.AllocsPerRun(10, func() { s.Lacks(need) }), need.Name)
	}
}

// A conductor that lifts its post pulls it.
func TestAPostThatIsLifted(t *testing.T) {
	check, s := example(t, "strength")
	onPost(audit.Upright)(&s)
	s.Structure.HeightBackM, s.Structure.HeightAheadM = 40, 40
	load, reason := s.Load(&s.Criteria.LoadCases[0])
	require.Equal(t, audit.NoReason, reason)
	require.Less(t, load.VerticalN, -2000.0)
	v := check.Run(s, nil)
	require.InDelta(t, 2.44818*2.5/20-load.VerticalN/1000*2/20, v.Observed.Number, 1e-5)
	s.Assembly.Unit.CompressionKN = math.NaN()
	require.Equal(t, audit.Meets, check.Run(s, nil).Outcome)
	s.Assembly.Unit.RatingKN = math.NaN()
	require.Equal(t, audit.AxialRatingUnknown, check.Run(s, nil).Reason)
}

// What falls short across the axis of an upright post alone falls short in the sum, and so does a post of unknown mounting that meets
// neither way; two mountings never meet where one of them falls short.
func TestTheSumIsNoMilderThanItsParts(t *testing.T) {
	check, sound := example(t, "strength")
	rapid.Check(t, func(t *rapid.T) {
		s := sound
		assembly, structure, line, unit := *s.Assembly, *s.Structure, *s.Line, *s.Assembly.Unit
		assembly.SetMakeup(assembly.Makeup, []basis.Unit{unit})
		s.Assembly, s.Structure, s.Line = &assembly, &structure, &line
		onPost(audit.Upright)(&s)
		kN := rapid.Float64Range(1, 40)
		s.Assembly.Unit.CantileverKN, s.Assembly.Unit.CompressionKN, s.Assembly.Unit.RatingKN = kN.Draw(t, "cantilever"), kN.Draw(t, "compression"), kN.Draw(t, "rating")
		s.Structure.DeviationDeg = rapid.Float64Range(-30, 30).Draw(t, "deviation")
		load, _ := s.Load(&s.Criteria.LoadCases[0])
		upright := check.Run(s, nil)
		if load.TransverseN()/1000*2.5 > s.Assembly.Unit.CantileverKN*1.000001 {
			require.Equal(t, audit.FallsShort, upright.Outcome)
		}
		s.Assembly.Mounting = audit.Horizontal
		horizontal := check.Run(s, nil)
		s.Assembly.Mounting = audit.MountingUnknown
		either := check.Run(s, nil)
		switch {
		case upright.Outcome == horizontal.Outcome:
			require.Equal(t, upright.Outcome, either.Outcome)
		default:
			require.Equal(t, audit.MountingNotStated, either.Reason)
		}
	})
}

// A derivation of two mountings has one meaning for each symbol, and leads to what was judged.
func TestDerivationsOfPosts(t *testing.T) {
	turn := func(s *audit.Subject) { s.Structure.DeviationDeg = -20 }
	cases := func(s *audit.Subject) {
		s.Criteria.LoadCases = append(s.Criteria.LoadCases, audit.LoadCase{Name: "ice", IceMM: 40, IceDensityKgPerM3: 900, From: audit.MaximumTension, Factor: 1.3})
	}
	defect := func(s *audit.Subject) { s.Assembly.Unit.Kind, s.Assembly.Defective = basis.Post, 1 }
	noCompression := func(s *audit.Subject) { s.Assembly.Unit.CompressionKN, s.Assembly.Unit.CantileverKN = math.NaN(), 5 }
	for name, change := range map[string]func(*audit.Subject){
		"upright": onPost(audit.Upright), "horizontal": onPost(audit.Horizontal), "either, both meet": onPost(audit.MountingUnknown),
		"either, both fall short": onPost(audit.MountingUnknown, turn), "either, in different cases": onPost(audit.MountingUnknown, turn, cases),
		"failed": onPost(audit.MountingUnknown, defect), "by what is known": onPost(audit.Upright, noCompression),
	} {
		check, s := example(t, "strength")
		change(&s)
		var trace audit.Trace
		v := check.Run(s, &trace)
		require.LessOrEqual(t, v.Outcome, audit.FallsShort, "%s: %s", name, v.Reason)
		requireOneMeaning(t, trace)
		requireRoles(t, "strength", trace, v)
		for _, step := range trace.Steps {
			require.Equal(t, step.Formula == "", step.Sheet == "", "%s: %s", name, step.Symbol)
		}
	}
}
