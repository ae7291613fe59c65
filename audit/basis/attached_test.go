package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// A span of 600 m that rises by 400 m, 58 kN horizontal, 15.97 N/m: 73.1 kN at the upper end (computed). At the low point the
// tension is horizontal, and the difference between two points is the weight of their difference in height.
func TestTensionAtSupport(t *testing.T) {
	const h, w, span, rise = 58.0, 15.97, 600.0, 400.0
	c := CatenaryConstant(h, w)
	upper := TensionAtSupport(h, FromLowPoint(span, rise, c), c)
	lower := TensionAtSupport(h, LowPoint(span, rise, c), c)
	require.InDelta(t, 73.1, upper, 0.05)
	require.InDelta(t, w*rise/1000, upper-lower, 1e-9)
	require.Equal(t, h, TensionAtSupport(h, 0, c))
	require.Equal(t, TensionAtSupport(h, 150, c), TensionAtSupport(h, -150, c))
}

func TestStatedTensionInWords(t *testing.T) {
	for text, want := range map[string]StatedTension{"horizontal": Horizontal, "Horizontal": Horizontal, "at support": AtSupport, " At  Support ": AtSupport} {
		got, ok := ParseStatedTension(text)
		require.True(t, ok, text)
		require.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "support", "vertical"} {
		_, ok := ParseStatedTension(text)
		require.False(t, ok, text)
	}
}

// Statics (computed): 3 and 4 give 5; a string of 1 more hangs on √(3² + 5²); one that is lifted by 4 has 4 at its lower end and 3
// at its top, and one lifted by 1 has 1 at its lower end and 5 at its top.
func TestTopUnitLoad(t *testing.T) {
	for _, c := range []struct{ transverse, vertical, weight, want float64 }{
		{3, 4, 0, 5}, {3, 4, 1, math.Sqrt(34)}, {-3, 4, 1, math.Sqrt(34)}, {3, -4, 1, 5}, {0, -1, 6, 5}, {3, 0, 4, 5},
	} {
		require.InDelta(t, c.want, TopUnitLoad(c.transverse, c.vertical, c.weight), 1e-12, "%+v", c)
	}
}
