package history

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// A limit that falls below 0 has no margin any more, and what falls short of it got worse all the same.
func TestLimitsBelowZeroGetWorse(t *testing.T) {
	short := func(limit float64) audit.Verdict { return audit.AtMost(26, limit, "deg") }
	for _, c := range []struct {
		was, is float64
		want    State
	}{{20, -6, Worse}, {-6, -90, Worse}, {-90, -6, Better}, {-6, 20, Better}, {-6, -6, Standing}} {
		was, is := short(c.was), short(c.is)
		record := Record{Severity: was.Severity, Margin: known(was.Margin), Observed: bare(was.Observed), Required: bare(was.Required)}
		require.Equal(t, c.want, became(&record, &is), "%+v", c)
	}
}
