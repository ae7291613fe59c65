package audit

import (
	"crypto/sha256"
	"encoding/hex"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// Rests says on what kinds of figures a check rests; 0 is on any. A figure that was stated when something fell short and is blank later was
// lost, so that what stands in for it clears nothing.
type Rests uint16

// The kinds.
const (
	RestsOnCreepage Rests = 1 << iota
	RestsOnLength
	RestsOnRating
	RestsOnWithstand
	RestsOnLoad
	RestsOnCourse // which spans meet there, what they carry, and what hangs there by that
	RestsOnMake   // what the units of a string are
	RestsOnFitting
	RestsOnRings   // grading rings
	RestsOnRoom    // how far the body or a wall is, and how near it a conductor may come
	RestsOnSwing   // how far a string may swing
	RestsOnLongest // how long strings may be
	RestsOnSection // how long sections may be
	RestsOnMaker   // what hangs at a structure: its types, makes, materials and days of installation
	RestsOnAge     // how old that is, and when it was inspected
	restsOnAny     = ^Rests(0)

	restsOnLevel = RestsOnLoad | RestsOnWithstand | RestsOnCreepage
)

// Figures is a set of the figures that a row states, by their places in one of the tables below.
type Figures uint32

// statedFigure is one that a row may state: as the note of an exception has it, as people know it, and on which kinds of it checks rest.
// Letters are permanent, since a later run reads what an earlier one noted.
type statedFigure struct {
	letter byte
	name   string
	of     Rests
}

// Of a unit and of a conductor the names are the headings of their columns.
var (
	unitFigures = []statedFigure{
		{'k', "Kind", restsOnAny}, {'R', "Rating", RestsOnRating}, {'c', "Cantilever", RestsOnRating}, {'x', "Compression", RestsOnRating},
		{'P', "Spacing", RestsOnLength | RestsOnLoad}, {'C', "Creepage", RestsOnCreepage}, {'d', "Diameter", RestsOnCreepage | RestsOnLoad | RestsOnWithstand},
		{'v', "Average diameter", RestsOnCreepage}, {'w', "Weight", RestsOnLoad}, {'a', "Wind area", RestsOnLoad}, {'u', "Coupling", RestsOnMake},
		{'D', "Dry", RestsOnWithstand}, {'W', "Wet", RestsOnWithstand}, {'L', "Lightning", RestsOnWithstand}, {'I', "Lightning withstand", RestsOnWithstand},
		{'T', "Wet withstand", RestsOnWithstand}, {'p', "Puncture", RestsOnWithstand}, {'A', "Arcing", RestsOnWithstand}, {'s', "Wet switching withstand", RestsOnWithstand},
		{'M', "Material", RestsOnRating},
	}
	conductorFigures = []statedFigure{
		{'m', "Mass", RestsOnLoad}, {'d', "Diameter", RestsOnLoad}, {'s', "Rated strength", RestsOnLoad}, {'A', "Area", RestsOnLoad},
		{'M', "Modulus", RestsOnLoad}, {'E', "Expansion", RestsOnLoad},
	}
	// What a row of assemblies says of the whole string, which goes where another string hangs, and of its place.
	rowFigures = []statedFigure{
		{'C', "Creepage", RestsOnCreepage | RestsOnMake}, {'R', "Rating", RestsOnRating}, {'L', "Length", RestsOnLength | RestsOnLoad}, {'A', "Arcing", RestsOnWithstand},
		{'I', "Lightning withstand", RestsOnWithstand}, {'S', "Switching withstand", RestsOnWithstand}, {'W', "Wet withstand", RestsOnWithstand},
		{'u', "Unit", restsOnAny}, {'n', "Units per string", restsOnAny}, {'d', "Duty", restsOnAny}, {'v', "V angle", RestsOnLoad}, {'s', "Slip load", RestsOnLoad},
		{'w', "Wet switching withstand", RestsOnWithstand},
		{'c', "Clamp rating", RestsOnFitting}, {'y', "Yoke rating", RestsOnFitting}, {'b', "Ball and socket rating", RestsOnFitting},
		{'g', "Grading rings", RestsOnRings}, {'m', "Mounting", RestsOnRating}, {'i', "Installed", RestsOnRating | RestsOnFitting},
		{'a', "Arcing", RestsOnWithstand}, // of the string itself, not of horns
	}
	hangingFigures = []statedFigure{
		{'u', "Unit", RestsOnMaker | RestsOnAge}, {'m', "Make", RestsOnMaker}, {'M', "Material", RestsOnMaker | RestsOnAge}, {'i', "Installed", RestsOnMaker | RestsOnAge},
		{'I', "Inspected", RestsOnAge},
	}
	structureFigures = []statedFigure{
		{'r', "role", RestsOnCourse | RestsOnLoad}, {'k', "continues", RestsOnCourse}, {'D', "duty", RestsOnCourse}, {'a', "attachment height", RestsOnLoad},
		{'g', "ground level", restsOnLevel}, {'c', "conductor ahead", RestsOnCourse | RestsOnLoad}, {'b', "subconductors ahead", RestsOnCourse | RestsOnLoad},
		{'z', "ground level", restsOnLevel}, {'G', "ground level", restsOnLevel &^ RestsOnLoad}, // of a raster, and stated, as earlier versions noted it beside rasters
		{'A', "arm length", RestsOnRoom},
	}
	lineFigures = []statedFigure{
		{'V', "Nominal voltage", restsOnAny}, {'i', "Lightning level", RestsOnWithstand}, {'s', "Switching level", RestsOnWithstand}, {'T', "Maximum tension", RestsOnLoad},
		{'e', "Everyday tension", RestsOnLoad}, {'E', "Everyday temperature", RestsOnLoad}, {'k', "Cold tension", RestsOnLoad}, {'f', "Fittings length", RestsOnLoad},
		{'r', "Capacitance ratio", RestsOnWithstand | RestsOnRating | RestsOnMake}, {'c', "Conductor", RestsOnCourse | RestsOnLoad},
		{'l', "Slip load", RestsOnLoad},
		{'p', "Clamp rating", RestsOnFitting}, {'y', "Yoke rating", RestsOnFitting}, {'b', "Ball and socket rating", RestsOnFitting},
		{'w', "Wall distance", RestsOnRoom}, {'a', "Arm length", RestsOnRoom}, {'C', "Clearance", RestsOnRoom}, {'S', "Swing limit", RestsOnSwing},
		{'L', "Longest string", RestsOnLongest}, {'q', "Section limit", RestsOnSection},
	}
)

// stringFigures are those of rowFigures that are of the whole string. Horns stay where the string between them gets another count of units, and so
// does the weakest part of a string.
const (
	stringFigures     Figures = 1<<7 - 1 | 1<<12 | installedFigure | ownArcingFigure
	figuresOfAnyCount Figures = ratingFigure | arcingFigure
	ratingFigure      Figures = 1 << 1
	arcingFigure      Figures = 1 << 3 // of horns, or whatever it is of where ownArcingFigure is told apart
	ownArcingFigure   Figures = 1 << 19
)

// Some of the others.
const (
	materialFigure  Figures = 1 << 19 // of unitFigures
	vAngleFigure    Figures = 1 << 10 // of rowFigures
	mountingFigure  Figures = 1 << 17
	installedFigure Figures = 1 << 18
	lineArmFigure   Figures = 1 << 15 // of lineFigures
	clearanceFigure Figures = 1 << 16
	swingFigure     Figures = 1 << 17
	caseSwingFigure Figures = 1 << 3 // of caseFigures
)

// Some of structureFigures.
const (
	roleFigure         Figures = 1 << 0
	heightFigures      Figures = 1<<3 | groundFigure | rasterFigure
	groundFigure       Figures = 1 << 4
	conductorFigure    Figures = 1 << 5
	subconductorFigure Figures = 1 << 6
	rasterFigure       Figures = 1 << 7
	besideRasterFigure Figures = 1 << 8
	armFigure          Figures = 1 << 9

	every = ^Figures(0)
)

func setOf(is ...bool) (set Figures) {
	for k, stated := range is {
		if stated {
			set |= 1 << k
		}
	}
	return set
}

// UnitFigure and ConductorFigure are the figure that a column of their sheet states; 0 where no check rests on it.
func UnitFigure(heading string) Figures      { return figureNamed(unitFigures, heading) }
func ConductorFigure(heading string) Figures { return figureNamed(conductorFigures, heading) }

func figureNamed(table []statedFigure, name string) Figures {
	for k := range table {
		if table[k].name == name {
			return 1 << k
		}
	}
	return 0
}

// FiguresOf is one of the sets that go with rows; rows beyond the last state nothing.
func FiguresOf(sets []Figures, i int) Figures {
	if i < len(sets) {
		return sets[i]
	}
	return 0
}

// WithFiguresOf returns the sets with that of row i put in.
func WithFiguresOf(sets []Figures, i int, set Figures) []Figures {
	if i >= len(sets) {
		sets = append(sets, make([]Figures, i+1-len(sets))...)
	}
	sets[i] = set
	return sets
}

func isKnown(figure float64) bool { return !math.IsNaN(figure) }

func (p *Project) statedByRow(row *AssemblyRow) Figures {
	d := p.directOf(row)
	return setOf(isKnown(d.CreepageMM), isKnown(d.RatingKN), isKnown(d.LengthMM), isKnown(d.ArcingMM), isKnown(d.LightningKV), isKnown(d.SwitchingKV), isKnown(d.WetKV),
		row.Makeup > 0, row.UnitsPerString >= 0, row.Duty != DutyUnknown, row.VAngleDeg > 0, isKnown(d.SlipKN), isKnown(d.WetSwitchingKV),
		isKnown(d.FittingsKN[Clamp]), isKnown(d.FittingsKN[Yoke]), isKnown(d.FittingsKN[BallAndSocket]), row.Rings != RingsUnknown,
		row.Mounting != MountingUnknown, row.Installed != NoDay, isKnown(d.ArcingMM))
}

func unreadByRow(row *AssemblyRow) Figures {
	f := row.Faulty
	return setOf(f.Has(CellCreepage), f.Has(CellRating), f.Has(CellLength), f.Has(CellArcing), f.Has(CellTested), f.Has(CellLimits), f.Has(CellTestedWet),
		f.Has(CellUnit), f.Has(CellUnitsPerString), f.Has(CellDuty), false, f.Has(CellAttachment), f.Has(CellLimits),
		f.Has(CellMounting), f.Has(CellMounting), f.Has(CellMounting), f.Has(CellMounting),
		f.Has(CellMounting), f.Has(CellRemarks), false)
}

// statedByStructure is what a structure states. A level that is known from a raster is not stated; one that is stated may stand where a raster's stood.
func (p *Project) statedByStructure(s *StructureRow) Figures {
	known := isKnown(s.GroundM)
	stated := known && s.Terrain == 0
	return setOf(s.Role != 0, s.Continues, s.Duty != DutyUnknown, isKnown(s.AttachmentM), stated, s.ConductorAhead != 0 && !s.Faulty.Has(CellConductor), s.SubconductorsAhead != 0, known, stated,
		isStated(p.roomOf(s).ArmLengthMM))
}

// LevelFromRaster tells whether a check rests on a ground level that a raster gives: of the structure or, where it rests on the rise of spans, of
// those beside it.
func (r *Result) LevelFromRaster(check int, at *Location) bool {
	kind := r.restsOf(check)
	if at.Structure < 0 || !r.levelIn(kind, at) {
		return false
	}
	n, line := r.Network, &r.Network.Lines[at.Line]
	from := []int{at.Structure}
	if kind&RestsOnLoad != 0 {
		from = append(from, n.previous(line, at.Structure), n.next(line, at.Structure))
	}
	return slices.ContainsFunc(from, func(i int) bool { return i >= 0 && n.said(i).Terrain != 0 })
}

// levelIn tells whether what rests on some kinds of figures may rest on ground levels.
func (r *Result) levelIn(kind Rests, at *Location) bool {
	return kind&restsOnLevel&^RestsOnCreepage != 0 || kind&RestsOnCreepage != 0 && r.criteria(at.Line).CreepageAltitudeExponent.Value != 0
}

// Rasters tells the rasters that ground levels may be from, in their order; empty where there are none.
func (r *Result) Rasters() string {
	r.telling.Do(func() {
		var contents []string
		for i := range r.Project.Inputs {
			if r.Project.Inputs[i].Section == "terrain" {
				contents = append(contents, r.Project.Inputs[i].SHA256)
			}
		}
		r.rasters = RastersOf(contents)
	})
	return r.rasters
}

// rastersDigits is the length of what tells rasters: 48 bits of a hash.
const rastersDigits = 12

// RastersOf tells rasters by the hashes of their contents; empty for none.
func RastersOf(contents []string) string {
	if len(contents) == 0 {
		return ""
	}
	sum := sha256.Sum256([]byte(strings.Join(contents, " ")))
	return hex.EncodeToString(sum[:])[:rastersDigits]
}

// RastersThen is what Rasters was when RestsOn noted something, empty where no level was from one. A note of a version of the program that
// noted no rasters does not tell it where a level was.
func RastersThen(rests string) (rasters string, told bool) {
	told = true
	for part := range strings.FieldsSeq(rests) {
		subject, letters, _ := strings.Cut(part, ":")
		switch subject, name, _ := strings.Cut(subject, "/"); subject {
		case noteOfRasters:
			return name, true
		case noteOfHere, noteOfStructure:
			told = told && strings.IndexByte(letters, 'z') < 0
		}
	}
	return "", told
}

// noteStructure notes what a structure states, and whether a raster gives its level.
func (r *Result) noteStructure(n *note, subject, name string, i int, only Figures) {
	row := r.Network.row(i)
	set := r.Project.statedByStructure(&row) & only &^ besideRasterFigure
	if row.Terrain == 0 {
		set &^= rasterFigure
	}
	n.add(subject, name, set)
}

func statedByLine(l *LineRow) Figures {
	return setOf(isKnown(l.NominalKV), isKnown(l.LightningKV), isKnown(l.SwitchingKV), isKnown(l.MaximumTensionKN), isKnown(l.EverydayTensionKN), isKnown(l.EverydayC),
		isKnown(l.ColdTensionKN), isKnown(l.FittingsMM), isKnown(l.CapacitanceRatio), l.Conductor != 0 && !l.Faulty.Has(CellConductor), isKnown(l.SlipKN),
		isKnown(l.FittingsKN[Clamp]), isKnown(l.FittingsKN[Yoke]), isKnown(l.FittingsKN[BallAndSocket]), isKnown(l.Room.WallDistanceMM),
		isStated(l.Room.ArmLengthMM), isStated(l.Room.ClearanceMM), isStated(l.SwingLimitDeg), isKnown(l.LongestStringMM), isKnown(l.SectionLimitKM))
}

// restingOn are the figures of a set that are of a kind.
func restingOn(table []statedFigure, set Figures, kind Rests) (of Figures) {
	for k := range table {
		if table[k].of&kind != 0 {
			of |= 1 << k
		}
	}
	return of & set
}

// The subjects of a note. Each stands with what it is called, where it has a name, and the letters of what it states.
const (
	noteOfRow       = "row"
	noteOfUnit      = "unit"
	noteOfConductor = "conductor"
	noteOfHere      = "here"
	noteOfStructure = "structure" // another one
	noteOfHanging   = "hanging"   // rows there; stands with how many of them state it
	noteOfLine      = "line"
	noteOfCase      = "case"    // a load case of the criteria
	noteUnread      = "unread"  // what the row states and nobody could read then
	noteRead        = "read"    // what nobody could read later
	noteOfRasters   = "rasters" // that ground levels may be from; stands with what tells them and no letters
)

// noteLost stands before what was lost and is not stated yet, so that the runs that follow know it too.
const noteLost = '!'

var noteTables = map[string][]statedFigure{noteOfRow: rowFigures, noteOfUnit: unitFigures, noteOfConductor: conductorFigures,
	noteOfHere: structureFigures, noteOfStructure: structureFigures, noteOfHanging: hangingFigures, noteOfLine: lineFigures, noteOfCase: caseFigures, noteUnread: rowFigures, noteRead: rowFigures}

// note is what is noted of the figures that something rests on.
type note struct {
	text []byte
	kind Rests
}

func (n *note) add(subject, name string, set Figures) {
	table := noteTables[subject]
	if set = restingOn(table, set, n.kind); set == 0 {
		return
	}
	n.begin(subject, name)
	for k := range table {
		if set&(1<<k) != 0 {
			n.text = append(n.text, table[k].letter)
		}
	}
}

// begin begins what is noted of a subject.
func (n *note) begin(subject, name string) {
	if len(n.text) > 0 {
		n.text = append(n.text, ' ')
	}
	n.text = append(n.text, subject...)
	if name != "" {
		n.text = append(append(n.text, '/'), url.QueryEscape(name)...)
	}
	n.text = append(n.text, ':')
}

// RestsOn notes, names only, which figures are stated of what a check looks at: of its row, its units, the conductors of its spans, its
// structure and those beside it, and its line. See Unstated.
func (r *Result) RestsOn(check int, at *Location) string {
	n := note{kind: r.restsOf(check)}
	p := r.Project
	if at.Assembly >= 0 {
		row := p.Assemblies.At(at.Assembly)
		ofRow, ofUnits := r.goneBy(&row, at.Line)
		stated, hanging := p.statedByRow(&row)&ofRow, ""
		if n.kind&RestsOnWithstand != 0 && stated&arcingFigure != 0 {
			stated &^= r.otherArcing(at.Assembly)
		}
		if restingOn(rowFigures, stated&stringFigures, n.kind) != 0 {
			hanging = p.hanging(&row)
		}
		n.add(noteOfRow, hanging, stated)
		n.add(noteUnread, "", unreadByRow(&row)&ofRow)
		for i, part := range p.Makeups[row.Makeup].Parts {
			if i == 0 || part.Unit != p.Makeups[row.Makeup].Parts[0].Unit {
				n.add(noteOfUnit, p.Units[part.Unit].Name, FiguresOf(p.UnitsStated, part.Unit)&ofUnits)
			}
		}
	}
	if at.Structure >= 0 {
		only := every
		if !r.levelIn(n.kind, at) {
			only = ^(groundFigure | rasterFigure)
		}
		r.noteStructure(&n, noteOfHere, "", at.Structure, only)
		if rasters := r.Rasters(); rasters != "" && only == every {
			n.begin(noteOfRasters, rasters)
		}
	}
	if n.kind&(RestsOnLoad|RestsOnCourse) != 0 {
		r.noteSpans(&n, at)
	}
	if r.Checks[check].Of == OfStructure && n.kind&(RestsOnMaker|RestsOnAge) != 0 {
		r.noteHanging(&n, at.Structure)
	}
	n.add(noteOfLine, "", statedByLine(&r.Network.Lines[at.Line].Row))
	if n.kind&(RestsOnRoom|RestsOnSwing) != 0 {
		r.noteCases(&n, at)
	}
	return string(n.text)
}

// otherArcing is which of the two figures of an arcing distance a row does not state where it states one.
func (r *Result) otherArcing(row int) Figures {
	if a := r.Network.Assembly(uint32(row)); a.ArcsAlongUnits() {
		return arcingFigure
	}
	return ownArcingFigure
}

// goneBy are the figures of a row and of its units that checks go by: by when it was installed and what units are made of only where a factor is
// for that, or units are defective, and by an angle or a mounting only where a V set or a pin or post may be there.
func (r *Result) goneBy(row *AssemblyRow, line int) (ofRow, ofUnits Figures) {
	ofRow, ofUnits = every, every
	factors := &r.criteria(line).InsulatorFactor
	if !factors.asksInstalled() {
		ofRow &^= installedFigure
	}
	if !factors.asksMaterial() && row.Defective <= 0 && len(r.Project.Observed) == 0 {
		ofUnits &^= materialFigure
	}
	if row.Arrangement != ArrangementUnknown && row.Arrangement != VSet {
		ofRow &^= vAngleFigure
	}
	if !row.mayStandAsPost() {
		ofRow &^= mountingFigure
	}
	return ofRow, ofUnits
}

func (r *Result) restsOf(check int) Rests {
	if kind := r.Checks[check].Rests; kind != 0 {
		return kind
	}
	return restsOnAny
}

// hanging says what a string is: its units and their number.
func (p *Project) hanging(row *AssemblyRow) string {
	parts := p.Makeups[row.Makeup].Parts
	text := ""
	for _, part := range parts {
		count := part.Count
		if count == 0 {
			count = int(row.UnitsPerString)
		}
		text += strconv.Itoa(count) + "x" + p.Units[part.Unit].Name + "+"
	}
	return strings.TrimSuffix(text, "+")
}

// noteSpans notes what is stated at the structures beside a place and of what its spans carry.
func (r *Result) noteSpans(n *note, at *Location) {
	network, line := r.Network, &r.Network.Lines[at.Line]
	if at.To >= 0 {
		r.noteStructure(n, noteOfStructure, valid(network.Number(at.To)), at.To, roleFigure)
	}
	if at.Structure < 0 || at.To >= 0 {
		return
	}
	previous, next := network.previous(line, at.Structure), network.next(line, at.Structure)
	for _, beside := range [...]int{previous, next} {
		if beside >= 0 {
			r.noteStructure(n, noteOfStructure, valid(network.Number(beside)), beside, roleFigure|heightFigures)
		}
	}
	noted := [2]int{nowhere, nowhere}
	var conductors [2]Symbol
	for k, i := range [...]int{previous, at.Structure} {
		if i < 0 {
			continue
		}
		for f, figure := range [...]Figures{conductorFigure, subconductorFigure} {
			by := network.statedAlong(line, i, figure)
			if by >= 0 && by != at.Structure && by != noted[f] {
				n.add(noteOfStructure, valid(network.Number(by)), figure)
			}
			noted[f] = by
		}
		conductors[k] = network.structures[i].conductorAhead
	}
	for k, conductor := range conductors {
		if i, is := network.conductors[conductor]; is && conductor != 0 && (k == 0 || conductor != conductors[0]) {
			n.add(noteOfConductor, r.Project.Conductors[i].Name, FiguresOf(r.Project.ConductorsStated, int(i)))
		}
	}
}

// statedAlong is the structure that says what the span ahead of one carries, −1 where the line does.
func (n *Network) statedAlong(line *Line, i int, figure Figures) int {
	for ; i >= line.First; i-- {
		row := n.said(i) // two members are looked at, since long lines are walked for each exception
		if figure == conductorFigure && row.ConductorAhead != 0 && !row.Faulty.Has(CellConductor) || figure == subconductorFigure && row.SubconductorsAhead != 0 {
			return i
		}
	}
	return nowhere
}
