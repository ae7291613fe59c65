package audit

import (
	"fmt"
	"math"
	"strconv"

	"dryarc/audit/basis"
)

// doubtTensions finds the tensions of a line that cannot be: a maximum or a cold tension below the everyday one, or one above the
// rated strength of the line's conductor. Which of two that contradict each other is wrong nobody can tell, so neither is used.
func (n *Network) doubtTensions(line *Line) {
	row := &line.Row
	maximum, cold, everyday := row.MaximumTensionKN, row.ColdTensionKN, row.EverydayTensionKN
	strength := line.strengthKN()
	doubt := func(column string, kN float64, expected string, unknown ...*float64) {
		n.Project.Faults.Add(Fault{Kind: Implausible, At: row.Source, Column: column, Value: strconv.FormatFloat(kN, 'g', -1, 64),
			Expected: "is implausible " + expected})
		row.Faulty = row.Faulty.With(CellTension)
		for _, figure := range unknown {
			*figure = math.NaN()
		}
	}
	for _, t := range [...]struct {
		column  string
		kN      float64
		figure  *float64
		atLeast bool
	}{
		{"Maximum tension", maximum, &row.MaximumTensionKN, true},
		{"Cold tension", cold, &row.ColdTensionKN, true},
		{"Everyday tension", everyday, &row.EverydayTensionKN, false},
	} {
		if t.atLeast && basis.Contradicts(t.kN, everyday) {
			doubt(t.column, t.kN, fmt.Sprintf("below the everyday tension %g kN; nothing is judged by either", everyday), t.figure, &row.EverydayTensionKN)
		}
		if basis.Contradicts(strength, t.kN) {
			doubt(t.column, t.kN, fmt.Sprintf("above the rated strength of %s, %g kN; nothing is judged by it", line.Conductor.Name, strength), t.figure)
		}
	}
}

// strengthKN is the rated strength of the line's conductor, which no tension of it exceeds; NaN if unknown.
func (l *Line) strengthKN() float64 {
	if l.Conductor == nil || l.Row.Faulty.Has(CellConductor) || l.ConductorFaulty.Has(CellRating) {
		return math.NaN()
	}
	return l.Conductor.RatedStrengthKN
}
