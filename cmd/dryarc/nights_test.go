//go:build linux

package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// Night after night the demo project is audited while people work on its inputs, between the runs and during them, and a
// tenth of the runs is killed. Each run that finishes leaves a whole set, of inputs that somebody had saved as they are;
// each that is refused leaves everything as it was; none ends by a code that the README does not name; and neither files
// nor memory nor open descriptors grow. It takes forty nights or eight seconds, whichever is sooner; with DRYARC_HARD=1
// it takes 1440, or DRYARC_TRIALS of them. Half of the kills come as the outputs begin to be replaced.
func TestNights(t *testing.T) {
	t.Parallel()
	count, until := trials(t, 40, 8*time.Second, 1440)
	n := newNights(t)
	n.run(0)
	require.Equal(t, 1, n.codes[exitDone])
	i := 1
	for ; i < count && (i < 12 || time.Now().Before(until)); i++ {
		n.run(i)
	}
	for name := range n.versions {
		n.save(name)
	}
	n.steady = true
	n.run(i) // the morning after: nobody works, nobody kills
	n.requireWhole(i)
	t.Logf("nights: %d; exit codes: %v (-1 by a signal); killed: %d; cut short while replacing: %d; two runs at once: %d; inputs changed under a run: %d, of which %d were refused",
		i, n.codes, n.killed, n.cut, n.twice, n.under, n.refused)
	k := min(100, len(n.peakKB)/2)
	first, last := slices.Max(n.peakKB[:k]), slices.Max(n.peakKB[len(n.peakKB)-k:])
	opened, stillOpen := slices.Max(n.open[:k]), slices.Max(n.open[len(n.open)-k:])
	t.Logf("peak memory of finished runs: first %d at most %d kB, last %d at most %d kB; open descriptors seen: at most %d, at most %d", k, first, k, last, opened, stillOpen)
	require.Less(t, last, 2*first)
	require.Less(t, stillOpen, opened+16)
}

// nights is a project at work.
type nights struct {
	t              *testing.T
	binary         string
	folder, out    string
	temp           string
	random         *rand.Rand
	versions       map[string][]string // of each input, sound ones
	saved          map[string]bool     // hashes of all of them
	stands         map[string]string   // the set that is in place, or goes back there by the journal
	asOf           string              // of that set
	usual          time.Duration       // that a run takes
	steady         bool                // nobody changes or kills anything
	codes          map[int]int
	killed, cut    int
	twice          int
	under, refused int
	peakKB, open   []int
}

func newNights(t *testing.T) *nights {
	t.Helper()
	n := &nights{t: t, folder: t.TempDir(), out: filepath.Join(t.TempDir(), "out"), temp: t.TempDir(), random: rand.New(rand.NewPCG(3, 4)),
		versions: map[string][]string{}, saved: map[string]bool{}, codes: map[int]int{}, usual: time.Second}
	if os.Getenv("DRYARC_HARD") != "" {
		n.binary = built(t)
	}
	for _, name := range []string{"audit.yaml", "structures.geojson", "zones.geojson", "crossings.geojson", "places.geojson", "inspections.csv", "assemblies.xlsx"} {
		content, err := os.ReadFile(filepath.Join(filepath.Dir(demoProject), name))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(n.folder, name), content, 0o666))
		n.saved[hashOf(string(content))] = true
		for k := range 4 {
			version := string(content)
			switch filepath.Ext(name) {
			case ".xlsx":
				version = withRemark(t, filepath.Join(n.folder, name), fmt.Sprintf("seen on round %d", k))
			case ".geojson":
				version += strings.Repeat("\n", k)
			default:
				version += strings.Repeat("# looked at again\n", k)
			}
			n.versions[name] = append(n.versions[name], version)
			n.saved[hashOf(version)] = true
		}
	}
	return n
}

// withRemark is a register in which somebody edited a row.
func withRemark(t *testing.T, path, remark string) string {
	t.Helper()
	book, err := excelize.OpenFile(path)
	require.NoError(t, err)
	defer book.Close()
	rows, err := book.GetRows("Assemblies")
	require.NoError(t, err)
	column := slices.Index(rows[0], "Remarks") + 1
	require.Positive(t, column)
	cell, err := excelize.CoordinatesToCellName(column, 5)
	require.NoError(t, err)
	require.NoError(t, book.SetCellStr("Assemblies", cell, remark))
	content, err := book.WriteToBuffer()
	require.NoError(t, err)
	return content.String()
}

func hashOf(content string) string {
	sum := sha256.Sum256([]byte(content))
	return hex.EncodeToString(sum[:])
}

func (n *nights) asOfNight(i int) string {
	return time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, i).Format(time.DateOnly)
}

func (n *nights) audit(i int) *exec.Cmd {
	return programIn(n.binary, n.temp, "audit", filepath.Join(n.folder, "audit.yaml"), "--out", n.out, "--quiet", "--also", "csv,gpkg,kml", "--as-of", n.asOfNight(i))
}

// run is one night.
func (n *nights) run(i int) {
	t := n.t
	everything := n.everything()
	first := i == 0
	if !first && !n.steady && n.random.IntN(5) < 3 {
		n.save(n.anInput())
	}
	began := time.Now()
	r := start(t, n.audit(i))
	var other *running
	if !first && !n.steady && n.random.IntN(20) == 0 {
		n.twice++
		other = start(t, n.audit(i))
	}
	worked := make(chan struct{})
	disturbed := !first && !n.steady && n.random.IntN(5) < 2
	if disturbed {
		n.under++
		work, after := n.someWork(), n.within(n.usual/4) // inputs are read first
		go func() {
			defer close(worked)
			time.Sleep(after)
			work()
		}()
	} else {
		close(worked)
	}
	killed := false
	kill, after := !first && !n.steady && other == nil && n.random.IntN(10) == 0, n.within(n.usual)
	signal := []syscall.Signal{syscall.SIGKILL, syscall.SIGINT, syscall.SIGTERM}[n.random.IntN(3)]
	open := 0
	if kill && n.random.IntN(2) == 0 && r.await(n.out, replacing, 0) {
		require.NoError(t, ignoreFinished(r.cmd.Process.Kill()))
		killed = true
	}
	for !r.over() {
		open = max(open, descriptors(r.pid))
		if kill && !killed && time.Since(began) > after {
			require.NoError(t, ignoreFinished(r.cmd.Process.Signal(signal)))
			killed = true
		}
		time.Sleep(2 * time.Millisecond)
	}
	code := r.wait()
	n.codes[code]++
	<-worked
	if code == exitDone {
		n.usual = (3*n.usual + time.Since(began)) / 4
		n.peakKB = append(n.peakKB, int(r.cmd.ProcessState.SysUsage().(*syscall.Rusage).Maxrss))
		n.open = append(n.open, open)
	}
	if other != nil {
		switch code := other.wait(); {
		case disturbed && (code == exitInputs || code == exitUsage):
			n.refused++
		default:
			require.Equal(t, exitDone, code, other.said.String())
		}
	}
	switch {
	case other != nil && (code == exitDone || other.cmd.ProcessState.ExitCode() == exitDone):
		n.requireWhole(i)
	case code == exitDone:
		n.requireWhole(i)
	case disturbed && (code == exitInputs || code == exitUsage):
		n.refused++
		require.NotEmpty(t, r.said.String())
		n.requireUntouched(everything)
	case killed:
		require.Contains(t, []int{-1, exitInterrupted}, code, r.said.String())
		n.killed++
		n.requireOldOrNew(i)
	default:
		require.Fail(t, "a run that nobody disturbed must be done", "exit code %d: %s", code, r.said.String())
	}
}

func (n *nights) within(d time.Duration) time.Duration {
	return time.Duration(n.random.Float64() * float64(d))
}

func (n *nights) anInput() string {
	return slices.Sorted(maps.Keys(n.versions))[n.random.IntN(len(n.versions))]
}

func (n *nights) aVersion(name string) string {
	return n.versions[name][n.random.IntN(len(n.versions[name]))]
}

// save puts a version of an input in the place of the one before, as editors do.
func (n *nights) save(name string) { n.put(name, n.aVersion(name)) }

func (n *nights) put(name, content string) {
	path := filepath.Join(n.folder, name)
	require.NoError(n.t, os.WriteFile(path+".part", []byte(content), 0o666))
	require.NoError(n.t, os.Rename(path+".part", path))
}

// someWork is what somebody does to an input while a run may read it. In the end the input is whole.
func (n *nights) someWork() func() {
	name := n.anInput()
	path, version, pause := filepath.Join(n.folder, name), n.aVersion(name), n.within(n.usual/8)
	switch n.random.IntN(3) {
	case 0: // a new file of the name
		return func() { n.put(name, version) }
	case 1: // the same file written anew, part by part
		if name == "audit.yaml" { // half of a project file is one too
			return func() { n.put(name, version) }
		}
		return func() {
			file, err := os.OpenFile(path, os.O_WRONLY|os.O_TRUNC, 0)
			if err != nil {
				panic(err)
			}
			defer file.Close()
			for len(version) > 0 {
				k := min(len(version), 16<<10)
				if _, err := file.WriteString(version[:k]); err != nil {
					panic(err)
				}
				version = version[k:]
				time.Sleep(pause)
			}
		}
	default: // away for a while, and back
		return func() {
			if err := os.Rename(path, path+".away"); err != nil {
				panic(err)
			}
			time.Sleep(pause)
			if err := os.Rename(path+".away", path); err != nil {
				panic(err)
			}
		}
	}
}

// descriptors counts what a process has open; 0 once it has ended.
func descriptors(pid int) int {
	entries, _ := os.ReadDir(fmt.Sprintf("/proc/%d/fd", pid))
	return len(entries)
}

// everything is what lies in the folder of the outputs, but for the lock.
func (n *nights) everything() map[string]string {
	n.t.Helper()
	all := map[string]string{}
	require.NoError(n.t, filepath.WalkDir(n.out, func(path string, entry os.DirEntry, err error) error {
		if os.IsNotExist(err) {
			return nil
		}
		if err != nil || entry.IsDir() || entry.Name() == lockName {
			return err
		}
		content, err := os.ReadFile(path)
		all[path] = string(content)
		return err
	}))
	return all
}

func (n *nights) requireUntouched(before map[string]string) {
	n.t.Helper()
	require.True(n.t, maps.Equal(before, n.everything()), "a refused run leaves what stood there")
	require.LessOrEqual(n.t, len(names(n.t, n.temp)), 1)
}

// requireWhole holds that the set of a night is in place, with nothing beside it, and that it is of inputs that somebody
// had saved.
func (n *nights) requireWhole(i int) {
	t := n.t
	t.Helper()
	code, said := verified(t, n.out)
	require.Equal(t, exitDone, code, said)
	require.Contains(t, said, "as of "+n.asOfNight(i))
	require.Equal(t, []string{lockName}, hidden(t, n.out))
	require.Empty(t, names(t, n.temp))
	n.stands, n.asOf = snapshot(t, n.out), n.asOfNight(i)
	require.Len(t, n.stands, 10)
	var content struct {
		Run struct {
			Inputs []struct{ File, SHA256 string }
		}
	}
	require.NoError(t, json.Unmarshal([]byte(n.stands["audit.json"]), &content))
	require.Len(t, content.Run.Inputs, 6)
	for _, input := range content.Run.Inputs {
		require.True(t, n.saved[input.SHA256], "%s was read as nobody saved it", input.File)
	}
}

// requireOldOrNew holds that after a killed run the folder is the set before or that of the night, or says that it was cut
// short.
func (n *nights) requireOldOrNew(i int) {
	t := n.t
	t.Helper()
	require.LessOrEqual(t, len(hidden(t, n.out)), 3)
	require.LessOrEqual(t, len(names(t, n.temp)), 2)
	code, said := verified(t, n.out)
	if code != exitDone {
		require.Contains(t, said, "a run was cut short while it replaced the files")
		n.cut++
		return
	}
	if strings.Contains(said, "as of "+n.asOfNight(i)) {
		n.stands, n.asOf = snapshot(t, n.out), n.asOfNight(i)
		return
	}
	require.Contains(t, said, "as of "+n.asOf)
	require.True(t, maps.Equal(n.stands, snapshot(t, n.out)))
}
