package audit

import (
	"fmt"
	"math"
	"slices"

	"dryarc/audit/basis"
)

// counted is a row of discs with what its number of units comes to.
type counted struct {
	row                   *AssemblyRow
	units, strings        int // −1 strings where that is not known
	phases                int // 0 where that is not known
	lengthMM              float64
	ofClassE, ofLongestMM float64 // its units over those that class e asks for, and its length over the line's longest string; NaN if unknown
}

// doubtTotals makes one fault of the units of a line that are likely counted over all strings of a row, or over all its phases: in
// place of a string that has more than its share they would be one that nobody builds.
func (n *Network) doubtTotals(line *Line, rows []uint32) {
	var all []counted
	for _, r := range rows {
		if c, is := n.countDiscs(line, &n.Project.Assemblies[r]); is {
			all = append(all, c)
		}
	}
	single := func(c counted) bool { return c.strings == 1 }
	switch {
	case areTotals(all, func(c counted) int { return c.phases }):
		n.doubtTotal(line, all, "phases")
	case areTotals(all, func(c counted) int { return c.strings }):
		n.doubtTotal(line, all, "strings")
	case slices.ContainsFunc(all, single):
		singles := slices.DeleteFunc(slices.Clone(all), func(c counted) bool { return !single(c) })
		for strings := 2; strings <= mostStringsOfATotal; strings++ {
			several := slices.DeleteFunc(slices.Clone(all), func(c counted) bool { return c.strings != strings })
			if areTimesThe(singles, several, strings) {
				n.doubtTotal(line, several, "strings")
			}
		}
	}
}

// mostStringsOfATotal is the most strings in parallel over which units are believed to be counted (a choice of this program).
const mostStringsOfATotal = 4

// countDiscs takes a row of one kind of cap-and-pin units, if it is one.
func (n *Network) countDiscs(line *Line, row *AssemblyRow) (c counted, is bool) {
	p := n.Project
	if !row.Duty.CarriesPhase() || row.Makeup == 0 || row.UnitsPerString < 2 || row.Faulty.Has(CellUnitsPerString) || len(p.Makeups[row.Makeup].Parts) != 1 {
		return c, false
	}
	unit := &p.Units[p.Makeups[row.Makeup].Parts[0].Unit]
	if unit.Kind != basis.CapAndPin {
		return c, false
	}
	c = counted{row: row, units: int(row.UnitsPerString), strings: int(row.Strings), phases: line.phasesOfRow(row)}
	c.lengthMM, c.ofClassE = float64(c.units)*unit.SpacingMM, math.NaN()
	if needed := n.unitsOfClassE(line, unit); needed > 0 {
		c.ofClassE = float64(c.units) / float64(needed)
	}
	c.ofLongestMM = c.lengthMM / line.Row.LongestStringMM
	return c, true
}

// areTotals tells whether every row of a line has a number of units that can be shared out over as many as of says, two or more, and is
// far beyond what any string of the line is.
func areTotals(all []counted, of func(c counted) int) bool {
	return len(all) >= fewestRows && !slices.ContainsFunc(all, func(c counted) bool {
		over := of(c)
		return over < 2 || c.units%over != 0 || !(basis.IsFarBeyond(c.ofClassE) || basis.IsFarBeyond(c.ofLongestMM))
	})
}

// areTimesThe tells whether the rows of several strings have so many times the length of the single ones that their units are likely
// those of all their strings.
func areTimesThe(singles, several []counted, strings int) bool {
	if len(singles) < fewestRows || len(several) < fewestRows || slices.ContainsFunc(several, func(c counted) bool { return c.units%strings != 0 }) {
		return false
	}
	length := func(a, b counted) int { return compare(a.lengthMM, b.lengthMM) }
	slices.SortFunc(singles, length)
	slices.SortFunc(several, length)
	longest, usual := singles[len(singles)-1], singles[len(singles)/2]
	shortest, usualOfSeveral := several[0], several[len(several)/2]
	return basis.IsTimes(shortest.lengthMM, longest.lengthMM, strings) ||
		usualOfSeveral.ofClassE > 1 && basis.IsNearlyTimes(usualOfSeveral.lengthMM, usual.lengthMM, strings)
}

// doubtTotal makes the units of rows unknown.
func (n *Network) doubtTotal(line *Line, rows []counted, over string) {
	first := rows[0].row
	for _, c := range rows {
		if row := c.row; row.Source.Before(first.Source) {
			first = row
		}
	}
	n.Project.Faults.Add(Fault{Kind: Implausible, At: first.Source, Column: "Units per string", Value: fmt.Sprint(first.UnitsPerString), Rows: len(rows),
		Expected: fmt.Sprintf("is too many for one string of line %q, as on every such row, and divides by the number of %s; are they counted over all %s? Expected those of one string; what rests on them is not assessed",
			n.Project.Symbols.Text(line.Symbol), over, over)})
	for _, c := range rows {
		n.unknownUnits(c.row)
	}
}

// unknownUnits makes the number of units of a row unknown, and its unit where that says the number too.
func (n *Network) unknownUnits(row *AssemblyRow) {
	row.UnitsPerString, row.Faulty = -1, row.Faulty.With(CellUnitsPerString)
	if n.Project.Makeups[row.Makeup].Parts[0].Count > 0 {
		row.Makeup, row.Faulty = 0, row.Faulty.With(CellUnit)
	}
}
