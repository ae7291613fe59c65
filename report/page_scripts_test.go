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

// The scripts of the page have tests of their own, in pagetest, which node runs without a browser.
func TestPageScripts(t *testing.T) {
	node, err := exec.LookPath("node")
	if err != nil {
		require.NotEqual(t, "true", os.Getenv("CI"), "node must be installed under CI")
		t.Skip("node is not installed, the tests of the page's scripts do not run")
	}
	tests, err := filepath.Glob(filepath.Join("pagetest", "*.test.js"))
	require.NoError(t, err)
	require.NotEmpty(t, tests)
	run := exec.Command(node, append([]string{"--test", "--test-reporter=tap"}, tests...)...)
	run.Env = append(os.Environ(), "PAGE_SCRIPTS="+strings.Join(pageScripts[:], " "))
	told, err := run.CombinedOutput()
	require.NoError(t, err, "%s", told)
	passed := regexp.MustCompile(`(?m)^# pass (\d+)$`).FindSubmatch(told)
	require.NotNil(t, passed, "%s", told)
	count, err := strconv.Atoi(string(passed[1]))
	require.NoError(t, err)
	require.Greater(t, count, len(tests), "the tests within the files must have run")
}
