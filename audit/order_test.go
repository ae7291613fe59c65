package audit

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Where numbers cannot order a line its route does; most of the numbers that have a digit set the direction.
func TestOrderAlongTheRoute(t *testing.T) {
	for name, c := range map[string]struct {
		numbers string // along the route as it is drawn
		want    string
	}{
		"rising":                          {"gantry 1 2 3", "gantry 1 2 3"},
		"falling":                         {"gantry 3 2 1", "1 2 3 gantry"},
		"one out of order":                {"x 4 3 2 5 1", "1 5 2 3 4 x"},
		"as many rise as fall":            {"x 1 3 2 y", "x 1 3 2 y"},
		"names without a digit tell none": {"zz yy 1 2 xx", "zz yy 1 2 xx"},
		"no digit at all":                 {"c b a", "c b a"},
		"from 0 on":                       {"2 1 0 a", "a 0 1 2"},
	} {
		s := newSketch(t)
		var route []orb.Point
		for i, number := range strings.Fields(c.numbers) {
			s.structure("L", number, 10+0.01*float64(i), 50).Sequence = math.NaN()
			route = append(route, orb.Point{10 + 0.01*float64(i), 50})
		}
		s.p.Routes = []Route{{Line: s.p.Symbols.Number("L"), Parts: [][]orb.Point{route}}}
		n := s.network()
		require.Equal(t, strings.Fields(c.want), n.numbers(0), name)
		require.Equal(t, ByRoute, n.Lines[0].Ordering, name)
	}
}

// The vertices of a route that stands alone are structures 1, 2, …; those of a ring close it, and the span behind the first
// is the one from the last.
func TestVerticesOfARingAreStructures(t *testing.T) {
	s := newSketch(t)
	ring := []orb.Point{{10, 50}, {10.01, 50}, {10.012, 50.01}, {10, 50}}
	s.p.Routes, s.p.RoutesAlone = []Route{{Line: s.p.Symbols.Number("ring"), Parts: [][]orb.Point{ring}}}, true
	n := s.network()
	require.Equal(t, []string{"1", "2", "3"}, n.numbers(0))
	first, last := n.Structure(0, 0), n.Structure(0, 2)
	require.True(t, n.Lines[0].Closed)
	require.Equal(t, last.SpanAheadM, first.SpanBackM)
	require.NotEqual(t, first.SpanAheadM, first.SpanBackM)
	sections := n.Sections(0, func(int) bool { return false })
	require.Len(t, sections, 1)
	require.Equal(t, 3, sections[0].Spans)
	require.InDelta(t, n.ChainageM(0, 2)+last.SpanAheadM, sections[0].LengthM, 1e-6)
}

// Around a ring conductors change between the last span and the first as anywhere else.
func TestConductorsOfARing(t *testing.T) {
	s := newSketch(t)
	ring := []orb.Point{{10, 50}, {10.01, 50}, {10.012, 50.01}, {10, 50.01}, {10, 50}}
	for i, carries := range []string{"Wolf", "Wolf", "Lynx", "Lynx"} {
		row := s.structure("ring", string("abcd"[i]), ring[i][0], ring[i][1])
		row.Sequence, row.ConductorAhead = math.NaN(), s.p.Symbols.Number(carries)
	}
	s.p.Routes = []Route{{Line: s.p.Symbols.Number("ring"), Parts: [][]orb.Point{ring}}}
	n := s.network()
	require.True(t, n.Lines[0].Closed)
	require.Equal(t, "the conductor changes from Lynx to Wolf", n.at(t, "ring", "a").Changes)
	require.Empty(t, n.at(t, "ring", "b").Changes)
	require.Equal(t, "the conductor changes from Wolf to Lynx", n.at(t, "ring", "c").Changes)
	require.Empty(t, n.at(t, "ring", "d").Changes)
	s.p.Structures.Row(3).ConductorAhead = s.p.Symbols.Number("Dog")
	require.Equal(t, "the conductor changes from Lynx to Dog", s.network().at(t, "ring", "d").Changes)
}

// A sequence that rises by one step in most places has a gap where it rises by more; an irregular one has none.
func TestSequenceGapsNeedARegularSequence(t *testing.T) {
	for _, c := range []struct {
		sequence []float64
		gaps     int
	}{
		{[]float64{1, 2, 3, 4, 6}, 0},          // three of four steps are less than 80 %
		{[]float64{1, 2, 3, 4, 5, 7}, 1},       // four of five
		{[]float64{10, 20, 30, 40, 50, 70}, 1}, // by ten
		{[]float64{1, 1.5, 2, 2.5, 3, 4}, 0},   // no whole step
		{[]float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12, 15}, 2},
		{[]float64{1, 2, 5}, 0}, // too few to tell
		{[]float64{1, 2, 3, 5, 9, 10, 11, 14, 15, 16}, 0},
		{[]float64{1, 1, 1, 1, 1, 1, 3}, 0}, // does not rise
	} {
		s := newSketch(t)
		s.straight("L", len(c.sequence))
		for i, sequence := range c.sequence {
			s.p.Structures.Row(i).Sequence = sequence
		}
		s.network()
		gaps := 0
		for _, fault := range s.p.Faults.List() {
			if fault.Kind == SequenceGap {
				gaps++
			}
		}
		require.Equal(t, c.gaps, gaps, "%v", c.sequence)
	}
}

// A string is compared with the others of its duty at the structure where there are two alike, else with the two nearest
// structures on each side; what is not uniform, in another zone or not known compares with nothing.
func TestOddness(t *testing.T) {
	for name, c := range map[string]struct {
		units string // of the structures of a line, phases together; T is tension, ? is not known
		of    int
		want  Odd
	}{
		"odd at its structure":                  {"999 899 999", 1, OddAtStructure},
		"the others are not uniform":            {"999 897 999", 1, NotCompared},
		"alike":                                 {"999 999 999", 1, LikeTheRest},
		"alike, at an end":                      {"999 888", 1, LikeTheRest},
		"odd in the run":                        {"9 9 8 9 9", 2, OddInRun},
		"odd in the run with those beside it":   {"999 999 888 999 999", 2, OddInRun},
		"alike in the run":                      {"9 9 9 9 9", 2, LikeTheRest},
		"one of the run is too few before":      {"9 8 9 9", 1, NotCompared},
		"one of the run is too few after":       {"9 9 8 9", 2, NotCompared},
		"the run differs before and after":      {"9 9 8 7 7", 2, NotCompared},
		"the run is not uniform":                {"9 7 8 9 9", 2, NotCompared},
		"the run is not uniform at a structure": {"9 97 8 9 9", 2, NotCompared},
		"unknown in the run":                    {"9 ? 8 9 9", 2, NotCompared},
		"itself unknown":                        {"9 9 ? 9 9", 2, NotCompared},
		"tension stands between":                {"9 9 T 8 T 9 9", 3, OddInRun},
		"farther ones do not tell":              {"7 9 9 8 9 9 7", 3, OddInRun},
		"one other at the structure":            {"9 9 89 9 9", 2, OddInRun},
	} {
		s := newSketch(t)
		structures := strings.Fields(c.units)
		s.straight("L", len(structures))
		row := 0
		for i, units := range structures {
			if i == c.of {
				row = s.p.Assemblies.Len()
			}
			for k, u := range units {
				a := s.assembly("L", fmt.Sprint(i+1), "1", string("ABC"[k]), Suspension, NoSide)
				switch u {
				case 'T':
					a.Duty, a.Side, a.UnitsPerString = Tension, Back, 12
				case '?':
					a.UnitsPerString = -1
				default:
					a.UnitsPerString = int16(u - '0')
				}
			}
		}
		n := s.network()
		require.Equal(t, c.want, n.oddness(&n.Lines[0], c.of, uint32(row), uint32(row)), name)
		for i := range structures[:c.of] {
			n.stand(i, site{zone: 5, nearZone: nowhere, doubtZone: nowhere})
		}
		if c.want == OddInRun {
			require.NotEqual(t, OddInRun, n.oddness(&n.Lines[0], c.of, uint32(row), uint32(row)), "%s, but the zone changes before it", name)
		}
	}
}

// The usual string of a line is the one it has most of where a specific creepage is in force, of equally many the shortest.
func TestUsualStrings(t *testing.T) {
	s := newSketch(t)
	s.p.Units[0].SpacingMM = 146
	s.straight("L", 6)
	s.p.Criteria.DefaultClass = 2
	for i, units := range []int16{9, 10, 10, 9, 8, 10} {
		s.assembly("L", fmt.Sprint(i+1), "1", "A", Suspension, NoSide).UnitsPerString = units
	}
	s.assembly("L", "6", "1", "B", Tension, NoSide).UnitsPerString = 7
	s.assembly("L", "5", "1", "B", Suspension, NoSide).UnitsPerString = 9
	s.assembly("L", "5", "1", "C", Suspension, NoSide).UnitsPerString = -1
	n := s.network()
	require.Equal(t, []Usual{{27.8, 9 * 295, 9 * 146, 3, false}}, n.Lines[0].Usual)
	u, reason := n.Lines[0].UsualAt(27.8)
	require.Equal(t, NoReason, reason)
	require.Equal(t, 9*295.0, u.CreepageMM)
	n.Lines[0].Usual[0].Strings = 2
	_, reason = n.Lines[0].UsualAt(27.8)
	require.Equal(t, FewSuspensionStrings, reason)
}

// A circuit ends where another goes on three structures farther, at either end; two are no end.
func TestWhereCircuitsEnd(t *testing.T) {
	for _, c := range []struct {
		first, last         int
		endsFirst, endsLast bool
	}{
		{1, 9, false, false}, {1, 7, false, false}, {1, 6, false, true}, {3, 9, false, false}, {4, 9, true, false}, {4, 6, true, true},
	} {
		s := newSketch(t)
		s.straight("L", 9)
		for i := range 9 {
			s.assembly("L", fmt.Sprint(i+1), "1", "ABC", Suspension, NoSide)
			if i+1 >= c.first && i+1 <= c.last {
				s.assembly("L", fmt.Sprint(i+1), "2", "R,Y,B", Suspension, NoSide)
			}
		}
		s.assembly("L", "5", "3", "A", EarthWire, NoSide)
		n := s.network()
		circuits := n.Lines[0].Circuits
		require.Len(t, circuits, 2, "an earth wire is no circuit")
		got := circuits[1]
		require.Equal(t, "R,Y,B", got.Phases.String())
		require.Equal(t, []any{c.first - 1, c.last - 1, c.endsFirst, c.endsLast}, []any{got.First, got.Last, got.EndsFirst, got.EndsLast}, "%+v", c)
		require.Equal(t, 20-9+c.last-c.first, n.Lines[0].RowsPlaced)
		first, last := n.Structure(0, c.first-1), n.Structure(0, c.last-1)
		require.Equal(t, c.first == 1 || c.endsFirst, len(sidesOf(&first, &got)) == 1)
		require.Equal(t, c.last == 9 || c.endsLast, len(sidesOf(&last, &got)) == 1)
		if c.endsFirst {
			require.Equal(t, []Side{Ahead}, sidesOf(&first, &got))
		}
		if c.endsLast {
			require.Equal(t, []Side{Back}, sidesOf(&last, &got))
		}
	}
}

// Circuits that the Lines sheet counts are expected along the whole line, those without a row too, but not where the
// register has nothing of the line.
func TestStatedCircuits(t *testing.T) {
	build := func(stated int, rows bool) []Circuit {
		s := newSketch(t)
		s.straight("L", 6)
		row := s.line("L")
		row.Circuits, row.Phases = stated, mustParse(t, "ABC")
		if rows {
			s.assembly("L", "2", "2", "A", Suspension, NoSide)
			s.assembly("L", "3", "2", "A", Suspension, NoSide)
		}
		return s.network().Lines[0].Circuits
	}
	require.Empty(t, build(2, false))
	for stated, want := range map[int][][2]int{-1: {{1, 2}}, 0: {{1, 2}}, 1: {{0, 5}}, 2: {{0, 5}, {0, 5}}, 3: {{0, 5}, {0, 5}, {0, 5}}} {
		var spans [][2]int
		for _, c := range build(stated, true) {
			spans = append(spans, [2]int{c.First, c.Last})
			require.Equal(t, "A,B,C", c.Phases.String(), "those the sheet states")
			require.False(t, c.EndsFirst || c.EndsLast)
		}
		require.Equal(t, want, spans, "%d stated", stated)
	}
}

func mustParse(t *testing.T, text string) Phases {
	set, ok := ParsePhases(text)
	require.True(t, ok)
	return set
}
