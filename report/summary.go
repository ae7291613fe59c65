package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/audit/remedy"
)

// Summary writes the closing words of a run that wrote its outputs, with those on request that also names, to dir: at
// most eighteen lines.
func Summary(w io.Writer, r *audit.Result, jobs []remedy.Job, changes *history.Changes, dir string, also ...string) {
	var b strings.Builder
	s := scopeOf(r)
	fmt.Fprintf(&b, "audited %d %s, %d %s, %.0f km\n", s.lines, noun(s.lines, "line", "lines"),
		s.structures, noun(s.structures, "structure", "structures"), s.lengthKM)
	if r.Project.RegisterGiven {
		fmt.Fprintf(&b, "register: %d %s read = %d placed + %d left out", r.Project.RowsRead,
			noun(r.Project.RowsRead, "row", "rows"), r.Network.RowsPlaced, r.Network.RowsLeftOut)
		if n := r.Project.RowsPassedOver; n > 0 {
			fmt.Fprintf(&b, " + %d passed over", n)
		}
		b.WriteString("\n")
	}
	if n := r.Project.Faults.Total(); n > 0 {
		fmt.Fprintf(&b, "inputs: %d %s (%s)\n", n, noun(n, "fault", "faults"), largestFaults(r.Project, 3))
	}
	totals := r.Totals()
	short, advisory, note := totals[audit.Shortfall], totals[audit.Advisory], totals[audit.Note]
	fmt.Fprintf(&b, "exceptions: %d %s, %d %s, %d %s\n", short, noun(short, "shortfall", "shortfalls"),
		advisory, noun(advisory, "advisory", "advisories"), note, noun(note, "note", "notes"))
	fmt.Fprintf(&b, "%s\n", headline(changes))
	if text := decisionsInWords(decidedBy(changes)); text != "" {
		fmt.Fprintf(&b, "%s%s\n", text, decidedOutInWords(r, changes.Decided))
	}
	writeWorstChecks(&b, r, 5)
	if len(jobs) > 0 {
		fmt.Fprintf(&b, "work: %s, see sheet %s\n", countJobs(r, jobs, decidedBy(changes)).inWords(), workSheet)
	}
	fmt.Fprintf(&b, "judged: %.1f %% of what the project asks for%s\n", r.AssessedPercent(), largestGap(r))
	if unasked := notAsked(r); len(unasked) > 0 {
		fmt.Fprintf(&b, "not asked for: %s\n", strings.Join(unasked, ", "))
	}
	if n := len(r.Run.Assumptions); n > 0 {
		fmt.Fprintf(&b, "rests on %d %s, see the overview\n", n, noun(n, "assumption", "assumptions"))
	}
	list, err := chosen(&account{}, also)
	if err != nil {
		list = outputs(&account{}) // Write has said so
	}
	var names []string
	for _, o := range list {
		names = append(names, o.name)
	}
	fmt.Fprintf(&b, "run %s is in %s: %s\n", r.Run.ID, dir, strings.Join(names, ", "))
	b.WriteString("screening only: local codes and a licensed engineer decide; no approach distance, no leave to work live\n")
	io.WriteString(w, b.String())
}

// writeWorstChecks lists the checks with the most exceptions.
func writeWorstChecks(b *strings.Builder, r *audit.Result, most int) {
	counts := exceptionsByCheck(r)
	order := make([]int, 0, len(counts))
	for i, n := range counts {
		if n > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(counts[y], counts[x]) })
	for _, i := range order[:min(len(order), most)] {
		fmt.Fprintf(b, "  %7d  %s: %s\n", counts[i], r.Checks[i].ID, r.Checks[i].Title)
	}
	if more := len(order) - most; more > 0 {
		fmt.Fprintf(b, "  and %d more %s\n", more, noun(more, "check", "checks"))
	}
}

// largestFaults names the kinds of fault that are most frequent, with their counts.
func largestFaults(p *audit.Project, most int) string {
	counts := p.Faults.Counts()
	slices.SortStableFunc(counts, func(a, b audit.FaultCount) int { return cmp.Compare(b.Count, a.Count) })
	var texts []string
	for _, c := range counts[:min(len(counts), most)] {
		text := fmt.Sprintf("%d %s", c.Count, c.Kind)
		if c.Column != "" {
			text += " in " + c.Column
		}
		texts = append(texts, text)
	}
	if len(counts) > most {
		texts = append(texts, "…")
	}
	return strings.Join(texts, ", ")
}

// largestGap names the reason for which most subjects were not assessed.
func largestGap(r *audit.Result) string {
	gaps := gapsOf(r)
	if len(gaps) == 0 {
		return ""
	}
	return fmt.Sprintf("; most that were not: %s (%d)", gaps[0].reason, gaps[0].count)
}
