package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// The usage of .ci/hard names its parts, each part is told of in DEVELOPERS.md, and the tests that it runs are there: a
// pattern that matches no test passes silently.
func TestPartsOfHard(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("it is a shell script")
	}
	root := filepath.Join("..", "..")
	text, err := os.ReadFile(filepath.Join(root, ".ci", "hard"))
	require.NoError(t, err)
	script := string(text)
	usage := exec.Command(filepath.Join(root, ".ci", "hard"))
	said, err := usage.CombinedOutput()
	require.Error(t, err)
	require.Equal(t, 2, usage.ProcessState.ExitCode())
	parts := firstGroups(`(?m)^([a-z]+)\)`, script)
	require.NotEmpty(t, parts)
	require.Equal(t, parts, firstGroups(`(?m)^  ([a-z]+) `, string(said)))
	guide, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	require.NoError(t, err)
	for _, part := range parts {
		require.Contains(t, string(guide), "`.ci/hard "+part+"`")
	}
	tests := 0
	calls := regexp.MustCompile(`\bhard '?(Test[A-Za-z|]+)'? (\./\S+)`).FindAllStringSubmatch(script, -1)
	for _, call := range calls {
		files, err := filepath.Glob(filepath.Join(root, call[2], "*_test.go"))
		require.NoError(t, err)
		var there []string
		for _, file := range files {
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			there = append(there, firstGroups(`(?m)^func (Test\w+)\(`, string(text))...)
		}
		for _, name := range strings.Split(call[1], "|") {
			require.True(t, slices.Contains(there, name), "%s has no %s", call[2], name)
			tests++
		}
	}
	require.Equal(t, strings.Count(script, "Test"), tests, "a test is named where none is understood")
}

func firstGroups(pattern, text string) (found []string) {
	for _, match := range regexp.MustCompile(pattern).FindAllStringSubmatch(text, -1) {
		found = append(found, match[1])
	}
	return found
}

// trials says how often and until when something is tried: as in every go test, or by .ci/hard.
func trials(t *testing.T, few int, short time.Duration, many int) (count int, until time.Time) {
	t.Helper()
	if os.Getenv("DRYARC_HARD") == "" {
		return few, time.Now().Add(short)
	}
	if asked := os.Getenv("DRYARC_TRIALS"); asked != "" {
		n, err := strconv.Atoi(asked)
		require.NoError(t, err)
		many = n
	}
	return many, time.Now().Add(55 * time.Minute)
}
