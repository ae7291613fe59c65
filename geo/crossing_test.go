package geo

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func crossed(b *Barriers, from, to orb.Point) []int {
	keys := []int{}
	b.Crossed(from, to, func(key int) { keys = append(keys, key) })
	return keys
}

func TestCrossed(t *testing.T) {
	barriers := NewBarriers([]Barrier{
		{Key: 5, Lines: [][]orb.Point{{{0, -1}, {0, 1}, {4, 1}}, {{2, -1}, {2, 3}}}},
		{Key: 2, Polygons: []Polygon{poly(square(1, 0, 10), square(5, 5, 2))}},
		{Key: 9, Lines: [][]orb.Point{{{179.9, 0}, {-179.9, 0.2}}}},
		{Key: 8, Polygons: []Polygon{poly(square(179, 5, 1)), poly(square(-180, 5, 1))}},
		{Key: 7, Lines: [][]orb.Point{{{0, -1}, {math.NaN(), 0}, {3, -5}, {3, -6}}, {{50, 50}}, {}}, Polygons: []Polygon{{}}},
		{Key: 5, Lines: [][]orb.Point{{{0, -3}, {0, 3}}}},
	})
	for _, c := range []struct {
		name     string
		from, to orb.Point
		want     []int
	}{
		{"clear", orb.Point{-5, -5}, orb.Point{-4, -5}, []int{}},
		{"line", orb.Point{-1, 0}, orb.Point{0.5, 0}, []int{5}},
		{"touches a line with its end", orb.Point{-1, 0}, orb.Point{0, 0}, []int{5}},
		{"stops short of a line", orb.Point{-1, 0}, orb.Point{-1e-12, 0}, []int{}},
		{"lies along a line", orb.Point{0, 0}, orb.Point{0, 0.5}, []int{5}},
		{"line twice and polygon", orb.Point{-1, 0.5}, orb.Point{3, 0.5}, []int{2, 5}},
		{"lies in a polygon", orb.Point{3, 3}, orb.Point{3.1, 3}, []int{2}},
		{"starts in a polygon", orb.Point{3, 3}, orb.Point{30, 3}, []int{2}},
		{"ends in a polygon", orb.Point{30, 3}, orb.Point{3, 3}, []int{2}},
		{"cuts a polygon", orb.Point{12, 8}, orb.Point{8, 12}, []int{2}},
		{"touches a corner", orb.Point{12, 9}, orb.Point{10, 11}, []int{2}},
		{"passes a corner", orb.Point{12, 9.0001}, orb.Point{10, 11.0001}, []int{}},
		{"lies in a hole", orb.Point{5.5, 5.5}, orb.Point{6, 6}, []int{}},
		{"touches the border of a hole", orb.Point{5.5, 5.5}, orb.Point{7, 6}, []int{2}},
		{"no length, in a polygon", orb.Point{3, 3}, orb.Point{3, 3}, []int{2}},
		{"no length, on a line", orb.Point{0, -2}, orb.Point{0, -2}, []int{5}},
		{"across the antimeridian", orb.Point{179.99, 0.2}, orb.Point{-179.99, 0}, []int{9}},
		{"across it the other way", orb.Point{-179.99, 0}, orb.Point{179.99, 0.2}, []int{9}},
		{"east of it", orb.Point{-179.95, 0}, orb.Point{-179.95, 0.3}, []int{9}},
		{"west of it", orb.Point{179.95, 0}, orb.Point{179.95, 0.3}, []int{9}},
		{"both sides of a split polygon", orb.Point{179.99, 5.5}, orb.Point{-179.99, 5.5}, []int{8}},
		{"ends on the antimeridian", orb.Point{-170, 7}, orb.Point{180, 6}, []int{8}},
		{"the rest of a line that is broken by a gap", orb.Point{2, -5.5}, orb.Point{4, -5.5}, []int{7}},
		{"not a number", orb.Point{math.NaN(), 0}, orb.Point{3, 3}, []int{}},
		{"not a number at the end", orb.Point{3, 3}, orb.Point{3, math.Inf(1)}, []int{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Equal(t, c.want, crossed(barriers, c.from, c.to))
			require.Equal(t, c.want, crossed(barriers, c.to, c.from))
		})
	}
	require.Empty(t, crossed(NewBarriers(nil), orb.Point{}, orb.Point{1, 1}))
}

// Spans between grid positions, against whole numbers.
func TestCrossedOnAGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var barriers []Barrier
		var lines, rings [][]gridPoint
		for i := range rapid.IntRange(1, 3).Draw(t, "barriers") {
			line := drawGridRing(t, fmt.Sprint("line ", i))
			line = line[:len(line)-1]
			ring := drawGridRing(t, fmt.Sprint("ring ", i))
			lines, rings = append(lines, line), append(rings, ring)
			var points []orb.Point
			for _, g := range line {
				points = append(points, g.onEarth())
			}
			barriers = append(barriers,
				Barrier{Key: 2*i + 1, Polygons: []Polygon{gridPoly([][]gridPoint{ring})}},
				Barrier{Key: 2 * i, Lines: [][]orb.Point{points}})
		}
		prepared := NewBarriers(barriers)
		for range 20 {
			from, to := drawGridPoint(t, "from"), drawGridPoint(t, "to")
			want := []int{}
			for i := range lines {
				if meetsAny(from, to, lines[i]) {
					want = append(want, 2*i)
				}
				if gridArea(rings[i]) != 0 && (meetsAny(from, to, rings[i]) || gridPlace(to, rings[i]) != outside) {
					want = append(want, 2*i+1)
				}
			}
			require.Equal(t, want, crossed(prepared, from.onEarth(), to.onEarth()), "%v %v", from, to)
		}
	})
}

func meetsAny(from, to gridPoint, path []gridPoint) bool {
	for i := range len(path) - 1 {
		if gridMeet(from, to, path[i], path[i+1]) {
			return true
		}
	}
	return false
}

// Turning the earth so that the antimeridian runs through the picture changes nothing.
func TestCrossedKeepsUnderRotation(t *testing.T) {
	turned := func(g gridPoint, shift float64) orb.Point {
		lon := float64(g.x)/8 + shift
		if lon >= 180 {
			lon -= 360
		}
		return orb.Point{lon, float64(g.y) / 8}
	}
	rapid.Check(t, func(t *rapid.T) {
		line := drawGridRing(t, "line")
		from, to := drawGridPoint(t, "from"), drawGridPoint(t, "to")
		var results [2][]int
		for i, shift := range [2]float64{10, 179.25} {
			var points []orb.Point
			for _, g := range line {
				points = append(points, turned(g, shift))
			}
			results[i] = crossed(NewBarriers([]Barrier{{Key: 1, Lines: [][]orb.Point{points}}}), turned(from, shift), turned(to, shift))
		}
		require.Equal(t, results[0], results[1])
	})
}
