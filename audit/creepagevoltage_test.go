package audit

import (
	"math"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

func TestWhatStandsAlongStringsByTheProjectsFigures(t *testing.T) {
	nan := math.NaN()
	direct := unknownDirectCreepage()
	direct.MMPerKV[basis.ClassC] = 45 // a figure of this test
	of := CreepageVoltage{Isolated: basis.PerPhaseToPhase, Resonant: basis.PerPhaseToEarth, EarthFaults: "cut off within 10 s"}
	for _, c := range []struct {
		name                       string
		nominal, highest, creepage float64
		system                     System
		faulty                     bool
		want                       float64 // kV
		why                        Reason
	}{
		{"isolated, the whole of Um", 33, 36, nan, Isolated, false, 36, NoReason},
		{"isolated, Um of the nominal voltage", 33, nan, nan, Isolated, false, 36, NoReason},
		{"resonant, Um/√3", 33, 36, nan, Resonant, false, 36 / math.Sqrt(3), NoReason},
		{"earthed, whatever is said of others", 33, 36, nan, Earthed, false, 36 / math.Sqrt(3), NoReason},
		{"the Lines sheet wins", 33, 36, 34.5, Isolated, false, 34.5, NoReason},
		{"isolated, voltage not readable", nan, nan, nan, Isolated, true, nan, FaultyField},
		{"isolated, voltage not stated", nan, nan, nan, Isolated, false, nan, VoltageUnknown},
		{"isolated, low voltage", 0.4, nan, nan, Isolated, false, nan, LowVoltage},
		{"isolated, creepage voltage below half", 132, 145, 41, Isolated, false, nan, FaultyField},
		{"creepage voltage of another line", 33, nan, 400, Earthed, false, nan, FaultyField},
		{"isolated, creepage voltage at one and a half times Um", 33, 36, 54, Isolated, false, 54, NoReason},
		{"isolated, creepage voltage above one and a half times Um", 33, 36, 54.1, Isolated, false, nan, FaultyField},
		{"no standard voltage, creepage voltage far above it", 37, nan, 400, Earthed, false, nan, FaultyField},
		{"no standard voltage, creepage voltage far below it", 37, nan, 3.7, Earthed, false, nan, FaultyField},
		{"no voltage, creepage voltage alone", nan, nan, 400, Earthed, false, 400, NoReason},
		{"single-phase, creepage voltage far below it", 33, 36, 5, SinglePhase, false, 5, NoReason},
		{"single-phase, creepage voltage far above it", 33, 36, 400, SinglePhase, false, nan, FaultyField},
		{"a system that cannot be read, creepage voltage stated", 500, 550, 515, SystemUnknown, true, nan, FaultyField},
		{"another voltage that cannot be read, system stated", nan, nan, 515, DirectCurrent, true, 515, NoReason},
		{"single-phase is not isolated", 33, 36, nan, SinglePhase, false, nan, NeutralNotEarthed},
		{"direct current, pole voltage stated", 500, nan, 515, DirectCurrent, false, 515, NoReason},
		{"direct current, never the nominal or the highest voltage", 500, 515, nan, DirectCurrent, false, nan, PoleVoltageNotStated},
		{"direct current, more than from pole to pole", 500, nan, 1200, DirectCurrent, false, nan, FaultyField},
		{"direct current, nothing stated", nan, nan, nan, DirectCurrent, false, nan, PoleVoltageNotStated},
		{"direct current, not readable", 500, nan, nan, DirectCurrent, true, nan, FaultyField},
		{"direct-current railway, from EN 50163", 3, nan, nan, DirectRailway, false, 3.6, NoReason},
		{"direct-current railway, its highest voltage stated", 3, 3.9, nan, DirectRailway, false, 3.9, NoReason},
		{"direct-current railway, its creepage voltage stated", 3, nan, 3.8, DirectRailway, false, 3.8, NoReason},
		{"direct-current railway, none standard", 2, nan, nan, DirectRailway, false, nan, VoltageNotStandard},
		{"direct-current railway, low voltage", 0.75, nan, nan, DirectRailway, false, nan, LowVoltage},
		{"direct current, low voltage", 0.75, nan, 0.9, DirectCurrent, false, nan, LowVoltage},
		{"direct current, low voltage, whatever its nominal voltage", 3, nan, 1.5, DirectCurrent, false, nan, LowVoltage},
		{"direct current, just above low voltage", 1.5, nan, 1.6, DirectCurrent, false, 1.6, NoReason},
		{"direct-current railway, up to 1.5 kV to earth", nan, 1.5, nan, DirectRailway, false, nan, LowVoltage},
		{"direct-current railway of 1.5 kV, which may have 1.8", 1.5, 1.8, nan, DirectRailway, false, 1.8, NoReason},
		{"low voltage, creepage voltage stated", 0.4, nan, 0.3, Earthed, false, nan, LowVoltage},
		{"low voltage by its creepage voltage alone", nan, nan, 0.9, SinglePhaseRailway, false, nan, LowVoltage},
		{"1.1 kV between phases", 1.1, nan, 0.7, Earthed, false, 0.7, NoReason},
		{"alternating voltages are none of a direct-current railway", 25, nan, nan, DirectRailway, false, nan, VoltageNotStandard},
		{"a railway's creepage voltage below its nominal one", 25, nan, 24, SinglePhaseRailway, false, nan, FaultyField},
		{"a railway's creepage voltage, of strings between feeders", 25, nan, 55, SinglePhaseRailway, false, 55, NoReason},
		{"a railway's creepage voltage, far above it", 25, nan, 72, SinglePhaseRailway, false, nan, FaultyField},
		{"a railway's creepage voltage, its nominal one", 25, nan, 25, SinglePhaseRailway, false, nan, FaultyField},
		{"a railway's creepage voltage below its highest one", 25, 27.5, 27, SinglePhaseRailway, false, nan, FaultyField},
		{"a railway's creepage voltage, its highest one", 25, nan, 27.5, SinglePhaseRailway, false, 27.5, NoReason},
		{"a railway without a standard highest voltage, its nominal one", 11, nan, 11, SinglePhaseRailway, false, 11, NoReason},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newSketch(t)
			s.structure("L", "1", 10, 50)
			row := s.line("L")
			row.NominalKV, row.HighestKV, row.CreepageKV, row.System = c.nominal, c.highest, c.creepage, c.system
			if c.faulty {
				row.Faulty = row.Faulty.With(CellVoltage)
			}
			s.p.Criteria.CreepageVoltage, s.p.Criteria.DirectCreepage = of, direct
			line := s.network().Lines[0]
			require.Equal(t, c.why.String(), line.NoVoltage.String())
			if math.IsNaN(c.want) {
				require.True(t, math.IsNaN(line.PhaseToEarthKV))
				return
			}
			require.InDelta(t, c.want, line.PhaseToEarthKV, 1e-12)
		})
	}
}

func TestHighestVoltageOfRailways(t *testing.T) {
	// EN 50163, highest permanent voltages (published, as public tables of supply voltages of railways print them).
	for _, c := range []struct {
		direct        bool
		nominal, want float64
	}{{false, 15, 17.25}, {false, 25, 27.5}, {true, 0.6, 0.72}, {true, 0.75, 0.9}, {true, 1.5, 1.8}, {true, 3, 3.6}} {
		got, ok := basis.RailwayHighestVoltage(c.nominal, c.direct)
		require.True(t, ok)
		require.Equal(t, c.want, got)
	}
	for _, nominal := range []float64{3, 15.1, 24, 27.5, 50, 0, math.NaN()} {
		_, ok := basis.RailwayHighestVoltage(nominal, false)
		require.False(t, ok, nominal)
	}
	_, ok := basis.RailwayHighestVoltage(25, true)
	require.False(t, ok)
}

// What a zone says of alternating current says nothing of direct current, but for its class.
func TestSpecificCreepageOfDirectCurrent(t *testing.T) {
	direct := unknownDirectCreepage()
	direct.MMPerKV[basis.ClassC], direct.MMPerKV[basis.ClassD] = 45, 60 // figures of this test
	line := &Line{Row: LineRow{System: DirectCurrent}}
	c := DefaultCriteria()
	require.Equal(t, 34.7, c.SpecificCreepageOn(line, basis.ClassC), "nothing stated")
	c.DirectCreepage = direct
	require.Equal(t, 45.0, c.SpecificCreepageOn(line, basis.ClassC))
	require.True(t, math.IsNaN(c.SpecificCreepageOn(line, basis.ClassE)))
	require.True(t, math.IsNaN(c.SpecificCreepageOn(line, basis.ClassUnknown)))
	require.Equal(t, 34.7, c.SpecificCreepageOn(&Line{}, basis.ClassC), "alternating current")
}
