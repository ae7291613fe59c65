//go:build unix

package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/history"
	"dryarc/audit/read"
	"dryarc/audit/remedy"
	"dryarc/report"

	"github.com/stretchr/testify/require"
)

// forms are the forms of the register that are measured; a million structures do not fit one sheet.
var forms = []struct {
	name string
	options
}{
	{"xlsx", options{Sheets: 1}},
	{"csv", options{CSV: true}},
}

// BenchmarkRead reads 100 000 structures with 300 000 rows of a register.
func BenchmarkRead(b *testing.B) {
	for _, form := range forms {
		b.Run(form.name, func(b *testing.B) {
			path := project(b, form.options, 100_000)
			b.ReportAllocs()
			before := processorSeconds(b)
			for b.Loop() {
				p, err := read.Project(context.Background(), path)
				require.NoError(b, err)
				require.Equal(b, 300_000, p.RowsRead)
			}
			b.ReportMetric((processorSeconds(b)-before)/float64(b.N), "cpu-s/op")
		})
	}
}

// BenchmarkRemedies finds the jobs of 33 334 structures, every string of which is too short for its class and for two withstand levels:
// 300 000 exceptions. The time includes the audit that proves the jobs.
func BenchmarkRemedies(b *testing.B) {
	const structures = 33_334
	ctx := context.Background()
	p, err := read.Project(ctx, project(b, options{CSV: true}, structures))
	require.NoError(b, err)
	for i := range p.Assemblies.Len() {
		row := p.Assemblies.Row(i)
		row.UnitsPerString, row.Direct = 7, 0
	}
	n, err := audit.Arrange(p)
	require.NoError(b, err)
	require.NoError(b, audit.Derive(ctx, n, runtime.NumCPU()))
	r, err := audit.Assess(ctx, n, checks.All(), audit.Options{Workers: runtime.NumCPU()})
	require.NoError(b, err)
	b.ReportAllocs()
	before := processorSeconds(b)
	for b.Loop() {
		jobs, err := remedy.Search(ctx, r, remedy.Options{Workers: runtime.NumCPU()})
		require.NoError(b, err)
		require.Len(b, jobs, structures)
		for i := range jobs {
			require.Empty(b, jobs[i].StoppedBy)
		}
	}
	b.ReportMetric((processorSeconds(b)-before)/float64(b.N), "cpu-s/op")
	b.ReportMetric(float64(len(r.Exceptions)), "exceptions")
}

// BenchmarkFewRemedies finds the jobs of 100 000 structures of which one string in 500 is too short: what it allocates is mostly the network
// with the work done.
func BenchmarkFewRemedies(b *testing.B) {
	r := judged(b, project(b, options{CSV: true}, 100_000), 0)
	b.ReportAllocs()
	before := processorSeconds(b)
	for b.Loop() {
		jobs, err := remedy.Search(b.Context(), r, remedy.Options{Workers: runtime.NumCPU()})
		require.NoError(b, err)
		require.NotEmpty(b, jobs)
	}
	b.ReportMetric((processorSeconds(b)-before)/float64(b.N), "cpu-s/op")
	b.ReportMetric(float64(len(r.Exceptions)), "exceptions")
}

// BenchmarkScope runs ten scenarios by the program from start to end, each time beside an audit of the same project, and reports how many
// times its time of the processors and its memory they take: where few strings change on all lines, where each scenario is about a tenth of
// them, half at a voltage for which no string is long enough and half one class worse, and where the lines allow strings that are.
func BenchmarkScope(b *testing.B) {
	const structures = 100_000
	program := filepath.Join(b.TempDir(), "dryarc")
	built, err := exec.Command("go", "build", "-o", program, "../dryarc").CombinedOutput()
	require.NoError(b, err, "%s", built)
	for _, c := range scopeCases(structures) {
		b.Run(c.name, func(b *testing.B) {
			path := c.project(b, structures)
			var processor, most [2]float64
			for b.Loop() {
				for i, command := range [...]string{"audit", "scope"} {
					run := exec.Command(program, command, path, "--out", b.TempDir(), "--quiet")
					told, err := run.CombinedOutput()
					require.NoError(b, err, "%s", told)
					processor[i] += run.ProcessState.UserTime().Seconds()
					most[i] = max(most[i], peakMB(run))
				}
			}
			b.ReportMetric(processor[1]/processor[0], "times-cpu")
			b.ReportMetric(most[1]/most[0], "times-MB")
			b.ReportMetric(processor[1]/float64(b.N), "cpu-s/op")
			b.ReportMetric(most[1], "peak-MB")
		})
	}
}

// scopeCase is a project with ten scenarios.
type scopeCase struct {
	name     string
	scenario func(k int) string
}

// scopeCases are the cases of BenchmarkScope on so many structures.
func scopeCases(structures int) []scopeCase {
	tenth := func(k int) (lines string) {
		var names []string
		for first := k * perLine; first < structures; first += 10 * perLine {
			names = append(names, lineOf(first))
		}
		return strings.Join(names, ", ")
	}
	atAnother := func(longestMM int) func(k int) string {
		return func(k int) string {
			if k%2 == 1 {
				return fmt.Sprintf("lines: [%s], classes: worse by 1", tenth(k))
			}
			return fmt.Sprintf("lines: [%s], set: {nominal_voltage_kV: 220, highest_voltage_kV: 245, lightning_level_kV: 950, longest_string_mm: %d}", tenth(k), longestMM)
		}
	}
	return []scopeCase{
		{"few", func(k int) string { return fmt.Sprintf("set: {maximum_tension_kN: %d}", 29+k) }},
		{"stopped", atAnother(1500)},
		{"mended", atAnother(6000)},
	}
}

// project writes the project of a case.
func (c *scopeCase) project(b testing.TB, structures int) (path string) {
	b.Helper()
	path = project(b, options{CSV: true}, structures)
	text, err := os.ReadFile(path)
	require.NoError(b, err)
	text = append(text, "scenarios:\n"...)
	for k := range 10 {
		text = fmt.Appendf(text, "  - {name: %d, %s}\n", k, c.scenario(k))
	}
	require.NoError(b, os.WriteFile(path, text, 0o666))
	return path
}

// BenchmarkSince reads the audit.json of the run before and compares with it: 100 000 structures of which nothing changed, and 33 334
// with 300 000 exceptions, none of them changed, and all of them mended since.
func BenchmarkSince(b *testing.B) {
	for _, night := range []struct {
		name       string
		structures int
		then, now  int16 // units of every string, 0 as they are
		cleared    bool
	}{{"quiet", 100_000, 0, 0, false}, {"short", 33_334, 7, 7, false}, {"mended", 33_334, 7, 0, true}} {
		b.Run(night.name, func(b *testing.B) {
			path := project(b, options{CSV: true}, night.structures)
			then := judged(b, path, night.then)
			var file bytes.Buffer
			require.NoError(b, report.JSON(b.Context(), &file, then, nil, nil, nil))
			now := judged(b, path, night.now)
			now.Run.AsOf = "2026-11-25"
			now.ExceptionIDs() // which the outputs need too
			before := processorSeconds(b)
			for b.Loop() {
				earlier, err := history.Read(bytes.NewReader(file.Bytes()))
				require.NoError(b, err)
				changes, err := history.Compare(b.Context(), now, earlier, false)
				require.NoError(b, err)
				require.Equal(b, night.cleared, len(changes.Cleared) > 0)
			}
			b.ReportMetric((processorSeconds(b)-before)/float64(b.N), "cpu-s/op")
			b.ReportMetric(float64(len(then.Exceptions)), "exceptions")
		})
	}
}

// judged audits a project with so many units in every string.
func judged(b *testing.B, path string, units int16) *audit.Result {
	b.Helper()
	p, err := read.Project(b.Context(), path)
	require.NoError(b, err)
	for i := range p.Assemblies.Len() {
		if row := p.Assemblies.Row(i); units > 0 {
			row.UnitsPerString, row.Direct = units, 0
		}
	}
	n, err := audit.Arrange(p)
	require.NoError(b, err)
	require.NoError(b, audit.Derive(b.Context(), n, runtime.NumCPU()))
	r, err := audit.Assess(b.Context(), n, checks.All(), audit.Options{Workers: runtime.NumCPU(), AsOf: "2026-11-24"})
	require.NoError(b, err)
	return r
}

// processorSeconds is what this process has used of the processors.
func processorSeconds(b *testing.B) float64 {
	b.Helper()
	var usage syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &usage))
	return float64(usage.Utime.Nano()+usage.Stime.Nano()) / 1e9
}

func project(b testing.TB, o options, structures int) string {
	b.Helper()
	o.Structures, o.Dir = structures, b.TempDir()
	require.NoError(b, write(o))
	return filepath.Join(o.Dir, "audit.yaml")
}

// peakMB is the most memory that a run held, in 10⁶ bytes. Linux counts it in KiB, macOS in bytes.
func peakMB(run *exec.Cmd) float64 {
	usage, ok := run.ProcessState.SysUsage().(*syscall.Rusage)
	if !ok {
		return 0
	}
	unit := 1024.0
	if runtime.GOOS == "darwin" {
		unit = 1
	}
	return float64(usage.Maxrss) * unit / 1e6
}
