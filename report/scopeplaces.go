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

// addPlaces keeps what the page draws of a scenario: every structure of its lines, or where those are too many the ends of lines, those that
// are stopped, those that need work as far as there is room, and every so many of the others.
func (s *ScopeOf) addPlaces(l *scenarios.Look, most int) {
	jobs := map[int]*remedy.Job{}
	for i := range l.Jobs {
		jobs[l.Jobs[i].Structure] = &l.Jobs[i]
	}
	n, all := l.Then.Network, 0
	for line := range l.Chosen {
		if l.Chosen[line] {
			all += n.Lines[line].End - n.Lines[line].First
		}
	}
	step := 1
	if all > most {
		step = 1 + all*10/most // a tenth of the room is for these
	}
	room := [len(placeStates)]int{placeStopped: most, placeNeedsWork: most - most/10}
	next, kept := 0, [len(placeStates)]int{}
	for line := range l.Chosen {
		if !l.Chosen[line] {
			continue
		}
		of := &n.Lines[line]
		route := scopeRoute{line: line, highestKV: of.HighestKV, longestMM: of.Row.LongestStringMM, first: len(s.places), structures: of.End - of.First}
		for i := of.First; i < of.End; i++ {
			change, c := int32(-1), (*scopeChange)(nil)
			if next < len(s.changes) && s.changes[next].structureOf == i {
				change, c = int32(next), &s.changes[next]
				next++
			}
			state := stateOfPlace(c, l.Lacking[i] > 0)
			if step > 1 && i != of.First && i != of.End-1 && (i-of.First)%step != 0 && kept[state] >= room[state] {
				continue
			}
			kept[state]++
			s.places = append(s.places, s.placeOf(l.Then, line, i, change, state, jobs[i]))
		}
		route.end = len(s.places)
		route.drawn = route.end - route.first
		s.routes = append(s.routes, route)
	}
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

func (s *ScopeOf) placeOf(r *audit.Result, line, structure int, change int32, state placeState, job *remedy.Job) scopePlace {
	at := r.Network.Structure(line, structure)
	p := scopePlace{structure: int32(structure), change: change, state: state, class: at.ClassInForce()}
	if s.scenario.Classes != "" {
		p.site = siteInWords(r, &at)
	}
	now, then := stringsAt(r, structure, job)
	p.unitsNow, p.lengthNow = now.units(), float32(now.lengthMM)
	notKnown := change >= 0 && s.changes[change].isNotKnown()
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
