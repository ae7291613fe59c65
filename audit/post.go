package audit

import (
	"cmp"
	"math"

	"dryarc/audit/basis"
)

// CombinedLoads is the rule for an insulator that is bent and pulled or pushed at once.
type CombinedLoads uint8

// The rules for combined loads.
const (
	SumOfUtilisations CombinedLoads = iota // the utilisations sum to 1 at most
	EachUtilisation                        // each of them is 1 at most
)

var combinedLoadsNames = [...]string{"sum", "each"}

func (c CombinedLoads) String() string { return combinedLoadsNames[c] }

// CombinedLoadsWords are the spellings of the criterion.
func CombinedLoadsWords() []Spelling[CombinedLoads] {
	return []Spelling[CombinedLoads]{{"sum", SumOfUtilisations}, {"each", EachUtilisation}}
}

// PostPart is one of the loads on a pin or post insulator with the strength that bears it.
type PostPart struct {
	KN          float64 // unequal sharing and the load factor of the case included
	Factor      FactorInForce
	StrengthKN  float64 // NaN where not needed or unknown
	Utilisation float64 // load times factor over strength; 0 where there is no load, and where it is not known
	Lacks       Reason  // why it is not known
}

// PostLoad is what one load case does to a pin or post insulator in one mounting.
type PostLoad struct {
	Load        Load
	Broken      *BrokenLoad // where a conductor breaks; nil in a load case
	Mounting    Mounting
	Sharing     float64 // how much more than its share the worst insulator carries
	SideKN      float64 // across the line, wind and turn in one direction; either way
	DownKN      float64 // below 0 it lifts
	AlongKN     float64 // along the line, where the conductor ends on it
	OwnKN       float64 // what the insulator's own weight adds: upright all of it, horizontal the half that acts at its head; 0 where its units state none
	Bend        PostPart
	Pull        PostPart
	Push        PostPart
	Utilisation float64 // by the rule for combined loads, of what is known: it is that or more
	Unsure      Reason  // why it may be used too much all the same, by a load or a factor that is not known; NoReason where all is known
}

// Lacks is the first reason why a part is not known.
func (p *PostLoad) Lacks() Reason {
	for _, part := range [...]*PostPart{&p.Bend, &p.Pull, &p.Push} {
		if part.Lacks != NoReason {
			return part.Lacks
		}
	}
	return p.Unsure
}

// Overloaded tells whether the loads exceed what the insulator is good for by what is known alone.
func (p *PostLoad) Overloaded() bool { return compare(p.Utilisation, 1) > 0 }

// PostBearing is what a pin or post bears in its worst load case.
type PostBearing struct {
	PostLoad
	// Other is the same in the other mounting where nobody states which it is and both lead to one verdict. The governing one is the
	// worse where both meet, and the milder where both fall short.
	Other  PostLoad
	Either bool
}

// standing is how the pins or posts of one structure stand.
type standing struct {
	duty     Duty
	mounting Mounting
	rows     int
	faulty   bool
}

// note takes a row in; those that stand otherwise than the first leave the mounting open.
func (st *standing) note(r *AssemblyRow) {
	if st.rows == 0 {
		st.mounting = r.Mounting
	} else if r.Mounting != st.mounting {
		st.mounting = MountingUnknown
	}
	st.rows++
	st.faulty = st.faulty || isMountingUnread(r.Mounting, r.Faulty)
}

// put lets a trial stand so.
func (st *standing) put(trial *Assembly) {
	trial.Duty, trial.Mounting = st.duty, st.mounting
	if st.faulty {
		trial.Faulty = trial.Faulty.With(CellMounting)
	}
}

// standsAsPost tells whether an assembly is a pin or a post.
func (a *Assembly) standsAsPost() bool { return a.Duty == Pin || a.Duty == Post }

// mayStandAsPost tells whether what a row is of may be a pin or a post.
func (r *RowSaid) mayStandAsPost() bool {
	return r.Duty == Pin || r.Duty == Post || r.Duty == DutyUnknown
}

// isMountingUnread tells whether the mounting of a row may be stated and cannot be read. One that is known is, whatever else of its kind of
// cells cannot be read: grading rings and ratings of fittings are.
func isMountingUnread(mounting Mounting, faulty Cells) bool {
	return mounting == MountingUnknown && faulty.Has(CellMounting)
}

// mounting is how a pin or post stands: pins upright where nobody says otherwise (common practice).
func (a *Assembly) mounting() Mounting {
	if a.Mounting == MountingUnknown && a.Duty == Pin {
		return Upright
	}
	return a.Mounting
}

// lacksPull is why it is not known what an assembly bears, with some of its parallel strings broken.
func (s *Subject) lacksPull(broken int) Reason {
	if s.Assembly.standsAsPost() {
		_, reason := s.PostBearing(broken)
		return reason
	}
	_, reason := s.WorstPull(broken)
	return reason
}

// PostBearing finds what the subject's pin or post bears. What falls short by the loads that are known falls short whatever the
// others are; a strength, factor or mounting that could make the difference leaves it unknown. Of one that has failed by a defect
// no strength is looked at, and the load case is that of the largest resultant.
func (s *Subject) PostBearing(broken int) (PostBearing, Reason) {
	return s.bearing(func(mounting Mounting) (PostLoad, Reason) { return s.worstPost(mounting, broken) })
}

// bearing is what the subject's pin or post bears by the worst load in one mounting.
func (s *Subject) bearing(worst func(mounting Mounting) (PostLoad, Reason)) (b PostBearing, reason Reason) {
	a := s.Assembly
	failed := a.HasFailed()
	switch {
	case a.Unit == nil:
		return b, a.lacksString()
	case isMountingUnread(a.Mounting, a.Faulty) && !failed:
		return b, FaultyField
	}
	mounting := a.mounting()
	if failed {
		mounting = MountingUnknown
	}
	if mounting != MountingUnknown || failed {
		b.PostLoad, reason = worst(mounting)
		switch lacks := b.Lacks(); {
		case reason != NoReason:
			return b, reason
		case lacks == FaultyField, lacks != NoReason && !b.Overloaded():
			return b, lacks
		}
		return b, NoReason
	}
	upright, reason := worst(Upright)
	if reason != NoReason {
		return b, reason
	}
	horizontal, reason := worst(Horizontal)
	if reason != NoReason {
		return b, reason
	}
	b = PostBearing{PostLoad: upright, Other: horizontal, Either: true}
	if (b.Other.Utilisation > b.Utilisation) != b.Other.Overloaded() {
		b.PostLoad, b.Other = b.Other, b.PostLoad
	}
	return b, eitherLacks(&upright, &horizontal)
}

// eitherLacks is why nobody can tell what a post bears whose mounting is not stated; NoReason where both mountings meet or both fall
// short.
func eitherLacks(upright, horizontal *PostLoad) Reason {
	one, other := upright.Lacks(), horizontal.Lacks()
	switch {
	case one == FaultyField, other == FaultyField:
		return FaultyField
	case upright.Overloaded() && horizontal.Overloaded():
		return NoReason
	case one != NoReason && other != NoReason && !upright.Overloaded() && !horizontal.Overloaded():
		return one
	case one != NoReason, other != NoReason, upright.Overloaded() != horizontal.Overloaded():
		return MountingNotStated
	}
	return NoReason
}

// unsureFactor is the first reason why the factor of a load may be another.
func (p *PostLoad) unsureFactor() Reason {
	return cmp.Or(p.Bend.Factor.Unsure, p.Push.Factor.Unsure, p.Pull.Factor.Unsure)
}

// worstPost is the load case that uses the insulator most in one mounting. What any case lacks, the worst is told to lack. Where factors may
// be others, it falls short by the least of them and meets by the largest.
func (s *Subject) worstPost(mounting Mounting, broken int) (worst PostLoad, reason Reason) {
	worst, unsure, reason := s.worstPostBy(mounting, broken, false)
	if reason != NoReason || unsure == NoReason || worst.Lacks() != NoReason || worst.Overloaded() {
		return worst, reason
	}
	most, _, _ := s.worstPostBy(mounting, broken, true)
	if most.Overloaded() {
		worst.Unsure = unsure
		return worst, NoReason
	}
	return most, NoReason
}

// worstPostBy is worstPost by the least factors that may hold, or the most; unsure is why they may be others.
func (s *Subject) worstPostBy(mounting Mounting, broken int, byMost bool) (worst PostLoad, unsure, reason Reason) {
	if len(s.Criteria.LoadCases) == 0 {
		return worst, NoReason, LoadCasesMissing
	}
	var w worstOfPosts
	cases := s.cases()
	for i := range cases {
		p, reason := s.postLoad(&cases[i], mounting, broken, byMost)
		if reason != NoReason {
			return worst, NoReason, reason
		}
		unsure = max(unsure, p.unsureFactor())
		w.add(&p)
	}
	return w.load(), unsure, NoReason
}

// worstOfPosts is the worst of several loads on a pin or post in one mounting, where that is not known the largest.
type worstOfPosts struct {
	worst, lacking PostLoad
	any            bool
}

func (w *worstOfPosts) add(p *PostLoad) {
	use, most := p.Utilisation, w.worst.Utilisation
	if p.Mounting == MountingUnknown {
		use, most = p.ResultantKN(), w.worst.ResultantKN()
	}
	if !w.any || use > most {
		w.worst, w.any = *p, true
	}
	if lacks := p.Lacks(); lacks != NoReason && (w.lacking.Lacks() == NoReason || lacks == FaultyField) {
		w.lacking = *p
	}
}

// load is the worst, or one that lacks something which may be worse.
func (w *worstOfPosts) load() PostLoad {
	lacks := w.lacking.Lacks()
	if lacks == FaultyField || lacks != NoReason && !w.worst.Overloaded() {
		return w.lacking
	}
	return w.worst
}

// cantileverNeededKN is the rating across the axis that the loads on a pin or post need, those of a broken conductor too where it is asked for; where nobody states its mounting, the larger of
// the two. NaN where it is not known.
func (s *Subject) cantileverNeededKN() float64 {
	if isMountingUnread(s.Assembly.Mounting, s.Assembly.Faulty) {
		return math.NaN()
	}
	mountings := [...]Mounting{s.Assembly.mounting(), s.Assembly.mounting()}
	if mountings[0] == MountingUnknown {
		mountings = [...]Mounting{Upright, Horizontal}
	}
	needed := math.NaN()
	for i := range s.Criteria.LoadCases {
		for _, mounting := range mountings {
			p, reason := s.postLoad(&s.Criteria.LoadCases[i], mounting, 0, true)
			if reason != NoReason || p.Bend.Factor.Value == 0 {
				return math.NaN()
			}
			if rating := basis.RequiredRating(p.Bend.KN, p.Bend.Factor.Value); !(rating <= needed) {
				needed = rating
			}
		}
	}
	if !s.asksBroken() || math.IsNaN(needed) {
		return needed
	}
	for _, mounting := range mountings {
		for _, intact := range bothSides {
			p, reason := s.brokenPost(intact, mounting)
			if reason != NoReason {
				return math.NaN()
			}
			needed = math.Max(needed, basis.RequiredRating(p.Bend.KN, p.Bend.Factor.Value))
		}
	}
	return needed
}

// ResultantKN is the load on the insulator whatever its mounting.
func (p *PostLoad) ResultantKN() float64 {
	return basis.Resultant(basis.Resultant(p.SideKN, p.AlongKN), p.DownKN)
}

// postLoad resolves the load of a case along and across the axis of the insulator, which a mounting gives it. Upright it is bent by
// what acts across and along the line and pushed by the weight, or pulled by uplift; horizontal it is bent by the weight, and the
// wind and the turn push it or pull it: on which side of the structure it stands is not known, so both are looked at.
// Its own weight, where the unit states it, adds to the push, or half of it to the bending; nothing is taken off an uplift.
// The factors are the least that may hold, or the most.
func (s *Subject) postLoad(c *LoadCase, mounting Mounting, broken int, most bool) (p PostLoad, reason Reason) {
	load, reason := s.Load(c)
	if reason != NoReason {
		return p, reason
	}
	a := s.Assembly
	sharing := basis.SharingFactor(a.Alongside(a.Strings-broken), s.Criteria.UnequalSharing.Value)
	p = PostLoad{Load: load, Mounting: mounting, Sharing: sharing, SideKN: math.Abs(load.TransverseN()) / 1000 * sharing * c.Factor,
		DownKN: load.VerticalN / 1000 * sharing * c.Factor}
	if s.Structure.Role == Terminal || a.CircuitEnds {
		p.AlongKN = basis.TensionLoad(load.TensionKN, load.Subconductors, 1) * sharing * c.Factor
	}
	if lacks := a.lacksStringLoads(); lacks != NoReason && !a.HasFailed() {
		return p, lacks
	}
	p.resolve(a.StringWeightN() / 1000 * c.Factor) // which the insulators do not share
	s.usePost(&p, func(of FactorOf) FactorInForce {
		if broken > 0 {
			of = OneStringBrokenFactor
		}
		return s.factor(of, c, NoSide, most)
	})
	return p, NoReason
}

// resolve finds what the loads and the own weight in kN do along and across the axis.
func (p *PostLoad) resolve(own float64) {
	switch p.Mounting {
	case Upright:
		p.OwnKN = own
		p.Bend.KN, p.Push.KN, p.Pull.KN = basis.Resultant(p.SideKN, p.AlongKN), math.Max(p.DownKN+own, 0), math.Max(-p.DownKN, 0)
	case Horizontal:
		p.OwnKN = own / 2
		p.Bend.KN, p.Push.KN, p.Pull.KN = basis.Resultant(math.Max(math.Abs(p.DownKN), math.Abs(p.DownKN+p.OwnKN)), p.AlongKN), p.SideKN, p.SideKN
	}
}

// usePost finds how much of its strengths the loads on a pin or post use.
func (s *Subject) usePost(p *PostLoad, factor func(of FactorOf) FactorInForce) {
	a := s.Assembly
	p.Bend.use(factor(CantileverFactor), FactorNotStated, a.CantileverKN(), a.postLacks(CantileverUnknown))
	p.Push.use(factor(CompressionFactor), NoCompressionFactor, a.CompressionKN(), a.postLacks(CompressionUnknown))
	if p.Pull.KN > 0 {
		pulled, lacks := a.LeftKN(s.Criteria)
		if lacks == NoReason {
			lacks = a.postLacks(AxialRatingUnknown)
			if a.Faulty.Has(CellRating) {
				lacks = FaultyField
			}
		}
		p.Pull.use(factor(TensionFactor), NoAxialFactor, pulled, lacks)
	}
	if p.Bend.KN > 0 && a.isStack() {
		p.Unsure = StackCantileverUnknown
	}
	along := math.Max(p.Pull.Utilisation, p.Push.Utilisation)
	p.Utilisation = p.Bend.Utilisation + along
	if s.Criteria.CombinedLoads == EachUtilisation {
		p.Utilisation = math.Max(p.Bend.Utilisation, along)
	}
}

// isStack tells whether several insulators stand on each other: a load at the head bends the foot of the stack by a longer lever than that of the one
// whose cantilever rating is stated, which bounds what the stack bears.
func (a *Assembly) isStack() bool {
	if a.Makeup == nil {
		return false
	}
	units := 0
	for _, part := range a.Makeup.Parts {
		units += a.count(part)
	}
	return units > 1
}

// postLacks is why a strength of a pin or post is unknown, where it is.
func (a *Assembly) postLacks(unknown Reason) Reason {
	if a.UnitFaulty.Has(CellRating) || a.Faulty.Has(CellUnit) {
		return FaultyField
	}
	return unknown
}

// use finds how much of a strength its load uses. The reasons are those where the factor or the strength is not known.
func (part *PostPart) use(factor FactorInForce, noFactor Reason, strengthKN float64, noStrength Reason) {
	part.Factor, part.StrengthKN = factor, strengthKN
	switch {
	case part.KN == 0:
		part.Factor.Unsure = NoReason
	case math.IsNaN(strengthKN) && noStrength == FaultyField:
		part.Lacks = FaultyField
	case factor.Value == 0:
		part.Lacks = noFactor
	case math.IsNaN(strengthKN):
		part.Lacks = noStrength
	default:
		part.Utilisation = basis.RequiredRating(part.KN, factor.Value) / strengthKN
	}
}
