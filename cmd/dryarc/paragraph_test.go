package main

import (
	"bytes"
	"testing"

	"dryarc/audit/checks"
	"dryarc/report"

	"github.com/stretchr/testify/require"
)

// What the program says of its own checks reaches a terminal whole.
func TestChecksArePrintedWhole(t *testing.T) {
	for _, check := range checks.All() {
		var b bytes.Buffer
		require.NoError(t, printCheck(&b, check))
		for line := range bytes.Lines(b.Bytes()) {
			require.NotContains(t, report.Visible(string(bytes.TrimSuffix(line, []byte("\n")))), "left out)", check.ID)
		}
	}
}
