// Package postgres reads the rows of queries from PostgreSQL, with the geometries of PostGIS, all in one snapshot that nothing can be written in.
// A query enters; its rows leave as a stream of bytes of this package's own, which is read back row by row, each with its cells as text and its
// geometry. It knows nothing of what they mean.
package postgres

import (
	"context"
	"strconv"
	"strings"
	"sync"

	"dryarc/audit/database"

	"github.com/jackc/pgx/v5/pgconn"
)

// Snapshot is a database as it stood at one moment, over several connections. It is safe for concurrent use.
type Snapshot struct {
	settings string

	mu   sync.Mutex
	id   string           // empty until it is taken
	all  []*pgconn.PgConn // the first of them holds the snapshot
	free []*pgconn.PgConn // that nothing is read from

	types map[uint32]column // of this database, by number
	names map[uint32]string // of the reference systems whose number here is not that in the EPSG dataset
}

// Open names a database by settings as database.Check has them. Nothing is connected to before the first query. It must be closed.
func Open(settings string) *Snapshot {
	return &Snapshot{settings: settings, types: map[uint32]column{}, names: map[uint32]string{}}
}

// A query may take timeout and wait lockTimeout for a lock, unless the settings of the session say otherwise (choices of this program).
const (
	timeout     = "10min"
	lockTimeout = "30s"
)

// begin starts to read. Rows that a policy hides from the role would seem to be gone, so that such a query is an error.
//
// Source: PostgreSQL 15 documentation, "row_security", "Snapshot Synchronization Functions".
const (
	begin = `begin isolation level repeatable read, read only`
	setUp = `select set_config('statement_timeout', case current_setting('statement_timeout') when '0' then '` + timeout + `' else current_setting('statement_timeout') end, true),
	set_config('lock_timeout', case current_setting('lock_timeout') when '0' then '` + lockTimeout + `' else current_setting('lock_timeout') end, true),
	set_config('idle_in_transaction_session_timeout', '0', true), set_config('row_security', 'off', true),
	set_config('TimeZone', 'UTC', true), set_config('DateStyle', 'ISO, YMD', true), set_config('extra_float_digits', '1', true)`
)

// take returns a connection that reads the snapshot and that nobody else uses.
func (s *Snapshot) take(ctx context.Context) (*pgconn.PgConn, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if last := len(s.free) - 1; last >= 0 {
		conn := s.free[last]
		s.free = s.free[:last]
		return conn, nil
	}
	conn, err := database.Connect(ctx, s.settings)
	if err != nil {
		return nil, err
	}
	s.all = append(s.all, conn)
	statements := []string{begin}
	if s.id != "" {
		statements = append(statements, "set transaction snapshot '"+strings.ReplaceAll(s.id, "'", "''")+"'")
	}
	for _, statement := range append(statements, setUp) {
		if _, err := database.Rows(ctx, conn, statement); err != nil {
			return nil, err
		}
	}
	if s.id == "" {
		if err := s.learn(ctx, conn); err != nil {
			return nil, err
		}
	}
	return conn, nil
}

// give gives back a connection from which nothing is read any more.
func (s *Snapshot) give(conn *pgconn.PgConn) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.free = append(s.free, conn)
}

// Close ends the connections.
func (s *Snapshot) Close() {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, conn := range s.all {
		database.Close(conn)
	}
	s.all, s.free = nil, nil
}

// learn takes the snapshot and finds out which types and reference systems the database has.
func (s *Snapshot) learn(ctx context.Context, conn *pgconn.PgConn) error {
	var schema string
	if err := each(ctx, conn, `select oid, typname, typtype, typcategory, format_type(oid, null), '' from pg_type where typelem = 0 or typcategory <> 'A'
		union all select 0, '', '', '', pg_export_snapshot(), coalesce((select quote_ident(nspname) from pg_extension join pg_namespace n on n.oid = extnamespace where extname = 'postgis'), '')`,
		func(number uint32, row [][]byte) {
			if number == 0 {
				s.id, schema = string(row[4]), string(row[5])
				return
			}
			s.types[number] = typeOf(number, string(row[1]), string(row[2]), string(row[3]), string(row[4]))
		}); err != nil || schema == "" {
		return err
	}
	return each(ctx, conn, `select srid, coalesce(auth_name || ':' || auth_srid, '') from `+schema+`.spatial_ref_sys where (auth_name, auth_srid) is distinct from ('EPSG', srid)`,
		func(number uint32, row [][]byte) { s.names[number] = string(row[1]) })
}

// each goes through the rows of a statement, whose first column is a number, as texts.
func each(ctx context.Context, conn *pgconn.PgConn, statement string, row func(number uint32, row [][]byte)) error {
	rows, err := database.Rows(ctx, conn, statement)
	if err != nil {
		return err
	}
	for _, cells := range rows {
		number, err := strconv.ParseUint(string(cells[0]), 10, 32)
		if err != nil {
			return err
		}
		row(uint32(number), cells)
	}
	return nil
}
