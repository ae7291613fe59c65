package audit

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/geo"

	"github.com/paulmach/orb"
)

// Rows of one line, and features of one structure of a line, that stand more than once: what all of them say alike stands, what they
// say differently is unknown, whatever their order.

// field is one of those of a row that may stand twice.
type field[R any] struct {
	what  string
	cell  Cell
	text  func(*R) string // empty where it is not stated
	clear func(*R)
}

// merge makes unknown in a row what another of its name says otherwise than the first of them said it, and says in words what that is.
func merge[R any](fields []field[R], merged *R, faulty *Cells, first, later *R, firstFaulty, laterFaulty Cells) (d difference) {
	var found []string
	say := func(f *field[R], row *R, faulty Cells) string {
		switch text := f.text(row); {
		case text != "":
			return text
		case faulty.Has(f.cell):
			return "not readable"
		}
		return "blank"
	}
	for i := range fields {
		f := &fields[i]
		a, b := say(f, first, firstFaulty), say(f, later, laterFaulty)
		if a == b {
			continue
		}
		found = append(found, fmt.Sprintf("%s %s there, %s here", f.what, a, b))
		f.clear(merged)
		*faulty = faulty.With(f.cell)
		d.matters = d.matters || f.cell != CellRemarks
	}
	*faulty |= laterFaulty
	d.words = strings.Join(found, ", ")
	return d
}

// difference is how two rows of one name differ, and whether that matters to a verdict.
type difference struct {
	words   string
	matters bool
}

func figureField[R any](what string, cell Cell, at func(*R) *float64) field[R] {
	return field[R]{what, cell, func(r *R) string {
		if math.IsNaN(*at(r)) {
			return ""
		}
		return fmt.Sprintf("%.10g", *at(r)) // more digits come of units of measure
	}, func(r *R) { *at(r) = math.NaN() }}
}

// caseField is a figure that may be stated by load case.
func caseField[R any](what string, cell Cell, at func(*R) (rest *float64, named *[]CaseFigure)) field[R] {
	return field[R]{what, cell, func(r *R) string {
		rest, named := at(r)
		return CasesInWords(*rest, *named)
	}, func(r *R) {
		rest, named := at(r)
		*rest, *named = math.NaN(), nil
	}}
}

// wordField is a field whose zero value is that it is not stated.
func wordField[R any, V comparable](what string, cell Cell, at func(*R) *V, text func(V) string) field[R] {
	var unstated V
	return field[R]{what, cell, func(r *R) string {
		if *at(r) == unstated {
			return ""
		}
		return text(*at(r))
	}, func(r *R) { *at(r) = unstated }}
}

func countField[R any](what string, cell Cell, at func(*R) *int) field[R] {
	return field[R]{what, cell, func(r *R) string {
		if *at(r) < 0 {
			return ""
		}
		return fmt.Sprint(*at(r))
	}, func(r *R) { *at(r) = -1 }}
}

func yes(bool) string { return "yes" }

// lineFields are all fields of a row of the sheet Lines but its name.
func lineFields(p *Project) []field[LineRow] {
	type row = LineRow
	return []field[row]{
		wordField("name", CellRemarks, func(l *row) *Symbol { return &l.Name }, p.Symbols.Text),
		countField("circuits", CellCircuits, func(l *row) *int { return &l.Circuits }),
		wordField("phases", CellCircuits, func(l *row) *Phases { return &l.Phases }, Phases.String),
		wordField("system", CellVoltage, func(l *row) *System { return &l.System }, System.String),
		figureField("nominal voltage", CellVoltage, func(l *row) *float64 { return &l.NominalKV }),
		figureField("highest voltage", CellVoltage, func(l *row) *float64 { return &l.HighestKV }),
		figureField("creepage voltage", CellVoltage, func(l *row) *float64 { return &l.CreepageKV }),
		figureField("lightning level", CellTested, func(l *row) *float64 { return &l.LightningKV }),
		figureField("switching level", CellTested, func(l *row) *float64 { return &l.SwitchingKV }),
		wordField("conductor", CellConductor, func(l *row) *Symbol { return &l.Conductor }, p.Symbols.Text),
		countField("subconductors", CellStrings, func(l *row) *int { return &l.Subconductors }),
		figureField("maximum tension", CellTension, func(l *row) *float64 { return &l.MaximumTensionKN }),
		figureField("everyday tension", CellTension, func(l *row) *float64 { return &l.EverydayTensionKN }),
		figureField("everyday temperature", CellTension, func(l *row) *float64 { return &l.EverydayC }),
		figureField("cold tension", CellTension, func(l *row) *float64 { return &l.ColdTensionKN }),
		figureField("slip load", CellAttachment, func(l *row) *float64 { return &l.SlipKN }),
		figureField("deviation limit", CellDeviationLimit, func(l *row) *float64 { return &l.DeviationLimitDeg }),
		caseField("swing limit", CellLimits, func(l *row) (*float64, *[]CaseFigure) { return &l.SwingLimitDeg, &l.SwingLimitsDeg }),
		figureField("arm length", CellLength, func(l *row) *float64 { return &l.Room.ArmLengthMM }),
		figureField("wall distance", CellLength, func(l *row) *float64 { return &l.Room.WallDistanceMM }),
		figureField("wall lean", CellLength, func(l *row) *float64 { return &l.Room.WallLean }),
		figureField("bracket level", CellLength, func(l *row) *float64 { return &l.Room.BracketMM }),
		wordField("wall side", CellLength, func(l *row) *WallSide { return &l.Room.WallSide }, WallSide.String),
		caseField("clearance", CellLength, func(l *row) (*float64, *[]CaseFigure) { return &l.Room.ClearanceMM, &l.Room.ClearancesMM }),
		figureField("fittings", CellLength, func(l *row) *float64 { return &l.FittingsMM }),
		figureField("clamp rating", LineFittings[Clamp], func(l *row) *float64 { return &l.FittingsKN[Clamp] }),
		figureField("yoke rating", LineFittings[Yoke], func(l *row) *float64 { return &l.FittingsKN[Yoke] }),
		figureField("ball and socket rating", LineFittings[BallAndSocket], func(l *row) *float64 { return &l.FittingsKN[BallAndSocket] }),
		figureField("section limit", CellSequence, func(l *row) *float64 { return &l.SectionLimitKM }),
		figureField("longest string", CellUnitsPerString, func(l *row) *float64 { return &l.LongestStringMM }),
		figureField("capacitance ratio", CellCoupling, func(l *row) *float64 { return &l.CapacitanceRatio }),
		{"superseded figures", CellDeclared, func(l *row) string { return l.Superseded.String() }, func(*row) {}}, // of which what either names counts
	}
}

// structureFields are all fields of a structure but its line, its number and its position.
func structureFields(p *Project) []field[StructureRow] {
	type row = StructureRow
	return []field[row]{
		figureField("sequence", CellSequence, func(s *row) *float64 { return &s.Sequence }),
		figureField("ground level", CellGround, func(s *row) *float64 { return &s.GroundM }),
		figureField("attachment height", CellAttachment, func(s *row) *float64 { return &s.AttachmentM }),
		figureField("deviation limit", CellDeviationLimit, func(s *row) *float64 { return &s.DeviationLimitDeg }),
		wordField("conductor ahead", CellConductor, func(s *row) *Symbol { return &s.ConductorAhead }, p.Symbols.Text),
		wordField("subconductors ahead", CellStrings, func(s *row) *uint8 { return &s.SubconductorsAhead }, func(n uint8) string { return fmt.Sprint(n) }),
		wordField("duty", CellDeclared, func(s *row) *Duty { return &s.Duty }, Duty.String),
		wordField("role", CellRole, func(s *row) *DeclaredRole { return &s.Role }, func(r DeclaredRole) string { return declaredRoleNames[r] }),
		wordField("continues", CellContinues, func(s *row) *bool { return &s.Continues }, yes),
		wordField("room of the string", CellLength, func(s *row) *uint32 { return &s.Room }, p.roomInWords),
		wordField("long span", CellLimits, func(s *row) *bool { return &s.LongSpan }, yes),
	}
}

// sheetLines is what the sheet Lines says.
type sheetLines struct {
	rows      map[Symbol]LineRow
	somewhere Superseded // on a line without a row
}

// of is what the sheet says of a line.
func (s *sheetLines) of(p *Project, line Symbol) LineRow {
	row, stated := s.rows[line]
	if !stated {
		row = UnknownLineRow()
		row.Superseded = s.somewhere
		if p.LinesUnnamed {
			row.Faulty = EveryCell
		}
	}
	return row
}

// lineRows finds for each line what the sheet Lines says of it, and what is superseded on a line without a row. A row of no line is a
// fault.
func (n *Network) lineRows() *sheetLines {
	p := n.Project
	known := map[Symbol]bool{}
	for i := range p.Structures.Len() {
		known[p.Structures.ownOf(uint32(i)).Line] = true
	}
	fields := lineFields(p)
	rows := map[Symbol]LineRow{}
	first := map[Symbol]int{}
	alikes := lookAlikes{n: n}
	for i := range p.Lines {
		row := &p.Lines[i]
		name := p.Symbols.Text(row.Line)
		if f, twice := first[row.Line]; twice {
			merged := rows[row.Line]
			how := merge(fields, &merged, &merged.Faulty, &p.Lines[f], row, p.Lines[f].Faulty, row.Faulty)
			merged.Superseded |= row.Superseded
			rows[row.Line] = merged
			p.addTwice("Line", name, "stands in "+p.rowInWords(p.Lines[f].Source, row.Source)+" too", row.Source, how)
			continue
		}
		first[row.Line], rows[row.Line] = i, *row
		if !known[row.Line] {
			p.Faults.Add(Fault{Kind: NoSuchLine, At: row.Source, Column: "Line", Value: name, Asks: OpenWord{"Line", name},
				Expected: "is no line of the structures" + n.ambiguousLines[row.Line] + alikes.of(nowhere, name)})
		}
	}
	return &sheetLines{rows, p.SupersededSomewhere(func(name Symbol) bool { return known[name] })}
}

// addTwice records that a name stands in an earlier row too, and how the two differ.
func (p *Project) addTwice(column, name, twice string, at Source, d difference) {
	fault := Fault{Kind: DuplicateRow, At: at, Column: column, Value: name, Weight: ByTheWay, Expected: twice + ", which says the same"}
	if d.words != "" {
		fault.Expected = twice + ", which differs: " + d.words + "; which is right is not known, and nothing is judged by what differs"
	}
	if d.matters {
		fault.Weight = Matters
	}
	p.Faults.Add(fault)
}

// joinTwice takes the structures of one line that stand more than once for one each, and returns the rows that remain. A structure
// that stands at several places is left out, as one whose position cannot be read: neither where it stands is known, nor which of them
// a row of the register means.
func (n *Network) joinTwice(rows []uint32) []uint32 {
	p := n.Project
	number := func(row uint32) []byte { return p.Texts.bytes(p.Structures.ownOf(row).Number) }
	rise := 1
	for rise < len(rows) && naturalCompare(number(rows[rise-1]), number(rows[rise])) < 0 {
		rise++
	}
	if rise >= len(rows) { // none stands twice
		return rows
	}
	n.byNumber = append(n.byNumber[:0], rows...)
	slices.SortFunc(n.byNumber, func(a, b uint32) int { return cmp.Or(bytes.Compare(number(a), number(b)), cmp.Compare(a, b)) })
	var gone map[uint32]bool
	for all := n.byNumber; len(all) > 0; {
		same := 1
		for same < len(all) && bytes.Equal(number(all[same]), number(all[0])) {
			same++
		}
		if same > 1 {
			if gone == nil {
				gone = map[uint32]bool{}
			}
			for _, row := range n.joinSame(all[:same]) {
				gone[row] = true
			}
		}
		all = all[same:]
	}
	if len(gone) == 0 {
		return rows
	}
	return slices.DeleteFunc(rows, func(row uint32) bool { return gone[row] })
}

// joinSame takes rows of one line and number, in the order of the inputs, for one structure, and returns those that are left out.
func (n *Network) joinSame(rows []uint32) (gone []uint32) {
	p := n.Project
	first := p.Structures.Row(int(rows[0]))
	number, line := p.Texts.Get(first.Number), p.Symbols.Text(first.Line)
	at := func(row uint32) orb.Point { return p.Structures.place(row) }
	onePlace := !slices.ContainsFunc(rows, func(row uint32) bool { return !geo.Within(at(rows[0]), at(row), repeatedWithinM) })
	twice := func(row *StructureRow, what string) string {
		return fmt.Sprintf("of line %q stands in %s too, %s", line, p.rowInWords(first.Source, row.Source), what)
	}
	if onePlace {
		fields, was := structureFields(p), *first
		for _, row := range rows[1:] {
			later := p.Structures.At(int(row))
			how := merge(fields, first, &first.Faulty, &was, &later, was.Faulty, later.Faulty)
			p.addTwice("structure", number, twice(&later, "at the same place"), later.Source, how)
			if cmp.Or(cmp.Compare(later.Lon, first.Lon), cmp.Compare(later.Lat, first.Lat)) < 0 { // whatever their order
				first.Lon, first.Lat = later.Lon, later.Lat
			}
		}
		return rows[1:]
	}
	for i, row := range rows {
		later := p.Structures.At(int(row))
		n.unplaced = append(n.unplaced, UnplacedStructure{Line: line, Number: number, Sequence: later.Sequence})
		if i == 0 {
			continue
		}
		p.Faults.Add(Fault{Kind: RepeatedNumber, At: later.Source, Column: "structure", Value: number,
			Expected: twice(&later, fmt.Sprintf("%.3g m away; where it stands is not known, and it is left out", geo.Inverse(at(rows[0]), at(row)).LengthM))})
	}
	return rows
}
