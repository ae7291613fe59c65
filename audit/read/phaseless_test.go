package read

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestWhetherRowsNamePhases(t *testing.T) {
	b := newBase()
	require.False(t, b.mustRead(t).Tables[2].WithoutPhase)
	b.assemblies[0][3] = "Colour of the sign"
	p := b.mustRead(t)
	for _, table := range p.Tables {
		require.Equal(t, table.Sheet == "Assemblies", table.WithoutPhase, table.String())
	}
}
