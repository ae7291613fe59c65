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
	"strength":                   {noLoads, "load_cases and insulator_factor"},
	"strength-one-string-broken": {noLoads, "load_cases and insulator_factor"},
	"swing":                      {func(s *audit.Subject) { s.Line.Row.SwingLimitDeg = math.NaN() }, "Swing limit (deg) or Clearance (mm) of the Lines sheet"},
	"section-length":             {func(s *audit.Subject) { s.Line.Row.SectionLimitKM = math.NaN() }, "Section limit (km) of the Lines sheet"},
	"string-too-long":            {func(s *audit.Subject) { s.Line.Row.LongestStringMM = math.NaN() }, "Longest string (mm) of the Lines sheet"},
	"lightning-withstand":        {func(s *audit.Subject) { s.Line.Row.LightningKV = math.NaN() }, "Lightning level (kV) of the Lines sheet"},
	"switching-withstand":        {func(s *audit.Subject) { s.Line.Row.SwitchingKV = math.NaN() }, "Switching level (kV) of the Lines sheet"},
	"slack-leg":                  {noLoads, "load_cases and insulator_factor"},
	"wet-withstand":              {func(s *audit.Subject) { s.Line.Row.LightningKV = math.NaN() }, "Lightning level (kV) of the Lines sheet"},
	"near-worse-zone":            {func(s *audit.Subject) { s.Criteria.ZoneMarginM = audit.NotStated() }, "zone_margin_m"},
	"tension-at-crossing":        {func(s *audit.Subject) { s.CrossingsGiven = false }, "crossings with crossing_rules, or long_span_m"},
	"double-at-crossing":         {func(s *audit.Subject) { s.CrossingsGiven = false }, "crossings with crossing_rules, or long_span_m"},
}

func noLoads(s *audit.Subject) {
	s.Criteria.LoadCases, s.Criteria.InsulatorFactor = nil, audit.InsulatorFactor{}
}

// What one key asks for and another lacks is not assessed, and counts as such.
func TestOneKeyAsks(t *testing.T) {
	for _, c := range []struct {
		id     string
		silent func(s *audit.Subject)
		want   audit.Reason
	}{
		{"strength", func(s *audit.Subject) { s.Criteria.LoadCases = nil }, audit.LoadCasesMissing},
		{"strength", func(s *audit.Subject) { s.Criteria.InsulatorFactor.Tension = 0 }, audit.FactorNotStated},
		{"strength-one-string-broken", func(s *audit.Subject) { s.Criteria.LoadCases = nil }, audit.LoadCasesMissing},
		{"swing", noLoads, audit.LoadCasesMissing},
		{"double-at-crossing", func(s *audit.Subject) {
			s.CrossingsGiven, s.Criteria.CrossingRules = false, []audit.CrossingRule{{Kind: "river", Double: true}}
		}, audit.CrossingsMissing},
		{"tension-at-crossing", func(s *audit.Subject) {
			s.Structure.Back = audit.Asked{Kinds: []string{"railwy"}, Unruled: "railwy"}
			s.Criteria.CrossingRules = []audit.CrossingRule{{Kind: "railway", Tension: true}}
		}, audit.KindWithoutRule},
	} {
		check, s := example(t, c.id)
		c.silent(&s)
		v := check.Run(s, nil)
		require.Equal(t, audit.NotAssessed, v.Outcome, c.id)
		require.Equal(t, c.want, v.Reason, c.id)
		require.Empty(t, v.Reason.AskedBy(), c.id)
	}
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
		for _, cell := range []audit.Cell{audit.CellVoltage, audit.CellTested} {
			line := *s.Line
			line.Row.Faulty = line.Row.Faulty.With(cell).With(audit.CellLimits)
			unread := s
			unread.Line = &line
			v := check.Run(unread, nil)
			require.Equal(t, audit.NotAssessed, v.Outcome, id)
			require.Equal(t, audit.FaultyField, v.Reason, id)
		}
	}
}
