//go:build linux

package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// gonePipe is the end of a pipe of which nobody reads the other.
func gonePipe(t *testing.T) *os.File {
	t.Helper()
	r, w, err := os.Pipe()
	require.NoError(t, err)
	require.NoError(t, r.Close())
	t.Cleanup(func() { w.Close() })
	return w
}

// A reader that has read enough is no error: the command ends without a word of it, by what it found, with all that it writes in place.
func TestReaderOfTheStandardOutputGoes(t *testing.T) {
	t.Parallel()
	out, news := t.TempDir(), filepath.Join(t.TempDir(), "news.txt")
	e := auditInto(t, demoProject, out).Exceptions[0]
	json := []string{"audit", demoProject, "--out", out, "--quiet", "--format", "json", "--notify", news}
	for name, c := range map[string]struct {
		args []string
		code int
	}{
		"version":              {[]string{"version"}, exitDone},
		"checks":               {[]string{"checks"}, exitDone},
		"explain":              {[]string{"explain", demoProject, e.Line, e.Structure}, exitDone},
		"verify, whole":        {[]string{"verify", out}, exitDone},
		"verify, of nothing":   {[]string{"verify", t.TempDir()}, exitInputs},
		"audit":                {json, exitDone},
		"audit that finds":     {append(json[:len(json):len(json)], "--fail-on", "shortfall"), exitFound},
		"new":                  {[]string{"new", filepath.Join(t.TempDir(), "p")}, exitDone},
		"an unknown structure": {[]string{"explain", demoProject, e.Line, "none"}, exitUsage},
	} {
		t.Run(name, func(t *testing.T) {
			cmd := program(c.args...)
			var said bytes.Buffer
			cmd.Stdout, cmd.Stderr = gonePipe(t), &said
			require.NoError(t, cmd.Start())
			require.Equal(t, c.code, ended(t, cmd), said.String())
			require.NotContains(t, said.String(), "pipe")
			require.NotContains(t, said.String(), standardOutput)
		})
	}
	require.FileExists(t, news)
	require.Equal(t, exitDone, run(t.Context(), []string{"verify", out}, &bytes.Buffer{}, &bytes.Buffer{}))
}

// What is said on the standard error is no part of the work: a run whose listener goes writes its outputs all the same.
func TestReaderOfTheStandardErrorGoes(t *testing.T) {
	t.Parallel()
	for _, log := range []string{"text", "json"} {
		out := filepath.Join(t.TempDir(), "out")
		cmd := program("audit", demoProject, "--out", out, "--log", log, "--fail-on", "shortfall")
		cmd.Stderr = gonePipe(t)
		require.NoError(t, cmd.Start())
		require.Equal(t, exitFound, ended(t, cmd))
		require.Equal(t, exitDone, run(t.Context(), []string{"verify", out}, &bytes.Buffer{}, &bytes.Buffer{}))
	}
}

// Where audit.json is to be printed and the standard output is closed or full, that is said and the run ends with 5, its outputs in place.
func TestStandardOutputThatTakesNothing(t *testing.T) {
	t.Parallel()
	sh, err := exec.LookPath("sh")
	require.NoError(t, err)
	for name, c := range map[string]struct {
		to   string
		args []string
		code int
		says string
	}{
		"closed":                        {">&-", []string{"--format", "json"}, exitOutputs, "the standard output was not written: it is closed"},
		"full":                          {">/dev/full", []string{"--format", "json"}, exitOutputs, "the standard output was not written: write /dev/stdout: no space left on device"},
		"thrown away":                   {">/dev/null", []string{"--format", "json"}, exitDone, ""},
		"closed, nothing printed there": {">&-", nil, exitDone, "exceptions: "},
		"full, nothing printed there":   {">/dev/full", nil, exitDone, "exceptions: "},
	} {
		t.Run(name, func(t *testing.T) {
			out, news := filepath.Join(t.TempDir(), "out"), filepath.Join(t.TempDir(), "news.txt")
			cmd := program(append([]string{"audit", demoProject, "--out", out, "--notify", news}, c.args...)...)
			cmd.Args = append([]string{sh, "-c", `exec "$0" "$@" ` + c.to}, cmd.Args...)
			cmd.Path = sh
			var said bytes.Buffer
			cmd.Stderr = &said
			require.NoError(t, cmd.Start())
			require.Equal(t, c.code, ended(t, cmd), said.String())
			require.Contains(t, said.String(), c.says)
			require.FileExists(t, news)
			require.Equal(t, exitDone, run(t.Context(), []string{"verify", out}, &bytes.Buffer{}, &bytes.Buffer{}))
		})
	}
}
