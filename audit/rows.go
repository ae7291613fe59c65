package audit

import (
	"math"

	"github.com/paulmach/orb"

	"dryarc/geo"
)

// StructureRow is one structure of one line as the GIS has it. A structure on several lines has a row for each.
type StructureRow struct {
	Lon, Lat          float64 // degrees, WGS 84
	Sequence          float64
	GroundM           float64 // metres above sea level
	AttachmentM       float64 // height of the conductor above ground
	DeviationLimitDeg float64
	Line              Symbol
	ConductorAhead    Symbol
	Number            TextAt // structure number as written
	Room              uint32 // 1 + index in Project.Rooms, 0 where it states none
	Source            Source
	Faulty            Cells
	Terrain           uint16 // 1 + index in Project.Terrain of the raster that GroundM is from, 0 where it is stated
	NoGround          Reason // why the rasters have no level here, NoReason where one has or where there are none
	Duty              Duty   // declared
	Role              DeclaredRole
	Continues         bool // the line goes on beyond the extract
	LongSpan          bool // the span ahead is as long as it looks
	// SubconductorsAhead is how many the spans ahead carry, 0 where the structure states none.
	SubconductorsAhead uint8
	ByZero             bool // GroundM is from a raster, by a sample of exactly 0 m
}

// LineRow is one row of the Lines sheet. NaN and -1 mean not stated.
type LineRow struct {
	Line, Name, Conductor Symbol
	Source                Source
	Faulty                Cells
	Phases                Phases
	Circuits              int
	Subconductors         int
	System                System
	NominalKV             float64
	HighestKV             float64
	CreepageKV            float64 // voltage along a string for creepage, phase to earth
	LightningKV           float64
	SwitchingKV           float64
	MaximumTensionKN      float64 // per subconductor
	EverydayTensionKN     float64
	EverydayC             float64
	ColdTensionKN         float64
	SlipKN                float64 // pull at which the clamp or tie of one subconductor slips
	DeviationLimitDeg     float64
	SwingLimitDeg         float64 // in the load cases that SwingLimitsDeg does not name
	SwingLimitsDeg        []CaseFigure
	FittingsMM            float64 // of a suspension string, beside its units
	FittingsKN            Ratings // of what joins strings, units and conductors, where a row states none
	Room                  Room
	SectionLimitKM        float64
	LongestStringMM       float64
	CapacitanceRatio      float64
	Superseded            Superseded  // all that may be where the cell cannot be read
	Set                   *SetColumns // what a scenario sets in it; nil where none does
}

// UnknownLineRow returns a row in which nothing is stated.
func UnknownLineRow() LineRow {
	nan := math.NaN()
	return LineRow{
		Circuits: -1, Subconductors: -1,
		NominalKV: nan, HighestKV: nan, CreepageKV: nan, LightningKV: nan, SwitchingKV: nan,
		MaximumTensionKN: nan, EverydayTensionKN: nan, EverydayC: nan, ColdTensionKN: nan, SlipKN: nan,
		DeviationLimitDeg: nan, SwingLimitDeg: nan, FittingsMM: nan, FittingsKN: UnknownRatings(), Room: UnknownRoom(), SectionLimitKM: nan, LongestStringMM: nan, CapacitanceRatio: nan,
	}
}

// AssemblyRow is one row of the Assemblies sheet: one assembly per phase it names. -1 means not stated.
type AssemblyRow struct {
	RowOwn
	RowSaid
}

// RowOwn is what tells a row from the others.
type RowOwn struct {
	Line                 Symbol // as written
	Number               TextAt // structure number as written
	Remarks              TextAt
	Source               Source
	Installed, Inspected Day
	Defective            int16
	Side                 Side
}

// lastSeen is when what a row is of was last looked at, by the row itself.
func (r *RowOwn) lastSeen() Day {
	if r.Inspected == NoDay || isAfter(r.Installed, r.Inspected) {
		return r.Installed
	}
	return r.Inspected
}

// RowSaid is what a row says as many others do.
type RowSaid struct {
	Circuit, Phase Symbol // as written; Circuit "1" where the cell is blank
	Phases         Phases // EveryPhase where the cell is blank
	Makeup         uint32 // index in Project.Makeups
	Direct         uint32 // 1 + index in Project.Direct, beyond it in Project.Restated, which rows share; 0 for none
	VAngleDeg      float32
	Faulty         Cells
	UnitsPerString int16
	Strings        int16
	Duty           Duty
	Arrangement    Arrangement
	Mounting       Mounting
	Rings          Rings
	Numeric        bool // Number stands as a number in its cell
	Foreign        Foreign
	Blank          Blanks
	// Unbelieved are the fittings, a bit each, whose rating is not believed beside the strings that hang there and is no better known of others.
	Unbelieved uint8
}

// Foreign says which names of a row can be read, but are none that its line is known to have, or are those of another row in part: what they
// mean is as little known as where they cannot be read.
type Foreign uint8

// The names that may be so.
const (
	ForeignCircuit Foreign = 1 << iota
	ForeignPhase
)

// Unread are the faulty cells of a row but those whose names stand there as they were written.
func (r *AssemblyRow) Unread() Cells {
	unread := r.Faulty
	if r.Foreign&ForeignCircuit != 0 {
		unread &^= 1 << CellCircuits
	}
	if r.Foreign&ForeignPhase != 0 {
		unread &^= 1 << CellPhase
	}
	return unread
}

// Blanks are cells of a row that are blank, for which the row holds what stands in for them.
type Blanks uint8

// The cells.
const (
	BlankCircuit Blanks = 1 << iota
	BlankStrings
	BlankDefective
)

// LostRow is what is known of a row of the Assemblies sheet that is left out since it names no line or no structure.
type LostRow struct {
	Line   Symbol // 0 unknown
	Number TextAt // 0 unknown
}

// DirectValues are figures of a whole string that a register row states itself, which win over its unit's, and those of its place. NaN means
// not stated.
type DirectValues struct {
	CreepageMM, RatingKN, LengthMM, ArcingMM, LightningKV, SwitchingKV, WetKV float64
	WetSwitchingKV                                                            float64
	SlipKN                                                                    float64 // of the clamp or tie of one subconductor, whatever string hangs there
	FittingsKN                                                                Ratings // whatever string hangs there
}

// UnknownDirectValues returns direct values of which none is stated.
func UnknownDirectValues() DirectValues {
	nan := math.NaN()
	return DirectValues{nan, nan, nan, nan, nan, nan, nan, nan, nan, UnknownRatings()}
}

// OfPlace are the figures that stay whatever string hangs there.
func (d *DirectValues) OfPlace() DirectValues {
	stay := UnknownDirectValues()
	stay.SlipKN, stay.FittingsKN = d.SlipKN, d.FittingsKN
	return stay
}

// AnyOfPlace tells whether any of those is stated.
func (d *DirectValues) AnyOfPlace() bool { return !math.IsNaN(d.SlipKN) || d.FittingsKN.AnyStated() }

// FigureBits tells figures from others, those that are not stated too.
type FigureBits [9 + fittings]uint64

// OfString lists the figures of the whole string.
func (d *DirectValues) OfString() [8]float64 {
	return [...]float64{d.CreepageMM, d.RatingKN, d.LengthMM, d.ArcingMM, d.LightningKV, d.SwitchingKV, d.WetKV, d.WetSwitchingKV}
}

// Bits are the same for figures that are equal.
func (d *DirectValues) Bits() (bits FigureBits) {
	of := d.OfString()
	for i, figure := range of {
		bits[i] = math.Float64bits(figure)
	}
	bits[len(of)] = math.Float64bits(d.SlipKN)
	for i, figure := range d.FittingsKN {
		bits[len(of)+1+i] = math.Float64bits(figure)
	}
	return bits
}

// Makeup is what a string is made of: one kind of unit, whose number is the row's Units per string, or several, each
// with its own number.
type Makeup struct {
	Text  string // as written
	Parts []Part
}

// Part is a run of like units in a string.
type Part struct {
	Unit  int // index in Project.Units
	Count int // 0: the row's Units per string
}

// Route is the course of a line.
type Route struct {
	Line   Symbol
	Parts  [][]orb.Point
	Source Source
}

// Crossing is something that spans cross: a line or an area of one kind.
type Crossing struct {
	Kind     Symbol // river, railway, road, …; 0 where it cannot be read
	Lines    [][]orb.Point
	Polygons []geo.Polygon // where Broken, boxes in which it may lie
	Source   Source
	Broken   bool // where in its boxes it lies cannot be told, or whether it is one at all
	Anywhere bool // nor where they are
}

// NamedPlace is a point with a name by which people find their way on a map.
type NamedPlace struct {
	Name     Symbol
	Lon, Lat float64
	Rank     float64 // the smaller, the more important; NaN where it has none
	Source   Source
}
