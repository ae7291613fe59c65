package history

import (
	"fmt"
	"strings"

	"dryarc/audit"
	"dryarc/geo"

	"github.com/paulmach/orb"
)

// places finds exceptions, lines, structures and checks by their names.
type places struct {
	byID        map[string]int
	byStructure map[[2]string][]int // line and structure
	byCheck     map[[2]string][]int // line and check
	lines       map[string]int
	checks      map[string]bool
	cleared     map[string]*Cleared
	lost        map[thing]*Cleared  // what cannot be judged any more, by line, structure and check, or two of them
	ids         map[string]string   // of exceptions as they were, those they have
	became      map[string]placedID // what exceptions became that had other ids, by those and where they stood
	linesNow    map[string]string
	structures  map[[2]string]string         // of a line as it is called now, its structure as it was
	was         map[string]*Record           // exceptions of the run compared with, by the ids that they had
	moved       map[string]map[string]string // by line, numbers that stand on other structures than they did, by those that they had
	parted      map[string][]string          // of what several exceptions are that one was, the ids of the others by that of the first
	joined      map[string][]string          // of an exception that several were, the ids that the others had
}

// index prepares what decisions are matched by.
func (d *deciding) index() {
	r, c := d.r, d.changes
	p := &places{byID: map[string]int{}, byStructure: map[[2]string][]int{}, byCheck: map[[2]string][]int{}, lines: map[string]int{}, checks: map[string]bool{},
		cleared: map[string]*Cleared{}, lost: map[thing]*Cleared{}, ids: map[string]string{}, linesNow: map[string]string{}, structures: map[[2]string]string{},
		was: map[string]*Record{}, moved: c.moved, became: map[string]placedID{}, parted: map[string][]string{}, joined: map[string][]string{}}
	d.places = p
	for l := range r.Network.Lines {
		at := audit.AtLine(l)
		p.lines[r.KeyOf(0, &at, 0).Line] = l
	}
	for _, check := range r.Checks {
		p.checks[check.ID] = true
	}
	for i, id := range d.ids {
		p.byID[id] = i
		key := r.Key(i)
		p.byStructure[[2]string{key.Line, key.Structure}] = append(p.byStructure[[2]string{key.Line, key.Structure}], i)
		p.byCheck[[2]string{key.Line, key.Check}] = append(p.byCheck[[2]string{key.Line, key.Check}], i)
	}
	d.where = ofPlaces{map[int]ground{}, structureNumbers{}}
	for i := range c.Exceptions {
		if was := c.Exceptions[i].Was; was != nil {
			if first, parted := p.ids[was.ID]; parted {
				p.parted[first] = append(p.parted[first], d.ids[i])
				continue
			}
			p.was[was.ID] = was
			if was.ID != d.ids[i] && located(was.Position) {
				p.became[was.ID] = placedID{d.ids[i], was.Key, r.Key(i), was.Position}
			}
			if moved := p.moved[d.r.Key(i).Line]; moved[was.Structure] != "" || moved[was.To] != "" {
				continue // by its place
			}
		}
		if was := c.Exceptions[i].Was; was != nil && was.ID != d.ids[i] {
			if _, taken := p.byID[was.ID]; !taken {
				p.ids[was.ID] = d.ids[i]
			}
		}
	}
	for i := range c.Cleared {
		p.cleared[c.Cleared[i].ID] = &c.Cleared[i]
		p.was[c.Cleared[i].ID] = &c.Cleared[i].Record
		if into := c.Cleared[i].into; into > 0 {
			p.joined[d.ids[into-1]] = append(p.joined[d.ids[into-1]], c.Cleared[i].ID)
		}
		if from := c.Cleared[i].from; from != "" && p.ids[from] != "" {
			p.parted[p.ids[from]] = append(p.parted[p.ids[from]], c.Cleared[i].ID)
		} else if from != "" {
			p.ids[from] = c.Cleared[i].ID
			if kept := &c.Cleared[i]; kept.Was != nil && located(kept.Position) {
				p.became[from] = placedID{kept.ID, kept.Was.Key, kept.Key, kept.Position}
			}
		}
		if lost := &c.Cleared[i]; lost.Why == NotAssessed {
			for _, of := range [...]thing{{line: lost.Line, structure: lost.Structure, check: lost.Check}, {line: lost.Line, structure: lost.Structure}, {line: lost.Line, check: lost.Check}} {
				p.lost[of] = lost
			}
		}
	}
	for _, renamed := range c.Renamed {
		if p.moved[renamed.Line][renamed.FromStructure] != "" {
			continue
		}
		if renamed.Structure == "" {
			p.linesNow[renamed.FromLine] = renamed.Line
		} else {
			p.structures[[2]string{renamed.Line, renamed.FromStructure}] = renamed.Structure
		}
	}
}

// checkCalled is the check that has an id; nil for none.
func (d *deciding) checkCalled(id string) *audit.Check {
	for _, check := range d.r.Checks {
		if check.ID == id {
			return check
		}
	}
	return nil
}

// placedID is what an exception became that had another id, and where its structure stood.
type placedID struct {
	id       string
	was, now audit.Key
	at       orb.Point
}

// followPlaces gives a decision the names of what became of the exceptions of its figures, where those stood as the figures say. So to do it
// again changes nothing, though names may have been traded. It tells whether it found any.
func (d *deciding) followPlaces(decision *Decision) bool {
	parts, of := strings.Split(decision.Was, "; "), *decision
	for k, part := range parts {
		held, is := parseFigures(part)[figuresID(part)]
		became, did := d.places.became[held.id]
		if !is || !did || !located(held.at) || !geo.Within(held.at, became.at, samePlaceM) || d.isMore(became.id, decision.Said) {
			continue
		}
		if decision.Exception == held.id {
			of.Exception = became.id
		}
		if decision.Line == became.was.Line {
			of.Line = became.now.Line
		}
		if decision.Line == became.was.Line && decision.Structure == became.was.Structure {
			of.Structure = became.now.Structure
		}
		d.widen(&held, became.id)
		held.id = became.id
		parts[k] = held.String()
	}
	followed := decision.Exception != of.Exception || decision.Line != of.Line || decision.Structure != of.Structure
	of.Was = strings.Join(parts, "; ")
	*decision = of
	return followed
}

// lineNow is the name that a line has now of which a structure stood at a place. A name that another line was given is not followed further
// where the structure stands on the line that bears it.
func (d *deciding) lineNow(name, number string, at orb.Point) string {
	now, is := d.places.linesNow[name]
	if !is {
		return name
	}
	line, there := d.places.lines[name]
	if there && (!located(at) || d.standsOn(line, number, at)) {
		return name
	}
	return now
}

// standsOn tells whether a structure that stood at a place stands on a line, under its number or another.
func (d *deciding) standsOn(line int, number string, at orb.Point) bool {
	i, there := d.where.numbers.of(d.r, line)[number]
	return there && mayBeMeasuredAnew(d.r.Network, line, i, at) || len(d.where.ground(d.r.Network, line).at(at)) > 0
}

// lineOfDecision is the name that the line of a decision has now, by where its figures stood.
func (d *deciding) lineOfDecision(decision *Decision) string {
	for part := range strings.SplitSeq(decision.Was, "; ") {
		if held, is := parseFigures(part)[figuresID(part)]; is && located(held.at) {
			return d.lineNow(decision.Line, decision.Structure, held.at)
		}
	}
	return d.lineNow(decision.Line, decision.Structure, noPosition)
}

// follow gives a decision the names that what it is of has now.
func (d *deciding) follow(decision *Decision) {
	p := d.places
	if d.followPlaces(decision) {
		if i, there := p.byID[decision.Exception]; there {
			decision.Check = d.r.Key(i).Check
		}
		return
	}
	d.relocate(decision)
	d.findByPlace(decision)
	if now, is := p.ids[decision.Exception]; is && d.stoodThere(decision.Was, decision.Exception) {
		decision.Exception = now
	}
	if i, there := p.byID[decision.Exception]; there {
		key := d.r.Key(i)
		decision.Line, decision.Structure, decision.Check = key.Line, key.Structure, key.Check
	} else {
		d.rename(decision)
	}
	if len(p.ids) == 0 {
		return
	}
	parts := strings.Split(decision.Was, "; ")
	for k, part := range parts {
		id, rest, _ := strings.Cut(part, " ")
		if now, is := p.ids[id]; is && !d.isMore(now, decision.Said) && d.stoodThere(part, id) {
			parts[k] = now + " " + rest
			if held, is := parseFigures(part)[id]; is && d.widen(&held, now) {
				held.id = now
				parts[k] = held.String()
			}
		}
	}
	decision.Was = strings.Join(parts, "; ")
}

// stoodThere tells whether the exception that had an id may be that of some figures, by where it stood.
func (d *deciding) stoodThere(figures, id string) bool {
	held, is := parseFigures(figures)[id]
	became, known := d.places.became[id]
	return !is || !known || !located(held.at) || geo.Within(held.at, became.at, surveyedM)
}

// isMore tells whether an exception is of more than what something was decided of.
func (d *deciding) isMore(id string, said Said) bool {
	return d.lacksOthers(id) || d.joinsOthers(id, said)
}

// lacksOthers tells whether a place lacks phases that it did not, so that it is not what was decided on.
func (d *deciding) lacksOthers(id string) bool {
	i, there := d.places.byID[id]
	if !there { // on a line that was left out
		return false
	}
	change, of := &d.changes.Exceptions[i], d.r.Checks[d.r.Exceptions[i].Check].Of
	return of == audit.OfPlace && change.State == Worse && change.Was.Phase != d.r.Key(i).Phase
}

// covered are the exceptions that a decision on something is of.
func (j *Decided) covered(of thing) (found []int) {
	p := j.places
	switch {
	case of.exception != "":
		if i, there := p.byID[of.exception]; there {
			return []int{i}
		}
	case of.structure != "":
		for _, i := range p.byStructure[[2]string{of.line, of.structure}] {
			if of.check == "" || j.r.Checks[j.r.Exceptions[i].Check].ID == of.check {
				found = append(found, i)
			}
		}
	case of.check != "":
		return p.byCheck[[2]string{of.line, of.check}]
	}
	return found
}

// without says what a decision is worth that is of no exception of the run.
func (d *deciding) without(decision *Decision) (Status, string) {
	p := d.places
	if cleared := p.cleared[decision.Exception]; cleared != nil && decision.Exception != "" {
		switch cleared.Why {
		case NotInRun:
			return OutOfRun, ""
		case NotAssessed:
			return Unjudged, cleared.Detail
		}
		if elsewhere := d.reused(decision); elsewhere != "" {
			return Unmatched, elsewhere
		}
		return Settled, strings.TrimSuffix(fmt.Sprintf("%s: %s", cleared.Why, cleared.Detail), ": ")
	}
	line, there := p.lines[decision.Line]
	switch {
	case there && !d.r.Lines[line].Assessed:
		return OutOfRun, ""
	case p.lost[decision.thing()] != nil:
		return Unjudged, p.lost[decision.thing()].Detail
	case decision.Exception != "" && decision.Was == "":
		return Unmatched, fmt.Sprintf("there is no exception %q%s", decision.Exception, d.nearestID(decision.Exception))
	case decision.Exception == "" && (decision.Line == "" || decision.Structure == "" && decision.Check == ""):
		return Unmatched, "it names neither an exception nor a line with a structure or a check"
	case !there:
		return Unmatched, fmt.Sprintf("there is no line %q%s", decision.Line, nearest(decision.Line, sortedKeys(p.lines)))
	case decision.Check != "" && !p.checks[decision.Check]:
		return Unmatched, fmt.Sprintf("there is no check %q%s", decision.Check, nearest(decision.Check, sortedKeys(p.checks)))
	case decision.Structure != "":
		numbers := d.where.numbers.of(d.r, line)
		if _, there := numbers[decision.Structure]; !there {
			return Unmatched, fmt.Sprintf("line %s has no structure %q%s", decision.Line, decision.Structure, nearest(decision.Structure, sortedKeys(numbers)))
		}
	}
	if elsewhere := d.reused(decision); elsewhere != "" {
		return Unmatched, elsewhere
	}
	return Settled, settledSince(decision)
}

// reused says that the number of a decision is that of another structure now than of the one it was decided of; empty where it is not, or not
// known.
func (d *deciding) reused(decision *Decision) string {
	line, there := d.places.lines[decision.Line]
	if !there || decision.Structure == "" {
		return ""
	}
	for part := range strings.SplitSeq(decision.Was, "; ") {
		held, is := parseFigures(part)[figuresID(part)]
		if !is {
			continue
		}
		if now, elsewhere := d.standingAt(decision.Line, line, spot{decision.Structure, held.at}); elsewhere && now != "" {
			return fmt.Sprintf("where it was decided stands %s now, and %s is another structure", now, decision.Structure)
		} else if elsewhere {
			return fmt.Sprintf("%s stands elsewhere than when it was decided, and no other structure of line %s where that stood", decision.Structure, decision.Line)
		}
	}
	return ""
}

// mostSought is for how many unknown ids the nearest is looked for, since each is held against all (a choice of this program).
const mostSought = 20

func (d *deciding) nearestID(id string) string {
	if d.sought++; d.sought > mostSought {
		return ""
	}
	if d.sorted == nil {
		d.sorted = sortedKeys(d.places.byID)
	}
	return nearest(id, d.sorted)
}

// nearest names what is closest to what was written.
func nearest(written string, known []string) string {
	if near := audit.Near(written, known); near != "" {
		return fmt.Sprintf(", the nearest is %q", near)
	}
	return ""
}
