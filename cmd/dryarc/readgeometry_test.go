package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is wrong with the geometry is found by deriving it, and told by read as it is by audit.
func TestReadTellsFaultsOfGeometry(t *testing.T) {
	folder := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(folder, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	write("structures.csv", "line,structure,lon,lat,ground_m\nL,1,10,50,100\nL,2,10.004,50,100\nL,3,10.5,50,100\n")
	project := write("audit.yaml", "structures: {file: structures.csv}\n")
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"read", project}, &stdout, &stderr), stderr.String())
	require.Contains(t, stdout.String(), "1 × long-span")
	require.Contains(t, stdout.String(), "\nfaults: 1\n")
}
