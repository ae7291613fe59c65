package report

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// How a faultyDisk fails at its operation.
type trouble uint8

const (
	refused  trouble = iota // this one operation fails, and half of what it writes is written
	fullDisk                // from it on nothing more can be made or written, only renamed and removed
	readOnly                // from it on no name can be changed
	heldOpen                // from it on nothing can be renamed, but all else works
	powerCut                // from it on nothing happens any more, and what was not synced is lost
)

var troubles = []trouble{refused, fullDisk, readOnly, heldOpen, powerCut}

func (t trouble) String() string {
	return [...]string{"refused", "full disk", "read only", "held open", "power cut"}[t]
}

// faultyDisk is the file system until its operation number at, counted from 0. It does not wait for the disk.
type faultyDisk struct {
	realDisk
	at   int
	how  trouble
	mu   sync.Mutex
	done int
	// unsynced holds the paths of files that would be empty after a power cut.
	unsynced map[string]bool
}

func newFaultyDisk(at int, how trouble) *faultyDisk {
	return &faultyDisk{at: at, how: how, unsynced: map[string]bool{}}
}

// soundDisk never fails.
func soundDisk() *faultyDisk { return newFaultyDisk(1<<30, refused) }

// op counts an operation and fails it where it has to. makes and names tell what it does on the disk.
func (d *faultyDisk) op(makes, names bool) error { return d.count(makes, names, false) }

func (d *faultyDisk) count(makes, names, renames bool) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	n := d.done
	d.done++
	if n < d.at {
		return nil
	}
	switch d.how {
	case refused:
		if n == d.at {
			return syscall.EACCES
		}
	case fullDisk:
		if makes {
			return syscall.ENOSPC
		}
	case readOnly:
		if names {
			return syscall.EROFS
		}
	case heldOpen:
		if renames {
			return syscall.EBUSY
		}
	case powerCut:
		for path := range d.unsynced {
			_ = os.Truncate(path, 0)
		}
		d.unsynced = map[string]bool{}
		return errors.New("stopped")
	}
	return nil
}

func (d *faultyDisk) Mkdir(path string) error {
	if err := d.op(true, true); err != nil {
		return err
	}
	return d.realDisk.Mkdir(path)
}

func (d *faultyDisk) Create(path string) (diskFile, error) {
	if err := d.op(true, true); err != nil {
		return nil, err
	}
	file, err := d.realDisk.Create(path)
	d.mu.Lock()
	defer d.mu.Unlock()
	d.unsynced[path] = true
	return &faultyFile{d, file, path}, err
}

func (d *faultyDisk) Link(old, new string) error {
	if err := d.op(true, true); err != nil {
		return err
	}
	return d.realDisk.Link(old, new)
}

func (d *faultyDisk) Rename(old, new string) error {
	if err := d.count(false, true, true); err != nil {
		return err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.unsynced[old] {
		delete(d.unsynced, old)
		d.unsynced[new] = true
	}
	return d.realDisk.Rename(old, new)
}

func (d *faultyDisk) Remove(path string) error {
	if err := d.op(false, true); err != nil {
		return err
	}
	return d.realDisk.Remove(path)
}

func (d *faultyDisk) SyncFolder(string) error { return d.op(false, false) }

func (d *faultyDisk) Lstat(path string) (fs.FileInfo, error) {
	if err := d.op(false, false); err != nil {
		return nil, err
	}
	return d.realDisk.Lstat(path)
}

func (d *faultyDisk) ReadDir(path string) ([]fs.DirEntry, error) {
	if err := d.op(false, false); err != nil {
		return nil, err
	}
	return d.realDisk.ReadDir(path)
}

func (d *faultyDisk) ReadFile(path string) ([]byte, error) {
	if err := d.op(false, false); err != nil {
		return nil, err
	}
	return d.realDisk.ReadFile(path)
}

type faultyFile struct {
	disk *faultyDisk
	diskFile
	path string
}

func (f *faultyFile) Write(p []byte) (int, error) {
	if err := f.disk.op(true, false); err != nil {
		n, _ := f.diskFile.Write(p[:len(p)/2])
		return n, err
	}
	return f.diskFile.Write(p)
}

func (f *faultyFile) WriteAt(p []byte, at int64) (int, error) {
	if err := f.disk.op(true, false); err != nil {
		n, _ := f.diskFile.WriteAt(p[:len(p)/2], at)
		return n, err
	}
	return f.diskFile.WriteAt(p, at)
}

func (f *faultyFile) Sync() error {
	if err := f.disk.op(true, false); err != nil {
		return err
	}
	f.disk.mu.Lock()
	defer f.disk.mu.Unlock()
	delete(f.disk.unsynced, f.path)
	return nil
}

func (f *faultyFile) Close() error {
	return errors.Join(f.disk.op(false, false), f.diskFile.Close())
}

// setOf are small outputs of a run by the names of real ones, with an audit.json that vouches for them.
func setOf(run string, names ...string) (list []output) {
	for _, name := range names {
		list = append(list, text(name, run+" "+name))
	}
	vouch := func(_ context.Context, w io.Writer, _ *audit.Result, others []Output) (func([]Output) []byte, error) {
		text := func(others []Output) []byte {
			text, _ := json.Marshal(map[string]any{"run": map[string]any{"id": run, "outputs": others}})
			return text
		}
		_, err := w.Write(text(others))
		return text, err
	}
	return append(list, output{name: AuditFile, last: vouch})
}

var (
	// The new set has a file that the old one lacks, and lacks one on request that must stay.
	oldSet = setOf("old", "exceptions.xlsx", "audit.html", "exceptions.csv")
	newSet = setOf("new", "exceptions.xlsx", "audit.html", "exceptions.geojson")
)

// contents are the files of a folder by name, without the lock.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	for _, name := range filesIn(t, dir) {
		if info, err := os.Lstat(filepath.Join(dir, name)); err == nil && info.IsDir() {
			name = fmt.Sprintf("folder %s", name)
			files[name] = ""
			continue
		}
		files[name] = read(t, dir, name)
	}
	return files
}

// setsInPlace returns what the folder holds with the old and with the new set in place.
func setsInPlace(t *testing.T) (old, new map[string]string) {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, writeTexts(context.Background(), dir, oldSet))
	old = contents(t, dir)
	require.NoError(t, writeTexts(context.Background(), dir, newSet))
	new = contents(t, dir)
	require.Len(t, old, 4)
	require.Len(t, new, 5)
	require.Equal(t, "old exceptions.csv", new["exceptions.csv"])
	return old, new
}

// operationsOf counts the operations of replacing the old set by the new one.
func operationsOf(t *testing.T) int {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, writeTexts(context.Background(), dir, oldSet))
	disk := soundDisk()
	_, err := writeAll(context.Background(), disk, dir, nil, listed(newSet), How{})
	require.NoError(t, err)
	return disk.done
}

// requireOldOrNew fails unless the folder holds one of the two sets and nothing else; it returns whether it is the new
// one.
func requireOldOrNew(t *testing.T, dir string, old, new map[string]string) bool {
	t.Helper()
	now := contents(t, dir)
	if now[AuditFile] == new[AuditFile] {
		require.Equal(t, new, now)
		return true
	}
	require.Equal(t, old, now)
	return false
}

// requireNoMixture fails where Verify calls whole what is neither the old nor the new set.
func requireNoMixture(t *testing.T, dir string, old, new map[string]string) {
	t.Helper()
	found, err := Verify(dir)
	require.NoError(t, err, "audit.json always has a file, since there are links")
	if !found.Whole() {
		return
	}
	now, want := contents(t, dir), old
	if found.Runs[0].Run == "new" {
		want = new
	}
	for name, content := range want {
		require.Equal(t, content, now[name], "verify called it whole")
	}
}

// Whatever operation fails, and however, the folder holds one whole set: at once where the file system lets it be put
// back, else after the recovery of the next run. A run that reports success has the new set in place.
func TestSwapFailsAtEachOperation(t *testing.T) {
	old, new := setsInPlace(t)
	total := operationsOf(t)
	require.Greater(t, total, 40)
	for _, how := range troubles {
		reached := 0
		for at := range total {
			t.Run(fmt.Sprintf("%s at operation %d", how, at), func(t *testing.T) {
				dir := t.TempDir()
				require.NoError(t, writeTexts(context.Background(), dir, oldSet))
				disk := newFaultyDisk(at, how)
				_, err := writeAll(context.Background(), disk, dir, nil, listed(newSet), How{})
				requireNoMixture(t, dir, old, new)
				if err == nil {
					require.Equal(t, new[AuditFile], read(t, dir, AuditFile))
				} else {
					reached++
				}
				if how == refused || how == fullDisk {
					now := contents(t, dir)
					for name, content := range old {
						if err == nil {
							content = new[name]
						}
						require.Equal(t, content, now[name], "%s stands at once", name)
					}
				}
				require.NoError(t, folder{soundDisk(), dir}.recover())
				isNew := requireOldOrNew(t, dir, old, new)
				if err == nil {
					require.True(t, isNew, "a run that reported success")
				}
				found, err := Verify(dir)
				require.NoError(t, err)
				require.True(t, found.Whole(), found.Damage)
				require.NoError(t, writeTexts(context.Background(), dir, newSet), "the next run is not blocked")
				require.Equal(t, new, contents(t, dir))
			})
		}
		require.Greater(t, reached, total/4, "the trouble must have been noticed")
		t.Logf("%s: at each of %d operations, %d of them failed the run", how, total, reached)
	}
}

// A recovery that is cut short itself, at any operation, is done by the one after it.
func TestRecoveryStopsAtEachOperation(t *testing.T) {
	old, new := setsInPlace(t)
	total := operationsOf(t)
	undone := 0
	for at := range total {
		for again := 0; ; again++ {
			dir := t.TempDir()
			require.NoError(t, writeTexts(context.Background(), dir, oldSet))
			_, err := writeAll(context.Background(), newFaultyDisk(at, powerCut), dir, nil, listed(newSet), How{})
			if err == nil {
				break // only the tidying up was stopped
			}
			journal, err := exists(realDisk{}, filepath.Join(dir, journalFile))
			require.NoError(t, err)
			if !journal {
				break // staging folders are removed without a journal, which the test above covers
			}
			disk := newFaultyDisk(again, powerCut)
			failed := folder{disk, dir}.recover()
			requireNoMixture(t, dir, old, new)
			require.NoError(t, folder{soundDisk(), dir}.recover())
			require.False(t, requireOldOrNew(t, dir, old, new), "a journal goes back to the old set")
			if undone++; failed == nil {
				break
			}
		}
	}
	require.Greater(t, undone, 100)
	t.Logf("recoveries stopped: %d", undone)
}

// Where the file system has no links the old files are moved aside, and come back all the same.
func TestSwapWithoutLinks(t *testing.T) {
	old, new := setsInPlace(t)
	for at := range operationsOf(t) + len(newSet) {
		dir := t.TempDir()
		require.NoError(t, writeTexts(context.Background(), dir, oldSet))
		disk := linkless{newFaultyDisk(at, powerCut)}
		_, err := writeAll(context.Background(), disk, dir, nil, listed(newSet), How{})
		if found, unread := Verify(dir); unread == nil && found.Whole() {
			require.Contains(t, []string{old[AuditFile], new[AuditFile]}, read(t, dir, AuditFile))
			requireNoMixture(t, dir, old, new)
		}
		require.NoError(t, folder{soundDisk(), dir}.recover())
		if requireOldOrNew(t, dir, old, new) {
			continue
		}
		require.Error(t, err)
	}
}

type linkless struct{ *faultyDisk }

func (linkless) Link(string, string) error { return syscall.EPERM }

// holdingDisk is a file system with the rules of Windows: while another program has a file open no name of it can be taken, changed or
// removed, and outputs get no second names.
type holdingDisk struct {
	*faultyDisk
	held fs.FileInfo
}

func (d *holdingDisk) refuses(path string) bool {
	info, err := os.Stat(path)
	return err == nil && d.held != nil && os.SameFile(info, d.held)
}

func (d *holdingDisk) Link(string, string) error { return errors.ErrUnsupported }

func (d *holdingDisk) Rename(old, new string) error {
	if d.refuses(old) || d.refuses(new) {
		return &os.LinkError{Op: "rename", Old: old, New: new, Err: fs.ErrPermission}
	}
	return d.faultyDisk.Rename(old, new)
}

func (d *holdingDisk) Remove(path string) error {
	if d.refuses(path) {
		return &fs.PathError{Op: "remove", Path: path, Err: fs.ErrPermission}
	}
	return d.faultyDisk.Remove(path)
}

// An output that a spreadsheet has open is named, whichever it is, and the earlier set stands as it was; once it is closed the next run is as any other.
func TestOutputThatIsOpenElsewhere(t *testing.T) {
	old, new := setsInPlace(t)
	for _, o := range newSet {
		if _, there := old[o.name]; !there {
			continue
		}
		dir := t.TempDir()
		require.NoError(t, writeTexts(context.Background(), dir, oldSet))
		held, err := os.Stat(filepath.Join(dir, o.name))
		require.NoError(t, err)
		_, err = writeAll(context.Background(), &holdingDisk{soundDisk(), held}, dir, nil, listed(newSet), How{})
		var failed *WriteError
		require.ErrorAs(t, err, &failed)
		require.Equal(t, o.name, failed.File)
		require.ErrorContains(t, err, "is it open in another program, such as a spreadsheet? close it there and run again")
		require.Equal(t, old, contents(t, dir), "with nothing left of the run")
		_, err = writeAll(context.Background(), &holdingDisk{soundDisk(), nil}, dir, nil, listed(newSet), How{})
		require.NoError(t, err)
		require.Equal(t, new, contents(t, dir))
	}
}

// A journal can name files in the folder only, whoever wrote it.
func TestHostileJournals(t *testing.T) {
	outside := filepath.Join(t.TempDir(), "precious")
	require.NoError(t, os.WriteFile(outside, []byte("kept"), 0o666))
	dir := filepath.Join(filepath.Dir(outside), "out")
	require.NoError(t, os.MkdirAll(filepath.Join(dir, ".dryarc-7"), 0o777))
	for _, journal := range []string{
		`{"staging":".dryarc-7","files":[{"name":"../precious","had":false}]}`,
		`{"staging":".dryarc-7","files":[{"name":"..","had":true}]}`,
		`{"staging":"../out/.dryarc-7","files":[{"name":"precious","had":false}]}`,
		`{"staging":"..","files":[{"name":"precious","had":false}]}`,
		`{"staging":`, ``,
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, journalFile), []byte(journal), 0o666))
		err := writeTexts(context.Background(), dir, newSet)
		require.ErrorContains(t, err, "the journal of an earlier run", journal)
		require.Equal(t, "kept", read(t, filepath.Dir(outside), "precious"))
		require.False(t, strings.Contains(strings.Join(filesIn(t, dir), " "), AuditFile))
	}
}

// An earlier file that cannot be put back, since the new one is open elsewhere, is named with what to do.
func TestEarlierFileThatCannotBePutBack(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, writeTexts(context.Background(), dir, oldSet))
	require.NoError(t, os.Mkdir(filepath.Join(dir, ".dryarc-1"), 0o777))
	require.NoError(t, os.WriteFile(filepath.Join(dir, ".dryarc-1", "old-audit.html"), []byte("old"), 0o666))
	held, err := os.Stat(filepath.Join(dir, "audit.html"))
	require.NoError(t, err)
	err = folder{&holdingDisk{soundDisk(), held}, dir}.undo(journal{".dryarc-1", []swapMember{{Name: "audit.html", Had: true}}})
	require.ErrorContains(t, err, "audit.html was not written: the earlier file is not back in its place yet")
	require.ErrorContains(t, err, "close it there and run again")
}
