package read

import (
	"strings"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// goodZone keeps a zone file usable while another of its features is faulty.
const goodZone = `{"type":"Feature","properties":{"class":"e","label":null},"geometry":{"type":"Polygon","coordinates":[[[9,49],[11,49],[11,51],[9,51],[9,49]]]}}` + "\n"

func zone(properties, kind, coordinates string) string {
	return `{"type":"Feature","properties":` + properties + `,"geometry":{"type":"` + kind + `","coordinates":` + coordinates + `}}`
}

func TestZoneFaults(t *testing.T) {
	const square, hole = `[[[9,49],[11,49],[11,51],[9,51],[9,49]]]`, `[[9.5,49.5],[9.5,50],[10,50],[9.5,49.5]]`
	for name, c := range map[string]struct{ feature, fault string }{
		"class":         {zone(`{"class":"g"}`, "Polygon", square), `unknown-word zones.geojson row 2: class "g" is no pollution class, expected a to f; the zone is left out`},
		"blank class":   {zone(`{"class":""}`, "Polygon", square), `missing-value zones.geojson row 2: class is blank, expected a pollution class a to f; the zone is left out`},
		"point":         {zone(`{"class":"c"}`, "Point", "[1,2]"), `bad-geometry zones.geojson row 2: geometry "Point" is no polygon; the zone is left out`},
		"no ring":       {zone(`{"class":"c"}`, "Polygon", "[]"), `bad-geometry zones.geojson row 2: geometry "Polygon" is empty; the zone is left out`},
		"no geometry":   {`{"type":"Feature","properties":{"class":"c"},"geometry":null}`, `bad-geometry zones.geojson row 2: geometry "null" is empty; the zone is left out`},
		"few positions": {zone(`{"class":"c"}`, "Polygon", "[[[9,49],[11,49],[9,49]]]"), `bad-geometry zones.geojson row 2: geometry "Polygon" is no valid area: ring 1: too few positions: 3, and a ring needs at least 4; the zone is left out`},
		"not closed": {zone(`{"class":"c"}`, "Polygon", "[[[9,49],[11,49],[11,51],[9,51]]]"),
			`bad-geometry zones.geojson row 2: geometry "Polygon" is no valid area: ring 1, position 4: ring not closed: it starts at 9, 49 and ends at 9, 51; the zone is left out`},
		"the second polygon": {zone(`{"class":"c"}`, "MultiPolygon", "["+square+",[[[1,1],[2,1],[3,1],[1,1]]]]"),
			`bad-geometry zones.geojson row 2: geometry "MultiPolygon" is no valid area: polygon 2, ring 1: ring encloses no area; the zone is left out`},
		"out of range": {zone(`{"class":"c"}`, "Polygon", "[[[9,49],[11,49],[11,91],[9,49]]]"),
			`bad-geometry zones.geojson row 2: geometry "Polygon" is no valid area: ring 1, position 3: out of range: latitude 91 is not within -90 to 90; the zone is left out`},
		"heights here and there": {zone(`{"class":"c"}`, "Polygon", "[[[9,49,1],[11,49],[11,51],[9,49]]]"),
			`bad-geometry zones.geojson row 2: geometry "Polygon" has positions with 3 and with 2 coordinates; the zone is left out`},
		"hole outside": {zone(`{"class":"c"}`, "Polygon", "[[[1,1],[2,1],[2,2],[1,1]],"+hole+"]"),
			`bad-geometry zones.geojson row 2: geometry "Polygon" is no valid area: ring 2, position 1: hole outside its outer ring; the zone is left out`},
		"no feature": {`{"type":"Feature","properties":[],"geometry":null}`,
			`bad-geometry zones.geojson row 2: feature "Feature" has properties that are no object; the zone is left out`},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.zones = goodZone + c.feature
			p := b.mustRead(t)
			require.Equal(t, []string{c.fault}, faultsOf(p))
			require.Len(t, p.Zones, 1)
		})
	}
}

func TestZoneSpecificCreepage(t *testing.T) {
	const square = `[[[9,49],[11,49],[11,51],[9,51],[9,49]]]`
	b := newBase()
	b.zones = zone(`{"specific_creepage":48.5}`, "Polygon", square) + zone(`{"class":"e","specific_creepage":"60"}`, "Polygon", square) +
		zone(`{"class":"e","specific_creepage":"high"}`, "Polygon", square) + zone(`{"class":"e","specific_creepage":0.06}`, "Polygon", square) +
		zone(`{"class":"x","specific_creepage":60}`, "Polygon", square)
	p := b.mustRead(t)
	require.Equal(t, []string{
		`not-a-number zones.geojson row 3: specific_creepage "high" is not a number; the class decides`,
		`out-of-range zones.geojson row 4: specific_creepage "0.06" is out of range, expected 5 to 200 mm/kV; the class decides`,
		`unknown-word zones.geojson row 5: class "x" is no pollution class, expected a to f; the zone is left out`,
	}, faultsOf(p))
	require.Len(t, p.Zones, 4)
	require.Equal(t, basis.ClassUnknown, p.Zones[0].Class, "a figure needs no class")
	require.Equal(t, []float64{48.5, 60, 0, 0}, []float64{p.Zones[0].SpecificCreepage, p.Zones[1].SpecificCreepage, p.Zones[2].SpecificCreepage, p.Zones[3].SpecificCreepage})
}

func TestZoneValues(t *testing.T) {
	b := newBase()
	b.project = strings.Replace(b.project, "zones: {file: zones.geojson}", "zones: {file: zones.geojson, properties: {class: sps, label: name}}", 1)
	b.zones = zone(`{"sps":"III","name":7}`, "MultiPolygon",
		"[[[[9,49,1],[11,49,1],[11,51,1],[9,51,1],[9,49,1]],[[9.5,49.5,1],[9.5,50,1],[10,50,1],[9.5,49.5,1]]],[[[1,1,0],[2,1,0],[2,2,0],[1,1,0]]]]")
	p := b.mustRead(t)
	require.Empty(t, faultsOf(p))
	z := p.Zones[0]
	require.Equal(t, basis.ClassD, z.Class)
	require.Equal(t, "7", z.Label)
	require.Len(t, z.Polygons, 2)
	require.Equal(t, []int{10, 18}, z.Polygons[0].Ends)
	require.Equal(t, []float64{9, 49, 11, 49, 11, 51, 9, 51, 9, 49, 9.5, 49.5, 9.5, 50, 10, 50, 9.5, 49.5}, z.Polygons[0].Flat, "heights are dropped")
	require.Equal(t, []int{8}, z.Polygons[1].Ends)
	require.Equal(t, []float64{1, 1, 2, 1, 2, 2, 1, 1}, z.Polygons[1].Flat)
}

func TestZonesUnusable(t *testing.T) {
	const projected = "[[[500000,5500000],[500100,5500000],[500100,5500100],[500000,5500000]]]"
	for name, c := range map[string]struct{ text, message, hint string }{
		"no class": {zone(`{"klass":"c","x":1}`, "Polygon", "[[[9,49],[11,49],[11,51],[9,49]]]"),
			`zones.geojson: no feature has the property "class"; the properties there are "klass", "x"`,
			"name the property under zones in the project file: properties: {class: klass}"},
		"none usable": {zone(`{"class":"bad"}`, "Polygon", "[[[9,49],[11,49],[11,51],[9,49]]]"),
			`zones.geojson: none of its 1 features can be used, expected polygons with a pollution class a to f in "class"`, `of feature 1 the class "bad" is no pollution class, expected a to f; the zone is left out`},
		"projected": {zone(`{"class":"c"}`, "Polygon", projected),
			"zones.geojson: 1 of 1 positions are no degrees, such as [500000, 5500000]; these are projected coordinates, expected WGS 84 longitude, latitude", convertFromHint("zones.geojson", "zones")},
		"empty": {`{"type":"FeatureCollection","features":[]}`, "zones.geojson: holds no features", filterHint},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.zones = c.text
			_, err := b.read(t)
			requireInputError(t, err, c.message, c.hint)
		})
	}
}
