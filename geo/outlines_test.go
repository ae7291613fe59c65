package geo

import (
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Areas of kept polygons answer as areas of new ones, whatever ranks and keys they had before, and each polygon is kept once.
func TestOutlinesAnswerAsNewAreas(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	var polygons []Polygon
	for range 40 {
		lon, lat, size := 10*r.Float64(), 10*r.Float64(), 2*r.Float64()
		flat := []float64{lon, lat, lon + size, lat, lon + size, lat + size, lon, lat + size, lon, lat}
		polygons = append(polygons, Polygon{Flat: flat, Ends: []int{len(flat)}})
	}
	polygons = append(polygons, Polygon{}) // which is none
	var kept Outlines
	for range 3 {
		var areas []Area
		for i, p := range polygons {
			areas = append(areas, Area{Polygons: []Polygon{p}, Rank: r.IntN(4), Key: 100 - i})
		}
		fresh, again := NewAreas(areas), kept.Areas(areas)
		for range 500 {
			at := orb.Point{12 * r.Float64(), 12 * r.Float64()}
			want, is := fresh.Worst(at)
			got, was := again.Worst(at)
			require.Equal(t, is, was)
			require.Equal(t, want, got)
		}
	}
	require.Len(t, kept.prepared, 40)
}
