package report

import (
	"fmt"
	"io"
	"strings"

	"dryarc/audit"
	"dryarc/audit/risk"
)

// RiskExplained prints how the risk of each assembly at a structure comes about, by every kind that the project states figures for; nothing
// where it states none.
func RiskExplained(w io.Writer, n *audit.Network, line, structure int) {
	list := risk.Explain(n, line, structure)
	if len(list) == 0 {
		return
	}
	fmt.Fprintf(w, "\nrisk, for the ranking of audit --also risk\n")
	for i := range list {
		e := &list[i]
		fmt.Fprintf(w, "\n  %s, %s\n", e.Kind, whereInWords(n, &audit.Derivation{At: e.At, Subject: e.Of}))
		if e.Lack != "" {
			fmt.Fprintf(w, "    not assessed: %s\n", Visible(string(e.Lack)))
			continue
		}
		var steps strings.Builder
		Derivation(&steps, e.String.Steps(n.Criteria(line).Risk.Measure))
		fmt.Fprint(w, indent(steps.String()))
	}
	fmt.Fprintf(w, "\n%s\n", strings.Join(riskRemarks, "\n"))
}
