package main

import (
	"bytes"
	"path/filepath"
	"testing"

	"dryarc/report"

	"github.com/stretchr/testify/require"
)

// Every output is written into the folder that is meant where none is given, which is a relative one.
func TestOutputsOnRequestInTheDefaultFolder(t *testing.T) {
	t.Chdir(t.TempDir())
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(t.Context(), []string{"new", "mine"}, &stdout, &stderr), stderr.String())
	args := []string{"audit", filepath.Join("mine", "audit.yaml")}
	for _, name := range report.Also() {
		args = append(args, "--also", name)
	}
	require.Equal(t, exitDone, run(t.Context(), args, &stdout, &stderr), stderr.String())
	require.FileExists(t, filepath.Join("out", "audit.gpkg"))
	require.Equal(t, exitDone, run(t.Context(), []string{"verify", "out"}, &stdout, &stderr), stdout.String())
}

// A folder without a name is told as what it is.
func TestNewNeedsAFolder(t *testing.T) {
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitUsage, run(t.Context(), []string{"new", ""}, &stdout, &stderr))
	require.Contains(t, stderr.String(), `new "" names no folder`)
}
