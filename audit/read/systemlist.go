package read

import "fmt"

// Systems lists the reference systems of positions that are read beside WGS 84 longitude and latitude, by codes and name, each
// in a line.
func Systems() []string {
	const projected, geographic = "easting and northing, transformed to WGS 84", "longitude and latitude, taken as WGS 84"
	var list []string
	add := func(first, last int, name, how string) {
		codes := fmt.Sprintf("EPSG:%d", first)
		if last > first {
			codes += fmt.Sprintf(" to %d", last)
		}
		list = append(list, fmt.Sprintf("%s: %s: %s", codes, name, how))
	}
	for _, g := range families() {
		add(g.first, g.last, g.name, projected)
	}
	add(webMercator, webMercator, "Web Mercator", projected)
	for _, g := range geographics() {
		add(g.code, g.code, g.name, geographic)
	}
	return list
}
