package template

import (
	"errors"
	"fmt"
	"strings"

	"dryarc/audit/read"

	"github.com/xuri/excelize/v2"
)

// templateRows are the example rows of the sheets by heading. They stand at the structures of templateStructures.
func templateRows() map[string][]map[string]any {
	row := func(structure int, side, duty string) map[string]any {
		return map[string]any{"Line": "L-1", "Structure": structure, "Circuit": 1, "Phase": "ABC", "Side": side, "Duty": duty, "Arrangement": "single",
			"Unit": "U120B", "Units per string": 9, "Strings": 1, "Defective units": 0}
	}
	return map[string][]map[string]any{
		"Assemblies": {
			row(1, "ahead", "tension"), row(2, "", "suspension"), row(3, "back", "tension"), row(3, "ahead", "tension"), row(4, "", "suspension"), row(5, "back", "tension"),
		},
		"Lines": {{"Line": "L-1", "Name": "A sample line", "Circuits": 1, "Phases": "ABC", "System": "earthed", "Nominal voltage": 110, "Highest voltage": 123,
			"Conductor": "Lynx", "Subconductors": 1}},
	}
}

// lastTemplateRow is how far down the drop-downs go.
const lastTemplateRow = 5000

// writeTemplateRegister writes a workbook with every sheet and column that is read.
func writeTemplateRegister(path string) (err error) {
	book := excelize.NewFile()
	defer func() { err = errors.Join(err, book.Close()) }()
	heading, err := book.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"DDE6EE"}},
		Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"}})
	if err != nil {
		return err
	}
	date, err := book.NewStyle(&excelize.Style{NumFmt: 14})
	if err != nil {
		return err
	}
	rows := templateRows()
	for i, sheet := range read.Sheets() {
		if i == 0 {
			err = book.SetSheetName("Sheet1", sheet.Name)
		} else {
			_, err = book.NewSheet(sheet.Name)
		}
		if err == nil {
			err = writeTemplateSheet(book, sheet, rows[sheet.Name], heading, date)
		}
		if err != nil {
			return err
		}
	}
	if err := writeNotes(book, heading); err != nil {
		return err
	}
	content, err := book.WriteToBuffer()
	if err != nil {
		return err
	}
	return writeNew(path, content.Bytes())
}

func writeTemplateSheet(book *excelize.File, sheet read.Sheet, rows []map[string]any, heading, date int) error {
	for i, c := range sheet.Columns {
		letter, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return err
		}
		if c.Date {
			if err := book.SetColStyle(sheet.Name, letter, date); err != nil {
				return err
			}
		}
		if err := errors.Join(book.SetCellStr(sheet.Name, letter+"1", c.Heading), book.SetCellStyle(sheet.Name, letter+"1", letter+"1", heading),
			book.SetColWidth(sheet.Name, letter, letter, float64(max(10, len(c.Heading)*3/4))), validate(book, sheet.Name, letter, c)); err != nil {
			return err
		}
		for k, row := range rows {
			if value := row[c.Name]; value != nil && value != "" {
				if err := book.SetCellValue(sheet.Name, fmt.Sprintf("%s%d", letter, k+2), value); err != nil {
					return err
				}
			}
		}
	}
	return book.SetPanes(sheet.Name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"})
}

// validate lets a column take only what is read without a fault.
func validate(book *excelize.File, sheet, letter string, c read.Column) error {
	rule := excelize.NewDataValidation(true)
	rule.Sqref = fmt.Sprintf("%s2:%s%d", letter, letter, lastTemplateRow)
	rule.SetError(excelize.DataValidationErrorStyleStop, c.Name, strings.TrimSpace(meaningWithRange(c)))
	var err error
	switch {
	case len(c.Words) > 0:
		err = rule.SetDropList(c.Words)
	case c.Whole:
		err = rule.SetRange(c.Low, c.High, excelize.DataValidationTypeWhole, excelize.DataValidationOperatorBetween)
	case c.Number:
		err = rule.SetRange(c.Low, c.High, excelize.DataValidationTypeDecimal, excelize.DataValidationOperatorBetween)
	default:
		return nil
	}
	return errors.Join(err, book.AddDataValidation(sheet, rule))
}

// meaningWithRange is the meaning of a column with the values that are believed, at most as long as a spreadsheet shows.
func meaningWithRange(c read.Column) string {
	text := c.Meaning
	if c.Range != "" {
		text += "; " + c.Range
	}
	const longest = 225
	return string([]rune(text)[:min(longest, len([]rune(text)))])
}

// writeNotes writes the sheet that explains the others.
func writeNotes(book *excelize.File, heading int) error {
	const notes = "Notes"
	if _, err := book.NewSheet(notes); err != nil {
		return err
	}
	table := [][]string{
		{"Columns are found by their headings, in any order. A unit in the heading is converted: Creepage (in). Columns that are not listed are left alone."},
		{"This is a screening. Local codes and a licensed engineer decide; nothing here is an approach distance or leave to work live."},
		{},
		{"Sheet", "Column", "Required", "Meaning", "Units that are read", "Words or range", "Other headings that are read"},
	}
	for _, sheet := range read.Sheets() {
		for _, c := range sheet.Columns {
			needed := ""
			if c.Required {
				needed = "yes"
			}
			table = append(table, []string{sheet.Name, c.Heading, needed, c.Meaning, strings.Join(c.Units, ", "),
				strings.Join(c.Words, ", ") + c.Range, strings.Join(c.Synonyms, ", ")})
		}
	}
	for i, row := range table {
		for k, text := range row {
			cell, err := excelize.CoordinatesToCellName(k+1, i+1)
			if err != nil {
				return err
			}
			if err := book.SetCellStr(notes, cell, text); err != nil {
				return err
			}
		}
	}
	return errors.Join(book.SetCellStyle(notes, "A4", "G4", heading), book.SetColWidth(notes, "A", "C", 22), book.SetColWidth(notes, "D", "D", 70),
		book.SetColWidth(notes, "E", "G", 40))
}
