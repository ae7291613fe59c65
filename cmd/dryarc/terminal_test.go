package main

import (
	"bytes"
	"errors"
	"testing"

	"github.com/stretchr/testify/require"
)

// full is a stream onto a full disk.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }

// A run that cannot say what it did has done it, and ends as it would have.
func TestAFullStandardErrorChangesNoExitCode(t *testing.T) {
	for _, c := range []struct {
		args []string
		want int
	}{
		{nil, exitDone},
		{[]string{"--fail-on", "note"}, exitFound},
		{[]string{"--as-of", "soon"}, exitUsage},
	} {
		var stdout bytes.Buffer
		args := append([]string{"audit", demoProject, "--out", t.TempDir()}, c.args...)
		require.Equal(t, c.want, run(t.Context(), args, &stdout, full{}), c.args)
	}
}
