package audit

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func TestFaultsOfRows(t *testing.T) {
	sets := WithFaultsOf(nil, 3, 0)
	require.Empty(t, sets, "no set is kept for rows without a faulty cell")
	sets = WithFaultsOf(sets, 2, Cells(0).With(CellRating))
	require.True(t, FaultsOf(sets, 2).Has(CellRating))
	require.Zero(t, FaultsOf(sets, 1))
	require.Zero(t, FaultsOf(sets, 9))
	require.Zero(t, FaultsOf(WithFaultsOf(sets, 2, 0), 2))
	for c := range cells {
		require.True(t, EveryCell.Has(c))
	}
}

// straight is a line of structures 400 m apart along a parallel, tension at the first, the last and every tenth.
func straight(s *sketch, name string, count int, lat float64) {
	for i := range count {
		s.structure(name, fmt.Sprint(i+1), 10+0.0056*float64(i), lat)
		duty, sides := Suspension, []Side{NoSide}
		switch {
		case i == 0:
			duty, sides = Tension, []Side{Ahead}
		case i == count-1:
			duty, sides = Tension, []Side{Back}
		case i%10 == 0:
			duty, sides = Tension, []Side{Back, Ahead}
		}
		for _, side := range sides {
			s.assembly(name, fmt.Sprint(i+1), "1", "A,B,C", duty, side)
		}
	}
}

// A structure that is left out may belong between two others near by, and then the sections there are others.
func TestLostStructureIsDoubtedNearBy(t *testing.T) {
	s := newSketch(t)
	straight(s, "L", 41, 50)
	straight(s, "far", 3, 51)
	s.p.LostStructures = []orb.Point{{10 + 0.0056*25.5, 50}}
	n := s.network()
	doubted := func(line, i int) bool {
		v := n.Structure(line, n.Lines[line].First+i)
		return v.CourseFaulty
	}
	first, far := 0, 1
	if n.Project.Symbols.Text(n.Lines[0].Symbol) == "far" {
		first, far = 1, 0
	}
	require.True(t, doubted(first, 25))
	require.True(t, doubted(first, 20), "the section in which it may stand")
	require.True(t, doubted(first, 30))
	require.False(t, doubted(first, 19))
	require.False(t, doubted(first, 31))
	require.False(t, doubted(far, 1))
}

// A line may have more structures where one that is left out names it, or names none and stands near by or bears a number that it lacks.
func TestLinesThatMayHaveMoreStructures(t *testing.T) {
	for name, c := range map[string]struct {
		lost      []orb.Point
		unplaced  []UnplacedStructure
		line, far bool
	}{
		"none":               {},
		"near one":           {lost: []orb.Point{{10 + 0.0056*25.5, 50}}, line: true},
		"of a line":          {unplaced: []UnplacedStructure{{Line: "far", Number: "4", Sequence: math.NaN()}}, far: true},
		"of none":            {unplaced: []UnplacedStructure{{Sequence: math.NaN()}}, line: true, far: true},
		"of a number it has": {unplaced: []UnplacedStructure{{Number: "30", Sequence: math.NaN()}}, far: true},
	} {
		s := newSketch(t)
		straight(s, "L", 41, 50)
		straight(s, "far", 3, 51)
		s.p.LostStructures, s.p.UnplacedStructures = c.lost, c.unplaced
		n := s.network()
		require.Equal(t, len(c.lost)+len(c.unplaced), n.StructuresLeftOut(), name)
		for l := range n.Lines {
			want := c.line
			if n.Project.Symbols.Text(n.Lines[l].Symbol) == "far" {
				want = c.far
			}
			require.Equal(t, want, n.MayHaveMoreStructures(l), name)
		}
	}
}

func TestOrderThatRestsOnAnUnreadableSequence(t *testing.T) {
	for name, c := range map[string]struct {
		numbers [3]string
		faulty  bool
	}{
		"numbers and sequences agree":  {[3]string{"1", "2", "3"}, false},
		"numbers and sequences differ": {[3]string{"3", "2", "1"}, true},
		"numbers without digits":       {[3]string{"a", "b", "c"}, true},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSketch(t)
			for i, number := range c.numbers {
				s.structure("L", number, 10+0.005*float64(i), 50)
			}
			s.p.Structures.Row(1).Sequence, s.p.Structures.Row(1).Faulty = math.NaN(), Cells(0).With(CellSequence)
			require.Equal(t, c.faulty, s.network().Lines[0].CourseFaulty)
		})
	}
}

// A structure without a sequence among others with one stands where its number puts it, unless the sequences say otherwise.
func TestOrderBesideStatedSequences(t *testing.T) {
	none := math.NaN()
	for name, c := range map[string]struct {
		numbers   []string
		sequences []float64
		faulty    bool
	}{
		"number and sequences agree":          {[]string{"1", "2", "3", "4", "5"}, []float64{1, 2, none, 4, 5}, false},
		"at the end":                          {[]string{"1", "2", "3", "4", "5"}, []float64{1, 2, 3, 4, none}, false},
		"room elsewhere":                      {[]string{"1", "2", "17", "3", "4", "5"}, []float64{10, 20, none, 40, 50, 60}, true},
		"sequences that number do not follow": {[]string{"1", "2", "8", "4", "5"}, []float64{1, 2, 3, none, 5}, true},
		"chainages":                           {[]string{"1", "2", "3", "4", "5"}, []float64{0, 310, none, 890, 1240}, false},
		"none stated":                         {[]string{"1", "2", "3"}, []float64{none, none, none}, false},
	} {
		for _, unreadable := range []bool{true, false} {
			t.Run(fmt.Sprint(name, " ", unreadable), func(t *testing.T) {
				s := newSketch(t)
				for i, number := range c.numbers {
					s.structure("L", number, 10+0.005*float64(i), 50)
					r := s.p.Structures.Row(i)
					if r.Sequence = c.sequences[i]; unreadable && math.IsNaN(r.Sequence) {
						r.Faulty = r.Faulty.With(CellSequence)
					}
				}
				n := s.network()
				require.Equal(t, c.faulty, n.Lines[0].CourseFaulty)
				require.Equal(t, c.faulty && !unreadable, slices.ContainsFunc(s.p.Faults.List(), func(f Fault) bool { return f.Kind == MissingValue && f.Column == "sequence" }))
			})
		}
	}
}

// A row whose circuit cannot be read is of no circuit: it adds none and fills none.
func TestRowOfUnreadableCircuit(t *testing.T) {
	s := newSketch(t)
	straight(s, "L", 5, 50)
	s.p.Assemblies.Row(2).Circuit, s.p.Assemblies.Row(2).Faulty = s.p.Symbols.Number("#N/A"), Cells(0).With(CellCircuits)
	n := s.network()
	require.Len(t, n.Lines[0].Circuits, 1)
	v := visitor{n: n}
	var places []Place
	v.all(func(kind SubjectKind, s Subject, at Location) {
		if kind == OfPlace && at.Structure == 2 {
			places = append(places, *s.Place)
		}
	})
	require.Len(t, places, 1)
	require.True(t, places[0].FaultyRows)
	require.Zero(t, places[0].Present)
}

func TestLostRows(t *testing.T) {
	s := newSketch(t)
	straight(s, "L", 5, 50)
	straight(s, "M", 5, 51)
	s.p.Lost = []LostRow{{Number: s.p.Structures.At(1).Number}, {Line: s.p.Symbols.Number("M")}}
	n := s.network()
	for line, want := range map[int][2]bool{0: {false, true}, 1: {true, true}} {
		for i := range want {
			v := n.Structure(line, n.Lines[line].First+i)
			require.Equal(t, want[i], v.RowsLost, "structure %d of line %d", i+1, line+1)
		}
	}
	require.Equal(t, 1, n.Lines[0].RowsLost)
	require.Equal(t, 2, n.Lines[1].RowsLost)
}

func TestUnreadableKindOfCrossing(t *testing.T) {
	s := newSketch(t)
	straight(s, "L", 3, 50)
	s.p.CrossingsGiven = true
	s.p.Crossings = []Crossing{{Lines: [][]orb.Point{{{10.002, 49.9}, {10.002, 50.1}}}}}
	n := s.network()
	at := n.Structure(0, 0)
	require.True(t, at.Ahead.Unreadable)
	require.Empty(t, at.Ahead.Unruled)
	beyond := n.Structure(0, 2)
	require.False(t, beyond.Back.Unreadable)
}
