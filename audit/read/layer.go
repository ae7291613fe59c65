package read

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"
)

// layer is one section of the project file whose features become rows: structures, routes, zones, crossings or places.
type layer struct {
	project    *audit.Project
	section    string // key in the project file
	name       string // of the layer in a GeoPackage; empty where the project file gives none
	crs        string // the system of its positions; empty where the project file gives none
	stated     textEncoding
	decimal    decimalSign // of tables of text
	expected   string      // what a feature has to be, for messages
	wanted     []wantedProperty
	choice     // which features are read, and what of them is carried through
	mayBeEmpty bool
	fixedLine  string      // that every feature is of, as the project file says; empty where it says none
	pointNames *pointNames // the columns of coordinates that the project file names; nil where it cannot

	// keepsDoubtful tells that a feature is kept of which it cannot be told whether it is chosen: it may ask for more than others.
	keepsDoubtful bool
	idle          bool // nothing rests on the layer: what is wrong with it is by the way, and told once for all features that have it

	kept   func() int     // rows so far
	expect func(rows int) // makes room for so many more; may be nil
	each   func(*feature) error
	house  *houseWords

	longTexts longTexts // of what is carried through

	lineRead  []byte   // the line of the last feature that names one, as it stands there
	linesRead []string // the same as it is meant

	list *fileList

	// of the file being read
	listed      string // as the list has it
	table       uint16
	format      string // in words
	positions   positionCount
	properties  propertyNames
	outsider    orb.Point
	at          *feature
	placing     *placing
	notes       []string           // on its format
	coordinates []UnderstoodColumn // of a table of points
	coarse      string             // what is assumed of a table of points whose coordinates have few digits
	pointsAt    [2]string          // the headings of the coordinates of a table of points
	wrong       error              // with a table of points that was read to its end
	unordered   bool               // which do not say which is the easting
	encoding    string             // of its texts, where they alone tell it

	exchanged orb.Bound       // around the positions of the projected files, easting and northing exchanged
	eitherWay []eitherDegrees // tables of points in degrees that do not say which is the longitude, by themselves
}

// read reads every file of the section.
func (l *layer) read(ctx context.Context, f *half, list *fileList) error {
	l.exchanged, l.house, l.list = nothing(), &f.words, list
	var trouble problems
	for _, name := range list.files {
		if trouble.stop(l.file(ctx, f, name)) {
			break
		}
	}
	return trouble.err()
}

// enoughFeatures is how many features tell how many a file has: so many that what is read ahead of them counts little.
const enoughFeatures = 20_000

func (l *layer) file(ctx context.Context, f *half, name string) (err error) {
	if unfound := l.list.unfound[name]; unfound != nil {
		return unfound
	}
	l.listed = name
	name, member := archiveMember(name)
	in, err := f.open(ctx, name)
	if err != nil {
		return err
	}
	defer in.close()
	l.notes, l.coordinates, l.encoding, l.wrong = nil, nil, "", nil
	l.table = l.project.AddTable(audit.Table{File: name, OfQuery: in.query != ""})
	if in.query != "" {
		l.project.Faults.KeepKeys(l.keyAt)
		defer l.project.Faults.KeepKeys(nil)
	}
	l.positions, l.properties = positionCount{}, newPropertyNames(l.wanted, l.choice)
	l.pointsAt = [2]string{}
	defer func() { err = l.withColumns(err) }()
	if l.placing, err = newPlacing(name, l.section, l.crs); err != nil {
		l.findColumns(f, in)
		return err
	}
	before := l.kept()
	count := 0
	defer func() { f.understood = append(f.understood, l.account(count)) }()
	balance := &l.project.Tables[l.table].Balance
	each := func(feature *feature) error {
		l.at = feature
		if feature.problem == "" || feature.parted {
			l.properties.note(feature)
		}
		if feature.problem == "" {
			var chosen bool
			var err error
			if chosen, feature.doubtful, err = l.chosen(feature); err != nil {
				return err
			}
			if !chosen {
				balance.Read++
				balance.PassedOver++
				return nil
			}
		}
		feature.placing, l.placing.row = l.placing, feature.number
		rows := l.kept()
		err := l.each(feature)
		balance.Read++
		if balance.Read == enoughFeatures && l.expect != nil {
			l.expect(in.moreLike(l.kept() - before))
		}
		if l.kept() > rows {
			balance.Used++
			err = cmp.Or(err, l.carryThrough(feature))
		} else {
			balance.LeftOut++
		}
		return err
	}
	if !in.isTable() && !in.isPointBook() && !in.isParquet() && in.query == "" {
		if err := cmp.Or(l.pointNames.refuse(name, l.section), l.decimal.refuse(name, l.section)); err != nil {
			return err
		}
	} else if l.pointNames != nil {
		if err := l.pointNames.fit(l.placing); err != nil {
			return err
		}
	}
	switch table := &l.project.Tables[l.table]; {
	case in.isGeoPackage():
		l.format = "GeoPackage"
		if l.stated.given() {
			return noEncoding(name, l.section, "a GeoPackage", "its texts are in UTF-8 by its standard")
		}
		count, table.Sheet, err = readPackage(ctx, in, l.placing, l.name, l.section, each)
	case in.query != "":
		switch {
		case l.stated.given():
			return noEncoding(name, l.section, "a query", "the server says it")
		case l.name != "":
			return &InputError{File: name, Message: "is a query, which has no layers", Hint: "take out layer under " + l.section}
		case in.stream.HasGeometry():
			count, err = l.readQuery(in, each)
		default:
			count, err = l.readPoints(f, in, each)
		}
	case in.isPointBook():
		if l.stated.given() {
			return noEncoding(name, l.section, "a workbook", "it states the encoding of its texts itself")
		}
		count, err = l.readPoints(f, in, each)
	case l.name != "":
		err = &InputError{File: name, Message: fmt.Sprintf("is no GeoPackage, expected one with the layer %q", l.name), Hint: "take out layer under " + l.section}
	case in.isParquet():
		if l.stated.given() {
			return noEncoding(name, l.section, "in Parquet", "its texts are in UTF-8 by its standard")
		}
		count, err = l.readPoints(f, in, each)
	case in.isArchive() || member != "":
		l.format, l.properties.cuts = "shapefile in a zip archive", true
		count, table.Sheet, err = l.readArchive(in, member, each)
	case in.isShapefile():
		l.format, l.properties.cuts = "shapefile", true
		count, err = l.readShapefile(f, in, each)
	case in.isTable():
		count, err = l.readPoints(f, in, each)
	default:
		l.format = "GeoJSON"
		count, err = readFeatures(in, l.placing, l.stated, each)
		l.noteText(in.text)
	}
	switch {
	case err != nil:
		return err
	case count == 0 && l.list.from[l.listed] != "": // one that is to be empty need not be found
		return emptyPart(name, l.list.from[l.listed], "features")
	case count == 0 && l.mayBeEmpty:
		return l.finish(in)
	case count == 0:
		return &InputError{File: name, Message: "holds no features", Hint: filterHintOf(in)}
	}
	if err := l.checkChoice(name); err != nil {
		return err
	}
	if l.wrong != nil { // after what it lacks, which may be why
		var trouble problems
		trouble.add(l.checkProperties(name))
		trouble.add(l.wrong)
		return trouble.err()
	}
	if balance.PassedOver == count {
		return &InputError{File: name, Message: fmt.Sprintf("none of its %d features has a value that the project file names under only", count),
			Hint: "see that the values stand under only as they do in the file"}
	}
	if err := l.positions.check(name, l.section, l.outsider); err != nil {
		return err
	}
	if err := l.placing.check(); err != nil {
		return err
	}
	l.faultsOfUse()
	l.exchanged = l.exchanged.Union(l.placing.exchanged())
	if err := l.checkProperties(name); err != nil {
		return err
	}
	if l.kept() == before {
		return &InputError{File: name, Message: fmt.Sprintf("none of its %d features can be used, expected %s", count, l.expected),
			Hint: l.firstFault(name)}
	}
	return l.finish(in)
}

// checkProperties refuses a file none of whose features has a property that is needed, and says no more of each that it has none.
func (l *layer) checkProperties(name string) error {
	err := l.properties.check(name, l.section)
	if err != nil {
		for _, missing := range l.properties.missing {
			l.project.Faults.Withdraw(l.table, missing)
		}
	}
	return err
}

// finish adds the file to the inputs of the project, with the system of its positions.
func (l *layer) finish(in *input) error {
	if err := in.finish(l.project); err != nil {
		return err
	}
	l.list.noteInput(l.project, l.listed, l.section)
	read := &l.project.Inputs[len(l.project.Inputs)-1]
	read.Encoding, read.Assumed = l.encoding, l.properties.assumed(in.name)
	if l.coarse != "" {
		read.Assumed = append(read.Assumed, l.coarse)
	}
	if s := l.placing.system; s.code != wgs84 {
		read.System, read.DatumM = s.String(), s.datumM
	}
	return nil
}

// account tells how the file that was read was understood.
func (l *layer) account(count int) Understanding {
	columns, ignored := l.properties.account()
	notes := slices.Concat(l.list.notes[l.listed], l.placing.understood(), l.notes, l.properties.shortened)
	if l.properties.cut {
		notes = append(notes, fmt.Sprintf("of the properties that are not used %d are listed; there are more", mostNames))
	}
	if l.fixedLine != "" {
		notes = append(notes, fmt.Sprintf("line is %q of every feature, as the project file says", l.fixedLine))
	}
	if n := l.project.Tables[l.table].PassedOver; n > 0 {
		notes = append(notes, fmt.Sprintf("features passed over, as the project file says under only: %d", n))
	}
	return Understanding{Table: l.project.Tables[l.table], Number: l.table, Section: l.section, Format: l.format, Rows: count, Columns: append(l.coordinates, columns...), Ignored: ignored, Notes: notes}
}

// filterHintOf helps against an input without features.
func filterHintOf(in *input) string {
	if in.query != "" {
		return "see that the query is not filtered to nothing, and that its role may see the rows"
	}
	return filterHint
}

const filterHint = "export the layer again, and see that it is not filtered to nothing"

// firstFault says what is wrong with the first feature of a file none of whose features can be used.
func (l *layer) firstFault(name string) string {
	for _, fault := range l.project.Faults.List() {
		if fault.At.Table == l.table {
			return fmt.Sprintf("of feature %d the %s", fault.At.Row, fault.Message())
		}
	}
	return "see that " + name + " is the file meant under " + l.section
}

func (l *layer) source(f *feature) audit.Source { return audit.Source{Table: l.table, Row: f.number} }

func (l *layer) fault(at audit.Source, kind audit.FaultKind, column, value, expected string) {
	fault := audit.Fault{Kind: kind, At: at, Column: column, Value: strings.Clone(excerpt(value)), Expected: expected}
	if l.idle {
		fault.Weight = audit.ByTheWay
		l.project.Faults.Gather(fault, expected)
		return
	}
	l.project.Faults.Add(fault)
}

// unknownWord records a word of a list that nobody knows: one fault for all features that have it.
func (l *layer) unknownWord(at audit.Source, column, list, expected, text string) {
	t := unknownWord(list, expected, text)
	l.project.Faults.Gather(audit.Fault{Kind: t.kind, At: at, Column: column, Value: strings.Clone(excerpt(text)), Expected: t.expected, Asks: t.asks}, t.gathered)
}

// leftOut says of a feature that cannot be used what is wrong with it.
func (l *layer) leftOut(f *feature, kind audit.FaultKind, column, value, expected string) {
	l.fault(l.source(f), kind, column, value, expected+"; the feature is left out")
}

// noteDimensions says of a geometry whose positions have more than longitude, latitude and height that the rest is not
// read. RFC 7946 lets a reader ignore it; nothing is ignored in silence.
func (l *layer) noteDimensions(f *feature, shape geom.T) {
	if shape.Stride() > 3 {
		l.project.Faults.Add(audit.Fault{Kind: audit.BadGeometry, At: l.source(f), Column: "geometry", Value: kindOfShape(shape), Weight: audit.ByTheWay,
			Expected: "has positions of more than three coordinates; those beyond the height are not read"})
	}
}

// required returns a name without which the feature cannot be used; meant is what the house takes it for.
func (l *layer) required(f *feature, name string, meant func(text string) string) (string, bool) {
	text, ok := propertyText(f.property(name))
	switch {
	case !ok:
		l.leftOut(f, audit.UnknownWord, name, text, "is neither text nor number")
	case text == "":
		l.leftOut(f, audit.MissingValue, name, "", "is blank")
	case len(text) > longestName:
		l.leftOut(f, audit.OutOfRange, name, text, fmt.Sprintf("is out of range, expected no more than %d characters", longestName))
		return "", false
	case namesNothing(text, meant):
		l.leftOut(f, audit.MissingValue, name, text, "is a word for nothing and no name")
		return "", false
	}
	return text, ok && text != ""
}

// namesNothing tells whether a text where a name is expected is a word for nothing, such as ? or n/a, and the house takes it for no name.
func namesNothing(text string, meant func(text string) string) bool {
	return nothingIn(text) != saysSomething && meant(text) == text
}

// lineMeant is the line that the house takes a text for.
func (l *layer) lineMeant(text string) string { return l.house.text(lineList, text) }

// lines returns the lines of a feature, whose property may be one or a list. They are not to be changed.
func (l *layer) lines(f *feature, name string) ([]string, bool) {
	if l.fixedLine != "" {
		return l.lineOf(f, name)
	}
	raw := f.property(name)
	switch {
	case len(raw) > 0 && bytes.Equal(raw, l.lineRead):
		return l.linesRead, true
	case len(raw) == 0 || raw[0] != '[':
		line, ok := l.required(f, name, l.lineMeant)
		lines := []string{l.lineMeant(line)}
		if ok {
			l.lineRead, l.linesRead = append(l.lineRead[:0], raw...), lines
		}
		return lines, ok
	}
	listed, ok := propertyTexts(raw)
	if !ok {
		l.leftOut(f, audit.UnknownWord, name, string(raw), "is no list of lines")
		return nil, false
	}
	lines := listed[:0]
	for _, line := range listed {
		if line == "" {
			l.fault(l.source(f), audit.MissingValue, name, "", "has a blank entry, which is left out")
			continue
		}
		if namesNothing(line, l.lineMeant) {
			l.fault(l.source(f), audit.MissingValue, name, line, "is a word for nothing and no name; this entry of the list is left out")
			continue
		}
		lines = append(lines, l.lineMeant(line))
	}
	return lines, len(lines) > 0
}

// notePositions counts a feature of many positions as one: the first that is out of range, else any.
func (l *layer) notePositions(shape geom.T) {
	if _, is := shape.(*geom.GeometryCollection); is {
		return // it has no positions of its own
	}
	flat, stride := shape.FlatCoords(), shape.Stride()
	for i := 0; i+1 < len(flat); i += stride {
		if !inRange(flat[i], flat[i+1]) {
			l.outsider = orb.Point{flat[i], flat[i+1]}
			l.positions.note(flat[i], flat[i+1])
			return
		}
	}
	l.positions.note(0, 0)
}
