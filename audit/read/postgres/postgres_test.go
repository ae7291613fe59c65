package postgres_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dryarc/audit/database/databasetest"
	"dryarc/audit/read/postgres"

	"github.com/stretchr/testify/require"
	geom "github.com/twpayne/go-geom"
)

// ask returns the rows of a query and the stream that they came by.
func ask(t *testing.T, s *postgres.Databases, sql string, settings ...string) (rows [][]string, shapes []geom.T, system string, stream []byte, err error) {
	t.Helper()
	q, err := s.Query(t.Context(), strings.Join(settings, " "), sql)
	if err != nil {
		return nil, nil, "", nil, err
	}
	defer q.Close()
	if stream, err = io.ReadAll(q); err != nil {
		return nil, nil, "", nil, err
	}
	r, err := postgres.Read(bytes.NewReader(stream))
	require.NoError(t, err)
	for {
		more, err := r.Next()
		require.NoError(t, err)
		if !more {
			return rows, shapes, r.System, stream, nil
		}
		rows, shapes = append(rows, append([]string(nil), r.Cells...)), append(shapes, r.Geometry)
	}
}

func TestQueries(t *testing.T) {
	server := databasetest.Start(t)
	server.Run(t, `create type duty as enum ('tension', 'suspension')`, `create domain number as text`, `create table t (n int)`, `insert into t select generate_series(1, 3)`,
		`create table hidden (n int)`, `alter table hidden enable row level security`, `create role reader login`, `grant select on t, hidden to reader`,
		`create function write_it() returns int language sql as 'insert into t values (4) returning n'`,
		`insert into spatial_ref_sys (srid, auth_name, auth_srid, srtext) values (900001, 'HOUSE', 7, 'x'), (900002, 'EPSG', 32719, 'x')`)
	s := postgres.Open()
	defer s.Close()

	t.Run("values", func(t *testing.T) {
		for sql, want := range map[string]string{
			`'a b'::text`: "a b", `'x'::varchar(3)`: "x", `'tension'::duty`: "tension", `'12/A'::number`: "12/A", `7::smallint`: "7", `-3::bigint`: "-3",
			`12.30::numeric(6,2)`: "12.3", `1::numeric(38,8)`: "1", `0::numeric(38,8)`: "0", `-10.50`: "-10.5", `100::numeric`: "100", `1500000000000::float8 * 1e10`: "1.5e+22", `0.1::real`: "0.1", `0.1::double precision`: "0.1", `1e20::double precision`: "1e+20",
			`'NaN'::numeric`: "NaN", `'Infinity'::numeric`: "Infinity", `'-Infinity'::float8`: "-Infinity",
			`true`: "true", `false`: "false", `null::int`: "", `null`: "", `''`: "", `date '1994-03-12'`: "1994-03-12", `'infinity'::date`: "infinity", `'0044-03-15 BC'::date`: "0044-03-15 BC", `timestamp '0044-03-15 06:30 BC'`: "0044-03-15 06:30:00 BC",
			`timestamp '1994-03-12'`: "1994-03-12", `timestamp '1994-03-12 06:30:00.25'`: "1994-03-12T06:30:00.25", `timestamptz '1994-03-12 06:30:00-05'`: "1994-03-12T11:30:00Z",
			`'{"a": 1}'::jsonb`: `{"a": 1}`, `'6ecd8c99-4036-403d-bf84-cf8400f67836'::uuid`: "6ecd8c99-4036-403d-bf84-cf8400f67836",
			`'x'::bytea`: "", `array['a']`: "", `point(1, 2)`: "",
		} {
			rows, _, _, _, err := ask(t, s, "select "+sql+" as value")
			require.NoError(t, err, sql)
			require.Equal(t, [][]string{{want}}, rows, sql)
		}
		q, err := s.Query(t.Context(), "", `select 'x'::bytea as a, array['a'] as b, interval '1 day' as c, 1 as d, point(1, 2) as e, 1::real as f`)
		require.NoError(t, err)
		columns := q.Columns()
		_, err = io.ReadAll(q)
		require.NoError(t, err)
		q.Close()
		require.Equal(t, []postgres.Column{{"a", postgres.Unread, "is of the type bytea", postgres.AsGeometry, false}, {"b", postgres.Unread, "holds several values in a cell", "array_to_string(…, ', ')", false},
			{"c", postgres.Unread, "is of the type interval", "…::text", false}, {"d", postgres.Number, "", "", false}, {"e", postgres.Unread, "is of the type point", postgres.AsGeometry, false}, {"f", postgres.Number, "", "", true}}, columns)
		for place, is := range map[string]string{`point(1, 2)`: "Point", `'((0,0),(1,1),(1,0))'::polygon`: "Polygon", `'[(0,0),(1,1)]'::path`: "LineString", `st_asewkb(st_makepoint(1, 2))`: "Point", `st_asbinary(st_makepoint(1, 2))`: "Point"} {
			instead, _, _ := strings.Cut(postgres.AsGeometry, ", with")
			_, shapes, system, _, err := ask(t, s, "select "+strings.Replace(instead, "…", "("+place+")", 1)+" as value")
			require.NoError(t, err, place)
			require.Equal(t, "*geom."+is, fmt.Sprintf("%T", shapes[0]), place)
			require.Equal(t, "EPSG:4326", system)
		}
		rows, _, _, _, err := ask(t, s, `select array_to_string(array[1, 2], ', ') as a, (interval '1 day')::text as b`)
		require.NoError(t, err)
		require.Equal(t, [][]string{{"1, 2", "1 day"}}, rows)
	})
	t.Run("texts as dates", func(t *testing.T) { // are read as the server is set, and written as ever
		for order, want := range map[string]string{"SQL, DMY": "2005-04-03", "German, MDY": "2005-03-04", "ISO, YMD": "2003-04-05"} {
			server.Run(t, `alter database postgres set datestyle = '`+order+`'`)
			s := postgres.Open()
			rows, _, _, _, err := ask(t, s, `select '03/04/05'::date as a, '1994-03-12 06:30'::timestamp as b, '03/04/05'::timestamptz as c`)
			require.NoError(t, err)
			require.Equal(t, [][]string{{want, "1994-03-12T06:30:00", want}}, rows, order)
			s.Close()
		}
		server.Run(t, `alter database postgres reset datestyle`)
	})
	t.Run("geometries", func(t *testing.T) {
		rows, shapes, system, _, err := ask(t, s, `select 1 as a, st_setsrid(st_makepoint(10, 50, 700), 4326) as g, 'b' as b union all select 2, null, 'c' union all select 3, st_geomfromtext('POINT EMPTY', 4326), 'd' order by a`)
		require.NoError(t, err)
		require.Equal(t, "EPSG:4326", system)
		require.Equal(t, [][]string{{"1", "b"}, {"2", "c"}, {"3", "d"}}, rows)
		require.Equal(t, []float64{10, 50, 700}, shapes[0].FlatCoords())
		require.Nil(t, shapes[1])
		require.Nil(t, shapes[2])
		for sql, want := range map[string]string{
			`st_setsrid(st_makepoint(1, 2), 32719)`: "EPSG:32719", `st_makepoint(1, 2)`: "", `st_makepoint(1, 2)::geography`: "EPSG:4326", `st_setsrid(st_makepoint(1, 2), 900001)`: "HOUSE:7",
			`st_setsrid(st_makepoint(1, 2), 900002)`: "EPSG:32719", `st_geomfromtext('MULTIPOLYGON(((0 0, 1 0, 1 1, 0 0)))', 25833)`: "EPSG:25833"} {
			_, _, system, _, err := ask(t, s, "select "+sql+" as g")
			require.NoError(t, err, sql)
			require.Equal(t, want, system, sql)
		}
		_, _, _, _, err = ask(t, s, `select st_setsrid(st_makepoint(1, 2), srid) as g from (values (4326), (32719)) s (srid)`)
		require.EqualError(t, err, "returns geometries in several reference systems, EPSG:4326 and in row 2 EPSG:32719, expected one; transform them in the query by ST_Transform")
	})
	t.Run("curves and faces", func(t *testing.T) {
		for text, want := range map[string]string{
			"CURVEPOLYGON(CIRCULARSTRING(0 0, 4 0, 4 4, 0 4, 0 0))": "is a CurvePolygon, which is not read; turn it", "MULTISURFACE(((0 0, 1 0, 1 1, 0 0)))": "is a MultiSurface, which is not read; turn it",
			"COMPOUNDCURVE((0 0, 1 0), CIRCULARSTRING(1 0, 2 1, 3 0))": "is a CompoundCurve, which", "CURVEPOLYGON Z ((0 0 1, 1 0 1, 1 1 1, 0 0 1))": "is a CurvePolygon, which", "TRIANGLE((0 0, 1 0, 1 1, 0 0))": "is a Triangle, which is not read, expected",
			"CIRCULARSTRING(0 0, 1 1, 2 0)": "is a CircularString, which", "MULTICURVE((0 0, 5 5), CIRCULARSTRING(4 0, 4 4, 8 4))": "is a MultiCurve, which", "GEOMETRYCOLLECTION(CIRCULARSTRING(0 0, 1 1, 2 0))": "is a CircularString, which",
		} {
			q, err := s.Query(t.Context(), "", `select st_geomfromtext('`+text+`', 4326) as g`)
			require.NoError(t, err)
			stream, err := io.ReadAll(q)
			require.NoError(t, err)
			q.Close()
			r, err := postgres.Read(bytes.NewReader(stream))
			require.NoError(t, err)
			_, err = r.Next()
			require.NoError(t, err)
			require.ErrorContains(t, r.Problem, want)
			q, err = s.Query(t.Context(), "", `select st_curvetoline(st_geomfromtext('`+text+`', 4326)) as g`)
			require.NoError(t, err)
			stream, err = io.ReadAll(q)
			require.NoError(t, err)
			q.Close()
			r, err = postgres.Read(bytes.NewReader(stream))
			require.NoError(t, err)
			_, err = r.Next()
			require.NoError(t, err)
			require.Equal(t, strings.HasPrefix(text, "TRI"), r.Geometry == nil, text)
		}
		_, shapes, _, _, err := ask(t, s, `select st_curvetoline(st_geomfromtext('CURVEPOLYGON(CIRCULARSTRING(1 0, 0 1, -1 0, 0 -1, 1 0))', 4326)) as g`)
		require.NoError(t, err)
		flat := shapes[0].FlatCoords()
		require.Len(t, flat, 2*(4*32+1))
		for i := 2; i < len(flat); i += 2 { // what README says of the middles of its pieces
			require.InDelta(t, 1-0.0003, math.Hypot((flat[i-2]+flat[i])/2, (flat[i-1]+flat[i+1])/2), 2e-6)
		}
	})
	t.Run("refused", func(t *testing.T) {
		for sql, want := range map[string]string{
			`selec 1`: `the server says: syntax error at or near "selec" (42601), at character 1`, `select nummer from t`: `the server says: column "nummer" does not exist (42703), at character 8`,
			`insert into t values (9) returning n`: `may only read: cannot execute INSERT in a read-only transaction`, `select write_it()`: `may only read: cannot execute INSERT in a read-only transaction`,
			`select set_config('transaction_read_only', 'off', true)`: `the server says: transaction read-write mode must be set before any query (25001)`,
			`commit`: `returns no columns, expected a select`, `select 1; drop table t`: `the server says: cannot insert multiple commands into a prepared statement (42601)`,
			`select n from t where n = $1`: `has a parameter such as $1, to which nothing gives a value`, `select n, n from t`: `returns two columns "n", expected one; give each a name of its own by as`,
			`select st_makepoint(1, 2) as a, st_makepoint(1, 2) as b`: `returns two geometries, "a" and "b", expected one`, `select 1 / (n - 3) as a from t order by n`: `the server says: division by zero (22012)`,
		} {
			s := postgres.Open()
			_, _, _, _, err := ask(t, s, sql)
			require.EqualError(t, err, want, sql)
			s.Close()
		}
		_, _, _, _, err := ask(t, s, `select * from hidden`, "user=reader")
		require.EqualError(t, err, `the server says: query would be affected by row-level security policy for table "hidden" (42501)`)
	})
	t.Run("one snapshot", func(t *testing.T) {
		first, _, _, was, err := ask(t, s, `select n from t order by n`)
		require.NoError(t, err)
		held, err := s.Query(t.Context(), "", `select n from t order by n`) // another connection has to read beside it
		require.NoError(t, err)
		server.Run(t, `insert into t values (99)`)
		second, _, _, is, err := ask(t, s, `select n from t order by n`)
		require.NoError(t, err)
		require.Equal(t, first, second)
		require.Equal(t, was, is, "the same rows are the same bytes")
		_, err = io.ReadAll(held)
		require.NoError(t, err)
		held.Close()
		for _, settings := range []string{"postgres", "dbname=postgres user=reader", "postgres:///postgres?user=reader"} { // which lead to it too
			other, _, _, _, err := ask(t, s, `select n from t order by n`, settings)
			require.NoError(t, err)
			require.Equal(t, first, other, settings)
			number, err := s.Hold(t.Context(), settings)
			require.NoError(t, err)
			require.Equal(t, 1, number)
		}
		number, err := s.Hold(t.Context(), "template1")
		require.NoError(t, err)
		require.Equal(t, 2, number)
		_, _, _, _, err = ask(t, s, `selec`)
		require.ErrorContains(t, err, "syntax error")
		third, _, _, _, err := ask(t, s, `select n from t order by n`)
		require.NoError(t, err)
		require.Equal(t, first, third, "a query that fails takes the snapshot away from none")
		other := postgres.Open()
		defer other.Close()
		now, _, _, _, err := ask(t, other, `select n from t order by n`)
		require.NoError(t, err)
		require.Len(t, now, len(first)+1)
	})
	t.Run("a lock, and a statement that takes too long", func(t *testing.T) {
		server.Run(t, `create table held (n int)`)
		conn := server.Connect(t)
		t.Setenv("PGOPTIONS", "-c lock_timeout=200ms -c statement_timeout=1s")
		tx, err := conn.Begin(t.Context())
		require.NoError(t, err)
		_, err = tx.Exec(t.Context(), `lock table held`)
		require.NoError(t, err)
		s := postgres.Open()
		_, _, _, _, err = ask(t, s, `select n from held`)
		require.EqualError(t, err, "another session holds a lock, and has for too long: canceling statement due to lock timeout")
		s.Close()
		require.NoError(t, tx.Rollback(t.Context()))
		s = postgres.Open()
		_, _, _, _, err = ask(t, s, `select pg_sleep(30)`)
		require.EqualError(t, err, "the server ended it: canceling statement due to statement timeout")
		s.Close()
	})
	t.Run("interrupted", func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		s := postgres.Open()
		defer s.Close()
		time.AfterFunc(200*time.Millisecond, cancel)
		q, err := s.Query(ctx, "", `select pg_sleep(60) as interrupted`)
		if err == nil {
			_, err = io.ReadAll(q)
		}
		require.ErrorIs(t, err, context.Canceled)
		require.Eventually(t, func() bool {
			var left int
			require.NoError(t, server.Connect(t).QueryRow(t.Context(), `select count(*) from pg_stat_activity where query like '%as interrupted' and state = 'active'`).Scan(&left))
			return left == 0
		}, 5*time.Second, 100*time.Millisecond, "the server ends it too")
	})
	t.Run("passwords", func(t *testing.T) {
		server.Run(t, `create role locked login password 'Sesame-7'`)
		t.Setenv("PGUSER", "locked")
		t.Setenv("PGPASSWORD", "Wrong-8")
		_, _, _, _, err := ask(t, postgres.Open(), `select 1`)
		require.ErrorContains(t, err, "password authentication failed")
		require.NotContains(t, err.Error(), "Wrong-8")
		t.Setenv("PGPASSWORD", "")
		folder := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(folder, "pass"), []byte("*:*:*:locked:Sesame-7\n"), 0o600))
		t.Setenv("PGPASSFILE", filepath.Join(folder, "pass"))
		require.NoError(t, os.WriteFile(filepath.Join(folder, "service"), []byte("[gis]\nhost="+os.Getenv("PGHOST")+"\nuser=locked\ndbname=postgres\n"), 0o600))
		t.Setenv("PGSERVICEFILE", filepath.Join(folder, "service"))
		for _, settings := range []string{"", "postgres", "service=gis", "postgres:///postgres?user=locked"} {
			s := postgres.Open()
			rows, _, _, _, err := ask(t, s, `select current_user`, settings)
			require.NoError(t, err, settings)
			require.Equal(t, [][]string{{"locked"}}, rows)
			s.Close()
		}
		_, _, _, _, err = ask(t, postgres.Open(), `select 1`, "host=/nowhere-at-all")
		require.ErrorContains(t, err, "cannot be connected to")
	})
	t.Run("cut off", func(t *testing.T) {
		_, _, _, stream, err := ask(t, s, `select n, repeat('x', n) as text, st_setsrid(st_makepoint(n, n), 4326) as g from generate_series(1, 4) n`)
		require.NoError(t, err)
		for length := range stream {
			r, err := postgres.Read(bytes.NewReader(stream[:length]))
			for more := true; more && err == nil; {
				more, err = r.Next()
			}
			require.Error(t, err, "%d of %d bytes", length, len(stream))
		}
	})
	t.Run("the connection is lost", func(t *testing.T) {
		lost := postgres.Open()
		q, err := lost.Query(t.Context(), "", `select n, repeat('x', 100) from generate_series(1, 3000000) n`)
		require.NoError(t, err)
		_, err = io.CopyN(io.Discard, q, 1<<20)
		require.NoError(t, err)
		server.Stop(t)
		_, err = io.Copy(io.Discard, q)
		require.Error(t, err)
		require.True(t, strings.Contains(err.Error(), "connection was lost") || strings.Contains(err.Error(), "the server"), err.Error())
		lost.Close()
	})
}
