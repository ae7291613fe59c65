package read

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/database"
	jsontext "dryarc/audit/read/json"
	"dryarc/audit/read/postgres"
	"dryarc/audit/read/xlsx"

	"github.com/goccy/go-yaml/ast"
)

// queryInput is a query whose rows a section of the project file, or an entry of the register, has in place of files.
type queryInput struct {
	database *string // settings as package database has them; nil where none is stated
	sql      string
}

const (
	databaseHint = `write database: "" for the one that the usual variables name (PGSERVICE, PGHOST, PGDATABASE …), its name, or settings such as service=gis, and the query beside it`
	queryHint    = `write the query in quotes, with its database: {database: "", query: "select line, structure, geom from towers order by line, seq"}`
)

// databaseKey reads the settings of a connection.
func databaseKey(to **string) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, ok := asWritten(node)
		if !ok {
			return wrong(node, databaseHint, "%s is no text", name)
		}
		if err := database.Check(text); err != nil { // which is not to be quoted
			return wrong(node, databaseHint, "%s %v", name, err)
		}
		*to = &text
		return nil
	}
}

func (q *queryInput) readQuery(name string, node ast.Node) *ProjectFileError {
	text, ok := asWritten(node)
	switch {
	case !ok || text == "":
		return wrong(node, queryHint, "%s is no text", name)
	case database.HasSecret(text):
		return wrong(node, queryHint, "%s has a password, which would stand in the outputs", name)
	}
	q.sql = text
	return nil
}

// nameQueries gives every query a name, by which it stands among the files.
func (f *projectFile) nameQueries() *ProjectFileError {
	f.queries, f.databases = map[string]queryInput{}, postgres.Open()
	for i, list := range f.lists() {
		q, of := list.queryInput, f.sectionOf(i)
		switch {
		case q.database == nil && q.sql == "":
			continue
		case q.database == nil:
			return &ProjectFileError{Message: of + " has a query and names no database", Hint: databaseHint}
		case q.sql == "":
			return &ProjectFileError{Message: of + " names a database and has no query", Hint: queryHint}
		case len(list.asStated) > 0 || len(list.without) > 0:
			return &ProjectFileError{Message: of + " names files and a query, expected one of the two", Hint: "write the query in an entry, or a section, of its own"}
		}
		if first := len(f.lists()) - len(f.register.entries); i >= first {
			entry := &f.register.entries[i-first]
			if of = entry.as; of == "" {
				return &ProjectFileError{Message: "a query of the register does not say which sheet its rows are, expected as", Hint: `{database: "", query: "select …", as: Assemblies}`}
			}
		}
		for name, other := range f.queries {
			if strings.HasPrefix(name, "query "+of) && *other.database == *q.database && other.sql == q.sql {
				return &ProjectFileError{Message: fmt.Sprintf("has one query twice for %s, expected each once", of), Hint: "take one of the two out"}
			}
		}
		name := "query " + of
		for n := 2; f.queries[name].sql != ""; n++ {
			name = fmt.Sprintf("query %s %d", of, n)
		}
		f.queries[name], f.queryOrder = q, append(f.queryOrder, name)
		list.asStated, list.files = []string{name}, []string{name}
	}
	for i := range f.register.entries {
		entry := &f.register.entries[i]
		switch {
		case entry.as != "" && entry.sql == "":
			return &ProjectFileError{Message: "an entry of register says as without a query", Hint: "write under sheets what the sheets of its files are"}
		case entry.as != "" && len(entry.sheets) > 0:
			return &ProjectFileError{Message: "an entry of register has a query and sheets, expected as alone", Hint: `{database: "", query: "select …", as: Assemblies}`}
		case entry.as != "":
			entry.sheets = []sheetUse{{name: entry.files[0], kind: entry.as}}
		}
	}
	return nil
}

// holdDatabases holds every database that queries read as it stands, before anything is read, and notes where that is at several moments.
func (f *projectFile) holdDatabases(ctx context.Context) error {
	var trouble problems
	tried := map[string]bool{}
	var of [][]string // queries of each database
	for _, name := range f.queryOrder {
		settings := *f.queries[name].database
		if tried[settings] && trouble.err() != nil {
			continue // its error is told of the first
		}
		tried[settings] = true
		number, err := f.databases.Hold(ctx, settings)
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if err != nil {
			trouble.add(&InputError{File: name, Message: err.Error(), Err: err, Hint: connectionHint})
			continue
		}
		if number > len(of) {
			of = append(of, nil)
		}
		of[number-1] = append(of[number-1], name)
	}
	if len(of) > 1 {
		var each []string
		for _, names := range of {
			each = append(each, strings.Join(names, ", "))
		}
		f.moments = fmt.Sprintf("Queries read %d databases, each as it stood at a moment of its own, so that what was changed in between may be seen in one and not in another: %s.", len(of), strings.Join(each, "; "))
	}
	return trouble.err()
}

// open opens an input that the project file names: a file, or the rows of a query.
func (f *half) open(ctx context.Context, name string) (*input, error) {
	q, is := f.queries[name]
	if !is {
		return f.projectFile.open(ctx, name)
	}
	in := &input{ctx: ctx, name: name, query: q.sql, most: f.largestUnpacked, hash: sha256.New(), once: true}
	stream, err := f.databases.Query(ctx, *q.database, q.sql)
	if err != nil {
		return nil, in.problem(err)
	}
	in.file, in.stream = stream, stream
	in.body = rawInput{in}
	return in, nil
}

const connectionHint = "see that the server runs and answers, that the settings of the connection are right, and that the role may connect"

// queryProblem words what is wrong with a query.
func queryProblem(name string, err error) error {
	hint := "see that the query runs in another program, and that the role may read what it names"
	switch {
	case database.Lost(err):
		hint = connectionHint
	case database.TimedOut(err):
		hint = "the role or the database may be set to less time than the query needs; this sets it for the run: PGOPTIONS='-c statement_timeout=1h -c lock_timeout=5min'"
	case !database.IsProblem(err): // it says what helps
		hint = "put the query right in the project file"
	}
	return &InputError{File: name, Message: err.Error(), Err: err, Hint: hint}
}

// queryTable is the rows of a query as one sheet, whose headings are the names of its columns.
type queryTable struct {
	content *held
	sql     string
}

func (t *queryTable) rows(ctx context.Context, _ string) (rows, error) {
	from, err := postgres.Read(io.NewSectionReader(t.content.file, 0, t.content.size))
	if err != nil {
		return nil, queryProblem(t.content.name, err)
	}
	return &queryRows{ctx: ctx, name: t.content.name, sql: t.sql, size: t.content.size, from: from}, nil
}

func (t *queryTable) merged(context.Context, string) []xlsx.Area { return nil }

func (t *queryTable) mergedAcross(context.Context, string, uint32) []xlsx.Across { return nil }

func (t *queryTable) unpacked(string) uint64 { return 0 }

func (t *queryTable) close() error { return nil }

// queryRows are the names of the columns as row 0, then the rows of the query.
type queryRows struct {
	ctx   context.Context
	name  string
	sql   string
	size  int64
	from  *postgres.Rows
	begun bool
}

func (r *queryRows) next(to *row) (bool, error) {
	*to = row{cells: to.cells[:0]}
	if !r.begun {
		r.begun = true
		for _, column := range r.from.Columns() {
			to.cells = append(to.cells, column.Name)
		}
		return true, nil
	}
	if r.from.Number%1024 == 0 && r.ctx.Err() != nil {
		return false, r.ctx.Err()
	}
	more, err := r.from.Next()
	switch {
	case err != nil:
		return false, queryProblem(r.name, err)
	case !more:
		return false, nil
	case r.from.Number > math.MaxUint32:
		return false, queryProblem(r.name, fmt.Errorf("returns more than %d rows", math.MaxUint32))
	}
	to.number, to.cells = uint32(r.from.Number), append(to.cells, r.from.Cells...)
	for i, column := range r.from.Columns() {
		if column.Kind == postgres.Unread {
			to.cells[i] = "unreadable: " + column.Why
		}
	}
	return true, nil
}

func (r *queryRows) merged() []xlsx.Area { return nil }

func (r *queryRows) format(int) string { return "" }

func (r *queryRows) isNumber(column int) bool {
	columns := r.from.Columns()
	return column < len(columns) && columns[column].Kind == postgres.Number
}

func (r *queryRows) damage() error { return nil }

func (r *queryRows) close() {}

// refuse refuses a query one of whose columns that are read holds what is not read.
func (r *queryRows) refuse(index int) error {
	columns := r.from.Columns()
	if index < 0 || index >= len(columns) {
		return nil
	}
	return refuseQueryColumn(r.name, &columns[index])
}

func refuseQueryColumn(name string, c *postgres.Column) error {
	if c.Kind != postgres.Unread && c.Kind != postgres.JSON {
		return nil
	}
	why, hint := c.Why, "write in its place in the query "+c.Instead
	if c.Kind == postgres.JSON {
		why, hint = "is of the type json", "take a text or a number out of it in the query, such as …->>'number'"
	}
	return &InputError{File: name, Message: fmt.Sprintf("column %q %s, expected texts, numbers, true and false or dates", c.Name, why), Hint: hint}
}

// queryNotes tell what is worth knowing of a query: which columns are not read, or not as they may be meant, and that its rows are in no order.
func queryNotes(sql string, columns []postgres.Column) (notes []string) {
	for _, column := range columns {
		if column.Kind == postgres.Unread {
			notes = append(notes, fmt.Sprintf("column %q is not read: it %s; a query can have %s", column.Name, column.Why, column.Instead))
		} else if column.Why != "" {
			notes = append(notes, fmt.Sprintf("column %q %s", column.Name, column.Why))
		}
	}
	if !ordered.MatchString(sql) {
		notes = append(notes, "the query asks for no order of its rows, so that the next run may have them in another; end it with order by")
	}
	return notes
}

var ordered = regexp.MustCompile(`(?is)\border\s+by\b`)

// openQuery takes the rows of a query as the sheet that they are.
func (w *workbook) openQuery(p *audit.Project) error {
	if w.entry.encoding.given() || w.entry.headings.given() {
		return &InputError{File: w.name, Message: "is a query, of which neither encoding nor headings are to be stated", Hint: "take them out of its entry in the project file"}
	}
	w.content, w.format = &queryTable{w.held, w.entry.sql}, "rows of a query"
	return w.asSheet(p)
}

// readQuery calls each for every row of a query that has a geometry.
func (l *layer) readQuery(in *input, each func(*feature) error) (count int, err error) {
	l.format = "rows of a query"
	if err := errors.Join(l.pointNames.refuse(in.name, l.section), l.decimal.refuse(in.name, l.section)); err != nil {
		return 0, err
	}
	rows, err := postgres.Read(in)
	if err != nil {
		return 0, in.problem(err)
	}
	columns := rows.Columns()
	l.notes = append(l.notes, queryNotes(in.query, columns)...)
	geometry, is := rows.GeometryColumn()
	if is == "geography" {
		l.notes = append(l.notes, "its positions are joined by geodesics, as the type geography says; they are read as those of other layers")
	}
	var names [][]byte
	for i := range columns {
		names = append(names, []byte(columns[i].Name))
		if wanted, _, _, _ := l.properties.column(columns[i].Name); (wanted || l.properties.picks(columns[i].Name)) && columns[i].Kind == postgres.Unread {
			return 0, refuseQueryColumn(in.name, &columns[i])
		} else if again := slices.IndexFunc(columns[:i], func(other postgres.Column) bool { return strings.EqualFold(other.Name, columns[i].Name) }); wanted && again >= 0 {
			return 0, &InputError{File: in.name, Message: fmt.Sprintf("returns two columns that differ in capitals alone, %q and %q, expected one", columns[again].Name, columns[i].Name),
				Hint: "leave one out of the query, or give it another name by as"}
		}
	}
	placed := false
	for {
		more, err := rows.Next()
		if err != nil {
			return count, in.problem(err)
		}
		if !more {
			return count, nil
		}
		if rows.Placed && !placed {
			placed = true
			if err := l.placing.declareQuery(geometry, rows.System); err != nil {
				return count, err
			}
		}
		count++
		given := feature{kind: "Feature", number: uint32(min(rows.Number, math.MaxUint32)), decoded: rows.Geometry, undecoded: rows.Problem}
		if rows.Geometry == nil && rows.Problem == nil {
			given.undecoded = errEmpty
		}
		given.members = make([]jsontext.Member, 0, len(names))
		for i, name := range names {
			given.members = append(given.members, jsontext.Member{Name: name, Value: queryMember(columns[i].Kind, rows.Cells[i])})
		}
		if err := each(&given); err != nil {
			return count, err
		}
	}
}

// queryMember is a cell as JSON has it. What is not read is neither text nor number.
func queryMember(kind postgres.Kind, cell string) json.RawMessage {
	switch {
	case kind == postgres.Unread:
		return json.RawMessage("{}")
	case cell == "":
		return json.RawMessage("null")
	case kind == postgres.Truth, kind == postgres.JSON, kind == postgres.Number && json.Valid([]byte(cell)):
		return json.RawMessage(cell)
	}
	return jsonOf(cell)
}

// keyAt names the feature at hand by what a query has of it that people know it by.
func (l *layer) keyAt(at audit.Source) string {
	if l.at == nil || at != l.source(l.at) {
		return ""
	}
	said := map[string]string{}
	for _, w := range l.properties.wanted {
		said[strings.ToLower(w.key)], _ = propertyText(l.at.property(w.to.name)) // inspections go by their headings
	}
	if key := audit.RowKey(said["line"], said["structure"]); key != "" {
		return key
	}
	for _, of := range [...]string{"label", "kind", "name"} {
		if said[of] != "" {
			return of + " " + excerpt(said[of])
		}
	}
	return ""
}

// keyAt names the row at hand by its line and structure, or by its first column.
func (s *sheetReader[R]) keyAt(at audit.Source) string {
	if at.Table != s.found.table || at.Row != s.grid.number {
		return ""
	}
	said := map[string]string{}
	for i := range s.shape.columns {
		if p := &s.shape.columns[i]; p.phase == "" {
			said[p.column.heading] = cmp.Or(p.text(s.grid.cells), p.fixed)
		}
	}
	if key := audit.RowKey(said["Line"], said["Structure"]); key != "" {
		return strings.Clone(key)
	}
	for _, of := range [...]string{"Unit", "Conductor"} {
		if said[of] != "" {
			return strings.ToLower(of) + " " + strings.Clone(excerpt(said[of]))
		}
	}
	return ""
}

// declareQuery takes up the system of the geometries of a query.
func (p *placing) declareQuery(column, system string) error {
	if system == "" {
		if p.keyed {
			return nil
		}
		return &InputError{File: p.file, Message: fmt.Sprintf("its geometry %q has no reference system (SRID 0)", column),
			Hint: "set it in the database, or write it under " + p.section + " in the project file: crs: EPSG:…"}
	}
	if s, known := systemNamed(system); known {
		return p.declare(fmt.Sprintf("the reference system of its geometry %q is", column), s, 0)
	}
	return &InputError{File: p.file, Message: fmt.Sprintf("its geometry %q has the reference system %s, which %s", column, system, unknownSystem),
		Hint: fmt.Sprintf("transform it in the query: ST_Transform(%s, 4326)", column)}
}
