//go:build unix

package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Killing a run at any moment leaves one whole run behind once the next one has begun, never a mixture that verify calls
// whole, and each earlier output in its place. Two runs alternate, so that their files differ. It takes a hundred kills or
// fifteen seconds, whichever is sooner; with DRYARC_HARD=1 it takes five hundred kills.
func TestKilledRunLeavesAWholeRun(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	project := filepath.Join(t.TempDir(), "new")
	var said bytes.Buffer
	require.Equal(t, exitDone, run(t.Context(), []string{"new", project}, &said, &said)) // a small one, for many kills
	audit := func(which int) *exec.Cmd {
		return program("audit", filepath.Join(project, "audit.yaml"), "--out", out, "--quiet", "--as-of", []string{"2026-01-01", "2026-02-02"}[which])
	}
	var whole [2]map[string]string
	start := time.Now()
	for which := range whole {
		require.NoError(t, audit(which).Run())
		whole[which] = snapshot(t, out)
	}
	took := time.Since(start) / 2
	require.NotEqual(t, whole[0], whole[1])

	kills, until := 100, start.Add(15*time.Second)
	if os.Getenv("DRYARC_HARD") != "" {
		kills, until = 500, start.Add(time.Hour)
	}
	killed, cut, old, new := 0, 0, 0, 0
	before := whole[1]
	for i := 0; i < kills && time.Now().Before(until); i++ {
		which := 0
		if before["audit.json"] == whole[0]["audit.json"] {
			which = 1
		}
		signal := syscall.SIGKILL
		if i%5 == 0 {
			signal = syscall.SIGINT
		}
		cmd := audit(which)
		require.NoError(t, cmd.Start())
		time.Sleep(momentOf(i, took))
		require.NoError(t, ignoreFinished(cmd.Process.Signal(signal)))
		if cmd.Wait() != nil {
			killed++
		}
		now := snapshot(t, out)
		require.Len(t, now, len(whole[0]))
		for name, content := range now {
			require.Contains(t, []string{whole[0][name], whole[1][name]}, content, "%s is neither the old nor the new one", name)
		}
		var stdout, stderr bytes.Buffer
		if run(t.Context(), []string{"verify", out}, &stdout, &stderr) != exitDone {
			require.Contains(t, stdout.String(), "a run was cut short while it replaced the files")
			require.NoError(t, audit(which).Run(), "a killed run must not block the next")
			before = snapshot(t, out)
			require.Equal(t, whole[which], before)
			cut++
			continue
		}
		if now["audit.json"] == whole[which]["audit.json"] {
			new++
			require.Equal(t, whole[which], now)
		} else {
			old++
			require.Equal(t, before, now)
		}
		before = now
	}
	t.Logf("%d runs killed, %d while they replaced files; %d folders held the earlier run, %d the new one", killed, cut, old, new)
	require.Positive(t, killed, "no run was killed in time")
	require.NoError(t, audit(0).Run())
	require.Equal(t, whole[0], snapshot(t, out))
	hidden, err := filepath.Glob(filepath.Join(out, ".dryarc*"))
	require.NoError(t, err)
	require.Equal(t, []string{filepath.Join(out, ".dryarc.lock")}, hidden, "the next run clears what a killed one left")
}

// momentOf spreads the kills over a run, most of them over its end, where the files are replaced.
func momentOf(i int, took time.Duration) time.Duration {
	share := float64(i*37%100) / 100
	if i%4 != 0 {
		share = 0.6 + 0.5*share
	}
	return time.Duration(share * float64(took))
}

func ignoreFinished(err error) error {
	if err == os.ErrProcessDone {
		return nil
	}
	return err
}
