// Package postgres writes tables of a run into a schema of PostgreSQL with PostGIS. Tables enter, with their rows one by one; beside them stand those of
// the earlier runs that are kept. It knows nothing of what they mean.
package postgres

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"slices"
	"strconv"
	"strings"
	"time"

	"dryarc/audit/database"

	"github.com/jackc/pgx/v5/pgconn"
	geom "github.com/twpayne/go-geom"
)

// Type is what a column holds, in words of the server.
type Type string

// The types of column.
const (
	Text    Type = "text"
	Integer Type = "bigint"
	Real    Type = "double precision"
	Boolean Type = "boolean"
	Date    Type = "date" // a text such as 2026-01-31
)

// Column is one column of values, of which any may be missing.
type Column struct {
	Name, Description string
	Type              Type
}

// Table is one table. Geometries are in longitude and latitude of WGS 84.
type Table struct {
	Name, Description string
	Columns           []Column
	Geometry          string   // type of its geometries, such as Point; empty where it has none
	Find              []string // columns by which its rows are looked for
	Rows              iter.Seq[Row]
}

// Row is one row of a table: a geometry, nil where the position is not known, and a value for each column. A value is nil, string, int64, float64 or
// bool; NaN is written as no value.
type Row struct {
	Geometry geom.T
	Values   []any
}

// Target is where a run is written.
type Target struct {
	Settings string // of the connection, as database.Check has them
	Schema   string
	Run      string // its id
	Keep     int    // runs that stand there afterwards, this one among them
	Wait     time.Duration
}

const (
	runColumn      = "run"
	writtenColumn  = "written"
	geometryColumn = "geom"
	wgs84          = 4326
)

// RunsTable is the table of the runs, by which those that are kept are known. It is written as the others are.
const RunsTable = "runs"

// mark begins the comments on tables of this program.
const mark = "Made by dryarc. "

// longestName is the longest name that the server keeps, in bytes.
const longestName = 63

// mostLocked is how long a run waits for those who read the tables that it replaces (a choice of this program).
const mostLocked = 30 * time.Second

// Write writes the tables. They are made beside those that stand there, which are changed in the same transaction and at its end: whoever reads sees
// those of before or those of this run, and an error leaves all as it was. Each table is parted by runs; a part is that of one run. Of several runs
// each waits for the one before it. Tables that this program has not made are refused.
func Write(ctx context.Context, to Target, tables []Table) error {
	conn, err := database.Connect(ctx, to.Settings)
	if err != nil {
		return err
	}
	defer database.Close(conn)
	w := writer{Target: to, conn: conn}
	if err := w.exec(ctx, "begin"); err != nil {
		return err
	}
	if err := w.begin(ctx); err != nil {
		return err
	}
	staged := make([]stagedTable, len(tables))
	for i := range tables {
		if staged[i], err = w.stage(ctx, &tables[i]); err != nil {
			return err
		}
	}
	if err := w.swap(ctx, staged); err != nil {
		return err
	}
	return w.exec(ctx, "commit")
}

type writer struct {
	Target
	conn     *pgconn.PgConn
	geometry string // the type, with its schema
}

// exec runs a statement.
func (w *writer) exec(ctx context.Context, statement string, arguments ...string) error {
	_, err := database.Rows(ctx, w.conn, statement, arguments...)
	return err
}

// quoted is a name as a statement has it.
func quoted(name string) string {
	return `"` + strings.ReplaceAll(strings.ReplaceAll(name, "\x00", ""), `"`, `""`) + `"`
}

// waitForLocks says how long the statements from here on wait for a lock.
func (w *writer) waitForLocks(ctx context.Context, most time.Duration) error {
	return w.exec(ctx, `select set_config('lock_timeout', $1, true)`, fmt.Sprintf("%dms", max(1, most.Milliseconds())))
}

// begin waits for other runs, and looks whether the tables can stand there.
func (w *writer) begin(ctx context.Context) error {
	if err := w.waitForLocks(ctx, w.Wait); err != nil {
		return err
	}
	if err := w.exec(ctx, `select pg_advisory_xact_lock(hashtextextended('dryarc ' || $1, 0))`, w.Schema); err != nil {
		return err
	}
	if err := w.waitForLocks(ctx, mostLocked); err != nil {
		return err
	}
	rows, err := database.Rows(ctx, w.conn, `select nspname, exists (select from pg_namespace where nspname = $1) from pg_extension e join pg_namespace n on n.oid = e.extnamespace where e.extname = 'postgis'`, w.Schema)
	switch {
	case err != nil:
		return err
	case len(rows) == 0:
		return errors.New("the database has no PostGIS; who administers it runs: create extension postgis")
	}
	w.geometry = quoted(string(rows[0][0])) + ".geometry"
	if isThere := string(rows[0][1]) == "t"; isThere {
		return nil
	}
	return w.exec(ctx, "create schema "+quoted(w.Schema))
}

// in is the name of a table of the schema.
func (w *writer) in(table string) string { return quoted(w.Schema) + "." + quoted(table) }

// stagedTable is a table whose part of this run is made, and not yet where it belongs.
type stagedTable struct {
	*Table
	names   []string // of its columns there, which may be cut
	there   bool     // it stands there from earlier runs
	missing []string // definitions of the columns that it has not
	part    string   // name of the part of this run
}

func (s *stagedTable) staging() string { return s.part + "_new" }

// columnNames are the names of the columns, none longer than the server keeps and no two the same.
func columnNames(columns []Column) (names []string) {
	taken := map[string]bool{runColumn: true, writtenColumn: true, geometryColumn: true}
	for _, c := range columns {
		name := c.Name
		for n := 2; len(name) > longestName || taken[name] || name == ""; n++ {
			end := fmt.Sprintf(" %d", n)
			name = strings.ToValidUTF8(c.Name[:min(len(c.Name), longestName-len(end))], "") + end
		}
		taken[name] = true
		names = append(names, name)
	}
	return names
}

// stage makes the part of this run of a table, with all its rows and indexes.
func (w *writer) stage(ctx context.Context, t *Table) (stagedTable, error) {
	s := stagedTable{Table: t, names: columnNames(t.Columns), part: t.Name + "_" + w.Run}
	wanted := [][2]string{{runColumn, "text"}}
	if t.Name == RunsTable {
		wanted = append(wanted, [2]string{writtenColumn, "timestamp with time zone"})
	}
	for i, c := range t.Columns {
		wanted = append(wanted, [2]string{s.names[i], string(c.Type)})
	}
	if t.Geometry != "" {
		wanted = append(wanted, [2]string{geometryColumn, fmt.Sprintf("%s(%s,%d)", w.geometry, t.Geometry, wgs84)})
	}
	there, err := w.columnsOf(ctx, t.Name)
	if err != nil {
		return s, err
	}
	s.there = there != nil
	define := func(name, is string) string { return quoted(name) + " " + is }
	var all []string
	for _, c := range wanted {
		all = append(all, define(c[0], c[1]))
		is, has := there[c[0]]
		switch {
		case !has:
			s.missing = append(s.missing, define(c[0], c[1]))
		case c[0] != geometryColumn && is != c[1]:
			return s, fmt.Errorf("the column %q of its table %s is of the type %s, expected %s; drop the table, or write into another schema", c[0], t.Name, is, c[1])
		}
		delete(there, c[0])
	}
	for name, is := range there { // of earlier runs, as of what they carry through
		all = append(all, define(name, is))
	}
	if err := w.exec(ctx, "create table "+w.in(s.staging())+" ("+strings.Join(all, ", ")+")"); err != nil {
		return s, err
	}
	if err := w.fill(ctx, &s); err != nil {
		return s, err
	}
	return s, w.index(ctx, &s, s.staging())
}

// columnsOf are the columns of a table that stands there with their types; nil where there is none.
func (w *writer) columnsOf(ctx context.Context, table string) (map[string]string, error) {
	found, err := database.Rows(ctx, w.conn, `select c.oid, c.relkind, coalesce(obj_description(c.oid, 'pg_class'), '') from pg_class c join pg_namespace n on n.oid = c.relnamespace where n.nspname = $1 and c.relname = $2`, w.Schema, table)
	switch {
	case err != nil || len(found) == 0:
		return nil, err
	case string(found[0][1]) != "p" || !strings.HasPrefix(string(found[0][2]), mark):
		return nil, fmt.Errorf("its table %s was not made by this program, and stays as it is; write into a schema of its own", table)
	}
	rows, err := database.Rows(ctx, w.conn, `select attname, format_type(atttypid, atttypmod) from pg_attribute where attrelid = $1 and attnum > 0 and not attisdropped`, string(found[0][0]))
	columns := map[string]string{}
	for _, row := range rows {
		columns[string(row[0])] = string(row[1])
	}
	return columns, err
}

// fill copies the rows.
func (w *writer) fill(ctx context.Context, s *stagedTable) error {
	names := append([]string{runColumn}, s.names...)
	if s.Name == RunsTable {
		names = append(names, writtenColumn)
	}
	if s.Geometry != "" {
		names = append(names, geometryColumn)
	}
	for i := range names {
		names[i] = quoted(names[i])
	}
	rows := newCopied(s.Rows, w.Run, s.Name == RunsTable, s.Geometry != "")
	defer rows.stop()
	_, err := w.conn.CopyFrom(ctx, rows, "copy "+w.in(s.staging())+" ("+strings.Join(names, ", ")+") from stdin")
	if rows.err != nil {
		return rows.err
	}
	return database.Problem(ctx, err)
}

// index makes the indexes of a table, or of a part, which become one when the part is put there.
func (w *writer) index(ctx context.Context, s *stagedTable, table string) error {
	if len(s.Find) > 0 {
		var names []string
		for _, name := range s.Find {
			names = append(names, quoted(name))
		}
		if err := w.exec(ctx, "create index on "+w.in(table)+" ("+strings.Join(names, ", ")+")"); err != nil {
			return err
		}
	}
	if s.Geometry != "" {
		if err := w.exec(ctx, "create index on "+w.in(table)+" using gist ("+quoted(geometryColumn)+")"); err != nil {
			return err
		}
	}
	return w.exec(ctx, "analyze "+w.in(table))
}

// swap puts the parts of this run in their places, and takes away those of runs that are not kept.
func (w *writer) swap(ctx context.Context, staged []stagedTable) error {
	for i := range staged { // all locks in the order in which every run takes them
		if staged[i].there {
			if err := w.exec(ctx, "lock table "+w.in(staged[i].Name)+" in access exclusive mode"); err != nil {
				return err
			}
		}
	}
	gone, err := w.outdated(ctx, slices.ContainsFunc(staged, func(s stagedTable) bool { return s.there && s.Name == RunsTable }))
	if err != nil {
		return err
	}
	for i := range staged {
		s := &staged[i]
		switch {
		case !s.there:
			if err := w.exec(ctx, "create table "+w.in(s.Name)+" ("+strings.Join(s.missing, ", ")+") partition by list ("+runColumn+")"); err != nil {
				return err
			}
			if err := w.index(ctx, s, s.Name); err != nil {
				return err
			}
		default:
			for _, column := range s.missing {
				if err := w.exec(ctx, "alter table "+w.in(s.Name)+" add column "+column); err != nil {
					return err
				}
			}
		}
		for _, run := range gone {
			if err := w.exec(ctx, "drop table if exists "+w.in(s.Name+"_"+run)); err != nil {
				return err
			}
		}
		for _, statement := range []string{
			"alter table " + w.in(s.staging()) + " rename to " + quoted(s.part),
			"alter table " + w.in(s.Name) + " attach partition " + w.in(s.part) + " for values in (" + literal(w.Run) + ")",
		} {
			if err := w.exec(ctx, statement); err != nil {
				return err
			}
		}
		if err := w.comment(ctx, s); err != nil {
			return err
		}
	}
	return nil
}

// outdated are the runs that stand there and are not kept, and the same run where it was written before.
func (w *writer) outdated(ctx context.Context, there bool) ([]string, error) {
	gone := []string{w.Run}
	if !there {
		return gone, nil
	}
	rows, err := database.Rows(ctx, w.conn, "select "+runColumn+" from "+w.in(RunsTable)+" where "+runColumn+" <> $1 order by "+writtenColumn+" desc, "+runColumn+" offset $2", w.Run, strconv.Itoa(w.Keep-1))
	for _, row := range rows {
		gone = append(gone, string(row[0]))
	}
	return gone, err
}

// comment says of a table and its columns what they are.
func (w *writer) comment(ctx context.Context, s *stagedTable) error {
	texts := []string{"table " + w.in(s.Name) + " is " + literal(mark+s.Description)}
	column := func(name, text string) {
		texts = append(texts, "column "+w.in(s.Name)+"."+quoted(name)+" is "+literal(text))
	}
	column(runColumn, "Id of the run, as audit.json has it")
	for i, c := range s.Columns {
		column(s.names[i], c.Description)
	}
	if s.Name == RunsTable {
		column(writtenColumn, "When it was written")
	}
	if s.Geometry != "" {
		column(geometryColumn, "Where it is, in longitude and latitude of WGS 84; null where that is not known")
	}
	for _, text := range texts {
		if err := w.exec(ctx, "comment on "+text); err != nil {
			return err
		}
	}
	return nil
}

// literal is a text as a statement has it.
func literal(text string) string {
	return "'" + strings.ReplaceAll(strings.ReplaceAll(text, "\x00", ""), "'", "''") + "'"
}
