package report

import (
	"fmt"
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
	r := judged(t, demo(t))
	path := saved(t, "audit.gpkg", contentOf(t, r, alone.by(writeGeoPackage)))
	for layer, want := range map[string]struct {
		features int
		geometry string
	}{
		"structures": {r.Network.StructureCount(), "Point"},
		"spans":      {spansOf(r), "Multi Line String"},
		"exceptions": {len(r.Exceptions), "Unknown (any)"},
		"zones":      {len(r.Project.Zones), "Multi Polygon"},
		"run":        {5, "None"},
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
