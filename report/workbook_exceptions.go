package report

import (
	"context"
	"fmt"
	"slices"

	"dryarc/audit"
	"dryarc/audit/history"
)

// writeExceptions writes the sheet of exceptions, worst first: those that are one thing, as of three phases, in one row.
func (b *book) writeExceptions(ctx context.Context) error {
	r := b.result
	t := b.newTable(ctx, exceptionsSheet, 4, b.exceptionColumns())
	if b.decided != nil {
		t.statuses = append(t.statuses, decidedRows())
	}
	t.statuses = append(append(t.statuses, severityStatuses("Severity")...), stateStatuses("State")...)
	found := decidedFindings(r, b.decided, r.Findings())
	shown := min(len(found), b.limits.exceptions)
	for i := range found[:shown] {
		e, rec := findingRecord(r, &found[i])
		var longitude, latitude any
		if e.Structure >= 0 {
			p := r.Network.Position(e.Structure)
			longitude, latitude = p[0], p[1]
		}
		installedOn, inspected, remarks := ownTexts(r, e)
		state, firstSeen := stateOf(b.changes, &found[i])
		values := []any{rec.Severity, state.String(), rec.Line, rec.Structure, pageLink(rec.Line, rec.Structure),
			rec.StructureTo, rec.Circuit, rec.Phase, rec.Side, rec.Check, rec.Reason,
			figureCell(e.Verdict.Observed), figureCell(e.Verdict.Required), rec.Measure, shownMargin(float64(rec.Margin)) * 100, installedOf(r, e), rec.Remedy, firstSeen, longitude, latitude, rec.At.String(),
			installedOn, inspected, remarks}
		if b.decided != nil {
			first := found[i].Exceptions[0]
			said := b.decided.Filled(first)
			values = slices.Insert(values, remedyColumn+1, decisionCells(said, standingInWords(b.decided.Of(first)))...)
			values = append(values, b.idsOf(found[i].Exceptions), markText(b.decided.Mark(said, found[i].Exceptions, decidedPlace(&rec))))
		}
		for _, text := range carriedBy(r, e) {
			values = append(values, text)
		}
		if r.Project.Inspections != nil { // the last of which is the photo
			values[len(values)-1] = photoCell(values[len(values)-1].(string))
		}
		if !b.decided.Open(found[i].Exceptions[0]) {
			values = t.muted(values)
		}
		t.add(values...)
	}
	t.asksDecisions()
	t.remarkCut(shown, len(found), "findings, the worst; audit.json and exceptions.geojson have all exceptions")
	return t.finish()
}

// exceptionColumns are the columns of the sheet of exceptions.
func (b *book) exceptionColumns() []column {
	columns := []column{
		{"Severity", 8, look{}},
		{"State", 6.5, look{}},
		{"Line", 9.5, look{wrap: true}},
		{"Structure", 8, look{bold: true}},
		{"Page", 7.5, look{color: blue}},
		{"To", 6, look{}},
		{"Circuit", 6, look{}},
		{"Phase", 6, look{wrap: true}},
		{"Side", 6, look{}},
		{"Check", 14, look{wrap: true}},
		{"What is wrong", 36, look{wrap: true}},
		{"Observed", 8.5, look{format: asTenths}},
		{"Required", 8, look{format: asTenths}},
		{"Measure", 8, look{indent: 1}},
		{"Margin (%)", 7, look{format: asPercent}},
		{"Installed", 14, look{wrap: true, indent: 1}},
		{"Remedy", 26, look{wrap: true}},
		{"First seen", 9, look{}},
		{"Longitude (deg)", 9.5, look{format: asLonLat}},
		{"Latitude (deg)", 9.5, look{format: asLonLat}},
		{"Read from", 21, look{wrap: true, indent: 1, color: slateSoft}},
		{"Installed on", 10, look{}},
		{"Inspected on", 10, look{}},
		{"Remarks", 24, look{wrap: true}},
	}
	if b.decided != nil {
		columns = append(slices.Insert(columns, remedyColumn+1, decisionColumns()...), idColumns()...)
	}
	taken := make([]string, len(columns))
	for i := range columns {
		taken[i] = columns[i].heading
	}
	for _, name := range exceptionCarriedNames(b.result, taken...) {
		columns = append(columns, column{name, 14, look{wrap: true}})
	}
	return columns
}

// decidedPlace is where a row is, as its cells have it.
func decidedPlace(rec *record) history.Place {
	return history.Place{Line: rec.Line, Structure: rec.Structure, Check: rec.Check, To: rec.StructureTo, Circuit: rec.Circuit, Phase: rec.Phase, Side: rec.Side}
}

// remedyColumn is where the column Remedy stands, behind which people decide.
const remedyColumn = 16

// remarkCut says below a table that it was cut, or that it holds nothing.
func (t *table) remarkCut(shown, of int, what string) {
	switch {
	case of == 0:
		t.remark("None.")
	case shown < of:
		t.remark(fmt.Sprintf("%s of %s %s.", grouped(shown), grouped(of), what))
	}
}

func (p *origin) String() string {
	if p == nil {
		return ""
	}
	return fmt.Sprintf("%s row %d", audit.Table{File: p.File, Sheet: p.Sheet}, p.Row)
}
