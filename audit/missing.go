package audit

import (
	"bytes"
	"slices"
	"sort"
	"strings"
)

// UnplacedStructure is a structure that is left out since its position cannot be read. Line is empty where it may be of any line,
// Number where it is not known, and Sequence then or otherwise NaN.
type UnplacedStructure struct {
	Line, Number string
	Sequence     float64
}

// numbering tells how the numbers of a line go along it.
type numbering int8

const (
	irregular numbering = iota
	rising
	falling
)

func (n *Network) numberingOf(line *Line) numbering {
	number := func(i int) []byte { return n.Project.Texts.bytes(n.own(i).Number) }
	way := irregular
	for i := line.First; i < line.End; i++ {
		if !slices.ContainsFunc(number(i), isDigit) {
			return irregular
		}
		if i == line.First {
			continue
		}
		step := falling
		switch c := naturalCompare(number(i-1), number(i)); {
		case c == 0:
			return irregular
		case c < 0:
			step = rising
		}
		if way != irregular && way != step {
			return irregular
		}
		way = step
	}
	if way == irregular {
		return rising // a single structure
	}
	return way
}

// gapOf is the structure of a line before which one of a number would stand, line.End behind them all, and whether the line has the
// number.
func (n *Network) gapOf(line *Line, way numbering, number []byte) (at int, has bool) {
	compare := func(i int) int {
		c := naturalCompare(n.Project.Texts.bytes(n.own(i).Number), number)
		if way == falling {
			return -c
		}
		return c
	}
	at = line.First + sort.Search(line.End-line.First, func(k int) bool { return compare(line.First+k) >= 0 })
	return at, at < line.End && compare(at) == 0
}

// markUnplaced marks the structures of a line beside which one stands whose position cannot be read, as many on each side as are
// said: where its number or its sequence tells between which it stands these, else the whole line.
func (n *Network) markUnplaced(line *Line, eachSide int) (any bool) {
	if len(n.unplaced) == 0 {
		return false
	}
	name, way := n.Project.Symbols.Text(line.Symbol), n.numberingOf(line)
	for _, lost := range n.unplaced {
		if !n.mayBeOf(line, name, &lost) {
			continue
		}
		any = true
		at := line.First
		switch {
		case line.Ordering == BySequence && lost.Sequence == lost.Sequence:
			at += sort.Search(line.End-line.First, func(k int) bool { return n.own(line.First+k).Sequence >= lost.Sequence })
		case way != irregular && strings.ContainsAny(lost.Number, "0123456789"):
			at, _ = n.gapOf(line, way, []byte(lost.Number))
		default:
			line.CourseFaulty = true
			continue
		}
		for i := at - eachSide; i < at+eachSide; i++ {
			if on, ok := n.within(line, i); ok {
				n.structures[on].mark(courseFaulty)
			}
		}
	}
	return any
}

// mayBeOf tells whether a structure whose position cannot be read may be of a line, whose name is given.
func (n *Network) mayBeOf(line *Line, name string, lost *UnplacedStructure) bool {
	return lost.Line == name || lost.Line == "" && (lost.Number == "" || !n.hasNumber(line, lost.Number))
}

// within brings a place beyond the ends of a closed line back onto it.
func (n *Network) within(line *Line, i int) (structure int, ok bool) {
	switch count := line.End - line.First; {
	case i >= line.First && i < line.End:
		return i, true
	case line.Closed && i < line.First:
		return i + count, i+count >= line.First
	case line.Closed:
		return i - count, i-count < line.End
	}
	return 0, false
}

func (n *Network) hasNumber(line *Line, number string) bool {
	for i := line.First; i < line.End; i++ {
		if string(n.Project.Texts.bytes(n.own(i).Number)) == number {
			return true
		}
	}
	return false
}

// miss marks the structures beside a place where one may be missing: the one before which it would stand and the one before that.
func (n *Network) miss(line *Line, at int) {
	for i := at - 1; i <= at; i++ {
		if on, ok := n.within(line, i); ok {
			n.structures[on].mark(mayMiss)
		}
	}
}

// missAtStrays marks the structures between which a number of the register fits that no structure of the line has.
func (n *Network) missAtStrays() {
	n.eachStrayPlace(func(line *Line, at int, _ uint32) { n.miss(line, at) })
}

// eachStrayPlace tells where such numbers fit: before which structure of which line, and a row of the register that has the number.
func (n *Network) eachStrayPlace(each func(line *Line, at int, row uint32)) {
	ways := map[int32]numbering{}
	for _, s := range n.strayNumbers {
		line := &n.Lines[s.line]
		way, known := ways[s.line]
		if !known {
			way = n.numberingOf(line)
			ways[s.line] = way
		}
		number := n.Project.Texts.bytes(n.Project.Assemblies.At(int(s.row)).Number)
		if way == irregular || !slices.ContainsFunc(number, isDigit) {
			continue
		}
		at, has := n.gapOf(line, way, number)
		if has {
			continue
		}
		fits := true
		for i := at - 1; i <= at; i++ {
			if on, ok := n.within(line, i); ok {
				fits = fits && bytes.Equal(shapeOfNumber(number), shapeOfNumber(n.Project.Texts.bytes(n.own(on).Number)))
			}
		}
		if fits {
			each(line, at, s.row)
		}
	}
}

// shapeOfNumber is a structure number with one 0 for every run of digits.
func shapeOfNumber(number []byte) (shape []byte) {
	for i, c := range number {
		switch {
		case !isDigit(c):
			shape = append(shape, lower(c))
		case i == 0 || !isDigit(number[i-1]):
			shape = append(shape, '0')
		}
	}
	return shape
}
