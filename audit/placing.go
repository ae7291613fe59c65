package audit

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
)

// placeRows finds the structure of every assembly row from a first one on, −1 where there is none. It joins by sorting: each line's
// structures once by the bytes of their numbers, then each run of rows that name one structure by bisection, but for rows that name the one
// behind that of the row before. Where the rows before the first are placed already, every one has to be of a structure that is plain; if one
// is not, ok is false, and nothing is told of it.
func (n *Network) placeRows(first int) (at []int32, ok bool) {
	p := n.Project
	lines := n.lineOf()
	byNumber, sorted := make([]uint32, len(n.structures)), make([]bool, len(n.Lines))
	number := func(structure uint32) []byte {
		return p.Texts.bytes(n.own(int(structure)).Number)
	}
	numbersOf := func(l int32) []uint32 {
		line := &n.Lines[l]
		part := byNumber[line.First:line.End]
		if !sorted[l] {
			sorted[l] = true
			for i := range part {
				part[i] = uint32(line.First + i)
			}
			slices.SortFunc(part, func(a, b uint32) int { return cmp.Or(bytes.Compare(number(a), number(b)), cmp.Compare(a, b)) })
		}
		return part
	}
	at = make([]int32, p.Assemblies.Len()-first)
	var strays []stray
	told := map[Source]bool{}
	again := func(at Source) bool { // of a row that gives several assemblies, what is wrong is said once
		was := told[at]
		if p.RowsMade > 0 {
			told[at] = true
		}
		return was
	}
	var spelled spelledNumbers
	alikes := lookAlikes{n: n}
	last := int32(nowhere) // on which a row was placed
	exact := func(line int32, wanted string) (int32, bool) {
		behind := last + 1
		if l := &n.Lines[line]; !p.RoutesAlone && l.First <= int(behind) && int(behind) < l.End && string(number(uint32(behind))) == wanted { // no other has it then
			return behind, true
		}
		part := numbersOf(line)
		place, found := slices.BinarySearchFunc(part, []byte(wanted), func(structure uint32, text []byte) int {
			return bytes.Compare(number(structure), text)
		})
		if !found {
			return nowhere, false
		}
		return int32(part[place]), true
	}
	loose := looseNumbers{n: n, exact: exact, lines: map[int32]map[float64][]int32{}}
	var row AssemblyRow
	for i := range at {
		before := row
		if i > 0 && at[i-1] >= 0 {
			last = at[i-1]
		}
		row = p.Assemblies.At(first + i)
		at[i] = nowhere
		wanted := p.Texts.bytes(row.Number)
		if i > 0 && row.Line == before.Line && row.Numeric == before.Numeric && at[i-1] >= 0 && bytes.Equal(wanted, p.Texts.bytes(before.Number)) {
			at[i] = at[i-1]
			if counted := len(n.equal.list) > 0 && n.Number(int(at[i])) != string(wanted); counted {
				n.equal.note(Equal{Line: row.Line, What: equalStructure, From: string(wanted), To: n.Number(int(at[i]))}, 1)
			}
			continue
		}
		line := lines[row.Line]
		if line < 0 {
			if first > 0 {
				return nil, false
			}
			if again(row.Source) {
				continue
			}
			p.Faults.Add(Fault{Kind: NoSuchLine, At: row.Source, Column: "Line", Value: p.Symbols.Text(row.Line), Asks: OpenWord{"Line", p.Symbols.Text(row.Line)},
				Expected: "is no line of the structures; the row is left out" + n.ambiguousLines[row.Line] + alikes.of(nowhere, p.Symbols.Text(row.Line))})
			continue
		}
		structure, found := exact(line, string(wanted))
		if isDay := looksLikeDay(string(wanted)); row.Numeric || isDay && !found {
			mayBe, isOpen := loose.find(line, string(wanted), structure, isDay)
			if isOpen {
				if first > 0 {
					return nil, false
				}
				n.lose(&row, line, mayBe)
				continue
			}
			if len(mayBe) == 1 && mayBe[0] != structure {
				structure, found = mayBe[0], true
				n.equal.note(Equal{Line: row.Line, What: equalStructure, From: string(wanted), To: n.Number(int(structure))}, 1)
			}
		}
		var both [2]string
		if !found {
			var other int32
			if other, both = n.spelled(&spelled, line, string(wanted)); other >= 0 {
				n.equal.note(Equal{Line: row.Line, What: equalStructure, From: string(wanted), To: n.Number(int(other))}, 1)
				at[i] = other
				continue
			}
			if first > 0 {
				return nil, false
			}
			strays = append(strays, stray{line, uint32(i)})
			if again(row.Source) {
				continue
			}
			p.Faults.Add(Fault{Kind: NoSuchStructure, At: row.Source, Column: "Structure", Value: string(wanted), Asks: asksNumber(string(wanted), both),
				Expected: fmt.Sprintf("is no structure of line %q; the row is left out%s%s", p.Symbols.Text(row.Line), p.whatNumber(string(wanted), both), alikes.of(line, string(wanted)))})
			continue
		}
		at[i] = structure
	}
	if first == 0 {
		n.noteStrays(strays)
		n.findRenumbering(strays, at)
	}
	return at, true
}

// sortRows brings the placed rows into the order of their structures, and within one by circuit, duty, side and the
// order of the register.
func (n *Network) sortRows(at []int32) {
	n.rank = rankSymbols(n.Project)
	n.placed = make([]uint32, 0, len(at))
	for i, structure := range at {
		if structure >= 0 {
			n.placed = append(n.placed, uint32(i))
		}
	}
	slices.SortFunc(n.placed, func(a, b uint32) int {
		if at[a] != at[b] {
			return cmp.Compare(at[a], at[b])
		}
		return n.compareRows(a, b)
	})
	next := 0
	for i := range n.structures {
		n.structures[i].firstAssembly = uint32(next)
		for next < len(n.placed) && at[n.placed[next]] == int32(i) {
			next++
		}
	}
}

// compareRows orders the rows of a structure.
func (n *Network) compareRows(a, b uint32) int {
	rows := &n.Project.Assemblies
	x, y := rows.saidOf(a), rows.saidOf(b)
	return cmp.Or(cmp.Compare(n.rank[x.Circuit], n.rank[y.Circuit]), cmp.Compare(x.Duty, y.Duty), cmp.Compare(rows.ownOf(a).Side, rows.ownOf(b).Side), cmp.Compare(a, b))
}

// lost says where the rows may belong that name no line or no structure.
type lost struct {
	lines      map[Symbol]int  // how many such rows name a line
	numbers    map[string]bool // of structures that such rows name, whatever their spelling
	everywhere bool            // a row names neither
	lineless   int             // rows that name no line
	at         map[int32]bool  // structures of which a row may be that fits several
	doubted    map[Symbol]int  // how many such rows a line has
}

func findLost(p *Project) (l lost) {
	l.lines, l.numbers, l.at, l.doubted = map[Symbol]int{}, map[string]bool{}, map[int32]bool{}, map[Symbol]int{}
	for _, row := range p.Lost {
		switch {
		case row.Line != 0:
			l.lines[row.Line]++
			continue
		case row.Number != 0:
			l.numbers[numberKey(p.Texts.Get(row.Number))] = true
		default:
			l.everywhere = true
		}
		l.lineless++
	}
	return l
}

// mayHaveLost tells whether a row that names no line or no structure may belong to a structure of a line.
func (n *Network) mayHaveLost(line *Line, structure int) bool {
	return n.lost.everywhere || n.lost.at[int32(structure)] || n.lost.lines[line.Symbol] > 0 ||
		len(n.lost.numbers) > 0 && n.lost.numbers[numberKey(n.Number(structure))]
}

// lineOf returns the place of each line by its symbol, −1 for symbols that are none.
func (n *Network) lineOf() []int32 {
	lines := make([]int32, len(n.Project.Symbols.texts)+1)
	for i := range lines {
		lines[i] = nowhere
	}
	for i, line := range n.Lines {
		lines[line.Symbol] = int32(i)
	}
	return lines
}
