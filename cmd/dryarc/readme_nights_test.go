package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What the README says of every night is accepted by the program, and its units by systemd where that is there.
func TestREADMEOfEveryNight(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	require.NoError(t, err)
	commands := regexp.MustCompile(`dryarc(?:\.exe)? (audit audit\.yaml [^"\n]*)`).FindAllStringSubmatch(string(text), -1)
	require.Len(t, commands, 3, "of a timer, of cron and of Windows")
	d := newDecidable(t)
	units := regexp.MustCompile("(?s)```ini\n(.*?)```").FindAllStringSubmatch(string(text), -1)
	require.Len(t, units, 2)
	t.Run("units", func(t *testing.T) {
		verifier, err := exec.LookPath("systemd-analyze")
		if err != nil {
			t.Skip("systemd-analyze is not there")
		}
		program, err := filepath.Abs(os.Args[0])
		require.NoError(t, err)
		folder := t.TempDir()
		for i, name := range []string{"dryarc.service", "dryarc.timer"} {
			unit := strings.ReplaceAll(units[i][1], "/usr/local/bin/dryarc", program)
			require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(unit), 0o666))
		}
		cmd := exec.Command(verifier, "verify", filepath.Join(folder, "dryarc.service"), filepath.Join(folder, "dryarc.timer"))
		said, err := cmd.CombinedOutput()
		require.NoError(t, err, string(said))
		require.NotContains(t, string(said), "dryarc.", "it has something to say of the units")
	})
	t.Chdir(filepath.Dir(d.project))
	for _, command := range commands {
		for _, name := range []string{"news.txt", "news.html"} {
			require.NoError(t, os.RemoveAll(name))
		}
		var out, errs bytes.Buffer
		code := run(context.Background(), strings.Fields(command[1]), &out, &errs)
		require.Contains(t, []int{exitDone, exitFound}, code, errs.String())
		require.FileExists(t, "news.txt")
		require.FileExists(t, "news.html")
		require.FileExists(t, filepath.Join("out", "audit.json"))
	}
	require.FileExists(t, filepath.Join("out", "audit.prom"))
}
