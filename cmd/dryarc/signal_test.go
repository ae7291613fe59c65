//go:build linux

package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// pipedProject is a project whose structures come through a pipe that nobody fills.
func pipedProject(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	require.NoError(t, syscall.Mkfifo(filepath.Join(folder, "s.geojson"), 0o600))
	project := filepath.Join(folder, "audit.yaml")
	require.NoError(t, os.WriteFile(project, []byte("title: T\nstructures: {file: s.geojson}\n"), 0o600))
	return project
}

// ended waits for a process, and returns its exit code; it fails where the process does not end in time.
func ended(t *testing.T, cmd *exec.Cmd) int {
	t.Helper()
	done := make(chan error, 1)
	go func() { done <- cmd.Wait() }()
	select {
	case err := <-done:
		var exit *exec.ExitError
		require.True(t, err == nil || errors.As(err, &exit), err)
		return cmd.ProcessState.ExitCode()
	case <-time.After(20 * time.Second):
		require.NoError(t, cmd.Process.Kill())
		require.Fail(t, "the process does not end")
		return 0
	}
}

// Each signal ends a run that waits for a pipe, one that nobody opened for writing and one that nobody writes to.
func TestSignalsEndARunThatWaitsForAPipe(t *testing.T) {
	for _, test := range []struct {
		name    string
		signal  syscall.Signal
		opened  bool // the pipe has a writer
		stdin   bool // the input is the standard input
		signals int
	}{
		{"SIGINT, nobody opens", syscall.SIGINT, false, false, 1},
		{"SIGTERM, nobody writes", syscall.SIGTERM, true, false, 1},
		{"SIGHUP, standard input", syscall.SIGHUP, false, true, 1},
		{"SIGTERM twice", syscall.SIGTERM, true, false, 2},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			project := pipedProject(t)
			if test.opened {
				pipe, err := os.OpenFile(filepath.Join(filepath.Dir(project), "s.geojson"), os.O_RDWR, 0)
				require.NoError(t, err)
				defer pipe.Close()
			}
			if test.stdin {
				require.NoError(t, os.WriteFile(project, []byte("title: T\nstructures: {file: '-'}\n"), 0o600))
			}
			out := filepath.Join(t.TempDir(), "out")
			cmd := program("audit", project, "--out", out)
			var said bytes.Buffer
			cmd.Stderr = &said
			stdin, err := cmd.StdinPipe()
			require.NoError(t, err)
			defer stdin.Close()
			require.NoError(t, cmd.Start())
			time.Sleep(3 * time.Second) // until it waits, with the race detector and much beside it too
			began := time.Now()
			for range test.signals {
				require.NoError(t, cmd.Process.Signal(test.signal))
				time.Sleep(100 * time.Millisecond)
			}
			require.Equal(t, exitInterrupted, ended(t, cmd), said.String())
			if test.signals > 1 {
				require.Less(t, time.Since(began), grace, "the second signal ends it at once")
			}
			require.Contains(t, said.String(), interrupted)
			require.NoDirExists(t, out)
		})
	}
}

// What cannot be printed is an error, of every command.
func TestFullStandardOutput(t *testing.T) {
	t.Parallel()
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("there is no /dev/full")
	}
	defer full.Close()
	out := t.TempDir()
	e := auditInto(t, demoProject, out).Exceptions[0]
	for _, args := range [][]string{
		{"audit", demoProject, "--out", t.TempDir(), "--format", "json"},
		{"checks"}, {"checks", "creepage"}, {"explain", demoProject, e.Line, e.Structure}, {"read", demoProject}, {"catalogue"},
		{"catalogue", demoProject}, {"verify", out}, {"version"}, {"version", "--notices"}, {"--help"},
	} {
		var stderr bytes.Buffer
		require.Equal(t, exitOutputs, run(t.Context(), args, full, &stderr), args)
		require.Contains(t, stderr.String(), "the standard output was not written: ", args)
		require.Contains(t, stderr.String(), "no space left on device", args)
		require.Equal(t, 1, bytes.Count(stderr.Bytes(), []byte("was not written")), args)
	}
}

// A run says for whom it waits, and gives up in time; with --quiet it says the latter only.
func TestWaitingIsSaid(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	auditInto(t, demoProject, out)
	lock, err := os.OpenFile(filepath.Join(out, ".dryarc.lock"), os.O_RDWR, 0)
	require.NoError(t, err)
	defer lock.Close()
	require.NoError(t, syscall.Flock(int(lock.Fd()), syscall.LOCK_EX))
	_, err = io.WriteString(lock, `{"pid":4711,"host":"mast","since":"2026-03-04T05:06:07Z"}`)
	require.NoError(t, err)
	const whom = "process 4711 on mast, since 2026-03-04 05:06:07"

	var stdout, stderr bytes.Buffer
	require.Equal(t, exitOutputs, run(t.Context(), []string{"audit", demoProject, "--out", out, "--wait", "1200ms"}, &stdout, &stderr))
	require.Contains(t, stderr.String(), "waiting for another run that writes to "+out+": "+whom+"\n")
	require.Contains(t, stderr.String(), "another run writes there ("+whom+"): waited 1s")
	stderr.Reset()
	require.Equal(t, exitOutputs, run(t.Context(), []string{"audit", demoProject, "--out", out, "--wait", "1200ms", "--quiet"}, &stdout, &stderr))
	require.NotContains(t, stderr.String(), "waiting")
	stderr.Reset()
	require.Equal(t, exitFound, run(t.Context(), []string{"verify", out}, &stdout, &stderr))
	require.Contains(t, stdout.String(), "a run writes there now ("+whom+")")
	require.Equal(t, exitDone, run(t.Context(), []string{"audit", demoProject, "--out", out, "--no-lock"}, &stdout, &stderr), stderr.String())
	lock.Close()
	require.Equal(t, exitDone, run(t.Context(), []string{"verify", out}, &stdout, &stderr))
	require.Equal(t, exitUsage, run(t.Context(), []string{"audit", demoProject, "--out", out, "--wait", "-1s"}, &stdout, &stderr))
}
