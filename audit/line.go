package audit

import (
	"errors"
	"fmt"
	"slices"

	"dryarc/audit/basis"
	"dryarc/geo"
)

// Line is a range of structures and what is known of the line as a whole.
type Line struct {
	Symbol   Symbol
	Row      LineRow
	First    int // its structures are First … End−1 of the network
	End      int
	Ordering Ordering
	// Closed tells that the line runs round: its last structure has a span to its first, and it has no end.
	Closed   bool
	Circuits []Circuit
	route    *geo.Route // nil for none
	rules    int        // 1 + index in Project.Rules, 0 for those of the project
	zones    int        // the rules under which its zones stand in Network.Zones, 0 for those of the project

	circuitAt map[Symbol]int // places in Circuits, where these are many
	// Conductor is nil where the line states none or the catalogue has none of that name.
	Conductor       *basis.Conductor
	ConductorFaulty Cells             // of the row of its conductor
	Catalogue       []basis.Conductor // what its spans may carry, see Carried
	CatalogueFaulty []Cells
	Usual           []Usual // its usual suspension strings by specific creepage
	UsualInDoubt    bool    // suspension strings are not among them, since the class of their site is in doubt
	// AttachmentsStated and GroundStated tell that one of its structures at least states its attachment height, or its ground
	// level, readable or not; the latter too where the project has rasters to give them.
	AttachmentsStated, GroundStated bool
	CourseFaulty                    bool // which structures it has, or in which order, is not known
	// RowsPlaced counts its assemblies; a row that repeats another is none.
	RowsPlaced int
	// RowsLost counts the rows of the register that name no place and may be of the line.
	RowsLost int
	Strays   Strays // its rows that stand on no structure

	HighestKV      float64 // highest voltage for equipment, NaN if unknown
	HighestAssumed bool    // taken for the nominal voltage from the table that the criteria choose
	oneConductor   bool    // voltages that contradict each other are each too low for bundles
	voltages       basis.VoltageTable
	WetKV          float64 // standard short-duration power frequency level that goes with the lightning level, NaN if unknown
	PhaseToEarthKV float64 // voltage along a string for creepage, NaN if unknown
	Along          Along   // what that is
	NoVoltage      Reason  // why PhaseToEarthKV is unknown
	// LevelImplausible tells that the lightning level contradicts Um, a fault: nothing is judged by it.
	LevelImplausible bool

	everydayKN float64 // the everyday tension of its sheet that a load case contradicts, 0 where none does

	medianM float64 // its median span as far as tensions of load cases are doubted by it, 0 where none states one
}

// UnknownLine is the error of a run that is asked for a line the structures do not have.
type UnknownLine struct {
	Name  string
	Known []string // the lines that they have
}

func (e *UnknownLine) Error() string {
	return fmt.Sprintf("line %q is no line of the structures", e.Name)
}

// lineNames are the names of all lines, in their order.
func (n *Network) lineNames() []string {
	names := make([]string, len(n.Lines))
	for i := range n.Lines {
		names[i] = n.Project.Symbols.Text(n.Lines[i].Symbol)
	}
	return names
}

// choose marks the lines of the given names; nil means all. Each name that no line has is an *UnknownLine.
func (n *Network) choose(names []string) ([]bool, error) {
	if len(names) == 0 {
		return nil, nil
	}
	chosen, known := make([]bool, len(n.Lines)), n.lineNames()
	var unknown []error
	for _, name := range names {
		i := slices.Index(known, name)
		if i < 0 {
			unknown = append(unknown, &UnknownLine{Name: name, Known: known})
			continue
		}
		chosen[i] = true
	}
	return chosen, errors.Join(unknown...)
}

// next is the structure to which the span ahead of one leads, −1 at the end of a line and across a cable gap.
func (n *Network) next(line *Line, i int) int {
	switch {
	case i+1 < line.End:
		if n.cableGap(line, i) {
			return nowhere
		}
		return i + 1
	case line.Closed:
		return line.First
	}
	return nowhere
}

// previous is the structure from which the span behind one comes, −1 where there is none.
func (n *Network) previous(line *Line, i int) int {
	switch {
	case i > line.First:
		if n.cableGap(line, i-1) {
			return nowhere
		}
		return i - 1
	case line.Closed:
		return line.End - 1
	}
	return nowhere
}

// cableGap tells whether the line runs as a cable from one structure to the next: both are declared cable ends.
func (n *Network) cableGap(line *Line, i int) bool {
	return i >= line.First && i+1 < line.End && n.said(i).Role == CableEnd && n.said(i+1).Role == CableEnd
}

func (n *Network) leg(i, next int) geo.Leg { return geo.Inverse(n.Position(i), n.Position(next)) }

// endsHere tells whether the line ends at a structure: its first or last one unless the line goes on beyond the
// extract or runs round, either side of a cable gap, and wherever the owner says so.
func (n *Network) endsHere(line *Line, i int) bool {
	switch row := n.said(i); {
	case row.Role == DeclaredTerminal || row.Role == Gantry || row.Role == CableEnd:
		return true
	case row.Continues || line.Closed:
		return false
	}
	return i == line.First || i == line.End-1
}

// endsLine tells whether a structure is the first or the last of its line.
func (n *Network) endsLine(line int32, structure int) bool {
	l := &n.Lines[line]
	return !l.Closed && (structure == l.First || structure == l.End-1)
}

// inward is the structure next to a line's end, −1 where the line has one structure.
func (n *Network) inward(line int32, end int) int {
	l := &n.Lines[line]
	switch {
	case l.End-l.First == 1:
		return nowhere
	case end == l.First:
		return end + 1
	}
	return end - 1
}
