package audit

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTallyKeepsTheWorstMargin(t *testing.T) {
	var c tally
	margin := func(outcome Outcome, m float64, reason Reason) Verdict {
		return Verdict{Outcome: outcome, Margin: m, Reason: reason}
	}
	require.True(t, math.IsNaN(c.coverage().WorstMargin))
	for _, v := range []Verdict{margin(Meets, math.NaN(), NoReason), margin(Meets, 0.5, NoReason), margin(FallsShort, -0.2, WithinSurveyAccuracy), margin(Meets, 0.1, NoReason),
		margin(FallsShort, math.NaN(), NoReason), margin(NotAssessed, -9, GroundUnknown), margin(NotApplicable, -9, IsJumper)} {
		c.count(v.Outcome, v.Reason, v.Margin)
	}
	c.passOver(NotAssessed, GroundUnknown)
	c.passOver(NotAssessed, NoClass)
	total := c.coverage()
	reasons := []ReasonCount{{FallsShort, WithinSurveyAccuracy, 1}, {NotApplicable, IsJumper, 1}, {NotAssessed, NoClass, 1}, {NotAssessed, GroundUnknown, 2}}
	require.Equal(t, Coverage{Meets: 3, FallsShort: 2, NotApplicable: 1, NotAssessed: 3, WorstMargin: -0.2, Reasons: reasons}, total)
	judged, concerned := total.Assessed()
	require.Equal(t, [2]int{5, 8}, [2]int{judged, concerned})

	sum := Coverage{WorstMargin: math.NaN()}
	sum.Add(total)
	sum.Add(Coverage{Meets: 10, FallsShort: 20, NotApplicable: 30, NotAssessed: 40, WorstMargin: math.NaN(),
		Reasons: []ReasonCount{{NotAssessed, NoClass, 5}, {NotApplicable, NoClass, 6}, {NotAssessed, IsJumper, 7}}})
	require.Equal(t, Coverage{Meets: 13, FallsShort: 22, NotApplicable: 31, NotAssessed: 43, WorstMargin: -0.2, Reasons: []ReasonCount{
		{FallsShort, WithinSurveyAccuracy, 1}, {NotApplicable, IsJumper, 1}, {NotAssessed, NoClass, 6}, {NotAssessed, GroundUnknown, 2},
		{NotApplicable, NoClass, 6}, {NotAssessed, IsJumper, 7}}}, sum)
	sum.Add(Coverage{WorstMargin: -0.1})
	require.Equal(t, -0.2, sum.WorstMargin)
	sum.Add(Coverage{WorstMargin: -0.3})
	require.Equal(t, -0.3, sum.WorstMargin)
}

// Every subject is put to the checks of its kind once: the line, its sections, its structures, their rows and places.
func TestEverySubjectIsVisitedOnce(t *testing.T) {
	s := newSketch(t)
	s.straight("L", 4) // sections 1–2 and 2–4
	s.assembly("L", "1", "1", "A", Tension, Ahead)
	s.assembly("L", "2", "1", "A", Tension, Back)
	s.assembly("L", "2", "1", "A", Tension, Ahead)
	s.assembly("L", "3", "1", "A", Suspension, NoSide)
	s.assembly("L", "4", "1", "A", Tension, Back)
	s.straight("without rows", 2)
	var checks []*Check
	for _, of := range []SubjectKind{OfAssembly, OfPlace, OfStructure, OfSection, OfLine} {
		check := sizing()
		check.ID, check.Of, check.Sizes, check.Headroom = of.String(), of, false, false
		check.Judge = func(s *Subject, _ *Trace) Verdict {
			switch of {
			case OfAssembly:
				return AtLeast(float64(s.Assembly.UnitsPerString), 10, "")
			case OfPlace:
				return AtLeast(float64(s.Place.Assemblies), 10, "")
			case OfStructure:
				return AtLeast(float64(s.Registered.CarryPhase), 10, "")
			case OfSection:
				return AtLeast(float64(s.Section.Spans), 10, "")
			}
			return AtLeast(0, 1, "")
		}
		checks = append(checks, check)
	}
	n := s.network()
	r, err := Assess(context.Background(), n, checks, Options{Workers: 1})
	require.NoError(t, err)
	found := map[SubjectKind][]float64{}
	for _, e := range r.Exceptions {
		of := checks[e.Check].Of
		found[of] = append(found[of], e.Verdict.Observed.Number)
		location := e.Location
		again := checks[e.Check].Run(n.Subject(&location), nil)
		require.Equal(t, e.Verdict.Observed, again.Observed, "found again where it was, %+v", location)
	}
	require.ElementsMatch(t, []float64{9, 9, 9, 9, 9}, found[OfAssembly])
	require.ElementsMatch(t, []float64{1, 2, 2, 1, 1}, found[OfPlace], "both sides of structure 2")
	require.ElementsMatch(t, []float64{1, 2, 1, 1, 0, 0}, found[OfStructure])
	require.ElementsMatch(t, []float64{1, 2}, found[OfSection])
	require.ElementsMatch(t, []float64{0, 0}, found[OfLine])
}

// Faults beyond the list of one reader are counted with those of another, each under its own kind and column.
func TestMergedFaults(t *testing.T) {
	var a, b Faults
	fault := func(kind FaultKind, row uint32, column, value string) Fault {
		return Fault{Kind: kind, At: Source{Row: row}, Column: column, Value: value}
	}
	for range keptFaults + 3 {
		b.Add(fault(NotANumber, 9, "Strings", "x"))
	}
	for _, f := range []Fault{fault(UnknownWord, 2, "Duty", "b"), fault(UnknownWord, 2, "Duty", "a"), fault(NotANumber, 2, "Side", "z"), fault(UnknownWord, 1, "Strings", "q"), fault(UnknownWord, 2, "Arr", "c")} {
		a.Add(f)
	}
	a.Merge(&b)
	require.Equal(t, []FaultCount{{NotANumber, "Side", Matters, 1, 1}, {NotANumber, "Strings", Matters, keptFaults + 3, keptFaults}, {UnknownWord, "Arr", Matters, 1, 1}, {UnknownWord, "Duty", Matters, 2, 2},
		{UnknownWord, "Strings", Matters, 1, 1}}, a.Counts())
	require.Equal(t, keptFaults+8, a.Total())
	values := ""
	for _, f := range a.List()[:5] {
		values += f.Value
	}
	require.Equal(t, "qzcab", values, "by row, kind, column and value")
}

func TestWeightsOfFaults(t *testing.T) {
	var f Faults
	date := Fault{Kind: NotANumber, At: Source{Table: 1, Row: 3}, Column: "Installed", Weight: ByTheWay}
	f.Add(date)
	f.Add(Fault{Kind: NotANumber, At: Source{Table: 1, Row: 3}, Column: "Installed"})
	f.Add(Fault{Kind: MissingValue, At: Source{Table: 2, Row: 4}, Column: "line"})
	f.Add(Fault{Kind: MissingValue, At: Source{Table: 3, Row: 4}, Column: "line"})
	require.Equal(t, []FaultCount{{MissingValue, "line", Matters, 2, 2}, {NotANumber, "Installed", Matters, 1, 1}, {NotANumber, "Installed", ByTheWay, 1, 1}}, f.Counts())
	require.Equal(t, []int{4, 3}, []int{f.Total(), f.Mattering()})
	require.Equal(t, []string{"matters", "by the way"}, []string{Matters.String(), ByTheWay.String()})

	f.Withdraw(2, "line")
	require.Equal(t, []FaultCount{{MissingValue, "line", Matters, 1, 1}, {NotANumber, "Installed", Matters, 1, 1}, {NotANumber, "Installed", ByTheWay, 1, 1}}, f.Counts())
	f.Withdraw(3, "line")
	require.Equal(t, 2, f.Total())
	require.Len(t, f.List(), 2)
}

func TestGatheredFaultsAreFoundByEachOfTheirRows(t *testing.T) {
	var f Faults
	f.Add(Fault{Kind: NotANumber, At: Source{Table: 1, Row: 2}, Column: "Strings"})
	for row := uint32(3); row < 6; row++ {
		f.Gather(Fault{Kind: UnknownWord, At: Source{Table: 2, Row: row}, Column: "Duty", Value: "hanging"}, "hanging")
	}
	require.Equal(t, 2, f.Total())
	require.True(t, f.isWhole())
	fault, found := f.at(Source{Table: 2, Row: 5}, "duty")
	require.True(t, found)
	require.Equal(t, UnknownWord, fault.Kind)
	_, found = f.at(Source{Table: 1, Row: 5}, "Duty")
	require.False(t, found)

	f.Withdraw(1, "Strings")
	f.Gather(Fault{Kind: UnknownWord, At: Source{Table: 2, Row: 6}, Column: "Duty", Value: "hanging"}, "hanging")
	require.Equal(t, 3, f.list[0].Rows, "what was listed before is left as it is")
	f.Add(Fault{Kind: Implausible, At: Source{Table: 2, Row: 3}, Column: "Strings", Rows: 4})
	require.False(t, f.isWhole(), "a fault that does not name all its rows")
}
