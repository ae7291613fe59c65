package audit

// Cell is a kind of cell of an input row, named by what it states.
type Cell uint8

// The cells that can be faulty. A row that holds a faulty value stays in the audit with what the cell states unknown.
const (
	CellDuty Cell = iota
	CellSide
	CellPhase
	CellUnit
	CellUnitsPerString
	CellStrings
	CellDefective
	CellCreepage
	CellArrangement
	CellRating
	CellLength
	CellArcing
	CellTested // withstand voltages stated by the row
	CellDate
	CellRemarks
	CellGround
	CellAttachment
	CellSequence
	CellDeclared // duty, role or continuation that the GIS declares
	CellDeviationLimit
	CellVoltage
	CellCircuits
	CellConductor
	CellTension
	CellLimits
	cells
)

// Cells is a set of cells: the faulty ones of a row.
type Cells uint32

const _ = uint(32 - cells) // every cell has its bit in Cells

// Has tells whether the set holds a cell.
func (s Cells) Has(c Cell) bool { return s&(1<<c) != 0 }

// With returns the set with one more cell.
func (s Cells) With(c Cell) Cells { return s | 1<<c }
