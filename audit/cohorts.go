package audit

import (
	"cmp"
	"slices"
	"strings"

	"dryarc/audit/basis"
)

// CohortYears is how many years of installation make one band of cohorts where the project states none.
const CohortYears = 10

// FewestForARate is how many units of known condition a cohort needs before anything is said of their rate. Common practice: of fewer the
// interval is too wide to rank cohorts by.
const FewestForARate = 30

// Cohort counts what hangs of one make and type, installed in the same years, where one pollution class is in force. What a row does not
// tell, or cannot be read, is a value of its own, so that cohorts add up to all rows that are placed.
type Cohort struct {
	Make      string // from a column that the project carries through; empty where none says it
	Type      string // unit or makeup as the register names it; empty where it does not
	FirstYear int    // of installation, the first of the band; 0 where it is not stated
	LastYear  int    // the last of the band; 0 where it is not stated
	Class     basis.Class
	// Assemblies are the rows of the register that are placed, or one for each phase where a row is read so.
	Assemblies int
	Uncounted  int // of them, those of which it is not known how many units hang
	Units      int // in service, of the others
	Unstated   int // of Units, those of rows that do not state defective units: these are not none
	// Defective units among the rest. The register states those of the worst string, so that of rows with several strings there are between
	// as many and as many on each; inspections tell of single strings.
	Least, Most int
}

// Known is how many units are of known condition.
func (c *Cohort) Known() int { return c.Units - c.Unstated }

// PerThousand returns the defective units per thousand of known condition, and the 95 % interval for it (basis.Wilson), from the lower end for
// the least that may be defective to the upper end for the most. ok is false below FewestForARate; exact tells whether the least is the most.
func (c *Cohort) PerThousand() (rate, low, high float64, exact, ok bool) {
	n := c.Known()
	if n < FewestForARate {
		return 0, 0, 0, false, false
	}
	low, _ = basis.Wilson(c.Least, n)
	_, high = basis.Wilson(c.Most, n)
	return 1000 * float64(c.Least) / float64(n), 1000 * low, 1000 * high, c.Least == c.Most, true
}

// cohortKey is what the rows of a cohort share.
type cohortKey struct {
	maker  Symbol
	makeup uint32 // in Project.Makeups
	first  int    // of the years; 0 where none is known
	class  basis.Class
}

// Cohorts counts all assemblies that are placed, in the order of make, type, years and class; what is not stated stands last.
func (n *Network) Cohorts() []Cohort {
	found := map[cohortKey]*Cohort{}
	p, makes, years := n.Project, n.Project.Carried.makes(), CohortYears
	spelled := spellings{p, map[Symbol]Symbol{}, map[string]Symbol{}, map[Symbol]string{}}
	makerOf := func(of Source) Symbol { return spelled.oneOf(p.Carried.first(of, makes)) }
	if stated := p.Criteria.CohortYears; stated.Known() {
		years = int(stated.Value)
	}
	count := func(l, structure int, class basis.Class, row *AssemblyRow, o *Observation, maker Symbol) {
		key := cohortKey{maker: maker, makeup: row.Makeup, class: class}
		if year := row.Installed.Year(); year > 0 && !row.Installed.isBeyond(p.AsOf) {
			key.first = year - year%years
		}
		c := found[key]
		if c == nil {
			c = &Cohort{Type: p.typeOf(key.makeup), FirstYear: key.first, Class: class}
			if key.first > 0 {
				c.LastYear = key.first + years - 1
			}
			found[key] = c
		}
		c.count(p, row, n.stringsOf(l, structure, row), o)
	}
	for l := range n.Lines {
		line := &n.Lines[l]
		for i := line.First; i < line.End; i++ {
			var s Structure
			n.setZone(&s, i, line)
			for _, at := range n.AssemblyRows(i) {
				rows, o := []uint32{at}, p.Observed[at]
				if k, paired := slices.BinarySearchFunc(n.pairs, at, func(of pair, row uint32) int { return cmp.Compare(of.first, row) }); paired {
					rows = append(rows, n.pairs[k].second) // of years of its own
				}
				for _, at := range rows {
					row := p.Assemblies.At(int(at))
					maker := makerOf(row.Source)
					if len(rows) == 1 {
						maker = n.lessWhatRepeatsDeny(i, at, &row, maker, makerOf)
					}
					count(l, i, s.ClassInForce(), &row, o, maker)
				}
			}
		}
	}
	for key, c := range found {
		c.Make = spelled.least[key.maker]
	}
	return inOrderOfCohorts(found)
}

// spellings are names that differ by case and blanks alone.
type spellings struct {
	p      *Project
	like   map[Symbol]Symbol // of each name that was met, the one of its kind that was met first
	common map[string]Symbol // that one by what all of its kind have in common
	least  map[Symbol]string // of that one, the spelling of its kind that sorts first, which no order of rows changes
}

// oneOf is one name for all that differ from it by case and blanks alone.
func (s *spellings) oneOf(name Symbol) Symbol {
	if one, met := s.like[name]; met {
		return one
	}
	text := s.p.Symbols.Text(name)
	common := strings.ToLower(strings.Join(strings.Fields(text), " "))
	one, known := s.common[common]
	if !known {
		one = name
		s.common[common] = name
	}
	s.like[name] = one
	if least, told := s.least[one]; !told || text < least {
		s.least[one] = text
	}
	return one
}

// lessWhatRepeatsDeny takes from a row what rows that repeat it, and are left out, say otherwise: which of them is right is not known, and
// the order of the register does not tell. It returns the maker, none where they say another; makerOf may be nil.
func (n *Network) lessWhatRepeatsDeny(structure int, at uint32, row *AssemblyRow, maker Symbol, makerOf func(Source) Symbol) Symbol {
	p, said := n.Project, *row
	for _, left := range n.leftOutOf(structure, structure+1) {
		other := p.Assemblies.At(int(left.row))
		if !n.sameGroup(at, left.row) || !p.samePhase(&said, &other) {
			continue
		}
		if makerOf != nil && makerOf(other.Source) != maker {
			maker = 0
		}
		switch year := said.Installed.Year(); {
		case other.Installed.Year() != year, year == 0 && other.Installed != said.Installed:
			row.Installed = NoDay
		case other.Installed != said.Installed && row.Installed != NoDay:
			row.Installed = YearOf(year)
		}
		if other.Makeup != said.Makeup {
			row.Makeup, row.Faulty = 0, row.Faulty.With(CellUnitsPerString)
		}
		if other.UnitsPerString != said.UnitsPerString {
			row.Faulty = row.Faulty.With(CellUnitsPerString)
		}
		if other.Strings != said.Strings {
			row.Faulty = row.Faulty.With(CellStrings)
		}
		if other.Defective != said.Defective || other.Blank&BlankDefective != said.Blank&BlankDefective {
			row.Faulty = row.Faulty.With(CellDefective)
		}
	}
	return maker
}

// inOrderOfCohorts are cohorts in their order, those joined that people read alike.
func inOrderOfCohorts(found map[cohortKey]*Cohort) []Cohort {
	list := make([]Cohort, 0, len(found))
	for _, c := range found {
		list = append(list, *c)
	}
	last := func(a, b string) int { // what is not stated
		switch {
		case a == "" && b != "":
			return 1
		case a != "" && b == "":
			return -1
		}
		return 0
	}
	order := func(a, b Cohort) int {
		return cmp.Or(last(a.Make, b.Make), NaturalCompare(a.Make, b.Make), cmp.Compare(a.Make, b.Make),
			last(a.Type, b.Type), NaturalCompare(a.Type, b.Type), cmp.Compare(a.Type, b.Type),
			cmp.Compare(uint(a.FirstYear)-1, uint(b.FirstYear)-1), cmp.Compare(a.Class-1, b.Class-1))
	}
	slices.SortFunc(list, order)
	joined := list[:0]
	for _, c := range list {
		if k := len(joined) - 1; k >= 0 && order(joined[k], c) == 0 {
			joined[k].add(c)
			continue
		}
		joined = append(joined, c)
	}
	return joined
}

// typeOf is what people call what a string is made of: the name of its unit in the catalogue, else as it is written; empty where it is not known.
func (p *Project) typeOf(makeup uint32) string {
	m := &p.Makeups[makeup]
	if len(m.Parts) == 1 && p.Units[m.Parts[0].Unit].Name != "" {
		return p.Units[m.Parts[0].Unit].Name
	}
	return m.Text
}

func (c *Cohort) add(other Cohort) {
	c.Assemblies += other.Assemblies
	c.Uncounted += other.Uncounted
	c.Units += other.Units
	c.Unstated += other.Unstated
	c.Least += other.Least
	c.Most += other.Most
}

// count adds a row of so many strings, −1 where that is not known, with what was observed of it.
func (c *Cohort) count(p *Project, row *AssemblyRow, strings int, o *Observation) {
	c.Assemblies++
	units := unitsPerString(p, row)
	if units <= 0 || strings <= 0 {
		c.Uncounted++
		return
	}
	c.Units += units * strings
	worst, known := row.defectiveUnits()
	switch {
	case o.tellsOf(strings, units):
		c.Unstated += units * (strings - o.Known)
		c.Least += o.Least
		c.Most += o.Most
	case !known || worst > units: // more than there are: one of both is wrong
		c.Unstated += units * strings
	default:
		c.Least += worst
		c.Most += worst * strings
	}
}

// defectiveUnits is how many units are defective in the worst string, and whether anybody says so. A blank cell says nothing here, though
// verdicts take it for none.
func (r *AssemblyRow) defectiveUnits() (worst int, known bool) {
	return int(r.Defective), r.Defective >= 0 && r.Blank&BlankDefective == 0 && !r.Faulty.Has(CellDefective)
}

// unitsPerString is how many units a string of a row has; −1 where that is not known.
func unitsPerString(p *Project, row *AssemblyRow) (units int) {
	each := int(row.UnitsPerString)
	if row.Faulty.Has(CellUnitsPerString) {
		each = -1
	}
	parts := p.Makeups[row.Makeup].Parts
	if len(parts) == 0 || row.Faulty.Has(CellUnit) {
		return each
	}
	for _, part := range parts {
		switch {
		case part.Count > 0:
			units += part.Count
		case each < 0:
			return -1
		default:
			units += each
		}
	}
	return units
}

// stringsOf is how many strings a row of a structure stands for, on all phases and sides that it names; −1 where that is not known.
func (n *Network) stringsOf(l, structure int, row *AssemblyRow) int {
	if row.Strings < 1 || row.Faulty.Has(CellStrings) {
		return -1
	}
	if !row.Duty.CarriesPhase() && row.Duty != DutyUnknown {
		return int(row.Strings)
	}
	line := &n.Lines[l]
	circuit := line.circuitIndex(row.Circuit)
	if row.Faulty.Has(CellCircuits) {
		circuit = nowhere
	}
	phases := row.Phases
	if phases == EveryPhase {
		if circuit < 0 {
			return -1
		}
		phases = line.Circuits[circuit].Phases
	}
	if row.Faulty.Has(CellPhase) || phases == EveryPhase || phases.Count() == 0 {
		return -1
	}
	sides := 1
	if row.Side == BothSides && row.Duty.HasSides() && circuit >= 0 {
		s := n.Structure(l, structure)
		sides = len(sidesOf(&s, &line.Circuits[circuit]))
	}
	return int(row.Strings) * phases.Count() * sides
}
