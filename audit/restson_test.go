package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Figures that are named in code stand at their places in the tables.
func TestFiguresStandAtTheirPlaces(t *testing.T) {
	for _, c := range []struct {
		table  []statedFigure
		figure Figures
		name   string
	}{
		{unitFigures, materialFigure, "Material"},
		{rowFigures, vAngleFigure, "V angle"}, {rowFigures, mountingFigure, "Mounting"}, {rowFigures, installedFigure, "Installed"},
		{structureFigures, armFigure, "arm length"}, {structureFigures, roleFigure, "role"}, {structureFigures, conductorFigure, "conductor ahead"},
		{lineFigures, lineArmFigure, "Arm length"}, {lineFigures, clearanceFigure, "Clearance"}, {lineFigures, swingFigure, "Swing limit"},
		{caseFigures, caseSwingFigure, "Swing limit of the line"},
	} {
		require.Equal(t, c.figure, figureNamed(c.table, c.name), c.name)
	}
	for subject, table := range noteTables {
		letters := map[byte]bool{}
		for _, figure := range table {
			require.False(t, letters[figure.letter], "%s: %c", subject, figure.letter)
			letters[figure.letter] = true
		}
		require.LessOrEqual(t, len(table), 32, subject)
	}
}
