package read

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// point is a structure feature as GeoJSON.
func point(line, structure, coordinates string) string {
	return fmt.Sprintf(`{"type":"Feature","properties":{"line":%q,"structure":%q},"geometry":{"type":"Point","coordinates":%s}}`,
		line, structure, coordinates)
}

func TestGeoJSONForms(t *testing.T) {
	one, two := point("L", "1", "[10,50]"), point("L", "2", "[10.1,50]")
	spread := strings.NewReplacer(",", ",\n ", ":", " : ").Replace(one)
	for name, text := range map[string]string{
		"collection":              `{"type":"FeatureCollection","name":"x","bbox":[1,2,3,4],"features":[` + one + "," + two + `]}`,
		"collection, type last":   `{"features":[` + one + "," + two + `],"type":"FeatureCollection"}`,
		"one feature a line":      one + "\n" + two + "\n",
		"CRLF":                    one + "\r\n" + two,
		"sequence of RFC 8142":    "\x1e" + one + "\n\x1e" + two + "\n",
		"byte order mark":         "\xef\xbb\xbf" + one + "\n" + two,
		"mark and sequence":       "\xef\xbb\xbf\x1e" + one + "\n\x1e" + two,
		"feature over many lines": spread + two,
		"two collections":         `{"type":"FeatureCollection","features":[` + one + `]}` + "\n" + `{"type":"FeatureCollection","features":[` + two + `]}`,
		"named WGS 84": `{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:OGC:1.3:CRS84"}},"features":[` +
			one + "," + two + `]}`,
		"named EPSG:4326": `{"type":"FeatureCollection","features":[` + one + "," + two +
			`],"crs":{"type":"name","properties":{"name":"EPSG:4326"}}}`,
		"crs null": `{"type":"FeatureCollection","crs":null,"features":[` + one + "," + two + `]}`,
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.project, b.structures = "structures: {file: structures.geojson}", text
			p := b.mustRead(t)
			require.Empty(t, faultsOf(p))
			require.Equal(t, 2, p.Structures.Len())
			require.Equal(t, uint32(2), p.Structures.At(1).Source.Row)
			require.Equal(t, "2", p.Texts.Get(p.Structures.At(1).Number))
			require.Equal(t, 10.1, p.Structures.At(1).Lon)
		})
	}
}

func TestGeoJSONUnusable(t *testing.T) {
	one := point("L", "1", "[10,50]")
	collection := func(features ...string) string {
		return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`
	}
	for name, c := range map[string]struct{ text, message, hint string }{
		"nothing":      {"", "structures.geojson: is empty, expected GeoJSON", exportHint},
		"no features":  {collection(), "structures.geojson: holds no features", filterHint},
		"a list":       {"[" + one + "]", `structures.geojson: is no GeoJSON: it starts with "[", expected a FeatureCollection`, exportHint},
		"a bare point": {`{"type":"Point","coordinates":[1,2]}`, `structures.geojson: is no GeoJSON of features: type "Point", expected FeatureCollection or Feature`, exportHint},
		"text":         {"line;structure\n", `structures.geojson: is no GeoJSON: it starts with "l", expected a FeatureCollection`, exportHint},
		"cut off":      {strings.TrimSuffix(collection(one, one), "]}"), "structures.geojson: ends in the middle, after 2 whole features", exportHint},
		"cut in the 2nd": {collection(one, one)[:200], "structures.geojson: ends in the middle, after 1 whole features",
			exportHint},
		"a slip":           {collection(one, "{"+one), `structures.geojson: is no valid JSON after feature 1: "{" where a name in quotes should be`, exportHint},
		"features no list": {`{"type":"FeatureCollection","features":7}`, "structures.geojson: is no GeoJSON: its features are 7, expected a list", exportHint},
		"another crs": {`{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::31467"}},"features":[` + one + `]}`,
			`structures.geojson: crs "urn:ogc:def:crs:EPSG::31467" is neither WGS 84 longitude, latitude nor one of the systems that README.md lists`, convertHint("structures.geojson")},
		"another crs at the end": {`{"type":"FeatureCollection","features":[` + one + `],"crs":{"type":"name","properties":{"name":"EPSG:3857"}}}`,
			"structures.geojson: its member crs is EPSG:3857, but only after 1 features that were read in EPSG:4326",
			"if all its positions are in it, write crs: EPSG:3857 under structures in the project file; else divide the file"},
		"a linked crs": {`{"type":"FeatureCollection","crs":{"type":"link","properties":{"href":"http://example.org"}},"features":[` + one + `]}`,
			`structures.geojson: crs "{\"type\":\"link\",\"properties\":{\"href\":\"http://example.org\"}}" is neither WGS 84 longitude, latitude nor one of the systems that README.md lists`, convertHint("structures.geojson")},
		"two encodings": {strings.Replace(collection(one, one), `"L"`, "\"é\xe9\"", 1), "structures.geojson: is not in UTF-8 after feature 0, as GeoJSON has to be", encodingHint},
		"projected": {collection(point("L", "1", "[584321.5,8123456]"), point("L", "2", "[584400,8123000]")),
			"structures.geojson: 2 of 2 positions are no degrees, such as [584400, 8123000]; these are projected coordinates, expected WGS 84 longitude, latitude", convertFromHint("structures.geojson", "structures")},
		"projected, a single one": {point("L", "1", "[584321.5,8123456]"),
			"structures.geojson: 1 of 1 positions are no degrees, such as [584321.5, 8123456]; these are projected coordinates, expected WGS 84 longitude, latitude", convertFromHint("structures.geojson", "structures")},
		"swapped": {collection(point("L", "1", "[35.1,139.5]"), point("L", "2", "[35.2,139.5]")),
			"structures.geojson: 2 of 2 positions have a latitude beyond 90 degrees, such as [35.2, 139.5]; longitude and latitude are swapped", swapHint},
		"no line": {strings.ReplaceAll(collection(one), `"line":`, `"lines":`),
			`structures.geojson: no feature has the property "line"; the properties there are "lines", "structure"`,
			`if "lines" is meant, write under structures in the project file: properties: {line: "lines"}`},
		"no structure": {strings.ReplaceAll(collection(one), `"structure":`, `"mark":`),
			`structures.geojson: no feature has the property "structure"; the properties there are "line", "mark"`,
			"name the property under structures in the project file: properties: {structure: …}"},
		"no properties": {`{"type":"Feature","properties":null,"geometry":{"type":"Point","coordinates":[1,2]}}`,
			`structures.geojson: no feature has the property "line"; its features have no properties`,
			"name the property under structures in the project file: properties: {line: …}; where all of it is one line that no property names, write fixed: {line: …} instead"},
		"all are faulty": {collection(strings.ReplaceAll(one, "Point", "Pint")),
			"structures.geojson: none of its 1 features can be used, expected points with line and structure", `of feature 1 the geometry "{\"type\":\"Pint\",\"coordinates\":[10,50]}" is of the unknown type "Pint"; the feature is left out`},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.project, b.structures = "structures: {file: structures.geojson}", c.text
			_, err := b.read(t)
			requireInputError(t, err, c.message, c.hint)
		})
	}
}

func TestPropertyThatIsNamedMustBeThere(t *testing.T) {
	b := newBase()
	b.project = "structures: {file: structures.geojson, properties: {sequence: sequenz}}"
	_, err := b.read(t)
	requireInputError(t, err, `structures.geojson: no feature has the property "sequenz"; the properties there are "ground_m", "line", "sequence", "structure"`,
		`if "sequence" is meant, write under structures in the project file: properties: {sequence: "sequence"}`)
}

func TestSwappedAgainstZones(t *testing.T) {
	b := newBase()
	b.structures = strings.NewReplacer("[10,50]", "[50,10]", "[10.003,50,110]", "[50,10.003]", "[10.006,50]", "[50,10.006]").Replace(b.structures)
	_, err := b.read(t)
	requireInputError(t, err, "structures.geojson: its structures lie 39 degrees from every zone of zones.geojson, but meet them with longitude and latitude exchanged; "+
		"the axes of one of the two files are swapped", swapHint)

	far := newBase()
	far.zones = strings.NewReplacer("[9,", "[-9,", "[11,", "[-11,").Replace(far.zones)
	said := faultsOf(far.mustRead(t))
	require.Len(t, said, 1, "far apart both ways is no sign of swapped axes")
	require.Contains(t, said[0], "they do not meet")
}

func TestFolderForFile(t *testing.T) {
	path := newBase().write(t)
	structures := filepath.Join(filepath.Dir(path), "structures.geojson")
	require.NoError(t, os.Remove(structures))
	require.NoError(t, os.Mkdir(structures, 0o700))
	_, err := Project(context.Background(), path)
	requireInputError(t, err, "structures.geojson: is a folder, expected a file", pathsHint)
}

func FuzzGeoJSON(f *testing.F) {
	b := newBase()
	for _, seed := range []string{
		b.structures, b.zones, point("L", "1", "[1,2]") + "\n" + point("L", "2", "[1e999,2]"), "\x1e" + point("L", "1", "[]"),
		`{"type":"FeatureCollection","features":[null,5,{"type":"Feature"},{"type":"Feature","geometry":[],"properties":[]}]}`,
		point("L", "1", "[NaN,2]"), point("L", "1", "[null,2]"), point("L", "1", "[1]"), point("L", "1", "[1,2,3,4,5]"),
		`{"type":"Feature","properties":{"line":["A","B",""],"structure":7.50,"class":"e"},"geometry":{"type":"MultiPoint","coordinates":[[1,2]]}}`,
		`{"type":"Feature","properties":{"line":1,"structure":2,"class":"e"},"geometry":{"type":"GeometryCollection","geometries":[null,{}]}}`,
		`{"type":"Feature","properties":{"line":1,"structure":2,"class":"e"},"geometry":{"type":"MultiPolygon","coordinates":[[],[[]],[[[]]]]}}`,
		`{"type":"Feature","properties":{"class":"c"},"geometry":{"type":"Polygon","coordinates":[[[0,0,1],[1,0],[1,1,2],[0,0]]]}}`,
		`{"type":"Feature","crs":{"properties":{"name":"EPSG:32719"}},"properties":{"line":1,"structure":2,"class":"c"},"geometry":{"type":"Polygon","coordinates":[[]]}}`,
		`{"type":"Feature","crs":{"properties":{"name":"EPSG:32719"}},"properties":{"line":1,"structure":2,"class":"c"},"geometry":{"type":"Point","coordinates":[5e5,7e6]}}`,
	} {
		f.Add([]byte(seed))
	}
	folder := f.TempDir()
	f.Fuzz(func(t *testing.T, content []byte) {
		path := filepath.Join(folder, "a.geojson")
		require.NoError(t, os.WriteFile(path, content, 0o600))
		for _, project := range []string{"structures: {file: a.geojson}", "structures: {file: good.geojson}\nzones: {file: a.geojson}"} {
			require.NoError(t, os.WriteFile(filepath.Join(folder, "good.geojson"), []byte(b.structures), 0o600))
			require.NoError(t, os.WriteFile(filepath.Join(folder, "audit.yaml"), []byte(project), 0o600))
			p, err := Project(context.Background(), filepath.Join(folder, "audit.yaml"))
			if err != nil {
				var input *InputError
				require.ErrorAs(t, err, &input)
				continue
			}
			for _, s := range p.Structures.All() {
				require.True(t, inRange(s.Lon, s.Lat))
				require.NotZero(t, s.Line)
				require.NotZero(t, s.Number)
			}
			for _, z := range p.Zones {
				for _, polygon := range z.Polygons {
					require.NoError(t, polygon.Validate())
				}
			}
			for _, fault := range p.Faults.List() {
				require.NotEmpty(t, fault.Where(p.Tables)+fault.Message())
			}
		}
	})
}
