package read

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"

	"dryarc/audit"
	jsontext "dryarc/audit/read/json"
	"dryarc/audit/read/parquet"
	"dryarc/audit/read/xlsx"
)

// isParquet tells files in Parquet by their first bytes.
func (in *input) isParquet() bool { return strings.HasPrefix(string(in.head), parquet.Magic) }

// parquetTable is a file in Parquet that is one sheet, whose headings are the names of its columns. It is read from its start each time.
type parquetTable struct{ content *held }

// openParquet reads what a file says of itself.
func openParquet(content *held) (*parquet.File, error) {
	file, err := parquet.Open(content.file, content.size)
	if err != nil {
		return nil, parquetProblem(content.name, err)
	}
	return file, nil
}

// parquetProblem words why a file cannot be read on; an interruption stays what it is.
func parquetProblem(name string, err error) error {
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return &InputError{File: name, Message: "cannot be read as Parquet: " + err.Error(), Err: err, Hint: "export it again, as GeoParquet 1.1 or as plain columns of texts, numbers and dates"}
}

func (t *parquetTable) rows(ctx context.Context, _ string) (rows, error) {
	file, err := openParquet(t.content)
	if err != nil {
		return nil, err
	}
	return &parquetRows{ctx: ctx, table: t, columns: file.Columns(), from: file.Rows()}, nil
}

func (t *parquetTable) merged(context.Context, string) []xlsx.Area { return nil }

func (t *parquetTable) mergedAcross(context.Context, string, uint32) []xlsx.Across { return nil }

func (t *parquetTable) unpacked(string) uint64 { return 0 }

func (t *parquetTable) close() error { return nil }

// parquetRows are the names of the columns as row 0, then the rows of the file.
type parquetRows struct {
	ctx     context.Context
	table   *parquetTable
	columns []parquet.Column
	from    *parquet.Rows
	begun   bool
}

func (r *parquetRows) next(to *row) (bool, error) {
	*to = row{cells: to.cells[:0]}
	if !r.begun {
		r.begun = true
		for _, column := range r.columns {
			to.cells = append(to.cells, column.Name)
		}
		return true, nil
	}
	more, err := r.from.Next(r.ctx)
	switch {
	case err != nil:
		return false, parquetProblem(r.table.content.name, err)
	case !more:
		return false, r.table.content.unchanged()
	case r.from.Number > math.MaxUint32:
		return false, parquetProblem(r.table.content.name, fmt.Errorf("it has more than %d rows", math.MaxUint32))
	}
	to.number = uint32(r.from.Number)
	for i, cell := range r.from.Cells {
		if r.columns[i].Kind == parquet.Unread {
			cell = "unreadable: " + r.columns[i].Why
		}
		to.cells = append(to.cells, cell)
	}
	return true, nil
}

func (r *parquetRows) merged() []xlsx.Area { return nil }

func (r *parquetRows) format(int) string { return "" }

func (r *parquetRows) isNumber(column int) bool {
	return column < len(r.columns) && r.columns[column].Kind == parquet.Number
}

func (r *parquetRows) damage() error { return nil }

func (r *parquetRows) close() { r.from.Close() }

// refuse refuses a table one of whose columns that are read holds what is not read.
func (r *parquetRows) refuse(index int) error {
	if index < 0 || index >= len(r.columns) || r.columns[index].Kind != parquet.Unread {
		return nil
	}
	column := &r.columns[index]
	return &InputError{File: r.table.content.name, Message: fmt.Sprintf("column %q %s, expected texts, numbers or dates", column.Name, column.Why), Hint: "export it again with plain columns"}
}

// unreadColumns says which columns hold what is not read.
func unreadColumns(columns []parquet.Column) (notes []string) {
	for _, column := range columns {
		if column.Kind == parquet.Unread {
			notes = append(notes, fmt.Sprintf("column %q is not read: it %s", column.Name, column.Why))
		}
	}
	return notes
}

// openParquet takes a file in Parquet as the sheet that it is.
func (w *workbook) openParquet(p *audit.Project) error {
	if w.entry.encoding.given() {
		return noEncoding(w.name, w.entry.key(), "in Parquet", "its texts are in UTF-8 by its standard")
	}
	if _, err := openParquet(w.held); err != nil {
		return err
	}
	w.content, w.format = &parquetTable{w.held}, "table in Parquet"
	return w.asSheet(p)
}

// readGeoParquet calls each for every row of a file in Parquet that has a geometry.
func (l *layer) readGeoParquet(in *input, content *held, file *parquet.File, each func(*feature) error) (count int, err error) {
	l.format = "GeoParquet"
	if err := errors.Join(l.pointNames.refuse(in.name, l.section), l.decimal.refuse(in.name, l.section)); err != nil {
		return 0, err
	}
	g := file.Geometry()
	if err := l.placing.declareColumn(g); err != nil {
		return 0, err
	}
	l.notes = append(l.notes, unreadColumns(file.Columns())...)
	if g.Edges != "" {
		l.notes = append(l.notes, fmt.Sprintf("its positions are joined by edges that are %s, as the file says; they are read as those of other layers", excerpt(g.Edges)))
	}
	rows := file.Rows()
	defer rows.Close()
	for {
		more, err := rows.Next(in.ctx)
		if err != nil {
			return count, parquetProblem(in.name, err)
		}
		if !more {
			return count, content.stillThere(in)
		}
		count++
		given := feature{kind: "Feature", number: uint32(min(rows.Number, math.MaxUint32)), decoded: rows.Geometry, undecoded: rows.Problem}
		for i, column := range file.Columns() {
			given.members = append(given.members, jsontext.Member{Name: []byte(column.Name), Value: memberOf(column.Kind, rows.Cells[i])})
		}
		if err := each(&given); err != nil {
			return count, err
		}
	}
}

// memberOf is a cell as JSON has it. What is not read is neither text nor number.
func memberOf(kind parquet.Kind, cell string) json.RawMessage {
	switch {
	case kind == parquet.Unread:
		return json.RawMessage("{}")
	case cell == "":
		return json.RawMessage("null")
	case kind == parquet.Truth, kind == parquet.Number && json.Valid([]byte(cell)):
		return json.RawMessage(cell)
	}
	return jsonOf(cell)
}

// declareColumn takes up the system of the geometries of a file in Parquet.
func (p *placing) declareColumn(g *parquet.Geometry) error {
	switch {
	case p.looked:
		return nil
	case g.System.Undefined && p.keyed:
		return nil
	case g.System.Undefined:
		return &InputError{File: p.file, Message: fmt.Sprintf("says that the reference system of its geometry %q is not known", g.Column), Hint: convertFromHint(p.file, p.section)}
	}
	if s, known := systemNamed(g.System.Name); known {
		return p.declare(fmt.Sprintf("the reference system of its geometry %q is", g.Column), s, 0)
	}
	return &InputError{File: p.file, Message: fmt.Sprintf("its geometry %q has the reference system %q, which %s", g.Column, g.System.Name, unknownSystem), Hint: convertHint(p.file)}
}

// hasShapes tells whether a file in Parquet has a geometry.
func (l *Look) hasShapes(in *input) (has bool, err error) {
	content, err := in.held(true)
	if err != nil {
		return false, err
	}
	in.taken = false
	if content.own {
		defer func() { err = errors.Join(err, content.close()) }()
	}
	file, err := openParquet(content)
	if err != nil {
		return false, err
	}
	return file.Geometry() != nil, nil
}
