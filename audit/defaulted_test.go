package audit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// A clearance that is blank now leaves the swing to the limit of the line, and a swing limit to the clearance: that is no answer to what
// fell short by the one that is gone.
func TestRoomThatIsBlankNow(t *testing.T) {
	s := newSketch(t)
	s.straight("L", 2)
	row := s.line("L")
	row.SwingLimitDeg, row.Room.ClearanceMM, row.Room.WallDistanceMM = 60, 1200, 2500
	s.p.Structures.Row(0).Room = s.p.AddRoom(Room{WallDistanceMM: 2000, ClearanceMM: math.NaN()})
	r := &Result{Project: s.p, Network: s.network()}
	at := AtStructure(0, 0)
	stated, blank := r.Defaulted(&at)
	require.Subset(t, stated, []string{"Clearance", "Swing limit", "Wall distance of the structure"})
	require.Contains(t, blank, "Clearance of the structure")
	l := &r.Network.Lines[0].Row
	l.Room.ClearanceMM = math.NaN()
	stated, blank = r.Defaulted(&at)
	require.NotContains(t, stated, "Swing limit", "nothing stands in for it")
	require.Contains(t, blank, "Clearance")
	l.SwingLimitDeg, l.Faulty = math.NaN(), l.Faulty.With(CellLength)
	_, blank = r.Defaulted(&at)
	require.Contains(t, blank, "Swing limit")
	require.NotContains(t, blank, "Clearance", "it cannot be read")
}
