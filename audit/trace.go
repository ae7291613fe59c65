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
	Role    StepRole
	Clause  basis.Clause
	Sheet   string // the formula as a spreadsheet writes it, with the symbols of Inputs as names; empty where there is none
}

// StepRole says what the result of a step is to the verdict.
type StepRole uint8

// The roles. A derivation has at most one step that is observed and one that is required.
const (
	InBetween StepRole = iota // what others are found from, or what is told beside them
	Observed                  // the verdict's observed value
	Required                  // the verdict's required value
)

// Operand is one figure that goes into a step.
type Operand struct {
	Symbol string
	Value  Value
}

// On tells whether the trace records. Checks ask before they build a step.
func (t *Trace) On() bool { return t != nil }

// Recast takes the roles off the steps so far: the verdict rests on others, which follow.
func (t *Trace) Recast() {
	if t != nil {
		for i := range t.Steps {
			t.Steps[i].Role = InBetween
		}
	}
}

// Add records a step.
func (t *Trace) Add(step Step) {
	if t != nil {
		t.Steps = append(t.Steps, step)
	}
}
