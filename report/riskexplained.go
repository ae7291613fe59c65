package report

import (
	"context"
	"fmt"
	"io"
	"strings"

	"dryarc/audit"
	"dryarc/audit/risk"
)

// RiskExplained prints how the risk of each assembly at a structure comes about, by every kind that the project states figures for, and what they
// come to together; nothing where it states none. r is of the line alone.
func RiskExplained(ctx context.Context, w io.Writer, r *audit.Result, line, structure int) error {
	n := r.Network
	list := risk.Explain(n, line, structure)
	if len(list) == 0 {
		return nil
	}
	ranked, err := risk.Rank(ctx, r, r.Workers())
	if err != nil {
		return err
	}
	print := func(steps []audit.Step) {
		var text strings.Builder
		Derivation(&text, steps)
		fmt.Fprint(w, indent(text.String()))
	}
	fmt.Fprintf(w, "\nrisk, for the ranking of audit --also risk\n")
	for i := range list {
		e := &list[i]
		fmt.Fprintf(w, "\n  %s, %s\n", e.Kind, whereInWords(n, &audit.Derivation{At: e.At, Subject: e.Of}))
		if e.Lack != "" {
			fmt.Fprintf(w, "    not assessed: %s\n", Visible(string(e.Lack)))
		} else {
			steps := e.String.Steps(n.Criteria(line).Risk.Measure)
			if e.Kind == risk.Pollution {
				steps = append(steps, e.StringsStep())
			}
			print(steps)
		}
		if i+1 < len(list) && list[i+1].Kind == e.Kind || e.Kind != risk.Pollution {
			continue
		}
		if place := ranked.Place(e.Kind, structure); place != nil {
			fmt.Fprintf(w, "\n  %s, all that hangs here\n", e.Kind)
			print([]audit.Step{place.TogetherStep(list)})
		}
	}
	fmt.Fprintf(w, "\n%s\n", strings.Join(riskRemarks, "\n"))
	return nil
}
