package report

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// A file that no run has written keeps its place; those of runs are replaced.
func TestOutputsSpareOtherFiles(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "structures.geojson")
	const own = `{"type":"FeatureCollection","features":[]}`
	require.NoError(t, os.WriteFile(path, []byte(own), 0o666))
	_, err := Write(context.Background(), dir, fixtureResult(t), nil, How{})
	require.ErrorContains(t, err, "was written by no run of this program; choose another folder")
	require.Equal(t, own, read(t, dir, "structures.geojson"))

	require.NoError(t, os.Remove(path))
	written(t, dir, fixtureResult(t), "work")
	written(t, dir, otherResult(t))
	written(t, dir, otherResult(t), "work")
}

// What is left of outputs, or has rows of somebody beside those of runs, is still known for what it is.
func TestOutputsKnowTheirOwn(t *testing.T) {
	r, jobs := demoJobs(t)
	dir := t.TempDir()
	write := func(also ...string) error {
		_, err := Write(context.Background(), dir, r, jobs, How{Also: also})
		return err
	}
	require.NoError(t, write("work"))
	require.NoError(t, write())
	require.NoError(t, write("work"), "factors and carried columns stand before the run")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "history.csv"), []byte("seen by the night shift\n"+read(t, dir, "history.csv")), 0o666))
	require.NoError(t, os.WriteFile(filepath.Join(dir, AuditFile), []byte(`{"run":`), 0o666))
	require.NoError(t, write())

	require.NoError(t, os.WriteFile(filepath.Join(dir, AuditFile), []byte(`{"runs": 3}`), 0o666))
	require.ErrorContains(t, write(), "audit.json is there and was written by no run")
	require.NoError(t, os.Remove(filepath.Join(dir, AuditFile)))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "history.csv"), []byte("year,king\n1066,William\n"), 0o666))
	require.ErrorContains(t, write(), "history.csv is there and was written by no run")
}
