package remedy

import (
	"math"
	"slices"
	"sync"

	"dryarc/audit"
)

// Most structures ask what others asked: which number of a unit would do in place of the same strings. Where the checks that answered rest on what
// the structures and their lines have in common, that is remembered. Checks that rest on more, as on spans, are asked again.

// memory is what is remembered of the questions of lines of which the same is read.
type memory struct {
	asks    map[askKey]int
	orders  map[[mostChecks]uint8]int
	inOrder [][]int // the orders of checks, by their number less 1
	found   map[question][]finding
	takes   map[taking]bool // whether a unit may be hung
	count   int
	watch   watch
	above   []bool // of the checks of a finding: what they said holds of any number of units
}

func newMemory() *memory {
	return &memory{asks: map[askKey]int{}, orders: map[[mostChecks]uint8]int{}, found: map[question][]finding{}, takes: map[taking]bool{}}
}

// memories are kept of some lines for others; each is of one line at a time.
type memories struct {
	guard sync.Mutex
	idle  map[string][]*memory // by what is read of a line
	count int
}

// take is a memory for a line of which that is read.
func (m *memories) take(reads string) *memory {
	m.guard.Lock()
	defer m.guard.Unlock()
	idle := m.idle[reads]
	if len(idle) == 0 {
		return newMemory()
	}
	last := len(idle) - 1
	m.idle[reads] = idle[:last]
	m.count--
	return idle[last]
}

// put gives a memory back, unless it is full.
func (m *memories) put(reads string, of *memory) {
	if len(of.asks) > mostAsks || of.count == mostFindings {
		return
	}
	m.guard.Lock()
	defer m.guard.Unlock()
	if m.count == mostMemories {
		m.idle, m.count = nil, 0
	}
	if m.idle == nil {
		m.idle = map[string][]*memory{}
	}
	m.idle[reads] = append(m.idle[reads], of)
	m.count++
}

// Bounds of what is remembered (a choice of this program): members of a question, checks of a run, findings of a memory, findings
// of one question, which are looked through one by one, checks that are asked again for one of them, and memories that are kept for other lines
// with the asks that such a one has.
const (
	mostMembers  = 6
	mostChecks   = 64
	mostFindings = 4096
	mostAlike    = 8
	mostPassed   = 128
	mostMemories = 32
	mostAsks     = 1024
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
	figures                 audit.FigureBits
	changed, anew, restated bool
	side                    audit.Side
	phases                  audit.Phases
	circuitEnds, dated      bool
	circuitMayEnd           bool
	installed               audit.Day // where a factor goes by it
	settled                 uint64    // see ask
}

// question is one for the number of a unit, by an order of the checks.
type question struct {
	ask, order, unit, strings int
	anew                      bool
}

// taking is whether a unit may be hung for an ask.
type taking struct{ ask, unit int }

// finding is what was found of a question, with all on which that rests.
type finding struct {
	reads        audit.SiteReads
	site         audit.SiteKey
	said         []before
	passed       []passed
	served       []int // numbers of units that no check stopped and that are not less than what hangs there
	units        int   // that serve; 0 where nothing does
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
	low, high     int  // numbers of units that it was asked of
	reaches       bool // it lets all between pass too
	// rating is that which the row states, by its bits; 0 where the check says the same of any number of units.
	rating uint64
}

// watch is what is noted while a question is answered.
type watch struct {
	on, spoilt bool
	reads      audit.SiteReads
	checks     uint64 // that rest on what is compared
	passed     []passed
	served     []int // see finding
}

// clearOfRounding is the margin from which on what meets at both ends is taken to meet between.
const clearOfRounding = 1e-6

// note notes what a check said of a member.
func (w *watch) note(check *audit.Check, at, member, units int, v *audit.Verdict, stops, anyCount bool, rating uint64) {
	switch {
	case !w.on || w.spoilt:
	case v.Reason == audit.CheckFailed:
		w.spoilt = true
	case check.Reads != 0:
		w.reads |= check.Reads
		w.checks |= 1 << at
	case !passes(check, v, stops):
		w.spoilt = true
	default:
		now := passed{at, member, units, units, reaches(check, units, v, anyCount), rating}
		if anyCount {
			now.rating = 0
		}
		w.pass(now)
	}
}

// pass notes that a check lets a member pass: with the other numbers of units that it does, where it would with every number between.
func (w *watch) pass(now passed) {
	for i := range w.passed {
		p := &w.passed[i]
		switch {
		case p.check != now.check || p.member != now.member:
		case p.low == now.low && p.high == now.high:
			return
		case p.reaches && now.reaches && p.rating == now.rating:
			p.low, p.high = min(p.low, now.low), max(p.high, now.high)
			return
		}
	}
	if len(w.passed) == mostPassed {
		w.spoilt = true
		return
	}
	w.passed = append(w.passed, now)
}

// passes tells whether a check lets a string pass, whatever else is known of it.
func passes(check *audit.Check, v *audit.Verdict, stops bool) bool {
	return !stops && v.Outcome != audit.FallsShort && !leavesSizeOpen(check, v) && v.Reason != audit.CheckFailed
}

// leavesSizeOpen tells whether a check that decides how long strings are could not judge one, so that it may ask for more. A table that the project does not choose
// asks for nothing.
func leavesSizeOpen(check *audit.Check, v *audit.Verdict) bool {
	return check.Sizes && v.Outcome == audit.NotAssessed && v.Reason != audit.NoFlashoverMinimum
}

// reaches tells whether a check that lets strings of two numbers of units pass, for which their row states the same rating, so does of every
// number between.
func reaches(check *audit.Check, units int, v *audit.Verdict, anyCount bool) bool {
	return units >= fewestAlike && (anyCount || check.Between && v.Outcome == audit.Meets && v.Margin > clearOfRounding)
}

// ratingBits are the rating that the row of a string states, which may go by how many units are added.
func ratingBits(a *audit.Assembly) uint64 { return math.Float64bits(a.Direct.RatingKN) }

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
	q.like = make([]bool, len(q.members))
	for i := range q.members {
		q.like[i] = slices.ContainsFunc(q.members[:i], func(m audit.TrialRow) bool { return b.site.AreAlike(&m, &q.members[i]) })
	}
	q.settled = make([]uint64, len(q.members))
	key := askKey{circuit: q.circuit, duty: q.duty, asksClearance: b.site.Structure().Room.AsksClearance(), count: len(q.members), inOtherNetwork: b.site != b.first}
	for i := range q.members {
		if !q.isLike(i) {
			q.settled[i] = b.settledOf(&q.members[i])
		}
		key.members[i] = memberKeyOf(&q.members[i], &q.old[i])
		key.members[i].settled = q.settled[i]
	}
	number, known := b.memory.asks[key]
	if !known {
		number = len(b.memory.asks) + 1
		b.memory.asks[key] = number
	}
	q.number = number
	return number
}

// isLike tells whether checks say of a member what they say of one before it, with whatever make-up.
func (q *ask) isLike(i int) bool { return q.like != nil && q.like[i] }

// settledOf are the checks, a bit each, that let any string pass in the place of a member: nobody asks for them there, or they say the same of any.
func (b *bench) settledOf(m *audit.TrialRow) (settled uint64) {
	b.tried = b.site.Assembly(m)
	for _, check := range b.ofAnyMake {
		is := !b.site.Asks(check, &b.tried)
		if !is && b.result.Checks[check].AnyMake {
			v := b.site.Put(check, &b.tried, false)
			is = v.Outcome == audit.Meets || v.Outcome == audit.NotApplicable
		}
		if is {
			settled |= 1 << check
		}
	}
	return settled
}

// isSettled tells whether a check lets any string pass in the place of a member.
func (q *ask) isSettled(i, check int) bool { return q.settled != nil && q.settled[i]&(1<<check) != 0 }

// isPlain tells whether a question is of strings that hang there, each by one row.
func (b *bench) isPlain(q *ask) bool {
	if b.forgets || q.newcomer || len(q.members) == 0 || len(q.members) > mostMembers || len(q.models) != len(q.members) || q.floor != nil || q.horned || q.unregistered || len(b.result.Checks) > mostChecks {
		return false
	}
	for i := range q.members {
		if q.contrary[i] != nil || len(b.repeats(q.members[i].At)) > 0 || q.old[i].IsUnsure() || !math.IsNaN(q.old[i].Direct.WetKV) { // which is held against the level at the very altitude
			return false
		}
	}
	return true
}

// memberKeyOf leaves out of a row where it stands, what no check is told and where its figures, which it has, are kept.
func memberKeyOf(m *audit.TrialRow, old *audit.Assembly) memberKey {
	r := m.Row
	key := memberKey{vAngle: math.Float32bits(r.VAngleDeg), changed: m.Changed, anew: m.Anew, restated: m.Restated, side: old.Side, phases: old.Phases, circuitEnds: old.CircuitEnds, circuitMayEnd: old.CircuitMayEnd, dated: old.Dated, installed: old.Installed}
	r.Line, r.Number, r.Remarks, r.Source, r.Direct, r.VAngleDeg, r.Installed, r.Inspected = 0, audit.TextAt(0), audit.TextAt(0), audit.Source{}, 0, 0, 0, 0
	key.row, key.figures = r, old.Direct.Bits()
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

// recall is what is remembered of a question, nil where the structure at hand differs in what it rests on.
func (b *bench) recall(q *ask, of question) *finding {
	list := b.memory.found[of]
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

// bears tells whether all on which a finding rests is so at the structure at hand.
func (b *bench) bears(q *ask, of question, f *finding) bool {
	if !f.site.As(b.site.Reads(), f.reads) {
		return false
	}
	for i := range f.said {
		if !f.said[i].state.as(b.state(q.circuit, f.said[i].check)) {
			return false
		}
	}
	above := b.memory.above[:0]
	member, units := -1, 0
	for i := range f.passed {
		p := &f.passed[i]
		if p.member != member || p.low != units {
			member, units = p.member, p.low
			b.tryAgain(q, of, member, units)
		}
		ok, ofAll := b.letsPass(q, of, p, p.low)
		if !ok {
			return false
		}
		above = append(above, ofAll)
	}
	b.memory.above = above
	member = -1
	for i := range f.passed {
		p := &f.passed[i]
		if above[i] || p.high == p.low {
			continue
		}
		if p.member != member || p.high != units {
			member, units = p.member, p.high
			b.tryAgain(q, of, member, units)
		}
		if ok, _ := b.letsPass(q, of, p, p.high); !ok {
			return false
		}
	}
	for _, units := range f.served {
		isOwn := b.isOwn(q, b.unit(of.unit), units, of.strings, of.anew)
		for i := range q.members {
			if q.isLike(i) {
				continue
			}
			b.tryAgain(q, of, i, units)
			if less, _ := b.behind(q, &b.tried, isOwn, 0); less != "" {
				return false
			}
		}
	}
	return true
}

// tryAgain puts a member with so many units on trial.
func (b *bench) tryAgain(q *ask, of question, member, units int) {
	b.tried = b.make(q, member, of.unit, units, of.strings, of.anew).asm
}

// letsPass tells whether a check lets the member on trial pass at the structure at hand, and whether it then does so of any number of units from
// two on.
func (b *bench) letsPass(q *ask, of question, p *passed, units int) (ok, ofAll bool) {
	check := b.result.Checks[p.check]
	v, stops, anyCount := b.put(q, p.member, p.check, b.unit(of.unit), of.strings, of.anew)
	ok = passes(check, &v, stops) && (p.low == p.high || reaches(check, units, &v, anyCount))
	return ok, anyCount
}

// as tells whether a check said the same before the work.
func (s *state) as(other *state) bool {
	return s.fell == other.fell && s.worst == other.worst && math.Float64bits(s.margin) == math.Float64bits(other.margin) && s.met == other.met && s.unassessed == other.unassessed
}

// remember keeps what was found of a question.
func (b *bench) remember(q *ask, of question, serving *answer, stopped, may *block) {
	m := b.memory
	if m.count == mostFindings || len(m.found[of]) == mostAlike {
		return
	}
	f := finding{reads: m.watch.reads, site: *b.site.Reads(), passed: slices.Clone(m.watch.passed), served: slices.Clone(m.watch.served), stopped: withoutWords(stopped), may: withoutWords(may), orderAfter: b.orderOf()}
	if serving != nil {
		f.units = f.served[len(f.served)-1]
	}
	for check := range b.result.Checks {
		if m.watch.checks&(1<<check) != 0 {
			f.said = append(f.said, before{check, *b.state(q.circuit, check)})
		}
	}
	m.found[of] = append(m.found[of], f)
	m.count++
}

// withoutWords is a block of a check without its sentence and what was put to the check, which are of the structure.
func withoutWords(of *block) *block {
	if of == nil || of.check < 0 {
		return of
	}
	bare := *of
	bare.sentence, bare.of = nil, nil
	return &bare
}

// inWordsOf is a block that is remembered, as it is said of the structure at hand.
func (b *bench) inWordsOf(q *ask, of question, remembered *block) *block {
	if remembered == nil || remembered.check < 0 {
		return remembered
	}
	said := *remembered
	if isFixed(q.duty) {
		row := b.remake(q, said.member, of.unit, said.units, of.strings, of.anew)
		asm := b.site.Assembly(&row)
		said.of = &asm
	}
	said.sentence = func() string {
		row := b.remake(q, said.member, of.unit, said.units, of.strings, of.anew)
		return b.sentence(q, said.check, b.site.Assembly(&row))
	}
	return &said
}
