package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestSpellingsOfOneStructureNumber(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"001", "1", true}, {"1.0", "1", true}, {"t-12 a", "T12A", true}, {"T–012", "t12", true}, {"7/02", "7/2", true}, {"0", "00", true},
		{"10", "1", false}, {"10.05", "10.5", false}, {"7/20", "7/2", false}, {"12A", "12B", false}, {"100", "1", false},
	} {
		require.Equal(t, c.same, numberKey(c.a) == numberKey(c.b), "%s %s", c.a, c.b)
	}
}
