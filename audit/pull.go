package audit

import (
	"math"

	"dryarc/audit/basis"
)

// Pull is the load on the worst loaded string of an assembly in one load case, with the factor that its rating needs.
type Pull struct {
	Load     Load
	KN       float64 // on one string or insulator, load factor and unequal sharing included
	Required float64 // rating needed, kN
	Factor   float64
	Across   bool // across the axis of a shackle insulator
	OneSided bool // a shackle that holds the end of the line: the tension, and the wind across it
}

// Pull finds the load on one string of the subject's assembly in a load case, with some of its parallel strings broken.
func (s *Subject) Pull(c *LoadCase, broken int) (pull Pull, reason Reason) {
	load, reason := s.Load(c)
	if onTensionAlone := s.Assembly.Duty == Tension && load.TensionKN > 0; reason != NoReason && !onTensionAlone {
		return pull, reason
	}
	a, factors := s.Assembly, &s.Criteria.InsulatorFactor
	pull.Load = load
	carrying := a.Strings - broken
	share := basis.SharingFactor(a.Alongside(carrying), s.Criteria.UnequalSharing.Value)
	switch a.Duty {
	case Tension:
		pull.Factor = factors.Tension
		pull.KN = basis.TensionLoad(load.TensionKN, s.Line.subconductors(), carrying)
	case Suspension, Jumper:
		pull.Factor = factors.Suspension
		pull.KN = load.ResultantN / 1000 / float64(carrying)
		if a.Arrangement == VSet {
			if math.IsNaN(a.VAngleDeg) {
				return pull, VAngleUnknown
			}
			pull.KN = basis.VLegLoad(load.TransverseN(), load.VerticalN, a.VAngleDeg) / 1000 / float64(a.Alongside(carrying))
		}
	default:
		pull.Factor, pull.Across = factors.Cantilever, true
		pull.KN = math.Abs(load.TransverseN()) / 1000
		if a.Duty == Shackle && (s.Structure.Role == Terminal || a.CircuitEnds) {
			pull.OneSided = true
			pull.KN = basis.Resultant(basis.TensionLoad(load.TensionKN, s.Line.subconductors(), 1), load.WindN/1000)
		}
	}
	if broken > 0 {
		pull.Factor = factors.OneStringBroken
	}
	if pull.Factor == 0 {
		return pull, FactorNotStated
	}
	pull.KN *= share * c.Factor
	pull.Required = basis.RequiredRating(pull.KN, pull.Factor)
	return pull, NoReason
}

// Alongside is how many of an assembly's strings carry one load side by side: all that carry, in a V set those of one leg.
func (a *Assembly) Alongside(carrying int) int {
	if a.Arrangement == VSet {
		return max(carrying/2, 1)
	}
	return carrying
}

// WorstPull is the load case in which the assembly needs the highest rating; of a tension assembly that holds both sides, or a
// side that nobody states, the larger of the two, since it cannot be less.
func (s *Subject) WorstPull(broken int) (worst Pull, reason Reason) {
	if s.Assembly.Duty != Tension || s.Assembly.Side == Back || s.Assembly.Side == Ahead {
		return s.worstPull(broken)
	}
	found := false
	for _, side := range bothSides {
		towards, ok := s.towards(side)
		if !ok {
			continue
		}
		pull, reason := towards.worstPull(broken)
		if reason != NoReason {
			return worst, reason
		}
		if !found || pull.Required > worst.Required {
			worst, found = pull, true
		}
	}
	if !found {
		return s.worstPull(broken)
	}
	return worst, NoReason
}

// towards is the subject with its assembly on one side and the tension of that side's section; ok is false where it has no span.
func (s *Subject) towards(side Side) (one Subject, ok bool) {
	assembly, structure := *s.Assembly, *s.Structure
	assembly.Side = side
	if side == Back {
		structure.RulingAheadM = structure.RulingBackM
		ok = !math.IsNaN(structure.SpanBackM)
	} else {
		structure.RulingBackM = structure.RulingAheadM
		ok = !math.IsNaN(structure.SpanAheadM)
	}
	one = *s
	one.Assembly, one.Structure, one.loads = &assembly, &structure, nil
	return one, ok
}

func (s *Subject) worstPull(broken int) (worst Pull, reason Reason) {
	if len(s.Criteria.LoadCases) == 0 {
		return worst, LoadCasesMissing
	}
	for i := range s.Criteria.LoadCases {
		pull, reason := s.Pull(&s.Criteria.LoadCases[i], broken)
		if reason != NoReason {
			return worst, reason
		}
		if i == 0 || pull.Required > worst.Required {
			worst = pull
		}
	}
	return worst, NoReason
}
