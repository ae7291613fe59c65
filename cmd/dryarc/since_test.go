package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// auditSince audits the demo project, or one changed from it, and returns the code and what was said.
func auditSince(t *testing.T, project, out, asOf string, flags ...string) (code int, said string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code = run(context.Background(), append([]string{"audit", project, "--out", out, "--as-of", asOf}, flags...), &stdout, &stderr)
	return code, stderr.String()
}

// laxer is the demo project with a criterion changed.
func laxer(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Dir(demoProject))))
	path := filepath.Join(folder, "audit.yaml")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	changed := strings.Replace(string(text), "tension: 2.0, suspension: 2.0", "tension: 3.0, suspension: 3.0", 1)
	require.NotEqual(t, string(text), changed)
	require.NoError(t, os.WriteFile(path, []byte(changed), 0o666))
	return path
}

func TestSince(t *testing.T) {
	t.Parallel()
	out := filepath.Join(t.TempDir(), "out")
	code, said := auditSince(t, demoProject, out, "2026-11-24")
	require.Equal(t, exitDone, code)
	require.Contains(t, said, "first run: there is no earlier one to compare with\n")

	code, said = auditSince(t, demoProject, out, "2026-11-25", "--fail-on", "new-advisory")
	require.Equal(t, exitDone, code, "nothing is new: %s", said)
	require.Contains(t, said, "since 24 November 2026: nothing new, worse or cleared\n")
	kept := snapshot(t, out)

	harder := laxer(t)
	code, said = auditSince(t, harder, out, "2026-11-26", "--fail-on", "new-shortfall")
	require.Equal(t, exitFound, code)
	require.Regexp(t, `since 25 November 2026: \d+ new`, said)
	tonight := snapshot(t, out)
	code, again := auditSince(t, harder, out, "2026-11-26", "--fail-on", "new-shortfall")
	require.Equal(t, exitFound, code, "a repeated run says the same")
	require.Equal(t, said, again)
	require.Equal(t, tonight, snapshot(t, out), "in the same bytes")
	require.True(t, strings.HasPrefix(tonight["history.csv"], kept["history.csv"]), "the log is appended to")

	code, said = auditSince(t, demoProject, out, "2026-11-27")
	require.Equal(t, exitDone, code)
	require.Regexp(t, `since 26 November 2026: \d+ better, \d+ cleared \(\d+ of them since the rule or a zone changed\)|since 26 November 2026: \d+ cleared \(\d+ of them since the rule or a zone changed\)`, said)

	elsewhere := filepath.Join(t.TempDir(), "out")
	for _, since := range []string{out, filepath.Join(out, "audit.json")} {
		code, said = auditSince(t, demoProject, elsewhere, "2026-11-27", "--since", since)
		require.Equal(t, exitDone, code)
		require.Contains(t, said, "since 27 November 2026: nothing new, worse or cleared\n", "one that is named counts whatever its date")
	}
}

// What was an advisory and is a shortfall now is news to who asks for new shortfalls.
func TestRisenSeverityFailsARun(t *testing.T) {
	t.Parallel()
	d := newDecidable(t)
	d.audit("2026-11-25", exitDone)
	text, err := os.ReadFile(d.project)
	require.NoError(t, err)
	require.Contains(t, string(text), "  position_accuracy_m: 0.5")
	require.NoError(t, os.WriteFile(d.project, []byte(strings.Replace(string(text), "  position_accuracy_m: 0.5", "  position_accuracy_m: 0.5\n  deviation_limit_deg: 2", 1)), 0o666))
	said := d.audit("2026-11-26", exitFound, "--fail-on", "new-shortfall")
	require.Regexp(t, `since 25 November 2026: 12 worse; a criterion or the program changed, by which \d+ checks may judge otherwise`, said)
	require.Contains(t, said, "12 new exceptions of severity shortfall")
}

// A first run that is repeated is a first run again: a job that is tried once more swallows no alarm. One that leaves lines out keeps
// what is known of them.
func TestFirstRunRepeated(t *testing.T) {
	t.Parallel()
	out := filepath.Join(t.TempDir(), "out")
	code, first := auditSince(t, demoProject, out, "2026-11-24", "--fail-on", "new-shortfall")
	require.Equal(t, exitFound, code)
	stands := snapshot(t, out)
	code, again := auditSince(t, demoProject, out, "2026-11-24", "--fail-on", "new-shortfall")
	require.Equal(t, exitFound, code)
	require.Equal(t, first, again)
	require.Equal(t, stands, snapshot(t, out))

	code, _ = auditSince(t, demoProject, out, "2026-11-24", "--lines", "DP-33")
	require.Equal(t, exitDone, code)
	code, said := auditSince(t, demoProject, out, "2026-11-25")
	require.Equal(t, exitDone, code)
	require.Contains(t, said, "since 24 November 2026: nothing new, worse or cleared\n")

	code, _ = auditSince(t, demoProject, out, "2026-11-20")
	require.Equal(t, exitDone, code)
	var told struct {
		Run struct {
			Since struct{ Remarks []string }
		}
		Exceptions []struct {
			First string `json:"first_seen"`
		}
	}
	text, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &told))
	require.Len(t, told.Run.Since.Remarks, 1)
	require.Contains(t, told.Run.Since.Remarks[0], "the earlier run is as of 2026-11-25, later than this one")
	for _, e := range told.Exceptions {
		require.Equal(t, "2026-11-20", e.First, "nothing is seen before it is first seen")
	}
}

// An audit.json that nobody can read is said, and the run goes on as the first.
func TestUnreadableEarlierRun(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	code, _ := auditSince(t, demoProject, out, "2026-11-24")
	require.Equal(t, exitDone, code)
	path := filepath.Join(out, "audit.json")
	require.NoError(t, os.Truncate(path, 100))
	code, _ = auditSince(t, demoProject, out, "2026-11-25", "--since", out)
	require.Equal(t, exitInputs, code, "where it is named that is an error")
	code, said := auditSince(t, demoProject, out, "2026-11-25")
	require.Equal(t, exitDone, code)
	require.Contains(t, said, "the audit.json of the run before cannot be read, so that this one counts as the first: at byte 100: it ends too early")
	require.Contains(t, said, "first run")
	raw, err := os.ReadFile(filepath.Join(out, "history.csv"))
	require.NoError(t, err)
	require.Contains(t, string(raw), "2026-11-24", "the log is kept")
}

// An audit.json that is there and that the system does not let be read for a moment is waited for; where that does not end the run stops
// before it forgets what is known, unless it is told to. Links in a circle stand for a file that is held, which also stops who may read all.
func TestEarlierRunOutOfReach(t *testing.T) {
	t.Parallel()
	out := filepath.Join(t.TempDir(), "out")
	code, _ := auditSince(t, demoProject, out, "2026-11-24")
	require.Equal(t, exitDone, code)
	path, aside := filepath.Join(out, "audit.json"), filepath.Join(t.TempDir(), "audit.json")
	require.NoError(t, os.Rename(path, aside))
	if err := os.Symlink(path, path); err != nil {
		t.Skip(err)
	}
	_, err := os.Open(path)
	require.True(t, unreached(err), "%v", err)
	stood := func() map[string]string {
		files := map[string]string{}
		for _, name := range []string{"exceptions.xlsx", "audit.html", "history.csv"} {
			text, err := os.ReadFile(filepath.Join(out, name))
			require.NoError(t, err)
			files[name] = string(text)
		}
		return files
	}
	before := stood()
	began := time.Now()
	code, said := auditSince(t, demoProject, out, "2026-11-25")
	require.Equal(t, exitOutputs, code)
	require.Contains(t, said, "dryarc: audit.json was not written: that of the run before is there and cannot be read (")
	require.Contains(t, said, "--since none compares with nothing")
	require.GreaterOrEqual(t, time.Since(began), earlierFor)
	require.Equal(t, before, stood())

	code, said = auditSince(t, demoProject, filepath.Join(t.TempDir(), "out"), "2026-11-25", "--since", path)
	require.Equal(t, exitInputs, code)
	require.Contains(t, said, "the earlier run to compare with cannot be read")

	free := make(chan error, 1)
	go func() {
		time.Sleep(earlierFor / 10)
		free <- os.Rename(aside, path)
	}()
	earlier, err := readEarlier(t.Context(), path)
	require.NoError(t, <-free)
	require.NoError(t, err)
	require.Equal(t, "2026-11-24", earlier.AsOf)

	require.NoError(t, os.Remove(path))
	require.NoError(t, os.Symlink(path, path))
	ended, end := context.WithCancel(t.Context())
	end()
	_, err = readEarlier(ended, path)
	require.ErrorIs(t, err, context.Canceled)
	code, said = auditSince(t, demoProject, out, "2026-11-25", "--since", "none")
	require.Equal(t, exitDone, code, said)
	require.FileExists(t, path)
}

// Who may not read the audit.json of the run before does not replace it.
func TestEarlierRunWithoutTheRightToReadIt(t *testing.T) {
	t.Parallel()
	if os.Geteuid() <= 0 {
		t.Skip("root may read all, and Windows has no such rights")
	}
	out := filepath.Join(t.TempDir(), "out")
	code, _ := auditSince(t, demoProject, out, "2026-11-24")
	require.Equal(t, exitDone, code)
	path := filepath.Join(out, "audit.json")
	require.NoError(t, os.Chmod(path, 0))
	code, said := auditSince(t, demoProject, out, "2026-11-25")
	require.Equal(t, exitOutputs, code)
	require.Contains(t, said, "give this run the right to read it")
	require.NoError(t, os.Chmod(path, 0o600))
	code, said = auditSince(t, demoProject, out, "2026-11-25")
	require.Equal(t, exitDone, code)
	require.Contains(t, said, "since 24 November 2026: nothing new")
}

// A run of chosen lines keeps what is known of the others, and a line judged again goes on from there.
func TestSinceOfChosenLines(t *testing.T) {
	t.Parallel()
	out := filepath.Join(t.TempDir(), "out")
	code, _ := auditSince(t, demoProject, out, "2026-11-24")
	require.Equal(t, exitDone, code)
	for _, day := range []string{"2026-11-25", "2026-11-26"} {
		code, said := auditSince(t, demoProject, out, day, "--lines", "DP-33")
		require.Equal(t, exitDone, code)
		require.Regexp(t, `nothing new, worse or cleared; \d+ exceptions on lines that this run left out`, said)
	}
	code, said := auditSince(t, demoProject, out, "2026-11-27", "--fail-on", "new-advisory")
	require.Equal(t, exitDone, code, said)
	require.Contains(t, said, "since 26 November 2026: nothing new, worse or cleared\n")
	raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	require.NotContains(t, string(raw), `"first_seen":"2026-11-27"`)
	require.Equal(t, strings.Count(string(raw), `"first_seen"`), strings.Count(string(raw), `"first_seen":"2026-11-24"`))
}
