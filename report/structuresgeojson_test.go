package report

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"github.com/twpayne/go-geom/encoding/geojson"
)

// encodedFeature is a structure as encoding/json writes it by the tags of its record.
func encodedFeature(t *testing.T, f *structureFeature) string {
	geometry, err := geometryOf([]orb.Point{f.position})
	require.NoError(t, err)
	return encoded(t, struct {
		Type       string            `json:"type"`
		Geometry   *geojson.Geometry `json:"geometry"`
		Properties structureRecord   `json:"properties"`
	}{"Feature", geometry, f.properties})
}

func TestStructureIsWrittenAsEncodingJSONWritesIt(t *testing.T) {
	count, rank := uint32(3), 7
	nan := metres(math.NaN())
	features := []structureFeature{
		{properties: structureRecord{Crosses: []string{}}},
		{orb.Point{-179.998, 1e-7}, structureRecord{Line: awkwardLine, Structure: formulaText, ChainageM: 1234.56789, SpanBackM: nan, SpanAheadM: 300,
			DeviationDeg: -2.00000000012, Role: "angle", Family: "light", Requires: "tension", ZoneClass: "e", GroundM: -3.5, Exceptions: &count,
			WindSpanM: 150.00005, WeightSpanM: nan, Crosses: []string{"river", "=road\n", "Straße"}, Doubtful: true,
			Severity: "shortfall", Findings: &count, WorkRank: &rank, Remedy: "2 strings <b> of 13 × U120B"}},
		{orb.Point{math.NaN(), 60}, structureRecord{DeviationDeg: degrees(math.Inf(1)), Crosses: []string{"railway"}}},
	}
	for f := range structureFeatures(fixtureResult(t), nil) {
		features = append(features, *f)
	}
	require.Len(t, features, 3+8)
	for i := range features {
		require.Equal(t, encodedFeature(t, &features[i]), string(features[i].appendJSON(nil)))
	}
	one := slices.Concat(features[0].appendJSON(nil), features[1].appendJSON(nil))
	require.Equal(t, string(one), string(features[1].appendJSON(features[0].appendJSON(nil))), "it is appended")
}
