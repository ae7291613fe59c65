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
)

// makeupKey tells strings apart: what they are made of and how long.
type makeupKey struct {
	makeup   uint32
	units    int16
	creepage float64 // as the row states it, 0 where it does not
}

func (n *Network) keyOf(row uint32) (key makeupKey, known bool) {
	r := &n.Project.Assemblies[row]
	key = makeupKey{makeup: r.Makeup, units: r.UnitsPerString}
	if r.Direct > 0 {
		if stated := n.Project.Direct[r.Direct-1].CreepageMM; !math.IsNaN(stated) {
			key.creepage = stated
		}
	}
	return key, r.Makeup > 0 && r.UnitsPerString >= 0
}

// common is the string that the assemblies of one duty at a structure share.
type common struct {
	key     makeupKey
	rows    int
	uniform bool
	doubt   bool // whether the structures are in the same zone is not known
}

func (n *Network) commonAt(structure int, duty Duty, except uint32) (c common) {
	for _, row := range n.AssemblyRows(structure) {
		if n.Project.Assemblies[row].Duty != duty || row == except {
			continue
		}
		key, known := n.keyOf(row)
		switch {
		case !known:
			return common{}
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
	own, known := n.keyOf(row)
	duty := n.Project.Assemblies[row].Duty
	if !known || !duty.CarriesPhase() {
		return NotCompared
	}
	rest := n.commonAt(structure, duty, placed)
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
		here := n.commonAt(i, duty, math.MaxUint32)
		switch {
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

// Usual is the creepage and the length that most suspension strings of a line have where one specific creepage is in
// force.
type Usual struct {
	SpecificCreepage     float64
	CreepageMM, LengthMM float64
	Strings              int
}

// usualStrings finds the usual suspension string for each specific creepage along a line, of equally many the shortest.
func (n *Network) usualStrings(l int) []Usual {
	line := &n.Lines[l]
	count := map[Usual]int{}
	for i := line.First; i < line.End; i++ {
		for _, row := range n.AssemblyRows(i) {
			if n.Project.Assemblies[row].Duty != Suspension {
				continue
			}
			a := n.Assembly(row)
			u := Usual{SpecificCreepage: n.specificCreepageAt(i), CreepageMM: a.CreepageMM, LengthMM: a.LengthMM()}
			if u == u { // every figure is known
				count[u]++
			}
			line.UsualInDoubt = line.UsualInDoubt || n.structures[i].siteDoubt != certain
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
	return slices.CompactFunc(usual, func(a, b Usual) bool { return a.SpecificCreepage == b.SpecificCreepage })
}

// UsualAt returns the usual suspension string of the line for a specific creepage; ok is false where fewer than three
// strings tell.
func (l *Line) UsualAt(specificCreepage float64) (Usual, bool) {
	for _, u := range l.Usual {
		if u.SpecificCreepage == specificCreepage && u.Strings >= 3 {
			return u, true
		}
	}
	return Usual{}, false
}
