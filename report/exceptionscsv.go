package report

import (
	"context"
	"io"

	"dryarc/audit"
)

// writeExceptionsCSV writes every exception as a row of values, worst first, with the members of audit.json as columns
// and the position of the structure. The run stands last, where verifying looks for it.
func writeExceptionsCSV(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	heading := []string{"id", "check", "severity", "line", "structure", "structure_to", "circuit", "phase", "side", "observed", "required",
		"measure", "margin", "reason", "remedy", "state", "first_seen", "lon", "lat", "file", "sheet", "row", "installed", "inspected", "remarks"}
	changes := a.since(r)
	if changes.Decided != nil {
		heading = append(heading, decidedNames...)
	}
	t := newCSV(ctx, w, append(append(heading, exceptionCarriedNames(r, append(heading, "run")...)...), "run")...)
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		rec := toldOf(r, changes, i)
		var lon, lat, row any
		if e.Structure >= 0 {
			p := r.Network.Position(e.Structure)
			lon, lat = p[0], p[1]
		}
		at := origin{}
		if rec.At != nil {
			at, row = *rec.At, int(rec.At.Row)
		}
		installedOn, inspected, remarks := ownTexts(r, e)
		values := []any{rec.ID, rec.Check, rec.Severity, rec.Line, rec.Structure, rec.StructureTo, rec.Circuit, rec.Phase, rec.Side,
			plainValue(e.Verdict.Observed), plainValue(e.Verdict.Required), rec.Measure, shownMargin(float64(rec.Margin)), rec.Reason, rec.Remedy, rec.State, rec.FirstSeen,
			lon, lat, at.File, at.Sheet, row, installedOn, inspected, remarks}
		if changes.Decided != nil {
			texts := decidedTexts(changes.Decided.Of(i))
			values = append(values, texts[0], texts[1])
		}
		for _, text := range carriedBy(r, e) {
			values = append(values, text)
		}
		t.add(append(values, r.Run.ID)...)
	}
	return t.end()
}

// plainValue is a figure as a number, or a word as a text.
func plainValue(v audit.Value) any {
	if v.Word != "" {
		return v.Word
	}
	return v.Number
}
