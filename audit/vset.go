package audit

import (
	"math"

	"dryarc/audit/basis"
)

// NeedsVAngle is the angle of a V set.
var NeedsVAngle = Need{"angle of the V set", ofAssembly, func(s *Subject) Reason {
	return s.Assembly.lacks(math.IsNaN(s.Assembly.VAngleDeg), CellArrangement, VAngleUnknown)
}}

// LeanDeg is the angle of the load of the conductors to the vertical, in degrees.
func (l Load) LeanDeg() float64 { return basis.VLeanDeg(l.TransverseN(), l.VerticalN) }

// WorstLean is the load case in which the load of the conductors leans farthest from the vertical.
func (s *Subject) WorstLean() (worst Load, reason Reason) {
	if len(s.Criteria.LoadCases) == 0 {
		return worst, LoadCasesMissing
	}
	cases := s.cases()
	for i := range cases {
		load, reason := s.Load(&cases[i])
		if reason != NoReason {
			return worst, reason
		}
		if i == 0 || load.LeanDeg() > worst.LeanDeg() {
			worst = load
		}
	}
	return worst, NoReason
}

// HangsInV tells whether the load of an assembly comes on the two legs of a V.
func (a *Assembly) HangsInV() bool {
	return a.Arrangement == VSet && (a.Duty == Suspension || a.Duty == Jumper)
}

// CarriesInV tells whether the load of an assembly comes on the two legs of a V when some of its strings are broken. Where one string made up a leg,
// the other leg bears all as a single string does.
func (a *Assembly) CarriesInV(broken int) bool {
	return a.HangsInV() && (broken == 0 || a.Strings-broken >= 2)
}

// OnVString is what loads in N across the line, along it and down put on one string of the worse leg of a V set, where some strings carry and the
// worst of those side by side bears a share of its own, which their weight does not go by.
func (a *Assembly) OnVString(acrossN, alongN, downN float64, carrying int, share float64) basis.VString {
	alongside, own := float64(a.Alongside(carrying)), a.StringWeightN()
	each := share / alongside
	v := basis.VString{AcrossN: acrossN * each, AlongN: alongN * each, DownN: downN * each, YokeN: own * float64(carrying) / 2 / alongside, OwnN: own, AngleDeg: a.VAngleDeg}
	return v.Worse()
}

// leavesSlack tells whether the other leg of a V set is slack under what comes on a string of the worse one.
func leavesSlack(v basis.VString) bool { return compare(v.LeanDeg(), v.AngleDeg/2) > 0 }

// LegSlack tells whether a leg of a V set goes slack under a load.
func (a *Assembly) LegSlack(l Load) bool {
	return a.HangsInV() && compare(l.LeanDeg(), a.VAngleDeg/2) > 0 && !a.Lifted(l)
}

// Lifted tells whether a load lifts both legs of a V set above their attachments.
func (a *Assembly) Lifted(l Load) bool {
	return a.HangsInV() && basis.VLifts(l.TransverseN(), l.VerticalN, a.VAngleDeg)
}
