package read

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/read/parquet"

	"github.com/goccy/go-yaml/ast"
	"github.com/twpayne/go-geom"
)

// inspectionInput is the section inspections of the project file: one entry, or a list of them.
type inspectionInput struct {
	entries []inspectionEntry
	withinM float64
}

// inspectionEntry names files as an entry of the register does; layers may have a name and a system of positions.
type inspectionEntry struct {
	registerEntry
	layer, crs string
}

// nearestWithinM is how far from a structure an observation may be to be proposed for it where the project file does not say (a choice of this
// program).
const nearestWithinM = 50

const inspectionsHint = "write inspections: {file: inspections.csv}, or a list of such entries, or with a database and a query in place of the file"

// read reads one entry or a list of entries.
func (in *inspectionInput) read(name string, node ast.Node) *ProjectFileError {
	entries, problem := entriesOf(name, node, inspectionsHint)
	if problem != nil {
		return problem
	}
	for _, at := range entries {
		e := inspectionEntry{registerEntry: registerEntry{section: inspectionsKey}}
		if problem := e.keys(&in.withinM).read(name, at); problem != nil {
			return problem
		}
		if len(e.files) == 0 && e.sql == "" {
			return wrong(at, inspectionsHint, "an entry of %s names no file", name)
		}
		in.entries = append(in.entries, e)
	}
	return nil
}

func (e *inspectionEntry) keys(withinM *float64) section {
	own := slices.DeleteFunc(e.registerEntry.keys(nil), func(k key) bool { return slices.Contains([]string{"as", "schedule_only", "fill_down"}, k.name) })
	return append(own, section{{"layer", textKey(&e.layer)}, {"crs", crsKey(&e.crs)}, {"within_m", floatKey(withinM, 0.1, 10_000)}}...)
}

// files lists the files of every entry.
func (in *inspectionInput) files() (files []string) {
	for i := range in.entries {
		files = append(files, in.entries[i].files...)
	}
	return files
}

// reading is what the section says of how its files are to be read; nothing where there are none, as before inspections.
func (in *inspectionInput) reading(b *strings.Builder) {
	if len(in.entries) > 0 {
		fmt.Fprintf(b, "inspections within %g\n", in.withinM)
	}
	for i := range in.entries {
		e := &in.entries[i]
		fmt.Fprintf(b, "entry %q %q %q\n", e.files, e.layer, e.crs)
		e.registerEntry.reading(b)
	}
}

// inspectionReader reads the files of inspections: tables as the sheets of a register are read, and layers of points, whose properties are read
// as the cells of such a table.
type inspectionReader struct {
	*register
	unread audit.InspectionCells // of the row at hand
}

// readInspections reads every file of inspections.
func readInspections(ctx context.Context, f *half, p *audit.Project) error {
	if len(f.inspections.entries) == 0 {
		return nil
	}
	p.Inspections = &audit.Inspections{WithinM: f.inspections.withinM}
	if p.Inspections.WithinM == 0 {
		p.Inspections.WithinM = nearestWithinM
	}
	own := *f.projectFile // in which the tables of inspections stand in the place of the register
	own.register = registerInput{}
	for i := range f.inspections.entries {
		own.register.entries = append(own.register.entries, f.inspections.entries[i].registerEntry)
	}
	h := half{projectFile: &own, mergedFirst: true}
	r := &inspectionReader{register: &register{half: &h, project: p, rowsRead: map[string]int{}}}
	defer func() { f.understood = append(f.understood, h.understood...) }()
	var trouble problems
	for i := range own.register.entries {
		e := &own.register.entries[i]
		for _, name := range e.files {
			if trouble.stop(r.file(ctx, &f.inspections.entries[i], e, name)) {
				return trouble.err()
			}
		}
		if trouble.err() == nil && r.isWhole(e) {
			trouble.add(ofInspections(errors.Join(r.checkNamed(e), r.checkDirect(e), r.checkFixedSomewhere(e))))
		}
	}
	if trouble.err() == nil && r.centuryTaken {
		p.DatesTaken = append(p.DatesTaken, fmt.Sprintf("Years of two digits in dates of inspections are taken for %d to %d (common practice).", 1900+lastOf2000s+1, 2000+lastOf2000s))
	}
	return trouble.err()
}

// ofInspections words an error of a table for the section that it stands under.
func ofInspections(err error) error {
	var input *InputError
	if errors.As(err, &input) {
		input.Message = strings.ReplaceAll(input.Message, "under register", "under "+inspectionsKey)
		input.Hint = strings.ReplaceAll(input.Hint, "under register", "under "+inspectionsKey)
	}
	return err
}

// file reads one file.
func (r *inspectionReader) file(ctx context.Context, stated *inspectionEntry, e *registerEntry, name string) (err error) {
	if unfound := e.unfound[name]; unfound != nil {
		return unfound
	}
	isLayer, err := r.isLayer(ctx, name)
	if err != nil {
		return err
	}
	if isLayer {
		return r.points(ctx, stated, name)
	}
	if stated.layer != "" || stated.crs != "" {
		return &InputError{File: name, Message: "is a table, which has neither layer nor crs", Hint: "take them out; the columns Longitude and Latitude are in WGS 84"}
	}
	w, err := openWorkbook(ctx, r.half, r.project, e, name)
	if w != nil {
		r.workbooks = append(r.workbooks, w)
		defer func() { err = ofInspections(errors.Join(err, w.close())) }()
		w.unusable = err != nil
	}
	if err != nil {
		return err
	}
	if len(w.sheets) == 0 && !w.isIgnored() && !w.takeOnly(r.project) {
		return &InputError{File: name, Message: fmt.Sprintf("has no sheet %q; the sheets there are %s", inspectionsSheet, quotedList(w.list)),
			Hint: fmt.Sprintf("say which it is under %s in the project file: sheets: {%q: %s}", inspectionsKey, w.list[0], inspectionsSheet)}
	}
	r.from1904 = w.from1904
	err = readSheets(ctx, r.register, w, sheet[audit.Inspection]{
		name: inspectionsSheet, columns: inspectionColumns(r.register), blank: audit.UnknownInspection,
		faulty: func(*audit.Inspection) *audit.Cells { return new(audit.Cells) }, // which note tells apart
		note:   func(_ audit.Source, heading string) { r.noteUnread(heading) },
		keep: func(i *audit.Inspection, at audit.Source) {
			i.Source = at
			r.keep(i)
		},
	})
	return errors.Join(err, w.held.unchanged(), w.noteHash(r.project))
}

// takeOnly takes the only sheet of a workbook, whatever its name, and tells whether there is but one.
func (w *workbook) takeOnly(p *audit.Project) bool {
	if len(w.list) != 1 {
		return false
	}
	w.sheets[inspectionsSheet] = []foundSheet{{actual: w.list[0], table: p.AddTable(audit.Table{File: w.name, Sheet: w.list[0], Kind: inspectionsSheet}), fixed: w.entry.fixed, headings: headingsOf(w.entry, &sheetUse{})}}
	return true
}

// noteUnread notes a cell of the row at hand that cannot be read.
func (r *inspectionReader) noteUnread(heading string) {
	if cell, matters := inspectionCells[heading]; matters {
		r.unread = r.unread.With(cell)
	}
}

// keep keeps a row.
func (r *inspectionReader) keep(i *audit.Inspection) {
	i.Unread, r.unread = r.unread, 0
	r.project.Inspections.Rows = append(r.project.Inspections.Rows, *i)
}

// isLayer tells whether a file is a layer of points, and no table.
func (r *inspectionReader) isLayer(ctx context.Context, name string) (is bool, err error) {
	if name == standardInput {
		return false, nil
	}
	plain, member := archiveMember(name)
	if member != "" {
		return true, nil
	}
	in, err := r.open(ctx, plain)
	if err != nil {
		return false, err
	}
	defer in.close()
	switch {
	case in.query != "":
		return in.stream.HasGeometry(), nil
	case in.isGeoPackage(), in.isShapefile(), in.isArchive() && !isWorkbook(name, nil) && !isBook(in):
		return true, nil
	case in.isParquet():
		content, err := in.held(true)
		if err != nil {
			return false, err
		}
		defer func() { err = errors.Join(err, content.close()) }()
		file, err := parquet.Open(content.file, content.size)
		if err != nil {
			return false, parquetProblem(name, err)
		}
		return file.Geometry() != nil, nil
	}
	head := bytes.TrimLeft(bytes.TrimPrefix(in.head, []byte("\xef\xbb\xbf")), " \t\r\n")
	return len(head) > 0 && (head[0] == '{' || head[0] == '[' || head[0] == 0x1e), nil
}

// isBook tells whether an archive is a workbook by its name.
func isBook(in *input) bool {
	return !strings.HasSuffix(in.plainName(), ".zip") && !strings.HasSuffix(in.plainName(), ".shz")
}

// points reads a layer of points.
func (r *inspectionReader) points(ctx context.Context, e *inspectionEntry, name string) error {
	columns := inspectionColumns(r.register)
	l := layer{project: r.project, section: inspectionsKey, name: e.layer, crs: e.crs, stated: e.encoding, decimal: e.decimal, choice: e.choice,
		expected: "points with the property " + brokenHeading, kept: func() int { return len(r.project.Inspections.Rows) }, mayBeEmpty: true}
	called := make([]property, len(columns))
	stated := e.stated(inspectionsSheet, foundSheet{fixed: e.fixed})
	for i, c := range columns {
		called[i] = measured(c.heading, c.measure)
		if mapped, is := stated.mapped[c.heading]; is {
			called[i] = mapped.property
			called[i].measure, called[i].stated = c.measure, true
		}
		l.wanted = append(l.wanted, wantedProperty{key: c.heading, required: c.required && stated.fixedOf(c.heading) == "", idle: c.field == audit.CellRemarks}.of(&called[i], c.synonyms...))
	}
	l.each = func(f *feature) error { return r.feature(&l, f, columns, called, &stated) }
	one := fileList{queryInput: e.queryInput, asStated: []string{name}, files: []string{name}, from: e.from, notes: e.notes}
	return l.read(ctx, r.half, &one)
}

// feature keeps what a feature says. It stays without a position where that cannot be read, as its keys may tell where it belongs.
func (r *inspectionReader) feature(l *layer, f *feature, columns []column[audit.Inspection], called []property, stated *stated) error {
	if f.problem != "" {
		l.leftOut(f, audit.BadGeometry, "feature", f.kind, f.problem)
		return nil
	}
	i := audit.UnknownInspection()
	i.Source = l.source(f)
	for k := range columns {
		c := &columns[k]
		text, isText := propertyText(f.property(called[k].name))
		p := placed[audit.Inspection]{column: c, in: called[k].in, heading: called[k].name}
		if text == "" && isText {
			if text = stated.fixedOf(c.heading); text == "" {
				continue
			}
			p.in = p.ofFixed()
		}
		var t *trouble
		switch {
		case !isText:
			t = &trouble{kind: audit.UnknownWord, expected: "is neither text nor number"}
		case f.doubtful && c.field != audit.CellCircuits:
			r.noteUnread(c.heading)
			continue
		default:
			var read bool
			if t, read = p.nothing(&i, text); !read {
				if t = p.read(&i, text); t != nil {
					t = p.otherwise(&i, text, t)
				}
			}
		}
		if t != nil {
			r.trouble(audit.Fault{At: i.Source, Column: called[k].name, Value: text, Weight: c.weight()}, t)
			r.noteUnread(c.heading)
		}
	}
	r.position(l, f, &i)
	r.keep(&i)
	return r.failed
}

// position takes where a feature stands, in the place of what its properties say.
func (r *inspectionReader) position(l *layer, f *feature, i *audit.Inspection) {
	if at, _, ok := f.placedPosition(); ok && inRange(at[0], at[1]) {
		l.positions.note(at[0], at[1])
		i.Lon, i.Lat = at[0], at[1]
		return
	}
	shape, err := f.placedShape()
	if point, is := shape.(*geom.Point); err == nil && is && inRange(point.X(), point.Y()) {
		l.positions.note(point.X(), point.Y())
		i.Lon, i.Lat = point.X(), point.Y()
		return
	}
	i.Lon, i.Lat = math.NaN(), math.NaN()
	if !errors.Is(err, errEmpty) {
		said := "is no point of longitude and latitude; the observation has no position"
		l.project.Faults.Gather(audit.Fault{Kind: audit.BadGeometry, At: i.Source, Column: "geometry", Value: excerpt(string(f.geometry)), Expected: said, Weight: audit.ByTheWay}, said)
	}
}
