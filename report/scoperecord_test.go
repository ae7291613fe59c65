package report

import (
	"encoding/json"
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/remedy"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// The longest string of a line is one limit, whether the search stops at it or the check does.
func TestALimitHasOneName(t *testing.T) {
	r := &audit.Result{Checks: []*audit.Check{{ID: "creepage"}, {ID: tooLongLimit}}}
	for want, stops := range map[string][]remedy.Stop{
		tooLongLimit:             {{Check: -1, TooLong: true}, {Check: 1}},
		"creepage":               {{Check: 0}},
		"nothing to choose from": {{Check: -1}},
	} {
		for i := range stops {
			require.Equal(t, want, limitOf(r, &stops[i]), "%+v", stops[i])
		}
	}
}

// A conductor that hangs lower by nobody knows how much is no figure, and not none.
func TestLayerTellsHowMuchLower(t *testing.T) {
	for name, c := range map[string]struct {
		change scopeChange
		want   string
	}{
		"known":               {scopeChange{lowerMM: 292}, `{"lower_mm": 292, "lower_not_known": false}`},
		"none":                {scopeChange{}, `{"lower_mm": 0, "lower_not_known": false}`},
		"not known":           {scopeChange{lower: true}, `{"lower_mm": null, "lower_not_known": true}`},
		"not known elsewhere": {scopeChange{lowerMM: 292, lower: true}, `{"lower_mm": 292, "lower_not_known": true}`},
	} {
		c.change.at, c.change.longerMM, c.change.price = orb.Point{1, 2}, math.NaN(), math.NaN()
		f, err := c.change.feature("x")
		require.NoError(t, err)
		text, err := json.Marshal(f.Properties)
		require.NoError(t, err)
		var all map[string]json.RawMessage
		require.NoError(t, json.Unmarshal(text, &all))
		got, err := json.Marshal(map[string]json.RawMessage{"lower_mm": all["lower_mm"], "lower_not_known": all["lower_not_known"]})
		require.NoError(t, err)
		require.JSONEq(t, c.want, string(got), name)
	}
}
