//go:build !windows

package report

import (
	"context"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// soon fails where something takes long that must not wait.
func soon(t *testing.T, do func()) {
	t.Helper()
	done := make(chan struct{})
	go func() {
		defer close(done)
		do()
	}()
	select {
	case <-done:
	case <-time.After(10 * time.Second):
		t.Fatal("waits for a pipe")
	}
}

// A pipe or a device in the folder is told of, and nobody waits for what comes out of it.
func TestVerifyWaitsForNoPipe(t *testing.T) {
	pipe := func(path string) error { return syscall.Mkfifo(path, 0o666) }
	endless := func(path string) error { return os.Symlink("/dev/zero", path) }
	for _, test := range []struct {
		file, damage, remark, fails string
		place                       func(path string) error
	}{
		{file: "audit.html", place: pipe, damage: "audit.html: cannot be read: open "},
		{file: "exceptions.xlsx", place: endless, damage: "exceptions.xlsx: cannot be read: open "},
		{file: "exceptions.csv", place: pipe, remark: "exceptions.csv: not of this run, and carries the id of none"},
		{file: lockFile, place: pipe, remark: ".dryarc.lock could not be looked at, so that a run may be writing there now: open "},
		{file: AuditFile, place: endless, fails: "is no regular file"},
	} {
		dir := t.TempDir()
		written(t, dir, fixtureResult(t))
		path := filepath.Join(dir, test.file)
		require.NoError(t, removeIfThere(realDisk{}, path))
		require.NoError(t, test.place(path))
		soon(t, func() {
			found, err := Verify(dir)
			if test.fails != "" {
				require.ErrorContains(t, err, test.fails)
				return
			}
			require.NoError(t, err)
			for lines, want := range map[*[]string]string{&found.Damage: test.damage, &found.Remarks: test.remark} {
				if want == "" {
					require.Empty(t, *lines, test.file)
					continue
				}
				require.Len(t, *lines, 1, test.file)
				require.Contains(t, (*lines)[0], want)
			}
		})
	}
}

func TestJournalThatIsAPipe(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, syscall.Mkfifo(filepath.Join(dir, journalFile), 0o666))
	soon(t, func() {
		err := writeTexts(context.Background(), dir, []output{text("a", "new")})
		require.ErrorIs(t, err, errNotRegular)
		require.NoFileExists(t, filepath.Join(dir, "a"))
	})
}

// Who may not open the lock is told that it was not looked at.
func TestVerifyWithALockItMayNotRead(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("root may read it")
	}
	dir := t.TempDir()
	written(t, dir, fixtureResult(t))
	require.NoError(t, os.Chmod(filepath.Join(dir, lockFile), 0o200))
	found, err := Verify(dir)
	require.NoError(t, err)
	require.True(t, found.Whole())
	require.Len(t, found.Remarks, 1)
	require.Contains(t, found.Remarks[0], lockFile+" could not be looked at")
}
