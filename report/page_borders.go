package report

import (
	"iter"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// draw draws the borders: as they are, or coarser where they have more positions than the limit, as fine as the limit allows, but no
// finer than a 100 000th of the box, which nobody sees. Positions that are left out lie within simplifiedDeg of the
// border that is drawn. A ring keeps at least a quadrangle, however small it is and even where that is beyond the
// limit, so that no zone vanishes and no hole is filled.
//
// What is left out is what Douglas and Peucker's rule leaves out. Every ring is gone through once for all tolerances, and again for the one that is
// found, so that no more is held of the exact borders than one ring.
func (z *zoneShapes) draw(bound orb.Bound, limit int) {
	count := 0
	for ring := range z.exact() {
		count += len(ring)
	}
	var weights []float64
	weighed := func(ring orb.LineString, above float64) []float64 {
		weights = slices.Grow(weights[:0], len(ring))[:len(ring)]
		clear(weights)
		weigh(ring, weights, above, 2)
		return weights
	}
	if count > limit {
		least := leastTolerance{limit: limit, above: max(bound.Right()-bound.Left(), bound.Top()-bound.Bottom(), 0.02) / 100_000}
		for ring := range z.exact() {
			least.add(weighed(ring, least.above))
		}
		z.simplifiedDeg = least.find()
	}
	for i := range z.zones {
		for ring := range z.zones[i].exact {
			if count > limit {
				ring = heavier(ring, weighed(ring, z.simplifiedDeg), z.simplifiedDeg)
			}
			z.zones[i].rings = append(z.zones[i].rings, ring.Clone())
		}
	}
}

// exact goes through the borders of all zones.
func (z *zoneShapes) exact() iter.Seq[orb.LineString] {
	return func(yield func(orb.LineString) bool) {
		for i := range z.zones {
			for ring := range z.zones[i].exact {
				if !yield(ring) {
					return
				}
			}
		}
	}
}

// stretch is a part of a ring between two positions that are kept up to a tolerance.
type stretch struct {
	first, last int
	upTo        float64 // that tolerance
	always      int     // in so many more halvings the farthest position is kept whatever the tolerance
}

// weigh sets the weight of every position of a ring: the tolerance in degrees from which on the rule leaves the
// position out, infinite for what is always kept. Weights that are not above a limit stay 0.
func weigh(ring orb.LineString, weights []float64, above float64, always int) {
	last := len(ring) - 1
	weights[0], weights[last] = math.Inf(1), math.Inf(1)
	for open := []stretch{{0, last, math.Inf(1), always}}; len(open) > 0; {
		s := open[len(open)-1]
		open = open[:len(open)-1]
		at, distance := farthest(ring, s.first, s.last)
		switch {
		case distance == 0:
			continue
		case s.always > 0:
			s.always--
		case distance <= above:
			continue
		default:
			s.upTo = min(s.upTo, distance)
		}
		weights[at] = s.upTo
		open = append(open, stretch{s.first, at, s.upTo, s.always}, stretch{at, s.last, s.upTo, s.always})
	}
}

// farthest finds the position between two others that is farthest from the straight way from one to the other.
func farthest(ring orb.LineString, first, last int) (at int, distance float64) {
	from := ring[first]
	dx, dy := ring[last][0]-from[0], ring[last][1]-from[1]
	length := dx*dx + dy*dy
	perLength := 0.0
	if length > 0 {
		perLength = 1 / length
	}
	squared := 0.0
	for i := first + 1; i < last; i++ {
		x, y := ring[i][0]-from[0], ring[i][1]-from[1]
		share := min(max((x*dx+y*dy)*perLength, 0), 1)
		x, y = x-share*dx, y-share*dy
		if d := x*x + y*y; d > squared {
			at, squared = i, d
		}
	}
	return at, math.Sqrt(squared)
}

// leastTolerance finds the least tolerance with which no more positions are kept than a limit, where that is possible.
type leastTolerance struct {
	limit   int
	always  int       // positions that are kept whatever the tolerance
	weights []float64 // the heaviest of the others
	above   float64   // the tolerance is not below it
}

func (l *leastTolerance) add(weights []float64) {
	for _, w := range weights {
		switch {
		case math.IsInf(w, 1):
			l.always++
		case w > l.above:
			l.weights = append(l.weights, w)
		}
	}
	if len(l.weights) > 2*l.limit {
		l.find()
	}
}

// find returns the least tolerance for what was added, and forgets all weights that can be kept no more.
func (l *leastTolerance) find() float64 {
	if over := len(l.weights) - max(l.limit-l.always, 0); over > 0 {
		slices.Sort(l.weights)
		l.above = l.weights[over-1]
		l.weights = slices.Delete(l.weights, 0, over)
	}
	return l.above
}

// heavier keeps the positions of a ring whose weights are above a tolerance, in its own memory.
func heavier(ring orb.LineString, weights []float64, tolerance float64) orb.LineString {
	kept := ring[:0]
	for i, p := range ring {
		if weights[i] > tolerance {
			kept = append(kept, p)
		}
	}
	return kept
}
