package audit

import (
	"bytes"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"dryarc/audit/basis"
)

// Structure is the resolved view of one structure of one line. Unknown figures are NaN.
type Structure struct {
	Index        int // in the network
	Line         int
	Number       TextAt
	Source       Source
	Position     orb.Point // longitude, latitude
	GroundM      float64
	AttachmentM  float64
	SpanBackM    float64
	SpanAheadM   float64
	DeviationDeg float64 // positive turns right
	Role         Role
	Family       Family
	TeeOf        Symbol // the line that ends here
	RunsOn       Symbol // the line that goes on here although this one ends
	Shared       bool   // another line stands here too
	Doubtful     bool   // beside suspicious geometry, see Faults
	MayMiss      bool   // a structure may be missing beside it, so that its spans and its turn are others
	Declared     Duty
	DeclaredRole DeclaredRole
	Continues    bool
	Faulty       Cells
	RowsLost     bool // a row of the register that names no place may stand here
	CircuitOpen  bool // no row here names its circuit, and they may be of another or of all
	// What is not known of it since a cell cannot be read: its spans and ends, the heights of its spans, whether they carry the
	// same, the deviation limit (which may be superseded too), whether a line ends here.
	CourseFaulty, HeightsFaulty, ConductorFaulty, LimitFaulty, TeeFaulty bool
	// LimitSuperseded and RoomSuperseded tell that LimitFaulty and RoomFaulty say no more than that the structure's own figure is superseded.
	LimitSuperseded, RoomSuperseded bool
	// TerrainBack and TerrainAhead tell that the ground level there comes from a raster.
	TerrainBack, TerrainAhead bool
	Terrain                   uint16 // that of its own level, as of its row
	NoGround                  Reason // why the rasters have none, as of its row
	// OwnErrorsM are the standard errors in m that are stated of the rasters that the levels behind, here and ahead are from, 0 for none.
	OwnErrorsM [3]float64
	ByZero     [3]bool // the levels behind, here and ahead are by a sample of exactly 0 m of a raster
	// DatumTakenBack and DatumTakenAhead tell that the levels there and here are taken to be above one vertical datum, which nobody says.
	DatumTakenBack, DatumTakenAhead bool

	WindSpanM    float64
	HeightBackM  float64 // of the attachments behind, here and ahead, or of the ground, see Line.AttachmentsStated
	HeightM      float64
	HeightAheadM float64
	RulingBackM  float64 // ruling spans of the sections behind and ahead
	RulingAheadM float64
	// NoRiseBack and NoRiseAhead are why it is not known how far the span rises, NoReason where it is.
	NoRiseBack, NoRiseAhead Reason
	CarriesBack             Carried // what the spans carry
	CarriesAhead            Carried
	SlackBack, SlackAhead   bool // the span leads to a declared gantry and has a tension of its own

	WeightSpanColdM float64 // in the line's cold case
	Back, Ahead     Asked   // what the criteria ask of the spans
	ChangeUnstated  Reason  // why it is not known whether anything does: what one of the spans carries is not stated
	Changes         string  // what changes here, in words: "conductor Wolf to Lynx"; empty where nothing does

	Class            basis.Class // in force; unknown where the zone states a figure of its own
	Zone             int         // index in Network.Zones, −1: the default class
	SpecificCreepage float64     // mm/kV on the chosen basis
	StatedBase       basis.Base  // on which the zone states it; NoBase where it states none
	// Doubt is why it cannot be told whether Class is in force or a worse one; NoReason where it is. Where LesserCreepage is
	// above 0, that figure may hold instead and none above SpecificCreepage.
	Doubt          Reason
	DoubtfulZone   int // index in Network.Zones, −1 for none
	LesserCreepage float64
	Worse          WorseZone // near by, Distance NaN where there is none

	Room       Room // its own figures, else the line's
	RoomFaulty bool // one of the structure's or of its line's, the fittings among them, cannot be read, is not believed or is superseded, or its rows differ

	DeviationLimitDeg float64 // for suspension assemblies
	LimitStated       bool    // by the project, the line or the structure
	PinLimitDeg       float64 // for pin and post assemblies, NaN if nobody states it
}

// Structure returns the resolved view of a structure of a line.
func (n *Network) Structure(line, index int) Structure {
	l, st, course := &n.Lines[line], &n.structures[index], &n.courses[index]
	row := n.Project.Structures.At(int(course.row))
	s := Structure{
		Index: index, Line: line, Number: row.Number, Source: row.Source,
		Position: orb.Point{row.Lon, row.Lat}, GroundM: row.GroundM, Terrain: row.Terrain, NoGround: row.NoGround, AttachmentM: row.AttachmentM,
		DeviationDeg: course.deviationDeg, WeightSpanColdM: n.profiles[index].weightSpanColdM,
		TeeFaulty: st.is(teeFaulty), Shared: st.is(sharedPlace), Doubtful: st.is(doubtful), MayMiss: st.is(mayMiss), CircuitOpen: st.is(circuitOpen),
		Declared: row.Duty, DeclaredRole: row.Role, Continues: row.Continues, Faulty: row.Faulty,
	}
	previous, next := n.previous(l, index), n.next(l, index)
	s.SpanBackM, s.SpanAheadM = math.NaN(), course.spanAheadM
	if previous >= 0 {
		s.SpanBackM = n.courses[previous].spanAheadM
	}
	tee := n.teeOf(index)
	if tee >= 0 {
		s.TeeOf = n.Lines[tee].Symbol
	}
	if other, ends := n.runsOn[int32(index)]; ends {
		s.RunsOn = n.Lines[other].Symbol
	}
	criteria := n.criteriaOf(l)
	n.setLimits(&s, l, &row, criteria)
	n.setRoom(&s, l, &row)
	s.Role, s.Family = role(&s, st.is(terminal), tee >= 0)
	n.setZone(&s, index, l)
	if course.span != 0 || criteria.LongSpanM.Known() {
		s.Ahead = n.asked(criteria, n.crossedBy(index), course.spanAheadM)
	}
	if previous >= 0 && (n.courses[previous].span != 0 || criteria.LongSpanM.Known()) {
		s.Back = n.asked(criteria, n.crossedBy(previous), s.SpanBackM)
	}
	s.Changes, s.ChangeUnstated = n.changes(l, previous, index, next)
	n.setProfile(&s, l, previous, index, next)
	n.setFaulty(&s, l, previous, index, next)
	s.RowsLost = (len(n.Project.Lost) > 0 || len(n.lost.doubted) > 0) && n.mayHaveLost(l, index)
	return s
}

// setLimits resolves the deviation limits: the structure's own, else the line's, else the project's; of pins and posts the
// structure's own, else what the criteria state for them, else the line's.
func (n *Network) setLimits(s *Structure, l *Line, row *StructureRow, criteria *Criteria) {
	own, superseded := row.DeviationLimitDeg, l.supersedes(n.Project, row).Has(LimitSuperseded)
	if superseded {
		own = math.NaN()
	}
	s.DeviationLimitDeg, s.LimitStated = criteria.DeviationLimitDeg.Value, criteria.DeviationLimitDeg.Stated
	for _, stated := range [...]float64{l.Row.DeviationLimitDeg, own} {
		if !math.IsNaN(stated) {
			s.DeviationLimitDeg, s.LimitStated = stated, true
		}
	}
	s.PinLimitDeg = math.NaN()
	for _, stated := range [...]float64{l.Row.DeviationLimitDeg, criteria.PinDeviationLimitDeg.Value, own} {
		if !math.IsNaN(stated) {
			s.PinLimitDeg = stated
		}
	}
	if s.Faulty.Has(CellDeviationLimit) || superseded || math.IsNaN(own) && l.Row.Faulty.Has(CellDeviationLimit) {
		s.DeviationLimitDeg, s.PinLimitDeg, s.LimitFaulty = math.NaN(), math.NaN(), true
		s.LimitSuperseded = superseded && !s.Faulty.Has(CellDeviationLimit) && !l.Row.Faulty.Has(CellDeviationLimit) && !l.Row.Faulty.Has(CellDeclared)
	}
}

// setFaulty finds what faulty cells beside a structure leave unknown of it.
func (n *Network) setFaulty(s *Structure, l *Line, previous, i, next int) {
	heights := Cells(1<<CellGround | 1<<CellAttachment)
	if !l.AttachmentsStated {
		heights = 1 << CellGround
	}
	s.HeightsFaulty = s.Faulty&heights != 0
	s.CourseFaulty = l.CourseFaulty || n.structures[i].is(courseFaulty) || s.Faulty.Has(CellRole) || s.Faulty.Has(CellContinues) && (i == l.First || i == l.End-1)
	for _, beside := range [...]int{previous, next} {
		if beside >= 0 {
			s.HeightsFaulty = s.HeightsFaulty || n.said(beside).Faulty&heights != 0
			s.CourseFaulty = s.CourseFaulty || n.said(beside).Faulty.Has(CellRole)
		}
	}
	s.ConductorFaulty = n.structures[i].is(conductorFaulty)
	if previous >= 0 {
		s.ConductorFaulty = s.ConductorFaulty || n.structures[previous].is(conductorFaulty) ||
			(i == l.First || n.said(i).statesBundle()) && (n.structures[previous].is(bundleFaulty) || n.structures[i].is(bundleFaulty))
	}
}

func role(s *Structure, ends, tee bool) (Role, Family) {
	switch {
	case ends:
		return Terminal, TerminalFamily
	case tee:
		return Tee, FamilyOf(s.DeviationDeg)
	case math.IsNaN(s.DeviationDeg):
		return RoleUnknown, FamilyUnknown
	case s.LimitFaulty:
		return RoleUnknown, FamilyOf(s.DeviationDeg)
	case compare(math.Abs(s.DeviationDeg), s.DeviationLimitDeg) > 0: // as AgainstLimit has it of a suspension assembly
		return Angle, FamilyOf(s.DeviationDeg)
	}
	return Tangent, FamilyOf(s.DeviationDeg)
}

// changes says in words what changes at a structure that must not hang in suspension: the conductor or its bundle, the phases of
// a transposition, or the tension of a slack span to a gantry.
func (n *Network) changes(line *Line, previous, i, next int) (what string, unstated Reason) {
	row := n.said(i)
	if row.Role == Transposition {
		return "the phases change places", NoReason
	}
	if previous >= 0 && next >= 0 {
		before, after := n.structures[previous].conductorAhead, n.structures[i].conductorAhead
		if before != after && before != 0 && after != 0 {
			return "the conductor changes from " + n.Project.Symbols.Text(before) + " to " + n.Project.Symbols.Text(after), NoReason
		}
		what, unstated = line.changesBundle(n.structures[previous].bundleAhead, n.structures[i].bundleAhead)
		if what != "" {
			return what, NoReason
		}
		if before != after {
			unstated = ConductorUnknown
		}
	}
	for _, beside := range [...]int{previous, next} {
		if beside >= 0 && n.said(beside).Role == Gantry && row.Role != Gantry {
			return "a slack span leads to a gantry", NoReason
		}
	}
	return "", unstated
}

// CutOff tells whether one of the structure's spans lies beyond the extract.
func (s *Structure) CutOff() bool {
	return s.Continues && (math.IsNaN(s.SpanBackM) || math.IsNaN(s.SpanAheadM))
}

// FindStructure finds a structure by the names of its line and its number; an *UnknownLine or *UnknownStructure
// otherwise.
func (n *Network) FindStructure(line, number string) (l, structure int, err error) {
	for l := range n.Lines {
		if n.Project.Symbols.Text(n.Lines[l].Symbol) != line {
			continue
		}
		for i := n.Lines[l].First; i < n.Lines[l].End; i++ {
			if bytes.Equal(n.Project.Texts.bytes(n.own(i).Number), []byte(number)) {
				return l, i, nil
			}
		}
		known := make([]string, 0, n.Lines[l].End-n.Lines[l].First)
		for i := n.Lines[l].First; i < n.Lines[l].End; i++ {
			known = append(known, n.Number(i))
		}
		return 0, 0, &UnknownStructure{Line: line, Number: number, Known: known}
	}
	return 0, 0, &UnknownLine{Name: line, Known: n.lineNames()}
}

// UnknownStructure is the error of a run that is asked for a structure the line does not have.
type UnknownStructure struct {
	Line, Number string
	Known        []string // the numbers that it has, in their order
}

func (e *UnknownStructure) Error() string {
	return fmt.Sprintf("structure %q is no structure of line %q", e.Number, e.Line)
}
