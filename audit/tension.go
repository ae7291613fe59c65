package audit

import (
	"math"

	"dryarc/audit/basis"
)

// tension finds the tension of a case in kN per subconductor. rulingM is the ruling span of the section, which only a calculated
// tension needs. Those of the Lines sheet are of the line's own conductor, and nobody's of another; what a case gives in kN is of
// what the spans carry, but where the row of the line calls it superseded.
func (l *Line) tension(c *LoadCase, w *wire, rulingM float64) (tensionKN float64, reason Reason) {
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
	case GivenTension:
		if !w.other && l.Row.Superseded.Has(TensionSuperseded) {
			if l.Row.Faulty.Has(CellDeclared) { // whether it is superseded is not known
				return math.NaN(), FaultyField
			}
			return math.NaN(), GivenTensionUnknown
		}
		return l.believed(c, w)
	case ShareOfStrength:
		switch {
		case w.Conductor == nil:
			return math.NaN(), ConductorUnknown
		case w.faulty.Has(CellRating):
			return math.NaN(), FaultyField
		case math.IsNaN(w.RatedStrengthKN):
			return math.NaN(), StrengthUnknown
		}
		return l.believed(c, w)
	}
	if w.other {
		return math.NaN(), OtherConductor
	}
	switch c.From {
	case MaximumTension:
		return stated(l.Row.MaximumTensionKN, MaximumTensionUnknown)
	case ColdTension:
		return stated(l.Row.ColdTensionKN, ColdTensionUnknown)
	case EverydayTension:
		return stated(l.Row.EverydayTensionKN, EverydayTensionUnknown)
	}
	return l.calculatedTension(c, w, rulingM)
}

func (l *Line) calculatedTension(c *LoadCase, w *wire, rulingM float64) (float64, Reason) {
	switch {
	case w.Conductor == nil:
		return math.NaN(), ConductorUnknown
	case w.faulty != 0, l.Row.Faulty.Has(CellTension) && (math.IsNaN(l.Row.EverydayTensionKN) || math.IsNaN(l.Row.EverydayC)):
		return math.NaN(), FaultyField
	case math.IsNaN(l.Row.EverydayTensionKN) || math.IsNaN(l.Row.EverydayC):
		return math.NaN(), EverydayTensionUnknown
	}
	known := basis.ConductorState{TensionKN: l.Row.EverydayTensionKN, WeightNPerM: w.WeightNPerM(), TemperatureC: l.Row.EverydayC}
	tension, err := basis.TensionAt(known, c.PullingNPerM(w.Conductor), c.TemperatureC.Value, rulingM, *w.Conductor)
	if err != nil {
		return math.NaN(), StateUnknown
	}
	return tension, NoReason
}

// coldOfLine is the cold case of a project whose load cases name none.
var coldOfLine = LoadCase{Name: "cold tension of the Lines sheet", From: ColdTension}

// cold is the load case that judges uplift at a structure: of those that are marked for it the one that leaves the least weight
// span, else the line's cold tension. A marked case without its tension leaves all unknown, since it may be the one, unless
// another lifts already.
func (l *Line) cold(criteria *Criteria, s *Structure) (load Load, reason Reason) {
	missing := NoReason
	for i := range criteria.LoadCases {
		c := &criteria.LoadCases[i]
		if !c.Uplift {
			continue
		}
		one, reason := l.hanging(criteria, c, s)
		if reason != NoReason {
			missing = reason
			continue
		}
		if load.Case == nil || one.WeightSpanM < load.WeightSpanM {
			load = one
		}
	}
	switch {
	case load.Case != nil && (missing == NoReason || basis.Lifts(load.WeightSpanM)):
		return load, NoReason
	case missing != NoReason:
		return Load{}, missing
	}
	return l.hanging(criteria, &coldOfLine, s)
}

// hanging finds tension and weight span of one load case where both spans hang on a structure.
func (l *Line) hanging(criteria *Criteria, c *LoadCase, s *Structure) (load Load, reason Reason) {
	if s.CutOff() {
		return load, BeyondExtract
	}
	w, reason := l.wire(s, NoSide)
	switch {
	case reason != NoReason:
		return load, reason
	case w.faulty.Has(CellWeight):
		return load, FaultyField
	case w.Conductor == nil || math.IsNaN(w.MassKgPerM):
		return load, ConductorUnknown
	}
	load, reason = l.strung(criteria, c, s, NoSide, &w)
	if reason == NoReason && math.IsNaN(load.ConstantM) { // its ice needs the diameter
		reason = ConductorUnknown
		if w.faulty != 0 {
			reason = FaultyField
		}
	}
	load.WeightSpanM = s.WeightSpanM(load.ConstantM)
	return load, reason
}

// strung finds the tension of a load case in the span on one side of a structure; on no side, in the section with the longer ruling
// span of the two. Where the project states pulls at the support, what hangs on both spans has the horizontal tension that goes with
// the pull on this structure.
func (l *Line) strung(criteria *Criteria, c *LoadCase, s *Structure, side Side, w *wire) (load Load, reason Reason) {
	load = Load{Case: c, Side: side, Conductor: w.Conductor, Subconductors: w.subconductors}
	switch back, ahead := zeroIfNone(s.RulingBackM), zeroIfNone(s.RulingAheadM); side {
	case Back:
		load.RulingM = back
	case Ahead:
		load.RulingM = ahead
	default:
		load.RulingM = math.Max(back, ahead)
	}
	load.TensionKN, reason = l.tension(c, w, load.RulingM)
	if reason == NoReason && side == NoSide && criteria.StatedTension == basis.AtSupport && c.From != CalculatedTension {
		load.StatedKN = load.TensionKN
		load.TensionKN, reason = s.horizontalKN(load.StatedKN, c.WeightNPerM(w.Conductor))
	}
	load.ConstantM = basis.CatenaryConstant(load.TensionKN, c.WeightNPerM(w.Conductor))
	return load, reason
}

// horizontalKN is the horizontal tension at which the larger pull of a structure's spans here is the one stated.
func (s *Structure) horizontalKN(pullKN, weightNPerM float64) (float64, Reason) {
	back := basis.Attached{SpanM: s.SpanBackM, RiseM: s.HeightM - s.HeightBackM}
	ahead := basis.Attached{SpanM: s.SpanAheadM, RiseM: s.HeightM - s.HeightAheadM}
	horizontal, ok := basis.HorizontalTension(pullKN, weightNPerM, back, ahead)
	switch {
	case ok:
		return horizontal, NoReason
	case s.NoRiseBack == FaultyField || s.NoRiseAhead == FaultyField:
		return math.NaN(), FaultyField
	case s.NoRiseBack != NoReason:
		return math.NaN(), s.NoRiseBack
	case s.NoRiseAhead != NoReason:
		return math.NaN(), s.NoRiseAhead
	}
	return math.NaN(), PullTooSmall
}

// Cold is the load case that judges uplift at the subject's structure.
func (s *Subject) Cold() (load Load, reason Reason) { return s.Line.cold(s.Criteria, s.Structure) }
