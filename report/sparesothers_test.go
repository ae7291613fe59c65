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
