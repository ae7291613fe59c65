//go:build unix

package main

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A run that is killed at any moment loses no decision of the workbook that it was to replace: the next one has them all, each once.
// Tried are twenty kills or fifteen seconds, whichever is sooner; with DRYARC_HARD=1 two thousand.
func TestKilledRunLosesNoDecision(t *testing.T) {
	kills, until := trials(t, 20, 15*time.Second, 2000)
	edit := editor(t)
	d := newDecidable(t)
	d.audit("2026-11-25", exitDone)
	edit(d.workbook(), "sorted+moved", firstEdits...)
	kept := filepath.Join(t.TempDir(), "kept")
	require.NoError(t, os.CopyFS(kept, os.DirFS(d.out)))
	args := []string{"audit", d.project, "--out", d.out, "--as-of", "2026-11-26", "--quiet"}

	began := time.Now()
	require.NoError(t, program(args...).Run())
	usual := time.Since(began)
	require.Equal(t, firstStore, d.decided())
	random := rand.New(rand.NewPCG(1, 2))
	killed, taken, replaced := 0, 0, 0
	seldom := until.Add(time.Minute) // where a busy machine spoils the aim
	for i := 0; killed < kills && (i < 4 || time.Now().Before(until) || taken == 0 && time.Now().Before(seldom)); i++ {
		require.NoError(t, os.RemoveAll(d.out))
		require.NoError(t, os.CopyFS(d.out, os.DirFS(kept)))
		_ = os.Remove(d.store)
		cmd := program(args...)
		require.NoError(t, cmd.Start())
		switch i % 4 {
		case 0:
			time.Sleep(time.Duration(random.Float64() * float64(usual)))
		case 1: // while it stages
			awaitName(filepath.Join(d.out, ".dryarc-*"), 4*usual)
			time.Sleep(time.Duration(random.Float64() * float64(usual) / 3))
		default: // about as the file is replaced, and the outputs behind it
			awaitName(d.store, 4*usual)
			time.Sleep(time.Duration(random.IntN(4)) * 5 * time.Millisecond)
		}
		require.NoError(t, ignoreFinished(cmd.Process.Kill()))
		if cmd.Wait() != nil {
			killed++
			if len(d.decided()) > 0 {
				taken++
			}
		} else {
			replaced++
		}
		require.Contains(t, []int{0, len(firstStore)}, len(d.decided()), "the file is whole")
		require.NoError(t, program(args...).Run())
		require.Equal(t, firstStore, d.decided())
	}
	require.Positive(t, taken, "no run was killed after the file was replaced")
	t.Logf("%d killed, %d of them after the file was replaced; %d were done before", killed, taken, replaced)
	require.Positive(t, killed)
}

// awaitName waits until something has a name, or for some time.
func awaitName(pattern string, most time.Duration) {
	for until := time.Now().Add(most); time.Now().Before(until); time.Sleep(time.Millisecond) {
		if found, err := filepath.Glob(pattern); err == nil && len(found) > 0 {
			return
		}
	}
}
