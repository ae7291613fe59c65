package audit

import (
	"math"
	"slices"

	"dryarc/audit/basis"
)

// testedShare is the share that a row's tested value is of what table or formula gives for its units, with the horns that it states, where that is less than all of it;
// NaN where it is not, or neither tells.
func (a *Assembly) testedShare(shape Shape, c *Criteria) (share float64, byGap bool) {
	tested := a.Withstand(shape, a.UnitsPerString, c)
	if tested.Reason != NoReason || tested.From != Tested {
		return math.NaN(), false
	}
	byUnits := *a
	d := &byUnits.Direct
	d.LightningKV, d.SwitchingKV, d.WetKV, d.WetSwitchingKV = math.NaN(), math.NaN(), math.NaN(), math.NaN()
	byUnits.Faulty &^= 1<<CellTested | 1<<CellTestedWet | 1<<CellLimits
	has := byUnits.Withstand(shape, a.UnitsPerString, c)
	if has.From != DiscTable && !has.IsByGap() || has.Reason != NoReason || has.NoMore != NoReason || !(tested.KV < has.KV-basis.Tolerance*has.KV) {
		return math.NaN(), false
	}
	return tested.KV / has.KV, has.IsByGap()
}

// HeldToTestKV is what a trial string withstands by table or formula in the share of it that this string, which hangs there, was tested to have: where a test found less than they
// give, they are believed of no other string to which the same of them is applied. NaN where no less was tested, or the trial has a figure of its own.
func (a *Assembly) HeldToTestKV(trial *Assembly, shape Shape, c *Criteria) float64 {
	share, byGap := a.testedShare(shape, c)
	if math.IsNaN(share) {
		return math.NaN()
	}
	has := trial.Withstand(shape, trial.UnitsPerString, c)
	if has.Reason != NoReason || !(has.IsByGap() && byGap) && !((has.From == DiscTable || has.IsByGap()) && a.CountsUnits() && trial.CountsUnits()) {
		return math.NaN()
	}
	return share * has.KV
}

// RequiredKV is the level of a line for a shape of voltage at the structure of the site, altitude and all as far as that is known; NaN where the line is not judged by one.
func (s *Site) RequiredKV(shape Shape) float64 { return s.one.requiredKV(shape) }

func (s *Subject) requiredKV(shape Shape) float64 {
	if shape == Switching && basis.IsRangeOne(s.Line.HighestKV) || shape == Wet && basis.IsRangeTwo(s.Line.HighestKV) {
		return math.NaN()
	}
	ka, _, err := basis.AltitudeFactor(s.Criteria.AltitudeBasis, s.Structure.GroundM, s.Criteria.Exponent(shape))
	if err != nil || math.IsNaN(ka) {
		ka = 1
	}
	return ka * s.Line.Level(shape)
}

// hasTestedLess tells whether by the test of a string at the structure of a trial string that would not withstand what is required there.
func (n *Network) hasTestedLess(s *Subject, structure int) bool {
	return s.Assembly != nil && slices.ContainsFunc(n.AssemblyRows(structure), func(row uint32) bool {
		if n.Project.Assemblies.saidOf(row).Direct == 0 {
			return false
		}
		a := n.Assembly(row)
		return slices.ContainsFunc([]Shape{Lightning, Switching, Wet}, func(shape Shape) bool {
			return a.HeldToTestKV(s.Assembly, shape, s.Criteria) < s.requiredKV(shape)
		})
	})
}
