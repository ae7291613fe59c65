package read

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"dryarc/audit/filelock"

	"github.com/stretchr/testify/require"
)

// TestLeftovers holds that what ended runs left is removed, and nothing else.
func TestLeftovers(t *testing.T) {
	folder := t.TempDir()
	t.Setenv("TMPDIR", folder)
	t.Setenv("TMP", folder)
	mine, err := temporaryFile()
	require.NoError(t, err)
	require.NoError(t, mine.Close())
	ended := exec.Command(os.Args[0], "-test.run=^$")
	require.NoError(t, ended.Run())
	gone := ended.Process.Pid
	kept := []string{filepath.Base(mine.Name())}
	for _, name := range []string{
		fmt.Sprintf("dryarc-%d-%s-", gone, machine()), fmt.Sprintf("dryarc-%d-%s-12.txt", gone, machine()), fmt.Sprintf("dryarc-%d-another%s-12", gone, machine()),
		fmt.Sprintf("dryarc-%d", gone), "dryarc-123456", fmt.Sprintf("other-%d-%s-12", gone, machine()), fmt.Sprintf("dryarc-%d-%s-12", os.Getppid(), machine()),
		fmt.Sprintf("dryarc--1-%s-12", machine()), fmt.Sprintf("dryarc-0-%s-12", machine()),
	} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), nil, 0o600))
		kept = append(kept, name)
	}
	left := filepath.Join(folder, fmt.Sprintf("dryarc-%d-%s-12", gone, machine()))
	require.NoError(t, os.WriteFile(left, nil, 0o600))
	require.NoError(t, os.Mkdir(filepath.Join(folder, fmt.Sprintf("dryarc-%d-%s-13", gone, machine())), 0o700))
	kept = append(kept, fmt.Sprintf("dryarc-%d-%s-13", gone, machine()))
	// As that of a process whose number is of another container, and which works on.
	held := fmt.Sprintf("dryarc-%d-%s-14", gone, machine())
	file, err := os.Create(filepath.Join(folder, held))
	require.NoError(t, err)
	defer file.Close()
	require.NoError(t, filelock.Try(file, true))
	kept = append(kept, held)

	_, err = newBase().read(t)
	require.NoError(t, err)
	require.NoFileExists(t, left)
	for _, name := range kept {
		_, err := os.Lstat(filepath.Join(folder, name))
		require.NoError(t, err, name)
	}
}
