package basis

import (
	"fmt"
	"math"
)

// Tolerance is the relative tolerance of every comparison and rounding: an exact fit meets.
const Tolerance = 1e-9

// Tag says how well the source of a number is known.
type Tag string

// The tags of a source.
const (
	Published Tag = "published"
	Memory    Tag = "value from memory"
	Practice  Tag = "common practice"
	Computed  Tag = "computed"
	Own       Tag = "the project's own figure"
	Choice    Tag = "a choice of this program"
)

// Clause names the place a number or a rule comes from.
type Clause struct {
	Document string // "IEC TS 60815-1"; empty for common practice and plain arithmetic
	Edition  string // "2008"
	Clause   string // "clause 6.2.2", "table 9"; empty where the place inside the document is not known
	Tag      Tag
}

// String returns document, edition and clause as one line of text, with the tag unless the source is published:
// "IEC 60071-2:2018, clause 6.2.2", "IEC 60038 (value from memory)", "common practice".
func (c Clause) String() string {
	if c.Document == "" {
		return string(c.Tag)
	}
	s := c.Document
	if c.Edition != "" {
		s += ":" + c.Edition
	}
	if c.Clause != "" {
		s += ", " + c.Clause
	}
	if c.Tag != Published && c.Tag != "" {
		s += " (" + string(c.Tag) + ")"
	}
	return s
}

// IsZero reports whether no source is named at all.
func (c Clause) IsZero() bool { return c == Clause{} }

// OutOfRange is the error of a formula that was given a value outside the range it is valid for.
type OutOfRange struct {
	Quantity string  // what was given: "altitude"
	Value    float64 // the value given, NaN if unknown
	Min, Max float64 // the valid range, ends included; AboveZero and Finite stand for ends that have no figure
	Measure  string  // unit of measure, empty for a pure number
}

// Ends of a range that have no figure of their own.
const (
	AboveZero = math.SmallestNonzeroFloat64 // as Min: anything above zero
	Finite    = math.MaxFloat64             // as Max: anything but infinity
)

// Error names the quantity, the value given and the range that was expected.
func (e *OutOfRange) Error() string {
	measure := ""
	if e.Measure != "" {
		measure = " " + e.Measure
	}
	value, expected := fmt.Sprintf("%g%s", e.Value, measure), ""
	if math.IsNaN(e.Value) {
		value = "unknown"
	}
	switch {
	case e.Max < Finite:
		expected = fmt.Sprintf("%g to %g%s", e.Min, e.Max, measure)
	case e.Min == AboveZero:
		expected = "above 0" + measure
	default:
		expected = fmt.Sprintf("%g%s or more", e.Min, measure)
	}
	return fmt.Sprintf("%s: %s is out of range, expected %s", e.Quantity, value, expected)
}

// within returns nil for min ≤ value ≤ max and an *OutOfRange otherwise, also for NaN.
func within(quantity string, value, min, max float64, measure string) error {
	if value >= min && value <= max {
		return nil
	}
	return &OutOfRange{Quantity: quantity, Value: value, Min: min, Max: max, Measure: measure}
}

// ceil rounds up to a whole number, and an exact fit within Tolerance stays.
func ceil(x float64) int {
	return int(math.Ceil(x - Tolerance*math.Max(1, math.Abs(x))))
}
