package remedy

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// take puts the best answer into the rows on trial and keeps up to two alternatives.
func (b *bench) take(q *ask, serve []answer, at []int) {
	const most = 2
	best := &serve[0]
	remedy := len(b.job.Remedies)
	b.job.Remedies = append(b.job.Remedies, b.remedyOf(q, best))
	b.job.Candidates = max(b.job.Candidates, best.from)
	b.fresh = false
	for i, row := range best.rows {
		if at != nil {
			b.rows[at[i]] = row
		} else {
			b.rows = append(b.rows, row)
		}
	}
	kept := serve[:1:1]
	for i := range serve[1:] {
		other := &serve[1+i]
		if len(kept) > most || slices.ContainsFunc(kept, func(k answer) bool { return !other.isBetterSomehow(&k) }) {
			continue
		}
		kept = append(kept, *other)
		b.job.Alternatives = append(b.job.Alternatives, Alternative{Remedy: remedy, To: other.to, Hangs: b.setsInWords(other), Move: other.said(), Fit: other.fit, Remove: other.remove,
			Price: other.price, LengthMM: other.lengthMM})
	}
	b.tell(q, serve)
}

// tell puts into the trace what served and why the first was taken.
func (b *bench) tell(q *ask, serve []answer) {
	best := &serve[0]
	text := fmt.Sprintf("Circuit %s, %s: %s, %s", b.network.Project.Symbols.Text(q.circuit), q.duty, best.said(), b.setsInWords(best))
	if len(serve) > 1 {
		text += fmt.Sprintf(", the first of %d that serve by %s; next %s, %s", len(serve), audit.OrderInWords(b.prefer), serve[1].said(), b.setsInWords(&serve[1]))
	} else {
		text += ", the one that serves"
	}
	text += fmt.Sprintf(" (%s).", best.from)
	if best.notFewer != nil {
		text += " Not fewer: " + best.notFewer()
	}
	b.job.Trace = append(b.job.Trace, text)
	if isOfShorter := func(c Change) bool { return c.SwingOfShorter }; slices.ContainsFunc(b.job.Remedies[len(b.job.Remedies)-1].Changes, isOfShorter) && !slices.Contains(b.job.Trace, swingOfShorter) {
		b.job.Trace = append(b.job.Trace, swingOfShorter)
	}
}

// setsInWords says what an answer hangs: "9 × disc", where that differs "9 × disc and 2 strings of 9 × disc, a V set of 90°".
func (b *bench) setsInWords(a *answer) string {
	var words []string
	for i := range a.rows {
		asm := b.site.Assembly(&a.rows[i])
		set := setOf(&asm)
		if a.move != SoundUnits {
			set.Unit = a.to.Unit
		}
		if text := set.String(); a.rows[i].Changed && !slices.Contains(words, text) {
			words = append(words, text)
		}
	}
	if len(words) == 0 {
		return a.to.String()
	}
	return strings.Join(words, " and ")
}

// String says what a set is: "2 strings of 13 × U120B", "2 strings of 13 × U120B, a V set of 90°".
func (s Set) String() string {
	text := fmt.Sprintf("%d × %s", s.UnitsPerString, s.Unit)
	if s.Strings > 1 {
		text = fmt.Sprintf("%d strings of %s", s.Strings, text)
	}
	if s.Arrangement == audit.VSet {
		text += vInWords(s.VAngleDeg)
	}
	return text
}

// vInWords says that strings are a V set, and of which angle where that is known.
func vInWords(angleDeg float64) string {
	if !(angleDeg > 0) {
		return ", a V set"
	}
	return fmt.Sprintf(", a V set of %.4g°", angleDeg)
}

func (b *bench) remedyOf(q *ask, a *answer) Remedy {
	r := Remedy{Circuit: q.circuit, Duty: q.duty, Unregistered: q.unregistered, To: a.to, Move: a.said(), Fit: a.fit, Remove: a.remove, Sets: a.sets, Price: a.price, LengthMM: a.lengthMM, RemoveUnknown: a.removeUnknown, AtLeast: a.atLeast, More: a.more}
	var old []hangs
	for i := range q.old {
		old, r.Duty = append(old, hangs{q.old[i], q.contrary[i]}), q.old[i].Duty
	}
	slices.SortStableFunc(old, func(x, y hangs) int { // in an order of their own, whatever that of the rows
		return cmp.Or(cmp.Compare(x.Phases, y.Phases), cmp.Compare(x.Side, y.Side), cmp.Compare(x.inWords(), y.inWords()))
	})
	r.From, r.Changes = hanging(old), b.changesOf(q, a)
	for _, c := range r.Changes {
		r.Phases, r.Fewer = r.Phases|c.Phases, add(r.Fewer, c.Fewer, 1)
		for _, side := range c.Sides {
			if !slices.Contains(r.Sides, side) {
				r.Sides = append(r.Sides, side)
			}
		}
	}
	slices.Sort(r.Sides)
	return r
}

// What of a structure or its rows is not known, so that nothing can be proposed.
const (
	lacksPlace     = "which assembly it is cannot be read"
	lacksRole      = "role of the structure not known"
	lacksCircuits  = "circuits of the line not known"
	lacksPhases    = "phases of the circuit not known"
	lacksTogether  = "what serves beside the work at other structures not known"
	lacksRow       = "which of the rows is right is not known"
	lacksMeasure   = "whether less than what hangs there serves not known"
	lacksOwnArcing = "whether the arcing distance stated is of horns not known"
	lacksBeside    = "whether two can stand side by side not known"
	lacksDivision  = "whether tension sets that divide the section serve is not known"
)

// stop notes what kept the best candidate from serving: that which came nearest to what it lacks.
func (b *bench) stop(q *ask, blocks []block) bool { return b.stopBeside(q, blocks, false) }

// stopBeside is stop; inTension tells that tension sets were sought in place of what hangs there, which bring fittings of their own, so that no coupling bounded that.
func (b *bench) stopBeside(q *ask, blocks []block, inTension bool) bool {
	s := Stop{Circuit: q.circuit, Duty: q.duty, Check: -1}
	switch {
	case len(q.members) == 0 && q.duty == audit.DutyUnknown:
		s.Unjudged, s.Lacks = true, lacksRole
		s.Sentence = "The role of the structure is not known, so neither is the duty of what it needs."
	case len(q.members) == 0:
		s.Unjudged, s.Lacks = true, lacksPlace
		s.Sentence = "A cell that says which assembly it is cannot be read."
	case len(blocks) == 0:
		s.Sentence = "No unit to choose from is made for this duty and fits the couplings that hang there."
	default:
		nearest, _ := nearestOf(b.stoppingAll(q, blocks))
		if i := slices.IndexFunc(blocks, func(b block) bool { return b.mayServe }); i >= 0 {
			nearest = blocks[i]
		} else if i := slices.IndexFunc(blocks, func(b block) bool { return b.unsure }); i >= 0 {
			nearest = blocks[i]
		}
		s.Check, s.TooLong, s.Unjudged, s.Lacks, s.Sentence = nearest.check, nearest.tooLong, nearest.mayServe || nearest.unsure, nearest.lacks, nearest.sentence()
		if nearest.check >= 0 && nearest.units >= mostUnits {
			s.Sentence += " Strings of more units were not tried."
		}
		if isFixed(q.duty) && nearest.check >= 0 && b.metBesideAnother(q, &nearest) {
			s.Unjudged, s.Lacks = true, lacksBeside
			s.Sentence += fmt.Sprintf(" Two %ss side by side would answer that, as is common practice; they are not proposed, since no input tells whether the structure has room for them. Enter them with 2 under Strings to have them judged.", q.duty)
		}
	}
	if !s.Unjudged {
		switch couplings := b.couplingsKept(q); {
		case len(couplings) > 0 && inTension:
			s.Sentence += fmt.Sprintf(" Sought were units of coupling %s, as what hangs there has, and tension sets of units of any coupling.", strings.Join(couplings, " or "))
		case len(couplings) > 0:
			s.Couplings = couplings
			s.Sentence += " " + soughtAlone(couplings)
		}
	}
	s.Sentence += q.lookFirst()
	b.job.StoppedBy = append(b.job.StoppedBy, s)
	b.job.Trace = append(b.job.Trace, fmt.Sprintf("Circuit %s, %s: nothing serves. %s", b.network.Project.Symbols.Text(q.circuit), q.duty, s.Sentence))
	return false
}

// metBesideAnother tells whether the check that stopped a post or the like meets of two of them side by side.
func (b *bench) metBesideAnother(q *ask, at *block) bool {
	if !b.result.Checks[at.check].Strings || at.member >= len(q.old) {
		return false
	}
	two := q.old[at.member]
	two.Strings, two.Arrangement = 2, audit.Parallel
	return b.site.Put(at.check, &two, false).Outcome == audit.Meets
}

// soughtAlone says that units of some couplings alone were looked at; empty for none.
func soughtAlone(couplings []string) string {
	if len(couplings) == 0 {
		return ""
	}
	return "Sought were units of coupling " + strings.Join(couplings, " or ") + " alone, as what hangs there has."
}

// couplingsKept are the couplings that hang there and bound what was sought; none where no unit was passed over for its own.
func (b *bench) couplingsKept(q *ask) (couplings []string) {
	if q.newcomer || len(q.members) == 0 || !fitsDuty(basis.CapAndPin, q.duty) {
		return nil
	}
	others := false
	for _, tier := range b.tiers {
		others = others || slices.ContainsFunc(tier, func(u int) bool {
			unit := b.unit(u)
			return unit.Coupling != "" && fitsDuty(unit.Kind, q.duty) && !b.mayTake(q, u)
		})
	}
	for i := range q.old {
		for _, c := range q.old[i].Couplings() {
			if others && c != "" && !slices.Contains(couplings, c) {
				couplings = append(couplings, c)
			}
		}
	}
	slices.Sort(couplings)
	return couplings
}

// nearestOf is what came nearest to serving, of the units that are chosen from first: of all that arcing horns stop, where they stop any, since with others that would go further.
func nearestOf(blocks []block) (nearest block, ok bool) {
	if len(blocks) == 0 {
		return nearest, false
	}
	return slices.MinFunc(blocks, func(x, y block) int {
		return cmp.Or(-compareBool(x.byHorns, y.byHorns), cmp.Compare(x.tier, y.tier), compareUnknownLast(-x.margin, -y.margin))
	}), true
}

// stoppingAll leaves those of the pins, posts and the like that were stopped that are so by a check which all of them fall short of: what another of them gets past is no limit.
// All there are where there is no such check.
func (b *bench) stoppingAll(q *ask, blocks []block) []block {
	if !isFixed(q.duty) || len(blocks) < 2 || slices.ContainsFunc(blocks, func(x block) bool { return x.check < 0 || !x.assessed || x.byHorns || x.of == nil }) {
		return blocks
	}
	left := slices.DeleteFunc(slices.Clone(blocks), func(x block) bool {
		return slices.ContainsFunc(blocks, func(y block) bool { return b.site.Put(x.check, y.of, false).Outcome != audit.FallsShort })
	})
	if len(left) == 0 {
		return blocks
	}
	return left
}

// close notes what the job changes and what it leaves open.
func (b *bench) close(goals []fall) {
	j := b.job
	for _, row := range b.rows {
		if row.Changed {
			j.rows = append(j.rows, row)
			if row.At >= 0 {
				for _, repeat := range b.repeats(row.At) {
					second, isPair := b.network.SecondOf(row.At)
					staysPair := isPair && second == repeat && row.Row.Duty == audit.Tension && row.Row.Side == audit.NoSide
					j.dropped = append(j.dropped, repeated{repeat, row, staysPair})
				}
			}
		}
	}
	type key struct {
		check   int
		circuit audit.Symbol
	}
	told := map[key]bool{}
	left := b.falls()
	for _, o := range b.open {
		if k := (key{o.Check, o.Circuit}); !told[k] {
			told[k] = true
			j.Open = append(j.Open, o)
		}
	}
	for _, f := range goals {
		if k := (key{f.check, f.circuit}); f.row >= 0 && !told[k] && j.contradicts(f.circuit) {
			told[k] = true
			j.Open = append(j.Open, Open{Check: f.check, Circuit: f.circuit, Exception: -1, RowsContradict: true})
		}
	}
	for _, f := range left {
		if f.kind == audit.OfStructure && !told[key{f.check, f.circuit}] {
			told[key{f.check, f.circuit}] = true
			j.Open = append(j.Open, Open{Check: f.check, Circuit: f.circuit, Exception: -1, Reason: f.verdict.Reason})
		}
	}
	for _, i := range j.Exceptions {
		e := &b.result.Exceptions[i]
		still, advisory := false, e.Verdict.Severity == audit.Shortfall
		for k := range left {
			f := &left[k]
			ofOther := b.isLeftAlone(f) && b.rows[f.row].At != e.Assembly
			if f.check == e.Check && f.circuit == e.Circuit && !ofOther && !math.IsInf(f.verdict.Margin, 1) {
				still, advisory = true, advisory && f.verdict.Severity == audit.Advisory
			}
		}
		if still {
			j.Open = append(j.Open, Open{Check: e.Check, Circuit: e.Circuit, Exception: i, Advisory: advisory})
		}
	}
}

// contradicts tells whether a remedy of a circuit rests on rows that contradict each other.
func (j *Job) contradicts(circuit audit.Symbol) bool {
	return slices.ContainsFunc(j.Remedies, func(r Remedy) bool {
		return r.Circuit == circuit && slices.ContainsFunc(r.Changes, func(c Change) bool { return c.RowsContradict })
	})
}
