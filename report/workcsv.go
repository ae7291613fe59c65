package report

import (
	"context"
	"io"

	"dryarc/audit"
	"dryarc/audit/remedy"
)

// writeWorkCSV writes every job as a row of values, in the order of doing.
func writeWorkCSV(ctx context.Context, w io.Writer, r *audit.Result, jobs []remedy.Job) error {
	t := newCSV(ctx, w, "rank", "line", "structure", "lon", "lat", "severity", "danger", "short_by_percent", "findings", "hangs", "to_hang", "fit", "remove", "sets",
		"price", "open", "stopped_by", "chosen_from", "run")
	rows := workRows(r, jobs)
	for i := range rows {
		x := &rows[i]
		p := r.Network.Position(x.job.Structure)
		t.add(x.rank, x.line, x.structure, p[0], p[1], x.why.Severity.String(), x.why.Danger.String(), x.shortagePercent(), x.findings, x.hangs, x.toHang, unitsInWords(x.fit),
			unitsInWords(x.remove), x.sets, x.price, x.open, x.stoppedBy, x.chooses, r.Run.ID)
	}
	return t.end()
}

// writeMaterialCSV writes what the work takes, each item in all (without a line) and then by line.
func writeMaterialCSV(ctx context.Context, w io.Writer, r *audit.Result, jobs []remedy.Job) error {
	t := newCSV(ctx, w, "item", "type", "line", "fit", "remove", "structures", "price_each", "price", "run")
	rows := materialRows(r, workRows(r, jobs))
	for i := range rows {
		m := &rows[i]
		t.add(m.item, m.name, m.line, m.fit, m.remove, m.structures, m.each, m.price(), r.Run.ID)
	}
	return t.end()
}
