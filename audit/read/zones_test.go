package read

import (
	"math"
	"strings"
	"testing"

	"dryarc/audit"
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
	const boxed, unclear = "in the box around it, wider by its own size on every side, creepage is not assessed, unless its class is no worse than the one in force there", "creepage in its area is not assessed"
	const nowhere = "where it lies cannot be told, so creepage is assessed only where its class is no worse than the one in force"
	cos := func(lat float64) float64 { return math.Cos(lat * math.Pi / 180) }
	// wide is a box wider by so many degrees of latitude on every side; the narrowest degree of longitude in it is at a latitude.
	wide := func(west, south, east, north, by, at float64) []float64 {
		west, east = west-by/cos(at), east+by/cos(at)
		south, north = south-by, north+by
		return []float64{west, south, east, south, east, north, west, north, west, south}
	}
	box := func(west, south, east, north float64) []float64 {
		return []float64{west, south, east, south, east, north, west, north, west, south}
	}
	for name, c := range map[string]struct {
		feature, fault string
		broken         []float64 // the box; nil where the area is sound
		unknown        audit.Reason
		out            bool // no zone is made of it
		anywhere       bool
	}{
		"class":       {feature: zone(`{"class":"g"}`, "Polygon", square), fault: `unknown-word zones.geojson row 2: class "g" is no pollution class, expected a to f; ` + unclear + `; say what it means in the project file: words: {class: {"g": …}}`, unknown: audit.ZoneClassUnreadable},
		"blank class": {feature: zone(`{"class":""}`, "Polygon", square), fault: `missing-value zones.geojson row 2: class is blank, expected a pollution class a to f; ` + unclear, unknown: audit.ZoneClassUnreadable},
		"two classes": {feature: zone(`{"class":"Very Heavy (III)"}`, "Polygon", square), fault: `unknown-word zones.geojson row 2: class "Very Heavy (III)" names more than one class, e and d, expected one; ` + unclear, unknown: audit.ZoneClassUnreadable},
		"point":       {feature: zone(`{"class":"c"}`, "Point", "[1,2]"), fault: `bad-geometry zones.geojson row 2: geometry "Point" is no polygon; ` + nowhere, broken: box(-180, -90, 180, 90), anywhere: true},
		"line":        {feature: zone(`{"class":"c"}`, "LineString", "[[1,2],[3,2],[2,3]]"), fault: `bad-geometry zones.geojson row 2: geometry "LineString" is no polygon; ` + boxed, broken: wide(1, 2, 3, 3, 2*cos(2), 3)},
		"collection":  {feature: `{"type":"Feature","properties":{"class":"c"},"geometry":{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[1,2]},{"type":"Point","coordinates":[3,4]},{"type":"Point","coordinates":[3,2]}]}}`, fault: `bad-geometry zones.geojson row 2: geometry "GeometryCollection" is no polygon; ` + boxed, broken: wide(1, 2, 3, 4, 2, 4)},
		"no ring":     {feature: zone(`{"class":"c"}`, "Polygon", "[]"), fault: `bad-geometry zones.geojson row 2: geometry "Polygon" is empty; ` + nowhere, broken: box(-180, -90, 180, 90), anywhere: true},
		"no geometry": {feature: `{"type":"Feature","properties":{"class":"c"},"geometry":null}`, fault: `bad-geometry zones.geojson row 2: geometry "null" is empty; ` + nowhere, broken: box(-180, -90, 180, 90), anywhere: true},
		"no member geometry": {feature: `{"type":"Feature","properties":{"class":"x"}}`, fault: `unknown-word zones.geojson row 2: class "x" is no pollution class, expected a to f; ` + unclear + `; say what it means in the project file: words: {class: {"x": …}}` + "\n" +
			`bad-geometry zones.geojson row 2: geometry "" is empty; ` + nowhere, broken: box(-180, -90, 180, 90), anywhere: true, unknown: audit.ZoneClassUnreadable},
		"no geometry and a label": {feature: `{"type":"Feature","properties":{"class":null,"label":"coast"},"geometry":null}`, fault: `missing-value zones.geojson row 2: class is blank, expected a pollution class a to f; ` + unclear + "\n" +
			`bad-geometry zones.geojson row 2: geometry "null" is empty; ` + nowhere, broken: box(-180, -90, 180, 90), anywhere: true, unknown: audit.ZoneClassUnreadable},
		"nothing at all": {feature: `{"type":"Feature","properties":{"class":null,"fid":7},"geometry":null}`, fault: `bad-geometry zones.geojson row 2: geometry "null" is empty, and the feature states neither class nor label; the zone is left out`, out: true},
		"bbox alone": {feature: `{"type":"Feature","bbox":[9,49,100,11,51,200],"properties":{"class":"c"},"geometry":null}`,
			fault: `bad-geometry zones.geojson row 2: geometry "null" is empty; in its bbox creepage is not assessed, unless its class is no worse than the one in force there`, broken: box(9, 49, 11, 51)},
		"bbox of the geometry": {feature: `{"type":"Feature","properties":{"class":"c"},"geometry":{"type":"Polygon","coordinates":null,"bbox":[9,49,11,51]}}`,
			fault: `bad-geometry zones.geojson row 2: geometry "Polygon" is empty; in its bbox creepage is not assessed, unless its class is no worse than the one in force there`, broken: box(9, 49, 11, 51)},
		"bbox over the antimeridian": {feature: `{"type":"Feature","bbox":[170,49,-170,51],"properties":{"class":"c"},"geometry":null}`,
			fault: `bad-geometry zones.geojson row 2: geometry "null" is empty; in its bbox creepage is not assessed, unless its class is no worse than the one in force there`, broken: box(-180, 49, 180, 51)},
		"bbox upside down": {feature: `{"type":"Feature","bbox":[9,51,11,49],"properties":{"class":"c"},"geometry":null}`,
			fault: `bad-geometry zones.geojson row 2: geometry "null" is empty; ` + nowhere, broken: box(-180, -90, 180, 90), anywhere: true},
		"bbox of no size": {feature: `{"type":"Feature","bbox":[9,51,9,51],"properties":{"class":"c"},"geometry":null}`,
			fault: `bad-geometry zones.geojson row 2: geometry "null" is empty; ` + nowhere, broken: box(-180, -90, 180, 90), anywhere: true},
		"bbox of three figures": {feature: `{"type":"Feature","bbox":[9,51,9],"properties":{"class":"c"},"geometry":null}`,
			fault: `bad-geometry zones.geojson row 2: geometry "null" is empty; ` + nowhere, broken: box(-180, -90, 180, 90), anywhere: true},
		"bbox beside what is broken": {feature: `{"type":"Feature","bbox":[1,1,1.5,40],"properties":{"class":"c"},"geometry":{"type":"LineString","coordinates":[[1,1],[1,2],[1.1,1.5]]}}`,
			fault: `bad-geometry zones.geojson row 2: geometry "LineString" is no polygon; ` + boxed, broken: box(1-1/cos(2), 0, 1.1+1/cos(2), 40)},
		"traced twice": {feature: zone(`{"class":"c"}`, "Polygon", "[[[1,1],[2,1],[2,2],[1,1],[2,1],[2,2],[1,1]]]"),
			fault: `bad-geometry zones.geojson row 2: geometry "Polygon" is no valid area: ring 1, position 1: ring runs along itself again: the edge from 1, 1 lies on the edge from position 4; ` + boxed, broken: wide(1, 1, 2, 2, 1, 2)},
		"rings that wind twice": {feature: zone(`{"class":"c"}`, "Polygon", "[[[1,1],[3,1],[3,3],[1,3],[1,1],[2,1.5],[2.5,1.5],[2.5,2],[2,2],[2,1.5],[1,1]]]"),
			fault: `bad-geometry zones.geojson row 2: geometry "Polygon" is no valid area: ring 1, position 6: ring winds around an area more than once: 2 times around what lies beside 2, 1.5; ` + boxed, broken: wide(1, 1, 3, 3, 2, 3)},
		"hole twice": {feature: zone(`{"class":"c"}`, "Polygon", "[[[1,1],[3,1],[3,3],[1,3],[1,1]],[[2,1.5],[2.5,1.5],[2.5,2],[2,1.5]],[[2,1.5],[2.5,1.5],[2.5,2],[2,1.5]]]"),
			fault: `bad-geometry zones.geojson row 2: geometry "Polygon" is no valid area: ring 3: holes overlap: what lies beside 2, 1.5 is in more than one of them; ` + boxed, broken: wide(1, 1, 3, 3, 2, 3)},
		"holes that overlap": {feature: zone(`{"class":"c"}`, "MultiPolygon", "[[[[1,1],[3,1],[3,3],[1,3],[1,1]],[[2,1.5],[2.5,1.5],[2.5,2],[2,1.5]],[[2.2,1.2],[2.4,1.2],[2.4,2.5],[2.2,1.2]]]]"),
			fault: `bad-geometry zones.geojson row 2: geometry "MultiPolygon" is no valid area: ring 3, position 2: holes overlap: the edge from 2.4, 1.2 meets the edge from position 1 of ring 2; ` + boxed, broken: wide(1, 1, 3, 3, 2, 3)},
		"hole like its ring": {feature: zone(`{"class":"c"}`, "Polygon", "[[[1,1],[2,1],[2,2],[1,1]],[[1,1],[2,1],[2,2],[1,1]]]"),
			fault: `bad-geometry zones.geojson row 2: geometry "Polygon" is no valid area: ring 1: ring encloses no area: its holes are together no smaller than it; ` + boxed, broken: wide(1, 1, 2, 2, 1, 2)},
		"lost coordinate": {feature: zone(`{"class":"c"}`, "Polygon", `[[[1,1],[2,1],[2,"N2"],[1,2],[1,1]]]`),
			fault: `bad-geometry zones.geojson row 2: geometry "Polygon" has coordinates that are no positions; ` + boxed, broken: wide(1, 1, 2, 2, 1, 2)},
		"over the antimeridian": {feature: zone(`{"class":"c"}`, "LineString", "[[178,1],[178.5,1],[179,2]]"), fault: `bad-geometry zones.geojson row 2: geometry "LineString" is no polygon; ` + boxed, broken: box(-180, 0, 180, 3)},
		"round the equator":     {feature: zone(`{"class":"c"}`, "LineString", "[[10,-60],[110,-60],[110,30]]"), fault: `bad-geometry zones.geojson row 2: geometry "LineString" is no polygon; ` + boxed, broken: box(-180, -90, 180, 90)},
		"few positions":         {feature: zone(`{"class":"c"}`, "Polygon", "[[[9,49],[11,49],[9,49]]]"), fault: `bad-geometry zones.geojson row 2: geometry "Polygon" is no valid area: ring 1: too few positions: 3, and a ring needs at least 4; ` + nowhere, broken: box(-180, -90, 180, 90), anywhere: true},
		"three in a row":        {feature: zone(`{"class":"c"}`, "Polygon", "[[[9,49],[10,49],[11,49],[9,49]]]"), fault: `bad-geometry zones.geojson row 2: geometry "Polygon" is no valid area: ring 1: ring encloses no area; ` + nowhere, broken: box(-180, -90, 180, 90), anywhere: true},
		"not closed":            {feature: zone(`{"class":"c"}`, "Polygon", "[[[9,49],[11,49],[11,51],[9,51]]]"), fault: `bad-geometry zones.geojson row 2: geometry "Polygon" ring 1 is not closed: its last position is not its first; it was closed`},
		"half a ring": {feature: zone(`{"class":"c"}`, "Polygon", "[[[9,49],[10,49],[11,49],[12,49],[13,50]]]"),
			fault:  `bad-geometry zones.geojson row 2: geometry "Polygon" is no valid area: ring 1, position 5: ring not closed: it starts at 9, 49 and ends at 13, 50; ` + boxed,
			broken: wide(9, 49, 13, 50, 4*cos(49), 50)},
		"the second polygon": {feature: zone(`{"class":"c"}`, "MultiPolygon", "[[[[1,1],[2,1.5],[3,2],[1,1]]],[[[5,5],[5,6],[6,6],[6,5],[5.5,5.5],[5,7],[5,5]]]]"),
			fault: `bad-geometry zones.geojson row 2: geometry "MultiPolygon" is no valid area: polygon 1, ring 1: ring encloses no area; ` + boxed + "\n" +
				`bad-geometry zones.geojson row 2: geometry "MultiPolygon" is no valid area: polygon 2, ring 1, position 2: ring crosses itself: the edge from 5, 6 meets the edge from position 5; ` + boxed,
			broken: wide(1, 1, 3, 2, 2*cos(1), 2)},
		"out of range": {feature: zone(`{"class":"c"}`, "Polygon", "[[[9,49],[11,49],[11,91],[9,49]]]"),
			fault:  `bad-geometry zones.geojson row 2: geometry "Polygon" is no valid area: ring 1, position 3: out of range: latitude 91 is not within -90 to 90; ` + boxed,
			broken: box(-180, 8, 180, 90)},
		"heights here and there": {feature: zone(`{"class":"c"}`, "Polygon", "[[[9,49,1],[11,49],[11,51],[9,49]]]"),
			fault: `bad-geometry zones.geojson row 2: geometry "Polygon" has positions with 3 and with 2 coordinates; ` + boxed, broken: wide(9, 49, 11, 51, 2, 51)},
		"not a number": {feature: zone(`{"class":"c"}`, "Polygon", "[[[9,49],[11,NaN],[11,51],[10,51],[9,49]]]"),
			fault: `bad-geometry zones.geojson row 2: geometry "{\"type\":\"Polygon\",\"coordinates\":[[[9,49],[11,NaN],[11,51],[…" has a coordinate that is not a number; ` + boxed, broken: wide(9, 49, 11, 51, 2, 51)},
		"no position": {feature: zone(`{"class":"c"}`, "Polygon", `[[["x","y"],["x","z"]]]`),
			fault:  `bad-geometry zones.geojson row 2: geometry "Polygon" has coordinates that are no positions; where it lies cannot be told, so creepage is assessed only where its class is no worse than the one in force`,
			broken: box(-180, -90, 180, 90), anywhere: true},
		"hole outside": {feature: zone(`{"class":"c"}`, "Polygon", "[[[1,1],[2,1],[2,2],[1,1]],"+hole+"]"),
			fault: `bad-geometry zones.geojson row 2: geometry "Polygon" is no valid area: ring 2, position 1: hole outside its outer ring; ` + boxed, broken: box(1-49/cos(50), -48, 10+49/cos(50), 90)},
		"no properties and no geometry": {feature: `{"type":"Feature","properties":[],"geometry":null}`,
			fault: `bad-geometry zones.geojson row 2: feature "Feature" has properties that are no object; ` + unclear + "\n" +
				`bad-geometry zones.geojson row 2: geometry "null" is empty; ` + nowhere, broken: box(-180, -90, 180, 90), anywhere: true, unknown: audit.ZoneClassUnreadable},
		"no properties": {feature: `{"type":"Feature","properties":[],"geometry":{"type":"Polygon","coordinates":` + square + `}}`,
			fault: `bad-geometry zones.geojson row 2: feature "Feature" has properties that are no object; ` + unclear, unknown: audit.ZoneClassUnreadable},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.zones = goodZone + c.feature
			p := b.mustRead(t)
			require.Equal(t, strings.Split(c.fault, "\n"), faultsOf(p))
			if c.out {
				require.Len(t, p.Zones, 1)
				return
			}
			require.Len(t, p.Zones, 2)
			z := p.Zones[1]
			require.Equal(t, c.unknown, z.Unknown)
			require.Equal(t, c.broken != nil, z.Broken)
			require.Equal(t, c.anywhere, z.Anywhere)
			if z.Broken {
				require.InDeltaSlice(t, c.broken, z.Polygons[0].Flat, 1e-9)
			}
			for _, polygon := range z.Polygons {
				require.NoError(t, polygon.Validate())
			}
		})
	}
}

// What is sound of a zone is kept beside the box around the rest.
func TestZoneBrokenInPart(t *testing.T) {
	b := newBase()
	b.zones = zone(`{"class":"c","label":"two"}`, "MultiPolygon", "[[[[9,49],[11,49],[11,51],[9,51],[9,49]]],[[[1,1],[2,1],[3,1],[1,1]]]]")
	p := b.mustRead(t)
	require.Len(t, faultsOf(p), 1)
	require.Len(t, p.Zones, 2)
	require.False(t, p.Zones[0].InDoubt())
	require.True(t, p.Zones[1].Broken)
	require.Equal(t, []string{"two", "two"}, []string{p.Zones[0].Label, p.Zones[1].Label})
	require.Equal(t, p.Zones[0].Source, p.Zones[1].Source)
}

// A part that is not there may be anywhere near the others.
func TestZoneOfAPartWithoutARing(t *testing.T) {
	b := newBase()
	b.zones = zone(`{"class":"c"}`, "MultiPolygon", "[[],[[[9,49],[11,49],[11,51],[9,49]]]]")
	p := b.mustRead(t)
	require.Equal(t, []string{`bad-geometry zones.geojson row 1: geometry "MultiPolygon" is no valid area: polygon 1, no ring; ` +
		"in the box around it, wider by its own size on every side, creepage is not assessed, unless its class is no worse than the one in force there"}, faultsOf(p))
	require.Len(t, p.Zones, 2)
	require.False(t, p.Zones[0].InDoubt())
	require.True(t, p.Zones[1].Broken)
	require.InDelta(t, 47, p.Zones[1].Polygons[0].Bound().Min[1], 1e-9)
}

// Where a zone of unknown place is read, axes that are swapped are found all the same.
func TestSwappedAxesBesideAZoneOfUnknownPlace(t *testing.T) {
	b := newBase()
	b.zones = zone(`{"class":"c"}`, "Polygon", "[[[49,9],[51,9],[51,11],[49,9]]]") + "\n" + `{"type":"Feature","properties":{"class":"c"},"geometry":null}`
	_, err := b.read(t)
	require.ErrorContains(t, err, "the axes of one of the two files are swapped")
}

// A box is in WGS 84 where the file is projected.
func TestZoneBoxOfAProjectedFile(t *testing.T) {
	b := newBase()
	b.project = strings.Replace(b.project, "zones.geojson", "zones.geojson, crs: EPSG:32632", 1)
	b.zones = zone(`{"class":"c"}`, "Polygon", "[[[500000,5500000],[600000,5500000],[600000,5600000],[500000,5500000]]]") + "\n" +
		zone(`{"class":"c"}`, "Polygon", "[[[500000,5500000],[600000,5500000,7],[600000,5600000]]]")
	p := b.mustRead(t)
	require.Len(t, p.Zones, 2)
	want, got := p.Zones[0].Polygons[0].Bound(), p.Zones[1].Polygons[0].Bound()
	require.True(t, p.Zones[1].Broken)
	for axis, height := range [2]float64{(want.Max[1] - want.Min[1]) / math.Cos(want.Max[1]*math.Pi/180), want.Max[1] - want.Min[1]} { // about as high as wide
		require.InDelta(t, want.Max[axis]+height, got.Max[axis], 0.05)
		require.InDelta(t, want.Min[axis]-height, got.Min[axis], 0.05)
	}
	b.zones = zone(`{"class":"c"}`, "Polygon", "[[[500000,5500000],[600000,5500000],[600000,5600000],[500000,5500000]]]") + "\n" +
		`{"type":"Feature","bbox":[500000,5500000,600000,5600000],"properties":{"class":"c"},"geometry":null}`
	got = b.mustRead(t).Zones[1].Polygons[0].Bound()
	require.Less(t, got.Min[0], want.Min[0]-1, "the sides of its bbox are bent")
	require.Greater(t, got.Max[1], want.Max[1]+0.5)
	require.Less(t, got.Max[1], want.Max[1]+1.5)
}

func TestZoneSpecificCreepage(t *testing.T) {
	const square = `[[[9,49],[11,49],[11,51],[9,51],[9,49]]]`
	const unclear = "; creepage in its area is not assessed"
	root3 := math.Sqrt(3)
	for name, c := range map[string]struct {
		properties, keys, criteria string
		class                      basis.Class
		figure                     float64
		unknown                    audit.Reason
		faults                     []string
	}{
		"on phase-to-earth":       {properties: `"specific_creepage":48.5,"specific_creepage_base":"Um/√3"`, figure: 48.5},
		"on phase-to-phase":       {properties: `"specific_creepage":"28","specific_creepage_base":"phase to phase"`, figure: 28 * root3},
		"on the basis of 1986":    {properties: `"specific_creepage":48.5,"specific_creepage_base":"Um/√3"`, criteria: "creepage_basis: 1986", figure: 48.5 / root3},
		"base for the layer":      {properties: `"specific_creepage":28`, keys: ", specific_creepage_base: Um", figure: 28 * root3},
		"base for both":           {properties: `"specific_creepage":28,"specific_creepage_base":"um"`, keys: ", specific_creepage_base: Um", figure: 28 * root3},
		"class and its figure":    {properties: `"class":"b","specific_creepage":16,"specific_creepage_base":"Um"`, class: basis.ClassB},
		"class f and a figure":    {properties: `"class":"f","specific_creepage":60,"specific_creepage_base":"Um/√3"`, class: basis.ClassF, figure: 60},
		"class and own figure":    {properties: `"class":"e","specific_creepage":60,"specific_creepage_base":"Um/√3"`, criteria: "specific_creepage: {base: Um/√3, e: 60}", class: basis.ClassE},
		"own figure on the other": {properties: `"class":"e","specific_creepage":60,"specific_creepage_base":"Um/√3"`, criteria: "specific_creepage: {base: Um, e: 34.64}", class: basis.ClassE},
		"class not readable": {properties: `"class":"x","specific_creepage":60,"specific_creepage_base":"Um/√3"`, figure: 60,
			faults: []string{`unknown-word zones.geojson row 2: class "x" is no pollution class, expected a to f; the specific creepage decides`}},
		"no base": {properties: `"class":"e","specific_creepage":31`, unknown: audit.ZoneFigureUnreadable,
			faults: []string{`missing-value zones.geojson row 2: specific_creepage_base is blank, expected Um/√3 (phase-to-earth) or Um (phase-to-phase)` + unclear}},
		"base not readable": {properties: `"specific_creepage":31,"specific_creepage_base":"Un"`, keys: ", specific_creepage_base: Um", unknown: audit.ZoneFigureUnreadable,
			faults: []string{`unknown-word zones.geojson row 2: specific_creepage_base "Un" is no base of specific creepage, expected Um/√3 (phase-to-earth) or Um (phase-to-phase)` + unclear}},
		"two bases": {properties: `"specific_creepage":31,"specific_creepage_base":"Um/√3"`, keys: ", specific_creepage_base: Um", unknown: audit.ZoneFigureUnreadable,
			faults: []string{`unknown-word zones.geojson row 2: specific_creepage_base "Um/√3" contradicts the project file, which says Um` + unclear}},
		"contradicts its class": {properties: `"class":"e","specific_creepage":31,"specific_creepage_base":"Um/√3"`, unknown: audit.ZoneFigureUnreadable,
			faults: []string{`out-of-range zones.geojson row 2: specific_creepage "31" on Um/√3 is not the figure of class e, which the zone says too, expected 53.7 mm/kV or no class` + unclear}},
		"contradicts the own figure": {properties: `"class":"e","specific_creepage":53.7,"specific_creepage_base":"Um/√3"`, criteria: "specific_creepage: {base: Um/√3, e: 60}", unknown: audit.ZoneFigureUnreadable,
			faults: []string{`out-of-range zones.geojson row 2: specific_creepage "53.7" on Um/√3 is not the figure of class e, which the zone says too, expected 60 mm/kV or no class` + unclear}},
		"contradictory class": {properties: `"class":"II-III","specific_creepage":48.5,"specific_creepage_base":"Um/√3"`, unknown: audit.ZoneClassUnreadable,
			faults: []string{`unknown-word zones.geojson row 2: class "II-III" names more than one class, c and d, expected one` + unclear}},
		"no number": {properties: `"class":"e","specific_creepage":"high","specific_creepage_base":"Um"`, unknown: audit.ZoneFigureUnreadable,
			faults: []string{`not-a-number zones.geojson row 2: specific_creepage "high" is not a number` + unclear}},
		"below class a": {properties: `"specific_creepage":16,"specific_creepage_base":"Um/√3"`, unknown: audit.ZoneFigureUnreadable,
			faults: []string{`out-of-range zones.geojson row 2: specific_creepage "16" is out of range, expected 22 to 200 mm/kV on Um/√3` + unclear}},
		"below class a on Um": {properties: `"class":"a","specific_creepage":12.6,"specific_creepage_base":"Um"`, unknown: audit.ZoneFigureUnreadable,
			faults: []string{`out-of-range zones.geojson row 2: specific_creepage "12.6" is out of range, expected 12.7 to 200 mm/kV on Um` + unclear}},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.project = strings.Replace(b.project, "zones.geojson", "zones.geojson"+c.keys, 1)
			if c.criteria != "" {
				b.project += "criteria: {" + c.criteria + "}\n"
			}
			b.zones = goodZone + zone("{"+c.properties+"}", "Polygon", square)
			p := b.mustRead(t)
			require.Equal(t, c.faults, faultsOf(p))
			require.Len(t, p.Zones, 2)
			z := p.Zones[1]
			require.Equal(t, c.unknown, z.Unknown)
			require.Equal(t, c.class, z.Class)
			require.InDelta(t, c.figure, z.SpecificCreepage, 1e-9)
		})
	}
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
			`if "klass" is meant, write under zones in the project file: properties: {class: "klass"}`},
		"none usable": {zone(`{"class":"c"}`, "Polygon", "[]"),
			`zones.geojson: none of its 1 features can be used, expected polygons with a pollution class a to f in "class"`,
			`of feature 1 the geometry "Polygon" is empty; where it lies cannot be told, so creepage is assessed only where its class is no worse than the one in force`},
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
