package report

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"dryarc/audit/filelock"

	"github.com/stretchr/testify/require"
)

// hold takes the lock of a folder as a run does.
func hold(t *testing.T, dir string) (release func()) {
	t.Helper()
	release, err := lock(context.Background(), dir, filepath.Join(dir, lockFile), How{})
	require.NoError(t, err)
	return release
}

// Who waits for another run is told which one, can still be interrupted, and gives up in the end; it writes nothing.
func TestWaitingForAnotherRun(t *testing.T) {
	dir := t.TempDir()
	release := hold(t, dir)
	host, err := os.Hostname()
	require.NoError(t, err)

	ctx, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
	defer cancel()
	require.ErrorIs(t, writeTexts(ctx, dir, []output{text("a", "new")}), context.DeadlineExceeded)
	require.Empty(t, filesIn(t, dir))

	var told []Holder
	_, err = writeAll(context.Background(), soundDisk(), dir, nil, listed([]output{text("a", "new")}),
		How{Wait: tellsAfter + 200*time.Millisecond, Waiting: func(h Holder) { told = append(told, h) }})
	var held *Held
	require.ErrorAs(t, err, &held)
	require.Equal(t, os.Getpid(), held.By.PID)
	require.Equal(t, host, held.By.Host)
	require.WithinDuration(t, time.Now(), held.By.Since, time.Minute)
	require.Equal(t, []Holder{held.By}, told, "once, after a second")
	require.ErrorContains(t, err, "another run writes there (process ")
	require.Empty(t, filesIn(t, dir))

	_, err = writeAll(context.Background(), soundDisk(), dir, nil, listed([]output{text("a", "new")}), How{NoLock: true})
	require.NoError(t, err)
	release()
	require.NoError(t, writeTexts(context.Background(), dir, []output{text("a", "newer")}))
	require.Equal(t, "newer", read(t, dir, "a"))
	require.Empty(t, read(t, dir, lockFile), "nobody holds it any more")
}

// A run that waits gets the lock when the one before it is done.
func TestWaitingEndsWithTheOtherRun(t *testing.T) {
	dir := t.TempDir()
	release := hold(t, dir)
	time.AfterFunc(100*time.Millisecond, release)
	began := time.Now()
	require.NoError(t, writeTexts(context.Background(), dir, []output{text("a", "new")}))
	require.GreaterOrEqual(t, time.Since(began), 100*time.Millisecond)
}

// A lock file that somebody removed while a run held it does not keep the next ones apart from each other.
func TestRemovedLockFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, lockFile)
	stale, err := openLock(dir, path)
	require.NoError(t, err)
	defer stale.Close()
	require.NoError(t, os.Remove(path))
	require.NoError(t, filelock.Try(stale, true))
	release := hold(t, dir)
	_, err = lockNow(dir, path)
	require.ErrorIs(t, err, filelock.ErrHeld)
	release()
	hold(t, dir)()
}

// Whoever may read a folder may look at its lock and whoever may write there take it, whatever the umask of who came first.
func TestLockFileIsForAllWhoMayWrite(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("there are no such modes")
	}
	for folder, want := range map[os.FileMode]os.FileMode{0o700: 0o600, 0o755: 0o644, 0o775: 0o664, 0o777: 0o666, 0o770: 0o660} {
		dir := t.TempDir()
		require.NoError(t, os.Chmod(dir, folder))
		hold(t, dir)()
		info, err := os.Stat(filepath.Join(dir, lockFile))
		require.NoError(t, err)
		require.Equal(t, want, info.Mode().Perm(), folder)
	}
}

// A lock file that may only be read still locks.
func TestLockFileOfSomebodyElse(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Log("root may write what is read only, so that this shows less")
	}
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, lockFile), nil, 0o444))
	release := hold(t, dir)
	defer release()
	_, err := lock(context.Background(), dir, filepath.Join(dir, lockFile), How{})
	var held *Held
	require.ErrorAs(t, err, &held)
}

func TestHolderInWords(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, lockFile)
	require.Zero(t, holderOf(path))
	require.NoError(t, os.WriteFile(path, []byte("{"), 0o666))
	require.Equal(t, "another run, which did not say who it is", holderOf(path).String())
	h := Holder{17, "mast", time.Date(2026, 3, 4, 5, 6, 7, 0, time.UTC)}
	written, err := json.Marshal(h)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, written, 0o666))
	require.Equal(t, "process 17 on mast, since 2026-03-04 05:06:07", holderOf(path).String())
	require.Equal(t, `process 1 on a\x0ab, since 0001-01-01 00:00:00`, Holder{PID: 1, Host: "a\nb"}.String())
	require.Equal(t, "another run writes there (process 17 on mast, since 2026-03-04 05:06:07): waited 2m0s",
		(&Held{By: h, For: 2 * time.Minute}).Error())
	require.ErrorIs(t, &Held{Err: context.Canceled}, context.Canceled)
	require.False(t, errors.Is(&Held{}, context.Canceled))
}

// What was put under the name of the lock, and is none, is left as it is, and so is what it leads to.
func TestLockFileThatIsNone(t *testing.T) {
	for name, place := range map[string]func(target, path string) error{
		"symbolic link": os.Symlink,
		"hard link":     os.Link,
		"broken link":   func(target, path string) error { return os.Symlink(target+"-of-nothing", path) },
		"folder":        func(_, path string) error { return os.Mkdir(path, 0o777) },
	} {
		dir, elsewhere := t.TempDir(), filepath.Join(t.TempDir(), "precious")
		require.NoError(t, os.WriteFile(elsewhere, []byte("precious"), 0o666))
		require.NoError(t, place(elsewhere, filepath.Join(dir, lockFile)), name)
		_, err := writeAll(context.Background(), soundDisk(), dir, nil, listed([]output{text("a", "new")}), How{})
		require.ErrorIs(t, err, errNoLock, name)
		require.ErrorContains(t, err, filepath.Join(dir, lockFile), name)
		require.Equal(t, "precious", read(t, filepath.Dir(elsewhere), "precious"), name)
		require.NoFileExists(t, elsewhere+"-of-nothing", name)
		require.NoFileExists(t, filepath.Join(dir, "a"), name)
	}
}
