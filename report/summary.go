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
// most twenty lines, the gravest first; one more says what a large network's outputs do not hold.
func Summary(w io.Writer, r *audit.Result, jobs []remedy.Job, changes *history.Changes, dir string, also ...string) {
	var b strings.Builder
	totals := r.Totals()
	fmt.Fprintf(&b, "exceptions: %s, %s, %s\n", counted(totals[audit.Shortfall], "shortfall", "shortfalls"),
		counted(totals[audit.Advisory], "advisory", "advisories"), counted(totals[audit.Note], "note", "notes"))
	fmt.Fprintf(&b, "%s\n", headline(changes))
	if texts := suspectsInWords(r, Visible); len(texts) > 0 {
		fmt.Fprintf(&b, "%s: %s\n", strings.ToLower(lookAtData), strings.TrimSuffix(strings.Join(texts, " "), "."))
	}
	if text := decisionsInWords(decidedBy(changes)); text != "" {
		fmt.Fprintf(&b, "%s%s\n", text, decidedOutInWords(r, changes.Decided))
	}
	writeGravestChecks(&b, r, 5)
	if worst, some := worstLine(r, decidedBy(changes)); some {
		fmt.Fprintf(&b, "worst line: %s\n", worst.inWords(r, Visible)) // a name may hold the end of a line
	}
	if len(jobs) > 0 {
		fmt.Fprintf(&b, "work: %s, see sheet %s\n", countJobs(r, jobs, decidedBy(changes)).inWords(), workSheet)
	}
	s := scopeOf(r)
	fmt.Fprintf(&b, "audited %s, %s, %s\n", counted(s.lines, "line", "lines"), counted(s.structures, "structure", "structures"), lengthInWords(s.lengthKM))
	if r.Project.RegisterGiven {
		fmt.Fprintf(&b, "register: %s read = %s + %s left out", counted(r.Project.RowsRead, "row", "rows"), rowsPlacedInWords(r), grouped(r.Network.RowsLeftOut))
		if n := r.Project.RowsPassedOver; n > 0 {
			fmt.Fprintf(&b, " + %s passed over", grouped(n))
		}
		b.WriteString("\n")
	}
	if c := countInspections(r.Network); c != nil {
		fmt.Fprintln(&b, c.inWords())
	}
	if n := r.Project.Faults.Total(); n > 0 {
		fmt.Fprintf(&b, "inputs: %s (%s)\n", counted(n, "fault", "faults"), largestFaults(r.Project, 3))
	}
	fmt.Fprintf(&b, "judged: %.1f %% of what the project asks for%s\n", r.AssessedPercent(), largestGap(r))
	if unasked := notAsked(r); len(unasked) > 0 {
		fmt.Fprintf(&b, "not asked for: %s\n", strings.Join(unasked, ", "))
	}
	if n := len(r.Run.Assumptions); n > 0 {
		fmt.Fprintf(&b, "rests on %s, see the overview\n", counted(n, "assumption", "assumptions"))
	}
	if slices.Contains(also, riskName) && !ranksAny(r.Project) {
		fmt.Fprintln(&b, "risk: "+riskUnstated)
	}
	left := leftOut(r, also)
	list, err := chosen(&account{leftOut: left}, also)
	if err != nil {
		list = outputs(&account{}) // Write has said so
	}
	var names []string
	for _, o := range list {
		names = append(names, o.name)
	}
	writeLeftOut(&b, r, left)
	fmt.Fprintf(&b, "run %s is in %s: %s\n", r.Run.ID, dir, strings.Join(names, ", "))
	b.WriteString("screening only: local codes and a licensed engineer decide; no approach distance, no leave to work live\n")
	io.WriteString(w, b.String())
}

// writeGravestChecks lists the checks with their exceptions of each severity, the gravest first and of those the most.
func writeGravestChecks(b *strings.Builder, r *audit.Result, most int) {
	type row struct{ severity, check, count int }
	counts := map[row]int{}
	for i := range r.Exceptions {
		counts[row{severity: int(r.Exceptions[i].Verdict.Severity), check: r.Exceptions[i].Check}]++
	}
	var rows []row
	for of, n := range counts {
		of.count = n
		rows = append(rows, of)
	}
	slices.SortFunc(rows, func(x, y row) int {
		return cmp.Or(cmp.Compare(x.severity, y.severity), cmp.Compare(y.count, x.count), cmp.Compare(x.check, y.check))
	})
	for _, x := range rows[:min(len(rows), most)] {
		fmt.Fprintf(b, "  %-9s %7s  %s: %s\n", audit.Severity(x.severity), grouped(x.count), r.Checks[x.check].ID, r.Checks[x.check].Title)
	}
	if more := len(rows) - most; more > 0 {
		fmt.Fprintf(b, "  and %s more, see the overview\n", grouped(more))
	}
}

// largestFaults names the kinds of fault that are most frequent, with their counts.
func largestFaults(p *audit.Project, most int) string {
	counts := p.Faults.Counts()
	slices.SortStableFunc(counts, func(a, b audit.FaultCount) int { return cmp.Compare(b.Count, a.Count) })
	var texts []string
	for _, c := range counts[:min(len(counts), most)] {
		text := fmt.Sprintf("%s %s", grouped(c.Count), c.Kind)
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
	return fmt.Sprintf("; most that were not: %s (%s)", gaps[0].reason, grouped(gaps[0].count))
}
