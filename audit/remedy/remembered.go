package remedy

import (
	"math"
	"slices"

	"dryarc/audit"
)

// Most structures of a line ask what others asked: which number of a unit would do in place of the same strings. Where nothing does, and the
// checks that said so rest on what the structures have in common, that is remembered. Checks that rest on more, as on spans, are asked again.

// memory is what is remembered of the questions of one line.
type memory struct {
	asks     map[askKey]int
	orders   map[[mostChecks]uint8]int
	inOrder  [][]int // the orders of checks, by their number less 1
	failed   map[question][]failure
	failures int
	watch    watch
	// What is read of the structure at hand, and of which that is.
	read          audit.SiteKey
	readAt        *audit.Site
	readStructure int
}

// Bounds of what is remembered on a line (a choice of this program): members of a question, checks of a run, failures in all, and failures
// of one question, which are looked through one by one.
const (
	mostMembers  = 6
	mostChecks   = 64
	mostFailures = 4096
	mostAlike    = 8
)

// askKey is what of an ask the search for a number of units reads.
type askKey struct {
	circuit        audit.Symbol
	duty           audit.Duty
	asksClearance  bool
	count          int
	members        [mostMembers]memberKey
	inOtherNetwork bool // with the work of other jobs done
}

// memberKey is a member of an ask without its place: as its row has it, and what the row leaves to its structure.
type memberKey struct {
	row                     audit.AssemblyRow
	vAngle                  uint32
	figures                 [7]uint64
	changed, anew, restated bool
	side                    audit.Side
	phases                  audit.Phases
	circuitEnds             bool
}

// question is one for the number of a unit, by an order of the checks.
type question struct {
	ask, order, unit, strings int
	anew                      bool
}

// failure is a question that nothing served, with all on which that rests.
type failure struct {
	reads        audit.SiteReads
	site         audit.SiteKey
	said         []before
	passed       []passed
	stopped, may *block
	orderAfter   int // of the checks
}

// before is what a check said of the circuit before the work.
type before struct {
	check int
	state state
}

// passed is a check that rests on more of the structure than is compared, and let all strings of a member pass, that of one unit apart.
type passed struct {
	check, member int
	low, high     int // numbers of units that it was asked of
}

// watch is what is noted while a question is answered.
type watch struct {
	on, spoilt bool
	reads      audit.SiteReads
	checks     uint64 // that rest on what is compared
	passed     []passed
}

// clearOfRounding is the margin from which on what meets at both ends is taken to meet between.
const clearOfRounding = 1e-6

// note notes what a check said of a member.
func (w *watch) note(check *audit.Check, at, member, units int, v *audit.Verdict, stops, anyCount, rated bool) {
	switch {
	case !w.on || w.spoilt:
	case v.Reason == audit.CheckFailed:
		w.spoilt = true
	case check.Reads != 0:
		w.reads |= check.Reads
		w.checks |= 1 << at
	case !passes(check, units, v, stops, anyCount, rated):
		w.spoilt = true
	default:
		for i := range w.passed {
			if p := &w.passed[i]; p.check == at && p.member == member && (p.high < fewestAlike) == (units < fewestAlike) {
				p.low, p.high = min(p.low, units), max(p.high, units)
				return
			}
		}
		w.passed = append(w.passed, passed{at, member, units, units})
	}
}

// passes tells whether a check lets a string pass, and so would strings of every number of units between two of which it does.
func passes(check *audit.Check, units int, v *audit.Verdict, stops, anyCount, rated bool) bool {
	if stops || v.Outcome == audit.FallsShort {
		return false
	}
	return units < fewestAlike || anyCount || check.Between && !rated && v.Outcome == audit.Meets && v.Margin > clearOfRounding
}

// statesRating tells whether the row of a string says how strong it is: then that goes by how many units are added.
func statesRating(a *audit.Assembly) bool {
	return !math.IsNaN(a.Direct.RatingKN) || a.Faulty.Has(audit.CellRating)
}

// notRemembered is the number of an ask of which nothing is remembered.
const notRemembered = -1

// askOf is the number of an ask that others may be like.
func (b *bench) askOf(q *ask) int {
	if q.number != 0 {
		return q.number
	}
	if q.number = notRemembered; !b.isPlain(q) {
		return q.number
	}
	key := askKey{circuit: q.circuit, duty: q.duty, asksClearance: b.site.Structure().Room.AsksClearance(), count: len(q.members), inOtherNetwork: b.site != b.first}
	for i := range q.members {
		key.members[i] = memberKeyOf(&q.members[i], &q.old[i])
	}
	number, known := b.memory.asks[key]
	if !known {
		number = len(b.memory.asks) + 1
		b.memory.asks[key] = number
	}
	q.number = number
	return number
}

// isPlain tells whether a question is of strings that hang there, each by one row.
func (b *bench) isPlain(q *ask) bool {
	if b.forgets || q.newcomer || len(q.members) == 0 || len(q.members) > mostMembers || len(q.models) != len(q.members) || q.floor != nil || q.horned || q.unregistered || len(b.result.Checks) > mostChecks {
		return false
	}
	for i := range q.members {
		if q.contrary[i] != nil || len(b.repeats(q.members[i].At)) > 0 {
			return false
		}
	}
	return true
}

// memberKeyOf leaves out of a row where it stands, what no check is told and where its figures, which it has, are kept.
func memberKeyOf(m *audit.TrialRow, old *audit.Assembly) memberKey {
	r := m.Row
	key := memberKey{vAngle: math.Float32bits(r.VAngleDeg), changed: m.Changed, anew: m.Anew, restated: m.Restated, side: old.Side, phases: old.Phases, circuitEnds: old.CircuitEnds}
	r.Line, r.Number, r.Remarks, r.Source, r.Direct, r.VAngleDeg, r.Installed, r.Inspected = 0, audit.TextAt(0), audit.TextAt(0), audit.Source{}, 0, 0, 0, 0
	key.row = r
	d := &old.Direct
	for i, figure := range [...]float64{d.CreepageMM, d.RatingKN, d.LengthMM, d.ArcingMM, d.LightningKV, d.SwitchingKV, d.WetKV} {
		key.figures[i] = math.Float64bits(figure)
	}
	return key
}

// orderOf is the number of the order in which checks are asked now.
func (b *bench) orderOf() int {
	if b.order == 0 {
		var key [mostChecks]uint8
		for i, check := range b.checks {
			key[i] = uint8(check) + 1
		}
		number, known := b.memory.orders[key]
		if !known {
			b.memory.inOrder = append(b.memory.inOrder, slices.Clone(b.checks))
			number = len(b.memory.inOrder)
			b.memory.orders[key] = number
		}
		b.order = number
	}
	return b.order
}

// siteKey is what is read of the structure at hand.
func (b *bench) siteKey() *audit.SiteKey {
	m := &b.memory
	if at := b.site.Structure().Index; m.readAt != b.site || m.readStructure != at {
		m.read, m.readAt, m.readStructure = b.site.Reads(), b.site, at
	}
	return &m.read
}

// recall is what is remembered of a question, nil where the structure at hand differs in what it rests on.
func (b *bench) recall(q *ask, of question) *failure {
	list := b.memory.failed[of]
	for i := range list {
		if f := &list[i]; b.bears(q, of, f) {
			copy(b.checks, b.memory.inOrder[f.orderAfter-1])
			b.order = f.orderAfter
			b.forgetSaid()
			return f
		}
	}
	return nil
}

// bears tells whether all on which a failure rests is so at the structure at hand.
func (b *bench) bears(q *ask, of question, f *failure) bool {
	if !f.site.As(b.siteKey(), f.reads) {
		return false
	}
	for i := range f.said {
		if !f.said[i].state.as(b.state(q.circuit, f.said[i].check)) {
			return false
		}
	}
	for i := range f.passed {
		p := &f.passed[i]
		ok, ofAll := b.letsPass(q, of, p, p.low)
		if ok && !ofAll && p.high != p.low {
			ok, _ = b.letsPass(q, of, p, p.high)
		}
		if !ok {
			return false
		}
	}
	return true
}

// letsPass tells whether a check lets so many units pass at the structure at hand, and whether it then does so of any number from two on.
func (b *bench) letsPass(q *ask, of question, p *passed, units int) (ok, ofAll bool) {
	row := b.remake(q, p.member, of.unit, units, of.strings, of.anew)
	b.tried = b.site.Assembly(&row)
	v, anyCount := b.site.PutCount(p.check, &b.tried)
	bound := q.binds(p.member, b.unit(of.unit), of.anew)
	stops := !b.allows(q.circuit, p.check, &v, q.newcomer) || bound && b.hides(q.circuit, p.check, &v)
	return v.Reason != audit.CheckFailed && passes(b.result.Checks[p.check], units, &v, stops, anyCount, statesRating(&b.tried)), anyCount
}

// as tells whether a check said the same before the work.
func (s *state) as(other *state) bool {
	return s.fell == other.fell && s.worst == other.worst && math.Float64bits(s.margin) == math.Float64bits(other.margin) && s.met == other.met && s.unassessed == other.unassessed
}

// remember keeps what stopped a question.
func (b *bench) remember(q *ask, of question, stopped, may *block) {
	m := &b.memory
	if m.failures == mostFailures || len(m.failed[of]) == mostAlike {
		return
	}
	f := failure{reads: m.watch.reads, site: *b.siteKey(), passed: slices.Clone(m.watch.passed), stopped: withoutWords(stopped), may: withoutWords(may), orderAfter: b.orderOf()}
	for check := range b.result.Checks {
		if m.watch.checks&(1<<check) != 0 {
			f.said = append(f.said, before{check, *b.state(q.circuit, check)})
		}
	}
	m.failed[of] = append(m.failed[of], f)
	m.failures++
}

// withoutWords is a block of a check without its sentence, which holds the structure that it is of.
func withoutWords(of *block) *block {
	if of == nil || of.check < 0 {
		return of
	}
	bare := *of
	bare.sentence = nil
	return &bare
}

// inWordsOf is a block that is remembered, as it is said of the structure at hand.
func (b *bench) inWordsOf(q *ask, of question, remembered *block) *block {
	if remembered == nil || remembered.check < 0 {
		return remembered
	}
	said := *remembered
	said.sentence = func() string {
		row := b.remake(q, said.member, of.unit, said.units, of.strings, of.anew)
		return b.sentence(q, said.check, b.site.Assembly(&row))
	}
	return &said
}
