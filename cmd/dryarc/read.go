package main

import (
	"cmp"
	"fmt"
	"io"
	"runtime"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"dryarc/audit"
	"dryarc/audit/read"
	"dryarc/report"
)

type readCommand struct {
	Project string `arg:"" optional:"" help:"Project file (YAML)."`
	All     bool   `help:"Print every fault that is listed, not the first of each kind and column."`
	Systems bool   `help:"List the reference systems of positions that are read."`
	Columns bool   `help:"List the columns of the register with their units and other headings that are understood."`
}

// Run tells how each input was understood, and what is wrong with it. It audits nothing.
func (c *readCommand) Run(at surroundings) error {
	if c.Systems || c.Columns {
		return c.tables(at)
	}
	if c.Project == "" {
		return &usage{"read needs a project file, or --systems or --columns\n  hint: dryarc read audit.yaml"}
	}
	project, understood, err := read.Understood(at.ctx, c.Project)
	var b strings.Builder
	var network *audit.Network
	var balances []audit.Balance
	if err == nil {
		project.AsOf = audit.DayOf(time.Now().Format(time.DateOnly))
		if network, err = audit.Arrange(project); err == nil {
			balances = network.Balances()
			err = audit.Derive(at.ctx, network, runtime.NumCPU()) // which finds what is wrong with the geometry
		}
	}
	for _, u := range understood {
		printUnderstanding(&b, u, balances)
	}
	if err == nil {
		fmt.Fprintf(&b, "lines: %d; structures: %d", len(network.Lines), network.StructureCount())
		if project.RegisterGiven {
			fmt.Fprintf(&b, "; rows of assemblies: %d = %d placed + %d left out%s", project.RowsRead, network.RowsPlaced, network.RowsLeftOut, passedOver(project.RowsPassedOver))
			if project.RowsMade > 0 {
				fmt.Fprintf(&b, "; assemblies beyond them, of rows with columns for each phase or of several circuits: %d", project.RowsMade)
			}
		}
		b.WriteString("\n")
		for _, said := range report.InspectionsInWords(network) {
			fmt.Fprintf(&b, "%s\n", said)
		}
	}
	if err == nil {
		for _, taken := range project.FilesTaken {
			fmt.Fprintf(&b, "%s\n", report.Visible(taken))
		}
		for _, taken := range project.CircuitsTaken {
			fmt.Fprintf(&b, "%s\n", taken)
		}
		for _, taken := range network.Taken() {
			fmt.Fprintf(&b, "line %s: %s\n", project.Symbols.Text(taken.Lines[0]), taken.Text)
		}
	}
	if project != nil {
		printCriteria(&b, &project.Criteria)
		printRules(&b, project)
		renumbering := ""
		if network != nil {
			renumbering = network.Renumbering
		}
		c.printFaults(&b, project, renumbering)
	}
	if _, failed := io.WriteString(at.stdout, b.String()); failed != nil && err == nil {
		return failed
	}
	return err
}

// printUnderstanding tells how a table was understood, and what became of its rows; the latter is known once they are
// arranged.
func printUnderstanding(b *strings.Builder, u read.Understanding, balances []audit.Balance) {
	rows := "features"
	switch u.Section {
	case "register":
		rows = "rows"
	case "inspections":
		rows = "inspections"
	case "terrain":
		rows = "ground levels"
	}
	fmt.Fprintf(b, "%s: %s, %s, %s: %d", report.Visible(u.Table.String()), u.Section, u.Format, rows, u.Rows)
	if balances != nil {
		balance := balances[u.Number]
		fmt.Fprintf(b, " = %d used + %d left out%s", balance.Used, balance.LeftOut, passedOver(balance.PassedOver))
		if balance.Aside > 0 {
			fmt.Fprintf(b, "; aside: %d", balance.Aside)
		}
	}
	b.WriteString("\n")
	var lines strings.Builder
	table := tabwriter.NewWriter(&lines, 0, 0, 2, ' ', 0)
	for _, c := range u.Columns {
		unit := c.Kept
		if c.From != c.Kept {
			unit = c.From + " converted to " + c.Kept
		}
		fmt.Fprintf(table, "  %q\tis %s\t%s\n", c.Written, c.For, unit)
	}
	for _, c := range u.Ignored {
		fmt.Fprintf(table, "  %q\tis not used\t%s\n", c.Written, c.Why)
	}
	table.Flush()
	for line := range strings.Lines(lines.String()) {
		b.WriteString(strings.TrimRight(line, " \n") + "\n")
	}
	for _, note := range u.Notes {
		fmt.Fprintf(b, "  %s\n", report.Visible(note))
	}
	b.WriteString("\n")
}

// passedOver is the part of a balance that the project file does not choose; nothing where that is nothing.
func passedOver(rows int) string {
	if rows == 0 {
		return ""
	}
	return fmt.Sprintf(" + %d passed over", rows)
}

// printCriteria prints every criterion as it was understood, or what holds where it is not stated.
func printCriteria(b *strings.Builder, criteria *audit.Criteria) {
	stated := 0
	list := criteria.List()
	table := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	for _, c := range list {
		if c.Stated {
			stated++
		}
	}
	fmt.Fprintf(b, "criteria: %d, stated: %d\n", len(list), stated)
	for _, c := range list {
		fmt.Fprintf(table, "  %s\t%s (%s)\n", c.Key, report.Visible(c.Shown()), report.Visible(c.From()))
	}
	table.Flush()
}

// printRules prints the criteria that are others on some lines.
func printRules(b *strings.Builder, p *audit.Project) {
	for i := range p.Rules {
		var lines []string
		for _, line := range p.Rules[i].Lines {
			lines = append(lines, report.Visible(p.Symbols.Text(line)))
		}
		fmt.Fprintf(b, "on line %s:\n", strings.Join(lines, ", "))
		for _, c := range p.Rules[i].Stated() {
			fmt.Fprintf(b, "  %s  %s (%s)\n", c.Key, report.Visible(c.Shown()), p.Rules[i].From)
		}
	}
}

// shownFaults is how many faults of one kind and column are printed unless all are wanted.
const shownFaults = 3

// worstFirst orders counts of faults by what they cost: those that matter before the others, then by the rows that have them.
func worstFirst(p *audit.Project) []audit.FaultCount {
	type of struct {
		kind   audit.FaultKind
		column string
		weight audit.Weight
	}
	rows := map[of]int{}
	for _, f := range p.Faults.List() {
		rows[of{f.Kind, f.Column, f.Weight}] += max(1, f.Rows)
	}
	counts := p.Faults.Counts()
	slices.SortStableFunc(counts, func(a, b audit.FaultCount) int {
		rowsOf := func(c audit.FaultCount) int { return max(c.Count, rows[of{c.Kind, c.Column, c.Weight}]) }
		return cmp.Or(cmp.Compare(a.Weight, b.Weight), cmp.Compare(rowsOf(b), rowsOf(a)))
	})
	return counts
}

// printFaults prints exact counts, the worst first, and the first faults of each kind and column or all that are listed.
func (c *readCommand) printFaults(b *strings.Builder, p *audit.Project, renumbering string) {
	faults := p.Faults.List()
	for _, count := range worstFirst(p) {
		fmt.Fprintf(b, "%d × %s", count.Count, count.Kind)
		if count.Column != "" {
			fmt.Fprintf(b, " in %s", report.Visible(count.Column))
		}
		if count.Weight == audit.ByTheWay {
			b.WriteString(" (by the way)")
		}
		b.WriteString("\n")
		shown := 0
		for _, f := range faults {
			if f.Kind != count.Kind || f.Column != count.Column || f.Weight != count.Weight {
				continue
			}
			if shown++; shown > shownFaults && !c.All {
				break
			}
			fmt.Fprintf(b, "  %s: %s\n", report.Visible(f.Where(p.Tables)), report.Visible(f.Message()))
		}
		if count.Kind == audit.NoSuchLine {
			fmt.Fprintf(b, "  where they are lines of the structures under other names, write in the project file: words: {Line: {%s}}\n", report.Visible(linesToName(faults)))
		}
		if count.Kind == audit.NoSuchStructure && renumbering != "" {
			fmt.Fprintf(b, "  the numbers of register and structures differ by what stands before them; if they mean the same structures, write in the project file: %s\n", report.Visible(renumbering))
		}
		switch {
		case !c.All && count.Count > shownFaults:
			fmt.Fprintf(b, "  and %d more; --all prints them\n", count.Count-shownFaults)
		case count.Count > count.Listed:
			fmt.Fprintf(b, "  and %d more, which are not listed\n", count.Count-count.Listed)
		}
	}
	fmt.Fprintf(b, "faults: %d", p.Faults.Total())
	if by := p.Faults.Total() - p.Faults.Mattering(); by > 0 {
		fmt.Fprintf(b, ", by the way: %d", by)
	}
	b.WriteString("\n")
}

// linesToName are the names of lines that the structures do not have, as they go under words.
func linesToName(faults []audit.Fault) string {
	const most = 12
	var names []string
	for _, f := range faults {
		name := fmt.Sprintf("%q: …", f.Value)
		if f.Kind != audit.NoSuchLine || slices.Contains(names, name) {
			continue
		}
		if names = append(names, name); len(names) == most {
			break
		}
	}
	return strings.Join(names, ", ")
}
