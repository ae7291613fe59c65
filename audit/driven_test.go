package audit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// A quantity rises no further than the audit would read or believe it.
func TestCurvesEndWhereAFigureIsNotBelievedAnyMore(t *testing.T) {
	n := &Network{Project: new(Project), Lines: []Line{{First: 0, End: 2}}}
	n.Project.Structures.Append(StructureRow{GroundM: 700})
	n.Project.Structures.Append(StructureRow{GroundM: 1500})
	n.newStations([]uint32{0, 1})
	for q, most := range map[Quantity]float64{DriveWind: 10_000, DriveAltitude: 7500, DriveMaximumTension: math.Inf(1), DriveVoltage: math.Inf(1)} {
		require.Equal(t, most, n.Most(0, Drive{Quantity: q}), q.String())
	}
}
