package main

import (
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/require"
)

// tool finds a program that a test compares with, or makes another form of the inputs with. Without it the test is
// skipped, under CI it fails.
func tool(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		require.NotEqual(t, "true", os.Getenv("CI"), "%s must be installed under CI", name)
		t.Skipf("%s is not installed", name)
	}
	return path
}
