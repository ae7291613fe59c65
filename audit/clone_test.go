package audit

import (
	"fmt"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A copy of a project is arranged as the first was, and what changes in the one stays out of the other.
func TestClone(t *testing.T) {
	s := newSketch(t)
	s.structure("L", "1", 0, 50)
	s.structure("L", "2", 0.004, 50)
	s.assembly("L", "1", "1", "A", Tension, Ahead)
	s.assembly("L", "9", "1", "A", Suspension, NoSide)
	s.network()
	faults := s.p.Faults.Total()
	require.Positive(t, faults)

	c := s.p.Clone()
	c.Assemblies.Row(0).UnitsPerString = 3
	c.Symbols.Number("new to the vocabulary")
	_, err := c.Texts.Add("a new number")
	require.NoError(t, err)
	n, err := Arrange(c)
	require.NoError(t, err)
	require.Equal(t, 1, n.RowsPlaced)
	require.Equal(t, faults, c.Faults.Total(), "found again, once")
	require.Equal(t, int16(9), s.p.Assemblies.At(0).UnitsPerString)
	_, known := s.p.Symbols.Find("new to the vocabulary")
	require.False(t, known)
	require.Equal(t, "1", c.Texts.Get(c.Structures.At(0).Number))

	t.Run("figures that arranging doubts stay with the first", func(t *testing.T) {
		s := newSketch(t)
		s.p.Units[0].SpacingMM = 146
		s.straight("L", 3)
		s.line("L").LightningKV = 650
		for i := range 3 {
			row := s.assembly("L", string(rune('1'+i)), "1", "A", Suspension, NoSide)
			d := UnknownDirectValues()
			d.CreepageMM, d.LengthMM, d.LightningKV = 295, 1, 650 // of one disc, of none, and the level of the line
			s.p.Direct = append(s.p.Direct, d)
			row.Makeup, row.Direct = 1, uint32(len(s.p.Direct))
		}
		stated := slices.Clone(s.p.Direct)
		c := s.p.Clone()
		_, err := Arrange(c)
		require.NoError(t, err)
		for i := range c.Assemblies.Len() {
			require.Equal(t, Cells(1<<CellCreepage|1<<CellLength|1<<CellTested), c.Assemblies.At(i).Faulty)
			require.Equal(t, fmt.Sprint(UnknownDirectValues()), fmt.Sprint(c.directOf(c.Assemblies.Row(i))))
			require.Zero(t, s.p.Assemblies.At(i).Faulty)
		}
		require.Equal(t, fmt.Sprint(stated), fmt.Sprint(s.p.Direct))
		d := s.p.Clone()
		s.network()
		require.Equal(t, fmt.Sprint(stated), fmt.Sprint(d.Direct), "and those that it doubts in the first stay with the copy")
	})
	t.Run("what cannot be read in the second of two like rows is known of it in every copy", func(t *testing.T) {
		s := newSketch(t)
		s.straight("L", 3)
		s.assembly("L", "2", "1", "A", Tension, NoSide)
		second := s.assembly("L", "2", "1", "A", Tension, NoSide)
		second.Faulty = second.Faulty.With(CellCreepage)
		s.p.Faults.Add(Fault{Kind: NotANumber, At: second.Source, Column: "Creepage", Value: "?"})
		pristine := s.p.Pristine()
		scenario := Scenario{Sheet: []LineRow{*s.line("L")}}
		scenario.Sheet[0].LongestStringMM = 2000
		today := s.network()
		require.Len(t, today.repeats, 1)
		require.Empty(t, today.pairs)
		then, err := today.Under(pristine, &scenario)
		require.NoError(t, err)
		require.False(t, then.isTaken(0))
		whole, err := Arrange(pristine.Under(&scenario))
		require.NoError(t, err)
		rehung, err := ArrangeLike(today.Project.Clone(), today, []int{0})
		require.NoError(t, err)
		for name, n := range map[string]*Network{"a scenario": then, "a scenario, arranged as a whole": whole, "a project with remedies": rehung} {
			require.Equal(t, today.repeats, n.repeats, name)
			require.Empty(t, n.pairs, name)
		}
	})
	t.Run("a clearance of a structure that arranging doubts stays with the first", func(t *testing.T) {
		s := newSketch(t)
		s.straight("L", 3)
		s.p.Structures.Row(1).Room = s.p.AddRoom(Room{ClearanceMM: 200, WallDistanceMM: 700})
		row := s.line("L")
		row.NominalKV, row.HighestKV = 132, 145 // of which 200 mm are believed
		higher := *row
		higher.NominalKV, higher.HighestKV = 220, 245
		pristine := s.p.Pristine()
		then := pristine.Under(&Scenario{Sheet: []LineRow{higher}})
		for _, c := range []struct {
			of     *Project
			faulty bool
		}{{then, true}, {pristine.Pristine(), false}, {s.p, false}, {pristine.Under(&Scenario{Sheet: []LineRow{higher}}), true}} {
			n, err := Arrange(c.of)
			require.NoError(t, err)
			found := n.Structure(0, 1)
			require.Equal(t, c.faulty, found.RoomFaulty)
			require.Equal(t, c.faulty, c.of.Faults.Total() == 1)
			require.Zero(t, c.of.Structures.At(1).Faulty)
		}
	})
	t.Run("structures made of routes are made anew, not twice", func(t *testing.T) {
		s := newSketch(t)
		s.p.Routes, s.p.RoutesAlone = []Route{{Line: s.p.Symbols.Number("L"), Parts: [][]orb.Point{{{0, 50}, {0.004, 50}, {0.008, 50}}}}}, true
		require.Equal(t, 3, s.network().StructureCount())
		n, err := Arrange(s.p.Clone())
		require.NoError(t, err)
		require.Equal(t, 3, n.StructureCount())
	})
}
