// Package postgres reads the rows of queries from PostgreSQL, with the geometries of PostGIS, all of a database in one snapshot that nothing can be written in.
// A query enters; its rows leave as a stream of bytes of this package's own, which is read back row by row, each with its cells as text and its
// geometry. It knows nothing of what they mean.
package postgres

import (
	"context"
	"strconv"
	"strings"
	"sync"
	"time"

	"dryarc/audit/database"

	"github.com/jackc/pgx/v5/pgconn"
)

// Databases are those that queries read. Each is read as it stood at one moment, over several connections, whatever settings lead to it. They are safe
// for concurrent use.
type Databases struct {
	mu      sync.Mutex
	all     []*pgconn.PgConn
	free    map[string][]*pgconn.PgConn // that nothing is read from, by settings
	of      map[string]*moment          // by settings
	moments map[string]*moment          // by server and database
}

// moment is a database as it stood when it was first connected to.
type moment struct {
	number int
	id     string            // of the snapshot, which a connection holds that runs no query
	types  map[uint32]column // of this database, by number
	names  map[uint32]string // of the reference systems whose number here is not that in the EPSG dataset
}

// Open is of no database yet. It must be closed.
func Open() *Databases {
	return &Databases{free: map[string][]*pgconn.PgConn{}, of: map[string]*moment{}, moments: map[string]*moment{}}
}

// A query may take timeout and wait lockTimeout for a lock, unless the settings of the session say otherwise (choices of this program).
const (
	timeout     = "10min"
	lockTimeout = "30s"
)

// mostStarting is how long a server may take to begin (a choice of this program).
const mostStarting = 5 * time.Minute

// begin starts to read. Rows that a policy hides from the role would seem to be gone, so that such a query is an error.
//
// Source: PostgreSQL 15 documentation, "row_security", "Snapshot Synchronization Functions".
const (
	begin = `begin isolation level repeatable read, read only`
	setUp = `select set_config('statement_timeout', case current_setting('statement_timeout') when '0' then '` + timeout + `' else current_setting('statement_timeout') end, true),
	set_config('lock_timeout', case current_setting('lock_timeout') when '0' then '` + lockTimeout + `' else current_setting('lock_timeout') end, true),
	set_config('idle_in_transaction_session_timeout', '0', true), set_config('row_security', 'off', true),
	set_config('TimeZone', 'UTC', true), set_config('DateStyle', 'ISO', true), set_config('extra_float_digits', '1', true)`
)

// Hold connects by settings as database.Check has them, and holds the database as it stands, unless it is held already. The number tells which
// database it is: 1 the first.
func (d *Databases) Hold(ctx context.Context, settings string) (number int, err error) {
	ctx, cancel := database.Within(ctx, mostStarting)
	defer cancel()
	d.mu.Lock()
	defer d.mu.Unlock()
	m, err := d.hold(ctx, settings)
	if err != nil {
		return 0, err
	}
	return m.number, nil
}

// server tells a server, which no two share with the moment at which it was started, and a database of it.
const server = `select pg_postmaster_start_time()::text || ' ' || (select oid from pg_database where datname = current_database())`

func (d *Databases) hold(ctx context.Context, settings string) (*moment, error) {
	if m := d.of[settings]; m != nil {
		return m, nil
	}
	conn, err := d.connect(ctx, settings)
	if err != nil {
		return nil, err
	}
	which, err := database.Rows(ctx, conn, server)
	if err != nil {
		return nil, err
	}
	m := d.moments[string(which[0][0])]
	if m == nil {
		m = &moment{number: len(d.moments) + 1, types: map[uint32]column{}, names: map[uint32]string{}}
		if err := start(ctx, conn, ""); err != nil {
			return nil, err
		}
		if err := m.learn(ctx, conn); err != nil {
			return nil, err
		}
		d.moments[string(which[0][0])] = m
	} else {
		if err := start(ctx, conn, m.id); err != nil {
			return nil, err
		}
		d.free[settings] = append(d.free[settings], conn)
	}
	d.of[settings] = m
	return m, nil
}

func (d *Databases) connect(ctx context.Context, settings string) (*pgconn.PgConn, error) {
	conn, err := database.Connect(ctx, settings)
	if err == nil {
		d.all = append(d.all, conn)
	}
	return conn, err
}

// start starts to read a snapshot, a new one where none is named.
func start(ctx context.Context, conn *pgconn.PgConn, snapshot string) error {
	statements := []string{begin}
	if snapshot != "" {
		statements = append(statements, "set transaction snapshot '"+strings.ReplaceAll(snapshot, "'", "''")+"'")
	}
	for _, statement := range append(statements, setUp) {
		if _, err := database.Rows(ctx, conn, statement); err != nil {
			return err
		}
	}
	return nil
}

// take returns a connection that reads the snapshot and that nobody else uses.
func (d *Databases) take(ctx context.Context, settings string) (*pgconn.PgConn, *moment, error) {
	ctx, cancel := database.Within(ctx, mostStarting)
	defer cancel()
	d.mu.Lock()
	defer d.mu.Unlock()
	m, err := d.hold(ctx, settings)
	if err != nil {
		return nil, nil, err
	}
	free := d.free[settings]
	if last := len(free) - 1; last >= 0 {
		d.free[settings] = free[:last]
		return free[last], m, nil
	}
	conn, err := d.connect(ctx, settings)
	if err != nil {
		return nil, nil, err
	}
	return conn, m, start(ctx, conn, m.id)
}

// give gives back a connection from which nothing is read any more.
func (d *Databases) give(conn *pgconn.PgConn, settings string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.free[settings] = append(d.free[settings], conn)
}

// Close ends the connections.
func (d *Databases) Close() {
	d.mu.Lock()
	defer d.mu.Unlock()
	for _, conn := range d.all {
		database.Close(conn)
	}
	d.all, d.free = nil, map[string][]*pgconn.PgConn{}
}

// learn takes the snapshot and finds out which types and reference systems the database has.
func (m *moment) learn(ctx context.Context, conn *pgconn.PgConn) error {
	var schema string
	if err := each(ctx, conn, `select oid, typname, typtype, typcategory, format_type(oid, null), '' from pg_type where typelem = 0 or typcategory <> 'A'
		union all select 0, '', '', '', pg_export_snapshot(), coalesce((select quote_ident(nspname) from pg_extension join pg_namespace n on n.oid = extnamespace where extname = 'postgis'), '')`,
		func(number uint32, row [][]byte) {
			if number == 0 {
				m.id, schema = string(row[4]), string(row[5])
				return
			}
			m.types[number] = typeOf(number, string(row[1]), string(row[2]), string(row[3]), string(row[4]))
		}); err != nil || schema == "" {
		return err
	}
	return each(ctx, conn, `select srid, coalesce(auth_name || ':' || auth_srid, '') from `+schema+`.spatial_ref_sys where (auth_name, auth_srid) is distinct from ('EPSG', srid)`,
		func(number uint32, row [][]byte) { m.names[number] = string(row[1]) })
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
