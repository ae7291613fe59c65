package read

import (
	"fmt"
	"math"
	"slices"

	"dryarc/geo"

	"github.com/go-spatial/proj/core"
	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"
)

// Edges of zones and of what spans cross are straight in the system of their file. Taken to longitude and latitude those of a projected
// system are bent, one of 60 km at 60° of latitude by 120 m, and positions are added on them. Routes are geodesics between their positions.

// keepsWithinM is how far in metres an edge in WGS 84 may lie from that of its own system; a choice of this program.
const keepsWithinM = 0.05

// No edge is halved more often than deepest in a row, and no more than mostAdded positions are added in a file. Edges of 60 km at 60° of
// latitude take 63 each.
const (
	deepest   = 24
	mostAdded = 1 << 22
)

// placedEdges is placedShape with the coordinates that the file has where these are eastings and northings, else nil.
func (f *feature) placedEdges() (shape geom.T, written []float64, err error) {
	if shape, err = f.shape(); err != nil {
		return nil, nil, err
	}
	if _, is := shape.(*geom.GeometryCollection); !is && f.placing.projected() {
		written = slices.Clone(shape.FlatCoords())
	}
	return shape, written, f.placing.shape(shape)
}

// placedPolygon is a polygon in WGS 84 and, where its file is in eastings and northings, the same as it stands there.
type placedPolygon struct {
	geo.Polygon
	written geo.Polygon
}

// closed closes the rings that do not end where they start, as Closed does.
func (p placedPolygon) closed() (placedPolygon, []int) {
	closed, rings := p.Polygon.Closed()
	return placedPolygon{closed, p.written.CloseRings(rings)}, rings
}

// area looks at a polygon in the system of its file and returns it with edges that keep to those there.
func (p *placing) area(polygon placedPolygon) (geo.Polygon, error) {
	if !p.projected() {
		return polygon.Polygon, polygon.Validate()
	}
	if err := polygon.written.ValidatePlane(); err != nil {
		return polygon.Polygon, err
	}
	area, err := p.followed(polygon)
	if err != nil {
		return polygon.Polygon, err
	}
	return area, area.ValidateRings()
}

// followed adds positions on the edges of a polygon. One over the antimeridian or a pole is no area in longitude and latitude.
func (p *placing) followed(polygon placedPolygon) (geo.Polygon, error) {
	flat, written := polygon.Flat, polygon.written.Flat
	var with []float64
	ends := slices.Clone(polygon.Ends)
	start, taken := 0, 0
	for ring, end := range polygon.Ends {
		for i := start; i+3 < end; i += 2 {
			added, err := p.between(endAt(flat, written, i), endAt(flat, written, i+2))
			if err != nil {
				return geo.Polygon{}, fmt.Errorf("ring %d, position %d: %w", ring+1, (i-start)/2+1, err)
			}
			if len(added) > 0 {
				with, taken = append(with, flat[taken:i+2]...), i+2
				for _, at := range added {
					with = append(with, at[0], at[1])
				}
			}
		}
		ends[ring] = len(with) + end - taken
		start = end
	}
	if with != nil {
		polygon.Flat, polygon.Ends = append(with, flat[taken:]...), ends
	}
	start = 0
	for ring, end := range polygon.Ends {
		for i := start; i+3 < end; i += 2 {
			if p.system.goesRound() && math.Abs(polygon.Flat[i+2]-polygon.Flat[i]) > 180 {
				return geo.Polygon{}, fmt.Errorf("ring %d: reaches over the 180th meridian, expected a polygon on either side of it", ring+1)
			}
		}
		start = end
	}
	return polygon.Polygon, nil
}

// lines adds positions on the edges of the parts of a line, whose positions stand in written one after the other.
func (p *placing) lines(parts [][]orb.Point, written []float64, stride int) error {
	for i, part := range parts {
		with := part[:1:1]
		for j := range len(part) - 1 {
			from := orb.Point{written[0], written[1]}
			written = written[stride:]
			added, err := p.between(edgeEnd{from, part[j]}, edgeEnd{orb.Point{written[0], written[1]}, part[j+1]})
			if err != nil {
				return fmt.Errorf("is no line to follow: part %d, position %d: %w", i+1, j+1, err)
			}
			with = append(append(with, added...), part[j+1])
		}
		written = written[stride:]
		parts[i] = with
	}
	return nil
}

// edgeEnd is a position on an edge as it is written and in WGS 84.
type edgeEnd struct{ written, at orb.Point }

func endAt(flat, written []float64, i int) edgeEnd {
	return edgeEnd{orb.Point{written[i], written[i+1]}, orb.Point{flat[i], flat[i+1]}}
}

// goesRound tells whether positions on both sides of the antimeridian may lie beside each other in a system.
func (s *system) goesRound() bool { return s.code != webMercator }

// between returns positions in WGS 84 on the edge between two. Whichever way an edge runs they are the same.
func (p *placing) between(from, to edgeEnd) ([]orb.Point, error) {
	if isShort(from, to) {
		return nil, nil
	}
	turned := from.written[0] > to.written[0] || from.written[0] == to.written[0] && from.written[1] > to.written[1]
	if turned {
		from, to = to, from
	}
	h := halving{placing: p}
	h.halve(from, h.middle(from, to), to, deepest)
	if turned {
		slices.Reverse(h.added)
	}
	return h.added, h.err
}

// isShort tells of most edges that nothing is to be added. Between its ends, L apart, an edge that has the curvature k against the
// straight one lies no farther from it than L²k/8. A straight edge in longitude and latitude at the latitude φ has the curvature
// sin α·(1 + cos² α)·tan φ/R, no more than 1.09·tan φ/R; one on a transverse Mercator map at the distance x from its meridian x/R²,
// no more than 0.22/R as far as positions are believed, and one on a Mercator map sin α·tan φ/R.
func isShort(from, to edgeEnd) bool {
	const radiusM = 6.35e6
	lat := max(math.Abs(from.at[1]), math.Abs(to.at[1]))
	east, north := to.written[0]-from.written[0], to.written[1]-from.written[1]
	return (east*east+north*north)*(0.5+2.5*math.Tan(lat*math.Pi/180)) < 8*radiusM*keepsWithinM && lat < 89
}

// halving adds positions on an edge until each part keeps to it.
type halving struct {
	placing *placing
	added   []orb.Point
	err     error
}

// halve does so between two positions of which it is told the middle.
func (h *halving) halve(from, middle, to edgeEnd, depth int) {
	if h.err != nil {
		return
	}
	first, last := h.middle(from, middle), h.middle(middle, to)
	if depth == 0 || h.keeps(middle, from, to) && h.keeps(first, from, to) && h.keeps(last, from, to) {
		return
	}
	h.halve(from, first, middle, depth-1)
	if h.placing.added++; h.placing.added > mostAdded {
		h.err = fmt.Errorf("edge too long: with those before it more than %d positions would be added to keep to the straight edges of %s, expected shorter ones", mostAdded, h.placing.system)
		return
	}
	h.added = append(h.added, middle.at)
	h.halve(middle, last, to, depth-1)
}

// middle is halfway between two positions as they are written.
func (h *halving) middle(from, to edgeEnd) edgeEnd {
	written := orb.Point{(from.written[0] + to.written[0]) / 2, (from.written[1] + to.written[1]) / 2}
	at, err := h.placing.system.project.Inverse(&core.CoordXY{X: written[0], Y: written[1]})
	if err != nil {
		h.err = err
		return from
	}
	return edgeEnd{written, orb.Point{at.Lam * 180 / math.Pi, at.Phi * 180 / math.Pi}}
}

// keeps tells whether a position lies near the edge that is straight in longitude and latitude.
func (h *halving) keeps(p, from, to edgeEnd) bool {
	const degreeM = 111_694 // of latitude at the poles, the longest there is
	lonM := degreeM * math.Cos(p.at[1]*math.Pi/180)
	east := func(at orb.Point) float64 {
		lon := at[0] - from.at[0]
		if h.placing.system.goesRound() {
			lon = math.Remainder(lon, 360)
		}
		return lon * lonM
	}
	north := func(at orb.Point) float64 { return (at[1] - from.at[1]) * degreeM }
	x, y, toX, toY := east(p.at), north(p.at), east(to.at), north(to.at)
	share := 0.0
	if squared := toX*toX + toY*toY; squared > 0 {
		share = min(1, max(0, (x*toX+y*toY)/squared))
	}
	return math.Hypot(x-share*toX, y-share*toY) <= keepsWithinM
}
