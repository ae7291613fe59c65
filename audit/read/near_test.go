package read

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestNearest(t *testing.T) {
	known := []string{"DF-220", "DP-33", "DP-33-T1", "OSTREY - KELDBY 1", "OSTREY - KELDBY 2", "Halvern"}
	for written, want := range map[string][]string{
		"df 220": {"DF-220"}, "DP33": {"DP-33", "DP-33-T1"}, "keldby": {"OSTREY - KELDBY 1", "OSTREY - KELDBY 2"},
		"OSTREY - KELDBY 3": {"OSTREY - KELDBY 1", "OSTREY - KELDBY 2"}, "Havlern": {"Halvern"}, "nowhere": nil, "": nil, "D": nil,
	} {
		require.Equal(t, want, Nearest(written, known), written)
	}
	require.Len(t, Nearest("12A", []string{"12", "12B", "12C", "12D"}), 3)
}
