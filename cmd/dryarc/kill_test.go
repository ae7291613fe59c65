//go:build unix

package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Killing a run at any moment leaves each earlier output whole, and no output half written.
func TestKilledRunLeavesEarlierOutputsWhole(t *testing.T) {
	binary := filepath.Join(t.TempDir(), "dryarc")
	build := exec.Command("go", "build", "-o", binary, ".")
	text, err := build.CombinedOutput()
	require.NoError(t, err, string(text))
	out := filepath.Join(t.TempDir(), "out")
	audit := func() *exec.Cmd {
		return exec.Command(binary, "audit", demoProject, "--out", out, "--quiet", "--as-of", "2026-01-01")
	}
	start := time.Now()
	require.NoError(t, audit().Run())
	whole := time.Since(start)
	before := snapshot(t, out)

	killed := 0
	for i := range 24 {
		signal := syscall.SIGKILL
		if i%3 == 0 {
			signal = syscall.SIGINT
		}
		cmd := audit()
		require.NoError(t, cmd.Start())
		time.Sleep(whole * time.Duration(i) / 20)
		require.NoError(t, ignoreFinished(cmd.Process.Signal(signal)))
		if cmd.Wait() != nil {
			killed++
		}
		requireWhole(t, out, before)
	}
	require.Positive(t, killed, "no run was killed in time")
	require.NoError(t, audit().Run(), "a killed run must not block the next")
	requireWhole(t, out, before)
	leftovers, err := filepath.Glob(filepath.Join(out, "*.tmp"))
	require.NoError(t, err)
	hidden, err := filepath.Glob(filepath.Join(out, ".*.tmp"))
	require.NoError(t, err)
	require.Empty(t, append(leftovers, hidden...), "the next run clears what a killed one left")
}

func ignoreFinished(err error) error {
	if err == os.ErrProcessDone {
		return nil
	}
	return err
}

// requireWhole compares all but the workbook byte by byte; the workbook must open and have the same cells.
func requireWhole(t *testing.T, out string, before map[string]string) {
	t.Helper()
	now := snapshot(t, out)
	require.Len(t, now, len(before))
	for name, content := range now {
		if filepath.Ext(name) != ".xlsx" {
			require.Equal(t, before[name], content, name)
		}
		if filepath.Ext(name) == ".json" {
			require.True(t, json.Valid([]byte(content)))
		}
	}
	require.NotEmpty(t, cellsOf(t, filepath.Join(out, "exceptions.xlsx")))
}
