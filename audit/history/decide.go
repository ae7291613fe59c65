package history

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"dryarc/audit"
)

// Status is what a decision is worth today.
type Status uint8

// The statuses, in the order in which people want to see them.
const (
	StillThere   Status = iota // reported done, and found all the same
	Contradicted               // another decision of the same thing says otherwise, so that neither is applied
	Lapsed
	Unreadable // its word is none
	Unmatched  // there is nothing that it could be of
	Unjudged   // what it is of cannot be judged any more, since a datum was lost
	InForce
	Overruled // it would be in force, and narrower ones speak for all that it is of
	OutOfRun  // its line was left out of the run
	Settled   // what it is of does not fall short any more
	Over      // withdrawn or replaced
	statuses
)

var statusNames = [statuses]string{"still there though reported done", "contradictory", "lapsed", "unreadable", "matches nothing", "not assessed", "in force", "overruled by narrower decisions", "not in this run", "settled", "over"}

func (s Status) String() string { return statusNames[s] }

// soon is how long before its last day a decision is listed as one that lapses, 30 days (a choice of this program).
const soon = 30 * 24 * time.Hour

// Judged is a decision and what it is worth.
type Judged struct {
	*Decision
	Status
	Verb       Word
	Detail     string // why, in words; empty where there is no more to say
	Exceptions []int  // of the result, that it is of
	Governs    []int  // of Exceptions, those of which no narrower one speaks
	Soon       bool   // in force, and lapses within 30 days
	Forever    bool   // in force without a date, so that it never comes back for review
	counts     bool   // it stands, and speaks for its exceptions where no narrower one does
}

// Decided is what the decisions of a store are worth for a result. A nil one is of a project without decisions.
type Decided struct {
	Decisions []Judged
	r         *audit.Result
	ids       []string
	of        []int32 // what speaks for each exception, in Decisions; -1 for none
	standing  map[thing][]*Decision
	over      map[thing][]*Decision
	places    *places
	judged    map[*Decision]int
	found     []Change // by the exceptions of the result
	since     string   // as of which day the run was that this one is compared with
	// Lost are rows of the workbook, with what the run before had filled in there of its store and this one neither has nor has seen ended, under
	// whatever name.
	Lost []string
	// Removed are decisions on exceptions that the run before showed, and that the file neither has nor has seen ended, as where one that
	// lapsed was cut out.
	Removed []Decision
}

// Of is the decision that speaks for an exception, nil for none: the narrowest.
func (j *Decided) Of(exception int) *Judged {
	if j == nil || j.of[exception] < 0 {
		return nil
	}
	return &j.Decisions[j.of[exception]]
}

// Open tells whether an exception counts in the gates: whether it is neither accepted nor planned, in force.
func (j *Decided) Open(exception int) bool {
	d := j.Of(exception)
	return d == nil || d.Status != InForce || d.Verb != Accept && d.Verb != Plan
}

// Count counts the decisions of a status.
func (j *Decided) Count(status Status) (n int) {
	if j == nil {
		return 0
	}
	for i := range j.Decisions {
		if j.Decisions[i].Status == status {
			n++
		}
	}
	return n
}

// Filled is what a run fills in on the row of one exception, of which the decision is that alone: what is in force, and what was
// reported done. Of several people who decided the same all are named.
func (j *Decided) Filled(exception int) Said {
	if j == nil {
		return Said{}
	}
	return j.filled(thing{exception: j.ids[exception]})
}

// FilledOfStructure is what a run fills in on the row of a structure.
func (j *Decided) FilledOfStructure(line, structure string) Said {
	if j == nil {
		return Said{}
	}
	return j.filled(thing{line: line, structure: structure})
}

// OfStructure are the decisions that stand of a structure as a whole.
func (j *Decided) OfStructure(line, structure string) (found []*Judged) {
	if j == nil {
		return nil
	}
	for _, d := range j.standing[thing{line: line, structure: structure}] {
		found = append(found, &j.Decisions[j.judged[d]])
	}
	return found
}

func (j *Decided) filled(of thing) (said Said) {
	var by, reasons []string
	for _, d := range j.standing[of] {
		if status := j.Decisions[j.judged[d]].Status; status != InForce && status != StillThere && status != Overruled {
			return Said{}
		}
		said = d.Said
		by, reasons = addText(by, d.By), addText(reasons, d.Reason)
	}
	said.By, said.Reason = strings.Join(by, "; "), strings.Join(reasons, "; ")
	return said
}

func addText(to []string, text string) []string {
	if text == "" || slices.Contains(to, text) {
		return to
	}
	return append(to, text)
}

func (j *Decided) stateOf(of thing) string { return state(j.standing[of], j.over[of]) }

// Decide says what the decisions of a store are worth for a result. The store follows what has another name now, and keeps the figures
// of what a decision is of where it had none yet.
func (s *Store) Decide(r *audit.Result, c *Changes) *Decided {
	j := &Decided{r: r, ids: r.ExceptionIDs(), of: make([]int32, len(r.Exceptions)), standing: map[thing][]*Decision{}, over: map[thing][]*Decision{}, judged: map[*Decision]int{}, found: c.Exceptions}
	for i := range j.of {
		j.of[i] = -1
	}
	if c.Since != nil {
		j.since = c.Since.AsOf
	}
	d := deciding{Decided: j, changes: c, day: dayOf(r.Run.AsOf), parts: map[int]*keyParts{}, judgedAnew: map[[2]int][]told{}}
	d.index()
	for i := range s.Decisions {
		if s.Decisions[i].stands() {
			d.fillIn(&s.Decisions[i])
			d.noteExtents(&s.Decisions[i])
			d.noteCleared(&s.Decisions[i])
			d.noteOthers(&s.Decisions[i])
			d.noteSeen(&s.Decisions[i])
		}
	}
	d.noteSaid(s.Decisions)
	for i := range s.Decisions {
		if s.Decisions[i].stands() {
			more := d.followParts(&s.Decisions[i])
			d.noteSeen(&s.Decisions[i]) // by the name that it has now
			d.noteMet(&s.Decisions[i])
			for k := range more {
				d.noteMet(&more[k])
			}
			s.Decisions = append(s.Decisions, more...)
		}
	}
	s.Text() // puts them into their order, which they keep
	s.Decisions = slices.CompactFunc(s.Decisions, alike)
	for i := range s.Decisions {
		decision, of := &s.Decisions[i], j.over
		if decision.stands() {
			of = j.standing
		}
		of[decision.thing()] = append(of[decision.thing()], decision)
	}
	for i := range s.Decisions {
		j.judged[&s.Decisions[i]] = i
		j.Decisions = append(j.Decisions, d.judge(&s.Decisions[i]))
	}
	j.speak()
	for _, l := range s.lacking {
		d.follow(&l.Decision)
		if !j.has(&l.Decision) {
			j.Lost = append(j.Lost, fmt.Sprintf("%s: %s", l.where, l.Said))
		}
	}
	d.findRemoved()
	return j
}

// has tells whether the store has what was filled in of a thing: something stands of it, it is over, or the same stands under a name that
// nothing has now.
func (j *Decided) has(filled *Decision) bool {
	said := func(d *Decision) bool { return d.Said == filled.Said }
	return len(j.standing[filled.thing()]) > 0 || slices.ContainsFunc(j.over[filled.thing()], said) ||
		slices.ContainsFunc(j.Decisions, func(d Judged) bool { return d.Status == Unmatched && said(d.Decision) })
}

// alike tells whether two rows of the store are one, as where a run that was cut short gave what it took another name already.
func alike(a, b Decision) bool {
	return a.thing() == b.thing() && a.Said == b.Said && a.Decided == b.Decided && a.Ended == b.Ended && a.Was == b.Was && slices.Equal(a.Others, b.Others)
}

func dayOf(date string) time.Time {
	day, _ := parseDay(date)
	return day
}

// speak finds for each exception the decision that speaks for it: of itself before that of structure and check, that before that of
// the structure, that before that of line and check. A done that is still found is heard in any case.
func (j *Decided) speak() {
	breadth := func(d *Judged) int {
		switch {
		case d.Exception != "":
			return 0
		case d.Structure != "" && d.Check != "":
			return 1
		case d.Structure != "":
			return 2
		}
		return 3
	}
	rank := func(d *Judged) int {
		if d.Status == StillThere {
			return -1
		}
		return breadth(d)
	}
	for k := range j.Decisions {
		d := &j.Decisions[k]
		if !d.counts {
			continue
		}
		for _, i := range d.Exceptions {
			if now := j.of[i]; now < 0 || rank(d) < rank(&j.Decisions[now]) {
				j.of[i] = int32(k)
			}
		}
	}
	for k := range j.Decisions {
		d := &j.Decisions[k]
		for _, i := range d.Exceptions {
			if now := j.of[i]; !d.counts || now < 0 || breadth(&j.Decisions[now]) >= breadth(d) {
				d.Governs = append(d.Governs, i)
			}
		}
		if d.Status == InForce && len(d.Governs) == 0 {
			d.Status, d.Soon, d.Forever = Overruled, false, false
		}
	}
}

// deciding is the judging of decisions at work.
type deciding struct {
	*Decided
	changes *Changes
	day     time.Time
	sorted  []string // ids of the exceptions, once a decision on an unknown one asks for the nearest
	sought  int      // for how many of those
	where   ofPlaces
	parts   map[int]*keyParts // of lines
	said    map[string][]Said // what stands of exceptions, by the ids that these had
	extents map[string]holds  // of what phases that was decided
	// judgedAnew are the verdicts at lines and structures where decisions ask for them.
	judgedAnew map[[2]int][]told
}

// fillIn gives a decision that somebody wrote by hand with the id that an exception had in the run compared with, and that has another name now, the
// names and figures of it there: those were seen.
func (d *deciding) fillIn(decision *Decision) {
	rec := d.places.was[decision.Exception]
	if decision.Was != "" || rec == nil || d.places.ids[rec.ID] == "" {
		return
	}
	seen, _ := shown(rec, OfException, decision.Said)
	decision.Was, decision.Line, decision.Structure, decision.Check = seen.Was, rec.Line, rec.Structure, rec.Check
}

// judge says what one decision is worth.
func (d *deciding) judge(decision *Decision) Judged {
	j := Judged{Decision: decision, Verb: parseWord(decision.Word)}
	if !decision.stands() {
		j.Status, j.Detail = Over, decision.Ended
		return j
	}
	j.Exceptions = d.covered(decision.thing())
	if len(j.Exceptions) == 0 {
		j.Status, j.Detail = d.without(decision)
		if j.Status == Settled && decision.Was == "" {
			decision.Was = nothing
		}
		return j
	}
	j.counts = true
	if decision.Was == "" {
		decision.Was = FiguresOf(d.r, j.Exceptions)
	}
	for _, other := range d.standing[decision.thing()] {
		if !other.agrees(decision.Said) {
			j.Status, j.Detail = Contradicted, fmt.Sprintf("against %s", other.Said)
			return j
		}
	}
	until, dated := parseDay(decision.Until)
	switch lapsed := d.lapse(decision, j.Verb, j.Exceptions); {
	case j.Verb == Unread:
		j.Status, j.Detail = Unreadable, fmt.Sprintf("decision %q is none of %s", decision.Word, strings.Join(Words(), ", "))
	case j.Verb == Done:
		j.Status, j.Detail = StillThere, d.backSince(decision, j.Exceptions)
	case decision.Until != "" && !dated:
		j.Status, j.Detail = Lapsed, "until "+DateTrouble(decision.Until)
	case dated && until.Before(d.day):
		j.Status, j.Detail = Lapsed, "its last day was "+decision.Until
	case lapsed != "":
		j.Status, j.Detail = Lapsed, lapsed
	default:
		j.Status, j.Forever, j.Soon = InForce, decision.Until == "", dated && until.Sub(d.day) <= soon
		if j.Verb == DataWrong {
			j.Detail = "the datum is asked for"
		}
	}
	return j
}

// lapse says by what of its exceptions a decision lapses; empty where by none.
func (d *deciding) lapse(decision *Decision, verb Word, exceptions []int) string {
	if verb != Accept && verb != Plan && verb != DataWrong {
		return ""
	}
	was := parseFigures(decision.Was)
	for _, i := range exceptions {
		now := figuresAt(d.r, i)
		then, there := was[now.id]
		metOn, met := d.metBefore(&then, i)
		switch {
		case !there:
			return fmt.Sprintf("%s was not there when it was decided", d.inWords(i))
		case then.other != "":
			return fmt.Sprintf("%s is another than was decided of, which was not there any more on %s", d.inWords(i), then.other)
		case met:
			return fmt.Sprintf("%s met on %s, and what falls short since is another, of which nobody has decided", d.inWords(i), metOn)
		case verb != DataWrong && now.of.beyond(then.of) != "":
			return fmt.Sprintf("%s is more than what was decided: %s", d.inWords(i), now.of.beyond(then.of))
		case d.elsewhere(i, then):
			return fmt.Sprintf("%s stands elsewhere than when it was decided, so that it may be of another structure", d.inWords(i))
		case verb == DataWrong && now.differs(then) && !d.changes.Exceptions[i].Lost.any():
			was, is := shownFigures(&then, &now)
			return fmt.Sprintf("the datum changed: %s was %s, is %s", d.inWords(i), was, is)
		case verb != DataWrong && now.worse(then):
			was, is := shownFigures(&then, &now)
			return fmt.Sprintf("%s is worse than when it was decided: was %s (%s), is %s (%s)", d.inWords(i), was, then.severity, is, now.severity)
		}
	}
	return ""
}

// elsewhere tells whether the structure of an exception may be another than the one decided on, by where they stand.
func (d *deciding) elsewhere(exception int, then held) bool {
	key := d.r.Key(exception)
	line, there := d.places.lines[key.Line]
	if !there {
		return false
	}
	_, elsewhere := d.standingAt(key.Line, line, spot{key.Structure, then.at})
	return elsewhere
}

// inWords names an exception: its check and where it is.
func (d *deciding) inWords(exception int) string {
	key := d.r.Key(exception)
	parts := []string{key.Check}
	for _, part := range [...][2]string{{"structure ", key.Structure}, {"circuit ", key.Circuit}, {"", key.Phase}, {"", key.Side}} {
		if part[1] != "" {
			parts = append(parts, part[0]+part[1])
		}
	}
	return strings.Join(parts, ", ")
}

// sortedKeys are the keys of a map in order.
func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K {
	keys := make([]K, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
