// Package databasetest runs servers of PostgreSQL with PostGIS for tests.
package databasetest

import (
	"context"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
)

// Server is a server that a test has for itself, behind a socket in a temporary folder.
type Server struct {
	folder   string
	programs string   // folder of them
	as       []string // what runs a program as the user who owns the server
}

// Start starts a server, with a database in which PostGIS is, and points the usual variables to it until the test ends: its owner is the user
// postgres, who needs no password; other roles need one where their names begin with locked. Where it is not installed the test is skipped, under
// CI it fails.
func Start(t *testing.T) *Server {
	t.Helper()
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	require.NoError(t, err)
	if path, err := exec.LookPath("initdb"); err == nil {
		found = append(found, path)
	}
	if len(found) == 0 {
		require.NotEqual(t, "true", os.Getenv("CI"), "PostgreSQL must be installed under CI")
		t.Skip("PostgreSQL is not installed")
	}
	folder, err := os.MkdirTemp("", "dryarc-pg-")
	require.NoError(t, err)
	t.Cleanup(func() { os.RemoveAll(folder) })
	s := &Server{folder: folder, programs: filepath.Dir(slices.Max(found))}
	if os.Getuid() == 0 { // as whom the server does not run
		owner, err := user.Lookup("postgres")
		if err != nil {
			owner, err = user.Lookup("nobody")
		}
		require.NoError(t, err)
		id, err := strconv.Atoi(owner.Uid)
		require.NoError(t, err)
		require.NoError(t, os.Chown(folder, id, -1))
		s.as = []string{"setpriv", "--reuid=" + owner.Uid, "--regid=" + owner.Gid, "--clear-groups"}
	}
	s.run(t, "initdb", "--no-sync", "--username=postgres", "--auth=trust", "--encoding=UTF8", "--locale=C", "--pgdata="+s.data())
	s.write(t, "pg_hba.conf", "local all /^locked scram-sha-256\nlocal all locked scram-sha-256\nlocal all all trust\n")
	s.start(t)
	t.Cleanup(func() { s.Stop(t) })
	for name, value := range map[string]string{"PGHOST": folder, "PGUSER": "postgres", "PGDATABASE": "postgres", "PGSERVICEFILE": filepath.Join(folder, "none"), "PGPASSFILE": filepath.Join(folder, "none")} {
		t.Setenv(name, value)
	}
	for _, name := range []string{"PGPORT", "PGPASSWORD", "PGSERVICE", "PGOPTIONS", "PGSSLMODE"} {
		t.Setenv(name, "") // so that it is set back
		os.Unsetenv(name)
	}
	conn := s.Connect(t)
	if _, err := conn.Exec(t.Context(), "create extension postgis"); err != nil {
		require.NotEqual(t, "true", os.Getenv("CI"), "PostGIS must be installed under CI")
		t.Skip("PostGIS is not installed")
	}
	return s
}

func (s *Server) data() string { return filepath.Join(s.folder, "data") }

// command is a program of the server, run as its owner.
func (s *Server) command(t *testing.T, program string, arguments ...string) *exec.Cmd {
	line := append(append(slices.Clone(s.as), filepath.Join(s.programs, program)), arguments...)
	c := exec.CommandContext(context.Background(), line[0], line[1:]...)
	c.Dir = s.folder
	c.Env = append(os.Environ(), "LC_ALL=C")
	return c
}

func (s *Server) run(t *testing.T, program string, arguments ...string) {
	t.Helper()
	c := s.command(t, program, arguments...)
	var told strings.Builder // no pipe, which the server would keep open
	log, err := os.CreateTemp("", "dryarc-pg-log-")
	require.NoError(t, err)
	defer os.Remove(log.Name())
	defer log.Close()
	c.Stdout, c.Stderr = log, log
	if err := c.Run(); err != nil {
		text, _ := os.ReadFile(log.Name())
		told.Write(text)
		require.NoError(t, err, told.String())
	}
}

func (s *Server) write(t *testing.T, name, text string) {
	t.Helper()
	require.NoError(t, os.WriteFile(filepath.Join(s.data(), name), []byte(text), 0o600))
}

func (s *Server) start(t *testing.T) {
	t.Helper()
	s.run(t, "pg_ctl", "start", "--wait", "--pgdata="+s.data(), "--log="+filepath.Join(s.folder, "log"),
		"--options=-c listen_addresses='' -c unix_socket_directories='"+s.folder+"' -c fsync=off -c shared_buffers=64MB")
}

// Stop stops the server at once, as a power cut would; a second time it does nothing.
func (s *Server) Stop(t *testing.T) {
	if _, err := os.Stat(filepath.Join(s.data(), "postmaster.pid")); err == nil {
		s.run(t, "pg_ctl", "stop", "--wait", "--mode=immediate", "--pgdata="+s.data())
	}
}

// Connect connects to the database as its owner.
func (s *Server) Connect(t *testing.T) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), "host="+s.folder+" user=postgres dbname=postgres")
	require.NoError(t, err)
	t.Cleanup(func() { conn.Close(context.Background()) })
	return conn
}

// Run runs statements as the owner.
func (s *Server) Run(t *testing.T, statements ...string) {
	t.Helper()
	conn := s.Connect(t)
	defer conn.Close(context.Background())
	for _, statement := range statements {
		_, err := conn.Exec(t.Context(), statement)
		require.NoError(t, err, statement)
	}
}
