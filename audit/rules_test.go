package audit

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Of rules that two state, each criterion is told with the one of them that states it, the last where both do.
func TestEachCriterionOfALineNamesWhoStatesIt(t *testing.T) {
	s := newSketch(t)
	s.straight("A", 3)
	s.line("A")
	rules := Rules{Lines: []Symbol{s.p.Lines[0].Line}, Criteria: s.p.Criteria, From: "the project file; scenario x"}
	other := s.p.Criteria
	other.DeviationLimitDeg, other.PositionAccuracyM = Stated(7), Stated(3)
	rules.Lay(other, []string{"deviation_limit_deg", "position_accuracy_m"}, "the project file")
	rules.Lay(other, []string{"position_accuracy_m", "span_limit_m"}, "scenario x")
	s.p.Rules = []Rules{rules}
	r, err := Assess(context.Background(), s.network(), []*Check{sizing()}, Options{Workers: 1})
	require.NoError(t, err)
	for key, by := range map[string]string{"deviation_limit_deg": "the project file", "position_accuracy_m": "scenario x", "span_limit_m": "scenario x"} {
		told := 0
		for _, a := range r.Run.Assumptions {
			if strings.HasPrefix(a.Text, "The criterion "+key+" is ") {
				told++
				require.Contains(t, a.Text, " on these lines ("+by+"); elsewhere ")
			}
		}
		require.Equal(t, 1, told, key)
	}
}
