package audit

import "slices"

// Defects is how many units are defective on one phase and side of a row.
type Defects struct {
	Phases Phases // 0 for those that nobody names
	Side   Side
	// Least and Most are the fewest and the most that there may be in all of its strings.
	Least, Most int
}

// told is by what the defective units of a string are known.
type told struct {
	all      int  // the inspection that counts those of all strings side by side at once; −1 where they are of this string alone
	from, to int  // the least and the most that inspections so count
	part     bool // of how many strings or units it saw some is not known
}

// tellBy notes an inspection that counts the defective units of a string.
func (t *told) tellBy(s *sighting) {
	switch total := int(s.total); {
	case s.str > 0:
		*t = told{all: nowhere}
	case t.all == untold:
		*t = told{s.inspection, total, total, s.part}
	case t.all >= 0:
		*t = told{s.inspection, min(t.from, total), max(t.to, total), t.part || s.part}
	}
}

// untold is where no inspection has told yet.
const untold = -2

// tally counts the defective units of the strings of a phase and side that hang side by side, each of so many units, −1 where that is not
// known. What is counted of all of them at once needs no sharing out, but for what strings that were seen since may have had of it.
func (o *Observation) tally(phase Phases, side Side, strings []stringState, units int) {
	whole := wholeOf(strings)
	d := Defects{phase, side, leastIn(strings, whole, units), mostIn(strings, whole)}
	var stated []stringState
	for i := range strings {
		if s := &strings[i]; s.stated && !s.unknown {
			stated = append(stated, *s)
		}
	}
	o.Known, o.Least, o.Most = o.Known+len(stated), o.Least+d.Least, o.Most+mostIn(stated, whole)
	o.Places = append(o.Places, d)
}

// wholeOf is by what the defective units of all of some strings side by side are known at once; all is −1 where they are not.
func wholeOf(strings []stringState) told {
	for i := range strings {
		by := strings[i].by
		if by.all >= 0 && !by.part && !slices.ContainsFunc(strings, func(s stringState) bool { return !slices.Contains(s.behind, by.all) }) {
			return by
		}
	}
	return told{all: nowhere}
}

// leastIn is the fewest units that inspections count as defective in strings side by side. What the register says may be of another string.
func leastIn(strings []stringState, whole told, units int) (least int) {
	together := map[int]alongside{}
	for i := range strings {
		s := &strings[i]
		by := s.by
		if whole.all >= 0 {
			by = whole
		}
		switch {
		case !s.inspected:
		case by.all < 0:
			least += int(s.sure)
		default:
			together[by.all] = together[by.all].with(by, s.sure)
		}
	}
	for _, of := range together {
		switch others := len(strings) - of.strings; {
		case of.part:
			least += int(of.each)
		case others == 0:
			least += min(of.from, of.strings*int(of.each))
		case units > 0:
			least += max(of.from-others*units, 0)
		}
	}
	return least
}

// mostIn is the most units that may be defective in strings side by side, but for those of which it is unknown.
func mostIn(strings []stringState, whole told) (most int) {
	together := map[int]alongside{}
	for i := range strings {
		s := &strings[i]
		by := s.by
		switch {
		case s.count > s.sure:
			by = s.low
		case whole.all >= 0:
			by = whole
		}
		if by.all < 0 || by.part || by.to < int(s.count) {
			most += int(s.count)
		} else {
			together[by.all] = together[by.all].with(by, s.count)
		}
	}
	for _, of := range together {
		most += min(of.to, of.strings*int(of.each))
	}
	return most
}

// takeRegistered takes the worst string of the register for one of a row of which no string was inspected for sure; of which phase or side it
// is, where the row has several, is not known.
func (o *Observation) takeRegistered(worst int) {
	if len(o.Places) == 1 && o.Least < worst {
		o.Least, o.Places[0].Least = worst, worst
	}
}

// knownUnits is how many units a string has, −1 where that is not known.
func (a *AssemblyRow) knownUnits() int {
	if a.UnitsPerString < 1 || a.Faulty.Has(CellUnitsPerString) {
		return -1
	}
	return int(a.UnitsPerString)
}

// alongside are strings of which one inspection counts the defective units at once.
type alongside struct {
	told
	strings int
	each    int16 // the most in one of them
}

func (of alongside) with(by told, each int16) alongside {
	if of.strings == 0 {
		of.told = by
	}
	of.from, of.to = min(of.from, by.from), max(of.to, by.to)
	return alongside{of.told, of.strings + 1, max(of.each, each)}
}

// tellsOf tells whether what inspections tell can be of so many strings of so many units.
func (o *Observation) tellsOf(strings, units int) bool {
	return o != nil && o.ByInspection && o.Known <= strings && o.Most <= o.Known*units
}

// DefectsIn is how many units are defective in so many strings, which are all that an assembly stands for: on each phase and side where
// inspections tell, else on all. The register states those of the worst string: the others may have as many, or none.
func (a *Assembly) DefectsIn(strings int) []Defects {
	if a.Defective <= 0 {
		return nil
	}
	if o := a.Observed; o.tellsOf(strings, a.UnitsPerString) && int(o.Count) == a.Defective && a.Phases != EveryPhase {
		return o.Places
	}
	return []Defects{{a.Phases, a.Side, a.Defective, a.Defective * strings}}
}
