package audit

// Cell is a kind of cell of an input row, named by what it states.
type Cell uint8

// The cells that can be faulty. A row that holds a faulty value stays in the audit with what the cell states unknown.
const (
	CellDuty Cell = iota
	CellSide
	CellPhase
	CellUnit
	CellUnitsPerString // of a line, its longest string
	CellStrings
	CellDefective
	CellCreepage
	CellArrangement
	CellRating
	CellLength // of a line or a structure, what clearances are reckoned by
	CellArcing
	CellTested  // of an assembly, its lightning withstand; of a unit, its withstand and flashover but for switching impulse; of a line, its lightning and switching level
	CellRemarks // with dates, which no verdict rests on either
	CellGround
	CellAttachment // of an assembly or a line, the slip load of its clamps
	CellSequence   // of a line, its section limit
	CellDeclared   // duty that the GIS declares; of a line, which figures of other inputs are superseded
	CellRole       // role that it declares
	CellContinues
	CellDeviationLimit
	CellVoltage // of an assembly, its wet withstand, see CellTestedWet
	CellCircuits
	CellConductor
	CellTension
	CellLimits          // of a line, its swing limit; of a structure, whether the span ahead is long; of a unit or an assembly, its switching withstand
	CellKind            // construction of a unit
	CellDiameter        // of a unit or a conductor
	CellAverageDiameter // of a unit
	CellWeight          // of a unit, with its wind area; mass of a conductor
	CellCoupling        // of a unit; of a line, its capacitance ratio
	CellMounting        // of a pin or post; with grading rings, and of strings the ratings of their fittings; of a line, that of its clamps, see LineFittings
	cells
)

// Cells is a set of cells: the faulty ones of a row.
type Cells uint32

// CellTestedWet is the cell of an assembly that states its wet withstand, by the bit of one that assemblies have not.
const CellTestedWet = CellVoltage

// LineFittings are the cells of a line that state the ratings of its fittings, by the bits of such that lines have not.
var LineFittings = [fittings]Cell{Clamp: CellMounting, Yoke: CellDiameter, BallAndSocket: CellAverageDiameter}

const _ = uint(32 - cells) // every cell has its bit in Cells

// EveryCell is the set of a row of which nothing can be trusted.
const EveryCell = Cells(1<<cells - 1)

// Has tells whether the set holds a cell.
func (s Cells) Has(c Cell) bool { return s&(1<<c) != 0 }

// FaultsOf returns one of the sets that go with rows; rows beyond the last set have no faulty cell.
func FaultsOf(sets []Cells, i int) Cells {
	if i < len(sets) {
		return sets[i]
	}
	return 0
}

// WithFaultsOf returns the sets with that of row i put in.
func WithFaultsOf(sets []Cells, i int, faulty Cells) []Cells {
	if i >= len(sets) && faulty != 0 {
		sets = append(sets, make([]Cells, i+1-len(sets))...)
	}
	if i < len(sets) {
		sets[i] = faulty
	}
	return sets
}

// SourceOf returns one of the places that go with rows, the zero one beyond the last.
func SourceOf(places []Source, i int) Source {
	if i < len(places) {
		return places[i]
	}
	return Source{}
}

// WithSourceOf returns the places with that of row i put in.
func WithSourceOf(places []Source, i int, at Source) []Source {
	if i >= len(places) {
		places = append(places, make([]Source, i+1-len(places))...)
	}
	places[i] = at
	return places
}

// With returns the set with one more cell.
func (s Cells) With(c Cell) Cells { return s | 1<<c }
