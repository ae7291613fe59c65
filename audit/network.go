package audit

import (
	"cmp"
	"slices"
	"sync"

	"github.com/paulmach/orb"
)

// Network is the project in order: lines of structures, structures with their assemblies. Derive fills what geometry
// tells. The columns are compact; Structure and Assembly give the resolved view of one of them.
type Network struct {
	Project *Project
	Lines   []Line
	Zones   []Zone // those of the project, then the same as they are under rules of their own

	structures []station
	courses    []course       // of each structure, as the next two; networks of the same structures share them
	around     []surroundings // networks whose zones are the same share them too
	profiles   []profile
	placed     []uint32          // assembly rows in the order of the structures they stand on, and there of their circuits
	rank       []uint32          // of each symbol that the inputs name, in natural order
	leftOut    []leftOut         // rows that stand on a structure and that others stand for, ordered
	repeats    []repeat          // rows left out that differ from the placed ones they repeat, ordered
	pairs      []pair            // ordered by their first
	crowds     map[int]*crowd    // of the structures that have one
	misspelt   map[int]string    // number of a row left out that may mean a structure, by structure
	kinds      []string          // of crossings, by bit
	runsOn     map[int32]int32   // line that goes on where another of its voltage ends, by structure
	near       []neighbour       // structures that stand near each other
	beside     map[[2]int32]bool // lines that come as near to each other as tees are looked for, both ways round
	conductors map[Symbol]int32  // index in Project.Conductors by name
	shared     []sharedPair      // lines that stand on the structures of another, ordered
	// strayNumbers are rows left out, one for each number that no structure of their line has in any spelling.
	strayNumbers []stray

	chainages []float64          // of each structure whose number here is a multiple of chainageStep
	sites     *once[site]        // where structures stand among the zones
	crossings *once[spanCrosses] // what spans cross
	tees      map[int32]int32    // line that ends at a structure of another

	lost           lost
	unplaced       []UnplacedStructure // those of the project and those that stand at several places
	counted        []counted           // room for the rows of a line as doubtTotals looks at them
	byNumber       []uint32            // room to sort the structures of a line by their numbers
	subjects       *sync.Pool          // of *Subject, for Requires
	equal          equals
	like           *Network          // from which it was arranged, nil for none
	anew           []bool            // by line, where it was: not taken from there
	faults         []foundFaults     // of arranging, ordered
	ambiguousLines map[Symbol]string // what to say of the names that may be those of two lines
	// Renumbering is the line of the project file by which nearly all rows on no structure would stand on one, as a suggestion; empty where none does.
	Renumbering string
	// Inspected is what became of each of Project.Inspections.Rows; nil where it was joined before.
	Inspected   []JoinedInspection
	RowsPlaced  int
	RowsLeftOut int
}

const nowhere = -1

// StructureCount is the number of structures of all lines.
func (n *Network) StructureCount() int { return len(n.structures) }

// AssemblyRows returns the rows of Project.Assemblies that stand on a structure, in a fixed order.
func (n *Network) AssemblyRows(structure int) []uint32 {
	end := uint32(len(n.placed))
	if structure+1 < len(n.structures) {
		end = n.structures[structure+1].firstAssembly
	}
	return n.placed[n.structures[structure].firstAssembly:end]
}

// circuitRows returns those of a structure's AssemblyRows that name a circuit.
func (n *Network) circuitRows(structure int, circuit Symbol) []uint32 {
	if int(circuit) >= len(n.rank) { // a circuit that the Lines sheet counts and no row names
		return nil
	}
	rows, rank := n.AssemblyRows(structure), n.rank[circuit]
	from, _ := slices.BinarySearchFunc(rows, rank, func(row, want uint32) int {
		return cmp.Compare(n.rank[n.Project.Assemblies.saidOf(row).Circuit], want)
	})
	to := from
	for to < len(rows) && n.Project.Assemblies.saidOf(rows[to]).Circuit == circuit {
		to++
	}
	return rows[from:to]
}

// rowsMayBeOf returns the rows of a structure that name a circuit, or all where one of them names a circuit that nobody can read.
func (n *Network) rowsMayBeOf(structure int, circuit Symbol) []uint32 {
	if n.structures[structure].is(circuitUnread) {
		return n.AssemblyRows(structure)
	}
	return n.circuitRows(structure, circuit)
}

func (n *Network) row(structure int) StructureRow {
	return n.Project.Structures.At(int(n.courses[structure].row))
}

// own and said are the parts of the row of a structure, to be read only.
func (n *Network) own(structure int) *ownStructure {
	return n.Project.Structures.ownOf(n.courses[structure].row)
}

func (n *Network) said(structure int) *saidStructure {
	return n.Project.Structures.saidOf(n.courses[structure].row)
}

// Number is the number of a structure as written.
func (n *Network) Number(structure int) string { return n.Project.Texts.Get(n.own(structure).Number) }

// Source is where the row of a structure stood in the inputs.
func (n *Network) Source(structure int) Source { return n.row(structure).Source }

// Position is where a structure stands: longitude, latitude.
func (n *Network) Position(structure int) orb.Point {
	return n.Project.Structures.place(n.courses[structure].row)
}

// SpanAheadM is the length of the span ahead of a structure; NaN where there is none.
func (n *Network) SpanAheadM(structure int) float64 { return n.courses[structure].spanAheadM }

// LineOfStructure is the line that a structure is of.
func (n *Network) LineOfStructure(structure int) int {
	line, _ := slices.BinarySearchFunc(n.Lines, structure, func(l Line, want int) int {
		switch {
		case l.End <= want:
			return -1
		case l.First > want:
			return 1
		}
		return 0
	})
	return line
}

func (n *Network) lineOfStructures() []int32 {
	lineOf := make([]int32, len(n.structures))
	for l := range n.Lines {
		for i := n.Lines[l].First; i < n.Lines[l].End; i++ {
			lineOf[i] = int32(l)
		}
	}
	return lineOf
}
