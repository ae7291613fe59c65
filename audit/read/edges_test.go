package read

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit/read/gdaltest"
	"dryarc/geo"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"github.com/twpayne/go-geom"
	"pgregory.net/rapid"
)

// inSystem reads a polygon that is written in a system.
func inSystem(t require.TestingT, p *placing, flat []float64, ends ...int) geo.Polygon {
	f := feature{decoded: geom.NewPolygonFlat(geom.XY, slices.Clone(flat), ends), placing: p}
	shape, written, err := f.placedEdges()
	require.NoError(t, err)
	polygons, err := p.polygonsOf(shape, written)
	require.NoError(t, err)
	require.Len(t, polygons, 1)
	return polygons[0]
}

func placingIn(t require.TestingT, system string) *placing {
	p, err := newPlacing("zones.geojson", "zones", system)
	require.NoError(t, err)
	return p
}

func pointsOf(flat []float64) (points []orb.Point) {
	for i := 0; i+1 < len(flat); i += 2 {
		points = append(points, orb.Point{flat[i], flat[i+1]})
	}
	return points
}

// offM is how far in metres a position lies from a course, by the sphere of the mean radius of IUGG.
func offM(p orb.Point, course []orb.Point) float64 {
	const degreeM = 6371008.8 * math.Pi / 180
	least := math.Inf(1)
	for i := range len(course) - 1 {
		flat := func(at orb.Point) (x, y float64) {
			return (at[0] - p[0]) * math.Cos(p[1]*math.Pi/180) * degreeM, (at[1] - p[1]) * degreeM
		}
		ax, ay := flat(course[i])
		bx, by := flat(course[i+1])
		share := -(ax*(bx-ax) + ay*(by-ay)) / ((bx-ax)*(bx-ax) + (by-ay)*(by-ay))
		share = min(1, max(0, share))
		least = min(least, math.Hypot(ax+share*(bx-ax), ay+share*(by-ay)))
	}
	return least
}

// TestEdgesAgainstGDAL holds edges against those that GDAL cuts into pieces of 200 m in their own system before it transforms them.
func TestEdgesAgainstGDAL(t *testing.T) {
	for _, c := range []struct {
		system string
		flat   []float64
		added  bool
	}{
		{"EPSG:32632", []float64{470000, 6690000, 530000, 6690000, 530000, 6700000, 470000, 6700000, 470000, 6690000}, true},
		{"EPSG:32632", []float64{500000, 6690000, 500500, 6690000, 500500, 6690500, 500000, 6690000}, false},
		{"EPSG:32632", []float64{200000, 7900000, 800000, 7700000, 500000, 8000000, 200000, 7900000}, true},
		{"EPSG:32632", []float64{-300000, 5000000, 1300000, 5300000, 500000, 5600000, -300000, 5000000}, true},
		{"EPSG:32719", []float64{400000, 7000000, 640000, 7010000, 500000, 7200000, 400000, 7000000}, true},
		{"EPSG:32632", []float64{100000, -20000, 900000, 20000, 900000, 40000, 100000, -20000}, true}, // bends one way and the other
		{"EPSG:2193", []float64{1200000, 5000000, 1900000, 5900000, 1500000, 5900000, 1200000, 5000000}, true},
		{"EPSG:3857", []float64{1000000, 8000000, 1200000, 8100000, 1000000, 8200000, 1000000, 8000000}, true},
		{"EPSG:3857", []float64{1000000, 8000000, 1400000, 8000000, 1400000, 8200000, 1000000, 8200000, 1000000, 8000000}, false}, // along the axes
	} {
		t.Run(fmt.Sprintf("%s %.0f", c.system, c.flat[:2]), func(t *testing.T) {
			polygon := inSystem(t, placingIn(t, c.system), c.flat, len(c.flat))
			got := pointsOf(polygon.Flat)
			require.Equal(t, c.added, len(polygon.Flat) > len(c.flat))

			var written []string
			for i := 0; i < len(c.flat); i += 2 {
				written = append(written, fmt.Sprintf("[%v,%v]", c.flat[i], c.flat[i+1]))
			}
			folder := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(folder, "in.geojson"), []byte(fmt.Sprintf(
				`{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":%q}},"features":[{"type":"Feature","properties":{},"geometry":{"type":"Polygon","coordinates":[[%s]]}}]}`,
				"urn:ogc:def:crs:EPSG::"+c.system[5:], strings.Join(written, ","))), 0o600))
			gdaltest.Run(t, folder, "ogr2ogr", "-f", "GeoJSON", "-lco", "COORDINATE_PRECISION=12", "-segmentize", "200", "-t_srs", "EPSG:4326", "out.geojson", "in.geojson")
			text, err := os.ReadFile(filepath.Join(folder, "out.geojson"))
			require.NoError(t, err)
			var read struct {
				Features []struct {
					Geometry struct {
						Coordinates [][]orb.Point `json:"coordinates"`
					} `json:"geometry"`
				} `json:"features"`
			}
			require.NoError(t, json.Unmarshal(text, &read))
			want := read.Features[0].Geometry.Coordinates[0]
			require.Greater(t, len(want), len(c.flat)/2)
			farthest := 0.0
			for i, at := range want {
				if i%7 == 0 {
					farthest = max(farthest, offM(at, got))
				}
			}
			require.Less(t, farthest, keepsWithinM*1.05)
			for i, at := range got {
				if i%7 == 0 {
					require.Less(t, offM(at, want), 0.003)
				}
			}
		})
	}
}

// Zones of longitude and latitude, and edges that are short, are as they are written.
func TestEdgesThatAreLeft(t *testing.T) {
	flat := []float64{9, 60, 11, 60, 11, 61, 9, 61, 9, 60}
	polygon := inSystem(t, placingIn(t, "EPSG:4258"), flat, len(flat))
	require.Equal(t, geo.Polygon{Flat: flat, Ends: []int{10}}, polygon)

	const edge = 20037508.342789244 // of Web Mercator, 180 degrees from its middle: an area around the earth goes over no antimeridian
	around := inSystem(t, placingIn(t, "EPSG:3857"), []float64{-edge, -1e7, edge, -1e7, edge, 1e7, -edge, 1e7, -edge, -1e7}, 10)
	require.Len(t, around.Flat, 10)
	require.Equal(t, 360.0, around.Bound().Right()-around.Bound().Left())
}

// However long an edge is and wherever it lies, all of it is near its positions in WGS 84, and these are the same whichever way it runs.
func TestEdgesAreKeptTo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := placingIn(t, rapid.SampledFrom([]string{"EPSG:32632", "EPSG:32733", "EPSG:3857", "EPSG:2180", "EPSG:9377"}).Draw(t, "system"))
		s := p.system
		length := math.Pow(10, rapid.Float64Range(1, 5.8).Draw(t, "length"))
		sin, cos := math.Sincos(rapid.Float64Range(0, 2*math.Pi).Draw(t, "direction"))
		middle := orb.Point{rapid.Float64Range(s.east[0], s.east[1]).Draw(t, "easting"), rapid.Float64Range(s.north[0], s.north[1]).Draw(t, "northing")}
		end := func(along float64) edgeEnd {
			written := orb.Point{middle[0] + along*cos, middle[1] + along*sin}
			lon, lat, ok := p.position(written[0], written[1])
			if !ok || math.Abs(lat) > 85 {
				t.Skip("beyond what is believed")
			}
			return edgeEnd{written, orb.Point{lon, lat}}
		}
		from, to := end(-length/2), end(length/2)
		added, err := p.between(from, to)
		require.NoError(t, err)
		back, err := p.between(to, from)
		require.NoError(t, err)
		slices.Reverse(back)
		require.Equal(t, added, back)
		course := append(append([]orb.Point{from.at}, added...), to.at)
		for range 20 {
			at := end(rapid.Float64Range(-length/2, length/2).Draw(t, "along"))
			require.Less(t, offM(at.at, course), keepsWithinM*1.05)
		}
	})
}

// Of an edge without bounds no more is made than there is room for, and from then on none of the file is read.
func TestEdgesWithoutBounds(t *testing.T) {
	p := placingIn(t, "EPSG:32632")
	around := []float64{-890000, 100000, 1890000, 9900000, 500000, 9900000, -890000, 100000} // 10 000 km
	polygon := inSystem(t, p, around, len(around))
	require.Less(t, len(polygon.Flat), 2*100_000)
	require.Equal(t, len(polygon.Flat)/2-4, p.added)
	p.added = mostAdded - 10
	f := feature{decoded: geom.NewLineStringFlat(geom.XYZ, []float64{100000, 6700000, 0, 900000, 6800000, 0}), placing: p}
	shape, written, err := f.placedEdges()
	require.NoError(t, err)
	lines, err := linesOf(shape)
	require.NoError(t, err)
	require.EqualError(t, p.lines(lines, written, 3), "is no line to follow: part 1, position 1: edge too long: with those before it more than 4194304 positions would be added to keep to the straight edges of EPSG:32632, expected shorter ones")
}

// Zones and crossings of a projected file: holes, rings that are not closed, heights, several parts.
func TestEdgesOfFeatures(t *testing.T) {
	b := newBase()
	b.structures = strings.NewReplacer("[10,50]", "[9,60.4]", "[10.003,50,110]", "[9.003,60.4,110]", "[10.006,50]", "[9.006,60.4]").Replace(b.structures)
	b.project = strings.Replace(b.project, "zones.geojson", "zones.geojson, crs: EPSG:32632", 1) + "crossings: {file: crossings.geojson, crs: EPSG:32632}\n"
	ring, hole := "[470000,6690000],[530000,6690000],[530000,6700000],[470000,6700000]", "[480000,6692000],[520000,6692000],[520000,6698000],[480000,6698000]"
	b.zones = zone(`{"class":"e"}`, "Polygon", "[["+ring+"],["+hole+",[480000,6692000]]]") + "\n" +
		zone(`{"class":"c"}`, "MultiPolygon", "[[["+hole+",[480000,6692000]]],[[[0,6692000],[10,6692000],[10,6692010],[0,6692000]]]]")
	crossings := zone(`{"kind":"railway"}`, "MultiLineString", "[[[470000,6700000,5],[530000,6700000,5],[530000,6700100,5]],[[0,6692000,5],[60000,6692000,5]]]") + "\n" +
		zone(`{"kind":"lake"}`, "Polygon", "[["+ring+",[470000,6690000]]]")
	project := b.write(t)
	require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(project), "crossings.geojson"), []byte(crossings), 0o600))
	p, err := Project(context.Background(), project)
	require.NoError(t, err)
	require.Equal(t, []string{`bad-geometry zones.geojson row 1: geometry "Polygon" ring 1 is not closed: its last position is not its first; it was closed`}, faultsOf(p))
	system, _ := systemOf(32632)
	written := func(at orb.Point) orb.Point { return system.forward(at[0], at[1]) }
	sides := func(points []orb.Point, along int, value float64) (count int) {
		for _, at := range points {
			if math.Abs(written(at)[along]-value) < 1e-4 {
				count++
			}
		}
		return count
	}
	requireSides := func(points []orb.Point, west, south, east, north float64) {
		t.Helper()
		require.Equal(t, points[0], points[len(points)-1])
		require.Greater(t, sides(points, 1, south), 20)
		require.Greater(t, sides(points, 1, north), 20)
		require.Greater(t, sides(points, 0, west), 1)
		onSides := sides(points, 1, south) + sides(points, 1, north) + sides(points, 0, west) + sides(points, 0, east)
		require.Equal(t, len(points)+3+2, onSides, "corners lie on two sides, the first counts twice")
	}
	outer := p.Zones[0].Polygons[0]
	requireSides(pointsOf(outer.Flat[:outer.Ends[0]]), 470000, 6690000, 530000, 6700000)
	inner := pointsOf(outer.Flat[outer.Ends[0]:outer.Ends[1]])
	requireSides(inner, 480000, 6692000, 520000, 6698000)
	require.Equal(t, inner, pointsOf(p.Zones[1].Polygons[0].Flat), "the zone that fills the hole")
	require.Len(t, p.Zones[1].Polygons[1].Flat, 8)
	lake := p.Crossings[1].Polygons[0]
	require.Equal(t, pointsOf(outer.Flat[:outer.Ends[0]]), pointsOf(lake.Flat))
	lines := p.Crossings[0].Lines
	require.Len(t, lines, 2)
	require.Equal(t, len(lines[0])-1, sides(lines[0], 1, 6700000))
	require.Equal(t, len(lines[1]), sides(lines[1], 1, 6692000))
	require.Greater(t, len(lines[1]), 30)
}

// What is wrong with an area is found where its edges are straight, and told as it is written.
func TestAreasAreValidInTheirOwnSystem(t *testing.T) {
	b := newBase()
	b.structures = strings.NewReplacer("[10,50]", "[9,60.4]", "[10.003,50,110]", "[9.003,60.4,110]", "[10.006,50]", "[9.006,60.4]").Replace(b.structures)
	b.project = strings.Replace(b.project, "zones.geojson", "zones.geojson, crs: EPSG:32632", 1)
	const far = "[470000,6690000],[530000,6690000],[530000,6700000],[470000,6700000],[470000,6690000]"
	for name, c := range map[string]struct{ rings, fault string }{
		"a hole at an edge":      {"[" + far + "],[[500000,6700000],[510000,6695000],[490000,6695000],[500000,6700000]]", ""},
		"a hole along an edge":   {"[" + far + "],[[490000,6700000],[510000,6700000],[500000,6695000],[490000,6700000]]", ""},
		"a hole along the south": {"[" + far + "],[[490000,6690000],[510000,6690000],[500000,6695000],[490000,6690000]]", ""},
		"crosses itself": {"[[470000,6690000],[530000,6700000],[530000,6690000],[470000,6701000],[470000,6690000]]",
			"ring 1, position 1: ring crosses itself: the edge from 470000, 6690000 meets the edge from position 3; in the box"},
	} {
		t.Run(name, func(t *testing.T) {
			b.zones = zone(`{"class":"d"}`, "Polygon", "[["+far+"]]") + "\n" + zone(`{"class":"e"}`, "Polygon", "["+c.rings+"]")
			p := b.mustRead(t)
			if c.fault == "" {
				require.Empty(t, faultsOf(p))
				return
			}
			require.Len(t, faultsOf(p), 1)
			require.Contains(t, faultsOf(p)[0], c.fault)
		})
	}
}

// In longitude and latitude an area over the antimeridian would be all but the area.
func TestProjectedZoneOverTheAntimeridian(t *testing.T) {
	b := newBase()
	b.structures = strings.NewReplacer("[10,50]", "[179.4,1.5]", "[10.003,50,110]", "[179.403,1.5,110]", "[10.006,50]", "[179.406,1.5]").Replace(b.structures)
	b.project = strings.Replace(b.project, "zones.geojson", "zones.geojson, crs: EPSG:32660", 1)
	b.zones = zone(`{"class":"d"}`, "Polygon", "[[[700000,100000],[800000,100000],[800000,200000],[700000,100000]]]") + "\n" +
		zone(`{"class":"e"}`, "Polygon", "[[[800000,100000],[870000,100000],[870000,200000],[800000,100000]]]")
	p := b.mustRead(t)
	require.Equal(t, []string{`bad-geometry zones.geojson row 2: geometry "Polygon" is no valid area: ring 1: reaches over the 180th meridian, expected a polygon on either side of it; ` +
		"where it lies cannot be told, so creepage is assessed only where its class is no worse than the one in force"}, faultsOf(p))
	require.True(t, p.Zones[1].Broken)
}
