package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestVerifyCommand(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	auditInto(t, demoProject, out, "--also", "csv")
	auditInto(t, demoProject, out, "--as-of", "2001-01-01")
	verify := func(dir string) (code int, stdout, stderr string) {
		var o, e bytes.Buffer
		code = run(t.Context(), []string{"verify", dir}, &o, &e)
		return code, o.String(), e.String()
	}
	code, stdout, _ := verify(out)
	require.Equal(t, exitDone, code)
	lines := strings.Split(strings.TrimSpace(stdout), "\n")
	require.Len(t, lines, 2)
	require.Regexp(t, `^exceptions\.csv: left by another run, [0-9a-f]{16}$`, lines[0])
	require.Regexp(t, `^whole: 6 files of run [0-9a-f]{16}, as of 2001-01-01, unchanged since$`, lines[1])

	require.NoError(t, os.Remove(filepath.Join(out, "audit.html")))
	require.NoError(t, os.Truncate(filepath.Join(out, "structures.geojson"), 10))
	code, stdout, stderr := verify(out)
	require.Equal(t, exitFound, code)
	require.Contains(t, stdout, "audit.html: missing\nstructures.geojson: changed since\n")
	require.NotContains(t, stdout, "whole")
	require.Contains(t, stderr, "is not one whole run")

	require.NoError(t, os.WriteFile(filepath.Join(out, "scope.json"), []byte(`{"run": {"id": "0123456789abcdef", "outputs": []}}`), 0o666))
	require.NoError(t, os.Remove(filepath.Join(out, "audit.json")))
	code, stdout, stderr = verify(out)
	require.Equal(t, exitInputs, code)
	require.Contains(t, stdout, "audit.json: missing, so that nothing says what exceptions.xlsx, ")
	require.NotContains(t, stdout, "whole")
	require.Contains(t, stderr, "audit.json cannot be read")

	code, _, stderr = verify(filepath.Join(out, "nowhere"))
	require.Equal(t, exitInputs, code)
	require.Contains(t, stderr, "audit.json cannot be read")
	require.NoDirExists(t, filepath.Join(out, "nowhere"))
}

// An audit whose outputs would take the place of its inputs writes nothing.
func TestAuditSparesItsInputs(t *testing.T) {
	folder := t.TempDir()
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(t.Context(), []string{"new", filepath.Join(folder, "mine")}, &stdout, &stderr))
	project := filepath.Join(folder, "mine", "audit.yaml")
	before := snapshot(t, filepath.Dir(project))
	for _, flags := range [][]string{{}, {"--no-lock"}} {
		stderr.Reset()
		args := append([]string{"audit", project, "--out", filepath.Dir(project)}, flags...)
		require.Equal(t, exitOutputs, run(t.Context(), args, &stdout, &stderr), stderr.String())
		require.Contains(t, stderr.String(), "structures.geojson is the input structures.geojson; choose another folder for the outputs")
		require.Equal(t, before, snapshot(t, filepath.Dir(project)))
		require.NoFileExists(t, filepath.Join(filepath.Dir(project), ".dryarc.lock"))
	}
}
