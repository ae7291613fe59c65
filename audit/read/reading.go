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
	layer := func(section, name, crs string, encoding textEncoding, of *choice, properties ...wantedProperty) {
		fmt.Fprintf(&b, "%s %q %q\n", section, name, crs)
		encoding.reading(&b)
		for _, p := range properties {
			fmt.Fprintf(&b, "%s %q %q\n", p.key, p.property.name, p.property.in.names)
		}
		of.reading(&b)
	}
	f.structures.decimal.reading(&b)
	if f.structures.oneLine != "" {
		fmt.Fprintf(&b, "structures fixed line %q\n", f.structures.oneLine)
	}
	layer("structures", f.structures.layer, f.structures.crs, f.structures.encoding, &f.structures.choice, f.structures.wanted()...)
	layer("routes", f.routes.layer, f.routes.crs, f.routes.encoding, &f.routes.choice, wantedProperty{key: "line", property: f.routes.line})
	layer("zones", f.zones.layer, f.zones.crs, f.zones.encoding, &f.zones.choice, f.zones.wanted()...)
	layer("crossings", f.crossings.layer, f.crossings.crs, f.crossings.encoding, &f.crossings.choice, wantedProperty{key: "kind", property: f.crossings.kind})
	if len(f.places.files) > 0 { // else as a project file of before places
		f.places.decimal.reading(&b)
		layer("places", f.places.layer, f.places.crs, f.places.encoding, &f.places.choice, f.places.wanted()...)
	}
	f.terrain.reading(&b)
	fmt.Fprintf(&b, "specific creepage base %s\nregister %t\n", f.zones.base, f.register.scheduleOnly)
	for i := range f.register.entries {
		if len(f.register.entries) > 1 { // else the inputs tell
			fmt.Fprintf(&b, "entry %q\n", f.register.entries[i].files)
		}
		f.register.entries[i].reading(&b)
	}
	f.inspections.reading(&b)
	b.WriteString(f.words.reading())
	return b.String()
}

// reading is what an entry of the register says of how its files are to be read. What it says in an order that matters, as the
// entries themselves, stands in that order.
func (e *registerEntry) reading(b *strings.Builder) {
	for _, sheet := range slices.Sorted(maps.Keys(e.columns)) {
		columns := e.columns[sheet]
		for _, column := range slices.Sorted(maps.Keys(columns)) {
			fmt.Fprintf(b, "%q %q %q %q\n", sheet, column, columns[column].name, columns[column].in.names)
			for _, h := range columns[column].phases {
				fmt.Fprintf(b, "phase %q %q %q\n", h.phase, h.name, h.in.names)
			}
		}
	}
	readingOfFixed(b, e.fixed)
	fmt.Fprintf(b, "fill down %q\n", e.fillDown)
	for _, use := range slices.SortedFunc(slices.Values(e.sheets), func(x, y sheetUse) int { return strings.Compare(x.name, y.name) }) {
		fmt.Fprintf(b, "sheet %q %q\n", use.name, use.kind)
		readingOfFixed(b, use.fixed)
		fmt.Fprintf(b, "fill down %q\n", use.fillDown)
	}
	e.encoding.reading(b)
	e.decimal.reading(b)
	e.choice.reading(b)
}

func readingOfFixed(b *strings.Builder, fixed []fixedValue) {
	for _, f := range slices.SortedStableFunc(slices.Values(fixed), func(x, y fixedValue) int { return strings.Compare(x.column, y.column) }) {
		fmt.Fprintf(b, "fixed %q %q\n", f.column, f.text)
	}
}

func (c *choice) reading(b *strings.Builder) {
	for _, o := range slices.SortedStableFunc(slices.Values(c.only), func(x, y onlyValues) int { return strings.Compare(x.name, y.name) }) {
		fmt.Fprintf(b, "only %q %q\n", o.name, slices.Sorted(maps.Keys(o.keys)))
	}
	if len(c.carry) > 0 {
		fmt.Fprintf(b, "carry %q\n", c.carry)
	}
}
