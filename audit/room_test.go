package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Rows of a structure are compared by the room that they hold, so each is kept once, however many there are.
func TestRoomsAreKeptOnce(t *testing.T) {
	const many = 1000
	var p Project
	room := func(mm int) Room {
		r := UnknownRoom()
		r.WallDistanceMM, r.ClearancesMM = float64(mm), []CaseFigure{{Case: "high wind", Value: 600}}
		return r
	}
	for range 2 {
		for i := 1; i <= many; i++ {
			require.EqualValues(t, i, p.AddRoom(room(i)))
		}
	}
	require.Len(t, p.Rooms, many)
	require.Zero(t, p.AddRoom(UnknownRoom()))
	none := UnknownRoom()
	none.ArmLengthMM = 0
	require.Zero(t, p.AddRoom(none))
	other := room(1)
	other.ClearancesMM = []CaseFigure{{Case: "high wind", Value: 601}}
	copied := p
	require.EqualValues(t, many+1, copied.AddRoom(other))
	require.EqualValues(t, many+1, p.AddRoom(room(many+1)), "what a copy keeps is none of the first")
	require.EqualValues(t, 1, p.AddRoom(room(1)))
}

// A structure that states an upright wall or a level bracket has those, whatever its line states.
func TestUprightWallOfAStructure(t *testing.T) {
	own, line := UnknownRoom(), UnknownRoom()
	own.WallLean, own.BracketMM = 0, 0
	line.WallLean, line.BracketMM = 0.05, 300
	over := own.over(line)
	require.Zero(t, over.WallLean)
	require.Zero(t, over.BracketMM)
	require.Equal(t, []float64{0.05, 300}, []float64{UnknownRoom().over(line).WallLean, UnknownRoom().over(line).BracketMM})
	var p Project
	require.EqualValues(t, 1, p.AddRoom(own))
	require.Zero(t, p.roomOf(&StructureRow{Room: 1}).BracketMM)
}
