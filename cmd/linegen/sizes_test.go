//go:build unix

package main

import (
	"cmp"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The environment of BenchmarkSizes.
const (
	sizesVariable  = "DRYARC_SIZES"  // structures, such as 20M; several with commas between
	peersVariable  = "DRYARC_PEERS"  // folder of other programs that do a part of the same
	beforeVariable = "DRYARC_BEFORE" // a built program of another version
)

const standardSizes = "10k,100k,1M,5M"

// BenchmarkSizes runs the program from start to end on networks of growing size, with all outputs that it writes by default, by turns with
// what is installed beside it, and prints a table of the medians: wall time, time of the processors (user and system), the most memory that
// a run held at once, the disk that it takes for the time of the run and for good, and what that is for each structure.
//
//	go test -run xxx -bench Sizes -benchtime 3x -timeout 12h ./cmd/linegen
//	DRYARC_SIZES=20M DRYARC_PEERS=~/peers go test -run xxx -bench Sizes -benchtime 1x -timeout 12h ./cmd/linegen
func BenchmarkSizes(b *testing.B) {
	text := cmp.Or(os.Getenv(sizesVariable), standardSizes)
	program := filepath.Join(b.TempDir(), "dryarc")
	built, err := exec.Command("go", "build", "-o", program, "../dryarc").CombinedOutput()
	require.NoError(b, err, "%s", built)
	all := contenders(program)
	var told sizeTable
	told.add("%s, %s, %d processors; %s at the beginning.", runtime.GOOS, runtime.GOARCH, runtime.NumCPU(), load())
	for _, c := range all {
		if c.missing != "" {
			told.add("Left out: %s: %s.", c.name, c.missing)
		}
	}
	for name := range strings.SplitSeq(text, ",") {
		structures, err := size(name)
		require.NoError(b, err, sizesVariable)
		b.Run(strings.TrimSpace(name), func(b *testing.B) { runSize(b, &told, all, structures) })
	}
	fmt.Fprintln(os.Stdout, told.String())
}

// runSize measures all that runs at a size, in turns.
func runSize(b *testing.B, told *sizeTable, all []contender, structures int) {
	if free, need := freeDisk(b, os.TempDir()), int64(structures)*bytesEach; free >= 0 && free < need {
		told.add("Left out: %d structures, which need about %d MB in %s, where %d MB are free.", structures, need/1e6, os.TempDir(), free/1e6)
		b.Skip("too little disk")
	}
	inputs, found := map[string]string{}, make([][]measurement, len(all))
	var runs []int
	for i, c := range all {
		switch {
		case c.missing != "":
		case structures > c.most:
			told.add("Left out: %s at %d structures, since that is more than it is given (%d).", c.name, structures, c.most)
		default:
			runs = append(runs, i)
			if inputs[c.form] == "" {
				inputs[c.form] = filepath.Dir(project(b, options{CSV: c.form == "csv"}, structures))
			}
		}
	}
	for b.Loop() {
		for _, i := range runs {
			c := &all[i]
			if c.failed {
				continue
			}
			m, err := measured(b, c.command, inputs[c.form])
			if err != nil && !c.mayFail {
				b.Fatalf("%s: %v", c.name, err)
			}
			if err != nil {
				c.failed = true
				told.add("Left out from then on: %s, which failed at %d structures: %v.", c.name, structures, err)
				continue
			}
			found[i] = append(found[i], m)
		}
	}
	for _, i := range runs {
		if len(found[i]) == 0 {
			continue
		}
		m := medians(found[i])
		of := slices.IndexFunc(all, func(c contender) bool { return !c.mayFail && c.form == all[i].form })
		told.row(structures, all[i].name, len(found[i]), m, medians(found[of]))
		if of == i {
			b.ReportMetric(m.wall, all[i].form+"-s/op")
			b.ReportMetric(m.cpu, all[i].form+"-cpu-s/op")
			b.ReportMetric(m.peakMB, all[i].form+"-peak-MB")
		}
	}
	b.ReportMetric(0, "ns/op") // of all that ran, which tells nothing
}

// contender is a program that is measured.
type contender struct {
	name, form string // of the register: xlsx or csv
	command    func(in, out string) *exec.Cmd
	most       int    // structures that it is given
	mayFail    bool   // it is none of ours
	missing    string // why it cannot run here
	failed     bool
}

// contenders are the program, from both forms of the register, another version of it and the peers, each beside what it is compared with.
func contenders(program string) []contender {
	const largestBook, endless = 1_000_000, 1 << 40
	ours := func(program string) func(in, out string) *exec.Cmd {
		return func(in, out string) *exec.Cmd {
			return exec.Command(program, "audit", filepath.Join(in, "audit.yaml"), "--out", out, "--quiet")
		}
	}
	list := []contender{{name: "dryarc from xlsx", form: "xlsx", most: largestBook, command: ours(program)}, {name: "dryarc from CSV", form: "csv", most: endless, command: ours(program)}}
	if before := os.Getenv(beforeVariable); before != "" {
		for _, c := range slices.Clone(list) {
			c.name, c.command, c.mayFail = "other version"+strings.TrimPrefix(c.name, "dryarc"), ours(before), true
			list = append(list, c)
		}
	}
	peers := os.Getenv(peersVariable)
	peer := func(c contender, file, interpreter string, probe ...string) {
		c.mayFail = true
		c.command = func(in, out string) *exec.Cmd {
			run := exec.Command(interpreter, file, in, filepath.Join(out, "peer"))
			run.Dir = peers
			return run
		}
		c.missing = lacking(peers, file, interpreter, probe...)
		list = append(list, c)
	}
	peer(contender{name: "script.py", form: "xlsx", most: 1_000_000}, "script.py", "python3", "-c", "import numpy, shapely, openpyxl, xlsxwriter")
	peer(contender{name: "engine.mjs", form: "csv", most: 5_000_000}, "engine.mjs", "node", "--input-type=module", "-e", "await import('@duckdb/node-api')")
	return list
}

// lacking says why a peer cannot run; empty where it can.
func lacking(folder, file, interpreter string, probe ...string) string {
	if folder == "" {
		return peersVariable + " names no folder"
	}
	if _, err := os.Stat(filepath.Join(folder, file)); err != nil {
		return fmt.Sprintf("no %s in %s", file, folder)
	}
	run := exec.Command(interpreter, probe...)
	run.Dir = folder
	if told, err := run.CombinedOutput(); err != nil {
		return fmt.Sprintf("%s does not run %s there (%v: %s)", interpreter, file, err, lastLine(told))
	}
	return ""
}

// size reads a number of structures, in thousands or millions with a k or M behind it.
func size(text string) (int, error) {
	text = strings.TrimSpace(text)
	times := 1
	for unit, of := range map[string]int{"k": 1000, "M": 1_000_000} {
		if rest, is := strings.CutSuffix(text, unit); is {
			text, times = rest, of
		}
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		return 0, fmt.Errorf("%q is no number of structures, expected such as 100k, 5M or 20000000", text)
	}
	return n * times, nil
}

// sizeTable is what is printed: what is to be known beside the figures, and the figures.
type sizeTable struct{ notes, rows []string }

func (t *sizeTable) add(format string, args ...any) {
	t.notes = append(t.notes, fmt.Sprintf(format, args...))
}

// row adds the figures of one at a size, beside those of the program from the same form of the register.
func (t *sizeTable) row(structures int, name string, runs int, m, program measurement) {
	each := 1e6 / float64(structures)
	t.rows = append(t.rows, fmt.Sprintf("| %d | %s | %d | %.2f | %.2f | %.0f | %.0f | %.0f | %.2f | %.2f | %.0f | %.3f | %.3f |", structures, name, runs, m.wall, m.cpu, m.peakMB,
		m.temporaryMB, m.outputMB, m.wall*each, m.cpu*each, m.peakMB*each, program.wall/m.wall, program.cpu/m.cpu))
}

func (t *sizeTable) String() string {
	if len(t.rows) == 0 {
		return strings.Join(t.notes, "\n")
	}
	return strings.Join(slices.Concat(t.notes, []string{"",
		"| structures | program | runs | wall s | processors s | peak MB | temporary MB | outputs MB | wall µs a structure | processors µs a structure | peak bytes a structure | dryarc's wall to it | dryarc's processors to it |",
		"| --: | --- | --: | --: | --: | --: | --: | --: | --: | --: | --: | --: | --: |"}, t.rows), "\n")
}
