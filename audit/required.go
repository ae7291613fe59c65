package audit

import (
	"math"
	"slices"

	"dryarc/audit/basis"
)

// Cause is a circumstance of a structure that may ask for a tension assembly there. Its rule stands here alone: the checks of
// tension judge by it what hangs, and Requires finds by all causes what a structure needs, for the schedule, the explanation and
// the layers.
type Cause struct {
	Trusts []Need                  // what must not be faulty for it to be told
	Passes func(s *Subject) Reason // why it does not concern a structure; NoReason where it does
	Needs  []Need                  // what must be known of the structure
	// silent tells that nobody asks: a policy that is not stated, or a load that nobody gives.
	silent func(s *Subject) bool
	// asks tells whether tension is needed where the conductor hangs on assemblies of a duty.
	asks func(s *Subject, on Duty) (asks bool, reason Reason)
}

// The causes.
var (
	EndsHere = Cause{
		Trusts: []Need{NeedsCourse},
		Passes: func(s *Subject) Reason {
			if s.Structure.Role != Terminal {
				return NotAtTerminal
			}
			return NoReason
		},
	}
	IsTee = Cause{
		Trusts: []Need{NeedsCourse, NeedsTee},
		Passes: func(s *Subject) Reason {
			if s.Structure.TeeOf == 0 || s.Structure.Role == Terminal {
				return NotAtTee
			}
			return NoReason
		},
		silent: func(s *Subject) bool { return !s.Criteria.TensionAtTee }, // then it is an advisory
	}
	Turns = Cause{
		Trusts: []Need{NeedsCourse, NeedsLimit},
		Passes: betweenEnds,
		Needs:  []Need{NeedsDeviation},
		asks: func(s *Subject, on Duty) (bool, Reason) {
			v := s.Structure.AgainstLimit(on)
			return v.Outcome == FallsShort, v.Reason
		},
	}
	Uplifted = Cause{
		Trusts: []Need{NeedsCourse},
		Passes: betweenEnds,
		Needs:  []Need{NeedsWeightSpan},
		silent: func(s *Subject) bool { return !s.asksUplift() },
		asks:   func(s *Subject, _ Duty) (bool, Reason) { return basis.Lifts(s.Structure.WeightSpanColdM), NoReason },
	}
	SomethingChanges = Cause{
		Trusts: []Need{NeedsCourse, NeedsConductors},
		Passes: func(s *Subject) Reason {
			if s.Structure.Changes == "" && s.Structure.ChangeUnstated == NoReason || s.Structure.Role == Terminal {
				return NothingChanges
			}
			return NoReason
		},
		Needs: []Need{NeedsChange},
	}
	Crosses = Cause{
		Trusts: []Need{NeedsCourse, NeedsKindsCrossed, NeedsTensionCrossings},
		Passes: func(s *Subject) Reason {
			if s.CrossingsGiven && s.Structure.Back.Kinds == nil && s.Structure.Ahead.Kinds == nil && !s.Structure.CutOff() {
				return NoCrossing
			}
			return NoReason
		},
		silent: func(s *Subject) bool {
			return !slices.ContainsFunc(s.Criteria.CrossingRules, func(r CrossingRule) bool { return r.Tension })
		},
		asks: func(s *Subject, _ Duty) (bool, Reason) {
			switch {
			case s.Structure.Back.Tension != "" || s.Structure.Ahead.Tension != "":
				return true, NoReason
			case !s.CrossingsGiven && slices.ContainsFunc(s.Criteria.CrossingRules, func(r CrossingRule) bool { return r.Tension && r.Kind != LongSpanKind }):
				return false, CrossingsMissing
			}
			return false, NoReason
		},
	}
)

// causes are all of them.
func causes() [6]*Cause {
	return [...]*Cause{&EndsHere, &IsTee, &Turns, &Uplifted, &SomethingChanges, &Crosses}
}

func betweenEnds(s *Subject) Reason {
	if s.Structure.Role == Terminal {
		return AtLineEnd
	}
	return NoReason
}

// Asks tells whether the cause asks for tension at a structure whose conductors hang on assemblies of a duty; the reason is why
// that cannot be told, NoReason where it can.
func (c *Cause) Asks(s *Subject, on Duty) (asks bool, reason Reason) {
	if c.silent != nil && c.silent(s) {
		return false, NoReason
	}
	for i := range c.Trusts {
		if reason := c.Trusts[i].lacks(s); reason.IsFaulty() {
			return false, reason
		}
	}
	if c.Passes(s) != NoReason {
		return false, NoReason
	}
	for i := range c.Needs {
		if reason := c.Needs[i].lacks(s); reason != NoReason {
			return false, reason
		}
	}
	if c.asks == nil {
		return true, NoReason
	}
	return c.asks(s, on)
}

// LimitDeg is the largest deviation for assemblies of a duty, and whether somebody states it; NaN where it is not known.
func (s *Structure) LimitDeg(on Duty) (limitDeg float64, stated bool) {
	if on == Pin || on == Post {
		return s.PinLimitDeg, true
	}
	return s.DeviationLimitDeg, s.LimitStated
}

// AgainstLimit judges the deviation of a structure by the limit for assemblies of a duty.
func (s *Structure) AgainstLimit(on Duty) Verdict {
	limitDeg, _ := s.LimitDeg(on)
	if math.IsNaN(limitDeg) {
		return CannotTell(PinLimitNotStated)
	}
	return AtMost(math.Abs(s.DeviationDeg), limitDeg, "deg")
}

// asksUplift tells whether somebody gives a cold case: a load case for uplift, or the line's cold tension, readable or not.
func (s *Subject) asksUplift() bool {
	return !math.IsNaN(s.Structure.WeightSpanColdM) || !math.IsNaN(s.Line.Row.ColdTensionKN) || s.Line.Row.Faulty.Has(CellTension) ||
		slices.ContainsFunc(s.Criteria.LoadCases, func(c LoadCase) bool { return c.Uplift })
}

// Requires returns what a structure needs: tension where a cause asks for it by one of the duties on which its conductors hang;
// DutyUnknown, with the reason, where none does and one cannot be told; else post or pin where the conductors are on such alone,
// and suspension.
func (n *Network) Requires(s *Structure) (Duty, Reason) {
	p := n.Project
	subject, lent := n.subjects.Get().(*Subject) // asked of every structure several times
	if !lent {
		subject = new(Subject)
	}
	defer n.subjects.Put(subject)
	*subject = Subject{Criteria: n.Criteria(s.Line), Line: &n.Lines[s.Line], Structure: s, Name: p.Symbols.Text, CrossingsGiven: p.SaysWhatCrosses()}
	hangs := n.carriers(s.Index)
	unclear, asking, asked := NoReason, 0, 0
	for _, on := range [...]Duty{Suspension, hangs.post} {
		if on == DutyUnknown || on == Suspension && !hangs.suspension && !hangs.unknown {
			continue
		}
		asks, reason := asksTension(subject, on)
		sure := !hangs.unknown || on == Suspension && hangs.suspension || on != Suspension && hangs.onPost
		asked++
		switch {
		case asks && sure:
			return Tension, NoReason
		case asks:
			asking++
			reason = FaultyField
		}
		if unclear == NoReason {
			unclear = reason
		}
	}
	switch {
	case asking == asked:
		return Tension, NoReason
	case unclear != NoReason:
		return DutyUnknown, unclear
	case hangs.suspension || hangs.unknown:
		return Suspension, NoReason
	}
	return hangs.post, NoReason
}

// asksTension tells whether any cause asks for tension where conductors hang on assemblies of a duty.
func asksTension(s *Subject, on Duty) (asks bool, unclear Reason) {
	for _, cause := range causes() {
		asks, reason := cause.Asks(s, on)
		if asks {
			return true, NoReason
		}
		if unclear == NoReason {
			unclear = reason
		}
	}
	return false, unclear
}

// carriers are the duties on which a structure carries its conductors, as far as limits tell them apart.
type carriers struct {
	suspension bool // or any other duty but post and pin; also where nothing is registered
	onPost     bool
	post       Duty // post or pin
	unknown    bool // a row whose duty is not known may be either
}

func (n *Network) carriers(structure int) (c carriers) {
	for _, row := range n.AssemblyRows(structure) {
		switch duty := n.Project.Assemblies.saidOf(row).Duty; {
		case duty == DutyUnknown:
			c.unknown = true
		case duty == Pin || duty == Post:
			c.post, c.onPost = duty, true
		case duty.CarriesPhase():
			c.suspension = true
		}
	}
	if c.unknown && !c.onPost {
		c.post = Post
	}
	c.suspension = c.suspension || !c.onPost && !c.unknown
	return c
}
