package report

import (
	"context"
	"io"
	"strings"

	"dryarc/audit"
)

// writeWorkCSV writes every job as a row of values, in the order of doing.
func writeWorkCSV(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	rows := a.rows(r)
	names := []string{"rank", "line", "structure", "lon", "lat", "page", "severity", "danger", "short_by_percent", "findings", "hangs", "to_hang", "fit", "remove", "sets",
		"price", "fit_after_look", "sets_after_look", "price_after_look", "fit_fewer_by", "remove_fewer_by", "remove_not_known", "open", "stopped_by", "chosen_from"}
	factors := factorNames(rows)
	if factors != nil {
		names = append(names, "score", "counts", "consequence", "consequence_of_mean", "consequence_band", "factors_for", "not_known")
		for _, name := range factors {
			names = append(names, "factor_"+name)
		}
	}
	if a.decisions() != nil {
		names = append(names, workDecisionNames...)
	}
	names = append(names, carriedNames(r, append(names, "run")...)...)
	t := newCSV(ctx, w, append(names, "run")...) // by which a file is known: it stands last
	for i := range rows {
		x := &rows[i]
		p := r.Network.Position(x.job.Structure)
		values := []any{x.rank, x.line, x.structure, p[0], p[1], pageAddress(x.line, x.structure), x.why.Severity.String(), x.why.Danger.String(), x.shortagePercent(), x.findings, x.hangs,
			x.toHang, unitsInWords(x.fit), unitsInWords(x.remove), x.sets, x.price, unitsInWords(x.afterLook.fit), x.afterLook.sets, x.afterLook.price, unitsInWords(x.fewer), unitsInWords(x.removeFewer), strings.Join(x.uncounted, "; "), x.open, x.stoppedBy, x.chooses}
		if c := &x.why.Consequence; factors != nil {
			values = append(values, x.score(), x.why.Counts, c.Known, c.OfMean, c.Band, factorsFor(&x.why), notKnown(&x.why))
			values = append(values, factorValues(&x.why)...)
		}
		if a.decisions() != nil {
			for _, text := range workDecisionTexts(&x.said) {
				values = append(values, text)
			}
		}
		for _, text := range x.carried {
			values = append(values, text)
		}
		t.add(append(values, r.Run.ID)...)
	}
	return t.end()
}

// writeMaterialCSV writes what the work takes by item and line; that of accepted jobs apart. No row is the sum of others, so that what is
// added up counts once.
func writeMaterialCSV(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	names := []string{"item", "type", "line", "fit", "remove", "structures", "price_each", "price", "fit_after_look", "price_after_look", "fit_fewer_by", "remove_fewer_by", "remove_not_known_at"}
	if a.decisions() != nil {
		names = append(names, "accepted_fit", "accepted_remove", "accepted_structures", "accepted_fit_after_look", "accepted_fit_fewer_by", "accepted_remove_fewer_by", "accepted_remove_not_known_at")
	}
	t := newCSV(ctx, w, append(names, "run")...)
	rows := materialRows(r, a.rows(r))
	for i := range rows {
		m := &rows[i]
		if m.at < 0 {
			continue
		}
		values := []any{m.item, m.name, m.line, m.fit, m.remove, m.structures, m.each, m.price(), m.afterLook, m.priceAfterLook(), m.fewer, m.removeFewer, m.uncounted}
		if a.decisions() != nil {
			values = append(values, m.accepted.fit, m.accepted.remove, m.accepted.structures, m.accepted.afterLook, m.accepted.fewer, m.accepted.removeFewer, m.accepted.uncounted)
		}
		t.add(append(values, r.Run.ID)...)
	}
	return t.end()
}
