package audit

import (
	"math"

	"dryarc/audit/basis"
	"dryarc/geo"

	"github.com/paulmach/orb"
)

// Network is the project in order: lines of structures, structures with their assemblies. Derive fills what geometry
// tells. The columns are compact; Structure and Assembly give the resolved view of one of them.
type Network struct {
	Project *Project
	Lines   []Line

	structures []station
	placed     []uint32        // assembly rows in the order of the structures they stand on
	kinds      []string        // of crossings, by bit
	runsOn     map[int32]int32 // line that goes on where another of its voltage ends, by structure
	shared     []sharedPair    // lines that stand on the structures of another, ordered

	RowsPlaced  int
	RowsLeftOut int
}

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
	// Conductor is nil where the line states none or the catalogue has none of that name.
	Conductor        *basis.Conductor
	Usual            []Usual // its usual suspension strings by specific creepage
	UsualInDoubt     bool    // suspension strings are not among them, since the class of their site is in doubt
	AttachmentsKnown bool    // every structure states its attachment height
	// RowsPlaced counts its assemblies.
	RowsPlaced int

	HighestKV      float64 // highest voltage for equipment, NaN if unknown
	HighestAssumed bool    // taken from IEC 60038 for the nominal voltage
	WetKV          float64 // standard short-duration power frequency level that goes with the lightning level, NaN if unknown
	PhaseToEarthKV float64 // voltage along a string for creepage, NaN if unknown
	NoVoltage      Reason  // why PhaseToEarthKV is unknown
}

// Circuit is one circuit of a line.
type Circuit struct {
	Symbol Symbol
	Phases Phases // EveryPhase where nobody says which it has
	First  int    // the structures between which it is expected, both included
	Last   int
	// EndsFirst and EndsLast tell that it ends there although another circuit of the line goes on.
	EndsFirst, EndsLast bool
}

// station is a structure as the network keeps it.
type station struct {
	spanAheadM      float64 // NaN where there is no span ahead
	deviationDeg    float64 // NaN at ends and where it cannot be told
	chainageM       float64
	weightSpanColdM float64 // NaN where it cannot be told
	crossed         uint64  // kinds that the span ahead crosses
	row             uint32  // place in Project.Structures
	firstAssembly   uint32  // place in Network.placed
	zone            int32   // place in Project.Zones, −1 outside every zone
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
}

func newStation(row uint32) station {
	nan := math.NaN()
	return station{spanAheadM: nan, rulingAheadM: nan, deviationDeg: nan, weightSpanColdM: nan, row: row, zone: nowhere, nearZone: nowhere, doubtZone: nowhere, teeOf: nowhere}
}

const nowhere = -1

// Structure is the resolved view of one structure of one line. Unknown figures are NaN.
type Structure struct {
	Index        int // in the network
	Line         int
	Number       TextAt
	Source       Source
	Position     orb.Point // longitude, latitude
	GroundM      float64
	AttachmentM  float64
	ChainageM    float64
	SpanBackM    float64
	SpanAheadM   float64
	DeviationDeg float64 // positive turns right
	Role         Role
	Family       Family
	TeeOf        Symbol // the line that ends here
	RunsOn       Symbol // the line that goes on here although this one ends
	Shared       bool   // another line stands here too
	Doubtful     bool   // beside suspicious geometry, see Faults
	Declared     Duty
	DeclaredRole DeclaredRole
	Continues    bool
	Faulty       FieldSet

	WindSpanM             float64
	HeightBackM           float64 // of the attachments behind, here and ahead, or of the ground, see Line.AttachmentsKnown
	HeightM               float64
	HeightAheadM          float64
	RulingBackM           float64 // ruling spans of the sections behind and ahead
	RulingAheadM          float64
	LineConductor         bool // both spans carry the line's conductor
	SlackBack, SlackAhead bool // the span leads to a declared gantry and has a tension of its own

	WeightSpanColdM float64 // in the line's cold case
	Back, Ahead     Asked   // what the criteria ask of the spans
	Changes         string  // what changes here, in words: "conductor Wolf to Lynx"; empty where nothing does

	Class            basis.Class // in force; unknown where the zone states a figure of its own
	Zone             int         // place in Project.Zones, −1: the default class
	SpecificCreepage float64     // mm/kV on the chosen basis
	// Doubt is why it cannot be told whether Class is in force or a worse one; NoReason where it is. Where LesserCreepage is
	// above 0, that figure may hold instead and none above SpecificCreepage.
	Doubt          Reason
	DoubtfulZone   int // place in Project.Zones, −1 for none
	LesserCreepage float64
	Worse          WorseZone // near by, Distance NaN where there is none

	DeviationLimitDeg float64 // for suspension assemblies
	LimitStated       bool    // by the project, the line or the structure
	PinLimitDeg       float64 // for pin and post assemblies, NaN if nobody states it
}

// WorseZone is a zone near a structure that asks for more creepage than the one it stands in.
type WorseZone struct {
	Class            basis.Class
	SpecificCreepage float64
	DistanceM        float64
	Doubt            Reason // why it cannot be told what it asks for, or where it begins
}

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

// Structure returns the resolved view of a structure of a line.
func (n *Network) Structure(line, index int) Structure {
	l, st := &n.Lines[line], &n.structures[index]
	row := &n.Project.Structures[st.row]
	s := Structure{
		Index: index, Line: line, Number: row.Number, Source: row.Source,
		Position: orb.Point{row.Lon, row.Lat}, GroundM: row.GroundM, AttachmentM: row.AttachmentM,
		ChainageM: st.chainageM, DeviationDeg: st.deviationDeg, WeightSpanColdM: st.weightSpanColdM,
		Shared: st.shared, Doubtful: st.doubtful,
		Declared: row.Duty, DeclaredRole: row.Role, Continues: row.Continues, Faulty: row.Faulty, Zone: int(st.zone),
	}
	s.SpanBackM, s.SpanAheadM = n.spans(l, index)
	if st.teeOf >= 0 {
		s.TeeOf = n.Lines[st.teeOf].Symbol
	}
	if other, ends := n.runsOn[int32(index)]; ends {
		s.RunsOn = n.Lines[other].Symbol
	}
	criteria := &n.Project.Criteria
	n.setLimits(&s, l, row.DeviationLimitDeg, criteria)
	s.Role, s.Family = role(&s, st)
	n.setZone(&s, st, criteria)
	if st.crossed != 0 || criteria.LongSpanM.Known() {
		s.Ahead = n.asked(st.crossed, st.spanAheadM)
	}
	if previous := n.previous(l, index); previous >= 0 {
		if behind := n.structures[previous].crossed; behind != 0 || criteria.LongSpanM.Known() {
			s.Back = n.asked(behind, s.SpanBackM)
		}
	}
	s.Changes = n.changes(l, index)
	n.setProfile(&s, l, index)
	return s
}

// changes says in words what changes at a structure that must not hang in suspension: the conductor, the phases of a
// transposition, or the tension of a slack span to a gantry.
func (n *Network) changes(line *Line, i int) string {
	row, previous, next := n.row(i), n.previous(line, i), n.next(line, i)
	if row.Role == Transposition {
		return "the phases change places"
	}
	if previous >= 0 && next >= 0 {
		before, after := n.structures[previous].conductorAhead, n.structures[i].conductorAhead
		if before != after && before != 0 && after != 0 {
			return "the conductor changes from " + n.Project.Symbols.Text(before) + " to " + n.Project.Symbols.Text(after)
		}
	}
	for _, beside := range [...]int{previous, next} {
		if beside >= 0 && n.row(beside).Role == Gantry && row.Role != Gantry {
			return "a slack span leads to a gantry"
		}
	}
	return ""
}

// setLimits resolves the deviation limits: the structure's own, else the line's, else the project's.
func (n *Network) setLimits(s *Structure, l *Line, own float64, criteria *Criteria) {
	s.PinLimitDeg = criteria.PinDeviationLimitDeg.Value
	s.DeviationLimitDeg, s.LimitStated = criteria.DeviationLimitDeg.Value, criteria.DeviationLimitDeg.Stated
	for _, stated := range [...]float64{l.Row.DeviationLimitDeg, own} {
		if !math.IsNaN(stated) {
			s.DeviationLimitDeg, s.PinLimitDeg, s.LimitStated = stated, stated, true
		}
	}
}

func role(s *Structure, st *station) (Role, Family) {
	switch {
	case st.terminal:
		return Terminal, TerminalFamily
	case st.teeOf >= 0:
		return Tee, FamilyOf(s.DeviationDeg)
	case math.IsNaN(s.DeviationDeg):
		return RoleUnknown, FamilyUnknown
	case compare(math.Abs(s.DeviationDeg), s.DeviationLimitDeg) > 0:
		return Angle, FamilyOf(s.DeviationDeg)
	}
	return Tangent, FamilyOf(s.DeviationDeg)
}

// Requires returns the duty that a structure needs: tension at terminals and angles, where the line lifts, where the
// conductor or the tension changes, and at tees and crossings where the criteria ask for it; DutyUnknown where the
// role is not known.
func (c *Criteria) Requires(s *Structure) Duty {
	switch {
	case s.Role == Terminal, s.Role == Angle, s.WeightSpanColdM <= 0, s.Changes != "", s.Back.Tension != "", s.Ahead.Tension != "":
		return Tension
	case s.Role == Tee && (c.TensionAtTee || compare(math.Abs(s.DeviationDeg), s.DeviationLimitDeg) > 0):
		return Tension
	case s.Role == RoleUnknown:
		return DutyUnknown
	}
	return Suspension
}

// Assembly is the resolved view of one row of the register. -1 and NaN mean unknown.
type Assembly struct {
	Row            int // in Project.Assemblies
	Source         Source
	Circuit        Symbol
	Phase          Symbol // as written
	Phases         Phases
	Duty           Duty
	Side           Side
	Arrangement    Arrangement
	Makeup         *Makeup     // nil if unknown
	Unit           *basis.Unit // of the first part of the makeup; nil if unknown
	UnitsPerString int
	Strings        int
	Defective      int
	CreepageMM     float64 // of a string as built
	CreepageStated bool    // by the row itself
	Direct         DirectValues
	Odd            Odd     // differs from the strings around it
	VAngleDeg      float64 // between the legs of a V set; NaN if unknown
	CircuitEnds    bool    // its circuit ends here although the line goes on
	Faulty         FieldSet
	units          []basis.Unit
}

// Assembly returns the resolved view of a row of Project.Assemblies.
func (n *Network) Assembly(row uint32) Assembly {
	p := n.Project
	r := &p.Assemblies[row]
	a := Assembly{
		Row: int(row), Source: r.Source, Circuit: r.Circuit, Phase: r.Phase, Phases: r.Phases,
		Duty: r.Duty, Side: r.Side, Arrangement: r.Arrangement,
		UnitsPerString: int(r.UnitsPerString), Strings: int(r.Strings), Defective: int(r.Defective), Faulty: r.Faulty,
		CreepageMM: math.NaN(), VAngleDeg: math.NaN(),
	}
	if r.VAngleDeg > 0 {
		a.VAngleDeg = float64(r.VAngleDeg)
	}
	if r.Makeup > 0 {
		a.SetMakeup(&p.Makeups[r.Makeup], p.Units)
	}
	a.Direct = UnknownDirectValues()
	if r.Direct > 0 {
		a.Direct = p.Direct[r.Direct-1]
		if stated := a.Direct.CreepageMM; !math.IsNaN(stated) {
			a.CreepageMM, a.CreepageStated = stated, true
		}
	}
	return a
}

// SetMakeup says what the strings are made of and finds the creepage that follows. UnitsPerString must be set before.
func (a *Assembly) SetMakeup(makeup *Makeup, units []basis.Unit) {
	a.Makeup, a.units = makeup, units
	a.Unit = &units[makeup.Parts[0].Unit]
	a.CreepageMM = 0
	for _, part := range makeup.Parts {
		a.CreepageMM += float64(a.count(part)) * units[part.Unit].CreepageMM
	}
	if len(makeup.Parts) == 1 && a.UnitsPerString < 0 {
		a.CreepageMM = math.NaN()
	}
}

func (a *Assembly) count(part Part) int {
	if part.Count > 0 {
		return part.Count
	}
	return a.UnitsPerString
}

// SoundCreepageMM is the creepage of the worst string without its defective units. Where the string is mixed, the
// units with the longest creepage are taken to be the defective ones; where the row states the creepage of the whole
// string, each unit has an equal share; a long rod or a composite with any defect has failed.
func (a *Assembly) SoundCreepageMM() float64 {
	switch {
	case a.Defective <= 0:
		return a.CreepageMM
	case a.Unit != nil && !a.Unit.Kind.HasUnitCount():
		return 0
	case a.CreepageStated || a.Makeup == nil:
		return a.CreepageMM * float64(a.UnitsPerString-a.Defective) / float64(a.UnitsPerString)
	}
	left, creepage := a.Defective, a.CreepageMM
	taken := make([]bool, len(a.Makeup.Parts))
	for left > 0 {
		longest := -1
		for i, part := range a.Makeup.Parts {
			if !taken[i] && (longest < 0 || a.units[part.Unit].CreepageMM > a.units[a.Makeup.Parts[longest].Unit].CreepageMM) {
				longest = i
			}
		}
		if longest < 0 {
			return 0
		}
		taken[longest] = true
		n := min(left, a.count(a.Makeup.Parts[longest]))
		creepage -= float64(n) * a.units[a.Makeup.Parts[longest].Unit].CreepageMM
		left -= n
	}
	return creepage
}

// Place is one circuit at one structure; where the circuit has tension assemblies there, it is one side of it.
type Place struct {
	Circuit    Symbol
	Side       Side   // NoSide where no side is meant
	Expected   Phases // of the circuit
	Present    Phases // that hang here
	Tension    bool   // the circuit has tension assemblies at this structure
	SideKnown  bool   // every tension assembly of the circuit says its side
	Assemblies int    // of the circuit at this structure
	FaultyRows bool   // a row of the structure has a faulty phase, duty or side
}
