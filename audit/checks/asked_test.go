package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// silence takes away what asks for a check beyond its data; the worked examples state it all.
var silence = map[string]struct {
	silent func(s *audit.Subject)
	asks   string
}{
	"strength":                   {func(s *audit.Subject) { s.Criteria.LoadCases = nil }, "load_cases"},
	"strength-one-string-broken": {func(s *audit.Subject) { s.Criteria.LoadCases = nil }, "load_cases"},
	"swing":                      {func(s *audit.Subject) { s.Line.Row.SwingLimitDeg = math.NaN() }, "Swing limit (deg) of the Lines sheet"},
	"section-length":             {func(s *audit.Subject) { s.Line.Row.SectionLimitKM = math.NaN() }, "Section limit (km) of the Lines sheet"},
	"string-too-long":            {func(s *audit.Subject) { s.Line.Row.LongestStringMM = math.NaN() }, "Longest string (mm) of the Lines sheet"},
	"lightning-withstand":        {func(s *audit.Subject) { s.Line.Row.LightningKV = math.NaN() }, "Lightning level (kV) of the Lines sheet"},
	"switching-withstand":        {func(s *audit.Subject) { s.Line.Row.SwitchingKV = math.NaN() }, "Switching level (kV) of the Lines sheet"},
	"wet-withstand":              {func(s *audit.Subject) { s.Line.Row.LightningKV = math.NaN() }, "Lightning level (kV) of the Lines sheet"},
	"near-worse-zone":            {func(s *audit.Subject) { s.Criteria.ZoneMarginM = audit.NotStated() }, "zone_margin_m"},
	"tension-at-crossing":        {func(s *audit.Subject) { s.CrossingsGiven = false }, "crossings with crossing_rules, or long_span_m"},
	"double-at-crossing":         {func(s *audit.Subject) { s.CrossingsGiven = false }, "crossings with crossing_rules, or long_span_m"},
}

// A check that nobody asks for is not assessed, says what would ask for it, and stands in no share.
func TestSilentCriteriaDoNotAsk(t *testing.T) {
	for _, check := range checks.All() {
		c, listed := silence[check.ID]
		require.Equal(t, listed, len(check.AskedBy) > 0, check.ID)
		if !listed {
			continue
		}
		s := check.Method.Example.Subject()
		require.LessOrEqual(t, check.Run(s, nil).Outcome, audit.FallsShort, check.ID)
		c.silent(&s)
		v := check.Run(s, nil)
		require.Equal(t, audit.NotAssessed, v.Outcome, check.ID)
		require.Equal(t, c.asks, v.Reason.AskedBy(), check.ID)
	}
}

// A limit that cannot be read was asked for: what it would have judged is lacking, not unasked.
func TestUnreadableLimitsAsk(t *testing.T) {
	for _, id := range []string{"swing", "section-length", "string-too-long", "lightning-withstand", "switching-withstand", "wet-withstand"} {
		check, s := example(t, id)
		silence[id].silent(&s)
		s.Line.Row.Faulty = s.Line.Row.Faulty.With(audit.CellVoltage).With(audit.CellLimits)
		v := check.Run(s, nil)
		require.Equal(t, audit.NotAssessed, v.Outcome, id)
		require.Equal(t, audit.FaultyField, v.Reason, id)
	}
}
