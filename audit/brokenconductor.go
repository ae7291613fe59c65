package audit

import (
	"cmp"
	"math"

	"dryarc/audit/basis"
)

// BrokenLoad is what hangs on a suspension, pin or post assembly once the conductors of the span on one side of it are broken. Forces are
// those of a phase, in N, without the load factor of the case.
type BrokenLoad struct {
	Load            // of the intact span before the break; its weight span and the forces are of the subconductors that go on, 0 where all break
	Number  int     // of subconductors that break
	Share   float64 // of the tension that is left
	SlipKN  float64 // pull at which the clamp or tie of one subconductor slips; NaN where nobody states it
	SlipOwn bool    // the row states it, not its line
	LeftKN  float64 // horizontal tension that a subconductor keeps whose other span is broken
	LeftM   float64 // catenary constant by that
	HangsM  float64 // how much of its arc hangs here by that, from its low point; below 0 it lifts
	GoesOnM float64 // arc of a subconductor that does not break, from low point to low point of both spans
	AlongN  float64
	AcrossN float64
	DownN   float64 // below 0 is uplift
}

// BrokenPull is a BrokenLoad as it comes on the strings of a suspension assembly.
type BrokenPull struct {
	BrokenLoad
	KN       float64 // on one string, load factor and unequal sharing included
	LegSlack bool    // of a V set, whose other leg bears all
	Required float64 // rating needed, kN
	Unsure   Reason  // why a break on the other side may load it more, NoReason where that is known
}

// SideBroken is the side whose span breaks.
func (b *BrokenLoad) SideBroken() Side {
	if b.Side == Back {
		return Ahead
	}
	return Back
}

// slip is the slip load of the clamp or tie of one subconductor: the row's, else the line's as a rule. NaN where neither states one.
func (s *Subject) slip() (kN float64, own bool, reason Reason) {
	a, row := s.Assembly, &s.Line.Row
	switch {
	case a.Faulty.Has(CellAttachment):
		return math.NaN(), false, FaultyField
	case !math.IsNaN(a.Direct.SlipKN) && row.Superseded.Has(SlipSuperseded):
		if row.Faulty.Has(CellDeclared) { // whether it is superseded is not known
			return math.NaN(), false, FaultyField
		}
		return math.NaN(), false, OwnSlipSuperseded
	case !math.IsNaN(a.Direct.SlipKN):
		return a.Direct.SlipKN, true, NoReason
	case math.IsNaN(row.SlipKN) && row.Faulty.Has(CellAttachment):
		return math.NaN(), false, row.lacks(CellAttachment)
	}
	return row.SlipKN, false, NoReason
}

// brokenLoad finds what is left where the conductors break in the span opposite to the one on a side, which stays.
func (s *Subject) brokenLoad(intact Side) (b BrokenLoad, reason Reason) {
	st, rule := s.Structure, &s.Criteria.BrokenConductor
	b.Share = rule.Share.Of(s.Assembly.Duty)
	factor, _ := s.BrokenFactor()
	c := s.Criteria.BrokenCase()
	switch {
	case b.Share == 0:
		return b, NoShareLeft
	case factor == 0:
		return b, NoBrokenFactor
	case c == nil:
		return b, LoadCaseNotNamed
	case st.isSlack(intact):
		return b, SlackSpan
	}
	if b.SlipKN, b.SlipOwn, reason = s.slip(); reason != NoReason {
		return b, reason
	}
	if b.Load, reason = s.stretched(c, intact); reason != NoReason {
		return b, reason
	}
	if reason = s.riseReason(intact); reason != NoReason {
		return b, reason
	}
	if math.IsNaN(st.DeviationDeg) {
		return b, DeviationUnknown
	}
	weight := c.WeightNPerM(b.Conductor)
	if s.Criteria.StatedTension == basis.AtSupport && c.From != CalculatedTension {
		b.StatedKN = b.TensionKN
		var ok bool
		if b.TensionKN, ok = basis.HorizontalTension(b.StatedKN, weight, st.attached(intact)); !ok {
			return b, PullTooSmall
		}
		b.ConstantM = basis.CatenaryConstant(b.TensionKN, weight)
	}
	if compare(b.SlipKN, basis.LeastSlipShare*b.TensionKN) < 0 {
		return b, SlipImplausible
	}
	b.Number = b.Subconductors
	if rule.Subconductors > 0 {
		b.Number = min(b.Number, rule.Subconductors)
	}
	b.LeftKN = basis.PullLeft(b.TensionKN, b.Share, b.SlipKN)
	b.LeftM = basis.CatenaryConstant(b.LeftKN, weight)
	if b.HangsM = s.hangsM(intact, b.LeftM); math.IsNaN(b.HangsM) {
		return b, GroundUnknown
	}
	broken, whole := float64(b.Number), float64(b.Subconductors-b.Number)
	if whole == 0 && rule.Subconductors > 0 {
		if reason = s.allBreak(b.SideBroken(), rule.Subconductors); reason != NoReason {
			return b, reason
		}
	}
	b.AlongN, b.AcrossN = basis.PullOfOneSpan(1000*b.LeftKN*broken, st.DeviationDeg)
	b.DownN = b.HangsM * weight * broken
	if whole > 0 {
		if reason = s.goesOn(&b); reason != NoReason {
			return b, reason
		}
		b.TurnN, b.VerticalN = basis.TurnPull(1000*b.TensionKN, st.DeviationDeg)*whole, b.GoesOnM*weight*whole
		b.AcrossN, b.DownN = b.AcrossN+b.TurnN, b.DownN+b.VerticalN
	}
	return b, NoReason
}

// hangsM is how much of the conductor on one side hangs on the subject's structure, from its low point along its arc, in m; NaN where the heights or the span
// are not known.
func (s *Subject) hangsM(side Side, constantM float64) float64 {
	st := s.Structure
	hangs, slope := 0.0, 0.0
	if side == Back {
		rise := st.HeightM - st.HeightBackM
		hangs, slope = basis.FromLowPoint(st.SpanBackM, rise, constantM), basis.LowPointSlope(st.SpanBackM, rise, constantM)
	} else {
		rise := st.HeightAheadM - st.HeightM
		hangs, slope = basis.LowPoint(st.SpanAheadM, rise, constantM), basis.LowPointSlope(st.SpanAheadM, rise, constantM)
	}
	if s.sigmas != 0 {
		hangs += float64(s.sigmas) * s.riseErrorM(side) * slope
	}
	return basis.ArcFromLowPoint(hangs, constantM)
}

// allBreak tells why it is not known that the span on one side has no more subconductors than break, those that go on being held by none of the
// other span.
func (s *Subject) allBreak(side Side, number int) Reason {
	w, reason := s.Line.wire(s.Structure, side)
	if reason = cmp.Or(reason, w.noBundle); reason == NoReason && w.subconductors > number {
		return SpansDiffer
	}
	return reason
}

// goesOn finds the arc of subconductors that stay in both spans, which have to be alike.
func (s *Subject) goesOn(b *BrokenLoad) Reason {
	st := s.Structure
	if w, reason := s.Line.wire(st, NoSide); cmp.Or(reason, w.noBundle) != NoReason {
		return cmp.Or(reason, w.noBundle)
	}
	if st.SlackBack || st.SlackAhead {
		return SlackSpan
	}
	if b.GoesOnM = st.arcM(b.ConstantM); math.IsNaN(b.GoesOnM) {
		return s.groundReason()
	}
	b.GoesOnM += float64(s.sigmas) * s.WeightSpanSigmaM(b.ConstantM)
	return NoReason
}

// riseReason is why it is not known how much of the span on one side hangs on the subject's structure.
func (s *Subject) riseReason(side Side) Reason {
	if side == Back {
		return s.Structure.NoRiseBack
	}
	return s.Structure.NoRiseAhead
}

// attached is the span on one side as its attachment here sees it.
func (s *Structure) attached(side Side) basis.Attached {
	if side == Back {
		return basis.Attached{SpanM: s.SpanBackM, RiseM: s.HeightM - s.HeightBackM}
	}
	return basis.Attached{SpanM: s.SpanAheadM, RiseM: s.HeightM - s.HeightAheadM}
}

// isSlack tells whether the span on one side is slack.
func (s *Structure) isSlack(side Side) bool {
	if side == Back {
		return s.SlackBack
	}
	return s.SlackAhead
}

// brokenPull finds how a break loads the strings of the subject's suspension assembly.
func (s *Subject) brokenPull(intact Side) (p BrokenPull, reason Reason) {
	if p.BrokenLoad, reason = s.brokenLoad(intact); reason != NoReason {
		return p, reason
	}
	a := s.Assembly
	share := s.sharing()
	if a.Arrangement == VSet && math.IsNaN(a.VAngleDeg) {
		return p, VAngleUnknown
	}
	if reason := a.lacksStringLoads(); reason != NoReason {
		return p, reason
	}
	if a.Arrangement == VSet {
		v := a.OnVString(p.AcrossN, p.AlongN, p.DownN, a.Strings, share)
		p.KN, p.LegSlack = v.TopN()/1000, leavesSlack(v)
	} else {
		strings := float64(a.Strings)
		p.KN = basis.TopUnitLoad(basis.Resultant(p.AlongN, p.AcrossN)/strings, p.DownN/strings, a.StringWeightN()/share) / 1000 * share
	}
	p.KN *= p.Case.Factor
	factor, _ := s.BrokenFactor()
	p.Required = basis.RequiredRating(p.KN, factor)
	return p, NoReason
}

// sharing is how much more than an equal share the worst of the strings that carry side by side bears.
func (s *Subject) sharing() float64 {
	return basis.SharingFactor(s.Assembly.Alongside(s.Assembly.Strings), s.Criteria.UnequalSharing.Value)
}

// WorstBroken is the break, in the span behind or in the one ahead, that asks for the highest rating of a suspension string. Where one of the two
// is not known, the other is the least that is needed, and Unsure says why it may be more.
func (s *Subject) WorstBroken() (worst BrokenPull, reason Reason) {
	found, lacking := false, NoReason
	for _, intact := range bothSides {
		if s.skipsSide(intact) {
			continue
		}
		p, reason := s.brokenPull(intact)
		switch {
		case reason != NoReason:
			lacking = cmp.Or(lacking, reason)
		case !found || p.Required > worst.Required:
			worst, found = p, true
		}
	}
	if !found {
		return worst, lacking
	}
	worst.Unsure = lacking
	return worst, NoReason
}

// BrokenBearing finds what the subject's pin or post bears where a conductor breaks, as PostBearing does for the load cases.
func (s *Subject) BrokenBearing() (PostBearing, Reason) { return s.bearing(s.worstBrokenPost) }

// worstBrokenPost is the break that uses the insulator most in one mounting. What the other lacks the worst is told to lack.
func (s *Subject) worstBrokenPost(mounting Mounting) (PostLoad, Reason) {
	var w worstOfPosts
	lacking := NoReason
	for _, intact := range bothSides {
		if s.skipsSide(intact) {
			continue
		}
		p, reason := s.brokenPost(intact, mounting)
		if reason != NoReason {
			lacking = cmp.Or(lacking, reason)
			continue
		}
		w.add(&p)
	}
	if !w.any {
		return PostLoad{}, lacking
	}
	worst := w.load()
	worst.Unsure = cmp.Or(worst.Unsure, lacking)
	return worst, NoReason
}

// brokenPost resolves what a break leaves along and across the axis of the insulator. It bends the insulator along the line, however that stands.
func (s *Subject) brokenPost(intact Side, mounting Mounting) (p PostLoad, reason Reason) {
	b, reason := s.brokenLoad(intact)
	if reason != NoReason {
		return p, reason
	}
	a := s.Assembly
	p = PostLoad{Load: b.Load, Broken: &b, Mounting: mounting, Sharing: s.sharing()}
	each := p.Sharing * b.Case.Factor / 1000
	p.SideKN, p.DownKN, p.AlongKN = b.AcrossN*each, b.DownN*each, b.AlongN*each
	if lacks := a.lacksStringLoads(); lacks != NoReason && !a.HasFailed() {
		return p, lacks
	}
	p.resolve(a.StringWeightN() / 1000 * b.Case.Factor)
	factor, of := s.BrokenFactor()
	s.usePost(&p, func(FactorOf) FactorInForce {
		return FactorInForce{Value: factor, Basis: of}
	})
	return p, NoReason
}

// asksBroken tells whether a broken conductor is asked for that loads the subject's assembly.
func (s *Subject) asksBroken() bool {
	a := s.Assembly
	return s.Criteria.BrokenConductor != (BrokenConductor{}) && (a.Duty == Suspension || a.standsAsPost()) && s.Structure.Role != Terminal && !a.CircuitEnds
}

// bearsBreak tells whether the subject's pin or post bears a broken conductor, where one is asked for.
func (s *Subject) bearsBreak() bool {
	if !s.asksBroken() {
		return true
	}
	b, reason := s.BrokenBearing()
	return reason == NoReason && !b.Overloaded()
}

// lacksBroken is why it is not known what an assembly bears where a conductor breaks.
func (s *Subject) lacksBroken() Reason {
	if s.Assembly.standsAsPost() {
		_, reason := s.BrokenBearing()
		return reason
	}
	_, reason := s.WorstBroken()
	return reason
}
