package audit

import (
	"cmp"
	"math"

	"dryarc/audit/basis"
)

// BrokenFitting is the load on a fitting of a suspension assembly beside a broken conductor, with the rating that it needs and has.
type BrokenFitting struct {
	Fitting  Fitting
	Pull     BrokenPull
	GoesOn   bool    // of a clamp: that of a subconductor that does not break bears more
	KN       float64 // load factor included
	Required float64 // rating needed, kN
	RatedKN  float64
	OfLine   bool   // the rating is the line's, since the row states none
	Unsure   Reason // why more may be needed, or why less may be left, NoReason where it is known
}

// Use is how much of its rating a fitting needs.
func (f *BrokenFitting) Use() float64 { return f.Required / f.RatedKN }

// WorstBrokenFitting is the fitting of the subject's suspension assembly that needs the largest share of its rating beside a broken conductor, and
// the break that asks for it. As of WorstBroken, what is known of one break or fitting is the least that is needed where another is not.
func (s *Subject) WorstBrokenFitting() (worst BrokenFitting, reason Reason) {
	factor := s.Criteria.BrokenConductor.Fitting
	if factor == 0 {
		return worst, NoBrokenFitting
	}
	found, lacking := false, NoReason
	for _, intact := range bothSides {
		if s.skipsSide(intact) {
			continue
		}
		pull, reason := s.brokenPull(intact)
		if reason != NoReason {
			lacking = cmp.Or(lacking, reason)
			continue
		}
		for f := range fittings {
			if s.skipsFitting(f) {
				continue
			}
			of := BrokenFitting{Fitting: f, Pull: pull}
			of.RatedKN, of.OfLine, reason = s.FittingKN(f)
			if math.IsNaN(of.RatedKN) {
				lacking = cmp.Or(lacking, reason)
				continue
			}
			s.loadBroken(&of)
			if of.Required = basis.RequiredRating(of.KN, factor); !found || of.Use() > worst.Use() {
				worst, found = of, true
			}
		}
	}
	if !found {
		return worst, cmp.Or(lacking, NoFittingRatings)
	}
	worst.Unsure = lacking
	return worst, NoReason
}

// BrokenFittings are the fittings of which the rating and a break are known, each beside the break that asks for more of it.
func (s *Subject) BrokenFittings() (all []BrokenFitting) {
	for f := range fittings {
		if s.skipsFitting(f) {
			continue
		}
		of := *s
		of.only = &aspect{Fitting: int(f) + 1}
		if s.only != nil {
			of.only.Side = s.only.Side
		}
		if worst, reason := of.WorstBrokenFitting(); reason == NoReason {
			all = append(all, worst)
		}
	}
	return all
}

// loadBroken finds the load on a fitting: on a clamp that of one subconductor, broken or not, on a yoke that of the phase with the weight of its
// strings, since the yoke may be above them, and on ball and socket that of one string.
func (s *Subject) loadBroken(f *BrokenFitting) {
	b := &f.Pull.BrokenLoad
	switch f.Fitting {
	case BallAndSocket:
		f.KN = f.Pull.KN
		return
	case Yoke:
		f.KN = basis.TopUnitLoad(basis.Resultant(b.AlongN, b.AcrossN), b.DownN, s.Assembly.StringWeightN()*float64(s.Assembly.Strings)) / 1000
	case Clamp:
		f.KN = basis.Resultant(b.LeftKN, b.HangsM*b.Case.WeightNPerM(b.Conductor)/1000)
		if whole := float64(b.Subconductors - b.Number); whole > 0 {
			if goesOn := basis.Resultant(b.TurnN, b.VerticalN) / 1000 / whole; goesOn > f.KN {
				f.KN, f.GoesOn = goesOn, true
			}
		}
	}
	f.KN *= b.Case.Factor
}
