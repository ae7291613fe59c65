package remedy

import (
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// stock is what can be hung, and the network in which it is tried: that of the result, with a makeup for every unit.
type stock struct {
	network  *audit.Network
	makeup   []uint32 // by unit
	marked   []int    // units in stock; nil where none is marked, or units may be bought
	own      []int    // where units may be bought: those that the project says anything of; else nil
	buy      bool
	forgets  bool // nothing is remembered of what was asked, see memory
	memories memories
	numbers  map[string]int   // of units by name
	leftOut  map[rowKey][]int // rows of the register that stand on no structure, or repeat one that does
}

// rowKey names the structure that a row names.
type rowKey struct {
	line   audit.Symbol
	number string
}

func newStock(r *audit.Result, o Options) *stock {
	s := &stock{numbers: map[string]int{}, buy: o.Buy, forgets: o.forgets}
	network := *r.Network
	project := *r.Project
	project.Makeups, s.makeup = withMakeups(&project)
	network.Project = &project
	s.network = &network
	for u := range project.Units {
		s.numbers[project.Units[u].Name] = u
		if project.Units[u].Stocked && !o.Buy {
			s.marked = append(s.marked, u)
		}
	}
	if o.Buy {
		s.own = unitsOfSheet(&project)
	}
	s.findLeftOut()
	return s
}

// unitsOfSheet lists the units of which the sheet Units says something that the catalogue does not: figures, a price, that they are in
// stock.
func unitsOfSheet(p *audit.Project) (list []int) {
	for i := range p.Units {
		if u := &p.Units[i]; u.Clause.IsZero() || u.Stocked || !math.IsNaN(u.Price) {
			list = append(list, i)
		}
	}
	return list
}

func (s *stock) keyOf(r *audit.AssemblyRow) rowKey {
	return rowKey{r.Line, s.network.Project.Texts.Get(r.Number)}
}

// findLeftOut finds the rows that are not placed.
func (s *stock) findLeftOut() {
	p := s.network.Project
	placed := make([]bool, p.Assemblies.Len())
	for i := range s.network.StructureCount() {
		for _, row := range s.network.AssemblyRows(i) {
			placed[row] = true
		}
	}
	s.leftOut = map[rowKey][]int{}
	for i := range p.Assemblies.Len() {
		if !placed[i] {
			row := p.Assemblies.At(i)
			key := s.keyOf(&row)
			s.leftOut[key] = append(s.leftOut[key], i)
		}
	}
}

// repeats lists the rows left out that speak of the same assembly as a placed one.
func (s *stock) repeats(row int) (rows []int) {
	p := s.network.Project
	if len(s.leftOut) == 0 || row < 0 {
		return nil
	}
	first := p.Assemblies.At(row)
	for _, i := range s.leftOut[s.keyOf(&first)] {
		if r := p.Assemblies.At(i); r.Circuit == first.Circuit && r.Duty == first.Duty && r.Phases&first.Phases != 0 && r.Side.Serves(first.Side) {
			rows = append(rows, i)
		}
	}
	return rows
}

// withMakeups returns the makeups of a project and one of every unit alone, and which of them that is.
func withMakeups(p *audit.Project) (makeups []audit.Makeup, of []uint32) {
	makeups = slices.Clip(p.Makeups)
	if len(makeups) == 0 {
		makeups = append(makeups, audit.Makeup{})
	}
	of = make([]uint32, len(p.Units))
	for m, makeup := range makeups {
		if len(makeup.Parts) == 1 && makeup.Parts[0].Count == 0 && of[makeup.Parts[0].Unit] == 0 {
			of[makeup.Parts[0].Unit] = uint32(m)
		}
	}
	for u := range of {
		if of[u] == 0 {
			of[u] = uint32(len(makeups))
			makeups = append(makeups, audit.Makeup{Text: p.Units[u].Name, Parts: []audit.Part{{Unit: u}}})
		}
	}
	return makeups, of
}

// usage is what the register has on one line.
type usage struct {
	units   []int // in use, most used first
	strings map[usualKey]usualString
	// inTension are the tension assemblies of which one string, and of which all, are rated highest; empty where no rating is known.
	inTension []audit.Assembly
	jumpers   bool // tension structures of the line have jumper assemblies as a rule
}

// usualKey asks for the usual string of a duty where some specific creepage is asked for; 0 for anywhere.
type usualKey struct {
	duty    audit.Duty
	mmPerKV float64
}

// usualString is one that a line has often.
type usualString struct {
	unit, units, strings int // strings side by side
}

// madeOf are the cells without which it is not known what hangs there: other faults leave the string in use.
const madeOf = audit.Cells(1<<audit.CellDuty | 1<<audit.CellUnit | 1<<audit.CellUnitsPerString | 1<<audit.CellStrings | 1<<audit.CellArrangement)

// usageOf looks at the rows of a line.
func (s *stock) usageOf(line int) *usage {
	n, p := s.network, s.network.Project
	l := &n.Lines[line]
	u := &usage{strings: map[usualKey]usualString{}}
	inUse := make([]int, len(p.Units))
	count := map[usualKey]map[usualString]int{}
	var last struct { // of rows that follow each other
		where  usualKey
		string usualString
		rows   int
	}
	note := func() {
		if last.rows == 0 {
			return
		}
		for _, where := range [...]usualKey{last.where, {last.where.duty, 0}} {
			if math.IsNaN(where.mmPerKV) {
				continue
			}
			if count[where] == nil {
				count[where] = map[usualString]int{}
			}
			count[where][last.string] += last.rows
		}
	}
	held, steadied := 0, 0
	for i := l.First; i < l.End; i++ {
		figure := math.NaN()
		tension, jumper := false, false
		for k, row := range n.AssemblyRows(i) {
			r := p.Assemblies.At(int(row))
			if k == 0 {
				figure = n.SpecificCreepageAt(l, i)
			}
			parts := p.Makeups[r.Makeup].Parts
			for _, part := range parts {
				inUse[part.Unit]++
			}
			if r.Duty == audit.Tension {
				u.noteTension(n.Assembly(row))
			}
			tension, jumper = tension || r.Duty == audit.Tension, jumper || r.Duty == audit.Jumper
			if len(parts) != 1 || r.UnitsPerString < 1 || r.Faulty&madeOf != 0 {
				continue
			}
			key := usualString{unit: parts[0].Unit, units: int(r.UnitsPerString), strings: max(int(r.Strings), 1)}
			if r.Arrangement == audit.VSet { // a single string for each leg, since where a V fits is not known
				key.strings = max(key.strings/2, 1)
			}
			if where := (usualKey{r.Duty, figure}); where != last.where || key != last.string {
				note()
				last.where, last.string, last.rows = where, key, 0
			}
			last.rows++
		}
		if tension && i > l.First && i < l.End-1 {
			held++
			if jumper {
				steadied++
			}
		}
	}
	note()
	u.jumpers = held > 0 && 2*steadied >= held && steadied > 0
	for where, found := range count {
		u.strings[where] = mostUsed(found)
	}
	for unit, rows := range inUse {
		if rows > 0 {
			u.units = append(u.units, unit)
		}
	}
	slices.SortFunc(u.units, func(a, b int) int {
		if inUse[a] != inUse[b] {
			return inUse[b] - inUse[a]
		}
		return a - b
	})
	return u
}

// noteTension keeps a tension assembly that is rated higher than those before it.
func (u *usage) noteTension(a audit.Assembly) {
	switch {
	case math.IsNaN(ofAll(&a)):
	case len(u.inTension) == 0:
		u.inTension = []audit.Assembly{a, a}
	default:
		if a.RatingKN() > u.inTension[0].RatingKN() {
			u.inTension[0] = a
		}
		if ofAll(&a) > ofAll(&u.inTension[1]) {
			u.inTension[1] = a
		}
	}
}

// mostUsed is the string that occurs most often; of two the longer.
func mostUsed(count map[usualString]int) (most usualString) {
	best := 0
	for s, times := range count {
		switch {
		case times > best, times == best && (s.units > most.units || s.units == most.units && (s.strings > most.strings || s.strings == most.strings && s.unit < most.unit)):
			most, best = s, times
		}
	}
	return most
}

// usual is the string that the line has for a duty, first where as much creepage is asked for; ok is false where it has none.
func (u *usage) usual(duty audit.Duty, mmPerKV float64) (s usualString, ok bool) {
	if s, ok = u.strings[usualKey{duty, mmPerKV}]; ok {
		return s, true
	}
	s, ok = u.strings[usualKey{duty, 0}]
	return s, ok
}

// choices lists the units to choose from, tier by tier: a tier is looked at where the one before it does not serve.
func (s *stock) choices(u *usage) (tiers [][]int, from []Candidates) {
	if s.marked != nil {
		return [][]int{s.marked}, []Candidates{Stocked}
	}
	first, from := u.units, []Candidates{InUse, Catalogue}
	if s.buy {
		first, from = slices.Clone(u.units), []Candidates{Bought, BoughtToo}
		for _, unit := range s.own {
			if !slices.Contains(first, unit) {
				first = append(first, unit)
			}
		}
	}
	var all []int
	for unit := range s.network.Project.Units {
		if !slices.Contains(first, unit) {
			all = append(all, unit)
		}
	}
	return [][]int{first, all}, from
}

func (s *stock) unit(u int) *basis.Unit { return &s.network.Project.Units[u] }
