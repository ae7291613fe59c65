package report

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"dryarc/audit"
)

// runWidths are the widths of its columns: A4 across takes them as they are.
var runWidths = [...]float64{27, 30, 18, 53}

// writeRun writes the sheet that says how the result came about.
func (b *book) writeRun(ctx context.Context) error {
	r := b.result
	failed, err := r.CheckErrors(ctx)
	if err != nil {
		return err
	}
	p := b.newPage(runSheet, runWidths[:]...)
	p.fitPaper(runWidths[:]...)
	row := 1
	section := func(title string, headings ...string) {
		if row > 1 {
			row++
		}
		p.put(row, 1, 4, title, sectionLook)
		p.height(row, 20)
		row++
		for i, heading := range headings {
			p.put(row, i+1, i+1, heading, headingLook)
		}
		if len(headings) > 0 {
			row++
		}
	}
	line := func(name string, value any, format string) {
		p.paragraph(row, 1, 1, name, look{bold: true})
		p.put(row, 2, 4, value, look{format: format, align: "left"})
		row++
	}

	section("Run")
	line("Run", r.Run.ID, "")
	line("Project file", filepath.Base(r.Project.File), "")
	line("Version of dryarc", r.Run.Version, "")
	line("Schema of "+b.json, audit.Schema, asCount)
	line("As of", r.Run.AsOf, "")
	line("Lines chosen", chosenLines(r), "")
	of := scopeOf(r)
	line("Structures", of.structures, asCount)
	line("Register rows read", r.Project.RowsRead, asCount)
	line("Register rows placed on a structure", r.Network.RowsPlaced, asCount)
	if of.lines < len(r.Lines) {
		line("Of these on lines chosen", of.assemblies, asCount)
	}
	line("Register rows left out, see "+b.placeOf(faultsSheet), r.Network.RowsLeftOut, asCount)
	if n := r.Project.RowsPassedOver; n > 0 {
		line("Register rows passed over, as the project file says", n, asCount)
	}
	if n := r.Project.RowsMade; n > 0 {
		line("Assemblies beyond the rows, of rows with columns for each phase or of several circuits", n, asCount)
	}

	if c := countInspections(r.Network); c != nil {
		line("Inspections read", c.Read, asCount)
		line("Inspections joined to rows of the register", c.Joined, asCount)
		line("Of these decide how many units are defective", c.Deciding, asCount)
		line("Inspections proposed for a structure by position, which change no verdict", c.Proposed, asCount)
		line("Inspections not joined, see "+b.placeOf(inspectionsSheet), c.NotJoined, asCount)
		line("Of both these count broken units, of which nothing is judged but what they leave open", c.Loose, asCount)
	}

	if cut := b.cut(); len(cut) > 0 {
		section("What the outputs do not hold, as it would be too much")
		for _, text := range cut {
			p.paragraph(row, 1, 4, text, look{})
			row++
		}
	}

	if failed.Count > 0 {
		section(fmt.Sprintf("Errors of the program: checks that failed %s, each on one subject", counted(failed.Count, "time", "times")),
			"Check", "Where", "Verdict", "Error")
		for i := range failed.List {
			rec := checkErrorOf(r, &failed.List[i])
			p.put(row, 1, 1, rec.Check, look{bold: true})
			p.put(row, 2, 2, rec.where(), look{wrap: true})
			p.put(row, 3, 3, rec.cost(), look{wrap: true})
			p.paragraph(row, 4, 4, rec.Error, look{})
			row++
		}
		if more := failed.Count - len(failed.List); more > 0 {
			line(fmt.Sprintf("and %s more", grouped(more)), nil, "")
		}
	}

	if dropped := b.stock.Dropped(); len(dropped) > 0 {
		section("Columns that people added to the workbook of the run before, and that are not in this one")
		for _, text := range dropped {
			p.paragraph(row, 1, 4, text, look{})
			row++
		}
	}

	section("Inputs", "File", "SHA-256")
	p.put(row-1, 2, 4, "SHA-256", headingLook)
	for _, input := range r.Project.Inputs {
		line(input.File, input.SHA256, "")
		if input.Query != "" {
			line("", "rows of the query "+input.Query, "")
		}
		if input.Pattern != "" {
			line("", "found by the pattern "+input.Pattern, "")
		}
		if input.System != "" {
			line("", "positions in "+input.System, "")
		}
	}

	section("Criteria", "Criterion", "Value", "From", "Meaning")
	for _, c := range r.Project.Criteria.List() {
		p.put(row, 1, 1, c.Key, look{bold: true})
		p.put(row, 2, 2, c.Value, look{wrap: true})
		p.put(row, 3, 3, c.From(), look{wrap: true})
		p.put(row, 4, 4, c.Means(), look{wrap: true})
		p.height(row, max(heightOf(c.Value, p.width(2, 2), bodySize), heightOf(c.From(), p.width(3, 3), bodySize), heightOf(c.Means(), p.width(4, 4), bodySize)))
		row++
	}

	if len(r.Project.Rules) > 0 {
		section("Criteria of some lines, in place of those above", "Criterion", "Value", "From", "Lines")
	}
	for i := range r.Project.Rules {
		rules := &r.Project.Rules[i]
		lines := touched(r.Project, audit.Assumption{Lines: rules.Lines}, 20)
		for _, c := range rules.Stated() {
			p.put(row, 1, 1, c.Key, look{bold: true})
			p.put(row, 2, 2, c.Value, look{wrap: true})
			p.put(row, 3, 3, rules.From, look{wrap: true})
			p.put(row, 4, 4, lines, look{wrap: true})
			p.height(row, max(heightOf(c.Value, p.width(2, 2), bodySize), heightOf(rules.From, p.width(3, 3), bodySize), heightOf(lines, p.width(4, 4), bodySize)))
			row++
		}
	}

	assumption := func(text, lines string) {
		p.put(row, 1, 3, text, look{wrap: true})
		p.put(row, 4, 4, lines, look{wrap: true, color: slateSoft})
		p.height(row, max(heightOf(text, p.width(1, 3), bodySize), heightOf(lines, p.width(4, 4), bodySize)))
		row++
	}
	section("Assumptions: what nobody stated and the result rests on")
	for _, a := range r.Run.Assumptions {
		assumption(a.Text, touched(r.Project, a, 20))
	}
	if len(r.Run.Assumptions) == 0 {
		line("None", nil, "")
	}
	for _, s := range b.scenarios {
		list := s.assumedBeside(r)
		if len(list) > 0 {
			section(fmt.Sprintf("Assumptions of scenario %q that are not among those above", s.scenario.Name))
		}
		for _, a := range list {
			assumption(a.Text, touchedNames(a.Lines, 20))
		}
	}

	section("Faults in the inputs by kind and column", "Kind", "Column", "Faults", "Listed in "+b.placeOf(faultsSheet))
	for _, c := range r.Project.Faults.Counts() {
		p.put(row, 1, 1, c.Kind.String(), look{bold: true})
		p.paragraph(row, 2, 2, c.Column, look{})
		p.put(row, 3, 3, c.Count, look{format: asCount, align: "left"})
		p.put(row, 4, 4, c.Listed, look{format: asCount, align: "left"})
		row++
	}
	if r.Project.Faults.Total() == 0 {
		line("None", nil, "")
	}

	row++
	p.paragraph(row, 1, 4, Caution, look{italic: true, bare: true})
	return p.finish()
}

// placeOf says where a sheet stands that this workbook may not have.
func (b *book) placeOf(sheet string) string {
	if at, err := b.file.GetSheetIndex(sheet); err != nil || at < 0 {
		return "the sheet " + sheet + " of an audit"
	}
	return sheet
}

func chosenLines(r *audit.Result) string {
	if len(r.Run.Lines) == 0 {
		return "all"
	}
	return enumerated(r.Run.Lines, 20)
}

// touched says which lines an assumption touches.
func touched(p *audit.Project, a audit.Assumption, most int) string {
	return touchedNames(names(p, a.Lines), most)
}

func touchedNames(lines []string, most int) string {
	switch len(lines) {
	case 0:
		return "All lines"
	case 1:
		return "Line " + lines[0]
	}
	return counted(len(lines), "line", "lines") + ": " + enumerated(lines, most)
}

// enumerated lists at most so many texts, and says how many more there are.
func enumerated(texts []string, most int) string {
	if len(texts) <= most {
		return strings.Join(texts, ", ")
	}
	return fmt.Sprintf("%s and %s more", strings.Join(texts[:most], ", "), grouped(len(texts)-most))
}
