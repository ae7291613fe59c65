package audit

import (
	"math"
	"net/url"
	"slices"
	"strings"
)

// maxKinds is how many kinds of crossing a project may have; the reader refuses more.
const maxKinds = 64

// kindBit returns the bit of a crossing kind, a new one if the kind is new.
func (n *Network) kindBit(kind string) uint64 {
	for i, known := range n.kinds {
		if strings.EqualFold(known, kind) {
			return 1 << i
		}
	}
	if len(n.kinds) == maxKinds {
		return 1 << (maxKinds - 1)
	}
	n.kinds = append(n.kinds, kind)
	return 1 << (len(n.kinds) - 1)
}

// Crossed lists the kinds that the span ahead of a structure crosses, in the order of the inputs.
func (n *Network) Crossed(structure int) []string {
	return n.kindNames(n.crossedBy(structure).crossed)
}

func (n *Network) kindNames(set uint64) (names []string) {
	for i, name := range n.kinds {
		if set&(1<<i) != 0 {
			names = append(names, name)
		}
	}
	return names
}

// UnreadableKind stands for what is crossed where its kind cannot be read.
const UnreadableKind = "something whose kind is not readable"

// Asked is what a span crosses, and what the criteria ask of it for that and for its length.
type Asked struct {
	Kinds           []string // that it crosses, in the order of the inputs, with LongSpanKind where it is long; nil for none
	Double, Tension string   // the kind that asks for it; empty where none does
	Unruled         string   // a crossed kind for which there is no rule
	Unreadable      bool     // it crosses something whose kind cannot be read
	// MayDouble and MayTension tell that what asks for it, and no readable kind does, may be crossed: where it lies cannot be read.
	MayDouble, MayTension bool
	MayCross              bool // something of another kind, where it lies not being readable
}

// asked finds what the criteria ask of a span.
func (n *Network) asked(c *Criteria, by spanCrosses, lengthM float64) (a Asked) {
	kinds := n.kindNames(by.crossed)
	long := c.LongSpanM.Known() && !math.IsNaN(lengthM) && compare(lengthM, c.LongSpanM.Value) >= 0
	if long {
		kinds = append(kinds, LongSpanKind)
	}
	a.Kinds = kinds
	for _, kind := range kinds {
		if kind == UnreadableKind {
			a.Unreadable = true
			continue
		}
		rule, ruled := c.crossingRule(kind)
		switch {
		case !ruled:
			a.Unruled = kind
			continue
		case rule.Double && a.Double == "":
			a.Double = kind
		}
		if rule.Tension && a.Tension == "" {
			a.Tension = kind
		}
	}
	a.MayCross = by.mayCross&^by.crossed != 0
	for _, kind := range n.kindNames(by.mayCross &^ by.crossed) {
		for _, rule := range c.CrossingRules {
			if kind == UnreadableKind || strings.EqualFold(rule.Kind, kind) {
				a.MayDouble = a.MayDouble || rule.Double && a.Double == ""
				a.MayTension = a.MayTension || rule.Tension && a.Tension == ""
			}
		}
	}
	return a
}

func (c *Criteria) crossingRule(kind string) (CrossingRule, bool) {
	for _, rule := range c.CrossingRules {
		if strings.EqualFold(rule.Kind, kind) {
			return rule, true
		}
	}
	if kind == LongSpanKind {
		return CrossingRule{Kind: LongSpanKind, Double: true}, true
	}
	return CrossingRule{}, false
}

// KindsAsking are the kinds for which rules ask something of an assembly, and on how many spans: of a tension assembly those of its own side, of
// others those of both.
func (s *Subject) KindsAsking(asks func(CrossingRule) bool) (kinds []string, spans int) {
	for _, side := range bothSides {
		if s.Assembly.Duty.HasSides() && !s.Assembly.Side.Serves(side) {
			continue
		}
		crossed, here := s.Structure.Ahead.Kinds, 0
		if side == Back {
			crossed = s.Structure.Back.Kinds
		}
		for _, kind := range crossed {
			rule, ruled := s.Criteria.crossingRule(kind)
			if !ruled || !asks(rule) || kind == UnreadableKind {
				continue
			}
			if here = 1; !slices.Contains(kinds, kind) {
				kinds = append(kinds, kind)
			}
		}
		spans += here
	}
	return kinds, spans
}

// KindsAsking are those of a check at a location; nil where the check asks for nothing by what is crossed.
func (r *Result) KindsAsking(check int, at *Location) (kinds []string) {
	if asks := r.Checks[check].Crossing; asks != nil && at.Assembly >= 0 {
		s := r.Network.Subject(at)
		kinds, _ = s.KindsAsking(asks)
	}
	return kinds
}

// KindsCrossedThen are the kinds that spans crossed, of what was stated of something there.
func KindsCrossedThen(stated string) (kinds []string) {
	for was := range strings.SplitSeq(stated, ", ") {
		if noted, is := strings.CutPrefix(was, crossingOf); is {
			if kind, err := url.PathUnescape(noted); err == nil {
				kinds = append(kinds, kind)
			}
		}
	}
	return kinds
}

// hasCrossingOf tells whether a crossing of the inputs is of a kind.
func (p *Project) hasCrossingOf(kind string) bool {
	return slices.ContainsFunc(p.Crossings, func(c Crossing) bool { return strings.EqualFold(p.Symbols.Text(c.Kind), kind) })
}

// uncrossedKinds are the kinds for which rules of crossings hold and of which no crossing of the inputs is.
func (p *Project) uncrossedKinds() (kinds []string) {
	if !p.CrossingsGiven {
		return nil
	}
	note := func(c *Criteria) {
		for _, rule := range c.CrossingRules {
			if rule.Kind != LongSpanKind && !p.hasCrossingOf(rule.Kind) && !slices.Contains(kinds, rule.Kind) {
				kinds = append(kinds, rule.Kind)
			}
		}
	}
	note(&p.Criteria)
	for i := range p.Rules {
		note(&p.Rules[i].Criteria)
	}
	return kinds
}
