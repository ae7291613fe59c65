package geo

import (
	"slices"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"
)

// joinToleranceM is how far apart two ends of a route's parts may lie and still be joined.
const joinToleranceM = 0.5

// joiner holds the parts of a route that are still to be joined.
type joiner struct {
	parts [][]orb.Point
	ends  rtree.RTreeG[partEnd]
}

// partEnd names the start of a part or, last, its end.
type partEnd struct {
	part int
	last bool
}

// join chains parts, each of at least two different positions, into as few pieces as their ends allow.
func join(parts [][]orb.Point) [][]orb.Point {
	j := joiner{parts: slices.Clone(parts)}
	for i := range parts {
		for _, end := range [2]partEnd{{i, false}, {i, true}} {
			at := j.at(end)
			j.ends.Insert(at, at, end)
		}
	}
	var pieces [][]orb.Point
	for i := range parts {
		if j.parts[i] == nil {
			continue
		}
		piece := j.extend(j.take(partEnd{i, false}))
		slices.Reverse(piece)
		piece = j.extend(piece)
		slices.Reverse(piece)
		pieces = append(pieces, piece)
	}
	return pieces
}

func (j *joiner) at(end partEnd) orb.Point {
	part := j.parts[end.part]
	if end.last {
		return part[len(part)-1]
	}
	return part[0]
}

// take removes a part and returns it running from the end that is named.
func (j *joiner) take(from partEnd) []orb.Point {
	for _, end := range [2]partEnd{{from.part, false}, {from.part, true}} {
		at := j.at(end)
		j.ends.Delete(at, at, end)
	}
	part := slices.Clone(j.parts[from.part])
	j.parts[from.part] = nil
	if from.last {
		slices.Reverse(part)
	}
	return part
}

// extend adds parts to the end of the piece until none fits or the piece has closed.
func (j *joiner) extend(piece []orb.Point) []orb.Point {
	for !ringLike(piece) {
		next, found := j.nearest(piece[len(piece)-1])
		if !found {
			break
		}
		for _, p := range j.take(next)[1:] {
			piece = appendNew(piece, p)
		}
	}
	return piece
}

// nearest returns the end of a part that lies nearest to p within the tolerance, of equals that of the part given first.
func (j *joiner) nearest(p orb.Point) (nearest partEnd, found bool) {
	box := around(p, joinToleranceM)
	nearestM := joinToleranceM
	for turn := -360.0; turn <= 360; turn += 360 {
		low, high := orb.Point{box.Min[0] + turn, box.Min[1]}, orb.Point{box.Max[0] + turn, box.Max[1]}
		j.ends.Search(low, high, func(at, _ [2]float64, end partEnd) bool {
			gapM := Inverse(p, at).LengthM
			first := !found || end.part < nearest.part || end.part == nearest.part && !end.last
			if gapM < nearestM || gapM == nearestM && first {
				nearest, nearestM, found = end, gapM, true
			}
			return true
		})
	}
	return nearest, found
}

// ringLike tells whether a piece ends where it starts.
func ringLike(piece []orb.Point) bool {
	return len(piece) > 3 && Within(piece[0], piece[len(piece)-1], joinToleranceM)
}

// appendNew appends p unless it is where the last position is.
func appendNew(points []orb.Point, p orb.Point) []orb.Point {
	if len(points) > 0 && Within(points[len(points)-1], p, 0) {
		return points
	}
	return append(points, p)
}
