package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/report"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

var demoProject = filepath.Join("..", "..", "testdata", "demo", "audit.yaml")

// The demo's answer key lists every mistake that was planted; the named checks must find those and no others.
func TestDemoFindsWhatWasPlanted(t *testing.T) {
	result := auditInto(t, demoProject, t.TempDir())
	want, named := answerKey(t, filepath.Join("..", "..", "testdata", "demo", "PLANTED.csv"))
	faults := map[string]int{}
	want = slices.DeleteFunc(want, func(key string) bool {
		what, _, _ := strings.Cut(key, "|")
		if isFault(what) {
			faults[what]++
			return true
		}
		return false
	})
	require.Equal(t, want, keysOf(result, named))
	for _, f := range result.Faults {
		faults[f.Kind]--
	}
	for kind, left := range faults {
		require.Zero(t, left, kind)
	}
}

func isFault(what string) bool {
	return slices.Contains([]string{"no-such-structure", "unknown-unit", "not-a-number", "duplicate-row", "missing-value"}, what)
}

func TestWorkersDoNotChangeTheResult(t *testing.T) {
	t.Parallel()
	one, eight := t.TempDir(), t.TempDir()
	all := strings.Join(report.Also(), ",")
	auditInto(t, demoProject, one, "--workers", "1", "--also", all)
	auditInto(t, demoProject, eight, "--workers", "8", "--also", all)
	requireSameOutputs(t, one, eight)
	if cases := os.Getenv("DRYARC_CASES"); cases != "" {
		andes := filepath.Join(cases, "andes", "audit.yaml")
		one, eight = t.TempDir(), t.TempDir()
		auditInto(t, andes, one, "--workers", "1")
		auditInto(t, andes, eight, "--workers", "8")
		requireSameOutputs(t, one, eight)
	}
}

// requireSameOutputs compares the files of two runs byte by byte.
func requireSameOutputs(t *testing.T, a, b string) {
	t.Helper()
	entries, err := os.ReadDir(a)
	require.NoError(t, err)
	compared := 0
	for _, entry := range entries {
		if strings.HasPrefix(entry.Name(), ".") {
			continue
		}
		compared++
		x, y := filepath.Join(a, entry.Name()), filepath.Join(b, entry.Name())
		first, err := os.ReadFile(x)
		require.NoError(t, err)
		second, err := os.ReadFile(y)
		require.NoError(t, err)
		require.True(t, bytes.Equal(first, second), entry.Name())
	}
	require.GreaterOrEqual(t, compared, 4)
}

func cellsOf(t *testing.T, file string) map[string][][]string {
	t.Helper()
	f, err := excelize.OpenFile(file)
	require.NoError(t, err)
	defer f.Close()
	cells := map[string][][]string{}
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		cells[sheet] = rows
	}
	return cells
}

func TestFlagsDecideTheExitCode(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		flags []string
		want  int
		says  string
	}{
		{nil, exitDone, "exceptions"},
		{[]string{"--quiet"}, exitDone, ""},
		{[]string{"--fail-on", "shortfall"}, exitFound, "of severity shortfall (--fail-on shortfall)"},
		{[]string{"--fail-on", "fault"}, exitFound, "input faults that matter (--fail-on fault)"},
		{[]string{"--min-assessed", "100"}, exitFound, "could be judged, less than --min-assessed 100"},
		{[]string{"--min-assessed", "1"}, exitDone, "exceptions"},
		{[]string{"--lines", "DF-220", "--fail-on", "fault"}, exitFound, "fault"},
		{[]string{"--lines", "NOWHERE"}, exitUsage, `line "NOWHERE" is no line of the structures`},
		{[]string{"--fail-on", "blunder"}, exitUsage, `--fail-on "blunder" is none of shortfall, advisory, note, new-shortfall, new-advisory, lapsed, fault`},
		{[]string{"--max-shortfalls", "3"}, exitFound, "shortfalls, more than --max-shortfalls 3"},
		{[]string{"--max-shortfalls", "1000"}, exitDone, "exceptions"},
		{[]string{"--max-shortfalls=-1"}, exitUsage, "--max-shortfalls -1 is out of range"},
		{[]string{"--fail-on", "new-shortfall"}, exitFound, "new exceptions of severity shortfall (--fail-on new-shortfall)"},
		{[]string{"--since", "none"}, exitDone, "first run"},
		{[]string{"--since", "nowhere.json"}, exitInputs, "the earlier run to compare with cannot be read"},
		{[]string{"--since", demoProject}, exitInputs, "the earlier run to compare with cannot be read"},
		{[]string{"--as-of", "May"}, exitUsage, `--as-of "May" is no date, expected YYYY-MM-DD`},
		{[]string{"--workers=-1"}, exitUsage, `--workers -1 is out of range`},
		{[]string{"--min-assessed", "101"}, exitUsage, `--min-assessed 101 is out of range, expected 0 to 100`},
		{[]string{"--min-assessed", "NaN"}, exitUsage, `--min-assessed NaN is out of range`},
		{[]string{"--min-assessed", "+Inf"}, exitUsage, `--min-assessed +Inf is out of range`},
		{[]string{"--min-assessed=-1"}, exitUsage, `--min-assessed -1 is out of range`},
		{[]string{"--min-assessed", ""}, exitUsage, `--min-assessed`},
		{[]string{"--fail-on", ""}, exitUsage, `--fail-on "" is none of shortfall`},
		{[]string{"--fail-on="}, exitUsage, `--fail-on "" is none of shortfall`},
		{[]string{"--nonsense"}, exitUsage, "unknown flag --nonsense"},
	} {
		t.Run(strings.Join(c.flags, " "), func(t *testing.T) {
			var stdout, stderr bytes.Buffer
			args := append([]string{"audit", demoProject, "--out", t.TempDir()}, c.flags...)
			require.Equal(t, c.want, run(context.Background(), args, &stdout, &stderr), stderr.String())
			require.Contains(t, stderr.String(), c.says)
			require.Empty(t, stdout.String())
			if len(c.flags) == 1 && c.flags[0] == "--quiet" {
				require.Empty(t, stderr.String())
			}
		})
	}
}

func TestLinesLimitWhatIsAssessedNotWhatIsDerived(t *testing.T) {
	all, some := auditInto(t, demoProject, t.TempDir()), auditInto(t, demoProject, t.TempDir(), "--lines", "DP-33")
	var wanted, got []string
	for _, e := range all.Exceptions {
		if e.Line == "DP-33" {
			wanted = append(wanted, e.Check+" "+e.Structure+" "+e.Phase)
		}
	}
	for _, e := range some.Exceptions {
		require.Equal(t, "DP-33", e.Line)
		got = append(got, e.Check+" "+e.Structure+" "+e.Phase)
	}
	require.Equal(t, wanted, got)
	require.True(t, slices.ContainsFunc(got, func(key string) bool { return strings.HasPrefix(key, "tension-at-tee") }), "the tee needs the other line")
	require.NotEqual(t, all.Run.ID, some.Run.ID)
}

func TestInterruptedRunLeavesEarlierOutputs(t *testing.T) {
	out := t.TempDir()
	auditInto(t, demoProject, out)
	before := snapshot(t, out)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitInterrupted, run(ctx, []string{"audit", demoProject, "--out", out}, &stdout, &stderr))
	require.Equal(t, before, snapshot(t, out))
}

// snapshot returns the visible files of a folder with their content.
func snapshot(t *testing.T, folder string) map[string]string {
	t.Helper()
	files := map[string]string{}
	entries, err := os.ReadDir(folder)
	if os.IsNotExist(err) {
		return files
	}
	require.NoError(t, err)
	for _, entry := range entries {
		if strings.HasPrefix(entry.Name(), ".") {
			continue
		}
		raw, err := os.ReadFile(filepath.Join(folder, entry.Name()))
		require.NoError(t, err)
		files[entry.Name()] = string(raw)
	}
	return files
}

func TestChecksCommand(t *testing.T) {
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"checks"}, &stdout, &stderr))
	require.Contains(t, stdout.String(), "tension-at-terminal")
	stdout.Reset()
	require.Equal(t, exitDone, run(context.Background(), []string{"checks", "creepage"}, &stdout, &stderr))
	for _, part := range []string{"IEC TS 60815-1:2008", "RUSCD", "7875 mm", "7595.9", "meets", "Fotovoltaico"} {
		require.Contains(t, stdout.String(), part)
	}
	require.Equal(t, exitUsage, run(context.Background(), []string{"checks", "nonsense"}, &stdout, &stderr))
	require.Contains(t, stderr.String(), `check "nonsense" is not known`)
	stdout.Reset()
	require.Equal(t, exitDone, run(context.Background(), []string{"version"}, &stdout, &stderr))
	require.Equal(t, "dryarc "+version+"\n", stdout.String())
}
