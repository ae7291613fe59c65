package audit

import (
	"cmp"
	"slices"

	"math"

	"github.com/paulmach/orb"
)

// Network is the project in order: lines of structures, structures with their assemblies. Derive fills what geometry
// tells. The columns are compact; Structure and Assembly give the resolved view of one of them.
type Network struct {
	Project *Project
	Lines   []Line
	Zones   []Zone // those of the project, then the same as they are under rules of their own

	structures []station
	placed     []uint32          // assembly rows in the order of the structures they stand on, and there of their circuits
	rank       []uint32          // of each symbol that the inputs name, in natural order
	repeats    []repeat          // rows left out that differ from the placed ones they repeat, ordered
	pairs      []pair            // ordered by their first
	crowds     map[int]*crowd    // of the structures that have one
	misspelt   map[int]string    // number of a row left out that may mean a structure, by structure
	kinds      []string          // of crossings, by bit
	runsOn     map[int32]int32   // line that goes on where another of its voltage ends, by structure
	beside     map[[2]int32]bool // lines that come as near to each other as tees are looked for, both ways round
	conductors map[Symbol]int32  // index in Project.Conductors by name
	shared     []sharedPair      // lines that stand on the structures of another, ordered
	// strayNumbers are rows left out, one for each number that no structure of their line has in any spelling.
	strayNumbers []stray

	lost           lost
	unplaced       []UnplacedStructure // those of the project and those that stand at several places
	byNumber       []uint32            // room to sort the structures of a line by their numbers
	equal          equals
	ambiguousLines map[Symbol]string // what to say of the names that may be those of two lines
	// Renumbering is the line of the project file by which nearly all rows on no structure would stand on one, as a suggestion; empty where none does.
	Renumbering string
	RowsPlaced  int
	RowsLeftOut int
}

// station is a structure as the network keeps it.
type station struct {
	spanAheadM      float64 // NaN where there is no span ahead
	deviationDeg    float64 // NaN at ends and where it cannot be told
	chainageM       float64
	weightSpanColdM float64 // NaN where it cannot be told
	crossed         uint64  // kinds that the span ahead crosses
	mayCross        uint64  // kinds of crossings, where these lie not being readable, that it may cross
	row             uint32  // index in Project.Structures
	firstAssembly   uint32  // index in Network.placed
	zone            int32   // index in Network.Zones, −1 outside every zone
	nearZone        int32   // the nearest worse zone within the margin, −1 for none
	nearZoneM       float32
	doubtZone       int32 // a zone that leaves the class in doubt, −1 for none
	teeOf           int32 // a line that ends here, −1 for none
	conductorAhead  Symbol
	rulingAheadM    float64
	terminal        bool
	shared          bool // another line stands here too
	doubtful        bool // beside suspicious geometry
	siteDoubt       siteDoubt
	conductorFaulty bool  // that of the span ahead
	bundleAhead     uint8 // subconductors of the span ahead, 0 where not stated
	bundleFaulty    bool  // how many it has of them
	courseFaulty    bool  // its spans or its end, since a structure near by is left out
	mayMiss         bool  // a structure may be missing beside it
	circuitUnread   bool  // one of its rows names a circuit that nobody can read
	circuitBlank    bool  // one of its rows that may carry a phase leaves its circuit blank
	teeFaulty       bool  // a line may end here, whose voltage or that of this one cannot be read
	roomDoubted     bool  // its own clearance is implausible at the voltage of its line; its row, which scenarios share, does not say so
}

func newStation(row uint32) station {
	nan := math.NaN()
	return station{spanAheadM: nan, rulingAheadM: nan, deviationDeg: nan, weightSpanColdM: nan, row: row, zone: nowhere, nearZone: nowhere, doubtZone: nowhere, teeOf: nowhere}
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
		return cmp.Compare(n.rank[n.Project.Assemblies[row].Circuit], want)
	})
	to := from
	for to < len(rows) && n.Project.Assemblies[rows[to]].Circuit == circuit {
		to++
	}
	return rows[from:to]
}

// rowsMayBeOf returns the rows of a structure that name a circuit, or all where one of them names a circuit that nobody can read.
func (n *Network) rowsMayBeOf(structure int, circuit Symbol) []uint32 {
	if n.structures[structure].circuitUnread {
		return n.AssemblyRows(structure)
	}
	return n.circuitRows(structure, circuit)
}

func (n *Network) row(structure int) *StructureRow {
	return &n.Project.Structures[n.structures[structure].row]
}

// Number is the number of a structure as written.
func (n *Network) Number(structure int) string { return n.Project.Texts.Get(n.row(structure).Number) }

// Source is where the row of a structure stood in the inputs.
func (n *Network) Source(structure int) Source { return n.row(structure).Source }

// Position is where a structure stands: longitude, latitude.
func (n *Network) Position(structure int) orb.Point {
	row := n.row(structure)
	return orb.Point{row.Lon, row.Lat}
}

func (n *Network) lineOfStructures() []int32 {
	lineOf := make([]int32, len(n.structures))
	for l, line := range n.Lines {
		for i := line.First; i < line.End; i++ {
			lineOf[i] = int32(l)
		}
	}
	return lineOf
}
