package audit

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"dryarc/audit/basis"
)

// doubtTensions finds the tensions of a line that cannot be: a maximum or a cold tension or one of a load case below the everyday one, or one
// above the rated strength of the line's conductor. Which of two that contradict each other is wrong nobody can tell, so neither is used.
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
	n.doubtCasesByEveryday(line)
}

// longMedianM is the longest span by which tensions are doubted: no line has many that are longer.
const longMedianM = 1000.0

// medianSpanM is the median of the spans of a line, NaN where it has none.
func (n *Network) medianSpanM(line *Line) float64 {
	spans := make([]float64, 0, line.End-line.First)
	for i := line.First; i < line.End; i++ {
		if span := n.courses[i].spanAheadM; !math.IsNaN(span) {
			spans = append(spans, span)
		}
	}
	if len(spans) == 0 {
		return math.NaN()
	}
	slices.Sort(spans)
	return spans[len(spans)/2]
}

// doubtSlack finds the tensions of a line by which its conductor would hang as no line does on the median of its spans: likely in another unit, or
// those of another conductor.
func (n *Network) doubtSlack(line *Line) (faults []Fault) {
	row := &line.Row
	if line.Conductor == nil || row.Faulty.Has(CellConductor) || line.ConductorFaulty.Has(CellWeight) {
		return nil
	}
	spanM := math.NaN()
	for _, t := range [...]struct {
		column string
		kN     *float64
	}{{"Maximum tension", &row.MaximumTensionKN}, {"Cold tension", &row.ColdTensionKN}, {"Everyday tension", &row.EverydayTensionKN}} {
		weight := line.Conductor.WeightNPerM()
		if _, may := basis.IsTooSlack(*t.kN, line.strengthKN(), weight, longMedianM); !may { // as of nearly all
			continue
		}
		if math.IsNaN(spanM) {
			spanM = min(n.medianSpanM(line), longMedianM)
		}
		sagM, is := basis.IsTooSlack(*t.kN, line.strengthKN(), weight, spanM)
		if !is {
			continue
		}
		faults = append(faults, Fault{Kind: Implausible, At: row.Source, Column: t.column, Value: strconv.FormatFloat(*t.kN, 'g', -1, 64),
			Expected: fmt.Sprintf("is implausible, expected kN: a level span of %.0f m, the median of line %q, of %s would sag %.1f m; nothing is judged by it",
				spanM, n.Project.Symbols.Text(line.Symbol), line.Conductor.Name, sagM)})
		*t.kN, row.Faulty = math.NaN(), row.Faulty.With(CellTension)
	}
	return faults
}

// strengthKN is the rated strength of the line's conductor, which no tension of it exceeds; NaN if unknown.
func (l *Line) strengthKN() float64 {
	if l.Conductor == nil || l.Row.Faulty.Has(CellConductor) || l.ConductorFaulty.Has(CellRating) {
		return math.NaN()
	}
	return l.Conductor.RatedStrengthKN
}
