//go:build unix

package main

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Killing a run at any moment leaves one whole run behind, at once or once the next one has put it back, and never a
// mixture that verify calls whole. Nothing piles up beside the outputs or among the temporary files. Two runs alternate
// whose files all differ. It takes forty kills or eight seconds, whichever is sooner; with DRYARC_HARD=1 it takes
// five thousand of the built program on the demo project, or DRYARC_TRIALS of them.
func TestKilledRunLeavesAWholeRun(t *testing.T) {
	kills, until := trials(t, 40, 8*time.Second, 5000)
	a := newAlternation(t)
	usual := a.measure()
	random := rand.New(rand.NewPCG(1, 2))
	hit, aimed := map[phase]int{}, map[phase]int{}
	killed, recovered := 0, 0
	i := 0
	seldom := until.Add(time.Minute) // where a busy machine spoils the aim
	for ; killed < kills && (i < 24 || time.Now().Before(until) || (hit[replacing] == 0 || recovered == 0) && time.Now().Before(seldom)); i++ {
		which, at := 1-a.stands, aim(i)
		aimed[at]++
		cmd := a.audit(which)
		r := start(t, cmd)
		if r.await(a.out, at, time.Duration(1.1*random.Float64()*random.Float64()*float64(usual[at]))) {
			require.NoError(t, ignoreFinished(cmd.Process.Signal(signalFor(at, random))))
		}
		code := r.wait()
		require.Contains(t, []int{exitDone, exitInterrupted, -1}, code, r.said.String())
		if code != exitDone {
			killed++
			hit[a.reached(r.pid, which)]++
		}
		a.requireNothingPiledUp()
		if cut := a.requireOldOrNew(which); cut && i%3 != 0 { // else the recovery is killed too
			a.requireRecovery()
			recovered++
		}
		if i%500 == 499 {
			t.Logf("after %d runs: %d killed, %s", i+1, killed, tally(hit))
		}
	}
	t.Logf("runs: %d; killed: %d, %s; aimed at: %s; recoveries looked at: %d", i, killed, tally(hit), tally(aimed), recovered)
	require.Positive(t, hit[replacing], "no run was killed while it replaced outputs")
	require.Positive(t, recovered)
	require.Equal(t, exitDone, start(t, a.audit(0)).wait())
	require.Equal(t, a.sets[0], snapshot(t, a.out))
	require.Equal(t, []string{lockName}, hidden(t, a.out), "the next run clears what a killed one left")
	require.Empty(t, names(t, a.temp))
}

// A phase of a run, as seen from outside by what lies in the folder of the outputs.
type phase uint8

const (
	reading   phase = iota // or judging: nothing is written yet
	staging                // the staging folder is there
	replacing              // the journal is there
	tidying                // the new set stands
	phases
)

func (p phase) String() string {
	return [...]string{"reading or judging", "staging", "replacing", "tidying up"}[p]
}

func tally(of map[phase]int) string {
	var parts []string
	for _, p := range slices.Sorted(maps.Keys(of)) {
		parts = append(parts, fmt.Sprintf("%d %s", of[p], p))
	}
	return strings.Join(parts, ", ")
}

// aim is the phase of a run to be disturbed: half of the time the one in which names change.
func aim(i int) phase {
	return [...]phase{replacing, staging, replacing, reading, replacing, staging, replacing, tidying}[i%8]
}

// signalFor chooses a signal. A run that replaces outputs is finished but for SIGKILL, so that it mostly gets that.
func signalFor(p phase, random *rand.Rand) syscall.Signal {
	n := random.IntN(20)
	switch {
	case n == 0, n < 4 && p < replacing:
		return syscall.SIGINT
	case n == 19, n > 15 && p < replacing:
		return syscall.SIGTERM
	}
	return syscall.SIGKILL
}

const (
	lockName    = ".dryarc.lock"
	journalName = ".dryarc-swap"
)

// alternation is a project with two runs that differ in each of their files, and the folder that they write to in turn.
type alternation struct {
	t                  *testing.T
	binary             string // built, or empty for the program that the test binary is too
	project, out, temp string
	sets               [2]map[string]string
	first              [2]map[string]string // what each writes into an empty folder
	stands             int                  // which of the sets is in place, or goes back there by the journal
}

// newAlternation makes both runs, of the demo project under DRYARC_HARD, else of a small one. The workbook is
// compressed, so that a run has a temporary file.
func newAlternation(t *testing.T) *alternation {
	t.Helper()
	a := &alternation{t: t, out: filepath.Join(t.TempDir(), "out"), temp: t.TempDir()}
	folder := filepath.Join(t.TempDir(), "project")
	a.project = filepath.Join(folder, "audit.yaml")
	if os.Getenv("DRYARC_HARD") != "" {
		a.binary = built(t)
		require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Dir(demoProject))))
	} else {
		var said bytes.Buffer
		require.Equal(t, exitDone, run(t.Context(), []string{"new", folder}, &said, &said))
	}
	books, err := filepath.Glob(filepath.Join(folder, "*.xlsx"))
	require.NoError(t, err)
	require.Len(t, books, 1)
	book, err := os.ReadFile(books[0])
	require.NoError(t, err)
	var packed bytes.Buffer
	w := gzip.NewWriter(&packed)
	_, err = w.Write(book)
	require.NoError(t, errors.Join(err, w.Close()))
	require.NoError(t, os.WriteFile(books[0], packed.Bytes(), 0o666))
	text, err := os.ReadFile(a.project)
	require.NoError(t, err)
	other := strings.Replace(string(text), "\ncriteria:\n", "\ncriteria:\n  unequal_sharing: 1\n", 1)
	require.NotEqual(t, string(text), other)
	require.NoError(t, os.WriteFile(a.otherProject(), []byte(other), 0o666))
	for _, which := range []int{1, 0} {
		require.NoError(t, os.RemoveAll(a.out))
		require.Equal(t, exitDone, start(t, a.audit(which)).wait())
		a.first[which] = snapshot(t, a.out)
	}
	// From here on both repeat that first run, so that what they compare with, and the log, stay as they are.
	for _, which := range []int{1, 0} {
		require.Equal(t, exitDone, start(t, a.audit(which)).wait())
		a.sets[which] = snapshot(t, a.out)
	}
	require.Len(t, a.sets[0], 10)
	for name, content := range a.sets[0] {
		if strings.Count(content, "\n") > 1 { // else a table of headings only
			require.NotEqual(t, content, a.sets[1][name], name)
		}
	}
	return a
}

// built is the program as the README builds it.
func built(t *testing.T) string {
	t.Helper()
	binary := filepath.Join(t.TempDir(), "dryarc")
	build := exec.Command("go", "build", "-o", binary, ".")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	said, err := build.CombinedOutput()
	require.NoError(t, err, string(said))
	return binary
}

// otherProject is a project file of the same inputs that states a criterion more.
func (a *alternation) otherProject() string {
	return filepath.Join(filepath.Dir(a.project), "other.yaml")
}

// audit is one of the two runs.
func (a *alternation) audit(which int, more ...string) *exec.Cmd {
	args := []string{"audit", [...]string{a.project, a.otherProject()}[which], "--out", a.out, "--quiet", "--also", "csv,gpkg,kml", "--as-of", "2026-01-01"}
	return programIn(a.binary, a.temp, append(args, more...)...)
}

// programIn is the program, the built one where there is one, with a folder for its temporary files.
func programIn(binary, temp string, args ...string) *exec.Cmd {
	cmd := program(args...)
	if binary != "" {
		cmd.Path, cmd.Args[0] = binary, binary
	}
	cmd.Env = append(cmd.Env, "TMPDIR="+temp)
	return cmd
}

// measure returns how long each phase of an undisturbed run takes, as the median of a few.
func (a *alternation) measure() (usual [phases]time.Duration) {
	var took [phases][]time.Duration
	for range 5 {
		which := 1 - a.stands
		began := time.Now()
		r := start(a.t, a.audit(which))
		for p := reading; p < phases; p++ {
			if p < tidying {
				r.await(a.out, p+1, 0)
			} else {
				require.Equal(a.t, exitDone, r.wait())
			}
			took[p] = append(took[p], time.Since(began))
			began = time.Now()
		}
		a.stands = which
	}
	for p := range took {
		slices.Sort(took[p])
		usual[p] = took[p][len(took[p])/2]
	}
	a.t.Logf("an undisturbed run: %v %s, %v %s, %v %s, %v %s", usual[reading], reading, usual[staging], staging, usual[replacing], replacing, usual[tidying], tidying)
	return usual
}

// requireOldOrNew holds that each file is one of the two runs, and that verify calls whole only what is one of them
// throughout. It tells whether the run was cut short while it replaced the files, which verify must have said.
func (a *alternation) requireOldOrNew(which int) (cut bool) {
	t := a.t
	t.Helper()
	now := snapshot(t, a.out)
	require.Len(t, now, len(a.sets[0]))
	for name, content := range now {
		require.True(t, content == a.sets[0][name] || content == a.sets[1][name], "%s is neither the old nor the new one", name)
	}
	_, err := os.Lstat(filepath.Join(a.out, journalName))
	code, said := verified(t, a.out)
	if err == nil {
		require.Equal(t, exitFound, code)
		require.Contains(t, said, "a run was cut short while it replaced the files")
		return true
	}
	require.Equal(t, exitDone, code, said)
	if now["audit.json"] == a.sets[which]["audit.json"] {
		a.stands = which
	}
	require.True(t, maps.Equal(a.sets[a.stands], now), "the files are of two runs")
	return false
}

// requireRecovery lets a run put the old set back that then fails, so that what stands is the recovery's.
func (a *alternation) requireRecovery() {
	t := a.t
	t.Helper()
	blocked := filepath.Join(a.out, "requirements.csv")
	require.NoError(t, os.Mkdir(blocked, 0o777))
	r := start(t, a.audit(1-a.stands, "--also", "requirements"))
	require.Equal(t, exitOutputs, r.wait(), r.said.String())
	require.Contains(t, r.said.String(), "requirements.csv was not written: a folder has its name")
	require.NoError(t, os.Remove(blocked))
	require.True(t, maps.Equal(a.sets[a.stands], snapshot(t, a.out)), "a run that did not finish replacing leaves the old set")
	require.Equal(t, []string{lockName}, hidden(t, a.out))
	require.Empty(t, names(t, a.temp))
	code, said := verified(t, a.out)
	require.Equal(t, exitDone, code, said)
}

// requireNothingPiledUp allows for what a single killed run may leave.
func (a *alternation) requireNothingPiledUp() {
	a.t.Helper()
	left := slices.DeleteFunc(hidden(a.t, a.out), func(name string) bool { return name == lockName || name == journalName })
	require.LessOrEqual(a.t, len(left), 1, left)
	require.LessOrEqual(a.t, len(names(a.t, a.temp)), 2, "one, and one whose number another process has now")
}

// reached tells how far a run that was killed had come.
func (a *alternation) reached(pid, which int) phase {
	staged := stagingOf(a.out, pid)
	if staged == "" {
		text, err := os.ReadFile(filepath.Join(a.out, "audit.json"))
		require.NoError(a.t, err)
		if string(text) == a.sets[which]["audit.json"] && a.stands != which {
			return tidying
		}
		return reading
	}
	journal, err := os.ReadFile(filepath.Join(a.out, journalName))
	switch {
	case err == nil && strings.Contains(string(journal), strconv.Quote(staged)):
		return replacing
	case snapshot(a.t, a.out)["audit.json"] == a.sets[which]["audit.json"]:
		return tidying
	}
	return staging
}

// stagingOf is the name of the staging folder of a process; empty where there is none.
func stagingOf(out string, pid int) string {
	entries, _ := os.ReadDir(out) // a folder that is not there has none
	for _, entry := range entries {
		if strings.HasPrefix(entry.Name(), fmt.Sprintf(".dryarc-%d-", pid)) {
			return entry.Name()
		}
	}
	return ""
}

// verified asks for the exit code of verify, and what it said.
func verified(t *testing.T, out string) (code int, said string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code = run(t.Context(), []string{"verify", out}, &stdout, &stderr)
	return code, stdout.String() + stderr.String()
}

// names lists what lies in a folder, hidden what of it no reader of the outputs is to see.
func names(t *testing.T, folder string) (list []string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if !errors.Is(err, os.ErrNotExist) {
		require.NoError(t, err)
	}
	for _, entry := range entries {
		list = append(list, entry.Name())
	}
	return list
}

func hidden(t *testing.T, folder string) []string {
	t.Helper()
	return slices.DeleteFunc(names(t, folder), func(name string) bool { return !strings.HasPrefix(name, ".") })
}

// running is a run that was started.
type running struct {
	t    *testing.T
	cmd  *exec.Cmd
	pid  int
	said bytes.Buffer
	done chan struct{}
}

func start(t *testing.T, cmd *exec.Cmd) *running {
	t.Helper()
	r := &running{t: t, cmd: cmd, done: make(chan struct{})}
	cmd.Stderr = &r.said
	require.NoError(t, cmd.Start())
	r.pid = cmd.Process.Pid
	go func() {
		defer close(r.done)
		_ = cmd.Wait() // the exit code tells
	}()
	return r
}

// wait returns the exit code, -1 where a signal ended the run.
func (r *running) wait() int {
	r.t.Helper()
	select {
	case <-r.done:
	case <-time.After(2 * time.Minute):
		_ = r.cmd.Process.Kill()
		require.Fail(r.t, "the run does not end")
	}
	return r.cmd.ProcessState.ExitCode()
}

func (r *running) over() bool {
	select {
	case <-r.done:
		return true
	default:
		return false
	}
}

// await waits until the run has come to a phase, and then some more. It tells whether the run was still going.
func (r *running) await(out string, p phase, more time.Duration) bool {
	there := func(name string) bool {
		_, err := os.Lstat(filepath.Join(out, name))
		return err == nil
	}
	journal := func() bool { // its own: one of an earlier run has no staging folder of this one beside it
		return stagingOf(out, r.pid) != "" && there(journalName)
	}
	for _, begun := range []func() bool{
		staging: func() bool { return stagingOf(out, r.pid) != "" }, replacing: journal, tidying: func() bool { return !journal() },
	}[:p+1] {
		for begun != nil && !begun() {
			if r.over() {
				return false
			}
			if p != replacing { // which is over in a millisecond
				time.Sleep(20 * time.Microsecond)
			}
		}
	}
	for until := time.Now().Add(more); ; {
		left := time.Until(until)
		if left <= 0 || r.over() {
			return !r.over()
		}
		if left > 2*time.Millisecond { // a sleep takes a good part of one longer
			time.Sleep(min(left, 2*time.Millisecond) / 2)
		}
	}
}

func ignoreFinished(err error) error {
	if errors.Is(err, os.ErrProcessDone) {
		return nil
	}
	return err
}
