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
