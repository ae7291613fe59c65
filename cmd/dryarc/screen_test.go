package main

import (
	"bytes"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestLinesAreBrokenAtWords(t *testing.T) {
	for _, c := range []struct {
		columns    int
		line, want string
	}{
		{0, strings.Repeat("word ", 50), strings.Repeat("word ", 50)},
		{30, "short enough", "short enough"},
		{24, "the quick brown fox jumps over the dog", "the quick brown fox\n  jumps over the dog"},
		{24, "  hint: the quick brown fox jumps", "  hint: the quick brown\n    fox jumps"},
		{24, "a-word-that-is-wider-than-the-screen and more", "a-word-that-is-wider-than-the-screen\n  and more"},
		{24, "10\u202f000 shortfalls 12\u202f345 notes", "10\u202f000 shortfalls 12\u202f345\n  notes"}, // no number is torn
		{24, "電線電線電線 電線電線電線", "電線電線電線\n  電線電線電線"},                                                       // two columns a sign
	} {
		got := screen{columns: c.columns}.broken(c.line)
		require.Equal(t, c.want, got)
		joined := strings.Join(strings.Fields(got), " ")
		require.Equal(t, strings.Join(strings.Fields(c.line), " "), joined, "nothing is lost")
	}
}

func TestColoursWhereTheyAreWanted(t *testing.T) {
	env := func(pairs ...string) func(string) string {
		return func(name string) string {
			for i := 0; i < len(pairs); i += 2 {
				if pairs[i] == name {
					return pairs[i+1]
				}
			}
			return ""
		}
	}
	require.True(t, wantsColours(env("TERM", "xterm")))
	require.True(t, wantsColours(env("TERM", "xterm", "NO_COLOR", "")))
	require.True(t, wantsColours(env("WT_SESSION", "1")))
	require.False(t, wantsColours(env("TERM", "xterm", "NO_COLOR", "0")), "whatever its value")
	require.False(t, wantsColours(env("TERM", "dumb")))
	require.False(t, wantsColours(env()))
	require.Equal(t, screen{}, screenOf(&bytes.Buffer{}, env("TERM", "xterm")), "no terminal")
	require.Equal(t, "2 \x1b[0m", strings.Replace(screen{colours: true}.painted("2 shortfalls"), "\x1b[1;33m2 shortfalls", "2 ", 1))
	require.Equal(t, "a line called shortfall", screen{colours: true}.painted("a line called shortfall"), "only what is counted")
	require.Equal(t, "2 shortfalls", screen{}.painted("2 shortfalls"))
}

// On a terminal of its own the program breaks lines, paints what is grave and says what it is at; elsewhere it does none of it.
func TestOnATerminal(t *testing.T) {
	t.Parallel()
	terminal := tool(t, "script")
	escapes := regexp.MustCompile("\x1b\\[[0-9;]*[mK]|\r")
	said := func(env ...string) string {
		audit := program("audit", demoProject, "--out", t.TempDir())
		command := exec.Command(terminal, "-qec", "stty cols 60 && exec "+strings.Join(audit.Args, " "), "/dev/null")
		command.Env = append(append(audit.Env, "TERM=xterm", "NO_COLOR="), env...)
		command.Stdin = strings.NewReader("")
		out, err := command.CombinedOutput()
		require.NoError(t, err, string(out))
		return string(out)
	}
	whole := said()
	require.Contains(t, whole, "\x1b[1;33m40 shortfalls\x1b[0m, \x1b[34m31 advisories\x1b[0m, 2 notes")
	require.Regexp(t, `written 6 of 6 files, to `, whole)
	_, summary, _ := strings.Cut(whole[strings.LastIndex(whole, eraseLine)+len(eraseLine):], "")
	for _, line := range strings.Split(escapes.ReplaceAllString(summary, ""), "\n") {
		if strings.Contains(strings.TrimSpace(line), " ") {
			require.LessOrEqual(t, columnsOf(line), 60, line)
		}
	}
	require.NotContains(t, said("NO_COLOR=1"), "\x1b[1;33m")
	require.NotContains(t, said("TERM=dumb"), "\x1b[")
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(t.Context(), []string{"audit", demoProject, "--out", t.TempDir()}, &stdout, &stderr))
	require.NotContains(t, stderr.String(), "\x1b")
	require.Empty(t, stdout.String())
	lines := strings.Split(stderr.String(), "\n")
	require.True(t, strings.HasPrefix(lines[0], "exceptions: 40 shortfalls, "), "the gravest first")
	require.Regexp(t, `(?m)^worst line: \S+, \d+ exceptions open on \d+ structures, \d+ per 100$`, stderr.String())
	require.Regexp(t, `(?s)\n  shortfall .*\n  and \d+ more`, stderr.String())
}
