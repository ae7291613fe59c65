package report

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
)

// writeStructures writes the sheet of structures with their geometry and, of the lines that were assessed, what each needs, whatever hangs there.
func (b *book) writeStructures(ctx context.Context) error {
	r := b.result
	columns := []column{
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
	}
	if tellsLevels(r) {
		ground := slices.IndexFunc(columns, func(c column) bool { return c.heading == "Ground (m)" })
		columns = slices.Insert(columns, ground+1, column{"Ground from", 16, look{wrap: true, indent: 1}}, column{"Ground σ (m)", 8, look{format: asTenths}})
	}
	t := b.newTable(ctx, structuresSheet, 2, columns)
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
	listed := func(structure int) bool { return counts[structure] > 0 || total <= b.limits.structures }
	type stretch struct{ line, first, end int }
	var stretches []stretch
	var rows []int // of each stretch
	for l := range r.Network.Lines {
		line := &r.Network.Lines[l]
		open := false
		for i := line.First; i < line.End && shown < b.limits.structures; i++ {
			if !listed(i) {
				continue
			}
			if shown++; schedules[l].Of(i-line.First) == nil {
				unasked++
			}
			if last := len(rows) - 1; open && rows[last] < partRows {
				rows[last]++
				stretches[last].end = i + 1
				continue
			}
			open = true
			stretches, rows = append(stretches, stretch{l, i, i + 1}), append(rows, 1)
		}
	}
	t.addParts(rows, func(part int, t *table) {
		of := stretches[part]
		cells, s := make([]any, 0, len(t.columns)), new(audit.Structure)
		for i := of.first; i < of.end; i++ {
			if listed(i) {
				*s = r.Network.Structure(of.line, i)
				cells = structureCells(cells[:0], r, s, counts[i], &schedules[of.line])
				t.add(cells...)
			}
		}
	})
	if shown < total {
		t.remark(sentenceCase(b.cutStructures(shown, total, len(counts))) + ".")
	}
	if unasked > 0 {
		t.remark(fmt.Sprintf("%s of lines that were not chosen: what they need is left out.", counted(unasked, "structure", "structures")))
	}
	return t.finish()
}

// structureCells appends the cells of a structure.
func structureCells(cells []any, r *audit.Result, s *audit.Structure, exceptions uint32, schedule *audit.Schedule) []any {
	needed := schedule.Of(s.Index - r.Network.Lines[s.Line].First)
	rec := structureRecordWith(r, s, needed)
	var excepted any
	if r.Lines[s.Line].Assessed {
		excepted = int(exceptions)
	}
	cells = append(cells, rec.Line, rec.Structure, excepted, string(rec.Role), string(rec.Requires))
	if needed != nil {
		q := requirementAt(r, s, string(rec.Requires), needed, schedule)
		cells = append(cells, q.duty, string(rec.ZoneClass), metres(q.creepageMM), q.unit, q.units, q.installedUnits, q.installed, q.governs, q.lengthMM,
			q.ratingKN, q.strings, yesOrBlank(q.levelAssumed), yesOrBlank(q.unitAssumed))
	} else {
		cells = append(cells, nil, string(rec.ZoneClass), nil, nil, nil, nil, nil, nil, nil, nil, nil, nil, nil)
	}
	cells = append(cells, rec.ChainageM, rec.SpanBackM, rec.SpanAheadM, rec.WindSpanM, rec.WeightSpanM, rec.DeviationDeg, string(rec.Family), rec.GroundM)
	if rec.level.from != "" {
		cells = append(cells, rec.level.from, metres(rec.level.errorM))
	}
	return append(cells, strings.Join(rec.Crosses, ", "), doubtfulWord(s.Doubtful), degrees(s.Position[0]), degrees(s.Position[1]))
}

// cutStructures says which structures the sheet holds of a network beyond its limit: those with exceptions, as far as there is room.
func (b *book) cutStructures(shown, total, excepted int) string {
	which := fmt.Sprintf("%s of %s structures, those with exceptions", grouped(shown), grouped(total))
	if shown < excepted {
		which = fmt.Sprintf("%s of %s structures, the first of the %s with exceptions", grouped(shown), grouped(total), grouped(excepted))
	}
	return fmt.Sprintf("%s, as there are more than %s; %s, and the output requirements.csv, on request, what each needs", which, grouped(b.limits.structures), b.wholeAt)
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
