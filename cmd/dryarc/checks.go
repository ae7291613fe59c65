package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"unicode/utf8"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"
	"dryarc/report"
)

type checksCommand struct {
	ID string `arg:"" optional:"" help:"Print this check whole."`
}

// Run lists the checks or prints one.
func (c *checksCommand) Run(at surroundings) error {
	if c.ID == "" {
		return listChecks(at.stdout)
	}
	check := checks.ByID(c.ID)
	if check == nil {
		text := fmt.Sprintf("check %q is not known; dryarc checks lists them", c.ID)
		if names := read.Nearest(c.ID, checkIDs()); len(names) > 0 {
			text += "\n  hint: " + meant(names)
		}
		return &usage{text}
	}
	return printCheck(at.stdout, check)
}

func checkIDs() (ids []string) {
	for _, check := range checks.All() {
		ids = append(ids, check.ID)
	}
	return ids
}

func listChecks(w io.Writer) error {
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "check\tof\tseverity\tfaulty condition")
	for _, check := range checks.All() {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\n", check.ID, check.Of, check.Severity, check.Title)
	}
	return table.Flush()
}

func printCheck(w io.Writer, check *audit.Check) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s.\n\n", check.ID, check.Title)
	fmt.Fprintf(&b, "judges    every %s\nseverity  %s\n", check.Of, check.Severity)
	for i, clause := range check.Basis {
		label := "basis     "
		if i > 0 {
			label = "          "
		}
		fmt.Fprintf(&b, "%s%s\n", label, clause)
	}
	if len(check.AskedBy) > 0 {
		fmt.Fprintf(&b, "asked by  %s; where the project states none the check is not asked for\n", needNames(check.AskedBy))
	}
	if len(check.Needs) > 0 {
		fmt.Fprintf(&b, "needs     %s\n", needNames(check.Needs))
	}
	fmt.Fprintf(&b, "remedy    %s\n\nmethod\n  %s\n", check.Remedies(), check.Method.Formula)
	for _, symbol := range check.Method.Symbols {
		measure := ""
		if symbol.Measure != "" {
			measure = ", " + symbol.Measure
		}
		fmt.Fprintf(&b, "    %s: %s%s\n", symbol.Symbol, symbol.Meaning, measure)
	}
	fmt.Fprintf(&b, "%s\nworked example\n  %s.\n", paragraph(check.Method.Limits), check.Method.Example.Story)
	var trace audit.Trace
	v := check.Run(check.Method.Example.Subject(), &trace)
	report.Derivation(&b, trace.Steps)
	fmt.Fprintf(&b, "  observed %s, required %s: %s\n", report.Value(v.Observed), report.Value(v.Required), v.Outcome)
	if v.Sentence != "" {
		fmt.Fprintf(&b, "  %q\n", v.Sentence)
	}
	fmt.Fprintf(&b, "  figures from: %s\n", check.Method.Example.Source)
	_, err := io.WriteString(w, b.String())
	return err
}

// paragraph sets a text in lines of a width that is read easily, and that no terminal cuts.
func paragraph(text string) string {
	const width = 110
	var b strings.Builder
	at := 0
	for _, word := range strings.Fields(text) {
		size := utf8.RuneCountInString(word) + 1
		if at > 0 && at+size > width {
			b.WriteByte('\n')
			at = 0
		}
		if at == 0 {
			b.WriteByte(' ')
		}
		b.WriteString(" " + word)
		at += size
	}
	b.WriteByte('\n')
	return b.String()
}

func needNames(needs []audit.Need) string {
	names := make([]string, len(needs))
	for i, need := range needs {
		names[i] = need.Name
	}
	return strings.Join(names, ", ")
}
