package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"testing"

	"dryarc/audit/history"

	"github.com/stretchr/testify/require"
)

// The share that could be judged is one figure, cut to its tenth, wherever it stands.
func TestJudgedShareIsOneFigure(t *testing.T) {
	r := judged(t, demo(t))
	changes := history.Alone(r)
	shares := map[string]string{}
	log, err := csv.NewReader(strings.NewReader(logOf(t, "", r))).ReadAll()
	require.NoError(t, err)
	for _, row := range log[1:] {
		shares[row[1]] = row[10]
	}
	book := openBook(t, r, generous)
	at := slices.Index(cells(t, book, linesSheet)[0], "Judged (%)")
	require.Positive(t, at)
	for line, share := range shares {
		found := false
		for _, row := range cells(t, book, linesSheet)[1:] {
			if row[0] == line {
				found = true
				require.Equal(t, strings.TrimSuffix(share, ".0"), row[at], line)
			}
		}
		require.True(t, found, line)
	}

	var metrics bytes.Buffer
	require.NoError(t, writeMetrics(context.Background(), &metrics, r, &account{changes: changes}))
	tenths := int(10*r.AssessedPercent() + 0.5)
	require.NotZero(t, tenths%10, "a whole percent shows nothing")
	require.Contains(t, metrics.String(), fmt.Sprintf("} 0.%03d\n", tenths))
}
