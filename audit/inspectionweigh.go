package audit

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// stringState is what is known of the defective units of one string.
type stringState struct {
	count, sure int16
	unknown     bool
	deciding    int   // the inspection whose count holds, −1 where it is the register's
	stated      bool  // with confidence enough, and nothing stands in for a blank
	inspected   bool  // by an inspection
	by, low     told  // which of them count the defective units, and with too little confidence
	behind      []int // inspections by which it is unknown
	more        int   // others of too little confidence that the count is of too, if each is of another unit
	seen        Day   // when it was last looked at as a whole; NoDay where no inspection did
	zone        int16 // of the clock of that
}

// known is the count, −1 where that is not known.
func (s *stringState) known() int16 {
	if s.unknown {
		return -1
	}
	return s.count
}

// weigh finds what a row is judged by, from what inspections say of its strings: the latest counts, and what is not known to be the latest, or
// to be of the string, must say the same. The worst string of the row stands for it, as it does in the register.
func (j *joining) weigh(row uint32) {
	p := j.n.Project
	a, o, list := p.Assemblies.At(int(row)), p.Observed[row], j.sightings[row]
	j.tellFindings(list)
	worst := stringState{deciding: nowhere, seen: math.MaxInt32}
	var behind []int
	inspected := false
	for _, phase := range j.phasesOf(&a, list) {
		for _, side := range a.Side.each() {
			var strings []stringState
			for str := int16(1); str <= a.stringsNamed(list); str++ {
				s := a.stateOf(list, phase, side, str, p.AsOf)
				if s.unknown {
					worst.unknown, behind = true, append(behind, s.behind...)
				} else if s.count > worst.count || s.count == worst.count && worst.deciding < 0 {
					worst.count, worst.deciding, worst.more = s.count, s.deciding, s.more
				}
				worst.sure = max(worst.sure, s.sure)
				worst.seen = min(worst.seen, s.seen)
				o.strings = append(o.strings, seenString{phase, side, str, s.known(), s.zone, int32(s.deciding), s.seen})
				o.ByInspection, inspected = o.ByInspection || s.inspected || s.deciding >= 0, inspected || s.inspected
				strings = append(strings, s)
			}
			o.tally(phase, side, strings, a.knownUnits())
		}
	}
	if !inspected && !worst.unknown {
		o.takeRegistered(int(worst.sure))
	}
	if worst.seen != NoDay && worst.seen != math.MaxInt32 {
		for _, i := range o.Of {
			in := &p.Inspections.Rows[i]
			if first, _ := in.Date.Between(); first == worst.seen && isAfter(in.Date, a.Inspected) {
				a.Inspected = in.Date
			}
		}
	}
	if worst.unknown {
		o.Count, o.Sure, o.Deciding = -1, -1, nowhere
		a.Defective, a.Faulty = -1, a.Faulty.With(CellDefective)
		j.tellUnknown(row, behind)
	} else {
		o.Count, o.Sure, o.Deciding, o.More = worst.count, worst.sure, worst.deciding, worst.more
		if a.Defective = worst.count; worst.deciding >= 0 {
			a.Blank &^= BlankDefective
			j.n.Inspected[worst.deciding].Decides = true
		}
		a.Faulty &^= 1 << CellDefective
	}
	p.Assemblies.Set(int(row), a)
	if second, is := j.n.SecondOf(int(row)); is {
		p.takeDefects(second, &a)
	}
}

// takeDefects makes the second row of a pair count the defective units of the first.
func (p *Project) takeDefects(row int, of *AssemblyRow) {
	a := p.Assemblies.At(row)
	a.Defective, a.Blank = of.Defective, a.Blank&^BlankDefective|of.Blank&BlankDefective
	a.Faulty = a.Faulty&^(1<<CellDefective) | of.Faulty&(1<<CellDefective)
	p.Assemblies.Set(row, a)
}

// isAfter tells whether a date is later than what was known.
func isAfter(date, known Day) bool {
	first, _ := date.Between()
	_, last := known.Between()
	return date != NoDay && (known == NoDay || first > last)
}

// phasesOf lists the phases of a row one by one, and last those that nobody names, as no phase.
func (j *joining) phasesOf(a *AssemblyRow, list []sighting) []Phases {
	l := &j.n.Lines[j.line]
	own := j.n.phasesOfRow(l, a)
	if own != EveryPhase {
		return own.each()
	}
	named, all := Phases(0), 0
	for i := range list {
		if list[i].phases != EveryPhase {
			named |= list[i].phases
		}
	}
	if c := l.circuitIndex(a.Circuit); c >= 0 {
		all = l.phasesOf(&l.Circuits[c])
	}
	if each := named.each(); all > 0 && len(each) >= all {
		return each
	} else {
		return append(each, 0)
	}
}

// stringsNamed is how many strings are weighed one by one; where it is not known how many hang, those that something was seen of, and one
// for the others.
func (a *AssemblyRow) stringsNamed(list []sighting) int16 {
	if strings := a.knownStrings(); strings > 0 {
		return strings
	}
	named := max(a.Strings, 0)
	for i := range list {
		named = max(named, list[i].str)
	}
	return named + 1
}

// isOf tells whether something was seen of a string of a phase and side.
func (s *sighting) isOf(phase Phases, side Side, str int16) bool {
	return (s.side == NoSide || s.side == side) && (s.phases == EveryPhase || s.phases&phase != 0) && (s.str == 0 || s.str == str)
}

// isSure tells whether something was seen of a string for sure, and of what hangs there now.
func (s *sighting) isSure() bool { return s.certain && !s.low }

// zonesApart is how many days two clocks may differ by, of −12 and +14 hours beside UTC at most.
const zonesApart = 2

// isAfter tells whether something was seen after a day by the clock of a zone, for sure.
func (s *sighting) isAfter(day Day, zone int16) bool {
	if s.zone != zone {
		return int64(s.first) > int64(day)+zonesApart
	}
	return s.first > day
}

// isBefore tells whether something was seen before a day by whichever clock, for sure.
func (s *sighting) isBefore(day Day) bool {
	if s.zone != NoZone {
		return int64(s.last)+zonesApart < int64(day)
	}
	return s.last < day
}

// spares tells whether something that was seen of some units or strings leaves an earlier word standing, which may be of the others.
func (s *sighting) spares(earlier *sighting) bool {
	return s.part && (s.unknown || earlier.unknown || earlier.to > s.from)
}

// stateOf is what is known of a string of a row. What the register says counts as seen on the day Inspected, and before all else where that is
// blank; where it leaves the defective units blank, that none are is only taken where nothing else is known.
func (a *AssemblyRow) stateOf(list []sighting, phase Phases, side Side, str int16, asOf Day) (state stringState) {
	state.deciding, state.seen, state.by.all, state.low.all = nowhere, NoDay, untold, untold
	registered := sighting{inspection: nowhere, from: a.Defective, to: a.Defective, unknown: a.Faulty.Has(CellDefective) || a.Defective < 0, certain: true, first: math.MinInt32, last: math.MinInt32, zone: NoZone}
	blank := a.Blank&BlankDefective != 0
	switch {
	case blank:
		registered.certain = false
	case a.Inspected.isBeyond(asOf): // a day that has not been says nothing
		registered.last = math.MaxInt32
	case a.Inspected != NoDay:
		registered.first, registered.last = a.Inspected.Between()
	case a.Faulty.Has(CellRemarks): // of which it may be the date that cannot be read
		registered.last = math.MaxInt32
	}
	own := []sighting{registered}
	surely := false // something is known of the string besides
	for i := range list {
		s := list[i]
		if !s.isOf(phase, side, str) {
			continue
		}
		s.total = s.to
		if most := a.UnitsPerString; most > 0 { // of several strings all may be in one
			s.from, s.to = min(s.from, most), min(s.to, most)
		}
		surely = surely || s.isSure() && (!s.part || s.from > 0)
		if !s.unknown && !s.low && !s.part && (s.certain || s.to == 0) && s.first > state.seen {
			state.seen, state.zone = s.first, s.zone
		}
		own = append(own, s)
	}
	superseded := func(s *sighting) bool {
		return s.inspection < 0 && blank && surely ||
			slices.ContainsFunc(own, func(later sighting) bool { return later.isSure() && later.isAfter(s.last, s.zone) && !later.spares(s) })
	}
	least, most := int16(math.MaxInt16), int16(-1)
	low, lowest := int16(-1), nowhere
	var latest *sighting
	registerCounts := false
	var findings []*sighting
	for i := range own {
		s := &own[i]
		if superseded(s) {
			continue
		}
		if s.finding != nil {
			findings = append(findings, s)
		}
		switch {
		case s.unknown:
			state.unknown = true
		case s.low:
			if s.to > low {
				low, lowest = s.to, s.inspection
				state.low = told{all: untold}
				state.low.tellBy(s)
			}
			continue
		default:
			least, most = min(least, s.from), max(most, s.to)
		}
		if s.inspection < 0 {
			registerCounts = true
		} else if state.behind = append(state.behind, s.inspection); s.certain && (!s.part || s.from > 0) {
			state.by.tellBy(s)
			if latest == nil || s.first >= latest.first {
				latest = s
			}
		}
	}
	for _, s := range findings {
		sure, all, others := s.withOthers(findings, a.UnitsPerString)
		if !s.low {
			most = max(most, sure)
		} else if all > low {
			low, lowest, state.more = all, s.inspection, others
		}
	}
	if state.unknown = state.unknown || least != most; state.unknown {
		return state
	}
	state.count, state.sure, state.stated = most, most, !blank
	if state.inspected = latest != nil; state.inspected && (!registerCounts || blank) {
		state.deciding, state.stated = latest.inspection, true
	}
	if low > state.count {
		state.count, state.deciding = low, lowest
	}
	return state
}

// tellUnknown notes the inspections by which the defective units of a row are not known, and says why, unless that has been said.
func (j *joining) tellUnknown(row uint32, behind []int) {
	p := j.n.Project
	slices.Sort(behind)
	behind = slices.Compact(behind)
	for _, i := range behind {
		if out := &j.n.Inspected[i]; out.State == InspectionJoined {
			out.State = InspectionOpens
		}
	}
	if len(behind) == 0 || slices.ContainsFunc(behind, func(i int) bool { return j.told[i] }) {
		return
	}
	last := behind[len(behind)-1]
	in := &p.Inspections.Rows[last]
	var others []string
	for _, i := range behind[:len(behind)-1] {
		if p.Inspections.Rows[i].Broken != in.Broken {
			others = append(others, fmt.Sprintf("%s, which says %d", p.rowInWords(p.Inspections.Rows[i].Source, in.Source), p.Inspections.Rows[i].Broken))
		}
	}
	if o := p.Observed[row]; len(others) == 0 && o.Registered >= 0 && o.Registered != in.Broken {
		others = append(others, fmt.Sprintf("the register (%s), which says %d", p.rowInWords(p.Assemblies.At(int(row)).Source, in.Source), o.Registered))
	}
	why := "does not say of which string it is, or whether it is of what hangs there now"
	if len(others) == 0 && len(behind) > 1 {
		why = fmt.Sprintf("stands beside others of the string, %d in all, of its day: they may be of one unit or of several", len(behind))
	}
	if len(others) > 0 {
		why = "may contradict " + strings.Join(others, ", and ") + ": which is the latest of the string is not known"
	}
	j.doubted(last, Implausible, "Units broken", fmt.Sprint(in.Broken), why+"; how many are broken there is not known")
}
