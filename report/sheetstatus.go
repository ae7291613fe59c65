package report

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/xuri/excelize/v2"
)

// status is how the cells of a column look while they say something: by a condition, so that a look follows what is typed, sorted or worked out anew.
type status struct {
	heading string
	when    string // a formula of the first row of data, in which {heading} stands for the cell of that column; empty where word tells
	word    string
	look    look
}

// saying is a status of the cells that say a word.
func saying(heading, word string, l look) status {
	return status{heading: heading, word: word, look: l}
}

// severityStatuses mark the severities under a heading.
func severityStatuses(heading string) (all []status) {
	for _, s := range []audit.Severity{audit.Shortfall, audit.Advisory, audit.Note} {
		all = append(all, saying(heading, s.String(), severityLook(s)))
	}
	return all
}

// stateStatuses mark the states of exceptions.
func stateStatuses(heading string) (all []status) {
	for _, s := range []history.State{history.New, history.Standing, history.Worse, history.Better} {
		all = append(all, saying(heading, s.String(), stateLook(s)))
	}
	return all
}

// decidedRows greys the rows of a sheet on which people decide, from when the decision is typed: while it is worth something, or not told yet what.
func decidedRows() status {
	return status{look: look{color: greyText}, when: `AND(OR({Decision}="accept",{Decision}="plan",ISNUMBER(SEARCH(": accept",{What it is worth})),ISNUMBER(SEARCH(": plan",{What it is worth}))),` +
		`OR({What it is worth}="",LEFT({What it is worth},8)="in force"))`}
}

// mark sets the looks that follow what cells say, those first that hold against the others.
func (t *table) mark(file *excelize.File) error {
	last := max(t.data, 2)
	for _, s := range t.statuses {
		from, to := 0, len(t.columns)-1
		if s.heading != "" {
			from = t.columnOf(s.heading)
			to = from
		}
		if from < 0 {
			return fmt.Errorf("no column %q to mark", s.heading)
		}
		font := &excelize.Font{Color: s.look.color, Bold: s.look.bold}
		style := &excelize.Style{Font: font}
		if s.look.fill != "" {
			style.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{s.look.fill}}
		}
		number, err := file.NewConditionalStyle(style)
		if err != nil {
			return err
		}
		rule := excelize.ConditionalFormatOptions{Type: "cell", Criteria: "==", Value: `"` + s.word + `"`, Format: &number}
		if s.when != "" {
			rule = excelize.ConditionalFormatOptions{Type: "formula", Criteria: t.inFirstRow(s.when), Format: &number, StopIfTrue: s.heading == ""}
		}
		cells := fmt.Sprintf("%s2:%s%d", t.rows.names[from], t.rows.names[to], last)
		if err := file.SetConditionalFormat(t.sheet, cells, []excelize.ConditionalFormatOptions{rule}); err != nil {
			return err
		}
	}
	return nil
}

// columnOf is the column of a heading, −1 where none has it.
func (t *table) columnOf(heading string) int {
	return slices.IndexFunc(t.columns, func(c column) bool { return c.heading == heading })
}

// inFirstRow puts cells of the first row of data for the headings of a formula.
func (t *table) inFirstRow(formula string) string {
	for i, c := range t.columns {
		formula = strings.ReplaceAll(formula, "{"+c.heading+"}", "$"+t.rows.names[i]+"2")
	}
	return formula
}

// makeTable makes a table of the rows, by the name of their sheet: it sorts, filters and sums by headings, which are tableHeadings.
func (t *table) makeTable(file *excelize.File, whole string) error {
	for i, c := range t.columns { // excelize takes the names of the columns from the cells, which the rows then take the place of
		if err := file.SetCellStr(t.sheet, t.rows.names[i]+"1", cellText(c.heading)); err != nil {
			return err
		}
	}
	no := false
	return file.AddTable(t.sheet, &excelize.Table{Range: whole, Name: t.sheet, ShowRowStripes: &no})
}
