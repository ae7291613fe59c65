package read

import (
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// TestAndes reads the real network of the shared test data, whose planted faults are listed beside it.
func TestAndes(t *testing.T) {
	cases := os.Getenv("DRYARC_CASES")
	if cases == "" {
		t.Skip("DRYARC_CASES is not set: it names the folder with the shared test data")
	}
	p, err := Project(context.Background(), filepath.Join(cases, "andes", "audit.yaml"))
	require.NoError(t, err)
	require.Equal(t, 20_166, p.Structures.Len())
	require.Equal(t, 59_221, p.RowsRead)
	require.Equal(t, 59_221, p.Assemblies.Len(), "every row names a line and a structure")
	require.Len(t, p.Lines, 303)
	require.Equal(t, audit.Stated(2), p.Criteria.DeviationLimitDeg)
	requirePlanted(t, p, filepath.Join(cases, "andes", "expected_faults.csv"), "unknown-unit", "not-a-number", "out-of-range")

	network, err := audit.Arrange(p)
	require.NoError(t, err)
	require.Equal(t, p.RowsRead, network.RowsPlaced+network.RowsLeftOut)
	requirePlanted(t, p, filepath.Join(cases, "andes", "expected_faults.csv"), "unknown-unit", "not-a-number", "out-of-range", "no-such-structure", "duplicate-row")
}

// requirePlanted compares the faults of the project, all of them, with the planted ones of some kinds.
func requirePlanted(t *testing.T, p *audit.Project, path string, kinds ...string) {
	t.Helper()
	file, err := os.Open(path)
	require.NoError(t, err)
	defer file.Close()
	records, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	var want []string
	for _, record := range records[1:] {
		kind := strings.ReplaceAll(strings.Replace(record[0], "duplicate", "duplicate row", 1), " ", "-")
		for _, k := range kinds {
			if k == kind {
				want = append(want, kind+" "+record[1]+" "+record[2])
			}
		}
	}
	require.NotEmpty(t, want)
	var got []string
	for _, f := range p.Faults.List() {
		for _, row := range append([]uint32{f.At.Row}, f.Also...) {
			got = append(got, strings.Join([]string{f.Kind.String(), p.Tables[f.At.Table].Sheet, fmt.Sprint(row)}, " "))
		}
	}
	require.ElementsMatch(t, want, got)
}
