package audit

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Each reason for which nothing is judged says of what its datum is stated, or is known to have none; and what it calls the datum is its name in the
// inputs: a heading or property that the README lists, the key of a criterion or of a section of the project file.
func TestReasonsSayOfWhatTheirDatumIs(t *testing.T) {
	none := []Reason{LowVoltage, OutsideFlashoverTable, MinimaBetweenPhases, UnitsLessThanTable, WithstandTellsNothing, NoStandardPairs, PairNotKnown, DirectCurrentLine, DiameterOnDirect, AltitudeOutOfRange, TensionInV, ShackleOnDirectCurrent, CheckFailed}
	text, err := os.ReadFile("../README.md")
	require.NoError(t, err)
	for reason := FigureUnknown; reason < reasons; reason++ {
		of, name := reason.LackedBy()
		if reason.AskedBy() != "" {
			continue
		}
		require.Equal(t, !slices.Contains(none, reason), of != LackedByNothing, reason.String())
		switch {
		case name == "":
			require.NotEqual(t, LackedByCriteria, of, "the project file has a key for it: %s", reason)
		case of == LackedByStructure, of == LackedByCriteria:
			require.Contains(t, string(text), "`"+name+"`", reason.String())
		default:
			heading, _, _ := strings.Cut(name, " (")
			require.True(t, strings.Contains(string(text), "| "+name) || strings.Contains(string(text), "| **"+name) || strings.Contains(string(text), "| "+heading+" "), "%s: %s", reason, name)
		}
	}
}
