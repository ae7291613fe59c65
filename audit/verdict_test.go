package audit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestUnknownFiguresAreNeverJudged(t *testing.T) {
	nan := math.NaN()
	for _, v := range []Verdict{AtLeast(nan, 1, ""), AtLeast(1, nan, ""), AtMost(nan, 1, ""), AtMost(1, nan, "")} {
		require.Equal(t, NotAssessed, v.Outcome)
		require.Equal(t, FigureUnknown, v.Reason)
	}
}
