package read

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/paulmach/orb"
)

// structureInput is the section structures of the project file.
type structureInput struct {
	layer    string       // of GeoPackages
	crs      string       // of the positions
	encoding textEncoding // of the texts
	decimal  decimalSign  // of the numbers of tables of text
	fileList
	points  pointNames // of tables of points
	oneLine string     // that all structures are of; empty where it is not stated
	choice

	line, structure, sequence, groundM, attachmentM, duty, role, continues, conductorAhead, subconductorsAhead, deviationLimitDeg, longSpan, armLengthMM, wallDistanceMM, wallLean, bracketMM, wallSide, clearanceMM property
}

func newStructureInput() structureInput {
	return structureInput{
		line: called("line"), structure: called("structure"), sequence: called("sequence"), groundM: measured("ground_m", metres),
		attachmentM: measured("attachment_m", metres), duty: called("duty"), role: called("role"), continues: called("continues"),
		conductorAhead: called("conductor_ahead"), subconductorsAhead: called("subconductors_ahead"), deviationLimitDeg: measured("deviation_limit_deg", degrees), longSpan: called("long_span"),
		armLengthMM: measured("arm_length_mm", millimetres), wallDistanceMM: measured("wall_distance_mm", millimetres), wallLean: measured("wall_lean", slopes), bracketMM: measured("bracket_level_mm", millimetres), wallSide: called("wall_side"), clearanceMM: measured("clearance_mm", millimetres),
	}
}

func (s *structureInput) keys() section {
	return slices.Concat(s.fileList.keys(), section{
		{"layer", textKey(&s.layer)},
		{"crs", crsKey(&s.crs)},
		{"encoding", encodingKey(&s.encoding)},
		{"decimal", decimalKey(&s.decimal)},
		{"properties", append(section{
			{"line", propertyKey(&s.line)},
			{"structure", propertyKey(&s.structure)},
			{"sequence", propertyKey(&s.sequence)},
			{"ground_m", propertyKey(&s.groundM)},
			{"attachment_m", propertyKey(&s.attachmentM)},
			{"duty", propertyKey(&s.duty)},
			{"role", propertyKey(&s.role)},
			{"continues", propertyKey(&s.continues)},
			{"conductor_ahead", propertyKey(&s.conductorAhead)},
			{"subconductors_ahead", propertyKey(&s.subconductorsAhead)},
			{"deviation_limit_deg", propertyKey(&s.deviationLimitDeg)},
			{"long_span", propertyKey(&s.longSpan)},
			{"arm_length_mm", propertyKey(&s.armLengthMM)},
			{"wall_distance_mm", propertyKey(&s.wallDistanceMM)},
			{"wall_lean", propertyKey(&s.wallLean)},
			{"bracket_level_mm", propertyKey(&s.bracketMM)},
			{"wall_side", propertyKey(&s.wallSide)},
			{"clearance_mm", propertyKey(&s.clearanceMM)},
		}, s.points.keys()...).read},
		{"fixed", fixedLineKey(&s.oneLine)},
	}, s.choice.keys())
}

// structureReader reads the features of the structure files into rows.
type structureReader struct {
	layer
	names  *structureInput
	cases  []string // the load cases that figures may name
	extent orb.Bound
	duties words[audit.Duty]
	roles  words[audit.DeclaredRole]
	yesNo  words[bool]
	walls  words[audit.WallSide]

	heights   heights
	heightsOf map[audit.Symbol]*heights
	stepsOf   map[audit.Symbol]*steps // of lines in projected systems
}

// readStructures reads every structure file and returns where the structures are.
func readStructures(ctx context.Context, f *half, p *audit.Project) (extent, error) {
	names := f.structures // which each file may call otherwise
	r := structureReader{names: &names, cases: f.loadCases(), extent: nothing(), heightsOf: map[audit.Symbol]*heights{}, stepsOf: map[audit.Symbol]*steps{},
		duties: withHouse(newWords(declaredDutyWords(), moreDeclaredDutyWords()...), &f.words, dutyList),
		roles:  withHouse(newWords(audit.DeclaredRoleWords(), moreRoleWords()...), &f.words, roleList),
		yesNo:  withHouse(newWords(yesNoWords(), moreYesNoWords()...), &f.words, continuesList), walls: wallSides(&f.words)}
	r.layer = layer{project: p, section: "structures", name: f.structures.layer, crs: f.structures.crs, stated: f.structures.encoding, wanted: names.wanted(), choice: f.structures.choice, decimal: f.structures.decimal, pointNames: &names.points, fixedLine: f.structures.oneLine,
		expected: fmt.Sprintf("points with %s and %s", f.structures.line.name, f.structures.structure.name),
		kept:     func() int { return p.Structures.Len() }, each: r.feature,
		expect: p.Structures.Grow}
	err := r.read(ctx, f, &f.structures.fileList)
	r.doubtHeights()
	if err == nil {
		err = r.checkSteps()
	}
	return extent{r.extent, r.exchanged, r.eitherWay}, err
}

// nothing is a box around no position.
func nothing() orb.Bound {
	return orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
}

func (s *structureInput) wanted() []wantedProperty {
	return []wantedProperty{
		wantedProperty{key: "line", required: s.oneLine == ""}.of(&s.line, linePropertyNames()...),
		wantedProperty{key: "structure", required: true}.of(&s.structure, slices.Concat(structureNames, structureNamesAbroad())...),
		wantedProperty{key: "sequence"}.of(&s.sequence, "sequence no", "sequence number", "seq", "seq no"),
		wantedProperty{key: "ground_m"}.of(&s.groundM, append(groundNamesAbroad(), "ground", "ground level", "ground elevation", "elevation", "elev", "altitude")...),
		wantedProperty{key: "attachment_m"}.of(&s.attachmentM, "attachment", "attachment height"),
		wantedProperty{key: "duty"}.of(&s.duty),
		wantedProperty{key: "role"}.of(&s.role),
		wantedProperty{key: "continues"}.of(&s.continues),
		wantedProperty{key: "conductor_ahead"}.of(&s.conductorAhead),
		wantedProperty{key: "subconductors_ahead"}.of(&s.subconductorsAhead, "bundle ahead", "number of subconductors ahead", "conductors per phase ahead"),
		wantedProperty{key: "deviation_limit_deg"}.of(&s.deviationLimitDeg, "deviation limit"),
		wantedProperty{key: "long_span"}.of(&s.longSpan),
		wantedProperty{key: "arm_length_mm"}.of(&s.armLengthMM, append([]string{"arm length"}, armLengthNames...)...),
		wantedProperty{key: "wall_distance_mm"}.of(&s.wallDistanceMM, append([]string{"wall distance"}, wallDistanceNames...)...),
		wantedProperty{key: "wall_lean"}.of(&s.wallLean, "wall lean"),
		wantedProperty{key: "bracket_level_mm"}.of(&s.bracketMM, "bracket level"),
		wantedProperty{key: "wall_side"}.of(&s.wallSide, "wall side"),
		wantedProperty{key: "clearance_mm"}.of(&s.clearanceMM, append([]string{"clearance"}, clearanceNames...)...),
	}
}

// linePropertyNames are what layers call the line: what registers do.
func linePropertyNames() []string {
	return slices.Concat([]string{"line name", "name of line"}, lineNames, lineNamesAbroad())
}

// feature appends a row for each line the structure is on, or leaves the feature out and says why.
func (r *structureReader) feature(f *feature) error {
	at := r.source(f)
	if f.problem != "" {
		r.fault(at, audit.BadGeometry, "feature", f.kind, f.problem+"; it is left out")
		if f.parted { // the first columns, where line and number mostly stand, are read all the same
			line := cmp.Or(f.named(r.names.line.name, r.lineMeant), r.fixedLine)
			r.unplaced(f, []string{r.lineMeant(line)}, f.named(r.names.structure.name, r.house.number))
		}
		return nil
	}
	lines, linesFit := r.lines(f, r.names.line.name)
	number, numberFits := r.required(f, r.names.structure.name, r.house.number)
	place, placed := r.place(f)
	if !linesFit || !numberFits || !placed {
		if placed {
			r.project.LostStructures = append(r.project.LostStructures, orb.Point{place[0], place[1]})
			return nil
		}
		if !linesFit {
			lines = []string{""}
		}
		if !numberFits {
			number = ""
		}
		if r.fixedLine != "" || f.named(r.names.line.name, r.lineMeant) != "" || f.named(r.names.structure.name, r.house.number) != "" {
			r.unplaced(f, lines, number)
		}
		return nil
	}
	row := audit.StructureRow{Lon: place[0], Lat: place[1], Source: at}
	var err error
	if row.Number, err = r.project.Texts.Add(r.house.number(number)); err != nil {
		return err
	}
	r.figures(f, &row, place[2])
	_, _, stated := propertyNumber(f.property(r.names.groundM.name))
	r.heights.note(&row, !stated)
	r.declared(f, &row)
	r.bundle(f, &row)
	for _, line := range lines {
		row.Line = r.project.Symbols.Number(line)
		if r.heightsOf[row.Line] == nil {
			r.heightsOf[row.Line] = &heights{}
		}
		r.heightsOf[row.Line].note(&row, !stated)
		if f.placing.projected() {
			if r.stepsOf[row.Line] == nil {
				r.stepsOf[row.Line] = &steps{}
			}
			r.stepsOf[row.Line].note(&row)
		}
		r.project.Structures.Append(row)
	}
	return nil
}

// unplaced notes a structure whose position cannot be read, on each line that it names. One that says nothing is no structure that
// anybody could miss.
func (r *structureReader) unplaced(f *feature, lines []string, number string) {
	lost := audit.UnplacedStructure{Sequence: math.NaN()}
	if number != "" { // as the line has it
		lost.Number = r.house.number(number)
	}
	if sequence, isNumber, given := propertyNumber(f.property(r.names.sequence.name)); given && isNumber {
		lost.Sequence = sequence
	}
	for _, line := range lines {
		lost.Line = line
		r.project.UnplacedStructures = append(r.project.UnplacedStructures, lost)
	}
}

// says tells whether a property of a feature holds anything.
func (f *feature) says(name string) bool {
	text, plain := propertyText(f.property(name))
	return text != "" || !plain
}

// named is what a property of a feature holds where a name is expected; empty for a word for nothing.
func (f *feature) named(name string, meant func(text string) string) string {
	if text, _ := propertyText(f.property(name)); !namesNothing(text, meant) {
		return text
	}
	return ""
}

// place returns longitude, latitude and height, NaN where the point has none.
func (r *structureReader) place(f *feature) ([3]float64, bool) {
	at, placed := r.point(f)
	if placed {
		r.extent = r.extent.Extend(orb.Point{at[0], at[1]})
	}
	return at, placed
}

// figures reads the numbers of a structure. The ground level is the property, else the height of the point.
func (r *structureReader) figures(f *feature, row *audit.StructureRow, height float64) {
	row.GroundM = height
	stated := func(p property, field audit.Cell, low, high float64, to *float64) {
		raw := f.property(p.name)
		written, isNumber, given := propertyNumber(raw)
		if !given {
			return
		}
		value := written*p.in.factor + p.in.offset
		if isNumber && low <= value && value <= high {
			*to = value
			return
		}
		if text, _ := propertyText(raw); p.in.isUnread() {
			r.fault(row.Source, unreadUnit.kind, p.name, text, unreadUnit.expected)
		} else if isNumber {
			r.fault(row.Source, audit.OutOfRange, p.name, text, outOfRange(low, high, p.in).expected)
		} else {
			r.notANumber(f, p.name, text)
		}
		*to = math.NaN()
		row.Faulty = row.Faulty.With(field)
	}
	row.Sequence, row.AttachmentM, row.DeviationLimitDeg = math.NaN(), math.NaN(), math.NaN()
	stated(r.names.sequence, audit.CellSequence, -math.MaxFloat64, math.MaxFloat64, &row.Sequence)
	stated(r.names.groundM, audit.CellGround, lowestGroundM, highestGroundM, &row.GroundM)
	if basis.AreLevelsApart(row.GroundM, height) {
		r.project.Faults.Gather(audit.Fault{Kind: audit.Implausible, At: row.Source, Column: r.names.groundM.name, Value: strconv.FormatFloat(row.GroundM, 'f', -1, 64),
			Expected: fmt.Sprintf("is implausible beside %.10g m, the height of the point; neither is used", height)}, "height of the point")
		row.GroundM, row.Faulty = math.NaN(), row.Faulty.With(audit.CellGround)
	}
	stated(r.names.attachmentM, audit.CellAttachment, lowestAttachmentM, 500, &row.AttachmentM)
	stated(r.names.deviationLimitDeg, audit.CellDeviationLimit, 0, 180, &row.DeviationLimitDeg)
	room := audit.UnknownRoom()
	stated(r.names.armLengthMM, audit.CellLength, lowestRoomMM, highestRoomMM, &room.ArmLengthMM)
	stated(r.names.wallDistanceMM, audit.CellLength, lowestRoomMM, highestRoomMM, &room.WallDistanceMM)
	stated(r.names.wallLean, audit.CellLength, -1, 1, &room.WallLean)
	stated(r.names.bracketMM, audit.CellLength, -highestBracketMM, highestBracketMM, &room.BracketMM)
	r.word(f, row, r.names.wallSide, audit.CellLength, r.walls.into(&room.WallSide), r.walls.of, r.walls.list)
	r.clearance(f, row, &room)
	row.Room = r.project.AddRoom(room)
	if row.GroundM < lowestGroundM || row.GroundM > highestGroundM {
		r.fault(row.Source, audit.OutOfRange, "geometry", fmt.Sprint(height),
			fmt.Sprintf("is out of range as a height, expected %v to %v", lowestGroundM, highestGroundM))
		row.GroundM, row.Faulty = math.NaN(), row.Faulty.With(audit.CellGround)
	}
}

var unreadUnit = &trouble{kind: audit.NotANumber, expected: "is in a unit that is not known; nothing stands in for it"}

// clearance reads the clearance of a structure, of all load cases or by load case.
func (r *structureReader) clearance(f *feature, row *audit.StructureRow, room *audit.Room) {
	p := r.names.clearanceMM
	raw := f.property(p.name)
	text, plain := propertyText(raw)
	if text == "" && plain {
		return
	}
	t := notANumber
	if p.in.isUnread() {
		t = unreadUnit
	} else if plain {
		reader := caseReader{r.cases, millimetres, lowestClearanceMM, highestRoomMM}
		room.ClearanceMM, room.ClearancesMM, t = reader.figures(text, p.in)
	}
	if t != nil {
		if !r.isUntold(f, p.name) {
			r.fault(row.Source, t.kind, p.name, text, t.expected)
		}
		row.Faulty = row.Faulty.With(audit.CellLength)
	}
}

// bundle reads how many subconductors the span ahead carries.
func (r *structureReader) bundle(f *feature, row *audit.StructureRow) {
	p := r.names.subconductorsAhead
	raw := f.property(p.name)
	count, isNumber, given := propertyNumber(raw)
	if !given {
		return
	}
	text, _ := propertyText(raw)
	switch {
	case !isNumber:
		r.notANumber(f, p.name, text)
	case count != math.Trunc(count):
		r.fault(row.Source, audit.NotANumber, p.name, text, "is not a whole number")
	case count < 1 || count > mostSubconductors:
		r.fault(row.Source, audit.OutOfRange, p.name, text, outOfRange(1, mostSubconductors, p.in).expected)
	default:
		row.SubconductorsAhead = uint8(count)
		return
	}
	row.Faulty = row.Faulty.With(audit.CellStrings)
}

// word reads a word of a structure.
func (r *structureReader) word(f *feature, row *audit.StructureRow, p property, field audit.Cell, read func(string) bool, list, expected string) {
	text, isText := propertyText(f.property(p.name))
	if text != "" && (!isText || !read(text)) {
		r.unknownWord(row.Source, p.name, list, "is none of "+expected, text)
		row.Faulty = row.Faulty.With(field)
	}
}

// No land lies beyond these ground levels, in metres above sea level (common practice, rounded outwards).
const (
	lowestGroundM  = -500
	highestGroundM = 9000
)

// No conductor of a line hangs lower at its support (a choice of this program): a 0 there stands for a height that nobody knows.
const lowestAttachmentM = 2

// declared reads what the owner says of a structure.
func (r *structureReader) declared(f *feature, row *audit.StructureRow) {
	word := func(p property, field audit.Cell, read func(string) bool, list, expected string) {
		r.word(f, row, p, field, read, list, expected)
	}
	word(r.names.duty, audit.CellDeclared, r.duties.into(&row.Duty), r.duties.of, r.duties.list)
	word(r.names.role, audit.CellRole, r.roles.into(&row.Role), r.roles.of, r.roles.list)
	word(r.names.continues, audit.CellContinues, r.yesNo.into(&row.Continues), r.yesNo.of, r.yesNo.list)
	word(r.names.longSpan, audit.CellLimits, r.yesNo.into(&row.LongSpan), r.yesNo.of, r.yesNo.list)
	conductor, isText := propertyText(f.property(r.names.conductorAhead.name))
	if !isText {
		r.fault(row.Source, audit.UnknownWord, r.names.conductorAhead.name, conductor, "is neither text nor number")
		row.Faulty = row.Faulty.With(audit.CellConductor)
		return
	}
	row.ConductorAhead = r.project.Symbols.Number(r.house.text(conductorList, strings.TrimSpace(conductor)))
}
