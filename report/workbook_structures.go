package report

import (
	"context"
	"fmt"
	"strings"
)

// writeStructures writes the sheet of structures with their geometry. Of a network beyond the limit it takes only the
// structures that have exceptions.
func (b *book) writeStructures(ctx context.Context) error {
	r := b.result
	t := b.newTable(ctx, structuresSheet, 2, []column{
		{"Line", 14, look{}},
		{"Structure", 11, look{bold: true}},
		{"Chainage (m)", 11, look{format: asTenths}},
		{"Span back (m)", 10, look{format: asTenths}},
		{"Span ahead (m)", 11, look{format: asTenths}},
		{"Wind span (m)", 9, look{format: asTenths}},
		{"Weight span, cold (m)", 10, look{format: asTenths}},
		{"Deviation (deg, right +)", 12, look{format: asDegrees}},
		{"Role", 10, look{indent: 1}},
		{"Family", 9, look{}},
		{"Requires", 11, look{}},
		{"Pollution class", 9, look{align: "center"}},
		{"Ground (m)", 10, look{format: asTenths}},
		{"Span ahead crosses", 16, look{indent: 1, wrap: true}},
		{"Geometry", 9, look{color: ochre}},
		{"Longitude (deg)", 11, look{format: asLonLat}},
		{"Latitude (deg)", 11, look{format: asLonLat}},
		{"Exceptions", 10.5, look{format: asCount}},
	})
	counts := exceptionsByStructure(r)
	total, shown := r.Network.StructureCount(), 0
	all := total <= b.limits.structures
	for l := range r.Network.Lines {
		line := &r.Network.Lines[l]
		for i := line.First; i < line.End && shown < b.limits.structures; i++ {
			if !all && counts[i] == 0 {
				continue
			}
			shown++
			s := r.Network.Structure(l, i)
			rec := structureRecordOf(r, &s)
			var exceptions any
			if r.Lines[l].Assessed {
				exceptions = marked(int(counts[i]))
			}
			t.add(rec.Line, rec.Structure, rec.ChainageM, rec.SpanBackM, rec.SpanAheadM, rec.WindSpanM, rec.WeightSpanM,
				rec.DeviationDeg, string(rec.Role), string(rec.Family), string(rec.Requires), string(rec.ZoneClass), rec.GroundM,
				strings.Join(rec.Crosses, ", "), doubtfulWord(s.Doubtful), degrees(s.Position[0]), degrees(s.Position[1]), exceptions)
		}
	}
	if !all {
		t.remark(fmt.Sprintf("%s of %s structures: only those with exceptions; structures.geojson has all.", grouped(shown), grouped(total)))
	}
	return t.finish()
}

func doubtfulWord(doubtful bool) string {
	if doubtful {
		return "doubtful"
	}
	return ""
}
