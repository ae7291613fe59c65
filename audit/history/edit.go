package history

import (
	"fmt"
	"slices"
	"strings"
)

// Edit is a row of a workbook with a decision, or without one where the run had filled one in.
type Edit struct {
	Exceptions []string // what the row is of, by their ids; without any a structure
	Place
	Said
	Mark  string // what the run noted beside the row, see Mark; empty where somebody deleted it
	Where string // the row, for people
}

// Mark is what a run notes beside a row that people decide on: a hash of what it filled in, a hash of the decisions that stood of
// each thing that the row is of, the figures, and hashes of where the row says it is. By it the row tells what a person changed, however old the workbook is.
func (j *Decided) Mark(filled Said, exceptions []int, place Place) string {
	states := make([]string, len(exceptions))
	for k, i := range exceptions {
		states[k] = j.stateOf(thing{exception: j.ids[i]})
	}
	return strings.Join([]string{filled.Hash(), strings.Join(states, " "), j.figuresSeen(exceptions), place.hashes()}, markEnds)
}

// MarkOfStructure is the mark of a row of a structure, with the figures of all its exceptions.
func (j *Decided) MarkOfStructure(filled Said, line, structure string) string {
	of := thing{line: line, structure: structure}
	place := Place{Line: line, Structure: structure}
	return strings.Join([]string{filled.Hash(), j.stateOf(of), j.figuresSeen(j.covered(of)), place.hashes()}, markEnds)
}

// figuresSeen are the figures of exceptions, with the days since which they are known.
func (j *Decided) figuresSeen(exceptions []int) string {
	if len(exceptions) == 0 {
		return nothing
	}
	parts := make([]string, len(exceptions))
	for k, i := range exceptions {
		f := figuresAt(j.r, i)
		f.seen = j.found[i].FirstSeen
		parts[k] = f.String()
	}
	return strings.Join(parts, "; ")
}

const markEnds = "|"

// mark is a mark that was read.
type mark struct {
	filled, figures string
	states          []string
	place           []string // hashes of cells; none in a workbook of an earlier version
	is              bool
}

func parseMark(text string) mark {
	parts := strings.Split(text, markEnds)
	if len(parts) != 3 && len(parts) != 4 {
		return mark{}
	}
	m := mark{filled: parts[0], states: strings.Fields(parts[1]), figures: parts[2], is: true}
	if len(parts) == 4 {
		m.place = strings.Fields(parts[3])
	}
	return m
}

// ids are the exceptions that a mark has figures of, in their order.
func (m *mark) ids() (ids []string) {
	for part := range strings.SplitSeq(m.figures, ";") {
		if fields := strings.Fields(part); len(fields) > 1 {
			ids = append(ids, fields[0])
		}
	}
	return ids
}

// Edited tells whether a row says anything else than what the run filled in. A row whose mark is gone is one where anything stands.
func Edited(said Said, markText string) bool {
	m := parseMark(markText)
	if !m.is {
		return said.tidy() != Said{}
	}
	return said.Hash() != m.filled
}

// Taken is what became of the edits of workbooks.
type Taken struct {
	New, Replaced, Withdrawn int
	Known                    int // that the store had already
	Against                  int // that stand beside another decision of the same thing
	Remarks                  []string
}

// Take takes edits into the store on a day. A decision on a row that says what the store still has takes its place, and an empty row
// withdraws it; where the store has changed since the row was written, both stand side by side. What is replaced or withdrawn stays
// in the store, with the day. Rows that are as the run wrote them change nothing, unless the store is not there or empty, as one that was
// lost; then what was filled in is taken too. To take the same edits again changes nothing.
func (s *Store) Take(edits []Edit, day string) Taken {
	t := taking{store: s, day: day, lost: s.empty, standing: map[thing][]int{}, over: map[thing][]int{}, before: map[thing]string{}}
	for i := range s.Decisions {
		if d := &s.Decisions[i]; d.stands() {
			t.standing[d.thing()] = append(t.standing[d.thing()], i)
		} else {
			t.over[d.thing()] = append(t.over[d.thing()], i)
		}
	}
	for _, places := range [...]map[thing][]int{t.standing, t.over} {
		for of := range places {
			t.before[of] = t.state(of)
		}
	}
	for i := range edits {
		t.edit(&edits[i])
	}
	slices.Sort(t.taken.Remarks)
	t.taken.Remarks = slices.Compact(t.taken.Remarks)
	return t.taken
}

func (s *Store) pick(places []int) []*Decision {
	picked := make([]*Decision, len(places))
	for k, i := range places {
		picked[k] = &s.Decisions[i]
	}
	return picked
}

type taking struct {
	store    *Store
	lost     bool // the store is empty or not there
	day      string
	standing map[thing][]int // places in the store
	over     map[thing][]int // those that have ended
	before   map[thing]string
	taken    Taken
}

func (t *taking) state(of thing) string {
	return state(t.store.pick(t.standing[of]), t.store.pick(t.over[of]))
}

// edit takes one row, for each thing that it is of.
func (t *taking) edit(e *Edit) {
	e.Said = e.tidy()
	if e.Until != "" && Edited(e.Said, e.Mark) {
		if trouble := DateTrouble(e.Until); trouble != "" {
			t.remark("%s, column Until: %s; until then the decision counts as lapsed", e.Where, trouble)
		}
	}
	m := parseMark(e.Mark)
	if len(e.Exceptions) == 0 && e.Check != "" {
		e.Exceptions = m.ids() // the cell with the ids was emptied
	}
	if len(e.Exceptions) == 0 {
		t.one(e, &m, Decision{Line: e.Line, Structure: e.Structure, Check: e.Check, Was: m.figures}, 0)
		return
	}
	for k, id := range e.Exceptions {
		t.one(e, &m, Decision{Exception: id, Line: e.Line, Structure: e.Structure, Check: e.Check, Was: figuresOfOne(m.figures, id)}, k)
	}
}

func (t *taking) one(e *Edit, m *mark, d Decision, k int) {
	of := d.thing()
	d.Said, d.Decided = e.Said, t.day
	standing := t.store.pick(t.standing[of])
	if !Edited(e.Said, e.Mark) && !t.lost {
		if len(standing) == 0 && !t.ended(of, e.Said) {
			t.remark("%s: %s was filled in there, and the file of decisions does not have it any more", e.Where, e.Said)
			t.store.lacking = append(t.store.lacking, lacking{d, e.Where})
		}
		return
	}
	now := t.state(of)
	// Nobody changed the store since the row was written, nor did another row of the same workbook.
	asWritten := m.is && k < len(m.states) && m.states[k] == now && now == t.stateBefore(of)
	has := e.Said != (Said{}) && slices.ContainsFunc(standing, func(s *Decision) bool { return s.Said == e.Said })
	switch withdraws := e.Word == "" && (e.Said == Said{} || m.filled != "0"); {
	case has && !(asWritten && m.filled == "0"): // else one that lapsed is renewed, or one of several chosen
		t.taken.Known++
	case withdraws && len(standing) == 0:
		t.taken.Known++
	case withdraws && !asWritten:
		t.remark("%s: the decision that was taken away there is another by now (%s), which stands", e.Where, standing[0].Said)
	case withdraws:
		t.end(of, "withdrawn")
		t.taken.Withdrawn++
		t.remark("%s: withdrawn: %s", e.Where, standing[0].Said)
	case !asWritten && t.ended(of, e.Said):
		t.taken.Known++
		t.remark("%s: %s was decided before and is over; it is not taken once more", e.Where, e.Said)
	case asWritten && len(standing) > 0:
		if len(standing) == 1 && m.filled != "0" && standing[0].agrees(e.Said) { // only by whom or why: what was decided is as old as it was
			d.Decided, d.Was = standing[0].Decided, standing[0].Was
		}
		if m.filled != "0" { // written while that was in force, and so before it ended
			d.Was = keepMet(d.Was, standing[0].Was)
		}
		d.Others = standing[0].Others
		t.end(of, "replaced")
		t.add(of, d)
		t.taken.Replaced++
	default:
		if len(standing) > 0 && slices.ContainsFunc(standing, func(s *Decision) bool { return !s.agrees(e.Said) }) {
			t.taken.Against++
			t.remark("%s: %s stands against %s; neither is applied", e.Where, e.Said, standing[0].Said)
		} else {
			t.taken.New++
		}
		t.add(of, d)
	}
}

func (t *taking) stateBefore(of thing) string {
	if was, is := t.before[of]; is {
		return was
	}
	return "0"
}

func (t *taking) add(of thing, d Decision) {
	t.standing[of] = append(t.standing[of], len(t.store.Decisions))
	t.store.Decisions = append(t.store.Decisions, d)
}

func (t *taking) end(of thing, how string) {
	for _, i := range t.standing[of] {
		t.store.Decisions[i].Ended = how + " " + t.day
	}
	t.over[of] = append(t.over[of], t.standing[of]...)
	t.standing[of] = nil
}

// ended tells whether the same was decided of a thing before, and has ended.
func (t *taking) ended(of thing, what Said) bool {
	return slices.ContainsFunc(t.over[of], func(i int) bool { return t.store.Decisions[i].Said == what })
}

func (t *taking) remark(format string, args ...any) {
	t.taken.Remarks = append(t.taken.Remarks, fmt.Sprintf(format, args...))
}
