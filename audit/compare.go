package audit

import (
	"cmp"
	"math"
	"slices"
)

// Odd says against what the string of an assembly is the odd one.
type Odd uint8

// The kinds of oddness.
const (
	NotCompared Odd = iota // nothing uniform around it
	LikeTheRest
	OddAtStructure // the other strings of its duty at the structure are alike
	OddInRun       // the strings of its duty at the structures before and after are alike
	OddUnknown     // whether the structures before and after are in the same zone is not known
	OddUnsure      // what a string around it is made of cannot be read
)

// makeupKey tells strings apart: what they are made of and how long.
type makeupKey struct {
	makeup   uint32
	units    int16
	creepage float64 // as the row states it, 0 where it does not
}

// makeupCells are the cells that a makeupKey is made of.
const makeupCells = Cells(1<<CellUnit | 1<<CellUnitsPerString | 1<<CellCreepage)

func (n *Network) keyOf(r *RowSaid) (key makeupKey, known bool) {
	key = makeupKey{makeup: r.Makeup, units: r.UnitsPerString}
	if stated := n.Project.figuresAt(r.Direct); stated != nil && !math.IsNaN(stated.CreepageMM) {
		key.creepage = stated.CreepageMM
	}
	return key, r.Makeup > 0 && r.UnitsPerString >= 0 && !r.Faulty.Has(CellCreepage)
}

// comparedAlike tells whether the strings of two rows at a structure are compared alike with others there and around it.
func (n *Network) comparedAlike(a, b uint32) bool {
	x, y := n.Project.Assemblies.saidOf(a), n.Project.Assemblies.saidOf(b)
	return x.Duty == y.Duty && x.Makeup == y.Makeup && x.UnitsPerString == y.UnitsPerString && x.Direct == y.Direct && x.Faulty == y.Faulty
}

// common is the string that the assemblies of one duty at a structure share.
type common struct {
	key     makeupKey
	rows    int
	uniform bool
	doubt   bool // whether the structures are in the same zone is not known
	faulty  bool // one of them cannot be read
}

// noRow is the number of no row.
const noRow = math.MaxUint32

// commonAt is the string that the assemblies of a duty at a structure share, but for the row except.
func (n *Network) commonAt(structure int, duty Duty, except uint32) (c common) {
	if crowd := n.crowds[structure]; crowd != nil {
		return n.commonIn(&crowd[duty], except)
	}
	for _, row := range n.AssemblyRows(structure) {
		said := n.Project.Assemblies.saidOf(row)
		if said.Duty != duty || row == except {
			continue
		}
		key, known := n.keyOf(said)
		switch {
		case !known:
			return common{faulty: said.Faulty&makeupCells != 0}
		case c.rows == 0:
			c = common{key: key, rows: 1, uniform: true}
		default:
			c.rows++
			c.uniform = c.uniform && key == c.key
		}
	}
	return c
}

// runReach is how many structures of the same duty before and after one make the run that it is compared with.
const runReach = 2

// oddness compares the string of an assembly with the others of its duty at the structure, else with those of the run
// of structures around it. It needs at least two alike at the structure, or uniform strings on both sides. placed is the
// row itself, or the one that stands for it.
func (n *Network) oddness(line *Line, structure int, row, placed uint32) Odd {
	said := n.Project.Assemblies.saidOf(row)
	own, known := n.keyOf(said)
	duty := said.Duty
	switch {
	case !duty.CarriesPhase():
		return NotCompared
	case said.Faulty&makeupCells != 0:
		return OddUnsure
	case !known:
		return NotCompared
	}
	rest := n.commonAt(structure, duty, placed)
	if rest.faulty {
		return OddUnsure
	}
	if rest.rows >= 2 {
		switch {
		case !rest.uniform:
			return NotCompared
		case rest.key != own:
			return OddAtStructure
		}
	}
	before := n.commonOfRun(line, structure, duty, -1)
	after := n.commonOfRun(line, structure, duty, +1)
	alike := !before.doubt && !after.doubt && before.key == after.key
	switch {
	case before.faulty || after.faulty:
		return OddUnsure
	case before.mayTell() && after.mayTell() && (before.doubt || after.doubt):
		return OddUnknown
	case !before.mayTell() || !after.mayTell() || !alike:
		if rest.rows >= 2 {
			return LikeTheRest
		}
		return NotCompared
	case before.key != own:
		return OddInRun
	}
	return LikeTheRest
}

// mayTell tells whether a run is one to compare with, or would be if nothing were in doubt.
func (c *common) mayTell() bool { return c.doubt || c.uniform && c.rows >= runReach }

// commonOfRun is the string that the nearest structures of a duty share on one side, in the same pollution class.
func (n *Network) commonOfRun(line *Line, structure int, duty Duty, step int) (run common) {
	found := 0
	for i := structure + step; i >= line.First && i < line.End && found < runReach; i += step {
		switch same, known := n.sameZone(structure, i); {
		case !known:
			return common{doubt: true}
		case !same:
			return common{}
		}
		here := n.commonAt(i, duty, noRow)
		switch {
		case here.faulty:
			return here
		case here.rows == 0:
			continue
		case !here.uniform, found > 0 && here.key != run.key:
			return common{}
		}
		run.key, run.uniform = here.key, true
		run.rows++
		found++
	}
	return run
}

// Usual is the creepage and the insulating length that most suspension strings of a line have where one specific creepage is in
// force.
type Usual struct {
	SpecificCreepage     float64
	CreepageMM, LengthMM float64
	Strings              int
	Unsure               bool // strings of which a figure cannot be read may outweigh it
}

// key is the string alone.
func (u *Usual) key() Usual {
	return Usual{SpecificCreepage: u.SpecificCreepage, CreepageMM: u.CreepageMM, LengthMM: u.LengthMM}
}

// suspended are the figures of a suspension string; faulty where one of them cannot be read.
type suspended struct {
	creepageMM, lengthMM float64
	faulty               bool
}

// stringsOf counts the strings of a row, on each phase that it names; sure is false where their number or the phases cannot be read.
func (l *Line) stringsOf(said *RowSaid) (strings int, sure bool) {
	strings = max(int(said.Strings), 1)
	switch {
	case said.Phases != EveryPhase:
		strings *= said.Phases.Count()
	case l.Row.System.ThreePhase():
		strings *= 3
	}
	return strings, said.Faulty&(1<<CellStrings|1<<CellPhase) == 0
}

// usualStrings finds the usual suspension string for each specific creepage along a line, of equally many the shortest. Each phase of a row has its
// strings, as if it had a row of its own.
func (n *Network) usualStrings(l int) []Usual {
	line := &n.Lines[l]
	line.RowsLost = n.lost.lines[line.Symbol] + n.lost.lineless + n.lost.doubted[line.Symbol]
	count, unread := map[Usual]int{}, map[float64]int{}
	more, most := map[Usual]int{}, 3 // rows that may have as many strings as any has, of which one is counted
	unreadMore := map[float64]int{}  // the same of strings of which a figure cannot be read
	var alike alikeStrings[suspended]
	var last Usual // of strings that follow each other, so many
	strings := 0
	note := func() {
		if strings > 0 {
			count[last] += strings
		}
	}
	for i := line.First; i < line.End; i++ {
		figure := math.NaN()
		for k, row := range n.AssemblyRows(i) {
			if k == 0 {
				figure = n.SpecificCreepageAt(line, i)
			}
			said := n.Project.Assemblies.saidOf(row)
			if said.Duty != Suspension {
				continue
			}
			here, sure := line.stringsOf(said)
			most = max(most, here)
			s, known := alike.of(&n.Project.Assemblies, row)
			if !known {
				a := n.Assembly(row)
				*s = suspended{a.CreepageMM, a.InsulatingMM(line), a.lacksCreepage() == FaultyField || a.lacksInsulatingLength(line) == FaultyField}
			}
			u := Usual{SpecificCreepage: figure, CreepageMM: s.creepageMM, LengthMM: s.lengthMM}
			switch {
			case u == u: // every figure is known
				if !sure {
					here = 1
					more[u]++
				}
				if u != last {
					note()
					last, strings = u, 0
				}
				strings += here
			case s.faulty:
				unread[u.SpecificCreepage] += here
				if !sure {
					unreadMore[u.SpecificCreepage]++
				}
			}
			line.UsualInDoubt = line.UsualInDoubt || n.siteOf(i).doubt != certain
		}
	}
	note()
	for specificCreepage := range unread {
		if !math.IsNaN(specificCreepage) {
			count[Usual{SpecificCreepage: specificCreepage, CreepageMM: math.Inf(1), LengthMM: math.Inf(1)}] += 0
		}
	}
	usual := make([]Usual, 0, len(count))
	for u, strings := range count {
		u.Strings = strings
		usual = append(usual, u)
	}
	slices.SortFunc(usual, func(a, b Usual) int {
		return cmp.Or(cmp.Compare(a.SpecificCreepage, b.SpecificCreepage), cmp.Compare(b.Strings, a.Strings),
			cmp.Compare(a.CreepageMM, b.CreepageMM), cmp.Compare(a.LengthMM, b.LengthMM))
	})
	for i := range usual {
		if i > 0 && usual[i-1].SpecificCreepage == usual[i].SpecificCreepage {
			continue // the first is what is usual
		}
		u, second := &usual[i], 0
		doubt, may := unread[u.SpecificCreepage]+(unreadMore[u.SpecificCreepage]+line.RowsLost)*most, 0 // how many any other may have more
		for k := i + 1; k < len(usual) && usual[k].SpecificCreepage == u.SpecificCreepage; k++ {
			second = max(second, usual[k].Strings)
			may = max(may, usual[k].Strings+more[usual[k].key()]*most)
		}
		own := doubt + more[u.key()]*most
		u.Unsure = (doubt > 0 || may > second) && u.Strings-max(second, may) <= doubt || own > 0 && u.Strings < enoughStrings && u.Strings+own >= enoughStrings
	}
	return slices.CompactFunc(usual, func(a, b Usual) bool { return a.SpecificCreepage == b.SpecificCreepage })
}

// enoughStrings is how many suspension strings tell what is usual.
const enoughStrings = 3

// UsualAt returns the usual suspension string of the line for a specific creepage, or why there is none: fewer than three
// strings tell, or strings of which a figure cannot be read may outweigh them.
func (l *Line) UsualAt(specificCreepage float64) (Usual, Reason) {
	for _, u := range l.Usual {
		switch {
		case u.SpecificCreepage != specificCreepage:
		case u.Unsure:
			return Usual{}, FaultyField
		case u.Strings >= enoughStrings:
			return u, NoReason
		}
	}
	if l.RowsLost > 0 {
		return Usual{}, FaultyField
	}
	return Usual{}, FewSuspensionStrings
}
