package geo

import (
	"math"
	"runtime"
	"slices"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"
	"golang.org/x/sync/errgroup"
)

// Area is a set of polygons that share a rank (the higher, the worse) and a key by which the caller knows them.
type Area struct {
	Polygons []Polygon
	Rank     int
	Key      int
}

// Areas answers in which of many areas a position lies. A border belongs to its area, that of a hole too; the inside of
// a hole does not. A longitude of exactly ±180 is looked up on both sides. Safe for use by many goroutines.
type Areas struct {
	tree  rtree.RTreeG[int32]
	parts []areaPart
}

type areaPart struct {
	bands     bands
	area      int // which of the areas, in the order given
	rank, key int
}

// NewAreas prepares areas for look-up. A polygon in which Validate finds a fault of a single ring (none, too short, not
// closed, no area, coordinates out of range) is left out, so validate first where that must not go unnoticed. One
// that crosses itself is taken by the even-odd rule.
func NewAreas(areas []Area) *Areas { return (*Outlines)(nil).Areas(areas) }

// Areas prepares areas as NewAreas does, from what is kept of their polygons where they were prepared before.
func (o *Outlines) Areas(areas []Area) *Areas {
	prepared := make([][]areaPart, len(areas))
	var group errgroup.Group
	group.SetLimit(runtime.GOMAXPROCS(0))
	for i, area := range areas {
		group.Go(func() error {
			for _, polygon := range area.Polygons {
				if bands, ok := o.bandsOf(polygon); ok {
					prepared[i] = append(prepared[i], areaPart{bands: bands, area: i, rank: area.Rank, key: area.Key})
				}
			}
			return nil
		})
	}
	_ = group.Wait() // none of them fails
	a := &Areas{parts: slices.Concat(prepared...)}
	for i := range a.parts {
		bound := a.parts[i].bands.bound
		a.tree.Insert(bound.Min, bound.Max, int32(i))
	}
	return a
}

// Worst returns the key of the area of the highest rank that holds p, of equals the one with the lowest key;
// ok is false where no area holds p.
func (a *Areas) Worst(p orb.Point) (key int, ok bool) {
	if !finite(p) {
		return 0, false
	}
	rank := 0
	both, count := sides(p)
	for _, at := range both[:count] {
		a.tree.Search(at, at, func(_, _ [2]float64, i int32) bool {
			part := &a.parts[i]
			worse := !ok || part.rank > rank || part.rank == rank && part.key < key
			if worse && part.bands.locate(at) != outside {
				key, rank, ok = part.key, part.rank, true
			}
			return true
		})
	}
	return key, ok
}

// Each visits every area that holds p once, in the order the areas were given.
func (a *Areas) Each(p orb.Point, visit func(key, rank int)) {
	if !finite(p) {
		return
	}
	var room [16]int32
	hits := room[:0]
	both, count := sides(p)
	for _, at := range both[:count] {
		a.tree.Search(at, at, func(_, _ [2]float64, i int32) bool {
			if a.parts[i].bands.locate(at) != outside {
				hits = append(hits, i)
			}
			return true
		})
	}
	slices.Sort(hits)
	last := -1
	for _, i := range hits {
		if part := &a.parts[i]; part.area != last {
			last = part.area
			visit(part.key, part.rank)
		}
	}
}

// sides returns p and, where its longitude is exactly ±180, the same position as seen from the other side.
func sides(p orb.Point) (both [2]orb.Point, count int) {
	if math.Abs(p[0]) != 180 {
		return [2]orb.Point{p}, 1
	}
	return [2]orb.Point{p, {-p[0], p[1]}}, 2
}
