package read

import (
	"testing"

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
