package read

import (
	"compress/gzip"
	"context"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/read/gdaltest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// converted writes the base with its layers as GeoPackages of the usual converter, and returns the project file.
func converted(t *testing.T, b base, arguments ...string) string {
	t.Helper()
	path := b.write(t)
	folder := filepath.Dir(path)
	for _, name := range []string{"structures", "zones"} {
		gdaltest.Run(t, folder, "ogr2ogr", append([]string{"-f", "GPKG", name + ".gpkg", name + ".geojson", "-nln", name}, arguments...)...)
	}
	return path
}

func packaged() base {
	b := newBase()
	b.project = strings.ReplaceAll(b.project, ".geojson", ".gpkg")
	b.structures = strings.Replace(b.structures, `"structure":3.0`, `"structure":"3"`, 1) // the converter keeps the text 3.0
	return b
}

// TestGeoPackages holds the layers of GeoPackages to be read as those of GeoJSON.
func TestGeoPackages(t *testing.T) {
	want := newBase().mustRead(t)
	p, understood, err := Understood(context.Background(), converted(t, packaged()))
	require.NoError(t, err)
	require.Empty(t, faultsOf(p))
	require.Equal(t, "GeoPackage", understood[0].Format)
	require.Equal(t, "structures.gpkg!structures", p.Tables[0].String())
	requireSameLayers(t, want, p)
	require.NotEqual(t, want.Inputs[0].SHA256, p.Inputs[0].SHA256)
}

// TestGeoPackagesInAnotherSystem holds positions that the usual converter projects to be read as they were: with the
// system in the file, and where only the project file tells it.
func TestGeoPackagesInAnotherSystem(t *testing.T) {
	want := newBase().mustRead(t)
	for name, inFile := range map[string]bool{"in the file": true, "in the project file": false} {
		t.Run(name, func(t *testing.T) {
			b := packaged()
			if !inFile {
				b.project = strings.NewReplacer("structures.gpkg", "structures.gpkg, crs: EPSG:32632", "zones.gpkg", "zones.gpkg, crs: EPSG:32632").Replace(b.project)
			}
			path := converted(t, b, "-t_srs", "EPSG:32632")
			if !inFile {
				takeSystem(t, filepath.Dir(path), "structures.gpkg")
				takeSystem(t, filepath.Dir(path), "zones.gpkg")
			}
			p, understood, err := Understood(context.Background(), path)
			require.NoError(t, err)
			require.Empty(t, faultsOf(p))
			require.Equal(t, []string{"coordinates EPSG:32632, transformed to WGS 84"}, understood[0].Notes)
			require.Equal(t, want.Structures.Len(), p.Structures.Len())
			for i, s := range p.Structures.All() {
				require.InDelta(t, want.Structures.At(i).Lon, s.Lon, 1e-10)
				require.InDelta(t, want.Structures.At(i).Lat, s.Lat, 1e-10)
			}
			require.Len(t, p.Zones, len(want.Zones))
			for i, z := range p.Zones {
				for j, polygon := range z.Polygons {
					course := pointsOf(polygon.Flat) // whose edges are those of the other system
					for _, at := range pointsOf(want.Zones[i].Polygons[j].Flat) {
						there := slices.IndexFunc(course, func(p orb.Point) bool { return math.Abs(p[0]-at[0]) < 1e-10 && math.Abs(p[1]-at[1]) < 1e-10 })
						require.GreaterOrEqual(t, there, 0, "%v", at)
						course = course[there:]
					}
				}
			}
		})
	}
}

// takeSystem makes a GeoPackage leave open what system it has.
func takeSystem(t *testing.T, folder, name string) {
	t.Helper()
	command := exec.Command("ogr2ogr", "-f", "GPKG", "-a_srs", "none", "open.gpkg", name)
	command.Dir = folder
	out, err := command.CombinedOutput()
	require.NoError(t, err, string(out))
	require.NoError(t, os.Rename(filepath.Join(folder, "open.gpkg"), filepath.Join(folder, name)))
}

func requireSameLayers(t *testing.T, want, got *audit.Project) {
	t.Helper()
	require.Equal(t, want.Structures.Len(), got.Structures.Len())
	for i := range want.Structures.Len() {
		a, b := want.Structures.At(i), got.Structures.At(i)
		require.Equal(t, want.Symbols.Text(a.Line), got.Symbols.Text(b.Line))
		require.Equal(t, want.Texts.Get(a.Number), got.Texts.Get(b.Number))
		require.Equal(t, []float64{a.Lon, a.Lat, a.Sequence}, []float64{b.Lon, b.Lat, b.Sequence})
		require.True(t, same(a.GroundM, b.GroundM) || b.GroundM == 0, "the converter gives every point a height")
	}
	require.Len(t, got.Zones, len(want.Zones))
	for i := range want.Zones {
		require.Equal(t, want.Zones[i].Polygons, got.Zones[i].Polygons)
		require.Equal(t, want.Zones[i].Class, got.Zones[i].Class)
		require.Equal(t, want.Zones[i].Label, got.Zones[i].Label)
	}
}

func TestGeoPackageCompressed(t *testing.T) {
	b := packaged()
	b.project = strings.Replace(b.project, "structures.gpkg", "structures.gpkg.gz", 1)
	path := converted(t, b)
	plain := filepath.Join(filepath.Dir(path), "structures.gpkg")
	content, err := os.ReadFile(plain)
	require.NoError(t, err)
	writeGzip(t, plain+".gz", content)
	p, err := Project(context.Background(), path)
	require.NoError(t, err)
	requireSameLayers(t, newBase().mustRead(t), p)
}

func writeGzip(t *testing.T, path string, content []byte) {
	t.Helper()
	file, err := os.Create(path)
	require.NoError(t, err)
	w := gzip.NewWriter(file)
	_, err = w.Write(content)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	require.NoError(t, file.Close())
}

// TestGzipMembers holds that a file of several members is read to its end, with zero bytes behind it, and that other bytes there are
// refused.
func TestGzipMembers(t *testing.T) {
	b := newBase()
	b.project = strings.Replace(b.project, "structures.geojson", "structures.geojson.gz", 1)
	path := b.write(t)
	packed := filepath.Join(filepath.Dir(path), "structures.geojson.gz")
	var members []byte
	for _, part := range []string{b.structures[:100], b.structures[100:]} {
		writeGzip(t, packed, []byte(part))
		member, err := os.ReadFile(packed)
		require.NoError(t, err)
		members = append(members, member...)
	}
	for behind, sound := range map[string]bool{"": true, strings.Repeat("\x00", 512): true, "\x00\x00x": false, "x": false} {
		require.NoError(t, os.WriteFile(packed, append(slices.Clone(members), behind...), 0o600))
		p, err := Project(context.Background(), path)
		if !sound {
			require.ErrorContains(t, err, "structures.geojson.gz: is compressed by gzip and cannot be unpacked", "%q", behind)
			continue
		}
		require.NoError(t, err, "%q", behind)
		requireSameLayers(t, newBase().mustRead(t), p)
	}
}

func TestGeoPackageUnusable(t *testing.T) {
	for name, c := range map[string]struct {
		section   string
		arguments []string
		spoil     func(t *testing.T, folder string)
		message   string
		hint      string
	}{
		"another layer": {"structures: {file: structures.gpkg, layer: structure}", nil, nil,
			`structures.gpkg: has no layer "structure"; the layers there are "structures"`, `did you mean "structures"?`},
		"another system": {"structures: {file: structures.gpkg}", []string{"-t_srs", "EPSG:2154"}, nil,
			`structures.gpkg: layer "structures" has the reference system EPSG:2154, which is neither WGS 84 longitude, latitude nor one of the systems that README.md lists`,
			"convert it, for example: ogr2ogr -t_srs EPSG:4326 wgs84-structures.gpkg structures.gpkg"},
		"no system": {"structures: {file: structures.gpkg}", []string{"-t_srs", "EPSG:32632"}, func(t *testing.T, folder string) { takeSystem(t, folder, "structures.gpkg") },
			`structures.gpkg: layer "structures" does not say its reference system`, convertFromHint("structures.gpkg", "structures")},
		"two systems": {"structures: {file: structures.gpkg, crs: EPSG:32633}", []string{"-t_srs", "EPSG:32632"}, nil,
			`structures.gpkg: the reference system of its layer "structures" is EPSG:32632, but crs under structures in the project file is EPSG:32633`,
			"find out which of the two its positions are in; take out crs in the project file, or correct the file"},
		"several layers": {"structures: {file: structures.gpkg}", nil, func(t *testing.T, folder string) {
			command := exec.Command("ogr2ogr", "-update", "structures.gpkg", "zones.geojson", "-nln", "areas")
			command.Dir = folder
			require.NoError(t, command.Run())
		}, `structures.gpkg: has 2 layers, expected one or a name: "areas", "structures"`, "name one of them under structures in the project file: layer: areas"},
		"open elsewhere": {"structures: {file: structures.gpkg}", nil, func(t *testing.T, folder string) {
			require.NoError(t, os.WriteFile(filepath.Join(folder, "structures.gpkg-wal"), []byte("x"), 0o600))
		}, "structures.gpkg: is open in another program, which has not yet written everything into it", "close it there, or export the layer into another file"},
		"layer of no package": {"structures: {file: structures.geojson, layer: x}", nil, nil,
			`structures.geojson: is no GeoPackage, expected one with the layer "x"`, "take out layer under structures"},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.project = c.section + "\n"
			path := converted(t, b, c.arguments...)
			if c.spoil != nil {
				c.spoil(t, filepath.Dir(path))
			}
			_, err := Project(context.Background(), path)
			requireInputError(t, err, c.message, c.hint)
		})
	}
	path := newBase().write(t)
	require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), "structures.geojson"), append([]byte("SQLite format 3\x00"), make([]byte, 200)...), 0o600))
	_, err := Project(context.Background(), path)
	var input *InputError
	require.ErrorAs(t, err, &input)
	require.Contains(t, input.Error(), "structures.geojson: is no GeoPackage that can be read: ")
}
