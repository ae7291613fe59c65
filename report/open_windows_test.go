package report

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/windows"
)

// The file system does what TestOutputThatIsOpenElsewhere takes it to do: a file that is open as spreadsheets open it, for others to
// read, keeps its name, and the earlier set stands. Files are removed one by one, since Wine 8 does not know how RemoveAll does that.
func TestOutputThatIsOpenInWindows(t *testing.T) {
	dir, err := os.MkdirTemp("", "open-*")
	require.NoError(t, err)
	t.Cleanup(func() {
		entries, err := os.ReadDir(dir)
		require.NoError(t, err)
		for _, entry := range entries {
			require.NoError(t, os.Remove(filepath.Join(dir, entry.Name())))
		}
		require.NoError(t, os.Remove(dir))
	})
	require.NoError(t, writeTexts(context.Background(), dir, oldSet))
	old := contents(t, dir)
	for _, name := range []string{"exceptions.xlsx", "audit.html", AuditFile} {
		path, err := windows.UTF16PtrFromString(filepath.Join(dir, name))
		require.NoError(t, err)
		open, err := windows.CreateFile(path, windows.GENERIC_READ|windows.GENERIC_WRITE, windows.FILE_SHARE_READ, nil, windows.OPEN_EXISTING, 0, 0)
		require.NoError(t, err)
		_, err = writeAll(context.Background(), realDisk{}, dir, nil, listed(newSet), How{})
		var failed *WriteError
		require.ErrorAs(t, err, &failed)
		require.Equal(t, name, failed.File)
		require.NoError(t, windows.CloseHandle(open))
		require.Equal(t, old, contents(t, dir))
	}
	require.NoError(t, writeTexts(context.Background(), dir, newSet))
	found, err := Verify(dir)
	require.NoError(t, err)
	require.True(t, found.Whole())
}
