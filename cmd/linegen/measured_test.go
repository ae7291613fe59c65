//go:build unix

package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// measurement is what a run took.
type measurement struct{ wall, cpu, peakMB, temporaryMB, outputMB float64 }

// bytesEach is on the high side what a structure takes on disk: its rows in both forms of the register, the outputs of a run, and what it
// needs meanwhile.
const bytesEach = 2500

// measured runs a command into folders of its own, which go afterwards, and measures it from outside. Temporary is what stood at its most in
// the temporary folder and among the outputs beyond the outputs themselves, as seen every few milliseconds.
func measured(b testing.TB, command func(in, out string) *exec.Cmd, in string) (m measurement, err error) {
	b.Helper()
	folder, err := os.MkdirTemp("", "linegen-run-*")
	require.NoError(b, err)
	defer os.RemoveAll(folder)
	out, temporary := filepath.Join(folder, "out"), filepath.Join(folder, "tmp")
	require.NoError(b, os.Mkdir(out, 0o777))
	require.NoError(b, os.Mkdir(temporary, 0o777))
	run := command(in, out)
	run.Env = append(os.Environ(), "TMPDIR="+temporary)
	var told bytes.Buffer
	run.Stdout, run.Stderr = &told, &told
	begun := time.Now()
	require.NoError(b, run.Start())
	done, most := make(chan struct{}), make(chan int64)
	go func() {
		var highest int64
		for {
			select {
			case <-done:
				most <- highest
				return
			case <-time.After(20 * time.Millisecond):
				highest = max(highest, bytesIn(folder)+unlinked(run.Process.Pid))
			}
		}
	}()
	err = run.Wait()
	m.wall = time.Since(begun).Seconds()
	close(done)
	stands := bytesIn(out)
	m.temporaryMB, m.outputMB = float64(max(0, <-most-stands))/1e6, float64(stands)/1e6
	m.cpu = (run.ProcessState.UserTime() + run.ProcessState.SystemTime()).Seconds()
	m.peakMB = peakMB(run)
	if err != nil {
		err = fmt.Errorf("%w: %s", err, lastLine(told.Bytes()))
	}
	return m, err
}

// medians are those of each figure by itself.
func medians(of []measurement) (m measurement) {
	if len(of) == 0 {
		return m
	}
	middle := func(figure func(measurement) float64) float64 {
		var all []float64
		for _, one := range of {
			all = append(all, figure(one))
		}
		slices.Sort(all)
		k := len(all) / 2
		return (all[k] + all[len(all)-1-k]) / 2
	}
	return measurement{middle(func(m measurement) float64 { return m.wall }), middle(func(m measurement) float64 { return m.cpu }),
		middle(func(m measurement) float64 { return m.peakMB }), middle(func(m measurement) float64 { return m.temporaryMB }),
		middle(func(m measurement) float64 { return m.outputMB })}
}

// bytesIn is how long the files below a folder are. One that goes meanwhile is not counted.
func bytesIn(folder string) (sum int64) {
	_ = filepath.WalkDir(folder, func(_ string, entry fs.DirEntry, err error) error {
		if err == nil && entry.Type().IsRegular() {
			if info, err := entry.Info(); err == nil {
				sum += info.Size()
			}
		}
		return nil
	})
	return sum
}

// unlinked is how long the files are that a process has open and that have no name any more, where the system tells.
func unlinked(pid int) (sum int64) {
	folder := fmt.Sprintf("/proc/%d/fd", pid)
	entries, err := os.ReadDir(folder)
	if err != nil {
		return 0
	}
	for _, entry := range entries {
		path := filepath.Join(folder, entry.Name())
		to, err := os.Readlink(path)
		if err != nil || !strings.HasSuffix(to, " (deleted)") {
			continue
		}
		if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() {
			sum += info.Size()
		}
	}
	return sum
}

// freeDisk is how many bytes may still be written to a folder, −1 where that is not told.
func freeDisk(b *testing.B, folder string) int64 {
	b.Helper()
	told, err := exec.Command("df", "-Pk", folder).Output()
	if err != nil {
		return -1
	}
	fields := strings.Fields(lastLine(told))
	if len(fields) < 4 {
		return -1
	}
	free, err := strconv.ParseInt(fields[3], 10, 64)
	if err != nil {
		return -1
	}
	return free * 1024
}

// load says how busy the machine is, since figures of a busy one are worth little.
func load() string {
	text, err := os.ReadFile("/proc/loadavg")
	fields := strings.Fields(string(text))
	if err != nil || len(fields) == 0 {
		return "how busy they were is not told"
	}
	return "load " + fields[0]
}

func lastLine(text []byte) string {
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	return lines[len(lines)-1]
}
