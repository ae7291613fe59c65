package jsontext

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/geojson"
	"pgregory.net/rapid"
)

func TestPlainShape(t *testing.T) {
	for text, want := range map[string]geom.T{
		`{"type":"LineString","coordinates":[[1,2],[3,4]]}`:                         geom.NewLineStringFlat(geom.XY, []float64{1, 2, 3, 4}),
		"{ \"coordinates\" : [ [ -1.5 , 2e1 ,\n7 ] ] , \"type\" : \"LineString\" }": geom.NewLineStringFlat(geom.XYZ, []float64{-1.5, 20, 7}),
		`{"type":"MultiLineString","coordinates":[[[1,2],[3,4]],[[5,6]]]}`:          geom.NewMultiLineStringFlat(geom.XY, []float64{1, 2, 3, 4, 5, 6}, []int{4, 6}),
		`{"type":"Polygon","coordinates":[[[0,0],[4,0],[4,4],[0,0]],[[1,1]]]}`:      geom.NewPolygonFlat(geom.XY, []float64{0, 0, 4, 0, 4, 4, 0, 0, 1, 1}, []int{8, 10}),
		`{"type":"MultiPolygon","coordinates":[[[[1,2,3]],[[4,5,6]]],[[[7,8,9]]]]}`: geom.NewMultiPolygonFlat(geom.XYZ, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9}, [][]int{{3, 6}, {9}}),
	} {
		require.Equal(t, want, PlainShape([]byte(text)), text)
	}
	for _, coordinates := range []string{
		`[]`, `[[]]`, `[[1]]`, `[[1,2],[3]]`, `[[1,2],[3,4,5]]`, `[[1,2,3,4]]`, `[[1,2],3]`, `[1,2]`, `[[[1,2]]]`, `[[1,2],[[3,4]]]`, `[[1,"2"]]`, `[[1,null]]`, `[[NaN,2]]`, `[[1,-Infinity]]`,
		`[[1e999,2]]`, `[{}]`, `null`, `{}`, `"[[1,2]]"`, `[[1,2],[]]`,
	} {
		require.Nil(t, PlainShape([]byte(`{"type":"LineString","coordinates":`+coordinates+`}`)), coordinates)
	}
	for _, text := range []string{
		``, `null`, `[]`, `{}`, `{"type":"LineString"}`, `{"coordinates":[[1,2]]}`, `{"type":"Point","coordinates":[1,2]}`, `{"type":"MultiPoint","coordinates":[[1,2]]}`,
		`{"type":"LineString","coordinates":[[1,2]],"bbox":[1,2,1,2]}`, `{"type":"LineString","type":"LineString","coordinates":[[1,2]]}`,
		`{"type":"LineString","coordinates":[[1,2]],"coordinates":[[3,4]]}`, `{"Type":"LineString","coordinates":[[1,2]]}`, `{"type":7,"coordinates":[[1,2]]}`,
		`{"type":"Line\u0053tring","coordinates":[[1,2]]}`, `{"type":"GeometryCollection","geometries":[]}`,
	} {
		require.Nil(t, PlainShape([]byte(text)), text)
	}
}

func TestPlainPoint(t *testing.T) {
	for text, want := range map[string][]float64{
		"[10,50]": {10, 50}, "[ -0.5 , 1.25e1,7]": {-0.5, 12.5, 7}, "[1,2,3,4]": nil, "[1]": nil, "[]": nil, `["1",2]`: nil, "[1,null]": nil, "[NaN,2]": nil, "[[1,2]]": nil,
		"[0.1,0.30000000000000004]": {0.1, 0.30000000000000004},
	} {
		var room [3]float64
		for _, of := range []string{`{"type":"Point","coordinates":%s}`, `{"type":"Point","coordinates":%s }`, `{ "type":"Point","coordinates":%s}`, `{"coordinates":%s,"type":"Point"}`} {
			require.Equal(t, want, PlainPoint(fmt.Appendf(nil, of, text), room[:]), of, text)
		}
		for _, of := range []string{`{"type":"Point","coordinates":%s,"bbox":null}`, `{"type":"Point","coordinates":%[1]s,"coordinates":%[1]s}`, `{"type":"Points","coordinates":%s}`} {
			require.Nil(t, PlainPoint(fmt.Appendf(nil, of, text), room[:]), of, text)
		}
	}
}

// requireLikeLibrary holds what the reader of plain geometries gives against what go-geom's own decoder does.
func requireLikeLibrary(t require.TestingT, text []byte) (plain bool) {
	got := PlainShape(text)
	if got == nil {
		return false
	}
	var written geojson.Geometry
	require.NoError(t, json.Unmarshal(text, &written), "%q", text)
	want, err := written.Decode()
	require.NoError(t, err, "%q", text)
	require.Equal(t, want.Layout(), got.Layout(), "%q", text)
	require.Equal(t, want, got, "%q", text)
	return true
}

// TestPlainShapeLikeLibrary draws sound geometries, which must be plain, and ones with a slip somewhere.
func TestPlainShapeLikeLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kinds := []string{"LineString", "Polygon", "MultiLineString", "MultiPolygon"}
		i := rapid.IntRange(0, len(kinds)-1).Draw(t, "kind")
		depth := []int{2, 3, 3, 4}[i]
		ordinates := rapid.IntRange(2, 3).Draw(t, "ordinates")
		coordinates := drawCoordinates(t, depth, func() int { return ordinates })
		text := fmt.Sprintf(`{"type":%q,"coordinates":%s}`, kinds[i], coordinates)
		if rapid.Bool().Draw(t, "coordinates first") {
			text = fmt.Sprintf("{ \"coordinates\": %s ,\n\"type\" : %q }", coordinates, kinds[i])
		}
		require.True(t, requireLikeLibrary(t, []byte(text)), text)

		odd := drawCoordinates(t, rapid.IntRange(1, 5).Draw(t, "depth"), func() int { return rapid.IntRange(0, 4).Draw(t, "some") })
		requireLikeLibrary(t, fmt.Appendf(nil, `{"type":%q,"coordinates":%s}`, kinds[i], odd))
	})
}

func drawCoordinates(t *rapid.T, depth int, ordinates func() int) string {
	if depth == 0 {
		return drawNumber(t)
	}
	count := rapid.IntRange(1, 3).Draw(t, "count")
	if depth == 1 {
		count = ordinates()
	}
	parts := make([]string, count)
	for i := range parts {
		parts[i] = drawCoordinates(t, depth-1, ordinates)
	}
	blank := rapid.SampledFrom([]string{"", " ", "\n\t"}).Draw(t, "blank")
	return "[" + blank + strings.Join(parts, blank+","+blank) + blank + "]"
}

func drawNumber(t *rapid.T) string {
	form := rapid.SampledFrom([]string{"%v", "%.3f", "%.7f", "%.17g", "%e"}).Draw(t, "form")
	return fmt.Sprintf(form, rapid.Float64Range(-200, 200).Draw(t, "number"))
}

func FuzzPlainShape(f *testing.F) {
	for _, seed := range []string{
		`{"type":"LineString","coordinates":[[1,2],[3,4]]}`, `{"type":"Polygon","coordinates":[[[0,0,1],[1,0],[1,1,2],[0,0]]]}`, `{"type":"MultiPolygon","coordinates":[[],[[]],[[[]]]]}`,
		`{"type":"MultiPolygon","coordinates":[[[[1,2],[3,4]]],[[[5,6]]]]}`, `{"coordinates":[[[1,2]]],"type":"MultiLineString"}`, `{"type":"Polygon","coordinates":[[[1e400,0],[-0,1]]]}`,
		`{"type":"LineString","coordinates":[[0.1234567890123456789,9007199254740993]]}`, `{"type":"LineString","coordinates":[[1,2]],"crs":null}`, `{"t\u0079pe":"LineString","coordinates":[[1,2]]}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		if end, err := skipValue(text, 0, 0); err != nil || end != len(text) || !bytes.Equal(text, bytes.ToValidUTF8(text, nil)) {
			PlainShape(text) // nothing that it need understand, but it must not panic
			return
		}
		requireLikeLibrary(t, text)
	})
}
