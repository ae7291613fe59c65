package report

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The scripts of the pages have tests of their own, in pagetest, which node runs without a browser.
func TestPageScripts(t *testing.T) {
	node, err := exec.LookPath("node")
	if err != nil {
		require.NotEqual(t, "true", os.Getenv("CI"), "node must be installed under CI")
		t.Skip("node is not installed, the tests of the pages' scripts do not run")
	}
	for folder, scripts := range map[string][]string{"pagetest": pageScripts[:], filepath.Join("pagetest", "scope"): scopeScripts[:]} {
		t.Run(folder, func(t *testing.T) { runPageTests(t, node, folder, scripts) })
	}
}

func runPageTests(t *testing.T, node, folder string, scripts []string) {
	t.Helper()
	tests, err := filepath.Glob(filepath.Join(folder, "*.test.js"))
	require.NoError(t, err)
	require.NotEmpty(t, tests)
	run := exec.Command(node, append([]string{"--test", "--test-reporter=tap"}, tests...)...)
	run.Env = append(os.Environ(), "PAGE_SCRIPTS="+strings.Join(scripts, " "))
	told, err := run.CombinedOutput()
	require.NoError(t, err, "%s", told)
	passed := regexp.MustCompile(`(?m)^# pass (\d+)$`).FindSubmatch(told)
	require.NotNil(t, passed, "%s", told)
	count, err := strconv.Atoi(string(passed[1]))
	require.NoError(t, err)
	require.Greater(t, count, len(tests), "the tests within the files must have run")
}
