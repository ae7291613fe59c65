package audit

import (
	"math"
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
	require.Zero(t, p.AddRoom(Room{ArmLengthMM: 0, WallDistanceMM: math.NaN()}))
	other := room(1)
	other.ClearancesMM = []CaseFigure{{Case: "high wind", Value: 601}}
	copied := p
	require.EqualValues(t, many+1, copied.AddRoom(other))
	require.EqualValues(t, many+1, p.AddRoom(room(many+1)), "what a copy keeps is none of the first")
	require.EqualValues(t, 1, p.AddRoom(room(1)))
}
