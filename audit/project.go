package audit

import (
	"path/filepath"

	"github.com/paulmach/orb"

	"dryarc/audit/basis"
	"dryarc/geo"
)

// Project is everything that was read, before anything is derived. Rows hold no pointers: repeated text is a Symbol,
// other text an offset in Texts, an unknown number NaN (or -1 where it counts something), and what was faulty is a bit
// in Cells.
type Project struct {
	Title    string
	File     string // the project file as it was given
	Criteria Criteria
	// Reading is what the project file says of how its inputs are to be read, as one text: the names that it maps, the
	// layers and systems that it states. Other readings of the same files are other runs.
	Reading string
	Inputs  []Input
	Tables  []Table
	Symbols Symbols
	Texts   Texts

	Structures StructureRows
	Lines      []LineRow
	Assemblies AssemblyRows
	Lost       []LostRow      // assembly rows that name no place
	Direct     []DirectValues // what some assembly rows state of their own
	Restated   []DirectValues // what they state in its place since the project was read; numbered on from Direct, which copies share
	Makeups    []Makeup       // Makeups[0] is the unknown one
	Rooms      []Room         // what some structures state of their own, see AddRoom
	Units      []basis.Unit   // the catalogue, extended and overridden by the register
	UnitFaults []Cells        // the faulty cells of each unit; shorter where the last ones have none
	// DoubtedUnits are those of Units of which a figure is not believed, with what they are stated with, or tabulated.
	DoubtedUnits map[int]basis.Unit
	// UnitRows and ConductorRows are where the row of each stood; the zero Source, or beyond the end, where none did.
	UnitRows, ConductorRows []Source
	// UnitsStated and ConductorsStated are the figures that the row of each states; shorter where the last ones have none.
	UnitsStated, ConductorsStated []Figures
	Zones                         []Zone
	Rules                         []Rules           // of lines on which others hold than Criteria and Zones
	Conductors                    []basis.Conductor // the catalogue, extended and overridden by the register
	// ConductorFaults are the faulty cells of each conductor; shorter where the last ones have none.
	ConductorFaults []Cells
	Routes          []Route
	Crossings       []Crossing
	Places          []NamedPlace // which the maps name; nothing is judged from them

	Terrain []Terrain // the rasters that give ground levels

	// AsOf is the day of the audit, after which nobody can have inspected anything; NoDay or 0 where it is not said.
	AsOf        Day
	Inspections *Inspections // nil where the project names none
	// Observed is what inspections tell of rows of Assemblies, by their numbers; nil while they have not been joined.
	Observed map[uint32]*Observation

	// RoutesAlone tells that the project has no structures file: every vertex of a route is a structure.
	RoutesAlone bool
	// CrossingsGiven tells a project without crossings from one whose crossings are none.
	CrossingsGiven bool
	// Decisions is the path of the file of decisions; empty where the project names none.
	Decisions string
	// Write is where the run is written beside its files; nil where it is not.
	Write *DatabaseOutput
	// RegisterGiven tells a project without a register from one whose register is empty.
	RegisterGiven bool
	// RowsRead is the number of assembly rows in the register that hold anything, RowsPassedOver that of those among them which
	// the project file does not choose.
	RowsRead, RowsPassedOver int
	// RowsMade is how many rows the assemblies have beyond those read, since a row may make one for each phase or circuit.
	RowsMade int
	Carried  CarriedTexts
	roomAt   map[roomKey]uint32 // places in Rooms, 1 for the first; not of them where it has another length
	outlines *geo.Outlines      // of zones, kept over scenarios; nil where there are none
	// Scenarios are what the project file asks to look at beside the project as it stands.
	Scenarios []Scenario
	// Files are the lists by which the project file names inputs.
	Files []FileList
	// FilesTaken says in sentences which files a pattern of the project file finds and that are not read for it.
	FilesTaken []string
	// DatesTaken says in sentences how dates of the register were read that could be read otherwise.
	DatesTaken []string
	// Unread says in sentences which columns of the register are not read though they may say that rows do not count.
	Unread []string
	// CountsTaken says in sentences which numbers of units are taken for those of one string though their heading does not say so.
	CountsTaken []string
	// SignsTaken says in sentences which commas of numbers are taken for decimal ones by other columns of their table.
	SignsTaken []string
	// CircuitsTaken says in sentences which rows are taken for one of each circuit that they name.
	CircuitsTaken []string
	// FilledDown says in sentences which cells take what stands above them, as the project file says.
	FilledDown []string
	// WordsTwice is a word, name or number, with its list, that the words of the project file would change if it were read by them once
	// more, of all that a register with the jobs done may hold; empty where none is.
	WordsTwice string
	// RoutesUnnamed tells that a route names no line, so that it may be that of any without one.
	RoutesUnnamed bool
	// LostStructures are where structures stand that are left out since they name no line or no number.
	LostStructures []orb.Point
	// UnplacedStructures are left out since their positions cannot be read.
	UnplacedStructures []UnplacedStructure
	// LinesUnnamed tells that a row of the Lines sheet names no line, so that it may be that of any without a row.
	LinesUnnamed bool
	// SupersededUnnamed is what such rows call superseded.
	SupersededUnnamed Superseded
	Faults            Faults
}

// SaysWhatCrosses tells whether the project says what spans cross. A layer without any crossing does not, since one that was filtered to
// nothing looks the same.
func (p *Project) SaysWhatCrosses() bool { return p.CrossingsGiven && len(p.Crossings) > 0 }

// Terrain is a raster that ground levels are from.
type Terrain struct {
	File     string // as the project file names it
	Vertical string // datum of its levels; empty where nobody states it
	Surface  bool   // they are those of what stands on the ground too
	// AccuracyM is the standard error in m that the project file states of its levels, 0 where it states none and the criterion holds.
	AccuracyM float64
}

// Input is one file that was read, or the rows of a query.
type Input struct {
	File   string  // as the project file names it
	Path   string  // at which it was opened; empty for the standard input and for a query
	SHA256 string  // of its bytes, hexadecimal; of a query of its rows, in their order
	System string  // reference system of a layer, such as EPSG:32719; empty where it is WGS 84 longitude, latitude
	DatumM float64 // how well the datum of the system agrees with WGS 84, in metres; 0 where it is WGS 84

	// Query is the query whose rows it is; empty for a file.
	Query string
	// Pattern is the pattern of the project file that found it; empty for a file that is named by itself.
	Pattern string
	// Section is the key of the project file that it stands under; empty for a file that is read with another, as the table of a shapefile.
	Section string

	// SameAs is another file of zones, or of crossings, that holds the same features; empty for none.
	SameAs string
	// LastRow is how the last row of a table of text ends: Ended, or Open, as one that is cut does. Empty of what is no such table.
	LastRow string

	Encoding string // of its texts, where nothing but they themselves tells it; empty where they are in UTF-8
	// Assumed are sentences on what was assumed of its properties.
	Assumed []string
}

// DatabaseOutput is a schema of a database into which runs are written.
type DatabaseOutput struct {
	Settings string // of the connection
	Schema   string
	Keep     int // runs that stand there afterwards
}

// How the last row of a text ends.
const (
	Ended = "ended" // by an end of line
	Open  = "open"  // with the text
)

// FileList is what the project file names as inputs under a key, by themselves and by patterns.
type FileList struct {
	Section          string
	Names, LeavesOut func(file string) bool // whether it names a file, or leaves it out by the key without
}

// AddTable registers a table and returns its number.
func (p *Project) AddTable(table Table) uint16 {
	p.Tables = append(p.Tables, table)
	return uint16(len(p.Tables) - 1)
}

// fileName is the project file without its folder, as messages name it.
func (p *Project) fileName() string { return filepath.Base(p.File) }
