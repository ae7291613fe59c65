package postgres

import (
	"strings"
	"testing"
	"time"

	"dryarc/audit/database/databasetest"

	"github.com/stretchr/testify/require"
)

// A column that is called as one of the server's or of ours, as another, or longer than the server keeps, has a name of its own.
func TestColumnNames(t *testing.T) {
	long := strings.Repeat("ñ", 40)
	require.Equal(t, []string{"ctid 2", "tableoid 2", "run 2", "geom 2", "a", "a 2"},
		columnNames([]Column{{Name: "ctid"}, {Name: "tableoid"}, {Name: "run"}, {Name: "geom"}, {Name: "a"}, {Name: "a"}}))
	left, right := Column{Name: long + " left"}, Column{Name: long + " right"}
	names := columnNames([]Column{left, right})
	require.NotEqual(t, names[0], names[1])
	for i, name := range names {
		require.Regexp(t, "^ñ{27} [0-9a-f]{8}$", name)
		require.Equal(t, name, columnNames([]Column{right, left})[1-i], "whatever the order")
	}
}

// What is written stands nowhere before it is committed, and a session that is lost before that leaves what stood there. Settings of the role for
// its transactions do not hold.
func TestLostBeforeCommit(t *testing.T) {
	server := databasetest.Start(t)
	server.Run(t, `create role w login`, `create schema audit authorization w`, `alter role w set default_transaction_isolation = 'serializable'`,
		`alter role w set default_transaction_read_only = on`, `alter role w set idle_in_transaction_session_timeout = '50ms'`)
	tables := []Table{{Name: RunsTable, Columns: []Column{{Name: ProjectColumn, Type: Text}, {Name: LinesColumn, Type: Text}, {Name: SinceColumn, Type: Text}}, Rows: func(yield func(Row) bool) { yield(Row{Values: []any{"p", WholeRun, nil}}) }}}
	write := func(run string) *Writing {
		w, err := Write(t.Context(), Target{Settings: "user=w", Schema: "audit", Run: run, Project: "p", Keep: 1, Wait: time.Second}, tables)
		require.NoError(t, err)
		t.Cleanup(w.Close)
		return w
	}
	runs := func() (runs []string) {
		require.NoError(t, server.Connect(t).QueryRow(t.Context(), `select array_agg(run) from audit.runs`).Scan(&runs))
		return runs
	}
	first := write("a")
	settings, err := first.rows(t.Context(), "show transaction_isolation")
	require.NoError(t, err)
	require.Equal(t, "read committed", string(settings[0][0]))
	time.Sleep(200 * time.Millisecond)
	_, err = first.Commit(t.Context())
	require.NoError(t, err)
	require.Equal(t, []string{"a"}, runs())
	lost := write("b")
	server.Run(t, `select pg_terminate_backend(pid) from pg_stat_activity where usename = 'w'`)
	inDoubt, err := lost.Commit(t.Context())
	require.Error(t, err)
	require.True(t, inDoubt)
	require.Equal(t, []string{"a"}, runs())
	second := write("c")
	require.Equal(t, []string{"a"}, second.Gone)
	require.Equal(t, 1, second.Kept)
	second.Close()
	require.Equal(t, []string{"a"}, runs())
	server.Run(t, `create table audit.runs_mine partition of audit.runs for values in ('mine')`, `insert into audit.runs_mine (run, project) values ('mine', 'q')`)
	third := write("c")
	require.Equal(t, []string{"a"}, third.Gone, "what somebody else has put there stays")
	third.Close()
	server.Run(t, `delete from audit.runs_mine`)
	fourth := write("c")
	require.Equal(t, []string{"a"}, fourth.Gone)
	fourth.Close()
	_, err = Write(t.Context(), Target{Settings: "user=w", Schema: "audit", Run: "a", Project: "q", Keep: 1, Wait: time.Second}, tables)
	require.ErrorContains(t, err, `run a stands there already as one of the project "p", which has the same inputs, and a run stands in a schema once; try a copy out with --no-write, or`)
	_, moved, tells := strings.Cut(err.Error(), "tell its runs so: ")
	require.True(t, tells)
	server.Run(t, moved)
	fifth, err := Write(t.Context(), Target{Settings: "user=w", Schema: "audit", Run: "a", Project: "q", Keep: 1, Wait: time.Second}, tables)
	require.NoError(t, err, "what the message says helps")
	fifth.Close()
}

// The same run keeps its news where it comes again compared with none or with a run from elsewhere, and both are told; compared with a later one it takes
// its place. What is written last is the latest, whatever the clocks of those who wrote before.
func TestRunThatStandsThere(t *testing.T) {
	server := databasetest.Start(t)
	conn := server.Connect(t)
	write := func(run, since string) *Writing {
		t.Helper()
		row := Row{Values: []any{"p", WholeRun, nil}}
		if since != "" {
			row.Values[2] = since
		}
		w, err := Write(t.Context(), Target{Schema: "audit", Run: run, Since: since, Project: "p", Keep: 9, Wait: time.Second},
			[]Table{{Name: RunsTable, Columns: []Column{{Name: ProjectColumn, Type: Text}, {Name: LinesColumn, Type: Text}, {Name: SinceColumn, Type: Text}}, Rows: func(yield func(Row) bool) { yield(row) }}})
		require.NoError(t, err)
		defer w.Close()
		_, err = w.Commit(t.Context())
		require.NoError(t, err)
		return w
	}
	runs := func() (runs string) {
		t.Helper()
		require.NoError(t, conn.QueryRow(t.Context(), `select string_agg(run || coalesce(since, '-'), ' ' order by written) from audit.runs`).Scan(&runs))
		return runs
	}
	write("a", "")
	require.Empty(t, write("b", "a").Remarks)
	require.Empty(t, write("b", "a").Remarks)
	for since, words := range map[string]string{"": "with none", "z": "with z"} {
		kept := write("b", since)
		require.Equal(t, []string{`run b stands in schema "audit" already, compared with a, and this one is compared ` + words + `: the tables stay as they are; for this one to take its place, delete it from the table runs first and run it again`}, kept.Remarks)
		require.Equal(t, 2, kept.Kept)
		require.Equal(t, "a- ba", runs())
	}
	write("c", "b")
	require.Equal(t, []string{`run b stands in schema "audit" already, compared with a, and this one is compared with c: this one, which is compared with a later run, takes its place`}, write("b", "c").Remarks)
	require.Equal(t, "a- cb bc", runs())
	require.Empty(t, write("a", "b").Remarks, "it had no news")
	require.Equal(t, "cb bc ab", runs())
	server.Run(t, `delete from audit.runs where run = 'b'`)
	write("b", "a")
	require.Equal(t, "cb ab ba", runs())

	server.Run(t, `update audit.runs set written = written + interval '1 day' where run = 'c'`)
	write("d", "b")
	require.Equal(t, "ab ba cb db", runs())
	require.Empty(t, write("a", "d").Remarks[1:])
	require.Equal(t, "ba cb db ad", runs())
}
