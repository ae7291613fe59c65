package audit

import "dryarc/audit/basis"

// Trace records how a verdict came about. A nil *Trace records nothing, and costs nothing: the checks run with nil in
// bulk and with a trace for the few subjects that are explained. What is explained is therefore the very
// derivation that judged.
type Trace struct{ Steps []Step }

// Step is one line of a derivation.
type Step struct {
	Symbol  string // what is found, such as "L"
	Meaning string // in words
	Formula string // in the symbols of Inputs; empty for a value that was looked up
	Inputs  []Operand
	Result  Value
	Clause  basis.Clause
	Sheet   string // the formula as a spreadsheet writes it, with the symbols of Inputs as names; empty where there is none
}

// Operand is one figure that goes into a step.
type Operand struct {
	Symbol string
	Value  Value
}

// On tells whether the trace records. Checks ask before they build a step.
func (t *Trace) On() bool { return t != nil }

// Add records a step.
func (t *Trace) Add(step Step) {
	if t != nil {
		t.Steps = append(t.Steps, step)
	}
}
