// Package gdaltest runs the programs of GDAL for tests: they make files, and say what is in them.
package gdaltest

import (
	"bytes"
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/require"
)

// Run runs a program in a folder and returns what it says. Where it is not installed the test is skipped, under CI=true it fails.
func Run(t *testing.T, folder, program string, arguments ...string) string {
	t.Helper()
	if _, err := exec.LookPath(program); err != nil {
		require.NotEqual(t, "true", os.Getenv("CI"), "%s is missing", program)
		t.Skip(program + " is not installed")
	}
	command := exec.Command(program, arguments...)
	command.Dir = folder
	var told bytes.Buffer
	command.Stderr = &told
	out, err := command.Output()
	require.NoError(t, err, "%v\n%s", arguments, told.String())
	return string(out)
}
