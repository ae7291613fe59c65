package audit

import (
	"math"
	"slices"

	"dryarc/audit/basis"
)

// testedShare is the share that a string's tested value is of what table or formula gives for its units, with the horns that its row states.
type testedShare struct {
	share  float64 // 1 where it is all of it, or neither tells
	byGap  bool    // of the formula
	counts bool    // the string counts units
}

func (a *Assembly) testedShare(shape Shape, c *Criteria) testedShare {
	tested := a.Withstand(shape, a.UnitsPerString, c)
	if tested.Reason != NoReason || tested.From != Tested {
		return testedShare{share: 1}
	}
	has := a.Untested(shape, c)
	if has.From != DiscTable && !has.IsByGap() || has.Reason != NoReason || has.NoMore != NoReason || !(tested.KV < has.KV-basis.Tolerance*has.KV) {
		return testedShare{share: 1}
	}
	return testedShare{tested.KV / has.KV, has.IsByGap(), a.CountsUnits()}
}

// HeldToTestKV is what a trial string withstands by table or formula in the share of it that this string, which hangs there, was tested to have: where a test found less than they
// give, they are believed of no other string to which the same of them is applied. NaN where no less was tested, or the trial has a figure of its own.
func (a *Assembly) HeldToTestKV(trial *Assembly, shape Shape, c *Criteria) float64 {
	return a.testedShare(shape, c).heldKV(trial, shape, c)
}

// heldKV is HeldToTestKV of a string that was tested to have this share.
func (t testedShare) heldKV(trial *Assembly, shape Shape, c *Criteria) float64 {
	if t.share == 1 {
		return math.NaN()
	}
	has := trial.Withstand(shape, trial.UnitsPerString, c)
	if has.Reason != NoReason || !(has.IsByGap() && t.byGap) && !((has.From == DiscTable || has.IsByGap()) && t.counts && trial.CountsUnits()) {
		return math.NaN()
	}
	return t.share * has.KV
}

// Untested is what a string withstands but for what its row states of tests.
func (a *Assembly) Untested(shape Shape, c *Criteria) Withstand {
	byUnits := *a
	d := &byUnits.Direct
	d.LightningKV, d.SwitchingKV, d.WetKV, d.WetSwitchingKV = math.NaN(), math.NaN(), math.NaN(), math.NaN()
	byUnits.Faulty &^= 1<<CellTested | 1<<CellTestedWet | 1<<CellLimits
	return byUnits.Withstand(shape, a.UnitsPerString, c)
}

// HidesTest tells whether this string, which hangs there, may have been tested to have less than table or formula give for it by a share that nobody knows, so that
// nothing is known of a trial string to which the same of them is applied: its tested value cannot be read, or how many units it is of.
func (a *Assembly) HidesTest(trial *Assembly, shape Shape, c *Criteria) bool {
	tested, _ := a.tested(shape)
	unread := a.Faulty.Has(TestedCells[shape]) && (math.IsNaN(tested) || shape == Switching && a.lesserUnread())
	if !unread && math.IsNaN(tested) {
		return false
	}
	has := a.Untested(shape, c)
	switch isKnown := has.Reason == NoReason; {
	case isKnown && (!unread || has.From != DiscTable && !has.IsByGap()), !isKnown && !unread && !a.isUncounted():
		return false
	}
	judged := trial.Withstand(shape, trial.UnitsPerString, c)
	isOfDiscs := trial.CountsUnits() && (judged.From == DiscTable || judged.IsByGap()) && (a.CountsUnits() || a.Makeup == nil || a.MayBeCapAndPin())
	isOfGap := judged.IsByGap() && (has.IsByGap() || has.Reason != NoReason)
	return judged.Reason == NoReason && (isOfDiscs || isOfGap)
}

// isUncounted tells whether of which type a string is can be read, and not how many units it has or of which kind they are.
func (a *Assembly) isUncounted() bool {
	return a.Makeup != nil && !a.Faulty.Has(CellUnit) && (a.Faulty.Has(CellUnitsPerString) || a.UnitFaulty.Has(CellKind) || a.lacksCount())
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

// testedShares are shares by shape, and alikeShares those of the strings of a line that were looked at last.
type (
	testedShares [Wet + 1]testedShare
	alikeShares  struct{ alikeStrings[testedShares] }
)

func (k *alikeShares) of(n *Network, row uint32, c *Criteria) testedShares {
	shares, known := k.alikeStrings.of(&n.Project.Assemblies, row)
	if !known {
		a := n.Assembly(row)
		for shape := range shares {
			shares[shape] = a.testedShare(Shape(shape), c)
		}
	}
	return *shares
}

// hasTestedLess tells whether by the test of a string at the structure of a trial string that would not withstand what is required there.
func (n *Network) hasTestedLess(s *Subject, structure int, alike *alikeShares) bool {
	var asked testedShares // of the row before
	return s.Assembly != nil && slices.ContainsFunc(n.AssemblyRows(structure), func(row uint32) bool {
		if n.Project.Assemblies.saidOf(row).Direct == 0 {
			return false
		}
		shares := alike.of(n, row, s.Criteria)
		if shares == asked {
			return false
		}
		asked = shares
		for shape, of := range shares {
			if of.heldKV(s.Assembly, Shape(shape), s.Criteria) < s.requiredKV(Shape(shape)) {
				return true
			}
		}
		return false
	})
}
