package remedy

import (
	"math"
	"slices"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// Every check that the order names is one, and stands in one group.
func TestDangersNameChecks(t *testing.T) {
	for _, id := range slices.Concat(mayFall(), mayFlashOver()) {
		require.NotNil(t, checks.ByID(id), id)
	}
	for _, id := range mayFall() {
		require.NotContains(t, mayFlashOver(), id)
	}
}

func TestOrderOfDoing(t *testing.T) {
	order := []Rank{ // the first to do first
		{Severity: audit.Shortfall, Danger: MayFall, Shortage: math.NaN(), Check: 9},
		{Severity: audit.Shortfall, Danger: MayFall, Shortage: 0.3, Check: 7},
		{Severity: audit.Shortfall, Danger: MayFall, Shortage: 0.1, Check: 1},
		{Severity: audit.Shortfall, Danger: FlashoverAtCrossing, Shortage: 0.9},
		{Severity: audit.Shortfall, Danger: Lesser, Shortage: 1.2},
		{Severity: audit.Shortfall, Danger: Lesser, Shortage: math.NaN(), beyond: true}, // counts as 1
		{Severity: audit.Shortfall, Danger: Lesser, Shortage: 0.9},
		{Severity: audit.Advisory, Danger: MayFall, Shortage: math.NaN()},
		{Severity: audit.Note, Danger: Lesser, Check: -1},
	}
	for i := range order {
		for k := range order {
			require.Equal(t, compareInts(i, k), order[i].compare(&order[k]), "%d and %d", i, k)
		}
	}
}

func compareInts(a, b int) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
