package checks_test

import (
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// Discs and long rods hang (common practice): where a row says that they stand, or are a shackle, its duty or its unit is wrong. Neither the limit of pins nor a strength across the axis judges them,
// and what they may be in tension takes the end of a line. Composites are made as posts and pins too, and of a kind that nobody states duties are believed.
func TestDiscsAndLongRodsDoNotStand(t *testing.T) {
	of := func(d audit.Duty, kind basis.Kind, more ...func(*audit.Subject)) func(*audit.Subject) {
		return duty(d, append([]func(*audit.Subject){func(s *audit.Subject) { s.Assembly.Unit.Kind, s.Assembly.UnitsPerString = kind, 1 }}, more...)...)
	}
	turn := func(deg float64) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Structure.DeviationDeg, s.Structure.PinLimitDeg, s.Structure.DeviationLimitDeg, s.Structure.LimitStated = deg, 5, 2, true
		}
	}
	onPost := func(d audit.Duty, kind basis.Kind) func(*audit.Subject) {
		return onPost(audit.Upright, func(s *audit.Subject) { s.Assembly.Duty, s.Assembly.Unit.Kind = d, kind })
	}
	lowVoltage := func(s *audit.Subject) { s.Line.Row.NominalKV = 0.4 }
	contradiction := "not assessed: " + audit.UnitNotOfDuty.String()
	judge(t, "tension-at-deviation", []judgement{
		{"discs on pins", of(audit.Pin, basis.CapAndPin, turn(4)), contradiction, ""},
		{"a long rod as a post", of(audit.Post, basis.LongRod, turn(4)), contradiction, ""},
		{"discs on pins beyond the limit, which may be in tension", of(audit.Pin, basis.CapAndPin, turn(15)), contradiction, ""},
		{"a disc as a shackle", of(audit.Shackle, basis.CapAndPin, turn(15), lowVoltage), contradiction, ""},
		{"a composite post", of(audit.Post, basis.Composite, turn(4)), "meets 4/5", ""},
		{"a composite pin", of(audit.Pin, basis.Composite, turn(4)), "meets 4/5", ""},
		{"a post of unknown kind", of(audit.Post, basis.KindUnknown, turn(4)), "meets 4/5", ""},
		{"a post", of(audit.Post, basis.Post, turn(4)), "meets 4/5", ""},
		{"a post beyond the limit", of(audit.Post, basis.Post, turn(15)), "shortfall 15/5", ""},
		{"a pin that is said to hang, beyond the limit", of(audit.Suspension, basis.Pin, turn(15)), "shortfall 15/2", ""},
	})
	judge(t, "tension-at-terminal", []judgement{
		{"discs on pins", of(audit.Pin, basis.CapAndPin), contradiction, ""},
		{"a long rod as a post", of(audit.Post, basis.LongRod), contradiction, ""},
		{"a disc as a shackle", of(audit.Shackle, basis.CapAndPin, lowVoltage), contradiction, ""},
		{"a composite post", of(audit.Post, basis.Composite), "shortfall post/tension", ""},
		{"a post of unknown kind", of(audit.Post, basis.KindUnknown), "shortfall post/tension", ""},
		{"a shackle of unknown kind", of(audit.Shackle, basis.KindUnknown, lowVoltage), "meets shackle/tension", ""},
	})
	judge(t, "strength", []judgement{ // 2.44818·2.5/20 + 4.7895·2/24, see TestPostsByTheirMounting
		{"discs as a post", onPost(audit.Post, basis.CapAndPin), contradiction, ""},
		{"a long rod as a pin", onPost(audit.Pin, basis.LongRod), contradiction, ""},
		{"a long rod as a shackle", onPost(audit.Shackle, basis.LongRod), contradiction, ""},
		{"a composite post", onPost(audit.Post, basis.Composite), "meets 0.70515/1", ""},
		{"a post of unknown kind", onPost(audit.Post, basis.KindUnknown), "meets 0.70515/1", ""},
	})
}
