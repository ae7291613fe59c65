package basis

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The ends are where the score test just rejects: (p − t)² = z²·t(1−t)/n (Wilson 1927). They are found here by halving, without the solved
// formula, with a quantile that is found by halving the normal distribution.
func TestWilsonAgainstTheScoreTest(t *testing.T) {
	z := halved(0, 4, func(z float64) bool { return math.Erf(z/math.Sqrt2) < 0.95 })
	for _, c := range [][2]int{{0, 30}, {1, 30}, {15, 30}, {29, 30}, {30, 30}, {3, 1000}, {81, 263}, {1, 1000000}, {12345, 3000000}, {0, 1}, {1, 1}} {
		t.Run(fmt.Sprint(c), func(t *testing.T) {
			p, n := float64(c[0])/float64(c[1]), float64(c[1])
			rejects := func(share float64) bool { return math.Pow(p-share, 2) > z*z*share*(1-share)/n }
			low, high := Wilson(c[0], c[1])
			require.InDelta(t, halved(0, p, rejects), low, 1e-12)
			require.InDelta(t, halved(p, 1, func(share float64) bool { return !rejects(share) }), high, 1e-12)
		})
	}
}

// Of 32 cars 6 go 25 miles or more on a gallon: 0.08889545 to 0.35309155 as R computed it, by a program that is not this one.
//
// Source: a notebook of R published under rstudio-pubs-static.s3.amazonaws.com/1367507_eef7a4d0fb5347a8a820fe3c10141369.html, read for this test.
func TestWilsonAsRHasIt(t *testing.T) {
	low, high := Wilson(6, 32)
	require.InDelta(t, 0.08889545, low, 5e-9)
	require.InDelta(t, 0.35309155, high, 5e-9)
}

// Of 263 people 81 were found to be: 0.2553 to 0.3662 by the score method without continuity correction.
//
// Source: R. G. Newcombe, Two-sided confidence intervals for the single proportion, Statistics in Medicine 17 (1998), table I; from memory.
func TestWilsonAsPublished(t *testing.T) {
	for _, c := range []struct {
		found, of int
		low, high float64
	}{{81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0, 0.1611}, {1, 29, 0.0061, 0.1718}} {
		low, high := Wilson(c.found, c.of)
		require.InDelta(t, c.low, low, 5e-5)
		require.InDelta(t, c.high, high, 5e-5)
	}
}

func TestWilsonOfNothing(t *testing.T) {
	for _, c := range [][2]int{{0, 0}, {-1, 10}, {11, 10}, {0, -1}} {
		low, high := Wilson(c[0], c[1])
		require.True(t, math.IsNaN(low) && math.IsNaN(high), c)
	}
}

// halved finds where a condition that holds at first ends to hold.
func halved(from, to float64, holds func(float64) bool) float64 {
	if !holds(from + (to-from)*1e-15) {
		return from
	}
	for range 200 {
		if middle := (from + to) / 2; holds(middle) {
			from = middle
		} else {
			to = middle
		}
	}
	return from
}
