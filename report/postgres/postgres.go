// Package postgres writes tables of a run into a schema of PostgreSQL with PostGIS. Tables enter, with their rows one by one; beside them stand those of
// the earlier runs that are kept. It knows nothing of what they mean.
package postgres

import (
	"context"
	"errors"
	"fmt"
	"iter"
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
	Key               []string // columns that tell the rows of a run apart, by which they are found too; of RunsTable none are needed
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
	Since    string // the run that it was compared with; empty for none
	Project  string // of which this is a run; those of others are not counted and stay
	Keep     int    // whole runs of the project that stand there afterwards
	Wait     time.Duration
}

const (
	runColumn      = "run"
	writtenColumn  = "written"
	geometryColumn = "geom"
	wgs84          = 4326
)

// RunsTable is the table of the runs, by which those that are kept are known. It is written as the others are, and must have the columns
// ProjectColumn and SinceColumn, as the target has them, and LinesColumn, which is WholeRun of a run that was of all lines.
const (
	RunsTable     = "runs"
	ProjectColumn = "project"
	SinceColumn   = "since"
	LinesColumn   = "lines"
	WholeRun      = "all"
)

// How long a run waits for those who read the tables that it replaces, in attempts so short that those who want to read them meanwhile hardly wait,
// and that nobody waits for it while it waits for him; and how long a statement may take, and the last one (choices of this program).
const (
	mostLocked  = 30 * time.Second
	attempt     = 200 * time.Millisecond
	mostAtATime = time.Hour
	mostCommit  = 30 * time.Second
)

// Writing is a run whose tables are in their places, which nobody but this session sees before Commit. It must be closed.
type Writing struct {
	writer
	Kept    int      // runs of the project that stand there, this one among them
	Gone    []string // runs that are taken away
	Remarks []string // what is worth knowing, in sentences
}

// Write writes the tables. They are made beside those that stand there, which are changed in the same transaction and at its end: whoever reads sees
// those of before or, after Commit, those of this run, and an error leaves all as it was. Each table is parted by runs; a part is that of one run. Of
// several runs each waits for the one before it. Whole runs of the project beyond those that are kept go, and runs of some lines that so many are
// newer than, and what is of no run. Tables that this program has not made are refused.
func Write(ctx context.Context, to Target, tables []Table) (_ *Writing, err error) {
	conn, err := database.Connect(ctx, to.Settings)
	if err != nil {
		return nil, err
	}
	w := &Writing{writer: writer{Target: to, conn: conn}}
	defer func() {
		if err != nil {
			w.Close()
		}
	}()
	for _, statement := range [...]string{"begin isolation level read committed, read write", "set local idle_in_transaction_session_timeout = 0"} { // whatever role and database are set to
		if err := w.exec(ctx, statement); err != nil {
			return nil, err
		}
	}
	if err := w.begin(ctx); err != nil {
		return nil, err
	}
	if stays, err := w.lookAround(ctx); err != nil || stays {
		return w, err
	}
	staged := make([]stagedTable, len(tables))
	for i := range tables {
		if staged[i], err = w.stage(ctx, &tables[i]); err != nil {
			return nil, err
		}
	}
	return w, w.swap(ctx, staged)
}

// Commit makes the tables of the run those that stand there. Where it fails and the server does not say so itself, inDoubt tells that they may be.
func (w *Writing) Commit(ctx context.Context) (inDoubt bool, err error) {
	ctx, cancel := database.Within(ctx, mostCommit)
	defer cancel()
	_, err = database.Rows(ctx, w.conn, "commit")
	return database.Lost(err), err
}

// Close ends the session. What was not committed is as it was.
func (w *Writing) Close() { database.Close(w.conn) }

type writer struct {
	Target
	conn     *pgconn.PgConn
	geometry string // the type, with its schema
	written  string // the moment of this run by the clock of the server, after those of all that stand there
}

// exec runs a statement.
func (w *writer) exec(ctx context.Context, statement string, arguments ...string) error {
	_, err := w.rows(ctx, statement, arguments...)
	return err
}

// rows runs a statement that returns rows.
func (w *writer) rows(ctx context.Context, statement string, arguments ...string) ([][][]byte, error) {
	ctx, cancel := database.Within(ctx, mostAtATime+w.Wait)
	defer cancel()
	return database.Rows(ctx, w.conn, statement, arguments...)
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
	if err := w.exec(ctx, `select pg_advisory_xact_lock(hashtextextended('dryarc ' || $1, 0))`, w.Schema); database.Locked(err) {
		return errors.New("another run writes there, and has for longer than --wait says")
	} else if err != nil {
		return err
	}
	if err := w.waitForLocks(ctx, mostLocked); err != nil {
		return err
	}
	rows, err := w.rows(ctx, `select nspname, exists (select from pg_namespace where nspname = $1), `+momentOf("clock_timestamp()")+`, current_setting('server_encoding') from pg_extension e join pg_namespace n on n.oid = e.extnamespace where e.extname = 'postgis'`, w.Schema)
	switch {
	case err != nil:
		return err
	case len(rows) == 0:
		return errors.New("the database has no PostGIS; who administers it runs: create extension postgis")
	}
	if encoding := string(rows[0][3]); encoding != "UTF8" && encoding != "SQL_ASCII" { // which takes every byte
		return fmt.Errorf("the database is in the encoding %s, which lacks letters that every run writes, expected UTF8", encoding)
	}
	w.geometry, w.written = quoted(string(rows[0][0]))+".geometry", string(rows[0][2])
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
	keyed   bool     // it has a primary key there
	key     string   // the definition of its primary key; empty for none
	missing []string // definitions of the columns that it has not
	part    string   // name of the part of this run
}

func (s *stagedTable) staging() string { return s.part + "_new" }

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
	there, key, err := w.columnsOf(ctx, t.Name)
	if err != nil {
		return s, err
	}
	s.there, s.keyed, s.key = there != nil, key != "", key
	if !s.keyed && (len(t.Key) > 0 || t.Name == RunsTable) {
		for _, name := range t.Key {
			s.key += quoted(name) + ", "
		}
		s.key = "primary key (" + s.key + quoted(runColumn) + ")"
	}
	for _, c := range wanted {
		is, has := there[c[0]]
		switch {
		case !has:
			s.missing = append(s.missing, quoted(c[0])+" "+c[1])
		case c[0] != geometryColumn && is != c[1]:
			return s, fmt.Errorf("the column %q of its table %s is of the type %s, expected %s; drop the table, or write into another schema", c[0], t.Name, is, c[1])
		}
	}
	making := []string{"create table " + w.in(s.staging()) + " (" + strings.Join(s.missing, ", ") + ")"}
	if s.there { // with what others have added to it
		making = []string{"create table " + w.in(s.staging()) + " (like " + w.in(t.Name) + " including all excluding indexes)"}
		for _, column := range s.missing {
			making = append(making, "alter table "+w.in(s.staging())+" add column "+column)
		}
	}
	for _, statement := range making {
		if err := w.exec(ctx, statement); err != nil {
			return s, err
		}
	}
	if err := w.fill(ctx, &s); err != nil {
		return s, err
	}
	if err := w.makeKey(ctx, &s, s.staging()); err != nil {
		return s, err
	}
	return s, w.index(ctx, &s, s.staging())
}

// columnsOf are the columns of a table that stands there with their types, nil where there is none, and the definition of its primary key.
func (w *writer) columnsOf(ctx context.Context, table string) (columns map[string]string, key string, err error) {
	found, err := w.rows(ctx, `select c.oid, coalesce(pg_get_partkeydef(c.oid), ''), coalesce((select pg_get_constraintdef(oid) from pg_constraint where conrelid = c.oid and contype = 'p'), '') from pg_class c join pg_namespace n on n.oid = c.relnamespace where n.nspname = $1 and c.relname = $2`, w.Schema, table)
	switch {
	case err != nil || len(found) == 0:
		return nil, "", err
	case string(found[0][1]) != "LIST ("+runColumn+")":
		return nil, "", fmt.Errorf("its table %s was not made by this program, and stays as it is; write into a schema of its own", table)
	}
	rows, err := w.rows(ctx, `select attname, format_type(atttypid, atttypmod) from pg_attribute where attrelid = $1 and attnum > 0 and not attisdropped`, string(found[0][0]))
	columns = map[string]string{}
	for _, row := range rows {
		columns[string(row[0])] = string(row[1])
	}
	return columns, string(found[0][2]), err
}

// fill copies the rows.
func (w *writer) fill(ctx context.Context, s *stagedTable) error {
	names := append([]string{runColumn}, s.names...)
	written := ""
	if s.Name == RunsTable {
		names, written = append(names, writtenColumn), w.written
	}
	if s.Geometry != "" {
		names = append(names, geometryColumn)
	}
	for i := range names {
		names[i] = quoted(names[i])
	}
	rows := newCopied(s.Rows, w.Run, written, s.Geometry != "")
	defer rows.stop()
	ctx, cancel := database.Within(ctx, mostAtATime)
	defer cancel()
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

// makeKey makes the primary key of a table, or of a part, which becomes one with it.
func (w *writer) makeKey(ctx context.Context, s *stagedTable, table string) error {
	if s.key == "" {
		return nil
	}
	return w.exec(ctx, "alter table "+w.in(table)+" add "+s.key)
}

// swap puts the parts of this run in their places, and takes away those of runs that are not kept. While others hold a table it holds none, and tries
// again.
func (w *Writing) swap(ctx context.Context, staged []stagedTable) error {
	if err := w.waitForLocks(ctx, attempt); err != nil {
		return err
	}
	for until := time.Now().Add(mostLocked); ; {
		if err := w.exec(ctx, "savepoint swap"); err != nil {
			return err
		}
		gone, remarks := w.Gone, w.Remarks
		err := w.trySwap(ctx, staged)
		if !database.Locked(err) || time.Now().After(until) {
			return err
		}
		w.Gone, w.Remarks = gone, remarks
		if err := w.exec(ctx, "rollback to savepoint swap"); err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(attempt):
		}
	}
}

func (w *Writing) trySwap(ctx context.Context, staged []stagedTable) error {
	for i := range staged { // all locks in the order in which every run takes them
		if staged[i].there {
			if err := w.exec(ctx, "lock table "+w.in(staged[i].Name)+" in access exclusive mode"); err != nil {
				return err
			}
		}
	}
	for i := range staged {
		if err := w.put(ctx, &staged[i]); err != nil {
			return err
		}
	}
	return w.takeAway(ctx, staged)
}

// put puts the part of this run of a table in its place.
func (w *writer) put(ctx context.Context, s *stagedTable) error {
	if !s.there {
		if err := w.exec(ctx, "create table "+w.in(s.Name)+" ("+strings.Join(s.missing, ", ")+") partition by list ("+runColumn+")"); err != nil {
			return err
		}
		if err := w.index(ctx, s, s.Name); err != nil {
			return err
		}
	} else {
		for _, column := range s.missing {
			if err := w.exec(ctx, "alter table "+w.in(s.Name)+" add column "+column); err != nil {
				return err
			}
		}
	}
	if !s.keyed {
		if err := w.makeKey(ctx, s, s.Name); err != nil {
			return err
		}
	}
	switch parted, err := w.drop(ctx, s.Name, s.part); { // where the same run was written before
	case parted:
		return fmt.Errorf("its table %s is no part of %s any more, and stays as it is; give it another name", s.part, s.Name)
	case database.RestedOn(err):
		return fmt.Errorf("run %s stands there already, and something else is in the way of writing it again: %w; take that away, or what refers to rows of this run, and %s", w.Run, err, goodViews)
	case err != nil:
		return err
	}
	for _, statement := range []string{
		"alter table " + w.in(s.staging()) + " rename to " + quoted(s.part),
		"alter table " + w.in(s.Name) + " attach partition " + w.in(s.part) + " for values in (" + literal(w.Run) + ")",
	} {
		if err := w.exec(ctx, statement); err != nil {
			return err
		}
	}
	return w.comment(ctx, s)
}

// comment says of a table and its columns what they are.
func (w *writer) comment(ctx context.Context, s *stagedTable) error {
	texts := []string{"table " + w.in(s.Name) + " is " + literal(s.Description)}
	column := func(name, text string) {
		texts = append(texts, "column "+w.in(s.Name)+"."+quoted(name)+" is "+literal(text))
	}
	column(runColumn, "Id of the run, as audit.json has it")
	for i, c := range s.Columns {
		column(s.names[i], c.Description)
	}
	if s.Name == RunsTable {
		column(writtenColumn, "When it was written, by the clock of the server; never before one that stood there")
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
