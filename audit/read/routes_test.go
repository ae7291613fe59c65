package read

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// readWith returns a base whose project file names one more layer, and writes it; the base stays small that way.
func readWith(t *testing.T, section, properties, text string, project string) (*audit.Project, error) {
	t.Helper()
	b := newBase()
	if project != "" {
		b.project = project
	}
	b.project += fmt.Sprintf("%s: {file: extra.geojson%s}\n", section, properties)
	path := b.write(t)
	require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), "extra.geojson"), []byte(text), 0o600))
	return Project(t.Context(), path)
}

func shape(properties, kind, coordinates string) string {
	return zone(properties, kind, coordinates) + "\n"
}

func TestRoutes(t *testing.T) {
	p, err := readWith(t, "routes", ", properties: {line: name}", shape(`{"name":"L1"}`, "LineString", "[[10,50,7],[10.003,50,8]]")+
		shape(`{"name":["L1","L2"]}`, "MultiLineString", "[[[10.003,50],[10.006,50]],[[1,2],[3,4],[5,6]]]"), "")
	require.NoError(t, err)
	require.Empty(t, faultsOf(p))
	require.False(t, p.RoutesAlone)
	require.Len(t, p.Routes, 3)
	require.Equal(t, []string{"L1", "L1", "L2"}, []string{p.Symbols.Text(p.Routes[0].Line), p.Symbols.Text(p.Routes[1].Line), p.Symbols.Text(p.Routes[2].Line)})
	require.Equal(t, [][]orb.Point{{{10, 50}, {10.003, 50}}}, p.Routes[0].Parts, "heights are dropped")
	require.Equal(t, [][]orb.Point{{{10.003, 50}, {10.006, 50}}, {{1, 2}, {3, 4}, {5, 6}}}, p.Routes[2].Parts)
	require.Equal(t, uint32(2), p.Routes[2].Source.Row)
}

func TestRoutesAlone(t *testing.T) {
	p, err := readWith(t, "routes", "", shape(`{"line":"L1"}`, "LineString", "[[10,50],[10.003,50]]"), "zones: {file: zones.geojson}\n")
	require.NoError(t, err)
	require.True(t, p.RoutesAlone)
	require.Zero(t, p.Structures.Len())
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.Equal(t, 2, n.StructureCount(), "every vertex is a structure")
}

func TestRouteFaults(t *testing.T) {
	good := shape(`{"line":"L1"}`, "LineString", "[[10,50],[10.003,50]]")
	good = strings.Repeat(good, 4)
	for name, c := range map[string]struct{ feature, fault string }{
		"no line":      {shape(`{"line":""}`, "LineString", "[[1,2],[3,4]]"), `missing-value extra.geojson row 5: line is blank; the feature is left out`},
		"a point":      {shape(`{"line":"x"}`, "Point", "[1,2]"), `bad-geometry extra.geojson row 5: geometry "Point" is no line; the feature is left out`},
		"one position": {shape(`{"line":"x"}`, "LineString", "[[1,2]]"), `bad-geometry extra.geojson row 5: geometry "LineString" has 1 positions in part 1, expected at least 2; the feature is left out`},
		"out of range": {shape(`{"line":"x"}`, "LineString", "[[1,2],[1,92]]"),
			`bad-geometry extra.geojson row 5: geometry "LineString" has the position 1, 92, which is out of range, expected longitude -180 to 180 and latitude -90 to 90; the feature is left out`},
		"null": {`{"type":"Feature","properties":{"line":"x"},"geometry":null}`, `bad-geometry extra.geojson row 5: geometry "null" is empty; the feature is left out`},
		"NaN": {shape(`{"line":"x"}`, "LineString", "[[1,NaN],[1,2]]"),
			`bad-geometry extra.geojson row 5: geometry "{\"type\":\"LineString\",\"coordinates\":[[1,NaN],[1,2]]}" has a coordinate that is not a number; the feature is left out`},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := readWith(t, "routes", "", good+c.feature, "")
			require.NoError(t, err)
			require.Equal(t, []string{c.fault}, faultsOf(p))
			require.Len(t, p.Routes, 4)
		})
	}
}

func TestCrossings(t *testing.T) {
	p, err := readWith(t, "crossings", ", properties: {kind: what}", shape(`{"what":"river"}`, "LineString", "[[10,49],[10,51]]")+
		shape(`{"what":"lake"}`, "Polygon", "[[[9,49],[11,49],[11,51],[9,49]]]")+
		shape(`{"what":"River"}`, "MultiPolygon", "[[[[9,49],[11,49],[11,51],[9,49]]]]"), "")
	require.NoError(t, err)
	require.Empty(t, faultsOf(p))
	require.True(t, p.CrossingsGiven)
	require.Len(t, p.Crossings, 3)
	require.Equal(t, [][]orb.Point{{{10, 49}, {10, 51}}}, p.Crossings[0].Lines)
	require.Empty(t, p.Crossings[0].Polygons)
	require.Len(t, p.Crossings[1].Polygons, 1)
	require.Equal(t, "lake", p.Symbols.Text(p.Crossings[1].Kind))
	require.Len(t, p.Crossings[2].Polygons, 1)

	p, err = readWith(t, "crossings", "", `{"type":"FeatureCollection","features":[]}`, "")
	require.NoError(t, err)
	require.True(t, p.CrossingsGiven, "none is not the same as not given")
	require.False(t, newBase().mustRead(t).CrossingsGiven)
}

func TestCrossingFaults(t *testing.T) {
	good := shape(`{"kind":"road"}`, "LineString", "[[10,50],[10.003,50]]")
	good = strings.Repeat(good, 4)
	for name, c := range map[string]struct{ feature, fault string }{
		"no kind": {shape(`{"kind":null}`, "LineString", "[[1,2],[3,4]]"), `missing-value extra.geojson row 5: kind is blank; whatever crosses it is not assessed`},
		"a point": {shape(`{"kind":"x"}`, "MultiPoint", "[[1,2],[3,4]]"), `bad-geometry extra.geojson row 5: geometry "MultiPoint" is neither line nor area; where it lies cannot be told, so that what its kind asks for is not assessed anywhere`},
		"null": {`{"type":"Feature","properties":{"kind":"x"},"geometry":null}`,
			`bad-geometry extra.geojson row 5: geometry "null" is empty; where it lies cannot be told, so that what its kind asks for is not assessed anywhere`},
		"not closed": {shape(`{"kind":"x"}`, "Polygon", "[[[1,2],[3,2],[3,4],[1,4]]]"),
			`bad-geometry extra.geojson row 5: geometry "Polygon" is no valid area: ring 1, position 4: ring not closed: it starts at 1, 2 and ends at 1, 4; in the box around it, wider by its own size on every side, what its kind asks for is not assessed`},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := readWith(t, "crossings", "", good+c.feature, "")
			require.NoError(t, err)
			require.Equal(t, []string{c.fault}, faultsOf(p))
			require.Len(t, p.Crossings, 5) // it may be crossed, whatever it is
			last := p.Crossings[4]
			require.Equal(t, name != "no kind", last.Broken)
			require.Equal(t, name == "a point" || name == "null", last.Anywhere)
		})
	}
}

func TestCrossingKinds(t *testing.T) {
	var text strings.Builder
	for i := range maxKinds {
		text.WriteString(shape(fmt.Sprintf(`{"kind":"k%d"}`, i), "LineString", "[[10,50],[10.003,50]]"))
	}
	p, err := readWith(t, "crossings", "", text.String()+shape(`{"kind":"K7"}`, "LineString", "[[10,50],[10.003,50]]"), "")
	require.NoError(t, err)
	require.Len(t, p.Crossings, maxKinds+1)
	_, err = readWith(t, "crossings", "", text.String()+shape(`{"kind":"one more"}`, "LineString", "[[1,2],[3,4]]"), "")
	requireInputError(t, err, `extra.geojson: feature 64 has the kind "one more", which is one more than 63 kinds of crossing`,
		"name as kind a property of few values, such as river, railway, road")
}

func TestPropertiesWithUnits(t *testing.T) {
	b := newBase()
	b.project = strings.Replace(b.project, "structures.geojson}",
		"structures.geojson, properties: {ground_m: {from: elev, unit: ft}, attachment_m: {from: ground_m, unit: ft}}}", 1)
	b.project = strings.Replace(b.project, "zones.geojson}", "zones.geojson, specific_creepage_base: Um/√3, properties: {specific_creepage: {from: sc, unit: in/kV}}}", 1)
	b.structures = strings.Replace(b.structures, `"sequence":2`, `"sequence":2,"elev":1000`, 1)
	b.structures = strings.Replace(b.structures, `"sequence":3`, `"sequence":3,"elev":98765`, 1)
	b.zones = strings.Replace(b.zones, `"class":"d"`, `"sc":2`, 1) + strings.Replace(goodZone, `"label":null`, `"sc":53`, 1)
	p := b.mustRead(t)
	require.Equal(t, []string{
		`out-of-range structures.geojson row 3: elev "98765" is out of range, expected -1640.42 to 29527.6 ft`,
		`out-of-range zones.geojson row 2: sc "53" is out of range, expected 0.866142 to 7.87402 in/kV on Um/√3; creepage in its area is not assessed`,
	}, faultsOf(p))
	require.InDelta(t, 304.8, p.Structures.At(1).GroundM, 1e-9) // 1000 ft, exact by definition
	require.InDelta(t, 30.48, p.Structures.At(0).AttachmentM, 1e-9)
	require.True(t, math.IsNaN(p.Structures.At(2).GroundM))
	require.InDelta(t, 50.8, p.Zones[0].SpecificCreepage, 1e-9) // 2 in/kV
}
