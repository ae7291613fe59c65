package main

import (
	"context"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
)

// projectedCopy is a copy of a project whose layers the usual converter has taken to another system, as GeoJSON with a
// member crs.
func projectedCopy(t *testing.T, project, system string) string {
	t.Helper()
	gdal := tool(t, "ogr2ogr")
	from, to := filepath.Dir(project), t.TempDir()
	entries, err := os.ReadDir(from)
	require.NoError(t, err)
	for _, entry := range entries {
		name := entry.Name()
		switch filepath.Ext(name) {
		case ".geojson":
			out, err := exec.Command(gdal, "-f", "GeoJSON", "-t_srs", system, filepath.Join(to, name), filepath.Join(from, name)).CombinedOutput()
			require.NoError(t, err, string(out))
		case ".yaml", ".xlsx", ".csv":
			content, err := os.ReadFile(filepath.Join(from, name))
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(filepath.Join(to, name), content, 0o600))
		}
	}
	return filepath.Join(to, filepath.Base(project))
}

// requireSameFromProjected audits a project and its copy in another system: all must come out the same, but for the last
// digits of what is computed from positions, and but for the one fault that some positions may be far off the meridian of the system.
func requireSameFromProjected(t *testing.T, project, system string, offMeridian bool) {
	t.Helper()
	copied := projectedCopy(t, project, system)
	p, err := read.Project(context.Background(), copied)
	require.NoError(t, err)
	require.Equal(t, system, p.Inputs[0].System)
	original, err := read.Project(context.Background(), project)
	require.NoError(t, err)
	require.Equal(t, original.Structures.Len(), p.Structures.Len())
	for i := range original.Structures.Len() {
		want, got := original.Structures.Row(i), p.Structures.Row(i)
		if math.Abs(want.Lon-got.Lon) > 1e-10 || math.Abs(want.Lat-got.Lat) > 1e-10 {
			require.Fail(t, "elsewhere", "structure %d at %v %v, expected %v %v", i, got.Lon, got.Lat, want.Lon, want.Lat)
		}
	}

	want, got := auditInto(t, project, t.TempDir()), auditInto(t, copied, t.TempDir())
	require.NotEqual(t, want.Run.ID, got.Run.ID)
	require.Equal(t, want.Coverage, got.Coverage)
	if offMeridian {
		require.NotEmpty(t, got.Faults)
		require.Contains(t, got.Faults[0].Message, "from the central meridian of "+system)
		got.Faults = got.Faults[1:]
	}
	require.Equal(t, want.Faults, got.Faults)
	require.Len(t, got.Exceptions, len(want.Exceptions))
	type key struct{ check, severity, line, structure, circuit, phase, side string }
	margins := map[key]*float64{}
	for _, e := range want.Exceptions {
		margins[key{e.Check, e.Severity, e.Line, e.Structure, e.Circuit, e.Phase, e.Side}] = e.Margin
	}
	require.Len(t, margins, len(want.Exceptions))
	for _, e := range got.Exceptions {
		margin, found := margins[key{e.Check, e.Severity, e.Line, e.Structure, e.Circuit, e.Phase, e.Side}]
		if !found || (margin == nil) != (e.Margin == nil) || margin != nil && math.Abs(*margin-*e.Margin) > 1e-6 {
			require.Fail(t, "another exception", "%+v, expected the margin %v", e, margin)
		}
	}
}

// The demo lies in zone 27 of UTM.
func TestDemoFromProjectedLayers(t *testing.T) {
	t.Parallel()
	requireSameFromProjected(t, demoProject, "EPSG:32627", false)
}

// The real case lies in several zones of UTM; the positions are all taken to one, as utilities do. Some lie more than 600 km from its meridian.
func TestAndesFromProjectedLayers(t *testing.T) {
	t.Parallel()
	requireSameFromProjected(t, filepath.Join(andesCase(t), "audit.yaml"), "EPSG:32719", true)
}

// Zones and crossings have edges of 60 km along an easting at 60° of latitude, which lie 120 m from those between their ends in longitude and
// latitude: structure 4 stands 10 m within a zone, and a railway passes 10 m ahead of it.
func TestEdgesAreStraightInTheirSystem(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	layer := func(properties, kind, coordinates string) string {
		return `{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::32632"}},"features":[{"type":"Feature","properties":` + properties +
			`,"geometry":{"type":"` + kind + `","coordinates":` + coordinates + `}}]}`
	}
	for name, text := range map[string]string{
		"audit.yaml": `structures: {file: structures.csv, crs: EPSG:32632}
zones: {file: zones.geojson}
crossings: {file: crossings.geojson}
register: {file: [Assemblies.csv, Lines.csv]}
criteria: {default_class: b, deviation_limit_deg: 2, creepage_basis: unified, crossing_rules: {railway: double}}
`,
		"structures.csv": "line,structure,sequence,easting,northing\nL1,1,1,500000,6699090\nL1,2,2,500000,6699390\nL1,3,3,500000,6699690\n" +
			"L1,4,4,500000,6699990\nL1,5,5,500000,6700290\nL1,6,6,500000,6700590\n",
		"zones.geojson":     layer(`{"class":"e","label":"strip"}`, "Polygon", "[[[470000,6690000],[530000,6690000],[530000,6700000],[470000,6700000],[470000,6690000]]]"),
		"crossings.geojson": layer(`{"kind":"railway"}`, "LineString", "[[470000,6700000],[530000,6700000]]"),
		"Assemblies.csv": "Line,Structure,Phase,Side,Duty,Unit,Units per string\nL1,1,ABC,ahead,tension,U120B,9\nL1,2,ABC,,suspension,U120B,9\nL1,3,ABC,,suspension,U120B,9\n" +
			"L1,4,ABC,,suspension,U120B,9\nL1,5,ABC,,suspension,U120B,9\nL1,6,ABC,back,tension,U120B,9\n",
		"Lines.csv": "Line,Nominal voltage (kV),Highest voltage (kV),Phases\nL1,132,145,ABC\n",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
	for structure, want := range map[string]struct {
		class, creepage string
		crosses         bool
	}{
		"3": {"class          e", "creepage: falls short", false},
		"4": {"class          e", "creepage: falls short", true},
		"5": {"class          b", "creepage: meets", true},
	} {
		told := runs(t, "explain", filepath.Join(folder, "audit.yaml"), "L1", structure)
		require.Contains(t, told, want.class, structure)
		require.Contains(t, told, want.creepage, structure)
		require.Equal(t, want.crosses, strings.Contains(told, "double-at-crossing: falls short"), structure)
	}
}
