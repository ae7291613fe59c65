package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestNear(t *testing.T) {
	known := []string{"deviation_limit_deg", "tee_tolerance_m", "title", "Structure"}
	for written, want := range map[string]string{
		"deviation_limit": "deviation_limit_deg", "tee_tolerence_m": "tee_tolerance_m", "tilte": "title", "TITLE": "title", "structures": "Structure",
		"position": "", "": "", "x": "",
	} {
		require.Equal(t, want, Near(written, known), written)
	}
}

func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"abc", "abc", 0}, {"abc", "abd", 1}, {"abc", "acb", 1}, {"abc", "ab", 1}, {"abc", "xabc", 1}, {"kitten", "sitting", 3}} {
		require.Equal(t, c.want, distance([]rune(c.a), []rune(c.b), 10), "%s %s", c.a, c.b)
		require.Equal(t, c.want, distance([]rune(c.b), []rune(c.a), 10), "%s %s", c.b, c.a)
	}
}
