package read

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// reading is what the project file says of how its inputs are to be read, as one text that is the same whatever the order
// in which it says so. A name that is stated as it would be looked for makes no difference.
func (f *projectFile) reading() string {
	var b strings.Builder
	layer := func(section, name, crs string, properties []wantedProperty) {
		fmt.Fprintf(&b, "%s %q %q\n", section, name, crs)
		for _, p := range properties {
			fmt.Fprintf(&b, "%s %q %q\n", p.key, p.property.name, p.property.in.names)
		}
	}
	layer("structures", f.structures.layer, f.structures.crs, f.structures.wanted())
	layer("routes", f.routes.layer, f.routes.crs, []wantedProperty{{key: "line", property: f.routes.line}})
	layer("zones", f.zones.layer, f.zones.crs, []wantedProperty{{key: "class", property: f.zones.class}, {key: "label", property: f.zones.label},
		{key: "specific_creepage", property: f.zones.specificCreepage}, {key: "specific_creepage_base", property: f.zones.creepageBase}})
	layer("crossings", f.crossings.layer, f.crossings.crs, []wantedProperty{{key: "kind", property: f.crossings.kind}})
	fmt.Fprintf(&b, "specific creepage base %s\nregister %t %q\n", f.zones.base, f.register.scheduleOnly, f.register.sheets)
	for _, sheet := range slices.Sorted(maps.Keys(f.register.columns)) {
		columns := f.register.columns[sheet]
		for _, column := range slices.Sorted(maps.Keys(columns)) {
			fmt.Fprintf(&b, "%q %q %q %q\n", sheet, column, columns[column].name, columns[column].in.names)
		}
	}
	b.WriteString(f.words.reading())
	return b.String()
}
