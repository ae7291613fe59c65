//go:build unix

package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestSize(t *testing.T) {
	for text, want := range map[string]int{"10k": 10_000, " 5M": 5_000_000, "20000000": 20_000_000, "": 0, "M": 0, "-1k": 0, "1.5M": 0} {
		n, err := size(text)
		require.Equal(t, want, n, text)
		require.Equal(t, want == 0, err != nil, text)
	}
}

func TestMedians(t *testing.T) {
	require.Equal(t, measurement{2, 30, 1, 0, 7}, medians([]measurement{{3, 10, 1, 0, 7}, {2, 30, 1, 0, 7}, {1, 50, 1, 0, 7}}))
	require.Equal(t, measurement{wall: 2.5}, medians([]measurement{{wall: 4}, {wall: 1}, {wall: 3}, {wall: 2}}))
	require.Zero(t, medians(nil))
}

// A peer that is not there is told with the reason, and what a row says is held against the program.
func TestWhatIsNotInstalledIsSaid(t *testing.T) {
	require.Equal(t, "DRYARC_PEERS names no folder", lacking("", "script.py", "sh", "-c", "true"))
	folder := t.TempDir()
	require.Equal(t, "no script.py in "+folder, lacking(folder, "script.py", "sh", "-c", "true"))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "script.py"), nil, 0o666))
	require.Contains(t, lacking(folder, "script.py", "sh", "-c", "echo wanting; exit 3"), "wanting")
	require.Empty(t, lacking(folder, "script.py", "sh", "-c", "true"))

	var table sizeTable
	table.add("Left out.")
	require.Equal(t, "Left out.", table.String())
	table.row(100_000, "peer", 3, measurement{wall: 4, cpu: 5, peakMB: 200}, measurement{wall: 2, cpu: 1})
	require.Contains(t, table.String(), "\n| 100000 | peer | 3 | 4.00 | 5.00 | 200 | 0 | 0 | 40.00 | 50.00 | 2000 | 0.500 | 0.200 |")
}

// What a run leaves and what it takes meanwhile are told apart, also of a file that has no name any more.
func TestMeasuredTellsTemporaryFromOutputs(t *testing.T) {
	if _, err := exec.LookPath("sh"); errors.Is(err, exec.ErrNotFound) {
		t.Skip("no sh")
	}
	const script = `head -c 3000000 /dev/zero > "$TMPDIR/a"; head -c 2000000 /dev/zero > "$0/b"; sleep 0.3; rm "$TMPDIR/a"; echo done`
	m, err := measured(t, func(_, out string) *exec.Cmd { return exec.Command("sh", "-c", script, out) }, "")
	require.NoError(t, err)
	require.InDelta(t, 2, m.outputMB, 0.001)
	require.InDelta(t, 3, m.temporaryMB, 0.001)
	require.Greater(t, m.wall, 0.3)
	require.Positive(t, m.peakMB)
	_, err = measured(t, func(_, _ string) *exec.Cmd { return exec.Command("sh", "-c", "echo why; exit 4") }, "")
	require.ErrorContains(t, err, "exit status 4: why")

	file, err := os.Create(filepath.Join(t.TempDir(), "c"))
	require.NoError(t, err)
	defer file.Close()
	require.NoError(t, file.Truncate(5000))
	before := unlinked(os.Getpid())
	require.NoError(t, os.Remove(file.Name()))
	if _, err := os.Stat("/proc/self/fd"); err == nil {
		require.Equal(t, before+5000, unlinked(os.Getpid()))
	}
}
