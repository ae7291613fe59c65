package audit

import (
	"cmp"
	"math"

	"dryarc/audit/basis"
)

// Pull is the load on the worst loaded string of an assembly in one load case, with the factor that its rating needs.
type Pull struct {
	Load     Load
	KN       float64 // on one string or insulator, load factor and unequal sharing included
	Required float64 // rating needed, kN
	Factor   FactorInForce
	Across   bool // across the axis of a shackle insulator
	LegSlack bool // of a V set, whose other leg bears all
	OneSided bool // a shackle that holds the end of the line: the tension, and the wind across it
	// AttachedKN is what one subconductor pulls at the attachment of a tension assembly, FromLowPointM how far that is from the low
	// point of the span, NaN where the tension counts as it is stated.
	AttachedKN, FromLowPointM float64
	// Unsure is why the load may be larger, NoReason where it is known.
	Unsure Reason
}

// HorizontalKN is the rating that the horizontal tension alone asks of a tension assembly, in kN.
func (p *Pull) HorizontalKN() float64 { return p.Required * p.Load.TensionKN / p.AttachedKN }

// pull fills in the load on one string of the subject's assembly in a load case, with some of its parallel strings broken, and the rating that
// it needs; of a tension assembly that of the span on one side. The factor is the least that may hold, or the most.
func (s *Subject) pull(pull *Pull, c *LoadCase, side Side, broken int, most bool) Reason {
	if reason := s.pulled(pull, c, side, broken); reason != NoReason {
		return reason
	}
	of := CantileverFactor
	switch {
	case broken > 0:
		of = OneStringBrokenFactor
	case s.Assembly.Duty == Tension:
		of = TensionFactor
	case s.Assembly.Duty == Suspension, s.Assembly.Duty == Jumper:
		of = SuspensionFactor
	}
	if pull.Factor = s.factor(of, c, side, most); pull.Factor.Value == 0 {
		return FactorNotStated
	}
	pull.Required = basis.RequiredRating(pull.KN, pull.Factor.Value)
	return NoReason
}

// pulled fills in the load on one string without the rating that it needs.
func (s *Subject) pulled(pull *Pull, c *LoadCase, side Side, broken int) (reason Reason) {
	*pull = Pull{}
	load := &pull.Load
	if s.Assembly.Duty == Tension && s.Assembly.Arrangement == VSet {
		return TensionInV
	}
	if s.Assembly.Duty == Tension {
		*load, reason = s.stretched(c, side)
	} else {
		reason = s.loadBy(c, load)
	}
	if reason != NoReason {
		return reason
	}
	a := s.Assembly
	carrying := a.Strings - broken
	share := basis.SharingFactor(a.Alongside(carrying), s.Criteria.UnequalSharing.Value)
	switch a.Duty {
	case Tension:
		if reason := s.atSupport(pull); reason != NoReason {
			return reason
		}
		pull.KN = basis.TensionLoad(pull.AttachedKN, load.Subconductors, carrying)
	case Suspension, Jumper:
		if a.CarriesInV(broken) && math.IsNaN(a.VAngleDeg) {
			return VAngleUnknown
		}
		if reason := a.lacksStringLoads(); reason != NoReason {
			return reason
		}
		if a.CarriesInV(broken) {
			v := a.OnVString(load.TransverseN(), 0, load.VerticalN, carrying, share)
			pull.KN, pull.LegSlack = v.TopN()/1000*c.Factor, leavesSlack(v)
			return NoReason
		}
		own := a.StringWeightN() / share // which the strings do not share
		pull.KN = basis.TopUnitLoad(load.TransverseN()/float64(carrying), load.VerticalN/float64(carrying), own) / 1000
	default:
		pull.Across = true
		pull.KN = math.Abs(load.TransverseN()) / 1000
		if a.Duty == Shackle && (s.Structure.Role == Terminal || a.CircuitEnds) {
			pull.OneSided = true
			pull.KN = basis.Resultant(basis.TensionLoad(load.TensionKN, load.Subconductors, 1), load.WindN/1000)
		}
	}
	pull.KN *= share * c.Factor
	return NoReason
}

// atSupport finds the pull of the span of a tension assembly where it is attached. The tension of a span is horizontal at its low
// point and grows with the height above it. A line without any ground level is judged by the horizontal tension; where only that of
// the span is missing, the pull is at least that, and Unsure says why nobody knows how much more. What is stated as the pull at the
// support is that; a calculated tension is always horizontal.
func (s *Subject) atSupport(pull *Pull) Reason {
	load, st := &pull.Load, s.Structure
	pull.AttachedKN, pull.FromLowPointM = load.TensionKN, math.NaN()
	if s.Criteria.StatedTension == basis.AtSupport && load.Case.From != CalculatedTension || !s.Line.GroundStated || load.Side == NoSide {
		return NoReason
	}
	missing := st.NoRiseBack
	if load.Side == Back {
		pull.FromLowPointM = s.farFromLowPoint(Back, st.HeightM-st.HeightBackM, func(riseM float64) float64 { return basis.FromLowPoint(st.SpanBackM, riseM, load.ConstantM) })
	} else {
		missing = st.NoRiseAhead
		pull.FromLowPointM = s.farFromLowPoint(Ahead, st.HeightAheadM-st.HeightM, func(riseM float64) float64 { return basis.LowPoint(st.SpanAheadM, riseM, load.ConstantM) })
	}
	switch {
	case !math.IsNaN(pull.FromLowPointM):
		pull.AttachedKN = basis.TensionAtSupport(load.TensionKN, pull.FromLowPointM, load.ConstantM)
	case missing == FaultyField:
		return FaultyField
	case missing == NoReason:
		pull.Unsure = GroundUnknown
	default:
		pull.Unsure = missing
	}
	return NoReason
}

// Alongside is how many of an assembly's strings carry one load side by side: all that carry, in a V set those of one leg.
func (a *Assembly) Alongside(carrying int) int {
	if a.Arrangement == VSet {
		return max(carrying/2, 1)
	}
	return carrying
}

// WorstPull is the load case in which the assembly needs the highest rating; of a tension assembly that holds both sides, or a
// side that nobody states, the larger of the two, since it cannot be less. Where a case or a side is not known and another is, the worst
// of those that are known is the least that is needed, and Unsure says why it may be more. Of a side that nobody states both have to be known.
// Of factors it takes the least that may hold: where its factor is unsure, MostPull tells what may be needed.
func (s *Subject) WorstPull(broken int) (worst Pull, reason Reason) {
	return s.worstPull(broken, false)
}

// MostPull is WorstPull by the largest factors that may hold.
func (s *Subject) MostPull(broken int) (worst Pull, reason Reason) { return s.worstPull(broken, true) }

func (s *Subject) worstPull(broken int, most bool) (worst Pull, reason Reason) {
	if len(s.Criteria.LoadCases) == 0 {
		return worst, LoadCasesMissing
	}
	found, unsure, lacking, unsureFactor := false, NoReason, NoReason, NoReason
	sides, count := s.loadedSides()
	cases := s.cases()
	var pull Pull // at hand
	for _, side := range sides[:count] {
		if s.skipsSide(side) {
			continue
		}
		for i := range cases {
			if reason := s.pull(&pull, &cases[i], side, broken, most); reason != NoReason {
				if lacking = cmp.Or(lacking, reason); count > 1 && s.Assembly.Side != BothSides {
					return worst, lacking
				}
				continue
			}
			unsure, unsureFactor = max(unsure, pull.Unsure), max(unsureFactor, pull.Factor.Unsure)
			if !found || pull.Required > worst.Required {
				worst, found = pull, true
			}
		}
	}
	if !found {
		return worst, lacking
	}
	worst.Unsure, worst.Factor.Unsure = cmp.Or(lacking, unsure), unsureFactor
	return worst, NoReason
}

// loadedSides are the sides whose spans load the assembly by themselves: of a tension assembly the one that it states, else those
// that have a span; NoSide for any other, which both load together.
func (s *Subject) loadedSides() (sides [2]Side, count int) {
	if s.Assembly.Duty == Tension {
		for _, side := range bothSides {
			switch {
			case math.IsNaN(s.Structure.spanM(side)):
			case side == s.Assembly.Side:
				return [2]Side{side}, 1
			default:
				sides[count] = side
				count++
			}
		}
	}
	return sides, max(count, 1)
}

// spanM is the span on one side of a structure, NaN where there is none.
func (s *Structure) spanM(side Side) float64 {
	if side == Back {
		return s.SpanBackM
	}
	return s.SpanAheadM
}
