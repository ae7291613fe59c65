package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// The README's table of checks is made from the records. DRYARC_UPDATE=1 writes it anew.
func TestREADMEListsTheChecks(t *testing.T) {
	const begin, end = "<!-- checks -->\n", "<!-- /checks -->"
	file := filepath.Join("..", "..", "README.md")
	raw, err := os.ReadFile(file)
	require.NoError(t, err)
	before, rest, found := strings.Cut(string(raw), begin)
	require.True(t, found, begin)
	_, after, found := strings.Cut(rest, end)
	require.True(t, found, end)

	var table strings.Builder
	table.WriteString("| check | judges every | severity | faulty condition |\n| --- | --- | --- | --- |\n")
	for _, check := range checks.All() {
		fmt.Fprintf(&table, "| `%s` | %s | %s | %s |\n", check.ID, check.Of, check.Severity, check.Title)
	}
	want := before + begin + table.String() + end + after
	if os.Getenv("DRYARC_UPDATE") != "" {
		require.NoError(t, os.WriteFile(file, []byte(want), 0o644))
	}
	require.Equal(t, want, string(raw), "run again with DRYARC_UPDATE=1")
}
