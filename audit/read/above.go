package read

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/read/xlsx"
)

// checkAbove refuses a sheet that has data above its headings: whoever sorts a sheet with its headings moves rows there. A
// row is data if every required column but those of numbers, which some assemblies leave blank, holds a value of its own
// there, and more than one column holds any: a title stands in one cell.
func (s *sheetReader[R]) checkAbove(file string) error {
	var data []rowAbove
	for _, row := range s.shape.above {
		if s.isData(row) {
			data = append(data, row)
		}
	}
	if len(data) > 0 {
		areas := s.book.content.merged(s.grid.ctx, s.found.actual)
		data = slices.DeleteFunc(data, func(row rowAbove) bool { return s.isMerged(row.number, areas) })
	}
	if len(data) == 0 {
		return nil
	}
	for _, row := range data {
		at := audit.Source{Table: s.found.table, Row: row.number}
		for _, p := range s.shape.columns {
			if p.column.required && p.index >= 0 {
				s.register.fault(at, audit.Implausible, p.column.heading, strings.TrimSpace(row.cells[p.index]),
					fmt.Sprintf("stands above the headings, which are in row %d, in a row that holds data; it is not read", s.headings))
				break
			}
		}
	}
	rows := "rows of data above its headings, which are in row"
	if len(data) == 1 {
		rows = "row of data above its headings, which are in row"
	}
	return &InputError{File: file, Message: fmt.Sprintf("has %d %s %d, such as row %d; expected titles alone there", len(data), rows, s.headings, data[0].number),
		Hint: "it may have been sorted together with its headings: move the headings to the top"}
}

func (s *sheetReader[R]) isData(row rowAbove) bool {
	filled := 0
	for _, p := range s.shape.columns {
		if p.index < 0 {
			continue
		}
		holds := p.index < len(row.cells) && strings.TrimSpace(row.cells[p.index]) != ""
		if holds {
			filled++
		} else if p.column.required && !p.column.isNumber() {
			return false
		}
	}
	return filled > 1
}

// isMerged tells whether a required cell of a row is merged with those below it, as those of titles are.
func (s *sheetReader[R]) isMerged(row uint32, areas []xlsx.Area) bool {
	for _, p := range s.shape.columns {
		for _, area := range areas {
			if p.column.required && area.Column == p.index && area.First <= row && row <= area.Last {
				return true
			}
		}
	}
	return false
}

// titles tells which rows above the headings are taken for titles.
func (s *sheetReader[R]) titles() []string { return titlesAbove(s.shape.above) }

func titlesAbove(above []rowAbove) []string {
	if len(above) == 0 {
		return nil
	}
	numbers := make([]string, len(above))
	for i, row := range above {
		numbers[i] = fmt.Sprint(row.number)
	}
	return []string{"rows above the headings, which are taken for titles: " + strings.Join(numbers, ", ")}
}
