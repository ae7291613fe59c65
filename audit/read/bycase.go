package read

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/goccy/go-yaml/ast"
)

// caseReader reads figures that may be stated by load case: 600, or high wind: 600; still air: 1500, or 600; still air: 1500, where the bare one
// is that of all other cases.
type caseReader struct {
	cases     []string // the load cases that may be named
	measure   *measure
	low, high float64
}

// figures reads a cell, whose numbers are in a unit unless they state their own.
func (c *caseReader) figures(cell string, in unitOfMeasure) (rest float64, named []audit.CaseFigure, t *trouble) {
	rest = math.NaN()
	parts := strings.FieldsFunc(cell, func(r rune) bool { return r == ';' || r == '\n' })
	for _, part := range parts {
		name, text := "", strings.TrimSpace(part)
		if at := strings.LastIndexAny(text, ":="); at >= 0 {
			name, text = strings.TrimSpace(text[:at]), strings.TrimSpace(text[at+1:])
		}
		number, _ := figure(strings.Replace(text, "\u2212", "-", 1))
		_, plain := parseNumber(number)
		switch written, ok := writtenAs(number); {
		case !ok || plain && !isLoosePoint(number):
		case (name != "" || len(parts) > 1) && written.loose == 0 && written.has == (numberSigns{commaDecimal: true}): // no comma of thousands
			text = written.plain + strings.TrimPrefix(text, number)
		case name == "" && len(parts) == 1 && !plain:
			return math.NaN(), nil, notANumber // its column tells how
		case name != "" || len(parts) > 1:
			return math.NaN(), nil, &trouble{kind: audit.NotANumber, expected: "has a number that may be read in two ways, expected plain digits with a point before decimals, such as 12.5 or 1500"}
		}
		value, t := c.figure(text, in)
		if t != nil {
			return math.NaN(), nil, t
		}
		switch known, t := c.loadCase(name); {
		case t != nil:
			return math.NaN(), nil, t
		case name == "" && math.IsNaN(rest):
			rest = value
		case name != "" && !slices.ContainsFunc(named, func(f audit.CaseFigure) bool { return f.Case == known }):
			named = append(named, audit.CaseFigure{Case: known, Value: value})
		default:
			return math.NaN(), nil, &trouble{kind: audit.NotANumber, expected: "states two figures of one load case, or two for all others"}
		}
	}
	if len(parts) == 0 {
		return math.NaN(), nil, notANumber
	}
	return rest, named, nil
}

// figure reads one number, with or without its unit.
func (c *caseReader) figure(text string, in unitOfMeasure) (float64, *trouble) {
	written, ok := parseNumber(text)
	if number, behind := numeral(text); !ok && behind != "" {
		if its, known := c.measure.find(behind); known {
			in = its
			written, ok = parseNumber(number)
		}
	}
	value := written*in.factor + in.offset
	switch {
	case !ok:
		return math.NaN(), &trouble{kind: audit.NotANumber, expected: `is not a number, nor numbers by load case such as "high wind: 600; still air: 1500"`}
	case value < c.low || value > c.high:
		return math.NaN(), outOfRange(c.low, c.high, in)
	}
	return value, nil
}

// loadCase finds a load case as criteria name it.
func (c *caseReader) loadCase(name string) (string, *trouble) {
	if name == "" {
		return "", nil
	}
	for _, known := range c.cases {
		if audit.IsSameLoadCase(known, name) {
			return known, nil
		}
	}
	expected := fmt.Sprintf("names the load case %q, and the criteria have none", excerpt(name))
	if len(c.cases) > 0 {
		expected = fmt.Sprintf("names the load case %q, which is none of the criteria's: %s", excerpt(name), strings.Join(c.cases, ", "))
	}
	return "", &trouble{kind: audit.UnknownWord, expected: expected}
}

// loadCases lists the load cases of the criteria, of those of some lines and of scenarios: a cell is read before it is known which hold on
// its line, and a check that finds other cases there than its line has tells nothing by them.
func (f *projectFile) loadCases() (names []string) {
	add := func(c *audit.Criteria) {
		for i := range c.LoadCases {
			if name := c.LoadCases[i].Name; !slices.ContainsFunc(names, func(known string) bool { return audit.IsSameLoadCase(known, name) }) {
				names = append(names, name)
			}
		}
	}
	add(&f.criteria)
	for _, o := range slices.Concat(f.ofLines, f.scenarios) {
		add(&o.criteria)
	}
	return names
}

// checkLoadCases finds load cases that criteria name and none have.
func (f *projectFile) checkLoadCases(root ast.Node) *ProjectFileError {
	check := func(node ast.Node, c *audit.Criteria) *ProjectFileError {
		if problem := f.checkBrokenConductor(node, c); problem != nil {
			return problem
		}
		return f.checkFactors(node, c)
	}
	problem := check(root, &f.criteria)
	for _, o := range slices.Concat(f.ofLines, f.scenarios) {
		if problem == nil {
			problem = check(o.node, &o.criteria)
		}
	}
	return problem
}

// byCase is a column of numbers that may be stated by load case, between two ends, both included.
func byCase[R any](heading string, m *measure, low, high float64, field audit.Cell, cases []string, at func(*R) (rest *float64, named *[]audit.CaseFigure)) column[R] {
	reader := caseReader{cases, m, low, high}
	return column[R]{heading: heading, field: field, measure: m, low: low, high: high, shape: numberShape, read: func(row *R, cell string, in unitOfMeasure) (t *trouble) {
		rest, named := at(row)
		*rest, *named, t = reader.figures(cell, in)
		return t
	}}
}
