package audit

import (
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
	c.Assemblies[0].UnitsPerString = 3
	c.Symbols.Number("new to the vocabulary")
	_, err := c.Texts.Add("a new number")
	require.NoError(t, err)
	n, err := Arrange(c)
	require.NoError(t, err)
	require.Equal(t, 1, n.RowsPlaced)
	require.Equal(t, faults, c.Faults.Total(), "found again, once")
	require.Equal(t, int16(9), s.p.Assemblies[0].UnitsPerString)
	_, known := s.p.Symbols.Find("new to the vocabulary")
	require.False(t, known)
	require.Equal(t, "1", c.Texts.Get(c.Structures[0].Number))

	t.Run("structures made of routes are made anew, not twice", func(t *testing.T) {
		s := newSketch(t)
		s.p.Routes, s.p.RoutesAlone = []Route{{Line: s.p.Symbols.Number("L"), Parts: [][]orb.Point{{{0, 50}, {0.004, 50}, {0.008, 50}}}}}, true
		require.Equal(t, 3, s.network().StructureCount())
		n, err := Arrange(s.p.Clone())
		require.NoError(t, err)
		require.Equal(t, 3, n.StructureCount())
	})
}
