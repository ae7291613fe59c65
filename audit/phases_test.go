package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestPolesOfDirectCurrent(t *testing.T) {
	for text, want := range map[string]string{"+": "+", "−": "−", "-": "−", "–": "−", "+, −": "+,−", "+/-": "+,−", "±": "+,−", "positive": "+", "Negative": "−", "positive, negative": "+,−", "A+B": "A,B", "A-B-C": "A,B,C"} {
		set, ok := ParsePhases(text)
		require.True(t, ok, text)
		require.Equal(t, want, set.String(), text)
	}
	for _, text := range []string{"", "/", ", ", "+Q"} {
		_, ok := ParsePhases(text)
		require.False(t, ok, text)
	}
}
