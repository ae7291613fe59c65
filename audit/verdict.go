package audit

import (
	"math"

	"dryarc/audit/basis"
)

// Outcome is what a check says of a subject.
type Outcome uint8

// The outcomes. A check that does not apply and a check that could not be judged are different results.
const (
	Meets Outcome = iota
	FallsShort
	NotApplicable
	NotAssessed
	outcomes
)

var outcomeNames = [outcomes]string{"meets", "falls short", "not applicable", "not assessed"}

func (o Outcome) String() string { return outcomeNames[o] }

// Severity is how much an exception weighs.
type Severity uint8

// The severities, worst first.
const (
	Shortfall Severity = iota // the basis says "shall", or the project or the line states the rule
	Advisory                  // "should", common practice, or a default nobody confirmed
	Note
	severities
)

var severityNames = [severities]string{"shortfall", "advisory", "note"}

func (s Severity) String() string { return severityNames[s] }

// Value is a figure or a word, with the measure it is in.
type Value struct {
	Number  float64 // NaN where Word says it
	Word    string
	Measure string // "mm", "deg"; empty for a word or a pure number
}

// Figure is a number with its measure.
func Figure(number float64, measure string) Value { return Value{Number: number, Measure: measure} }

// Word is a value in words.
func Word(text string) Value { return Value{Number: math.NaN(), Word: text} }

// Verdict is what a check found. Sentence is filled only where the subject falls short: it is the exception in words.
type Verdict struct {
	Outcome            Outcome
	Severity           Severity
	Advice             uint8  // which remedy of its check is for it, see Check.RemedyFor
	fitting            uint8  // that governs, from 1; 0 where it is of none
	Reason             Reason // why it was not applicable or not assessed, or a remark on one that meets
	Observed, Required Value
	// Margin is observed over required, less one, the other way round where less is better: negative falls short.
	// NaN where there is nothing to divide, and where what is required is below 0: no share of it tells anything.
	Margin   float64
	Missing  Phases // the phases that a place lacks
	AtMost   bool   // Observed is an upper bound of what falls short by it
	Sentence string
}

// tolerance is the relative difference up to which two figures are equal. Equality meets.
const tolerance = basis.Tolerance

// compare is −1, 0 or 1 as a is less than, equal to (within tolerance of the smaller) or more than b; 0 where one is NaN.
// Nothing but itself equals an infinite figure.
func compare(a, b float64) int {
	switch slack := tolerance * min(math.Abs(a), math.Abs(b), math.MaxFloat64); {
	case a < b-slack:
		return -1
	case a > b+slack:
		return 1
	}
	return 0
}

// AtLeast judges a figure that has to reach a required one. Equality meets.
func AtLeast(observed, required float64, measure string) Verdict {
	return judged(compare(observed, required) >= 0, observed, required, observed/required-1, measure)
}

// AtMost judges a figure that must not exceed a required one. Equality meets.
func AtMost(observed, required float64, measure string) Verdict {
	return judged(compare(observed, required) <= 0, observed, required, required/observed-1, measure)
}

func judged(meets bool, observed, required, margin float64, measure string) Verdict {
	if math.IsNaN(observed) || math.IsNaN(required) {
		return CannotTell(FigureUnknown)
	}
	v := Verdict{Observed: Figure(observed, measure), Required: Figure(required, measure), Margin: margin}
	if math.IsInf(margin, 0) || required < 0 {
		v.Margin = math.NaN()
	}
	if !meets {
		v.Outcome = FallsShort
	}
	return v
}

// IsWord judges a word that has to be another.
func IsWord(meets bool, observed, required string) Verdict {
	v := Verdict{Observed: Word(observed), Required: Word(required), Margin: math.NaN()}
	if !meets {
		v.Outcome = FallsShort
	}
	return v
}

// DoesNotApply is the verdict on a subject that a check does not concern.
func DoesNotApply(reason Reason) Verdict { return passedOver(NotApplicable, reason) }

// CannotTell is the verdict on a subject that could not be judged.
func CannotTell(reason Reason) Verdict { return passedOver(NotAssessed, reason) }

func passedOver(outcome Outcome, reason Reason) Verdict {
	return Verdict{Outcome: outcome, Reason: reason, Margin: math.NaN()}
}

// Because adds a remark to a verdict.
func (v Verdict) Because(reason Reason) Verdict {
	v.Reason = reason
	return v
}

// OfFitting notes the fitting that governs.
func (v Verdict) OfFitting(f Fitting) Verdict {
	v.fitting = uint8(f) + 1
	return v
}

// Fitting is the fitting that governs a verdict; false where it is of none.
func (v *Verdict) Fitting() (f Fitting, ok bool) {
	return Fitting(v.fitting - 1), v.fitting > 0
}

// As sets how much a shortfall weighs, which the check's own severity otherwise decides.
func (v Verdict) As(severity Severity) Verdict {
	v.Severity = max(v.Severity, severity)
	return v
}

// Advising names the remedy that is for it, of those that its check has beside the first.
func (v Verdict) Advising(otherwise uint8) Verdict {
	v.Advice = otherwise
	return v
}

// Saying adds the sentence of an exception.
func (v Verdict) Saying(sentence string) Verdict {
	v.Sentence = sentence
	return v
}
