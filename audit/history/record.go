package history

import (
	"cmp"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/paulmach/orb"
)

// Record is one exception as the audit.json of a run holds it.
type Record struct {
	audit.Key
	ID                   string
	Severity             audit.Severity
	Observed, Required   audit.Value // without measure, which is that of both
	Measure              string
	Margin               float64
	Sentence             string
	FirstSeen            string    // date
	Position, PositionTo orb.Point // of structure and far structure, as audit.json has them; NaN where there is none
	Rule                 string    // hash of what judged it, empty where that is not known
	Stated               string    // the columns that stated something where a blank would not have been unknown, see audit.Result.Stated
	Rests                string    // the figures that it rests on and that are stated, see audit.Result.RestsOn
	Blank                string    // the columns of the key that were blank, and what it was beside the phases, see audit.Result.Left
	Lost                 string    // date of the run since which it cannot be judged; empty where it can
}

// RecordOf is an exception of a result, first seen on a day.
func RecordOf(r *audit.Result, exception int, firstSeen, rule string) Record {
	e := &r.Exceptions[exception]
	v := &e.Verdict
	return Record{
		Key: r.Key(exception), ID: r.ExceptionIDs()[exception], Severity: v.Severity, Observed: bare(v.Observed), Required: bare(v.Required),
		Measure: cmp.Or(v.Required.Measure, v.Observed.Measure), Margin: known(v.Margin), Sentence: v.Sentence, FirstSeen: firstSeen,
		Position: positionOf(r.Network, e.Structure), PositionTo: positionOf(r.Network, e.To), Rule: rule, Stated: r.Stated(e.Check, &e.Location),
		Rests: r.RestsOn(e.Check, &e.Location), Blank: r.Left(&e.Location),
	}
}

// perDegree is how finely audit.json has positions, in steps to a degree: a centimetre.
const perDegree = 1e7

var noPosition = orb.Point{math.NaN(), math.NaN()}

func positionOf(n *audit.Network, structure int) orb.Point {
	if structure < 0 {
		return noPosition
	}
	p := n.Position(structure)
	for i := range p {
		p[i] = math.Round(p[i]*perDegree) / perDegree
	}
	return p
}

// bare is a value without its measure, a figure that no output can tell as one that is not known.
func bare(v audit.Value) audit.Value {
	if v.Word != "" {
		return audit.Word(v.Word)
	}
	return audit.Figure(known(v.Number), "")
}

// known is a figure, NaN where no output can tell it.
func known(x float64) float64 {
	if math.IsInf(x, 0) {
		return math.NaN()
	}
	return x
}

// same tells whether two values are equal, figures within the tolerance of the checks.
func same(a, b audit.Value) bool {
	if a.Word != b.Word || math.IsNaN(a.Number) != math.IsNaN(b.Number) {
		return false
	}
	return a.Word != "" || math.IsNaN(a.Number) || math.Abs(a.Number-b.Number) <= basis.Tolerance*max(math.Abs(a.Number), math.Abs(b.Number))
}

// compareRecords orders records of one key worst first, so that the order is total.
func compareRecords(a, b *Record) int {
	return cmp.Or(cmp.Compare(a.Severity, b.Severity), cmp.Compare(a.Margin, b.Margin), compareValues(a.Observed, b.Observed), compareValues(a.Required, b.Required),
		cmp.Compare(len(a.ID), len(b.ID)), cmp.Compare(a.ID, b.ID), cmp.Compare(a.Sentence, b.Sentence), cmp.Compare(a.FirstSeen, b.FirstSeen))
}

func compareValues(a, b audit.Value) int {
	return cmp.Or(cmp.Compare(a.Number, b.Number), cmp.Compare(a.Word, b.Word))
}
