package main

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Once outputs are being replaced a run is finished, and once it is given up none are replaced.
func TestEnding(t *testing.T) {
	var said bytes.Buffer
	idle := &ending{}
	code, ok := idle.giveUp(&said, false)
	require.True(t, ok)
	require.Equal(t, exitInterrupted, code)
	require.ErrorIs(t, idle.replace(), context.Canceled)

	busy := &ending{}
	require.NoError(t, busy.replace())
	_, ok = busy.giveUp(&said, false)
	require.False(t, ok)
	code, ok = busy.giveUp(&said, true)
	require.True(t, ok)
	require.Equal(t, exitInterrupted, code)
	require.Contains(t, said.String(), "the next run into the folder puts the earlier ones back")

	busy.commit(errors.New("the tables"))
	code, ok = busy.giveUp(&said, false)
	require.True(t, ok)
	require.Equal(t, exitOutputs, code)
	require.True(t, strings.HasSuffix(said.String(), "dryarc: the tables\n"), said.String())

	busy.done()
	code, ok = busy.giveUp(&said, false)
	require.True(t, ok)
	require.Equal(t, exitOutputs, code)
	require.Contains(t, said.String(), "the outputs are replaced")
}

// cancelling cancels a run with its first output to the given writer.
type cancelling struct {
	cancel context.CancelFunc
	bytes.Buffer
}

func (c *cancelling) Write(p []byte) (int, error) {
	c.cancel()
	return c.Buffer.Write(p)
}

// What interrupts a run after its outputs were replaced changes nothing any more.
func TestInterruptedAfterTheOutputs(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	stdout := &cancelling{cancel: cancel}
	var stderr bytes.Buffer
	args := []string{"audit", demoProject, "--out", t.TempDir(), "--format", "json", "--fail-on", "shortfall", "--also", "csv"}
	require.Equal(t, exitFound, run(ctx, args, stdout, &stderr), stderr.String())
	require.Error(t, ctx.Err())
	require.Contains(t, stdout.String(), `"exceptions": [`)
}
