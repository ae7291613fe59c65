package geo

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/geojson"
)

// The figures of oracle.csv were computed with GeographicLib 2.0 and GEOS.

func andes(t *testing.T, name string) string {
	t.Helper()
	dir := os.Getenv("DRYARC_CASES")
	if dir == "" {
		t.Skip("DRYARC_CASES is not set")
	}
	return filepath.Join(dir, "andes", name)
}

type oracleRow struct {
	line, structure                string
	at                             orb.Point
	backM, aheadM, turn, chainageM float64
	zone                           string
}

func oracle(t *testing.T) [][]oracleRow {
	t.Helper()
	file, err := os.Open(andes(t, "oracle.csv"))
	require.NoError(t, err)
	defer file.Close()
	records, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	column := map[string]int{}
	for i, name := range records[0] {
		column[name] = i
	}
	var lines [][]oracleRow
	for _, record := range records[1:] {
		number := func(name string) float64 {
			text := record[column[name]]
			if text == "" {
				return math.NaN()
			}
			v, err := strconv.ParseFloat(text, 64)
			require.NoError(t, err)
			return v
		}
		row := oracleRow{
			line: record[column["line"]], structure: record[column["structure"]],
			at:    orb.Point{number("lon"), number("lat")},
			backM: number("span_back_m"), aheadM: number("span_ahead_m"),
			turn: number("deviation_deg"), chainageM: number("chainage_m"),
			zone: record[column["mapped_zone"]],
		}
		if n := len(lines); n > 0 && lines[n-1][0].line == row.line {
			lines[n-1] = append(lines[n-1], row)
		} else {
			lines = append(lines, []oracleRow{row})
		}
	}
	return lines
}

// zones returns the zones with the class's letter as rank and the place in the file as key.
func zones(t *testing.T) (areas []Area, classes []string) {
	t.Helper()
	data, err := os.ReadFile(andes(t, "zones.geojson"))
	require.NoError(t, err)
	var collection geojson.FeatureCollection
	require.NoError(t, json.Unmarshal(data, &collection))
	for i, feature := range collection.Features {
		class := feature.Properties["sps"].(string)
		polygon, ok := feature.Geometry.(*geom.Polygon)
		require.True(t, ok, "%T", feature.Geometry)
		p := Polygon{Flat: polygon.FlatCoords(), Ends: polygon.Ends()}
		require.NoError(t, p.Validate(), "zone %d", i)
		areas = append(areas, Area{Polygons: []Polygon{p}, Rank: int(class[0]), Key: i})
		classes = append(classes, class)
	}
	return areas, classes
}

func TestAndesGeometry(t *testing.T) {
	structures := 0
	for _, line := range oracle(t) {
		var points []orb.Point
		for i, row := range line {
			structures++
			points = append(points, row.at)
			var back, ahead Leg
			if i > 0 {
				back = Inverse(line[i-1].at, row.at)
				require.InDelta(t, row.backM, back.LengthM, 0.0001, "%s %s", row.line, row.structure)
			}
			if i+1 < len(line) {
				ahead = Inverse(row.at, line[i+1].at)
				require.InDelta(t, row.aheadM, ahead.LengthM, 0.0001, "%s %s", row.line, row.structure)
			}
			if !math.IsNaN(row.turn) {
				require.InDelta(t, row.turn, Deviation(back.AzimuthIn, ahead.AzimuthOut), 2e-6, "%s %s", row.line, row.structure)
			}
		}
		route, err := NewRoute([][]orb.Point{points})
		require.NoError(t, err)
		require.InDelta(t, line[len(line)-1].chainageM, route.LengthM(), 0.002, line[0].line)
		require.Len(t, route.Points(), len(points), line[0].line)
		for i, row := range line {
			require.InDelta(t, row.chainageM, route.chainageM[i], 0.002, "%s %s", row.line, row.structure)
			// Where a line comes by the same place twice the chainage is one of two, the offset is nothing either way.
			_, offsetM := route.Locate(row.at)
			require.InDelta(t, 0, offsetM, 0.002, "%s %s", row.line, row.structure)
		}
	}
	require.Equal(t, 20166, structures)
}

func TestAndesZones(t *testing.T) {
	areas, classes := zones(t)
	prepared := NewAreas(areas)
	count := map[string]int{}
	for _, line := range oracle(t) {
		for _, row := range line {
			class := ""
			if key, ok := prepared.Worst(row.at); ok {
				class = classes[key]
			}
			require.Equal(t, row.zone, class, "%s %s", row.line, row.structure)
			count[class]++

			_, distM, ok := prepared.NearestWorse(row.at, 0, 2000)
			if class != "" {
				require.True(t, ok)
				require.Zero(t, distM)
			}
			if ok {
				wantM := math.Inf(1)
				if class != "" {
					wantM = 0
				}
				for _, area := range areas {
					wantM = min(wantM, nearBorderM(row.at, area.Polygons[0]))
				}
				require.InDelta(t, wantM, distM, 1e-4*wantM+0.001, "%s %s", row.line, row.structure)
			}
		}
	}
	require.Equal(t, map[string]int{"": 18570, "c": 1250, "d": 105, "e": 241}, count)
}

// nearBorderM goes through all edges on a flat map at p.
func nearBorderM(p orb.Point, polygon Polygon) float64 {
	flat, best := frameAt(p[1]), math.Inf(1)
	for i := 0; i+3 < len(polygon.Flat); i += 2 {
		_, distM := flat.nearest(p, orb.Point{polygon.Flat[i], polygon.Flat[i+1]}, orb.Point{polygon.Flat[i+2], polygon.Flat[i+3]})
		best = min(best, distM)
	}
	return best
}
