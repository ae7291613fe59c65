package report

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/xuri/excelize/v2"
)

// FilledColumn is a column of a sheet of the workbook that a run replaces, in which anything stands.
type FilledColumn struct {
	Sheet, Heading string // empty for no heading
	Column, Rows   int    // the column from 1; the rows in which anything stands
}

// SheetsOfPeople are the sheets on which people work, and to which they may add columns of their own.
func SheetsOfPeople() []string { return []string{workSheet, materialSheet, exceptionsSheet} }

// Found says which columns stood in the workbook that is replaced, and which sheets it had.
func (s *Stock) Found(columns []FilledColumn, sheets []string) {
	s.columns, s.hadInspections = columns, slices.Contains(sheets, inspectionsSheet)
}

// sometimes are headings of columns that not every run writes, beside those that are carried.
var sometimes = [...]string{"Score", "Weighs", "Counts (%)", "Consequence", "Of the mean", "What the factors are for", "Not known, left out", "The job is", "What it is worth",
	decisionHeading, untilHeading, byHeading, reasonHeading, idHeading, markHeading, "Accepted, to fit", "Accepted, to remove", "Accepted, only if a look asks"}

// isOfInspections tells whether a run writes a column while its project names inspections.
func (c *FilledColumn) isOfInspections() bool {
	name, _, _ := strings.Cut(c.Heading, takenByInspections)
	return c.Sheet == exceptionsSheet && slices.Contains(inspectionColumns[:], name)
}

// dropOwn finds which of the columns are in no workbook that this run writes, so that what people added is not there any more.
func (s *Stock) dropOwn(r *audit.Result, a *account) {
	if s == nil || len(s.columns) == 0 {
		return
	}
	b := &book{result: r, work: a.rows(r), decided: a.decisions()}
	written := map[string][]column{exceptionsSheet: b.exceptionColumns()}
	written[workSheet], _ = b.workColumns(factorNames(b.work))
	written[materialSheet], _ = b.materialColumns()
	for sheet, columns := range written {
		written[sheet] = tableHeadings(columns)
	}
	for _, c := range s.columns {
		isOurs := strings.HasPrefix(c.Heading, factorPrefix) || s.hadInspections && c.isOfInspections() || slices.Contains(sometimes[:], c.Heading) ||
			slices.ContainsFunc(written[c.Sheet], func(w column) bool { return strings.EqualFold(cellText(w.heading), c.Heading) })
		if isOurs {
			continue
		}
		name := fmt.Sprintf("column %q", c.Heading)
		if letter, err := excelize.ColumnNumberToName(c.Column); c.Heading == "" && err == nil {
			name = "column " + letter + " without a heading"
		}
		s.dropped = append(s.dropped, fmt.Sprintf("%s of sheet %s (%s filled in) is not taken over into the new workbook", name, c.Sheet, counted(c.Rows, "cell", "cells")))
	}
	if len(s.dropped) > 0 {
		s.dropped = append(s.dropped, "Of what people type into the workbook In stock and the columns of decisions are taken over; a column of the register that carry names comes with every run.")
	}
}

// Dropped says which columns that people added are not taken over.
func (s *Stock) Dropped() []string {
	if s == nil {
		return nil
	}
	return s.dropped
}
