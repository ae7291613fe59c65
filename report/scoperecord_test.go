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

// How much longer a string gets is told as far as it is known, whatever stands beside it, and at least so much where another gets longer too.
func TestHowMuchLongerIsToldAsFarAsItIsKnown(t *testing.T) {
	nan := math.NaN()
	known := func(mm float64) remedy.Change { return remedy.Change{Move: remedy.MoreUnits, LongerMM: mm} }
	unknown := remedy.Change{Move: remedy.MoreUnits, LongerMM: nan}
	missing, another := remedy.Change{Move: remedy.NewAssembly, LongerMM: nan}, remedy.Change{Move: remedy.OtherDuty, LongerMM: nan}
	type changes = []remedy.Change
	for name, c := range map[string]struct {
		changes changes
		words   string
		cell    any
		layer   string
		kinds   workKinds
	}{
		"known":                      {changes{known(146)}, "146", 146.0, "146", longerStrings},
		"a phase is missing":         {changes{known(146), missing}, "146", 146.0, "146", longerStrings | newSets},
		"the first phase is missing": {changes{missing, known(146)}, "146", 146.0, "146", longerStrings | newSets},
		"another duty beside":        {changes{known(292), known(146), another}, "292", 292.0, "292", longerStrings | otherDuty},
		"of another it is not known": {changes{known(146), unknown}, "at least 146", "at least 146", "146", longerStrings},
		"not known":                  {changes{unknown}, "", nil, "null", moreUnits},
		"shorter, or not known":      {changes{known(-146), unknown}, "", nil, "null", moreUnits},
		"none that hangs there":      {changes{missing}, "", nil, "null", newSets},
	} {
		x := scopeChange{at: orb.Point{1, 2}, longerMM: nan}
		for i := range c.changes {
			x.takeIn(&c.changes[i])
		}
		x.settleLonger()
		require.Equal(t, c.words, x.longerInWords(), name)
		if cell := x.longerCell(); c.cell == nil {
			require.True(t, cell == nil || math.IsNaN(cell.(float64)), name)
		} else {
			require.Equal(t, c.cell, cell, name)
		}
		f, err := x.feature("x")
		require.NoError(t, err, name)
		text, err := json.Marshal(f.Properties.LongerMM)
		require.NoError(t, err)
		require.Equal(t, c.layer, string(text), name)
		j := &remedy.Job{Remedies: []remedy.Remedy{{To: remedy.Set{Duty: audit.Suspension}, Changes: c.changes}}}
		require.Equal(t, c.kinds, kindsOf(j, x.longerMM), name)
	}
}
