package read

import (
	"strings"
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

func TestNumberOfPhasesIsNoNameOfOne(t *testing.T) {
	b := newBase()
	b.lines[0], b.lines[1] = append(b.lines[0], "Phases"), append(b.lines[1], "3")
	p := b.mustRead(t)
	require.Zero(t, p.Lines[0].Phases)
	require.Contains(t, strings.Join(faultsOf(p), "\n"), `"3" is a number of phases`)
}
