package geo

import (
	"testing"

	"github.com/paulmach/orb"
)

func BenchmarkInverse(b *testing.B) {
	from, to := orb.Point{-67, -20}, orb.Point{-66.997, -20.002}
	b.ReportAllocs()
	for b.Loop() {
		Inverse(from, to)
	}
}

func BenchmarkWithinFar(b *testing.B) {
	from, to := orb.Point{-67, -20}, orb.Point{-66.997, -20.00001}
	b.ReportAllocs()
	for b.Loop() {
		Within(from, to, 0.5)
	}
}

// benchPositions lie in and between the areas of chequer.
func benchPositions() []orb.Point {
	var points []orb.Point
	for i := range 1024 {
		points = append(points, orb.Point{float64(i*7%193) / 10, float64(i*13%487) / 10})
	}
	return points
}

func BenchmarkWorst(b *testing.B) {
	areas, points := chequer(2000, 500), benchPositions()
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		areas.Worst(points[i%len(points)])
		i++
	}
}

func BenchmarkLocateInOnePolygon(b *testing.B) {
	areas := chequer(1, 500)
	bands := &areas.parts[0].bands
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		bands.locate(orb.Point{float64(i%97)/100 - 0.48, float64(i%89)/100 - 0.44})
		i++
	}
}

func BenchmarkWorstManyHoles(b *testing.B) {
	areas := NewAreas([]Area{{Polygons: []Polygon{manyHoles(400, 100)}}})
	points := benchPositions()
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		areas.Worst(points[i%len(points)])
		i++
	}
}

func BenchmarkNearestWorse(b *testing.B) {
	areas, points := chequer(2000, 500), benchPositions()
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		areas.NearestWorse(points[i%len(points)], 2, 5000)
		i++
	}
}

func BenchmarkRouteLocate(b *testing.B) {
	way := roughStar(20_000)
	route, err := NewRoute([][]orb.Point{way})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		p := way[i*7%len(way)]
		route.Locate(orb.Point{p[0] + 0.001, p[1]})
		i++
	}
}

func BenchmarkCrossed(b *testing.B) {
	barriers := NewBarriers([]Barrier{{Lines: [][]orb.Point{roughStar(50_000)}}})
	way := roughStar(5_000)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		p := way[i*7%len(way)]
		barriers.Crossed(orb.Point{p[0] - 0.001, p[1]}, orb.Point{p[0] + 0.001, p[1]}, func(int) {})
		i++
	}
}

func BenchmarkValidate(b *testing.B) {
	rough := poly(roughStar(50_000))
	b.ReportAllocs()
	for b.Loop() {
		if err := rough.Validate(); err != nil {
			b.Fatal(err)
		}
	}
}
