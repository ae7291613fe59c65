package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestGarbageByWhatIsHeld(t *testing.T) {
	for held, want := range map[uint64]int{0: 50, 1 << 20: 50, 32 << 20: 50, 48 << 20: 41, 64 << 20: 33, 96 << 20: 24, 480 << 20: 11, 4800 << 20: 8} {
		require.Equal(t, want, garbagePercentOf(held), "%d MiB", held>>20)
	}
}
