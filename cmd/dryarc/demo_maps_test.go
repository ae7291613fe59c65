package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"github.com/tidwall/geodesic"
)

func demoStructuresGeoJSON(network demoNetwork) []byte {
	var features []string
	for _, line := range network.inOrder() {
		for _, s := range line.structures {
			features = append(features, fmt.Sprintf(
				`{"type":"Feature","properties":{"line":%q,"structure":%q,"sequence":%d,"ground_m":%.1f,"attachment_m":%.1f},"geometry":{"type":"Point","coordinates":%s}}`,
				line.id, s.number, s.sequence, s.groundM, s.attachmentM, s.at))
		}
	}
	return demoCollection(features)
}

// demoZonesGeoJSON draws a salt shore inside a wider coastal belt, both across the coast line, and the surroundings of
// a cement works at the inland substation. Borders cross a line in the middle of a span.
func demoZonesGeoJSON(network demoNetwork) []byte {
	coast := network.coast.structures
	shore, shoreAzimuth := demoSpanPoint(coast, 1, -1.1)
	salt, saltAzimuth := demoSpanPoint(coast, 6, 0.5)
	belt, beltAzimuth := demoSpanPoint(coast, 15, 0.5)
	works := coast[59].at
	outline := []demoPoint{}
	for i, radiusM := range []float64{1420, 1480, 1450, 1400, 1430, 1450, 1420, 1460} {
		outline = append(outline, demoOffset(works, 11+45*float64(i), radiusM))
	}
	return demoCollection([]string{
		demoZone("d", "coastal belt", []demoPoint{
			demoOffset(shore, shoreAzimuth-88, 4200), demoOffset(shore, shoreAzimuth-95, 1900), shore,
			demoOffset(shore, shoreAzimuth+94, 2300), demoOffset(shore, shoreAzimuth+86, 4300),
			demoOffset(belt, beltAzimuth+95, 3900), demoOffset(belt, beltAzimuth+86, 2000), belt,
			demoOffset(belt, beltAzimuth-93, 1800), demoOffset(belt, beltAzimuth-88, 4100),
		}),
		demoZone("e", "Skarrow salt shore", []demoPoint{
			demoOffset(shore, shoreAzimuth-95, 1900), shore, demoOffset(shore, shoreAzimuth+94, 2300),
			demoOffset(salt, saltAzimuth+92, 2500), salt, demoOffset(salt, saltAzimuth-87, 2100),
		}),
		demoZone("c", "Dunmarrow cement works", outline),
	})
}

// demoCrossingsGeoJSON draws what the river line crosses, each across the middle of one span.
func demoCrossingsGeoJSON(network demoNetwork) []byte {
	line := network.river.structures
	nearBank, azimuth := demoSpanPoint(line, demoRiverAhead, 0.16)
	farBank, _ := demoSpanPoint(line, demoRiverAhead, 0.83)
	river := []demoPoint{
		demoOffset(nearBank, azimuth-82, 3100), demoOffset(nearBank, azimuth-97, 1300), nearBank,
		demoOffset(nearBank, azimuth+84, 1500), demoOffset(nearBank, azimuth+98, 3000),
		demoOffset(farBank, azimuth+97, 2900), demoOffset(farBank, azimuth+83, 1500), farBank,
		demoOffset(farBank, azimuth-98, 1400), demoOffset(farBank, azimuth-83, 3000),
	}
	return demoCollection([]string{
		demoFeature("kind", "river", "River Orvel", "Polygon", demoRing(river)),
		demoCrossingLine("railway", "Fennock mineral railway", line, demoRailAhead, 0.55, 76),
		demoCrossingLine("road", "Orvel valley road", line, demoRoadAhead, 0.45, 101),
		demoCrossingLine("line", "old 66 kV line of the quarries, not in this register", line, demoOtherAhead, 0.5, 84),
	})
}

// demoPlacesGeoJSON names places of the island, those that people know first by rank.
func demoPlacesGeoJSON(network demoNetwork) []byte {
	coast, river := network.coast.structures, network.river.structures
	var features []string
	for _, place := range []struct {
		name                string
		rank                int
		by                  demoPoint
		azimuthDeg, offsetM float64
	}{
		{"Dunmarrow", 1, coast[59].at, 60, 2300},
		{"Skarrow", 2, coast[2].at, 190, 1900},
		{"Orvelmouth", 2, river[0].at, 250, 2100},
		{"Fennock", 3, river[demoRailAhead].at, 100, 1800},
		{"Hallin Quarries", 4, river[demoOtherAhead].at, 300, 2400},
		{"Brannoch Moor", 5, coast[30].at, 20, 2600},
	} {
		features = append(features, fmt.Sprintf(`{"type":"Feature","properties":{"name":%q,"rank":%d},"geometry":{"type":"Point","coordinates":%s}}`,
			place.name, place.rank, demoOffset(place.by, place.azimuthDeg, place.offsetM)))
	}
	return demoCollection(features)
}

func demoCrossingLine(kind, label string, line []demoStructure, ahead int, share, angleDeg float64) string {
	middle, azimuth := demoSpanPoint(line, ahead, share)
	return demoFeature("kind", kind, label, "LineString", demoPositions([]demoPoint{
		demoOffset(middle, azimuth-angleDeg-9, 1700), demoOffset(middle, azimuth-angleDeg, 600), middle,
		demoOffset(middle, azimuth-angleDeg+180, 500), demoOffset(middle, azimuth-angleDeg+171, 1600),
	}))
}

// demoSpanPoint is a position on the span ahead of a structure, as a share of the span, and the azimuth of the span.
func demoSpanPoint(line []demoStructure, ahead int, share float64) (demoPoint, float64) {
	from, to := line[ahead-1].at, line[ahead].at
	var lengthM, azimuthDeg float64
	geodesic.WGS84.Inverse(from.lat, from.lon, to.lat, to.lon, &lengthM, &azimuthDeg, nil)
	return demoOffset(from, azimuthDeg, share*lengthM), azimuthDeg
}

func demoZone(class, label string, outline []demoPoint) string {
	return demoFeature("class", class, label, "Polygon", demoRing(outline))
}

func demoFeature(key, value, label, geometry, coordinates string) string {
	return fmt.Sprintf(`{"type":"Feature","properties":{%q:%q,"label":%q},"geometry":{"type":%q,"coordinates":%s}}`,
		key, value, label, geometry, coordinates)
}

// demoRing closes an outline, counterclockwise as RFC 7946 asks.
func demoRing(outline []demoPoint) string {
	doubled := 0.0
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		doubled += p.lon*q.lat - q.lon*p.lat
	}
	ring := slices.Clone(outline)
	if doubled < 0 {
		slices.Reverse(ring)
	}
	return "[" + demoPositions(append(ring, ring[0])) + "]"
}

func demoPositions(points []demoPoint) string {
	positions := make([]string, len(points))
	for i, p := range points {
		positions[i] = p.String()
	}
	return "[" + strings.Join(positions, ",") + "]"
}

func (p demoPoint) String() string { return fmt.Sprintf("[%.7f,%.7f]", p.lon, p.lat) }

// demoCollection writes one feature a line, so that a change shows where it is.
func demoCollection(features []string) []byte {
	var b bytes.Buffer
	b.WriteString("{\"type\":\"FeatureCollection\",\"features\":[\n")
	b.WriteString(strings.Join(features, ",\n"))
	b.WriteString("\n]}\n")
	return b.Bytes()
}
