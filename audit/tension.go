package audit

import (
	"math"

	"dryarc/audit/basis"
)

// tension finds the tension of a case in kN per subconductor. rulingM is the ruling span of the section, which only a calculated
// tension needs.
func (l *Line) tension(c *LoadCase, rulingM float64) (tensionKN float64, reason Reason) {
	stated := func(v float64, missing Reason) (float64, Reason) {
		switch {
		case !math.IsNaN(v):
			return v, NoReason
		case l.Row.Faulty.Has(CellTension):
			return v, FaultyField
		}
		return v, missing
	}
	switch c.From {
	case MaximumTension:
		return stated(l.Row.MaximumTensionKN, MaximumTensionUnknown)
	case ColdTension:
		return stated(l.Row.ColdTensionKN, ColdTensionUnknown)
	case EverydayTension:
		return stated(l.Row.EverydayTensionKN, EverydayTensionUnknown)
	case GivenTension:
		return c.TensionKN, NoReason
	case ShareOfStrength:
		switch {
		case l.Conductor == nil:
			return math.NaN(), ConductorUnknown
		case l.ConductorFaulty.Has(CellRating):
			return math.NaN(), FaultyField
		}
		return stated(c.Share*l.Conductor.RatedStrengthKN, StrengthUnknown)
	}
	return l.calculatedTension(c, rulingM)
}

func (l *Line) calculatedTension(c *LoadCase, rulingM float64) (float64, Reason) {
	switch {
	case l.Conductor == nil:
		return math.NaN(), ConductorUnknown
	case l.ConductorFaulty != 0, l.Row.Faulty.Has(CellTension) && (math.IsNaN(l.Row.EverydayTensionKN) || math.IsNaN(l.Row.EverydayC)):
		return math.NaN(), FaultyField
	case math.IsNaN(l.Row.EverydayTensionKN) || math.IsNaN(l.Row.EverydayC):
		return math.NaN(), EverydayTensionUnknown
	}
	known := basis.ConductorState{TensionKN: l.Row.EverydayTensionKN, WeightNPerM: l.Conductor.WeightNPerM(), TemperatureC: l.Row.EverydayC}
	weight := basis.Resultant(c.WeightNPerM(l.Conductor), basis.WindLoad(c.WindPa, c.OverIceMM(l.Conductor)))
	tension, err := basis.TensionAt(known, weight, c.TemperatureC.Value, rulingM, *l.Conductor)
	if err != nil {
		return math.NaN(), StateUnknown
	}
	return tension, NoReason
}

// coldConstantM is the catenary constant T/w of the cold case at a structure, in m: of the load cases that are marked for
// uplift the one that leaves the least weight span, else the line's cold tension. A marked case without its tension leaves
// all unknown, since it may be the one, unless another lifts already.
func (l *Line) coldConstantM(criteria *Criteria, s *Structure) (constantM float64, reason Reason) {
	least, missing := math.NaN(), NoReason
	for i := range criteria.LoadCases {
		c := &criteria.LoadCases[i]
		if !c.Uplift {
			continue
		}
		constant, reason := l.constantM(c, s)
		if reason != NoReason {
			missing = reason
			continue
		}
		if weight := s.WeightSpanM(constant); constantM == 0 || weight < least {
			constantM, least = constant, weight
		}
	}
	switch {
	case constantM > 0 && (missing == NoReason || basis.Lifts(least)):
		return constantM, NoReason
	case missing != NoReason:
		return math.NaN(), missing
	}
	return l.constantM(&LoadCase{From: ColdTension}, s)
}

// constantM is the catenary constant T/w of one load case at a structure, in m.
func (l *Line) constantM(c *LoadCase, s *Structure) (constantM float64, reason Reason) {
	switch {
	case s.CutOff():
		return math.NaN(), BeyondExtract
	case l.Row.Faulty.Has(CellConductor), l.ConductorFaulty.Has(CellWeight):
		return math.NaN(), FaultyField
	case l.Conductor == nil || math.IsNaN(l.Conductor.MassKgPerM):
		return math.NaN(), ConductorUnknown
	case s.ConductorFaulty:
		return math.NaN(), FaultyField
	case !s.LineConductor:
		return math.NaN(), OtherConductor
	}
	tension, reason := l.tension(c, math.Max(zeroIfNone(s.RulingBackM), zeroIfNone(s.RulingAheadM)))
	constantM = basis.CatenaryConstant(tension, c.WeightNPerM(l.Conductor))
	if reason == NoReason && math.IsNaN(constantM) && l.ConductorFaulty != 0 {
		reason = FaultyField
	}
	return constantM, reason
}

// ColdConstantM is the catenary constant of the cold case at the subject's structure, in m; NaN if unknown.
func (s *Subject) ColdConstantM() float64 {
	constant, _ := s.Line.coldConstantM(s.Criteria, s.Structure)
	return constant
}

// subconductors is the number per phase; one where the Lines sheet states none, which below 300 kV is listed as an assumption
// and from there up leaves loads not assessed.
func (l *Line) subconductors() int {
	if l.Row.Subconductors < 1 {
		return 1
	}
	return l.Row.Subconductors
}
