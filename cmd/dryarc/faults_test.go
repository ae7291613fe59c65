//go:build linux

package main

import (
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A folder of outputs that is taken away at any moment of a run holds the old or the new set, as after a kill, and a run
// that says that it is done has left the new one, there or in a folder made anew. It takes twelve times; with
// DRYARC_HARD=1 it takes two hundred.
func TestFolderTakenAway(t *testing.T) {
	t.Parallel()
	count, until := trials(t, 12, 8*time.Second, 200)
	a := newAlternation(t)
	usual := a.measure()
	random := rand.New(rand.NewPCG(5, 6))
	codes, anew, cut := map[int]int{}, 0, 0
	gone := a.out + " taken away"
	i := 0
	for ; i < count && (i < 8 || time.Now().Before(until)); i++ {
		which, at := 1-a.stands, aim(i)
		r := start(t, a.audit(which))
		r.await(a.out, at, time.Duration(0.8*random.Float64()*float64(usual[at])))
		require.NoError(t, os.Rename(a.out, gone))
		code := r.wait()
		codes[code]++
		require.Contains(t, []int{exitDone, exitOutputs}, code, r.said.String())
		_, err := os.Lstat(a.out)
		made := err == nil
		if made {
			require.Equal(t, exitDone, code, r.said.String())
			require.True(t, maps.Equal(a.first[which], snapshot(t, a.out)), "a first run")
			require.NoError(t, os.RemoveAll(a.out))
			anew++
		}
		require.NoError(t, os.Rename(gone, a.out))
		if a.requireOldOrNew(which) {
			require.Equal(t, exitOutputs, code)
			a.requireRecovery()
			cut++
		}
		require.True(t, code != exitDone || made || a.stands == which, "it said that it was done")
	}
	t.Logf("folders taken away: %d; exit codes: %v; made anew: %d; cut short while replacing: %d", i, codes, anew, cut)
	require.Positive(t, codes[exitOutputs])
	if i > 50 { // of a few, none may come early enough on a machine whose pace changes
		require.Positive(t, anew)
	}
}

// smallDisk is an alternation whose outputs lie on a file system of their own, with the old set in place.
type smallDisk struct {
	*alternation
	at string // where it is mounted
}

func newSmallDisk(t *testing.T) *smallDisk {
	t.Helper()
	d := &smallDisk{alternation: newAlternation(t), at: t.TempDir()}
	d.mount(d.at)
	d.out = filepath.Join(d.at, "out")
	for _, which := range []int{0, 1} {
		require.Equal(t, exitDone, start(t, d.audit(which)).wait())
	}
	d.requireDone(0)
	return d
}

// mount mounts a file system in memory, and skips the test where that is not allowed.
func (d *smallDisk) mount(at string) {
	d.t.Helper()
	err := syscall.Mount("none", at, "tmpfs", 0, "size=64m")
	if errors.Is(err, syscall.EPERM) || errors.Is(err, syscall.EACCES) {
		d.t.Skip("mounting is not allowed here")
	}
	require.NoError(d.t, err)
	d.t.Cleanup(func() { require.NoError(d.t, syscall.Unmount(at, syscall.MNT_DETACH)) })
}

func (d *smallDisk) remount(at string, flags uintptr, options string) {
	d.t.Helper()
	require.NoError(d.t, syscall.Mount("none", at, "tmpfs", syscall.MS_REMOUNT|flags, options), options)
}

func (d *smallDisk) requireDone(which int) {
	d.t.Helper()
	r := start(d.t, d.audit(which))
	require.Equal(d.t, exitDone, r.wait(), r.said.String())
	require.Equal(d.t, d.sets[which], snapshot(d.t, d.out))
	d.stands = which
}

// used returns how many bytes and names the file system has in use.
func (d *smallDisk) used() (bytes, names int) {
	d.t.Helper()
	var at syscall.Statfs_t
	require.NoError(d.t, syscall.Statfs(d.at, &at))
	return int(at.Blocks-at.Bfree) * int(at.Bsize), int(at.Files - at.Ffree)
}

// requireRefused runs the other set, which may find too little room. Where it does the old set stands at once, with
// nothing beside it. It tells whether the run was done.
func (d *smallDisk) requireRefused(room string) (done bool) {
	t := d.t
	t.Helper()
	which := 1 - d.stands
	r := start(t, d.audit(which))
	code := r.wait()
	if code == exitDone {
		require.Equal(t, d.sets[which], snapshot(t, d.out), room)
	} else {
		require.Equal(t, exitOutputs, code, "%s: %s", room, &r.said)
		require.Contains(t, r.said.String(), "was not written", room)
		require.Equal(t, d.sets[d.stands], snapshot(t, d.out), room)
	}
	require.Equal(t, []string{lockName}, hidden(t, d.out), room)
	require.Empty(t, names(t, d.temp), room)
	verify, said := verified(t, d.out)
	require.Equal(t, exitDone, verify, said)
	return code == exitDone
}

func hardOnly(t *testing.T) {
	t.Helper()
	if os.Getenv("DRYARC_HARD") == "" {
		t.Skip("mounts file systems: .ci/hard faults")
	}
}

const memoryPage = 4 << 10 // that a file system in memory gives away at a time

// A disk that is full at any size up to the one that a run needs beside the old set costs the run, and nothing else.
func TestFullDisk(t *testing.T) {
	hardOnly(t)
	d := newSmallDisk(t)
	used, _ := d.used()
	refusedAt := 0
	attempt := func(room int) bool {
		d.remount(d.at, 0, fmt.Sprintf("size=%d", used+room))
		done := d.requireRefused(fmt.Sprintf("%d bytes of room", room))
		if !done {
			refusedAt++
		}
		return done
	}
	const step = 8 * memoryPage
	room := 0
	for ; !attempt(room); room += step {
	}
	d.remount(d.at, 0, "size=64m")
	d.requireDone(0)
	used, _ = d.used()
	for room -= step; !attempt(room); room += memoryPage {
	}
	d.remount(d.at, 0, "size=64m")
	d.requireDone(0)
	t.Logf("sizes too small: %d, in steps of %d bytes and the last ones of %d; enough: %d bytes beside the old set of %d", refusedAt, step, memoryPage, room, used)
	require.Greater(t, refusedAt, 10)
}

// The same for a file system that has no room for more names.
func TestFullOfNames(t *testing.T) {
	hardOnly(t)
	d := newSmallDisk(t)
	_, used := d.used()
	room := 0
	for ; ; room++ {
		d.remount(d.at, 0, fmt.Sprintf("nr_inodes=%d", used+room))
		if d.requireRefused(fmt.Sprintf("room for %d names", room)) {
			break
		}
	}
	d.remount(d.at, 0, "nr_inodes=10000")
	d.requireDone(0)
	t.Logf("refused with room for fewer than %d names", room)
	require.Greater(t, room, 5)
}

// A first run into a disk that is too small leaves no output behind.
func TestFullDiskAtFirst(t *testing.T) {
	hardOnly(t)
	d := newSmallDisk(t)
	tried := 0
	for room := memoryPage; ; room += 8 * memoryPage {
		require.NoError(t, os.RemoveAll(d.out))
		d.remount(d.at, 0, fmt.Sprintf("size=%d", room))
		r := start(t, d.audit(0))
		if r.wait() == exitDone {
			break
		}
		tried++
		require.Equal(t, exitOutputs, r.cmd.ProcessState.ExitCode(), r.said.String())
		require.Subset(t, []string{lockName}, names(t, d.out), room)
	}
	require.True(t, maps.Equal(d.first[0], snapshot(t, d.out)))
	t.Logf("sizes too small: %d", tried)
	require.Greater(t, tried, 10)
}

// Where there is no room for temporary files an input that needs one is refused, and the outputs are as they were.
func TestFullTemporaryFolder(t *testing.T) {
	hardOnly(t)
	d := newSmallDisk(t)
	d.mount(d.temp)
	tried := 0
	for room := memoryPage; ; room += memoryPage {
		d.remount(d.temp, 0, fmt.Sprintf("size=%d", room))
		r := start(t, d.audit(1))
		if r.wait() == exitDone {
			break
		}
		tried++
		require.Equal(t, exitInputs, r.cmd.ProcessState.ExitCode(), r.said.String())
		require.Contains(t, r.said.String(), "no space left on device")
		require.Empty(t, names(t, d.temp))
		require.Equal(t, d.sets[0], snapshot(t, d.out))
	}
	require.Equal(t, d.sets[1], snapshot(t, d.out))
	t.Logf("sizes too small: %d", tried)
	require.Positive(t, tried)
}

// A folder that cannot be written to stays as it is, and can be verified all the same.
func TestReadOnlyFolder(t *testing.T) {
	hardOnly(t)
	d := newSmallDisk(t)
	d.remount(d.at, syscall.MS_RDONLY, "")
	require.False(t, d.requireRefused("read only"))
	d.remount(d.at, 0, "")
	d.requireDone(1)
}
