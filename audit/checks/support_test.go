package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// rising is a tension string of one side at the upper end of a span of 600 m that rises by 400 m, 58 kN horizontal at 15.97 N/m.
func rising(more ...func(*audit.Subject)) func(*audit.Subject) {
	return func(s *audit.Subject) {
		conductor, structure := *s.Line.Conductor, *s.Structure
		conductor.MassKgPerM = 15.97 / basis.Gravity
		s.Line.Conductor, s.Structure, s.Line.GroundStated, s.Line.Row.MaximumTensionKN = &conductor, &structure, true, 58
		structure.SpanBackM, structure.SpanAheadM, structure.HeightBackM, structure.HeightM, structure.HeightAheadM = 600, math.NaN(), 0, 400, math.NaN()
		for _, m := range more {
			m(s)
		}
	}
}

// The pull there is 73.115 kN and that at the lower end 66.727 kN (computed); with the factor of 2 twice as much is needed.
func TestPullAtTheSupport(t *testing.T) {
	ahead := func(s *audit.Subject) {
		st := s.Structure
		s.Assembly.Side, st.SpanBackM, st.SpanAheadM, st.HeightBackM, st.HeightM, st.HeightAheadM = audit.Ahead, math.NaN(), 600, math.NaN(), 0, 400
	}
	blank := func(s *audit.Subject) {
		s.Structure.HeightBackM, s.Structure.NoRiseBack = math.NaN(), audit.GroundUnknown
	}
	rating := func(kN float64) func(*audit.Subject) {
		return func(s *audit.Subject) { s.Assembly.Unit.RatingKN = kN }
	}
	judge(t, "strength", []judgement{
		{"at the upper end", rising(), "shortfall 120/146.23", "high wind puts 73.1 kN on one string (tension 73.11 kN at the support, 58.00 kN horizontal), which needs 146.2 kN"},
		{"at the lower end", rising(ahead), "shortfall 120/133.45", "66.73 kN at the support"},
		{"stated as the pull", rising(func(s *audit.Subject) { s.Criteria.StatedTension = basis.AtSupport }), "meets 120/116", ""},
		{"level", rising(func(s *audit.Subject) { s.Structure.HeightBackM = 400 }), "meets 120/116.4", ""},
		{"a line without ground levels", rising(blank, func(s *audit.Subject) { s.Line.GroundStated = false }), "meets 120/116", ""},
		{"ground level blank", rising(blank), "not assessed: ground level unknown", ""},
		{"ground level blank, too weak all the same", rising(blank, rating(110)), "shortfall 110/116", "puts 58.0 kN on one string"},
		{"ground level blank, stated as the pull", rising(blank, func(s *audit.Subject) { s.Criteria.StatedTension = basis.AtSupport }), "meets 120/116", ""},
		{"attachment height blank", rising(func(s *audit.Subject) {
			s.Structure.HeightM, s.Structure.NoRiseBack = math.NaN(), audit.AttachmentUnknown
		}), noAttachment, ""},
		{"ground level unreadable", rising(func(s *audit.Subject) {
			s.Structure.HeightM, s.Structure.NoRiseBack = math.NaN(), audit.FaultyField
		}, rating(110)), faultyField, ""},
		{"heavier by ice", rising(func(s *audit.Subject) { // C = 58 000/26.545 N/m = 2184.9 m, pull 75.607 kN
			iced(s)
		}), "shortfall 120/151.21", ""},
		{"a side that nobody states, both spans", rising(func(s *audit.Subject) {
			s.Structure.SpanAheadM, s.Structure.HeightAheadM, s.Assembly.Side = 600, 400, audit.NoSide
		}), "shortfall 120/146.23", ""},
		{"both spans, held on the level side", rising(func(s *audit.Subject) {
			s.Structure.SpanAheadM, s.Structure.HeightAheadM, s.Assembly.Side = 600, 400, audit.Ahead
		}), "meets 120/116.4", ""},
		{"beside doubtful geometry", rising(func(s *audit.Subject) { s.Structure.Doubtful = true }), "advisory 120/146.23: beside doubtful geometry, see Faults", "the positions here are doubtful"},
		{"beside it, too weak all the same", rising(func(s *audit.Subject) { s.Structure.Doubtful = true }, rating(110)), "shortfall 110/146.23", ""},
		{"where a structure may be missing", rising(func(s *audit.Subject) { s.Structure.MayMiss = true }), "advisory 120/146.23: a structure may be missing beside it, see Faults", "a structure may be missing beside it"},
		{"there, too weak all the same", rising(func(s *audit.Subject) { s.Structure.MayMiss = true }, rating(110)), "shortfall 110/146.23", ""},
		{"two strings", rising(func(s *audit.Subject) { s.Assembly.Strings, s.Assembly.Arrangement = 2, audit.Parallel }), "meets 120/73.115", ""},
	})
}

// 4789.5 N of conductor and 2448.18 N of wind, and a string of 600 N below its top unit: √(5389.5² + 2448.18²) = 5919.48 N; of two
// strings each √(2994.75² + 1224.09²) = 3235.25 N; one that is left √(5389.5² + 2448.18²) again (statics, computed).
func TestTheStringWeighsOnItsTopUnit(t *testing.T) {
	hung := func(more ...func(*audit.Subject)) func(*audit.Subject) {
		return func(s *audit.Subject) {
			_, level := example(t, "swing")
			structure := *level.Structure
			structure.DeviationDeg = 0
			s.Structure, s.Line.Row.MaximumTensionKN, s.Assembly = &structure, 28.02, level.Assembly
			for _, m := range more {
				m(s)
			}
		}
	}
	strings := func(n int) func(*audit.Subject) {
		return func(s *audit.Subject) { s.Assembly.Strings, s.Assembly.Arrangement = n, audit.Parallel }
	}
	unequal := func(s *audit.Subject) { s.Criteria.UnequalSharing = audit.Stated(1.1) }
	judge(t, "strength", []judgement{
		{"one string", hung(), "meets 120/11.839", ""},
		{"two strings", hung(strings(2)), "meets 120/6.4705", ""},
		{"two that share unequally their load, not their weight", hung(strings(2), unequal), "meets 120/7.0066", ""},
		{"load factor", hung(func(s *audit.Subject) { s.Criteria.LoadCases[0].Factor = 1.3 }), "meets 120/15.391", ""},
		{"weight not stated", hung(func(s *audit.Subject) { s.Assembly.Unit.WeightKg = math.NaN() }), "meets 120/10.758", ""},
		{"weight unreadable", hung(func(s *audit.Subject) { s.Assembly.UnitFaulty = audit.Cells(0).With(audit.CellWeight) }), faultyField, ""},
		{"unit unreadable, rating stated", hung(func(s *audit.Subject) {
			s.Assembly.Faulty, s.Assembly.Direct.RatingKN = audit.Cells(0).With(audit.CellUnit), 120
		}), faultyField, ""},
		{"too weak by its own weight", hung(func(s *audit.Subject) { s.Assembly.Unit.RatingKN = 11.8 }), "shortfall 11.8/11.839", "puts 5.9 kN on one string"},
	})
	judge(t, "strength-one-string-broken", []judgement{
		{"one of two", hung(strings(2)), "meets 120/8.8792", ""},
	})
}

// Every derivation of a load holds one value for each symbol, leads from figures to the pull without a gap, and what is stated is
// the project's own figure.
func TestDerivationsOfLoads(t *testing.T) {
	from := func(c audit.LoadCase) func(*audit.Subject) {
		return func(s *audit.Subject) {
			c.Name, c.Factor = "case", 1
			s.Criteria.LoadCases = []audit.LoadCase{c}
		}
	}
	state := func(s *audit.Subject) {
		c := s.Line.Conductor
		c.AreaMM2, c.ModulusGPa, c.Expansion1e6PerK, c.RatedStrengthKN = 300, 80, 17.8, 100
		s.Line.Row.EverydayTensionKN, s.Line.Row.EverydayC, s.Line.Row.ColdTensionKN = 18, 15, 24
		s.Structure.RulingBackM, s.Structure.RulingAheadM, s.Structure.SpanAheadM, s.Structure.HeightAheadM = 500, 300, 300, 380
		s.Structure.DeviationDeg, s.Structure.Role = 3, audit.Angle
	}
	suspension := func(s *audit.Subject) { s.Assembly.Duty, s.Assembly.Side = audit.Suspension, audit.NoSide }
	uplift := func(s *audit.Subject) {
		suspension(s)
		s.Criteria.LoadCases[0].Uplift = true
		cold, reason := s.Cold()
		require.Equal(t, audit.NoReason, reason)
		s.Structure.WeightSpanColdM = cold.WeightSpanM
	}
	ice := audit.LoadCase{From: audit.CalculatedTension, TemperatureC: audit.Stated(-5), IceMM: 12.5, IceDensityKgPerM3: 900, WindPa: 100}
	for name, c := range map[string]struct {
		check   string
		change  []func(*audit.Subject)
		symbols string // of the steps, in order
	}{
		"tension, calculated": {"strength", []func(*audit.Subject){from(ice)}, "w d w_w w_2 w_1 a b q T C h1 x1 x T_s T_w F R_req R"},
		"tension, maximum":    {"strength", []func(*audit.Subject){from(audit.LoadCase{From: audit.MaximumTension})}, "w T C h1 x1 x T_s F R_req R"},
		"tension ahead": {"strength", []func(*audit.Subject){from(audit.LoadCase{From: audit.ShareOfStrength, Share: 0.3}), tensionOn(audit.Ahead)},
			"w T C h2 x2 x T_s F R_req R"},
		"suspension, calculated": {"strength", []func(*audit.Subject){from(ice), suspension}, "w d w_w w_2 w_1 a b q T C H_w H_t h1 x1 h2 x2 VS V F_c F R_req R"},
		"suspension, share":      {"strength", []func(*audit.Subject){from(audit.LoadCase{From: audit.ShareOfStrength, Share: 0.3, WindPa: 200}), suspension}, "w T C d H_w H_t h1 x1 h2 x2 VS V F_c F R_req R"},
		"swing":                  {"swing", []func(*audit.Subject){from(ice), suspension}, "w d w_w w_2 w_1 a b q T C H_w H_t h1 x1 h2 x2 VS V F_c W_w φ φ_lim"},
		"uplift, calculated":     {"tension-at-uplift", []func(*audit.Subject){from(ice), uplift}, "w d w_w w_2 w_1 a b q T C h1 x1 h2 x2 W"},
		"uplift, given":          {"tension-at-uplift", []func(*audit.Subject){from(audit.LoadCase{From: audit.GivenTension, TensionKN: 30}), uplift}, "w T C h1 x1 h2 x2 W"},
	} {
		t.Run(name, func(t *testing.T) {
			_, s := example(t, "strength")
			check, _ := example(t, c.check)
			rising(state)(&s)
			for _, change := range c.change {
				change(&s)
			}
			var trace audit.Trace
			v := check.Run(s, &trace)
			require.LessOrEqual(t, v.Outcome, audit.FallsShort, inShort(v))
			requireOneMeaning(t, trace)
			var symbols []string
			for _, step := range trace.Steps {
				if step.Result.Word == "" {
					symbols = append(symbols, step.Symbol)
				}
				if step.Sheet == "" && step.Symbol == "T" {
					require.Equal(t, basis.OwnFigure, step.Clause, "what is stated")
				}
				require.NotContains(t, fmt.Sprint(step.Clause), "common practice")
			}
			require.Equal(t, c.symbols, strings.Join(symbols, " "))
		})
	}
}
