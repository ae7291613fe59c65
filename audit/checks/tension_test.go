package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// Where a line ends, lines meet, conductors change or the line lifts, only a tension assembly holds (statics).
func TestWhoNeedsTension(t *testing.T) {
	for _, id := range []string{"tension-at-terminal", "tension-at-tee", "tension-at-change", "tension-at-crossing", "tension-at-deviation", "tension-at-uplift"} {
		judge(t, id, []judgement{
			{"jumper", duty(audit.Jumper), passesJumper, ""},
			{"earth wire", duty(audit.EarthWire), passesNoLoad, ""},
			{"guy", duty(audit.Guy), passesNoLoad, ""},
			{"duty not stated", duty(audit.DutyUnknown), "not assessed: duty not stated", ""},
			{"duty unreadable", func(s *audit.Subject) {
				s.Assembly.Duty, s.Assembly.Faulty = audit.DutyUnknown, s.Assembly.Faulty.With(audit.CellDuty)
			}, "not assessed: a field it needs is faulty, see Faults", ""},
		})
	}
	judge(t, "tension-at-terminal", []judgement{
		{"tension", tensionOn(audit.Back), "meets tension/tension", ""},
		{"pin", madeFor(audit.Pin), "shortfall pin/tension", "A pin assembly"},
		{"post", madeFor(audit.Post), "shortfall post/tension", "A post assembly"},
		{"on the way", func(s *audit.Subject) { s.Structure.Role = audit.Tangent }, "not applicable: the line does not end here", ""},
		{"circuit ends on the way", func(s *audit.Subject) { s.Structure.Role, s.Assembly.CircuitEnds = audit.Tangent, true },
			"advisory suspension/tension", "where circuit 1 ends"},
		{"line runs on under another name", func(s *audit.Subject) { s.Structure.RunsOn = 7 }, "advisory suspension/tension", "line T2 of its voltage runs on"},
		{"neither", func(s *audit.Subject) {}, "shortfall suspension/tension", "where the line ends; a tension"},
		{"shackle of unknown voltage", madeFor(audit.Shackle, unknownVoltage), "not assessed: voltage of the line not stated", ""},
		{"shackle, voltage unreadable", madeFor(audit.Shackle, unknownVoltage, func(s *audit.Subject) { s.Line.Row.Faulty = s.Line.Row.Faulty.With(audit.CellVoltage) }),
			"not assessed: a field it needs is faulty, see Faults", ""},
		{"shackle, another cell unreadable", madeFor(audit.Shackle, unknownVoltage, func(s *audit.Subject) { s.Line.Row.Faulty = s.Line.Row.Faulty.With(audit.CellTension) }),
			"not assessed: voltage of the line not stated", ""},
	})
	judge(t, "tension-at-tee", []judgement{
		{"nobody asks for it", func(s *audit.Subject) {}, "advisory suspension/tension", "where line T2 ends"},
		{"the criteria ask for it", func(s *audit.Subject) { s.Criteria.TensionAtTee = true }, "shortfall suspension/tension", "where line T2 ends"},
		{"tension", tensionOn(audit.Ahead), "meets tension/tension", ""},
		{"no tee", func(s *audit.Subject) { s.Structure.TeeOf = 0 }, "not applicable: no other line ends here", ""},
		{"both lines end", func(s *audit.Subject) { s.Structure.Role = audit.Terminal }, "not applicable: no other line ends here", ""},
	})
	judge(t, "tension-at-change", []judgement{
		{"nothing changes", func(s *audit.Subject) { s.Structure.Changes = "" }, "not applicable: nothing changes here", ""},
		{"at a line end", func(s *audit.Subject) { s.Structure.Role = audit.Terminal }, "not applicable: nothing changes here", ""},
		{"tension", tensionOn(audit.Ahead), "meets tension/tension", ""},
	})
	judge(t, "tension-at-uplift", []judgement{
		{"at a line end", func(s *audit.Subject) { s.Structure.Role = audit.Terminal }, "not applicable: the line ends here, there is no deviation", ""},
		{"tension", tensionOn(audit.Ahead), "meets tension/tension" + anywhere, ""},
		{"held down, heights stated", func(s *audit.Subject) { s.Structure.WeightSpanColdM, s.Line.AttachmentsStated = 12, true }, "meets 12/0", ""},
		{"held down, heights taken as equal", func(s *audit.Subject) { s.Structure.WeightSpanColdM = 12 },
			"meets 12/0: attachment heights not stated, taken as equal above ground", ""},
		{"no ground levels", func(s *audit.Subject) { s.Structure.WeightSpanColdM = math.NaN() }, "not assessed: ground level unknown", ""},
		{"no cold tension", func(s *audit.Subject) { s.Structure.WeightSpanColdM, s.Line.Row.ColdTensionKN = math.NaN(), math.NaN() },
			"not assessed: cold tension of the line not stated", ""},
		{"lifted", func(*audit.Subject) {}, "shortfall -49.644/0", "cold case."},
		{"lifted where a structure may be missing", func(s *audit.Subject) { s.Structure.MayMiss = true }, "advisory -49.644/0: a structure may be missing beside it, see Faults", "cold case; a structure may be missing beside it, see Faults."},
		{"lifted beside doubtful geometry", func(s *audit.Subject) { s.Structure.Doubtful = true }, "advisory -49.644/0: beside doubtful geometry, see Faults", "doubtful"},
	})
	check, s := example(t, "tension-at-uplift")
	require.True(t, math.IsNaN(check.Run(s, nil).Margin), "nothing to divide by")
}

func unknownVoltage(s *audit.Subject) {
	s.Line.HighestKV, s.Line.Row.NominalKV = math.NaN(), math.NaN()
}

// The deviation limit is met at equality; what is only a default, doubtful or within survey accuracy weighs less.
func TestDeviationLimits(t *testing.T) {
	turn := func(deg float64, more ...func(*audit.Subject)) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Structure.DeviationDeg = deg
			for _, m := range more {
				m(s)
			}
		}
	}
	pinLimit := func(d audit.Duty, limit float64) func(*audit.Subject) {
		return func(s *audit.Subject) {
			madeFor(d)(s)
			s.Structure.PinLimitDeg, s.Structure.LimitStated = limit, false
		}
	}
	byDefault := func(s *audit.Subject) { s.Structure.LimitStated = false }
	shackle := func(nominalKV float64) func(*audit.Subject) {
		return madeFor(audit.Shackle, func(s *audit.Subject) { s.Line.Row.NominalKV = nominalKV })
	}
	judge(t, "tension-at-deviation", []judgement{
		{"at the limit", turn(2), "meets 2/2", ""},
		{"beyond it to the right", turn(2.01), "shortfall 2.01/2", "2.01° right"},
		{"beyond it to the left", turn(-2.01), "shortfall 2.01/2", "2.01° left"},
		{"the limit is only a default", turn(2.01, byDefault), "advisory 2.01/2", "the limit is 2°."},
		{"beside doubtful positions", turn(15, func(s *audit.Subject) { s.Structure.Doubtful = true }),
			"advisory 15/2: beside doubtful geometry, see Faults", "doubtful"},
		{"where a structure may be missing", turn(15, func(s *audit.Subject) { s.Structure.MayMiss = true }), "advisory 15/2: a structure may be missing beside it, see Faults", "a structure may be missing beside it"},
		{"pin at its limit", turn(10, pinLimit(audit.Pin, 10)), "meets 10/10", ""},
		{"pin beyond it", turn(10.1, pinLimit(audit.Pin, 10)), "shortfall 10.1/10", "A pin assembly"},
		{"post beyond it", turn(10.1, pinLimit(audit.Post, 10)), "shortfall 10.1/10", "A post assembly"},
		{"post without a limit", turn(1, pinLimit(audit.Post, math.NaN())), "not assessed: no deviation limit stated for pin and post assemblies", ""},
		{"suspension whatever pins bear", turn(5, func(s *audit.Subject) { s.Structure.PinLimitDeg = 10 }), "shortfall 5/2", ""},
		{"shackle at low voltage", turn(15, shackle(0.4)), "meets shackle/tension", ""},
		{"shackle at 11 kV", turn(15, shackle(11)), "shortfall 15/2", "A shackle assembly"},
		{"shackle at 11 kV on a straight run", turn(1, shackle(11)), "meets 1/2", ""},
		{"tension, however it turns", turn(80, tensionOn(audit.Back)), "meets tension/tension" + anywhere, ""},
		{"deviation unknown", turn(math.NaN()), "not assessed: deviation unknown", ""},
		{"at a line end", turn(15, func(s *audit.Subject) { s.Structure.Role = audit.Terminal }), "not applicable: the line ends here, there is no deviation", ""},
		{"accuracy stated, a span unknown", turn(2.5, func(s *audit.Subject) {
			s.Criteria.PositionAccuracyM, s.Structure.SpanBackM = audit.Stated(5), math.NaN()
		}), "shortfall 2.5/2", ""},
		// e = 0.1 m on 300 m spans: σ = 0.1·√6/300 = 0.0008165 rad = 0.04678° (propagation of error, computed), so 2σ = 0.0936°
		{"just within survey accuracy", turn(2.093, func(s *audit.Subject) { s.Criteria.PositionAccuracyM = audit.Stated(0.1) }),
			"advisory 2.093/2: the deviation limit is within survey accuracy", "2σ = 0.09°"},
		{"just beyond survey accuracy", turn(2.094, func(s *audit.Subject) { s.Criteria.PositionAccuracyM = audit.Stated(0.1) }), "shortfall 2.094/2", ""},
		{"meets within survey accuracy", turn(1.907, func(s *audit.Subject) { s.Criteria.PositionAccuracyM = audit.Stated(0.1) }),
			"meets 1.907/2: the deviation limit is within survey accuracy", ""},
		{"meets beyond survey accuracy", turn(1.906, func(s *audit.Subject) { s.Criteria.PositionAccuracyM = audit.Stated(0.1) }), "meets 1.906/2", ""},
	})
}

// A tension assembly answers for the span on its own side, any other for both; a span without a rule is not judged.
func TestCrossingsBySide(t *testing.T) {
	none := audit.Asked{}
	railway := audit.Asked{Kinds: []string{"railway"}, Tension: "railway", Double: "railway"}
	pipeline := audit.Asked{Kinds: []string{"pipeline"}, Unruled: "pipeline"}
	long := audit.Asked{Kinds: []string{audit.LongSpanKind}, Double: audit.LongSpanKind, Tension: audit.LongSpanKind}
	spans := func(back, ahead audit.Asked, more ...func(*audit.Subject)) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Structure.Back, s.Structure.Ahead = back, ahead
			for _, m := range more {
				m(s)
			}
		}
	}
	strings := func(n int) func(*audit.Subject) { return func(s *audit.Subject) { s.Assembly.Strings = n } }
	longLimit := func(backM, aheadM float64) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Criteria.LongSpanM, s.Structure.SpanBackM, s.Structure.SpanAheadM = audit.Stated(350), backM, aheadM
		}
	}
	notGiven := func(s *audit.Subject) { s.CrossingsGiven = false }
	const nothing, unruled = "not applicable: no span of it crosses anything the rules name", "not assessed: crosses something for which the criteria have no rule"
	judge(t, "double-at-crossing", []judgement{
		{"suspension before", spans(none, railway), "shortfall 1/2", "crosses a railway"},
		{"suspension behind", spans(railway, none), "shortfall 1/2", "crosses a railway"},
		{"double", spans(railway, none, strings(2)), "meets 2/2", ""},
		{"triple", spans(railway, none, strings(3)), "meets 3/2", ""},
		{"tension towards it, ahead", spans(none, railway, tensionOn(audit.Ahead)), "shortfall 1/2", ""},
		{"tension towards it, back", spans(railway, none, tensionOn(audit.Back)), "shortfall 1/2", ""},
		{"tension on the other side, ahead", spans(railway, none, tensionOn(audit.Ahead)), nothing, ""},
		{"tension on the other side, back", spans(none, railway, tensionOn(audit.Back)), nothing, ""},
		{"tension without a side", spans(none, railway, tensionOn(audit.NoSide)), "not assessed: side of the tension assembly not stated", ""},
		{"no rule behind", spans(pipeline, none), unruled, ""},
		{"no rule ahead", spans(none, pipeline), unruled, ""},
		{"no rule ahead, asked behind", spans(railway, pipeline), "shortfall 1/2", ""},
		{"no rule behind, asked ahead", spans(pipeline, railway), "shortfall 1/2", ""},
		{"no rule on the other side", spans(pipeline, none, tensionOn(audit.Ahead)), nothing, ""},
		{"nothing crossed", spans(none, none), nothing, ""},
		{"nothing crossed, duty not stated", spans(none, none, duty(audit.DutyUnknown)), nothing, ""},
		{"duty not stated", spans(none, railway, duty(audit.DutyUnknown)), "not assessed: duty not stated", ""},
		{"nobody says what is crossed", spans(none, none, notGiven), "not assessed: no crossings and no long-span limit given", ""},
		{"only long spans are told", spans(none, none, notGiven, longLimit(300, 300)), nothing, ""},
		{"long span ahead", spans(none, long, longLimit(300, 400)), "shortfall 1/2", "is 400 m long; the criteria ask for double strings from 350 m on"},
		{"long span behind", spans(long, none, longLimit(410, 300)), "shortfall 1/2", "is 410 m long"},
		{"long span behind a line end", spans(long, none, longLimit(420, math.NaN())), "shortfall 1/2", "is 420 m long"},
		{"long span ahead of a line end", spans(none, long, longLimit(math.NaN(), 430)), "shortfall 1/2", "is 430 m long"},
		{"earth wire", spans(none, railway, duty(audit.EarthWire)), passesNoLoad, ""},
		{"load unknown", spans(none, railway), "shortfall 1/2", "(9 × disc) at a span that crosses a railway; the criteria ask for double strings."},
		{"number of strings not stated", spans(none, railway, strings(-1)), "not assessed: number of strings not stated", ""},
	})
	judge(t, "tension-at-crossing", []judgement{
		{"suspension before", spans(none, railway), "shortfall suspension/tension", "crosses a railway"},
		{"suspension behind", spans(railway, none), "shortfall suspension/tension", ""},
		{"tension towards it", spans(none, railway, tensionOn(audit.Ahead)), "meets tension/tension", ""},
		{"tension on the other side", spans(none, railway, tensionOn(audit.Back)), nothing, ""},
	})
	// T 28.02 kN with a factor of 2 needs 56.04 kN: one string of 120 kN bears it, of 50 kN two are needed.
	for rating, says := range map[float64]string{120: "; the load alone, 56 kN on a string of 120 kN, does not", 50: ", and so does the load, 56 kN on strings of 50 kN"} {
		check, crossing := example(t, "double-at-crossing")
		_, s := example(t, "strength")
		s.Line.Row.MaximumTensionKN, s.Assembly.Unit.RatingKN = 28.02, rating
		s.Structure.Ahead, s.CrossingsGiven, s.Assembly.Side = crossing.Structure.Ahead, true, audit.Ahead
		require.Contains(t, check.Run(s, nil).Sentence, says)
	}
}
