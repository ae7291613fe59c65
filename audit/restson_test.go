package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Which discs the table of flashover serves is told by their diameter too, so that a withstand rests on it.
func TestWithstandRestsOnTheDiameterOfDiscs(t *testing.T) {
	n := note{kind: RestsOnWithstand | RestsOnLength}
	n.add(noteOfUnit, "U160BL", UnitFigure("Diameter")|UnitFigure("Spacing")|UnitFigure("Weight"))
	require.Equal(t, "unit/U160BL:Pd", string(n.text))
}
