package read

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// column declares one column of a sheet whose rows become values of type R.
type column[R any] struct {
	heading  string
	required bool
	field    audit.Cell // unknown where the value is faulty
	measure  *measure   // nil: a text or a pure number
	read     func(row *R, cell string, in unitOfMeasure) *trouble
	verbatim bool                                                            // takes any text as it stands
	long     bool                                                            // and of any length
	numeric  func(row *R, is bool)                                           // notes that a text stands as a number in its cell; nil where nobody asks
	numbers  bool                                                            // texts that a spreadsheet may take for dates
	signs    bool                                                            // signs such as − are values
	other    func(row *R, cell string) (t *trouble, known bool)              // reads what read does not, where it is known; may be nil
	readDate func(row *R, cell string, form *dateForm) (dateTaken, *trouble) // reads a date as its column writes dates; nil of other columns
	counted  []string                                                        // what the numbers count, in the singular
	today    bool                                                            // says what hangs there, of which a heading of another time says nothing
	idle     bool                                                            // no verdict rests on it: its own heading may stand beside another name for it

	synonyms  []string // what else the trade calls it
	meaning   string   // for the documentation and the template
	choices   []string // the words of a vocabulary
	none      *trouble // what is wrong with "none", which is no blank there; nil where it is one
	low, high float64  // the range of a number in the unit of the measure; both 0 where there is none
	shape     shapeOfColumn
}

// shapeOfColumn is what the cells of a column hold, for the template.
type shapeOfColumn uint8

const (
	textShape shapeOfColumn = iota
	numberShape
	wholeShape
	dateShape
)

// isNumber tells whether the cells of a column are numbers.
func (c *column[R]) isNumber() bool { return c.shape == numberShape || c.shape == wholeShape }

// also adds what else the trade calls a column.
func (c column[R]) also(names ...string) column[R] {
	c.synonyms = append(c.synonyms[:len(c.synonyms):len(c.synonyms)], names...)
	return c
}

// ofAnyLength lets the texts of a column be longer than names.
func (c column[R]) ofAnyLength() column[R] {
	c.long = true
	return c
}

// idly notes that no verdict rests on a column.
func (c column[R]) idly() column[R] {
	c.idle = true
	return c
}

// means says what a column holds.
func (c column[R]) means(meaning string) column[R] {
	c.meaning = meaning
	return c
}

// trouble says what is wrong with a cell, in the words of a fault.
type trouble struct {
	kind     audit.FaultKind
	expected string
	asks     audit.OpenWord
	gathered string // what makes it one fault for all rows of the column that have it too; empty where each row has its own
}

const (
	required = true
	optional = false
)

var notANumber = &trouble{kind: audit.NotANumber, expected: "is not a number"}

// number is a column of numbers between two ends, both included, which are in the unit of the measure.
func number[R any](heading string, m *measure, low, high float64, field audit.Cell, at func(*R) *float64) column[R] {
	return column[R]{heading: heading, field: field, measure: m, low: low, high: high, shape: numberShape, read: func(row *R, cell string, in unitOfMeasure) *trouble {
		written, ok := parseNumber(cell)
		value := written*in.factor + in.offset
		*at(row) = math.NaN()
		switch {
		case !ok:
			return notANumber
		case value < low || value > high:
			return outOfRange(low, high, in)
		}
		*at(row) = value
		return nil
	}}
}

// outOfRange gives the range in the unit of the heading.
func outOfRange(low, high float64, in unitOfMeasure) *trouble {
	expected := fmt.Sprintf("is out of range, expected %.6g to %.6g", (low-in.offset)/in.factor, (high-in.offset)/in.factor)
	if len(in.names) > 0 {
		expected += " " + in.names[0]
	}
	return &trouble{kind: audit.OutOfRange, expected: expected}
}

// whole is a column of whole numbers between two ends, both included.
func whole[R any](heading string, required bool, low, high int, field audit.Cell, set func(*R, int)) column[R] {
	return column[R]{heading: heading, required: required, field: field, low: float64(low), high: float64(high), shape: wholeShape, read: func(row *R, cell string, _ unitOfMeasure) *trouble {
		value, ok := parseNumber(cell)
		switch {
		case !ok:
			return notANumber
		case value < float64(low) || value > float64(high):
			return &trouble{kind: audit.OutOfRange, expected: fmt.Sprintf("is out of range, expected %d to %d", low, high)}
		case value != math.Trunc(value):
			return &trouble{kind: audit.NotANumber, expected: "is not a whole number"}
		}
		set(row, int(value))
		return nil
	}}
}

// word is a column of words of a vocabulary.
func word[R, V any](heading string, required bool, field audit.Cell, vocabulary words[V], at func(*R) *V) column[R] {
	return column[R]{heading: heading, required: required, field: field, choices: vocabulary.names, read: func(row *R, cell string, _ unitOfMeasure) *trouble {
		value, ok := vocabulary.find(cell)
		if !ok {
			return unknownWord(vocabulary.of, "is none of "+vocabulary.list, cell)
		}
		*at(row) = value
		return nil
	}}
}

// unknownWord is the trouble with a word of a list that nobody knows: one for all rows that hold it.
func unknownWord(list, expected, cell string) *trouble {
	t := &trouble{kind: audit.UnknownWord, expected: expected, gathered: "word " + houseKey(cell)}
	if list != "" {
		t.expected, t.asks = expected+"; "+sayWord(list, cell), audit.OpenWord{List: list, Text: strings.Clone(excerpt(cell))}
	}
	return t
}

// notingNumbers takes note whether a text stands as a number in its cell.
func (c column[R]) notingNumbers(note func(row *R, is bool)) column[R] {
	c.numeric = note
	return c
}

// kindExpected lists the kinds of insulator in a message.
func kindExpected() string { return "is none of " + strings.Join(kindNames(), ", ") }

func kindNames() (choices []string) {
	for k := basis.CapAndPin; k <= basis.Shackle; k++ {
		choices = append(choices, k.String())
	}
	return choices
}

// kind is a column of kinds of insulator.
func kind[R any](heading string, house *houseWords, at func(*R) *basis.Kind) column[R] {
	return column[R]{heading: heading, field: audit.CellKind, choices: kindNames(), read: func(row *R, cell string, _ unitOfMeasure) *trouble {
		value, ok := basis.ParseKind(Composed(house.text(kindList, cell)))
		*at(row) = value
		if !ok {
			return unknownWord(kindList, kindExpected(), cell)
		}
		return nil
	}}
}

// phases is a column of sets of phases.
func phases[R any](heading string, field audit.Cell, house *houseWords, set func(*R, string, audit.Phases)) column[R] {
	known := map[string]audit.Phases{}
	return column[R]{heading: heading, field: field, signs: true, read: func(row *R, cell string, _ unitOfMeasure) *trouble {
		value, ok := known[cell]
		if !ok {
			var t *trouble
			if value, t = house.phases(cell); t != nil {
				return t
			}
			if len(known) < mostSpellings {
				known[strings.Clone(cell)] = value
			}
		}
		if len(house.list(phaseList)) > 0 {
			cell = value.String()
		}
		set(row, cell, value)
		return nil
	}}
}

// phaseNames is a column of the phases of a circuit: a bare number is how many there are, and the name of none.
func phaseNames[R any](heading string, field audit.Cell, house *houseWords, set func(*R, string, audit.Phases)) column[R] {
	c := phases(heading, field, house, set)
	read := c.read
	c.read = func(row *R, cell string, in unitOfMeasure) *trouble {
		if _, err := strconv.ParseFloat(cell, 64); err == nil {
			return &trouble{kind: audit.UnknownWord, expected: "is a number of phases, expected their names such as R,Y,B or ABC"}
		}
		return read(row, cell, in)
	}
	return c
}

// symbol is a column of texts that many rows repeat.
func symbol[R any](heading string, required bool, field audit.Cell, r *register, at func(*R) *audit.Symbol) column[R] {
	own := r.house().list(heading)
	var last audit.Symbol
	return column[R]{heading: heading, required: required, field: field, verbatim: true, read: func(row *R, cell string, _ unitOfMeasure) *trouble {
		if own == nil && last != 0 && cell == r.project.Symbols.Text(last) {
			*at(row) = last
			return nil
		}
		if own != nil {
			cell = r.house().text(heading, tidyNumber(cell))
		}
		last = r.project.Symbols.Number(Composed(tidyNumber(cell)))
		*at(row) = last
		return nil
	}}
}

// mostLongTexts is how many bytes the texts may have together that are longer than a name and held whole.
const mostLongTexts = 256 << 20

// longTexts are the bytes of such texts: of remarks, and of what is carried through.
type longTexts int

// add counts a text that is to be held, and fails where that is too much.
func (n *longTexts) add(text string) error {
	if len(text) <= longestName {
		return nil
	}
	if *n += longTexts(len(text)); *n > mostLongTexts {
		return fmt.Errorf("holds more than %d MiB of texts longer than %d characters", mostLongTexts>>20, longestName)
	}
	return nil
}

// carriedSymbol is the symbol of a text that is carried through, which is held whole and once: nothing may take two for one.
func (n *longTexts) carriedSymbol(p *audit.Project, text string) (audit.Symbol, error) {
	text = Composed(text)
	if _, known := p.Symbols.Find(text); !known {
		if err := n.add(text); err != nil {
			return 0, err
		}
	}
	return p.Symbols.Number(text), nil
}

// text is a column of texts that few rows share.
func text[R any](heading string, required bool, field audit.Cell, r *register, at func(*R) *audit.TextAt) column[R] {
	rewritten := heading == structureList && r.house().rewrites()
	var last []byte // the short text that was read last, which is held once where rows in succession have it
	var lastPlace audit.TextAt
	return column[R]{heading: heading, required: required, field: field, verbatim: true, numbers: heading == structureList, read: func(row *R, cell string, _ unitOfMeasure) *trouble {
		if len(last) > 0 && string(last) == cell {
			*at(row) = lastPlace
			return nil
		}
		if err := r.longTexts.add(cell); err != nil {
			r.failed = err
			return nil
		}
		written := cell
		if rewritten {
			cell = r.house().number(Composed(tidyNumber(cell)))
		}
		place, err := r.project.Texts.Add(Composed(tidyNumber(cell)))
		if err != nil {
			r.failed = err
		}
		if last, lastPlace = last[:0], place; err == nil && len(written) <= longestName {
			last = append(last, written...)
		}
		*at(row) = place
		return nil
	}}
}

// plain is a column of texts as they are.
func plain[R any](heading string, required bool, field audit.Cell, at func(*R) *string) column[R] {
	last := ""
	return column[R]{heading: heading, required: required, field: field, verbatim: true, read: func(row *R, cell string, _ unitOfMeasure) *trouble {
		if text := Composed(cell); text != last {
			last = strings.Clone(text) // which may be a piece of a long row
		}
		*at(row) = last
		return nil
	}}
}

// date is a column of dates, which a workbook keeps as numbers or a text gives as 2019-05-31 and in other ways.
func date[R any](heading string, r *register, field audit.Cell, at func(*R) *audit.Day) column[R] {
	c := column[R]{heading: heading, field: field, shape: dateShape}
	var last []byte // the date that was read last without a fault, which mostly comes again
	var lastDay audit.Day
	c.read = func(row *R, cell string, _ unitOfMeasure) *trouble {
		if len(last) > 0 && string(last) == cell {
			*at(row) = lastDay
			return nil
		}
		_, t := c.readDate(row, cell, nil)
		if last = last[:0]; t == nil {
			last, lastDay = append(last, cell...), *at(row)
		}
		return t
	}
	c.readDate = func(row *R, cell string, form *dateForm) (dateTaken, *trouble) {
		day, taken, t := readDate(cell, r.from1904, form)
		if t == nil {
			*at(row) = day
		}
		r.centuryTaken = r.centuryTaken || t == nil && taken.century
		return taken, t
	}
	return c
}

// localDate is a column of dates of the register, which are held against others by the day.
func localDate[R any](heading string, r *register, at func(*R) *audit.Day) column[R] {
	c := date(heading, r, audit.CellRemarks, at)
	read, readDate := c.read, c.readDate
	c.read = func(row *R, cell string, u unitOfMeasure) *trouble {
		t := read(row, cell, u)
		if t == nil {
			*at(row) = localDay(cell, *at(row))
		}
		return t
	}
	c.readDate = func(row *R, cell string, form *dateForm) (dateTaken, *trouble) {
		taken, t := readDate(row, cell, form)
		if t == nil {
			*at(row) = localDay(cell, *at(row))
		}
		return taken, t
	}
	return c
}

// isErrorValue tells whether a text is what a spreadsheet shows in place of a value that it cannot find. It is no name.
func isErrorValue(cell string) bool {
	if !strings.HasPrefix(cell, "#") {
		return false
	}
	switch strings.ToUpper(cell) {
	case "#N/A", "#REF!", "#VALUE!", "#NAME?", "#DIV/0!", "#NUM!", "#NULL!", "#SPILL!", "#CALC!", "#GETTING_DATA":
		return true
	}
	return false
}

// weight is how much a faulty cell of the column matters: no verdict rests on dates and remarks.
func (c *column[R]) weight() audit.Weight {
	if c.field == audit.CellRemarks {
		return audit.ByTheWay
	}
	return audit.Matters
}
