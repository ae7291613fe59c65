package report

import (
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"
	scenarios "dryarc/audit/scope"
)

// placeState is what a scenario comes to at a structure, the gravest first.
type placeState uint8

const (
	placeStopped   placeState = iota // no remedy serves, at least in part
	placeNeedsWork                   // and there is a remedy
	placeOpen                        // something could not be judged, what serves too, or asks for no insulator
	placeRests                       // nothing is needed
)

var placeStates = [...]string{"no remedy serves", "needs work", "could not be judged in full", "needs nothing"}

// scopePlace is a structure of a line of a scenario, as map and strip draw it.
type scopePlace struct {
	structure, change       int32 // in the network; among the changes, −1 for none
	state                   placeState
	class                   basis.Class
	unitsNow, unitsThen     int16   // of one string; −1 where unknown
	lengthNow, lengthThenMM float32 // of it; NaN where unknown
	site                    string  // what its creepage goes by, where the scenario changes classes
}

// scopeRoute is a line of a scenario, as map and strip draw it.
type scopeRoute struct {
	line              int
	highestKV         float64
	longestMM         float64 // that a string may be; NaN where not stated
	first, end        int     // in ScopeOf.places
	structures, drawn int
}

// mostPlaces is how many structures of a scenario are kept for the page, beside the ends of its lines.
const mostPlaces = 20_000

// placing keeps what the page draws of a scenario: every structure of its lines, or where those are too many the ends of lines, those that
// are stopped, those that need work as far as there is room, and every so many of the others.
type placing struct {
	of   *ScopeOf
	r    *audit.Result
	step int                   // of every so many structures one is kept
	room [len(placeStates)]int // for others
	kept [len(placeStates)]int
	line int // at hand
}

// newPlacing has room for so many structures, beside the ends of lines.
func (s *ScopeOf) newPlacing(l *scenarios.Look, most int) *placing {
	p := &placing{of: s, r: l.Then, step: 1, room: [len(placeStates)]int{placeStopped: most, placeNeedsWork: most - most/10}}
	all := 0
	for line := range l.Chosen {
		if l.Chosen[line] {
			all += p.r.Network.Lines[line].End - p.r.Network.Lines[line].First
		}
	}
	if all > most {
		p.step = 1 + all*10/most // a tenth of the room is for these
	}
	return p
}

// begin begins with a line.
func (p *placing) begin(line int) {
	of := &p.r.Network.Lines[line]
	p.line = line
	p.of.routes = append(p.of.routes, scopeRoute{line: line, highestKV: of.HighestKV, longestMM: of.Row.LongestStringMM, first: len(p.of.places), structures: of.End - of.First})
}

// end ends the line.
func (p *placing) end() {
	route := &p.of.routes[len(p.of.routes)-1]
	route.end = len(p.of.places)
	route.drawn = route.end - route.first
}

// add keeps the next structure of the line, as far as there is room, with what it needs, nil for nothing: the next change to be kept. job is that of it.
func (p *placing) add(structure int, c *scopeChange, lacking bool, job *remedy.Job) {
	of, state := &p.r.Network.Lines[p.line], stateOfPlace(c, lacking)
	if p.step > 1 && structure != of.First && structure != of.End-1 && (structure-of.First)%p.step != 0 && p.kept[state] >= p.room[state] {
		return
	}
	p.kept[state]++
	p.of.places = append(p.of.places, p.of.placeOf(p.r, p.line, structure, c, state, job))
}

// stateOfPlace is what a scenario comes to at a structure with what it needs, nil for nothing.
func stateOfPlace(c *scopeChange, lacking bool) placeState {
	switch {
	case c != nil && len(c.stops) > 0:
		return placeStopped
	case c != nil && c.toHang != "":
		return placeNeedsWork
	case c != nil || lacking:
		return placeOpen
	}
	return placeRests
}

func (s *ScopeOf) placeOf(r *audit.Result, line, structure int, c *scopeChange, state placeState, job *remedy.Job) scopePlace {
	at, change := r.Network.Structure(line, structure), int32(-1)
	if c != nil {
		change = int32(s.allChanges)
	}
	p := scopePlace{structure: int32(structure), change: change, state: state, class: at.ClassInForce()}
	if s.scenario.Classes != "" {
		p.site = siteInWords(r, &at)
	}
	now, then := stringsAt(r, structure, job)
	p.unitsNow, p.lengthNow = now.units(), float32(now.lengthMM)
	notKnown := c != nil && c.isNotKnown()
	if (state == placeStopped || notKnown) && then.count < 0 {
		then = hungString{-1, math.NaN()}
	} else if then.count < 0 {
		then = now
	}
	p.unitsThen, p.lengthThenMM = then.units(), float32(then.lengthMM)
	return p
}

// siteInWords is the class that a structure stands in, or the figure of its zone.
func siteInWords(r *audit.Result, s *audit.Structure) string {
	if class := s.ClassInForce(); class != basis.ClassUnknown {
		return "class " + class.String()
	}
	if s.Zone >= 0 && s.Doubt == audit.NoReason {
		if figure := s.SpecificCreepage; figure > 0 {
			return grouped(int(math.Round(figure))) + " mm/kV"
		}
	}
	return "class unknown"
}

// hungString is a string as far as the strip draws it.
type hungString struct {
	count    int // of its units; −1 where unknown
	lengthMM float64
}

func (h hungString) units() int16 { return int16(min(max(h.count, -1), math.MaxInt16)) }

// stringsAt are the string that work at a structure changes most and what is to hang in its place, whose count is −1 where there is no such
// work; then the shortest string that hangs there is told.
func stringsAt(r *audit.Result, structure int, job *remedy.Job) (now, then hungString) {
	now, then = hungString{-1, math.NaN()}, hungString{-1, math.NaN()}
	var most *remedy.Remedy
	for i := 0; job != nil && i < len(job.Remedies); i++ {
		if x := &job.Remedies[i]; !x.Unregistered && (most == nil || x.To.UnitsPerString > most.To.UnitsPerString) {
			most = x
		}
	}
	if most != nil {
		then = hungString{most.To.UnitsPerString, most.LengthMM}
	}
	for _, row := range r.Network.AssemblyRows(structure) {
		a := r.Network.Assembly(row)
		if !a.Duty.CarriesPhase() || most != nil && (a.Circuit != most.Circuit || a.Duty != most.Duty) {
			continue
		}
		hung := hungString{a.UnitsPerString, a.LengthMM()}
		if shorter := hung.lengthMM < now.lengthMM || unknown(now.lengthMM) && (hung.count >= 0 && (hung.count < now.count || now.count < 0)); shorter {
			now = hung
		}
	}
	return now, then
}
