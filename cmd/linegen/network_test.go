package main

import (
	"context"
	"path/filepath"
	"testing"

	"dryarc/audit"
	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
)

// Nothing is wrong with what is written, and the same is read from every form of the register.
func TestEveryRowIsPlaced(t *testing.T) {
	for name, o := range map[string]options{"workbook": {Sheets: 1}, "sheets": {Sheets: 3}, "csv": {CSV: true}, "several csv": {Sheets: 2, CSV: true}} {
		t.Run(name, func(t *testing.T) {
			o.Structures, o.Dir = 700, t.TempDir()
			require.NoError(t, write(o))
			p, err := read.Project(context.Background(), filepath.Join(o.Dir, "audit.yaml"))
			require.NoError(t, err)
			require.Zero(t, p.Faults.Total())
			require.Len(t, p.Structures, 700)
			require.Len(t, p.Zones, 2000)
			require.Equal(t, 2100, p.RowsRead)
			n, err := audit.Arrange(p)
			require.NoError(t, err)
			require.Equal(t, 2100, n.RowsPlaced)
			require.Len(t, n.Lines, 3)
		})
	}
}
