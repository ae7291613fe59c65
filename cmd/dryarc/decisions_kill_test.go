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
	for i := 0; killed < kills && (i < 4 || time.Now().Before(until)); i++ {
		require.NoError(t, os.RemoveAll(d.out))
		require.NoError(t, os.CopyFS(d.out, os.DirFS(kept)))
		_ = os.Remove(d.store)
		cmd := program(args...)
		require.NoError(t, cmd.Start())
		share := 0.7 + 0.35*random.Float64() // the file and the outputs are replaced at the end
		if i%4 == 0 {
			share = random.Float64()
		}
		time.Sleep(time.Duration(share * float64(usual)))
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
	t.Logf("%d killed, %d of them after the file was replaced; %d were done before", killed, taken, replaced)
	require.Positive(t, killed)
}
