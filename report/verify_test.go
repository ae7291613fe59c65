package report

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// otherResult is a result of another run than fixtureResult.
func otherResult(t *testing.T) *audit.Result {
	t.Helper()
	p := fixture(t)
	p.Inputs[0].SHA256 = "22"
	r := assessed(t, p, 1)
	require.NotEqual(t, fixtureResult(t).Run.ID, r.Run.ID)
	return r
}

func change(t *testing.T, path string, with func(text string) string) {
	t.Helper()
	content, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, []byte(with(string(content))), 0o666))
}

func TestVerify(t *testing.T) {
	id, other := fixtureResult(t).Run.ID, otherResult(t).Run.ID
	tests := []struct {
		name    string
		do      func(t *testing.T, dir string)
		damage  []string
		remarks []string
	}{
		{name: "untouched", do: func(*testing.T, string) {}},
		{name: "text behind the end", do: func(t *testing.T, dir string) {
			change(t, filepath.Join(dir, AuditFile), func(s string) string { return s + "\n{}" })
		}, damage: []string{"audit.json: has text behind its end, so it was changed since"}},
		{name: "missing", do: func(t *testing.T, dir string) {
			require.NoError(t, os.Remove(filepath.Join(dir, "audit.html")))
		}, damage: []string{"audit.html: missing"}},
		{name: "changed", do: func(t *testing.T, dir string) {
			change(t, filepath.Join(dir, "exceptions.geojson"), func(s string) string { return strings.Replace(s, "N-1", "N-2", 1) })
			change(t, filepath.Join(dir, "structures.geojson"), func(string) string { return "" })
			change(t, filepath.Join(dir, "exceptions.xlsx"), func(string) string { return "no workbook" })
		}, damage: []string{"exceptions.xlsx: changed since", "structures.geojson: changed since", "exceptions.geojson: changed since"}},
		{name: "workbook saved again", do: func(t *testing.T, dir string) {
			path := filepath.Join(dir, "exceptions.xlsx")
			book, err := excelize.OpenFile(path)
			require.NoError(t, err)
			require.NoError(t, book.SetCellValue(overviewSheet, "Z1", "seen"))
			require.NoError(t, book.SetDocProps(&excelize.DocProperties{Identifier: "lost"}))
			require.NoError(t, book.Save())
			require.NoError(t, book.Close())
		}, damage: []string{"exceptions.xlsx: edited by hand or saved by another program"}},
		{name: "files of another run", do: func(t *testing.T, dir string) {
			kept := read(t, dir, AuditFile)
			written(t, dir, otherResult(t), Also()...)
			change(t, filepath.Join(dir, AuditFile), func(string) string { return kept })
		}, damage: []string{"exceptions.xlsx: of another run, " + other, "audit.html: of another run, " + other,
			"structures.geojson: of another run, " + other, "exceptions.geojson: of another run, " + other, "history.csv: changed since"},
			remarks: []string{"exceptions.csv: left by another run, " + other, "audit.gpkg: left by another run, " + other, structuresParquet + ": left by another run, " + other,
				spansParquet + ": left by another run, " + other, exceptionsParquet + ": left by another run, " + other,
				"exceptions.kml: left by another run, " + other, "exceptions.kmz: left by another run, " + other, "audit.prom: left by another run, " + other, "requirements.csv: left by another run, " + other,
				"work.csv: not of this run, as audit.json does not name it; " + runUntold, "material.csv: not of this run, as audit.json does not name it; " + runUntold, // of no job
				"structures.qml: left by another run, " + other, "exceptions.qml: left by another run, " + other, "exceptions-along-lines.qml: left by another run, " + other,
				"remedied.xlsx: left by another run, " + other, "risk.json: left by another run, " + other, "risk.geojson: left by another run, " + other, "brief.html: left by another run, " + other,
				"sensitivity.csv: not of this run, as audit.json does not name it; " + runUntold}}, // no verdict goes by what may be off
		{name: "left on request", do: func(t *testing.T, dir string) {
			written(t, dir, otherResult(t), "csv", "kml")
			written(t, dir, fixtureResult(t), "gpkg")
			written(t, dir, fixtureResult(t))
			require.NoError(t, os.WriteFile(filepath.Join(dir, "requirements.csv"), []byte("a,b\r\n1,2\r\n"), 0o666))
		}, remarks: []string{"exceptions.csv: left by another run, " + other, "audit.gpkg: left by an earlier run of the same inputs",
			"exceptions.kml: left by another run, " + other, "exceptions.kmz: left by another run, " + other, "requirements.csv: not of this run, and carries the id of none"}},
		{name: "a swap cut short", do: func(t *testing.T, dir string) {
			require.NoError(t, os.WriteFile(filepath.Join(dir, journalFile), []byte("{}"), 0o666))
		}, damage: []string{"a run was cut short while it replaced the files: the next one into this folder puts the earlier files back first"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			require.Len(t, written(t, dir, fixtureResult(t)), 5)
			test.do(t, dir)
			before := contents(t, dir)
			found, err := Verify(dir)
			require.NoError(t, err)
			require.Len(t, found.Runs, 1)
			require.Equal(t, id, found.Runs[0].Run)
			require.Equal(t, test.damage, found.Damage)
			require.Equal(t, test.remarks, found.Remarks)
			require.Equal(t, len(test.damage) == 0, found.Whole())
			if found.Whole() {
				require.Equal(t, 6, found.Runs[0].Files)
			}
			require.Equal(t, before, contents(t, dir), "it writes nothing")
		})
	}
}

func TestVerifyWhileARunWrites(t *testing.T) {
	dir := t.TempDir()
	written(t, dir, fixtureResult(t))
	release := hold(t, dir)
	found, err := Verify(dir)
	require.NoError(t, err)
	require.False(t, found.Whole())
	require.Len(t, found.Damage, 1)
	require.Contains(t, found.Damage[0], "a run writes there now (process ")
	release()
	found, err = Verify(dir)
	require.NoError(t, err)
	require.True(t, found.Whole())
}

func TestVerifyWithoutARun(t *testing.T) {
	for text, want := range map[string]string{
		"":                "no such file",
		"{":               "unexpected EOF",
		`[]`:              "cannot unmarshal array",
		`{"run": {}}`:     "does not say what the other outputs are",
		`{"coverage": 1}`: "does not say what the other outputs are",
		`{"run": {"outputs": [{"file": "../x", "sha256": ""}]}}`: "is no file of the folder",
	} {
		dir := t.TempDir()
		if text != "" {
			require.NoError(t, os.WriteFile(filepath.Join(dir, AuditFile), []byte(text), 0o666))
		}
		_, err := Verify(dir)
		var none *NoRun
		require.ErrorAs(t, err, &none, text)
		require.ErrorContains(t, err, want)
	}
}

// A table without rows names no run: by its hash it is of this run or it is not, and verify says what it cannot tell.
func TestVerifyTablesWithoutRows(t *testing.T) {
	dir := t.TempDir()
	written(t, dir, fixtureResult(t), "work")
	require.NotContains(t, read(t, dir, "work.csv"), fixtureResult(t).Run.ID, "there is no job")
	found, err := Verify(dir)
	require.NoError(t, err)
	require.True(t, found.Whole(), found.Damage)
	require.Equal(t, 8, found.Runs[0].Files)

	change(t, filepath.Join(dir, "work.csv"), func(s string) string { return strings.Replace(s, ",run", ",more,run", 1) })
	change(t, filepath.Join(dir, "material.csv"), func(s string) string { return s + "by hand\r\n" })
	found, err = Verify(dir)
	require.NoError(t, err)
	require.Equal(t, []string{"work.csv: not as the run wrote it, by its hash; " + runUntold, "material.csv: changed since"}, found.Damage)
}

// audit.json names the hash of every other output that the run wrote, and of none that it left.
func TestAuditNamesTheOtherOutputs(t *testing.T) {
	dir := t.TempDir()
	written(t, dir, otherResult(t), "kml")
	others := written(t, dir, fixtureResult(t), "csv")
	var got struct{ Run struct{ Outputs []Output } }
	require.NoError(t, json.Unmarshal([]byte(read(t, dir, AuditFile)), &got))
	require.Equal(t, others, got.Run.Outputs)
	var names []string
	for _, o := range others {
		names = append(names, o.File)
	}
	require.Equal(t, []string{"exceptions.xlsx", "audit.html", "structures.geojson", "exceptions.geojson", "history.csv", "exceptions.csv"}, names)
}

// An id in audit.json that none of the files carries is told, though they are unchanged.
func TestVerifyTellsAnotherIDInAuditJSON(t *testing.T) {
	dir, id := t.TempDir(), fixtureResult(t).Run.ID
	written(t, dir, fixtureResult(t))
	change(t, filepath.Join(dir, AuditFile), func(s string) string { return strings.ReplaceAll(s, id, "0123456789abcdef") })
	found, err := Verify(dir)
	require.NoError(t, err)
	require.Equal(t, []string{"audit.json: says that it is of run 0123456789abcdef, and the files that it lists carry " + id}, found.Damage)
}

// Outputs that nothing lists any more are no whole run, though another manifest lies there; two runs of a folder are told apart.
func TestVerifyOfAFolderWithBothRuns(t *testing.T) {
	const scopeRun = "0123456789abcdef"
	both := func(t *testing.T) string {
		dir := t.TempDir()
		written(t, dir, fixtureResult(t))
		layer := `{"run": "` + scopeRun + `"}`
		require.NoError(t, os.WriteFile(filepath.Join(dir, "scope.geojson"), []byte(layer), 0o666))
		require.NoError(t, os.WriteFile(filepath.Join(dir, scopeFile), fmt.Appendf(nil, `{"run": {"id": %q, "as_of": "2026-01-01", "outputs": [{"file": "scope.geojson", "sha256": "%x"}]}}`,
			scopeRun, sha256.Sum256([]byte(layer))), 0o666))
		return dir
	}
	found, err := Verify(both(t))
	require.NoError(t, err)
	require.True(t, found.Whole(), found.Damage)
	require.Len(t, found.Runs, 2)
	require.Equal(t, []any{fixtureResult(t).Run.ID, 6}, []any{found.Runs[0].Run, found.Runs[0].Files})
	require.Equal(t, VerifiedRun{scopeRun, "2026-01-01", 2}, found.Runs[1])

	for gone, damage := range map[string]string{
		AuditFile: "audit.json: missing, so that nothing says what exceptions.xlsx, audit.html, structures.geojson, exceptions.geojson and 1 more must be",
		scopeFile: "scope.json: missing, so that nothing says what scope.geojson must be",
	} {
		dir := both(t)
		require.NoError(t, os.Remove(filepath.Join(dir, gone)))
		found, err := Verify(dir)
		var none *NoRun
		require.ErrorAs(t, err, &none, gone)
		require.Equal(t, filepath.Join(dir, gone), none.File)
		require.Equal(t, []string{damage}, found.Damage)
		require.Len(t, found.Runs, 1)
	}

	// A file of somebody else's that bears the name of an output is none that audit.json would list.
	dir := both(t)
	for _, name := range []string{"exceptions.xlsx", "audit.html", "structures.geojson", "exceptions.geojson", "history.csv", AuditFile} {
		require.NoError(t, os.Remove(filepath.Join(dir, name)))
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "structures.geojson"), []byte("{}"), 0o666))
	found, err = Verify(dir)
	require.NoError(t, err)
	require.True(t, found.Whole(), found.Damage)
}
