package audit

import (
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// What is kept of the other edition is of the criteria of the line: a subject may have others, which a drive changes in place.
func TestOtherEditionIsThatOfTheCriteriaAtHand(t *testing.T) {
	onLine := &Criteria{CreepageBasis: basis.Unified, LoadCases: []LoadCase{{WindPa: 290}}}
	s := Subject{Criteria: onLine, edition: &edition{of: onLine}}
	other := s.CriteriaByOtherEdition()
	require.Equal(t, basis.Levels1986, other.CreepageBasis)
	require.Equal(t, basis.Unified, onLine.CreepageBasis)
	require.Same(t, other, s.CriteriaByOtherEdition())
	drive := Driven{Drive: Drive{Quantity: DriveWind}}
	for _, windPa := range []float64{400, 500} {
		driven := drive.At(&s, windPa)
		require.Equal(t, windPa, driven.CriteriaByOtherEdition().LoadCases[0].WindPa)
	}
	require.Same(t, other, s.CriteriaByOtherEdition())
	require.Equal(t, 290.0, s.CriteriaByOtherEdition().LoadCases[0].WindPa)
}
