package report

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"
)

// workKinds are the kinds of work that a structure needs, a bit each.
type workKinds uint16

const (
	longerStrings workKinds = 1 << iota
	moreUnits               // by how much that is longer is not known
	shorterStrings
	newUnits
	otherUnits
	moreStrings
	tensionSets
	otherDuty
	newSets
	soundUnits
	lookFirstKind
)

// kindWords say what a structure needs, by kind, as it goes on with "at" and a number.
var kindWords = [...]string{"longer strings", "more units (how much longer is not known)", "shorter strings", "new units of the same type", "another type of unit",
	"more strings side by side", "tension sets", "another duty", "new sets", "sound units for defective ones", "a look first at what hangs"}

// kindsOf are the kinds of work of a job whose longest string gains longerMM, NaN where that is not known.
func kindsOf(j *remedy.Job, longerMM float64) (kinds workKinds) {
	if longerMM > 0 {
		kinds |= longerStrings
	}
	for i := range j.Remedies {
		x := &j.Remedies[i]
		if x.Unregistered {
			kinds |= lookFirstKind
			continue
		}
		for k := range x.Changes {
			kinds |= kindOf(x, &x.Changes[k], longerMM)
		}
	}
	return kinds
}

func kindOf(x *remedy.Remedy, c *remedy.Change, longerMM float64) (kind workKinds) {
	if c.RowsContradict || c.Unlike != nil {
		kind = lookFirstKind
	}
	switch c.Move {
	case remedy.SoundUnits:
		return kind | soundUnits
	case remedy.MoreUnits:
		if !(longerMM > 0) {
			kind |= moreUnits
		}
		return kind
	case remedy.FewerUnits:
		return kind | shorterStrings
	case remedy.NewUnits:
		return kind | newUnits
	case remedy.OtherUnit:
		return kind | otherUnits
	case remedy.MoreStrings:
		return kind | moreStrings
	case remedy.OtherDuty:
		if x.To.Duty == audit.Tension {
			return kind | tensionSets
		}
		return kind | otherDuty
	}
	return kind | newSets
}

// lineSaid is what the sentence of a line tells beside its sums: its structures, each in one of needing work, stopped alone, not known
// what serves alone, beyond and the rest.
type lineSaid struct {
	kinds     [len(kindWords)]int // structures that need work, by kind; one may be in several
	both      int                 // that need work and are stopped too
	partly    int                 // that need work, and of the rest it cannot be judged what serves
	beyond    int                 // where something falls short that asks for no insulator and stops none
	rest      int                 // of which nothing is known to fall short
	notJudged int                 // of the rest: where something could not be judged
	advised   int                 // of the rest: that have an advisory
	sizesOpen int                 // that need work of which a check that sizes strings could not be judged
	gone      []string            // levels that the line states today and not in the scenario, so that nothing is held against them
	unstated  float64             // the highest voltage in kV that asks for a switching level where none is known, 0 for none
}

// levelsGone are the levels that went with the voltage which a scenario replaces. Their checks are not asked for then and count nowhere as not
// judged, though they may ask for longer strings than the others.
func levelsGone(today, then *audit.LineRow) (gone []string) {
	for _, level := range [...]struct {
		name      string
		was, then float64
	}{{"lightning level", today.LightningKV, then.LightningKV}, {"switching level", today.SwitchingKV, then.SwitchingKV}} {
		if !unknown(level.was) && unknown(level.then) {
			gone = append(gone, level.name)
		}
	}
	return gone
}

// lacksSwitching is the highest voltage in kV that a scenario gives a line and that asks for a switching level where none is known today or
// then, 0 for none. Its check asks for nothing then either.
func lacksSwitching(today, then *audit.Line) float64 {
	if basis.IsRangeTwo(then.HighestKV) && then.HighestKV != today.HighestKV && !then.Row.System.IsDirect() && unknown(today.Row.SwitchingKV) && unknown(then.Row.SwitchingKV) {
		return then.HighestKV
	}
	return 0
}

// gravestOf are the gravest of what is no note at each structure, 1 more than the severity; 0 where there is nothing.
func gravestOf(r *audit.Result) []uint8 {
	gravest := make([]uint8, r.Network.StructureCount())
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		if e.Structure < 0 || e.To >= 0 || e.Verdict.Severity > audit.Advisory {
			continue
		}
		if at, grave := &gravest[e.Structure], 1+uint8(e.Verdict.Severity); *at == 0 || grave < *at {
			*at = grave
		}
	}
	return gravest
}

// note counts a structure with what it needs, nil for nothing, and the gravest of what is found there.
func (s *lineSaid) note(c *scopeChange, gravest uint8, lacking bool) {
	switch {
	case c != nil || gravest == 0:
		s.add(c, lacking)
	case gravest == 1+uint8(audit.Shortfall): // no job speaks of it
		s.beyond++
	default:
		s.add(nil, lacking)
		s.advised++
	}
}

// add counts a structure with what it needs, nil for nothing.
func (s *lineSaid) add(c *scopeChange, lacking bool) {
	switch {
	case c == nil:
		s.rest++
		if lacking {
			s.notJudged++
		}
		return
	case c.toHang == "" && len(c.stops) == 0 && !c.isNotKnown():
		s.beyond++
		return
	case c.toHang == "":
		return
	case len(c.stops) > 0:
		s.both++
	case c.isNotKnown():
		s.partly++
	}
	s.sizesOpen += int(oneIf(c.sizesOpen))
	for i := range s.kinds {
		if c.kinds&(1<<i) != 0 {
			s.kinds[i]++
		}
	}
}

// inWords is a scenario on a line in one sentence that can be quoted by itself. It runs from left to right whatever the
// names in it do.
func (l *scopeLine) inWords(s *ScopeOf) string { return l.told(s, isolated) }

// told is the sentence with names as they are to be written.
func (l *scopeLine) told(s *ScopeOf, written func(name string) string) string {
	var said *lineSaid
	for i := range s.perLine {
		if &s.perLine[i] == l {
			said = &s.said[i]
		}
	}
	var parts []string
	add := func(text string) {
		if text != "" {
			parts = append(parts, text)
		}
	}
	if l.needing > 0 {
		add(said.needInWords(l))
		if said.sizesOpen > 0 {
			add(fmt.Sprintf("how long strings have to be could not be judged in full at %s of them", grouped(said.sizesOpen)))
		}
	}
	if l.stopped > 0 {
		add(l.stoppedInWords(s, said))
	}
	if l.notKnown > 0 {
		add(l.notKnownInWords(s, said))
	}
	if said.beyond > 0 {
		add(fmt.Sprintf("at %s something falls short that asks for no insulator", grouped(said.beyond)))
	}
	work := len(parts) > 0
	add(said.restInWords(l, !work))
	if work && l.newly == 0 {
		add(l.nothingNewInWords())
	}
	if len(said.gone) > 0 {
		add("no string is held against a " + strings.Join(said.gone, " or ") + ", since the scenario states none in place of today's")
	}
	if said.unstated > 0 {
		add(fmt.Sprintf("no string is held against a switching level, which Um %g kV asks for, since none is known", said.unstated))
	}
	add(l.unjudgedInWords())
	return s.about(l.line, written) + ": " + strings.Join(parts, "; ") + "."
}

// nothingNewInWords says that the scenario brings nothing that falls short, as far as that could be judged.
func (l *scopeLine) nothingNewInWords() string {
	if l.notJudged > 0 {
		return "nothing is known to fall short that does not today"
	}
	return "nothing falls short that does not today"
}

// unjudgedInWords says how many verdicts the scenario does not give, and of which today has, so that fewer than today sound no better where
// the scenario only took what they are given by.
func (l *scopeLine) unjudgedInWords() string {
	var parts []string
	if l.notJudged > 0 {
		parts = append(parts, fmt.Sprintf("%s could not be judged (%s today)", counted(l.notJudged, "verdict", "verdicts"), grouped(l.notJudgedToday)))
	}
	if l.taken > 0 {
		parts = append(parts, fmt.Sprintf("%s of them since the figure that they go by went with what the scenario replaces (%s)", grouped(l.taken), strings.Join(l.takenOf, ", ")))
	}
	text := strings.Join(parts, ", ")
	switch {
	case l.unasked == 0:
		return text
	case text == "":
		return fmt.Sprintf("%s that %s asked for today %s not asked for", counted(l.unasked, "verdict", "verdicts"), noun(l.unasked, "is", "are"), noun(l.unasked, "is", "are"))
	}
	return fmt.Sprintf("%s, and %s that %s asked for today %s not asked for", text, grouped(l.unasked), noun(l.unasked, "is", "are"), noun(l.unasked, "is", "are"))
}

// about names a scenario and a line; the line alone where the name of a scenario of one line begins with it.
func (s *ScopeOf) about(line string, written func(string) string) string {
	name := s.scenario.Name
	if rest, begins := strings.CutPrefix(name, line); begins && len(s.lines) == 1 && line != "" {
		if next, _ := utf8.DecodeRuneInString(rest); rest == "" || unicode.IsSpace(next) || next == ':' || next == ',' {
			return written(name)
		}
	}
	return written(line) + ", " + written(name)
}

func (s *lineSaid) needInWords(l *scopeLine) string {
	text := fmt.Sprintf("%s of %s %s work (%s; %s)", grouped(l.needing), counted(l.structures, "structure", "structures"), noun(l.needing, "needs", "need"), takesInWords(&l.certain, &l.afterLook, l.mayStay), l.due.inWords())
	var kinds []string
	for i, n := range s.kinds {
		if n > 0 {
			kinds = append(kinds, kindWords[i]+" at "+grouped(n))
		}
	}
	if len(kinds) > 0 {
		text += ": " + strings.Join(kinds, ", ")
	}
	return text
}

// stoppedInWords says where no remedy serves, and which limits stop it.
func (l *scopeLine) stoppedInWords(s *ScopeOf, said *lineSaid) string {
	text := "no remedy serves " + grouped(l.stopped)
	if l.needing == 0 {
		text += " of " + counted(l.structures, "structure", "structures")
	}
	return text + l.reachInWords(l.stoppedKM) + l.reasonsInWords(s, l.stopped, false) + allTheSame(said.both)
}

// notKnownInWords says where no limit stops a remedy but it cannot be judged what serves, and why.
func (l *scopeLine) notKnownInWords(s *ScopeOf, said *lineSaid) string {
	of := grouped(l.notKnown)
	if l.needing+l.stopped == 0 {
		of += " of " + counted(l.structures, "structure", "structures")
	}
	return "it cannot be judged what serves " + of + l.reachInWords(l.notKnownKM) + l.reasonsInWords(s, l.notKnown, true) + allTheSame(said.partly)
}

// reachInWords is how much of a line structures stand for, empty where that is not known.
func (l *scopeLine) reachInWords(km float64) string {
	if !(km > 0) || math.IsNaN(l.lengthKM) {
		return ""
	}
	return fmt.Sprintf(", %s of %s", kilometres(km), kilometres(l.lengthKM))
}

// reasonsInWords are the limits that stop remedies at so many structures, or what cannot be judged of them, in brackets.
func (l *scopeLine) reasonsInWords(s *ScopeOf, structures int, notKnown bool) string {
	var reasons []string
	under := 0
	for i := range s.stops {
		if stop := &s.stops[i]; stop.line == l.line && stop.notKnown == notKnown {
			reasons = append(reasons, stop.inWords()+" at "+grouped(len(stop.structures)))
			under += len(stop.structures)
		}
	}
	text := " (" + strings.Join(reasons, ", ")
	if under > structures {
		text += ", some under several"
	}
	return text + ")"
}

// inWords is a limit, with the couplings of the units that alone are too long where those of others may not be.
func (x *scopeStop) inWords() string { return limitInWords(x.limit) + x.ofCouplings() }

func (x *scopeStop) ofCouplings() string {
	if len(x.couplings) == 0 {
		return ""
	}
	return " of coupling " + strings.Join(slices.Sorted(slices.Values(x.couplings)), " or ")
}

// allTheSame says how many take some of the work.
func allTheSame(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprintf(", %s of them %s some of the work all the same", grouped(n), noun(n, "takes", "take"))
}

// kilometres is a length along a line, in metres where it is short.
func kilometres(km float64) string {
	if km < 0.1 {
		return fmt.Sprintf("%.0f m", 1000*km)
	}
	return fmt.Sprintf("%.1f km", km)
}

// lengthInWords is the length of all lines of a result: of few kilometres as that of a line alone.
func lengthInWords(km float64) string {
	if km > 0 && km < 10 {
		return kilometres(km)
	}
	return grouped(int(math.Round(km))) + " km"
}

// limitInWords is a limit as it stands in a sentence: the ids of checks are trade words with hyphens.
func limitInWords(limit string) string { return strings.ReplaceAll(limit, "-", " ") }

// restInWords says of the structures that no work, limit or shortfall is known of whether that is known.
func (s *lineSaid) restInWords(l *scopeLine, alone bool) string {
	text := s.restJudgedInWords(l, alone)
	if s.advised > 0 {
		if s.rest == 1 {
			return text + ", and has an advisory"
		}
		return fmt.Sprintf("%s, and %s of them %s an advisory", text, grouped(s.advised), noun(s.advised, "has", "have"))
	}
	return text
}

// restJudgedInWords leaves out the advisories.
func (s *lineSaid) restJudgedInWords(l *scopeLine, alone bool) string {
	const unknown = "could not be judged in full"
	others := grouped(s.rest)
	if s.rest == 1 {
		others = "one"
	}
	switch {
	case s.rest == 0:
		return ""
	case alone && s.notJudged == 0:
		return fmt.Sprintf("none of %s needs work", counted(l.structures, "structure", "structures"))
	case alone:
		return fmt.Sprintf("none of %s is known to need work, but %s %s", counted(l.structures, "structure", "structures"), grouped(s.notJudged), unknown)
	case s.notJudged == s.rest:
		return fmt.Sprintf("the other %s %s", others, unknown)
	case s.notJudged == 0:
		return fmt.Sprintf("the other %s %s none", others, noun(s.rest, "needs", "need"))
	}
	return fmt.Sprintf("of the other %s, %s %s and %s %s none", others, grouped(s.notJudged), unknown, grouped(s.rest-s.notJudged), noun(s.rest-s.notJudged, "needs", "need"))
}
