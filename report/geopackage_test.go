package report

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// ogrinfo is another reader of layers, GDAL's.
func ogrinfo(t *testing.T, arguments ...string) string {
	t.Helper()
	return run(t, program(t, "ogrinfo"), arguments...)
}

// unitCountsOf are the units that the structures of a result need and have.
func unitCountsOf(t *testing.T, r *audit.Result) []unitCount {
	t.Helper()
	units, err := unitsByStructure(t.Context(), r)
	require.NoError(t, err)
	return units
}

// spansOf counts the spans of all lines.
func spansOf(r *audit.Result) (spans int) {
	for s := range structures(r) {
		if !unknown(s.SpanAheadM) {
			spans++
		}
	}
	return spans
}

func TestAnotherReaderFindsTheLayers(t *testing.T) {
	r, places := alongALine(t)
	path := saved(t, "audit.gpkg", contentOf(t, r, alone.by(writeGeoPackage)))
	for layer, want := range map[string]struct {
		features int
		geometry string
	}{
		"structures":    {r.Network.StructureCount(), "Point"},
		"spans":         {spansOf(r), "Multi Line String"},
		pointLayer.name: {places, "Point"},
		wayLayer.name:   {len(r.Exceptions) - places, "Multi Line String"},
		"zones":         {len(r.Project.Zones), "Multi Polygon"},
		"run":           {5, "None"},
		"layer_styles":  {5, "None"},
	} {
		said := ogrinfo(t, "-ro", "-so", path, layer)
		require.Contains(t, said, fmt.Sprintf("Feature Count: %d\n", want.features), layer)
		require.Contains(t, said, "Geometry: "+want.geometry+"\n", layer)
		require.Equal(t, want.geometry != "None", strings.Contains(said, "WGS 84"), layer)
		require.NotContains(t, said, "Warning", layer)
	}

	first := r.Network.Structure(0, 0)
	near := fmt.Sprintf("%.9f", first.Position[0]-1e-6) + " " + fmt.Sprintf("%.9f", first.Position[1]-1e-6) + " " +
		fmt.Sprintf("%.9f", first.Position[0]+1e-6) + " " + fmt.Sprintf("%.9f", first.Position[1]+1e-6)
	said := ogrinfo(t, append([]string{"-ro", path, "structures", "-spat"}, strings.Fields(near)...)...)
	require.Contains(t, said, fmt.Sprintf("structure (String) = %s\n", r.Project.Texts.Get(first.Number)))
	require.Contains(t, said, "Feature Count: 1\n", "the index finds one structure")
}

// The schema extension says what each column is, and GDAL finds the values that a column may hold.
func TestAnotherReaderFindsTheDescriptions(t *testing.T) {
	r, places := alongALine(t)
	path := saved(t, "audit.gpkg", contentOf(t, r, alone.by(writeGeoPackage)))
	said := ogrinfo(t, "-ro", "-so", path, pointLayer.name)
	require.Contains(t, said, "severity: String (0.0), domain name=severity\n")
	require.Contains(t, said, "check: String (0.0), domain name=check\n")
	for column, kind := range map[string]string{"observed_value": "Real", "required_value": "Real", "margin_percent": "Real", "severity_rank": "Integer64", "units_required": "Integer64",
		"units_installed": "Integer64", "remedy": "String", "id": "String", "link": "String"} {
		require.Contains(t, said, column+": "+kind+" (0.0)\n")
	}
	count := func(sql string) string {
		return regexp.MustCompile(`n \(Integer\) = (\d+)`).FindStringSubmatch(ogrinfo(t, "-ro", path, "-sql", "SELECT count(*) AS n FROM "+sql))[1]
	}
	require.Equal(t, "2", count("gpkg_extensions WHERE extension_name = 'gpkg_schema' AND scope = 'read-write'"))
	require.Equal(t, "3", count("gpkg_data_column_constraints WHERE constraint_name = 'severity' AND constraint_type = 'enum'"))
	require.Equal(t, "0", count("gpkg_data_columns WHERE title IS NULL OR description IS NULL"))
	require.Equal(t, "5", count("layer_styles WHERE useAsDefault AND f_table_name IN (SELECT table_name FROM gpkg_contents WHERE data_type = 'features')"))
	// What falls short stands below 0, the rank is that of the word, and text and number are the same figure.
	require.Equal(t, "0", count(pointLayer.name+" WHERE abs(margin_percent - 100 * margin) > 1e-9 OR (severity = 'shortfall') <> (severity_rank = 1) OR link <> 'audit.html#e-' || id"))
	require.Equal(t, "0", count(pointLayer.name+" WHERE observed_value IS NOT NULL AND abs(CAST(replace(observed, '\u202f', '') AS REAL) - observed_value) > 0.06"))
	require.NotEqual(t, "0", count(pointLayer.name+" WHERE observed_value IS NOT NULL"))
	require.Equal(t, fmt.Sprint(places), count(pointLayer.name))
}

// A GIS edits the layers, which runs the triggers: they must leave the index true.
func TestAnotherProgramEditsTheLayers(t *testing.T) {
	r := fixtureResult(t)
	path := saved(t, "audit.gpkg", contentOf(t, r, alone.by(writeGeoPackage)))
	count := func(table string) string {
		said := ogrinfo(t, "-ro", path, "-sql", "SELECT count(*) AS n FROM "+table)
		return regexp.MustCompile(`n \(Integer\) = (\d+)`).FindStringSubmatch(said)[1]
	}
	require.Equal(t, "8", count("rtree_structures_geom"))
	ogrinfo(t, path, "-sql", "DELETE FROM structures WHERE fid = 1")
	require.Equal(t, "7", count("rtree_structures_geom"))
	ogrinfo(t, path, "-sql", "INSERT INTO structures (fid, geom) SELECT 100, geom FROM structures WHERE fid = 2")
	require.Equal(t, "8", count("rtree_structures_geom"))
	ogrinfo(t, path, "-sql", "UPDATE structures SET geom = NULL WHERE fid = 100")
	require.Equal(t, "7", count("rtree_structures_geom"))
	ogrinfo(t, path, "-sql", "UPDATE structures SET fid = 200 WHERE fid = 2")
	require.Equal(t, "1", count("rtree_structures_geom WHERE id = 200"))
	require.Equal(t, "7", count("rtree_structures_geom"))
}

// Names with quotation marks, formulas and scripts come out of the layers as they went in.
func TestAnotherReaderFindsHostileTexts(t *testing.T) {
	r := hostileResult(t)
	path := saved(t, "audit.gpkg", contentOf(t, r, alone.by(writeGeoPackage)))
	said := ogrinfo(t, "-ro", path, "structures")
	for _, want := range []string{"=1+1", "@SUM(A1)", hostiles[5], hostiles[6], hostiles[7]} {
		require.Contains(t, said, "structure (String) = "+want+"\n")
	}
	require.Contains(t, said, "line (String) = "+awkwardLine+"\n")
}

func TestAnotherReaderFindsThePlacemarks(t *testing.T) {
	r := judged(t, demo(t))
	said := ogrinfo(t, "-ro", "-so", "-al", saved(t, "exceptions.kml", contentOf(t, r, alone.by(writeKML))))
	found := 0
	for _, match := range regexp.MustCompile(`Feature Count: (\d+)`).FindAllStringSubmatch(said, -1) {
		found += int(number64(t, match[1]))
	}
	require.Equal(t, len(r.Exceptions), found)
	packed := saved(t, "exceptions.kmz", contentOf(t, r, alone.by(writeKMZ)))
	require.Contains(t, ogrinfo(t, "-ro", "-so", "/vsizip/"+packed+"/doc.kml"), "successful")
}

// The packed placemarks bring every icon that they name, and no other; the bare ones name none.
func TestPackedPlacemarksBringTheirIcons(t *testing.T) {
	r := fixtureResult(t)
	pack, err := zip.NewReader(bytes.NewReader(contentOf(t, r, alone.by(writeKMZ))), int64(len(contentOf(t, r, alone.by(writeKMZ)))))
	require.NoError(t, err)
	require.Equal(t, "doc.kml", pack.File[0].Name, "the first is what is opened")
	parts := map[string]string{}
	for _, file := range pack.File {
		part, err := file.Open()
		require.NoError(t, err)
		content, err := io.ReadAll(part)
		require.NoError(t, err)
		parts[file.Name] = string(content)
	}
	icon := regexp.MustCompile(`<href>([^<]*)</href>`)
	named := icon.FindAllStringSubmatch(parts["doc.kml"], -1)
	require.Len(t, named, len(severityMarks))
	for _, name := range named {
		require.True(t, strings.HasPrefix(parts[name[1]], "\x89PNG"), name[1])
	}
	require.Len(t, parts, 1+len(named))
	require.NotRegexp(t, icon, string(contentOf(t, r, alone.by(writeKML))))
}

// What a GeoPackage needs beside it while it is written lies in the folder of the outputs, where the next run removes it.
func TestGeoPackageNeedsNoOtherFolder(t *testing.T) {
	for _, name := range []string{"TMPDIR", "TMP", "TEMP"} {
		t.Setenv(name, filepath.Join(t.TempDir(), "not there"))
	}
	dir := t.TempDir()
	written(t, dir, fixtureResult(t), "gpkg")
	require.Contains(t, filesIn(t, dir), "audit.gpkg")
	_, err := Verify(dir)
	require.NoError(t, err)
}
