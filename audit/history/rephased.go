package history

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
)

// A row that names more or fewer phases or sides than it did is still the same assembly, and so are several rows among which the phases or sides
// of one are parted, or one row in which theirs are joined. What falls short of them stands, and what met of only some of them clears nothing.

// holds are the phases that an assembly holds: those of the span back in the low half and those of the span ahead in the high one. What has no
// side has them in both.
type holds uint64

const aheadShift = 32

// heldBy are the phases of what has a key. ok is false where a name is not known, and where none is named of what has no side: that is asked of blanks.
func heldBy(key audit.Key) (h holds, ok bool) {
	phases, ok := audit.ParsePhases(key.Phase)
	if key.Phase == "" && key.Side != "" {
		phases, ok = audit.EveryPhase, true
	}
	if key.Side != audit.Ahead.String() {
		h = holds(phases)
	}
	if key.Side != audit.Back.String() {
		h |= holds(phases) << aheadShift
	}
	return h, ok
}

// String names the phases, with the side where they are of one alone.
func (h holds) String() string {
	back, ahead := audit.Phases(h), audit.Phases(h>>aheadShift)
	var parts []string
	for _, part := range [...]struct {
		phases audit.Phases
		side   string
	}{{back & ahead, ""}, {back &^ ahead, " " + audit.Back.String()}, {ahead &^ back, " " + audit.Ahead.String()}} {
		switch {
		case part.phases == 0:
		case part.phases == audit.EveryPhase:
			parts = append(parts, "all phases"+part.side)
		case part.phases.Count() > mostPhases:
			parts = append(parts, "other phases"+part.side)
		default:
			parts = append(parts, part.phases.String()+part.side)
		}
	}
	return strings.Join(parts, " and ")
}

// mostPhases are the most that a circuit has of its own; more are what is left of every phase.
const mostPhases = 4

// phased is an exception that is not found, or a row that has a verdict, with its phases.
type phased struct {
	k      int // in what it was taken from
	phases holds
}

// rephase finds among the rows of a structure the exceptions of assemblies whose rows name other phases now, and answers those of which
// rows with some of their phases do not fall short. It returns those that no such row is asked of.
func (c *comparison) rephase(open []int, rows []told) (rest []int) {
	type place struct {
		check, circuit, beside string // beside is what it is beside the phases
		sided                  bool
	}
	keys := make([]audit.Key, len(rows))
	for k := range rows {
		keys[k] = c.r.KeyOf(rows[k].check, &rows[k].at, 0)
	}
	then := map[place][]phased{}
	var places []place
	for _, i := range open {
		b := &c.before[i]
		phases, named := heldBy(b.key)
		for k := range rows {
			named = named && !c.oneThere(b, keys[k], &rows[k].at) // that is asked of blanks
		}
		if !named {
			rest = append(rest, i)
			continue
		}
		at := place{b.key.Check, b.key.Circuit, audit.LeftBeside(b.Blank), b.key.Side != ""}
		if then[at] == nil {
			places = append(places, at)
		}
		then[at] = append(then[at], phased{i, phases})
	}
	for _, at := range places {
		var now []phased
		for k, key := range keys {
			phases, named := heldBy(key)
			if named && key.Check == at.check && key.Circuit == at.circuit && (key.Side != "") == at.sided && c.r.MayBeOf(at.beside, &rows[k].at) {
				now = append(now, phased{k, phases})
			}
		}
		for _, o := range overlapping(then[at], now) {
			if len(o.now) > 0 {
				c.rephased(o, rows)
				continue
			}
			for _, p := range o.then {
				rest = append(rest, p.k)
			}
		}
	}
	return rest
}

// overlap are exceptions that are not found and the rows whose phases overlap theirs.
type overlap struct{ then, now []phased }

// overlapping parts exceptions and rows into those that have phases in common, however far round.
func overlapping(then, now []phased) (groups []overlap) {
	rest, left := slices.Clone(then), slices.Clone(now)
	for len(rest) > 0 {
		g := overlap{then: rest[:1:1]}
		phases := rest[0].phases
		rest = rest[1:]
		for grown := true; grown; {
			grown = false
			take := func(from []phased, to *[]phased) []phased {
				return slices.DeleteFunc(from, func(p phased) bool {
					if p.phases&phases == 0 {
						return false
					}
					*to, phases, grown = append(*to, p), phases|p.phases, true
					return true
				})
			}
			left = take(left, &g.now)
			if len(g.now) > 0 {
				rest = take(slices.Clone(rest), &g.then)
			}
		}
		groups = append(groups, g)
	}
	return groups
}

// rephased finds or answers the exceptions of one overlap. What falls short is one of them where all its phases are of one that was, or where all of
// theirs are among its own; where that does not tell which, nothing is cleared.
func (c *comparison) rephased(o overlap, rows []told) {
	var short, sound []phased
	known := false // whether one falls short that is found to be another
	for _, p := range o.now {
		exception, falls := c.exceptionOf(&rows[p.k])
		switch {
		case rows[p.k].verdict.Outcome != audit.FallsShort:
			sound = append(sound, p)
		case !falls || c.out.Exceptions[exception].Was != nil:
			known = true
		default:
			short = append(short, phased{exception, p.phases})
		}
	}
	slices.SortFunc(short, func(a, b phased) int { return cmp.Compare(a.k, b.k) }) // the worst first, as exceptions are
	all := func(of []phased, is func(phases holds) bool) bool {
		return !slices.ContainsFunc(of, func(p phased) bool { return !is(p.phases) })
	}
	fresh, kept := c.freshOf(o.then)
	first, within := fresh[0], func(of holds) func(holds) bool {
		return func(p holds) bool { return p&^of == 0 }
	}
	into := 0
	switch {
	case len(short) == 0 && !known:
		for _, p := range o.then {
			c.answeredInParts(&c.before[p.k], p.phases, sound, rows)
		}
		return
	case len(short) > 0 && len(fresh) == 1 && apart(short) && (all(short, within(first.phases)) || len(short) == 1 && within(short[0].phases)(first.phases)):
		for _, p := range short {
			c.found(p.k, c.before[first.k].Record)
		}
		c.unjudgedParts(&c.before[first.k], sound, rows)
		into = 1 + short[0].k
	case len(short) == 1 && apart(fresh) && all(fresh, within(short[0].phases)):
		c.found(short[0].k, c.before[first.k].Record)
		into, kept = 1+short[0].k, append(kept, fresh[1:]...)
	default:
		kept = append(kept, fresh...)
	}
	for _, p := range kept {
		if !slices.ContainsFunc(o.now, func(row phased) bool {
			return row.phases&p.phases != 0 && rows[row.k].verdict.Outcome == audit.FallsShort
		}) {
			c.answeredInParts(&c.before[p.k], p.phases, sound, rows)
			continue
		}
		c.fallsShortStill(p, o.now, rows)
		if into > 0 && len(short) == 1 && !within(first.phases)(p.phases) {
			c.out.Cleared[len(c.out.Cleared)-1].into = into
		}
	}
}

// freshOf parts exceptions into those that were judged last time and those that were kept, which stand back behind these; where all were kept they
// are told like others.
func (c *comparison) freshOf(then []phased) (fresh, kept []phased) {
	for _, p := range then {
		if c.before[p.k].Lost == "" {
			fresh = append(fresh, p)
		} else {
			kept = append(kept, p)
		}
	}
	if len(fresh) == 0 {
		return kept, nil
	}
	return fresh, kept
}

// answeredInParts answers an exception by the rows that have its phases now, none of which falls short.
func (c *comparison) answeredInParts(b *before, phases holds, sound []phased, rows []told) {
	var parts []told
	var at []audit.Location
	lacking := phases
	for _, p := range sound {
		if p.phases&phases != 0 {
			parts, at, lacking = append(parts, rows[p.k]), append(at, rows[p.k].at), lacking&^p.phases
		}
	}
	switch {
	case c.r.MayHoldMore(rows[0].at.Line, rows[0].at.Structure, at...):
		c.cleared(b, NotAssessed, mayHoldMore)
	case lacking != 0:
		c.cleared(b, NotAssessed, fmt.Sprintf("it was of %s, and no row there is of %s now", phases, lacking))
	default:
		c.answered(b, c.mostDoubtful(b, parts))
	}
}

// unjudgedParts keeps an exception that is found in some rows for those others with its phases of which it cannot be told.
func (c *comparison) unjudgedParts(b *before, sound []phased, rows []told) {
	for _, p := range sound {
		row, part := &rows[p.k], *b
		part.key = c.r.KeyOf(row.check, &row.at, 0)
		if lost := c.lost(b.Record, row.check, &row.at); row.verdict.Outcome == audit.NotAssessed {
			c.cleared(&part, NotAssessed, row.verdict.Reason.String())
		} else if lost.any() {
			c.cleared(&part, NotAssessed, lost.inWords())
		}
	}
}

// fallsShortStill keeps an exception beside rows with its phases that fall short and are not known to be it. Nothing was lost of it, nor is it
// cleared before they meet.
func (c *comparison) fallsShortStill(p phased, now []phased, rows []told) {
	detail := "rows with some of its phases and sides fall short, and which of them it is cannot be told"
	for _, row := range now {
		if rows[row.k].verdict.Outcome == audit.FallsShort && p.phases&^row.phases == 0 {
			detail = fmt.Sprintf("it is told of with the row of %s, which has its phases and sides now and falls short", row.phases)
		}
	}
	c.cleared(&c.before[p.k], NotAssessed, detail)
	c.out.Cleared[len(c.out.Cleared)-1].NothingLost = true
}

// apart tells whether no two have a phase in common.
func apart(of []phased) bool {
	var all holds
	for _, p := range of {
		if all&p.phases != 0 {
			return false
		}
		all |= p.phases
	}
	return true
}
