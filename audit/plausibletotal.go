package audit

import (
	"fmt"
	"math"
	"slices"

	"dryarc/audit/basis"
)

// counted is a row of discs with what its number of units comes to.
type counted struct {
	lengthMM              float64
	ofClassE, ofLongestMM float64 // its units over those that class e asks for, and its length over the line's longest string; NaN if unknown
	row                   uint32
	units                 int16 // unread where the cell cannot be read, or which unit or duty it is
	strings               int16 // −1 where that is blank, unread where it cannot be read
	phases                int16 // 0 where that is not known, unread where it cannot be read
	duty                  Duty
	maybe                 bool // whether it is a row of discs cannot be read, or is not stated
	unstated              bool // nobody states the kind of its units, of which it has several
}

// unread is a number that a cell would tell that cannot be read.
const unread = -2

// doubtTotals makes one fault of the units of a line that are likely counted over all strings of a row, or over all its phases: in
// place of a string that has more than its share they would be one that nobody builds.
func (n *Network) doubtTotals(line *Line, rows []uint32) {
	strings := func(c counted) int16 { return c.strings }
	type discs struct {
		counted
		is bool
	}
	var alike alikeStrings[discs]
	discsOf := func(r uint32) (c *discs, known bool) {
		if c, known = alike.of(&n.Project.Assemblies, r); !known {
			c.counted, c.is = n.countDiscs(line, r)
		}
		return c, known
	}
	overPhases, overStrings, several := false, false, false // whether any row has such a number, or may have several strings
	for _, r := range rows {
		if c, known := discsOf(r); !known && c.is {
			overPhases, overStrings = overPhases || isTotal(c.counted, ofPhases), overStrings || isTotal(c.counted, strings)
			several = several || c.strings > 1 || c.strings == unread
		}
	}
	if !overPhases && !overStrings && !several { // as on most lines
		return
	}
	all := n.counted[:0]
	for _, r := range rows {
		if c, _ := discsOf(r); c.is {
			c.row = r
			all = append(all, c.counted)
		}
	}
	n.counted = all
	areNearlyAll, on := nearlyAllAreTotals(all)
	switch {
	case overPhases && areNearlyAll:
		n.doubtTotal(line, slices.DeleteFunc(withoutOthers(all, ofPhases), isOfOne), on+" such row", "phases")
	case overStrings && areTotals(all, strings):
		n.doubtTotal(line, withoutOthers(all, strings), "every such row", "strings")
	default:
		if overPhases {
			n.doubtTotalOfDuties(line, all)
		}
		for strings := int16(2); strings <= mostStringsOfATotal; strings++ {
			several := ofStrings(all, strings)
			if len(several) < fewestRows {
				continue // too few to tell, of those known too
			}
			known := slices.DeleteFunc(slices.Clone(all), func(c counted) bool { return c.unstated })
			if areTimesThe(ofStrings(all, 1), several, strings) || areTimesThe(ofStrings(known, 1), ofStrings(known, strings), strings) {
				n.doubtTotal(line, several, "every such row", "strings")
			}
		}
	}
}

// doubtTotalOfDuties does so of the units of each duty for itself, where nearly each of its rows has twice those of class e that are likely counted over all phases, or more than class e and some twice the longest string of the other duty, or several have that many and other
// rows just the share of one phase, and no row of the line has so many for a string that is so long.
func (n *Network) doubtTotalOfDuties(line *Line, all []counted) {
	if slices.ContainsFunc(all, func(c counted) bool { return isFarBeyond(c) && !isTotal(c, ofPhases) && !c.maybe }) {
		return
	}
	for duty := Suspension; duty <= Shackle; duty++ {
		rows := slices.DeleteFunc(slices.Clone(all), func(c counted) bool { return c.duty != duty && c.duty != DutyUnknown })
		longest := longestBeside(all, duty)
		isTotal := func(c counted) bool {
			return isTwiceTotal(c) || c.phases > 2 && isTotal(c, ofPhases) && basis.IsTimes(c.lengthMM, longest, 2)
		}
		areNearlyAll, on := nearlyAllAre(rows, isTotal)
		if on += " row of " + duty.String(); !areNearlyAll {
			rows, on = timesWhatOthersHave(rows, all, isTotal), "others of "+duty.String()+" beside rows that have the share of one phase"
		}
		if rows = slices.DeleteFunc(rows, isOfOne); !areNearlyAll && len(rows) < fewestRows {
			continue
		}
		n.doubtTotal(line, rows, on, "phases")
		for i := range all {
			if slices.ContainsFunc(rows, func(c counted) bool { return c.row == all[i].row }) {
				all[i].units, all[i].maybe = unread, true
			}
		}
	}
}

// longestBeside is the longest string of tension beside those of suspension, or of suspension beside those of tension; NaN where none is believed. No line has strings of one of the two
// that are twice as long as all of the other (common practice).
func longestBeside(all []counted, duty Duty) (mm float64) {
	other := map[Duty]Duty{Suspension: Tension, Tension: Suspension}[duty]
	mm = math.NaN()
	for _, c := range all {
		if other != DutyUnknown && c.duty == other && !c.maybe && isRead(c) && !(mm >= c.lengthMM) {
			mm = c.lengthMM
		}
	}
	return mm
}

// timesWhatOthersHave are the rows of three phases or more that have a likely total, and for each phase just as many as a string of some row that is believed.
func timesWhatOthersHave(rows, all []counted, isTotal func(c counted) bool) (times []counted) {
	for _, c := range rows {
		if c.phases > 2 && isTotal(c) && slices.ContainsFunc(all, func(o counted) bool { return !o.maybe && o.units == c.units/c.phases && !isFarBeyond(o) }) {
			times = append(times, c)
		}
	}
	return times
}

// withoutOthers are the rows but for those of units of a kind that nobody states, and of which the number is none that is likely a total:
// they acquit no row, and none of them is doubted for another.
func withoutOthers(all []counted, of func(c counted) int16) []counted {
	return slices.DeleteFunc(slices.Clone(all), func(c counted) bool { return c.unstated && !isTotal(c, of) })
}

// ofStrings are the rows of so many strings, and those that may be: whose strings cannot be read and whose units can be shared out over
// so many.
func ofStrings(all []counted, strings int16) (rows []counted) {
	for _, c := range all {
		if c.strings == strings || c.strings == unread && (c.units == unread || c.units%strings == 0) {
			rows = append(rows, c)
		}
	}
	return rows
}

// mostStringsOfATotal is the most strings in parallel over which units are believed to be counted (a choice of this program).
const mostStringsOfATotal = 4

// countDiscs takes a row of one kind of cap-and-pin units, if it is one or may be by what cannot be read of it or is not stated.
func (n *Network) countDiscs(line *Line, r uint32) (c counted, is bool) {
	p := n.Project
	row := p.Assemblies.saidOf(r)
	if !row.mayCarryPhase() {
		return c, false
	}
	c = counted{row: r, units: row.UnitsPerString, strings: row.Strings, phases: int16(line.phasesOfRow(row)), duty: row.Duty}
	if row.Faulty.Has(CellDuty) {
		c.duty = DutyUnknown
	}
	if row.Faulty.Has(CellStrings) {
		c.strings = unread
	}
	if row.Faulty&phaseCells != 0 {
		c.phases = unread
	}
	if row.Makeup == 0 && row.Faulty.Has(CellUnit) {
		c.units, c.maybe = unread, true
		return c, true
	}
	if row.Makeup == 0 || len(p.Makeups[row.Makeup].Parts) != 1 {
		return c, false
	}
	at := p.Makeups[row.Makeup].Parts[0].Unit
	unit := &p.Units[at]
	isUnread := row.Faulty.Has(CellUnitsPerString) || row.Faulty.Has(CellDuty)
	isFaulty := FaultsOf(p.UnitFaults, at).Has(CellKind)
	if unit.Kind != basis.CapAndPin && unit.Kind != basis.KindUnknown && !isFaulty || row.UnitsPerString < 2 && !isUnread {
		return c, false
	}
	c.unstated = unit.Kind == basis.KindUnknown && !isFaulty && !isUnread
	c.maybe = isUnread || unit.Kind != basis.CapAndPin
	if isUnread {
		c.units = unread
		return c, true
	}
	c.lengthMM, c.ofClassE = float64(c.units)*unit.SpacingMM, math.NaN()
	if needed := n.unitsOfClassE(line, unit); needed > 0 {
		if c.ofClassE = float64(c.units) / float64(needed); int(c.units) == needed+1 { // as tension strings have, of however few
			c.ofClassE = min(c.ofClassE, basis.FarBeyondShare)
		}
	}
	c.ofLongestMM = c.lengthMM / line.Row.LongestStringMM
	return c, true
}

// areTotals tells whether every row of a line, of which one is known to, has a number of units that can be shared out over as many as of says,
// two or more, and is far beyond what any string of the line is. What cannot be read may be so.
func areTotals(all []counted, of func(c counted) int16) bool {
	return len(all) >= fewestRows && !slices.ContainsFunc(all, func(c counted) bool { return !c.maybe && !isTotal(c, of) })
}

// nearlyAllAreTotals tells whether nearly every row of a line, of which one is known to, has such a number of units for its phases. A row of one phase tells nothing of how the others
// count, and one whose units a string may well have may count otherwise than nearly all. One far beyond any string that is no such number, or of one phase, shows that the
// strings of the line are so long, and takes the doubt from all.
func nearlyAllAreTotals(all []counted) (are bool, on string) {
	return nearlyAllAre(all, func(c counted) bool { return isTotal(c, ofPhases) })
}

// nearlyAllAre is nearlyAllAreTotals of such totals as it is told.
func nearlyAllAre(all []counted, isTotal func(c counted) bool) (are bool, on string) {
	totals, open, others := 0, 0, 0
	for _, c := range all {
		switch {
		case isTotal(c):
			totals++
		case c.maybe:
			open++
		case isFarBeyond(c):
			return false, ""
		case c.phases != 1:
			others++
		}
	}
	on = "every"
	if others > 0 {
		on = "nearly every"
	}
	return totals > 0 && totals+open >= fewestRows && basis.AreNearlyAll(totals, others), on
}

func ofPhases(c counted) int16 { return c.phases }

// isOfOne tells whether the number of units of a row is that of one string: the row is of one phase, or they cannot be shared out over its phases.
func isOfOne(c counted) bool {
	return isRead(c) && (c.phases == 1 || c.phases > 1 && c.units%c.phases != 0)
}

// isTotal tells whether a row has such a number of units.
func isTotal(c counted, of func(c counted) int16) bool {
	over := of(c)
	return isRead(c) && (over == unread || over >= 2 && c.units%over == 0) && isFarBeyond(c)
}

// isTwiceTotal tells whether a row has a number of units that can be shared out over its phases and is more than twice what class e asks for.
func isTwiceTotal(c counted) bool {
	return isTotal(c, ofPhases) && c.ofClassE > basis.MostUnitsShare
}

// isFarBeyond tells whether a row has more units than are believed of one string.
func isFarBeyond(c counted) bool {
	return isRead(c) && (basis.IsFarBeyond(c.ofClassE) || basis.IsFarBeyond(c.ofLongestMM))
}

func isRead(c counted) bool { return c.units != unread }

// areTimesThe tells whether the rows of several strings have so many times the length of the single ones that their units are likely
// those of all their strings. What cannot be read of them may be anything: a row without units may be the shortest of the single ones and
// the longest of the others, and one without strings either.
func areTimesThe(singles, several []counted, strings int16) bool {
	single, times := readOf(singles, 1), readOf(several, strings)
	if len(singles) < fewestRows || len(several) < fewestRows || len(single) == 0 || len(times) == 0 ||
		slices.ContainsFunc(times, func(c counted) bool { return !c.maybe && c.units%strings != 0 }) {
		return false
	}
	longest, usual := single[len(single)-1], single[max(len(singles)/2-(len(singles)-len(single)), 0)]
	shortest, usualOfSeveral := times[0], times[min(len(several)/2, len(times)-1)]
	return basis.IsTimes(shortest.lengthMM, longest.lengthMM, int(strings)) ||
		usualOfSeveral.ofClassE > 1 && basis.IsNearlyTimes(usualOfSeveral.lengthMM, usual.lengthMM, int(strings))
}

// readOf are the rows of which units and strings can be read, the shortest first.
func readOf(rows []counted, strings int16) []counted {
	rows = slices.DeleteFunc(slices.Clone(rows), func(c counted) bool { return !isRead(c) || c.strings != strings })
	slices.SortFunc(rows, func(a, b counted) int { return compare(a.lengthMM, b.lengthMM) })
	return rows
}

// doubtTotal makes the units of rows unknown.
func (n *Network) doubtTotal(line *Line, rows []counted, on, over string) {
	rows = slices.DeleteFunc(slices.Clone(rows), func(c counted) bool { return !isRead(c) }) // the others say nothing
	first := n.Project.Assemblies.At(int(rows[0].row))
	for _, c := range rows {
		if row := n.Project.Assemblies.At(int(c.row)); row.Source.Before(first.Source) {
			first = row
		}
	}
	n.Project.Faults.Add(Fault{Kind: Implausible, At: first.Source, Column: "Units per string", Value: fmt.Sprint(first.UnitsPerString), Rows: len(rows),
		Expected: fmt.Sprintf("is too many for one string of line %q, as on %s, and divides by the number of %s; are they counted over all %s? Expected those of one string; what rests on them is not assessed",
			n.Project.Symbols.Text(line.Symbol), on, over, over)})
	for _, c := range rows {
		n.unknownUnits(c.row)
	}
}

// unknownUnits makes the number of units of a row unknown, and its unit where that says the number too.
func (n *Network) unknownUnits(r uint32) {
	row := n.Project.Assemblies.Row(int(r))
	row.UnitsPerString, row.Faulty = -1, row.Faulty.With(CellUnitsPerString)
	if n.Project.Makeups[row.Makeup].Parts[0].Count > 0 {
		row.Makeup, row.Faulty = 0, row.Faulty.With(CellUnit)
	}
}
