package read

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"dryarc/audit/read/gdaltest"
	"dryarc/audit/read/shp"

	"github.com/stretchr/testify/require"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/geojson"
)

// areasOfEveryKind are polygons with holes, multipolygons with holes, an island in a hole, and texts beyond ASCII.
const areasOfEveryKind = `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"class":"d","label":"Süd – Küste","level":31.5,"count":7,"day":"2024-01-31"},"geometry":{"type":"Polygon","coordinates":[[[10,50],[11,50],[11,51],[10,51],[10,50]],[[10.2,50.2],[10.2,50.8],[10.4,50.8],[10.2,50.2]],[[10.6,50.2],[10.6,50.8],[10.8,50.8],[10.6,50.2]]]}},
{"type":"Feature","properties":{"class":"e","label":null,"level":null,"count":null,"day":null},"geometry":{"type":"MultiPolygon","coordinates":[[[[12,50],[13,50],[13,51],[12,51],[12,50]],[[12.2,50.2],[12.2,50.8],[12.8,50.8],[12.8,50.2],[12.2,50.2]]],[[[12.4,50.4],[12.6,50.4],[12.6,50.6],[12.4,50.4]]],[[[14,50],[15,50.1],[15,51],[14,50]]]]}},
{"type":"Feature","properties":{"class":"c","label":"","level":-0.125,"count":-3,"day":"1999-12-31"},"geometry":null}
]}`

// TestShapefilesAgainstGDAL holds positions and properties of shapefiles that GDAL makes to be those that GDAL reads of them.
func TestShapefilesAgainstGDAL(t *testing.T) {
	sources := map[string]string{"areas": filepath.Join(t.TempDir(), "areas.geojson")}
	require.NoError(t, os.WriteFile(sources["areas"], []byte(areasOfEveryKind), 0o600))
	for _, layer := range []string{"structures", "routes", "zones", "crossings"} {
		name, err := filepath.Abs("../../testdata/demo/" + layer + ".geojson")
		require.NoError(t, err)
		if _, err := os.Stat(name); err == nil {
			sources["demo "+layer] = name
		}
	}
	require.Greater(t, len(sources), 2)
	if cases := os.Getenv("DRYARC_CASES"); cases != "" {
		sources["andes structures"], sources["andes zones"] = filepath.Join(cases, "andes", "structures.geojson"), filepath.Join(cases, "andes", "zones.geojson")
	}
	for source, file := range sources {
		for form, options := range map[string][]string{
			"plain": nil, "UTF-8": {"-lco", "ENCODING=UTF-8"}, "Windows-1252": {"-lco", "ENCODING=CP1252"}, "UTM": {"-t_srs", "EPSG:32632"}, "heights": {"-dim", "XYZ"}, "measures": {"-dim", "XYM"},
		} {
			if source != "areas" && form != "UTF-8" && (form != "UTM" || source != "demo structures") {
				continue // the kinds of texts and heights are in the areas
			}
			t.Run(source+", "+form, func(t *testing.T) {
				folder := t.TempDir()
				if source == "demo crossings" { // which are lines and an area; a shapefile has shapes of one type
					options = append(options, "-where", "OGR_GEOMETRY='LINESTRING'", "-nlt", "LINESTRING")
				}
				gdaltest.Run(t, folder, "ogr2ogr", append([]string{"-f", "ESRI Shapefile", "layer.shp", file}, options...)...)
				want := gdaltest.Run(t, folder, "ogr2ogr", "-f", "GeoJSON", "/vsistdout/", "layer.shp", "-lco", "RFC7946=NO", "-lco", "SIGNIFICANT_FIGURES=17")
				require.Equal(t, featuresOfGDAL(t, want), featuresOfShapefile(t, folder))
			})
		}
	}
}

// featuresOfGDAL are the features of a GeoJSON text, a line of text each.
func featuresOfGDAL(t *testing.T, text string) (lines []string) {
	t.Helper()
	var all struct {
		Features []struct {
			Properties map[string]any
			Geometry   *geojson.Geometry
		}
	}
	require.NoError(t, json.Unmarshal([]byte(text), &all))
	for _, f := range all.Features {
		line := "nothing"
		if f.Geometry != nil {
			shape, err := f.Geometry.Decode()
			require.NoError(t, err)
			line = shapeText(shape)
		}
		var names []string
		for name := range f.Properties {
			names = append(names, name)
		}
		slices.Sort(names)
		for _, name := range names {
			line += fmt.Sprintf(" %s=%v", name, f.Properties[name])
		}
		lines = append(lines, line)
	}
	return lines
}

func featuresOfShapefile(t *testing.T, folder string) (lines []string) {
	t.Helper()
	part := func(extension string) []byte {
		content, err := os.ReadFile(filepath.Join(folder, "layer"+extension))
		if extension != ".cpg" {
			require.NoError(t, err)
		}
		return content
	}
	table := part(".dbf")
	encoding, err := shp.FindEncoding(part(".cpg"), bytes.NewReader(table))
	require.NoError(t, err)
	_, err = shp.Read(shp.Parts{Shapes: bytes.NewReader(part(".shp")), Table: bytes.NewReader(table), Index: bytes.NewReader(part(".shx")), Encoding: encoding}, func(f *shp.Feature) error {
		require.NoError(t, f.Problem)
		line := "nothing"
		if f.Geometry != nil {
			line = shapeText(f.Geometry)
		}
		values := map[string]any{}
		for i, name := range f.Names {
			values[name] = f.Values[i]
		}
		for _, name := range slices.Sorted(slices.Values(f.Names)) {
			value := values[name]
			switch v := value.(type) {
			case shp.Number:
				number, err := strconv.ParseFloat(string(v), 64)
				require.NoError(t, err)
				value = number
			case time.Time:
				value = v.Format(time.DateOnly)
			}
			line += fmt.Sprintf(" %s=%v", name, value)
		}
		lines = append(lines, line)
		return nil
	})
	require.NoError(t, err)
	return lines
}

// shapeText is a geometry as text, the polygons of several in the order of their texts.
func shapeText(shape geom.T) string {
	many, is := shape.(*geom.MultiPolygon)
	if !is {
		return fmt.Sprintf("%s %v %v", kindOfShape(shape), shape.FlatCoords(), shape.Ends())
	}
	var parts []string
	for i := range many.NumPolygons() {
		parts = append(parts, shapeText(many.Polygon(i)))
	}
	slices.Sort(parts)
	return strings.Join(parts, "; ")
}
