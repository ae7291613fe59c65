package read

import (
	"fmt"

	"dryarc/audit"
)

// Sheet describes a sheet of the register as it is read.
type Sheet struct {
	Name    string
	Meaning string
	Columns []Column
}

// Column describes a column of a sheet.
type Column struct {
	Heading  string // with its unit in brackets
	Required bool
	Meaning  string
	Synonyms []string // other headings that are understood
	Units    []string // that the heading may name; none for a text or a pure number
	Words    []string // that the cells may hold; none where any text or number may stand
	Range    string   // of the values that are believed, in the unit of the heading; empty for a text

	Name      string  // the heading without its unit
	Number    bool    // the cells hold numbers
	Whole     bool    // which are whole
	Date      bool    // the cells hold days
	Low, High float64 // the values of numbers that are believed, both included

	measure *measure
}

// Sheets lists the sheets of the register with their columns, in the order of the documentation and the template.
func Sheets() []Sheet {
	r := &register{project: &audit.Project{}}
	return []Sheet{
		{assembliesSheet, "one row for each assembly and phase, or phases", describe(assemblyColumns(r))},
		{linesSheet, "one row for each line", describe(lineColumns(r))},
		{unitsSheet, "units that the catalogue does not have, or has otherwise", describe(unitColumns(r))},
		{conductorsSheet, "conductors that the catalogue does not have, or has otherwise", describe(conductorColumns(r))},
	}
}

func describe[R any](columns []column[R]) []Column {
	described := make([]Column, len(columns))
	for i, c := range columns {
		d := Column{Heading: c.heading, Required: c.required, Meaning: c.meaning, Synonyms: c.synonyms, Words: c.choices,
			Name: c.heading, Number: c.isNumber(), Whole: c.shape == wholeShape, Date: c.shape == dateShape, Low: c.low, High: c.high, measure: c.measure}
		if c.measure != nil {
			d.Heading += " (" + c.measure.name + ")"
			d.Units = c.measure.list()
		}
		if c.low != 0 || c.high != 0 {
			d.Range = fmt.Sprintf("%g to %g", c.low, c.high)
		}
		described[i] = d
	}
	return described
}

// sheetNamed finds a sheet of the register by its name, whatever its case.
func sheetNamed(name string) (Sheet, bool) {
	for _, s := range append(Sheets(), InspectionsSheet()) {
		if headingKey(s.Name) == headingKey(name) {
			return s, true
		}
	}
	return Sheet{}, false
}
