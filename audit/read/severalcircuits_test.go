package read

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

func TestCircuitsOfWhichACellNamesSeveral(t *testing.T) {
	for cell, several := range map[string]bool{
		"1 & 2": true, "1&2": true, "1+2": true, "1,2": true, "1, 2": true, "I/II": true, "I & II": true, "1 and 2": true, "Cct 1 & 2": true, "Circuits 1 and 2": true, "A & B": true,
		"A/B": true, "1-2": true, "01 - 02": true, "1 to 2": true, "Both": true, "ALL": true, "D/C": true, "both circuits": true, "Double circuit": true, "Beide": true, "1 2 3": true,
		"1": false, "01": false, "1.0": false, "Cct 1": false, "Circuit II": false, "C-1": false, "A1": false, "S/C": false, "DC": false, "A 1": false, "1-1": false, "No. 2": false,
		"Halvern & Ostrey": false, "2/1": false, "North": false, "132-1": false, "L-1/2": false, "A-B": false, "Allington": false,
	} {
		require.Equal(t, several, namesSeveralCircuits(cell), cell)
	}
}

func TestCircuitsThatACellNames(t *testing.T) {
	for cell, want := range map[string][]string{
		"1 & 2": {"1", "2"}, "I & II": {"1", "2"}, "Cct 1 and 2": {"1", "2"}, "1,2": {"1", "2"}, "01+02": {"1", "2"}, "1 2 3": {"1", "2", "3"}, "A & B": {"A", "B"}, "10 & 11": {"10", "11"},
		"1/2": nil, "1-2": nil, "1 to 4": nil, "D/C": nil, "Double circuit": nil, "both sides": nil, "North": nil,
	} {
		names, meant := circuitsIn(cell)
		require.Equal(t, want, names, cell)
		require.Equal(t, noCircuits, meant, cell)
	}
	for cell, want := range map[string]circuitsMeant{"Both": bothCircuits, "beide": bothCircuits, "ALL": allCircuits, "todas": allCircuits} {
		_, meant := circuitsIn(cell)
		require.Equal(t, want, meant, cell)
	}
}

// Strings and units of a row that names several circuits may be those of all of them: on whichever of them it is then, several strings are not believed to be in parallel.
func TestStringsOfARowOfSeveralCircuits(t *testing.T) {
	for name, c := range map[string]struct {
		circuit, strings, units, arrangement any
		stated                               any // circuits of the line
		unknown, circuitUnknown              bool
	}{
		"both":                            {circuit: "1 & 2", strings: 2, stated: 2, unknown: true, circuitUnknown: true},
		"both in a word":                  {circuit: "Both", strings: 2, stated: 2, unknown: true, circuitUnknown: true},
		"perhaps the first of two":        {circuit: "1/2", strings: 2, stated: 2, unknown: true, circuitUnknown: true},
		"a kind of tower":                 {circuit: "D/C", strings: 2, stated: 2, unknown: true, circuitUnknown: true},
		"nobody states how many":          {circuit: "1 & 2", strings: 4, unknown: true, circuitUnknown: true},
		"by the units":                    {circuit: "1 & 2", units: "2 x 10", stated: 2, unknown: true, circuitUnknown: true},
		"one string":                      {circuit: "1 & 2", strings: 1, stated: 2},
		"one string of a kind of tower":   {circuit: "D/C", strings: 1, stated: 2, circuitUnknown: true},
		"said to be parallel":             {circuit: "1 & 2", strings: 2, arrangement: "parallel", stated: 2},
		"said to be parallel on a kind":   {circuit: "D/C", strings: 2, arrangement: "parallel", stated: 2, circuitUnknown: true},
		"said to be parallel by a number": {circuit: "D/C", strings: 2, arrangement: "double", stated: 2, circuitUnknown: true},
		"one circuit":                     {circuit: 1, strings: 2, stated: 2},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			units := any(10)
			if c.units != nil {
				units = c.units
			}
			b.assemblies[0] = append(b.assemblies[0], "Arrangement")
			b.assemblies[1] = []any{"L1", 1, c.circuit, "ABC", "ahead", "tension", "U120B", units, c.strings, 0, c.arrangement}
			b.lines = grid{{"Line", "Circuits", "Nominal voltage (kV)", "Highest voltage (kV)"}, {"L1", c.stated, 110, 123}}
			p := b.mustRead(t)
			row := p.Assemblies.At(0)
			require.Equal(t, c.unknown, row.Faulty.Has(audit.CellStrings))
			require.Equal(t, c.circuitUnknown, row.Faulty.Has(audit.CellCircuits))
			require.False(t, row.Faulty.Has(audit.CellUnitsPerString))
			require.Equal(t, int16(10), row.UnitsPerString)
			if c.unknown {
				require.Equal(t, int16(-1), row.Strings)
				require.Equal(t, 1, p.Faults.Total())
				require.Contains(t, p.Faults.List()[0].Message(), "which circuit its rows are of is not known, nor how many strings each has: give each circuit rows of its own")
			}
		})
	}
}
