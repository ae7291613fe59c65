package basis

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestSameCoupling(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"16", "16A", true}, {"16 mm", "16", true}, {"16mm", "16a", true}, {"16", "16B", false}, {"16", "20", false}, {"16A", "20A", false},
		{"19L", "19 l", true}, {"A", "", false}, {"clevis", "Clevis", true},
	} {
		require.Equal(t, c.same, SameCoupling(c.a, c.b), "%s %s", c.a, c.b)
	}
}
