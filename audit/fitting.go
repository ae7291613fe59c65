package audit

import (
	"cmp"
	"math"

	"dryarc/audit/basis"
)

// Fitting is what joins units, strings and conductors, of which a rating may be stated.
type Fitting uint8

// The fittings.
const (
	Clamp         Fitting = iota // of one subconductor
	Yoke                         // of a phase: it carries all its strings
	BallAndSocket                // of one string
	fittings
)

var fittingNames = [fittings]string{"clamp", "yoke", "ball and socket"}

func (f Fitting) String() string { return fittingNames[f] }

// Ratings are mechanical ratings by fitting in kN; NaN where not stated.
type Ratings [fittings]float64

// UnknownRatings returns ratings of which none is stated.
func UnknownRatings() Ratings {
	nan := math.NaN()
	return Ratings{nan, nan, nan}
}

// AnyStated tells whether one of them is stated.
func (r *Ratings) AnyStated() bool {
	for _, kN := range r {
		if !math.IsNaN(kN) {
			return true
		}
	}
	return false
}

// FittingLoad is the load on a fitting in one load case, with the rating that it needs and has.
type FittingLoad struct {
	Fitting  Fitting
	Pull     Pull    // on the string that it is of, without its factor
	KN       float64 // load factor included
	Factor   FactorInForce
	Required float64 // rating needed, kN
	RatedKN  float64
	OfLine   bool   // the rating is the line's, since the row states none
	Unsure   Reason // why more may be needed, or why less may be left, NoReason where it is known
}

// Use is how much of its rating a fitting needs.
func (f *FittingLoad) Use() float64 { return f.Required / f.RatedKN }

// HorizontalKN is the rating that the horizontal tension alone asks of a fitting of a tension assembly, in kN.
func (f *FittingLoad) HorizontalKN() float64 {
	return f.Required * f.Pull.Load.TensionKN / f.Pull.AttachedKN
}

// FittingKN is the rating of a fitting of the subject's assembly: its row's, else its line's; NaN where neither states one, with the
// reason where something does that cannot be read or believed.
func (s *Subject) FittingKN(f Fitting) (kN float64, ofLine bool, reason Reason) {
	a := s.Assembly
	switch kN = a.Direct.FittingsKN[f]; {
	case !math.IsNaN(kN):
	case a.Faulty.Has(CellMounting):
		return kN, false, FaultyField
	default:
		kN, ofLine = s.Line.Row.FittingsKN[f], true
		reason = faulty(math.IsNaN(kN) && s.Line.Row.Faulty.Has(LineFittings[f]))
	}
	if kN > 0 {
		if doubt := a.doubtsFitting(f, kN); doubt != NoReason {
			return math.NaN(), ofLine, doubt
		}
	}
	return kN, ofLine, reason
}

// doubtsFitting tells why a rating in kN of a fitting is not believed: it is many times that of the strings or, where that is not known, of the strongest units that there are.
// What cannot be read of the strings may be that of the weakest. A yoke carries all strings.
func (a *Assembly) doubtsFitting(f Fitting, kN float64) Reason {
	strings := float64(max(a.Strings, 1))
	if rating := a.RatingKN(); !math.IsNaN(rating) {
		if a.Strings > 0 && kN > basis.MostFittingShare*strings*rating {
			return FittingImplausible
		}
		return NoReason
	}
	of := strings
	if f != Yoke {
		of = 1
	}
	switch {
	case kN > of*basis.StrongestUnitKN:
		return FittingImplausible
	case kN > basis.MostFittingShare*strings*basis.WeakestUnitKN && a.lacksRating() == FaultyField:
		return FaultyField
	}
	return NoReason
}

// DoubtedFittings tells of which fittings of an assembly the row, or else the line, states a rating that is not believed beside its strings.
func (s *Site) DoubtedFittings(a *Assembly) (doubted [fittings]bool) {
	for f := range doubted {
		kN := a.Direct.FittingsKN[f]
		if math.IsNaN(kN) {
			kN = s.one.Line.Row.FittingsKN[f]
		}
		doubted[f] = kN > 0 && a.doubtsFitting(Fitting(f), kN) != NoReason
	}
	return doubted
}

// statesFitting tells whether a rating of one of some fittings is stated, or may be in a cell that cannot be read.
func (s *Subject) statesFitting(of ...Fitting) bool {
	for _, f := range of {
		if kN, _, reason := s.FittingKN(f); !math.IsNaN(kN) || reason != NoReason {
			return true
		}
	}
	return false
}

// FittingLoads are the loads on the fittings of an assembly whose rating is stated, each in the load case in which it needs the most; Required is
// 0 of the others. Governs is the one that needs the largest share of its rating.
type FittingLoads struct {
	Of      [fittings]FittingLoad
	Governs Fitting
}

// FittingLoads finds the loads on the fittings of the subject's assembly: with a string broken on those of one string alone, since what carries the
// phase carries no more then. The factors are the least that may hold, or the most. As of WorstPull, what is known of a case or a side is the
// least that is needed where another is not, and so it is where the rating of another fitting cannot be read or a factor is not stated.
func (s *Subject) FittingLoads(broken int, most bool) (loads FittingLoads, reason Reason) {
	if len(s.Criteria.LoadCases) == 0 {
		return loads, LoadCasesMissing
	}
	first := Clamp
	if broken > 0 {
		first = BallAndSocket
	}
	found, unsure, lacking := false, NoReason, NoReason
	sides, count := s.loadedSides()
	cases := s.cases()
	for _, side := range sides[:count] {
		if s.skipsSide(side) {
			continue
		}
		for i := range cases {
			c := &cases[i]
			var pull Pull
			reason := s.pulled(&pull, c, side, broken)
			if reason != NoReason {
				if lacking = cmp.Or(lacking, reason); count > 1 && s.Assembly.Side != BothSides {
					return loads, lacking
				}
				continue
			}
			unsure = max(unsure, pull.Unsure)
			for f := first; f < fittings; f++ {
				if s.skipsFitting(f) {
					continue
				}
				load := FittingLoad{Fitting: f, Pull: pull}
				load.RatedKN, load.OfLine, reason = s.FittingKN(f)
				if math.IsNaN(load.RatedKN) {
					lacking = cmp.Or(lacking, reason)
					continue
				}
				of := FittingFactor
				if broken > 0 {
					of = FittingOneStringBrokenFactor
				}
				if load.Factor = s.factor(of, c, side, most); load.Factor.Value == 0 {
					lacking = cmp.Or(lacking, NoFittingFactor)
					continue
				}
				load.KN = s.onFitting(f, &pull)
				load.Required = basis.RequiredRating(load.KN, load.Factor.Value)
				if worst := &loads.Of[f]; worst.Pull.Load.Case == nil || load.Required > worst.Required {
					load.Factor.Unsure = max(load.Factor.Unsure, worst.Factor.Unsure)
					*worst = load
				} else {
					worst.Factor.Unsure = max(load.Factor.Unsure, worst.Factor.Unsure)
				}
				if governs := &loads.Of[loads.Governs]; !found || loads.Of[f].Use() > governs.Use() {
					loads.Governs, found = f, true
				}
			}
		}
	}
	if !found {
		return loads, cmp.Or(lacking, NoFittingRatings)
	}
	loads.Of[loads.Governs].Unsure = cmp.Or(lacking, unsure)
	return loads, NoReason
}

// UnsureFactor is why the factor of a fitting may be another, NoReason where none may.
func (l *FittingLoads) UnsureFactor() (unsure Reason) {
	for i := range l.Of {
		unsure = max(unsure, l.Of[i].Factor.Unsure)
	}
	return unsure
}

// onFitting is the load on a fitting in kN: on a clamp that of one subconductor, on a yoke that of the phase, of a suspension assembly with the
// weight of its strings since the yoke may be above them, and on ball and socket that of one string.
func (s *Subject) onFitting(f Fitting, pull *Pull) float64 {
	load := &pull.Load
	tension, kN := s.Assembly.Duty == Tension, 0.0
	switch {
	case f == BallAndSocket:
		return pull.KN
	case f == Clamp && tension:
		kN = pull.AttachedKN
	case f == Clamp:
		kN = load.ResultantN / 1000 / float64(load.Subconductors)
	case f == Yoke && tension:
		kN = basis.TensionLoad(pull.AttachedKN, load.Subconductors, 1)
	case f == Yoke:
		kN = basis.TopUnitLoad(load.TransverseN(), load.VerticalN, s.Assembly.StringWeightN()*float64(s.Assembly.Strings)) / 1000
	}
	return kN * load.Case.Factor
}
