package report

import (
	"context"
	"fmt"
	"strings"
)

// writeStructures writes the sheet of structures with their geometry and, of the lines that were assessed, what each needs, whatever hangs there.
func (b *book) writeStructures(ctx context.Context) error {
	r := b.result
	t := b.newTable(ctx, structuresSheet, 2, []column{
		{"Line", 12, look{}},
		{"Structure", 9, look{bold: true}},
		{"Exceptions", 10, look{format: asCount}},
		{"Role", 9, look{indent: 1}},
		{"Requires", 10, look{}},
		{"Duty required", 10, look{}},
		{"Pollution class", 8.5, look{align: "center"}},
		{"Creepage required (mm)", 9, look{format: asTenths}},
		{"Reference unit", 12, look{indent: 1}},
		{"Units required", 8, look{format: asCount, bold: true}},
		{"Units installed", 8, look{format: asCount}},
		{"Other strings installed", 30, look{wrap: true, indent: 1}},
		{"Governing check", 16.5, look{indent: 1}},
		{"String length (mm)", 8, look{format: asCount}},
		{"Rating required (kN)", 8, look{format: asTenths}},
		{"Strings required", 8, look{format: asCount}},
		{"Level assumed", 8.5, look{indent: 1}},
		{"Unit assumed", 8.5, look{}},
		{"Chainage (m)", 10, look{format: asTenths}},
		{"Span back (m)", 8, look{format: asTenths}},
		{"Span ahead (m)", 8, look{format: asTenths}},
		{"Wind span (m)", 8, look{format: asTenths}},
		{"Weight span, cold (m)", 9, look{format: asTenths}},
		{"Deviation (deg, right +)", 9, look{format: asDegrees}},
		{"Family", 8.5, look{indent: 1}},
		{"Ground (m)", 8, look{format: asTenths}},
		{"Span ahead crosses", 15, look{indent: 1, wrap: true}},
		{"Geometry", 8.5, look{color: ochre}},
		{"Longitude (deg)", 10.5, look{format: asLonLat}},
		{"Latitude (deg)", 10, look{format: asLonLat}},
	})
	t.statuses = []status{
		{heading: "Exceptions", when: "{Exceptions}>0", look: look{bold: true, color: ochre}},
		{heading: "Units installed", when: "AND(ISNUMBER({Units installed}),ISNUMBER({Units required}),{Units installed}<{Units required})", look: lessLook},
	}
	schedules, err := r.Schedules(ctx)
	if err != nil {
		return err
	}
	counts := exceptionsByStructure(r)
	total, shown, unasked := r.Network.StructureCount(), 0, 0
	for l := range r.Network.Lines {
		line := &r.Network.Lines[l]
		for i := line.First; i < line.End && shown < b.limits.structures; i++ {
			if counts[i] == 0 && total > b.limits.structures {
				continue
			}
			shown++
			s := r.Network.Structure(l, i)
			rec := structureRecordOf(r, &s)
			var exceptions any
			if r.Lines[l].Assessed {
				exceptions = int(counts[i])
			}
			cells := append(make([]any, 0, len(t.columns)), rec.Line, rec.Structure, exceptions, string(rec.Role), string(rec.Requires))
			if at := i - line.First; schedules[l].Of(at) != nil {
				q := requirementOf(r, l, at, &schedules[l])
				cells = append(cells, q.duty, string(rec.ZoneClass), metres(q.creepageMM), q.unit, q.units, q.installedUnits, q.installed, q.governs, q.lengthMM,
					q.ratingKN, q.strings, yesOrBlank(q.levelAssumed), yesOrBlank(q.unitAssumed))
			} else {
				unasked++
				cells = append(cells, nil, string(rec.ZoneClass), nil, nil, nil, nil, nil, nil, nil, nil, nil, nil, nil)
			}
			t.add(append(cells, rec.ChainageM, rec.SpanBackM, rec.SpanAheadM, rec.WindSpanM, rec.WeightSpanM, rec.DeviationDeg, string(rec.Family), rec.GroundM,
				strings.Join(rec.Crosses, ", "), doubtfulWord(s.Doubtful), degrees(s.Position[0]), degrees(s.Position[1]))...)
		}
	}
	if shown < total {
		t.remark(sentenceCase(b.cutStructures(shown, total, withExceptions(counts))) + ".")
	}
	if unasked > 0 {
		t.remark(fmt.Sprintf("%s of lines that were not chosen: what they need is left out.", counted(unasked, "structure", "structures")))
	}
	return t.finish()
}

// cutStructures says which structures the sheet holds of a network beyond its limit: those with exceptions, as far as there is room.
func (b *book) cutStructures(shown, total, excepted int) string {
	which := fmt.Sprintf("%s of %s structures, those with exceptions", grouped(shown), grouped(total))
	if shown < excepted {
		which = fmt.Sprintf("%s of %s structures, the first of the %s with exceptions", grouped(shown), grouped(total), grouped(excepted))
	}
	return fmt.Sprintf("%s, as there are more than %s; %s, and the output requirements.csv, on request, what each needs", which, grouped(b.limits.structures), b.wholeAt)
}

// withExceptions counts the structures that have any.
func withExceptions(counts []uint32) (n int) {
	for _, count := range counts {
		if count > 0 {
			n++
		}
	}
	return n
}

func doubtfulWord(doubtful bool) string {
	if doubtful {
		return "doubtful"
	}
	return ""
}

func yesOrBlank(yes bool) string {
	if yes {
		return "yes"
	}
	return ""
}
