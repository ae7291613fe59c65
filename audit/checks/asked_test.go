package checks_test

import (
	"context"
	"math"
	"slices"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
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
	"fitting-strength":           {func(s *audit.Subject) { s.Assembly.Direct = audit.UnknownDirectValues() }, "Clamp rating (kN), Yoke rating (kN) or Ball and socket rating (kN)"},
	"fitting-broken-conductor": {func(s *audit.Subject) { s.Assembly.Direct = audit.UnknownDirectValues() },
		"Clamp rating (kN), Yoke rating (kN) or Ball and socket rating (kN)"},
	"fitting-strength-one-string-broken": {func(s *audit.Subject) { s.Assembly.Direct.FittingsKN[audit.BallAndSocket] = math.NaN() },
		"Clamp rating (kN), Yoke rating (kN) or Ball and socket rating (kN)"},
	"broken-conductor":    {func(s *audit.Subject) { s.Criteria.BrokenConductor = audit.BrokenConductor{} }, "broken_conductor"},
	"swing":               {func(s *audit.Subject) { s.Line.Row.SwingLimitDeg = math.NaN() }, "Swing limit (deg) or Clearance (mm) of the Lines sheet"},
	"v-set-clearance":     {func(s *audit.Subject) { s.Structure.Room.ClearanceMM = math.NaN() }, "Clearance (mm) of the Lines sheet"},
	"section-length":      {func(s *audit.Subject) { s.Line.Row.SectionLimitKM = math.NaN() }, "Section limit (km) of the Lines sheet"},
	"string-too-long":     {func(s *audit.Subject) { s.Line.Row.LongestStringMM = math.NaN() }, "Longest string (mm) of the Lines sheet"},
	"lightning-withstand": {func(s *audit.Subject) { s.Line.Row.LightningKV = math.NaN() }, "Lightning level (kV) of the Lines sheet"},
	"switching-withstand": {func(s *audit.Subject) { s.Line.Row.SwitchingKV = math.NaN() }, "Switching level (kV) of the Lines sheet"},
	"slack-leg":           {noLoads, "load_cases and insulator_factor"},
	"wet-withstand":       {func(s *audit.Subject) { s.Line.Row.LightningKV = math.NaN() }, "Lightning level (kV) of the Lines sheet"},
	"dry-wet-minimum":     {func(s *audit.Subject) { s.Criteria.FlashoverMinimum = basis.NoFlashoverTable }, "flashover_minimum"},
	"level-pair":          {func(s *audit.Subject) { s.Line.Row.LightningKV = math.NaN() }, "Lightning level (kV) of the Lines sheet"},
	"near-worse-zone":     {func(s *audit.Subject) { s.Criteria.ZoneMarginM = audit.NotStated() }, "zone_margin_m"},
	"past-stated-age":     {func(s *audit.Subject) { s.Criteria.Ageing = nil }, "ageing"},
	"grading-rings":       {func(s *audit.Subject) { s.Criteria.GradingRings = nil }, "grading_rings"},
	"on-watch-list":       {func(s *audit.Subject) { s.Criteria.WatchList = nil }, "watch_list"},
	"inspected-long-ago":  {func(s *audit.Subject) { s.Criteria.InspectionYears = audit.NotStated() }, "inspection_years"},
	"tension-at-crossing": {func(s *audit.Subject) { s.CrossingsGiven = false }, "crossings with crossing_rules, or long_span_m"},
	"double-at-crossing":  {func(s *audit.Subject) { s.CrossingsGiven = false }, "crossings with crossing_rules, or long_span_m"},
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
		{"fitting-strength", func(s *audit.Subject) { s.Criteria.LoadCases = nil }, audit.LoadCasesMissing},
		{"fitting-strength", func(s *audit.Subject) { s.Criteria.InsulatorFactor.Fitting, s.Criteria.InsulatorFactor.Tension = 0, 2 }, audit.NoFittingFactor},
		{"fitting-strength-one-string-broken", func(s *audit.Subject) { s.Criteria.InsulatorFactor.FittingOneStringBroken = 0 }, audit.NoFittingFactor},
		{"swing", noLoads, audit.LoadCasesMissing},
		{"v-set-clearance", noLoads, audit.LoadCasesMissing},
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

// Where it is not known whether the line ends, a check that nobody asks for says so, and not that an end leaves nothing to judge.
func TestUnaskedWhereTheCourseIsNotKnown(t *testing.T) {
	for _, id := range []string{"strength", "strength-one-string-broken", "broken-conductor", "fitting-strength", "fitting-strength-one-string-broken", "fitting-broken-conductor"} {
		check, s := example(t, id)
		silence[id].silent(&s)
		s.Assembly.Duty, s.Structure.Role = audit.Suspension, audit.Terminal
		require.Equal(t, audit.NotApplicable, check.Run(s, nil).Outcome, id)
		s.Structure.CourseFaulty = true
		v := check.Run(s, nil)
		require.Equal(t, audit.NotAssessed, v.Outcome, id)
		require.Equal(t, silence[id].asks, v.Reason.AskedBy(), id)
	}
}

// A limit that cannot be read was asked for: what it would have judged is lacking, not unasked. Of one that is blank beside it nothing is
// asked.
func TestUnreadableLimitsAsk(t *testing.T) {
	levels := []audit.Cell{audit.CellVoltage, audit.CellTested}
	limits := []audit.Cell{audit.CellLimits, audit.CellSequence, audit.CellUnitsPerString, audit.CellCoupling}
	for _, c := range []struct {
		id       string
		ask, not []audit.Cell
	}{
		{"swing", limits[:1], append(limits[1:], levels...)},
		{"section-length", limits[1:2], append([]audit.Cell{limits[0], limits[2], limits[3]}, levels...)},
		{"string-too-long", limits[2:3], append([]audit.Cell{limits[0], limits[1], limits[3]}, levels...)},
		{"lightning-withstand", levels, limits},
		{"switching-withstand", levels, limits},
		{"wet-withstand", levels, limits},
	} {
		check, s := example(t, c.id)
		silence[c.id].silent(&s)
		reason := func(cell audit.Cell) audit.Reason {
			unread, line := s, *s.Line
			line.Row.Faulty, unread.Line = line.Row.Faulty.With(cell), &line
			v := check.Run(unread, nil)
			require.Equal(t, audit.NotAssessed, v.Outcome, c.id)
			return v.Reason
		}
		for _, cell := range c.ask {
			require.Equal(t, audit.FaultyField, reason(cell), "%s with cell %d", c.id, cell)
		}
		for _, cell := range c.not {
			require.Equal(t, silence[c.id].asks, reason(cell).AskedBy(), "%s with cell %d", c.id, cell)
		}
	}
}

// Of two rows of a line that differ in one limit that one alone is in doubt: what the other limits ask for is asked as it is without them.
func TestRowsOfALineThatDifferInOneLimit(t *testing.T) {
	limits := map[string]struct {
		state  func(l *audit.LineRow, by float64)
		unread audit.Cell
	}{
		"swing":           {func(l *audit.LineRow, by float64) { l.SwingLimitDeg = 60 * by }, audit.CellLimits},
		"section-length":  {func(l *audit.LineRow, by float64) { l.SectionLimitKM = 90 * by }, audit.CellSequence},
		"string-too-long": {func(l *audit.LineRow, by float64) { l.LongestStringMM = 9000 * by }, audit.CellUnitsPerString},
	}
	nan := math.NaN()
	for id, limit := range limits {
		for how, c := range map[string]struct {
			first, second func(l *audit.LineRow)
			doubted       bool
		}{
			"figures":        {func(l *audit.LineRow) { limit.state(l, 1) }, func(l *audit.LineRow) { limit.state(l, 0.9) }, true},
			"blank later":    {func(l *audit.LineRow) { limit.state(l, 1) }, func(l *audit.LineRow) {}, true},
			"blank before":   {func(l *audit.LineRow) {}, func(l *audit.LineRow) { limit.state(l, 1) }, true},
			"unread later":   {func(l *audit.LineRow) { limit.state(l, 1) }, func(l *audit.LineRow) { l.Faulty = l.Faulty.With(limit.unread) }, true},
			"unread before":  {func(l *audit.LineRow) { l.Faulty = l.Faulty.With(limit.unread) }, func(l *audit.LineRow) { limit.state(l, 1) }, true},
			"one and unread": {func(l *audit.LineRow) {}, func(l *audit.LineRow) { l.Faulty = l.Faulty.With(limit.unread) }, true},
			"not at all":     {func(l *audit.LineRow) {}, func(l *audit.LineRow) {}, false},
		} {
			b := newBase(t)
			l := &b.Lines[0]
			l.SwingLimitDeg, l.SwingLimitsDeg, l.SectionLimitKM, l.LongestStringMM = nan, nil, nan, nan
			b.Lines = append(b.Lines, *l)
			b.Lines[1].Source.Row++
			c.first(&b.Lines[0])
			c.second(&b.Lines[1])
			n, err := audit.Arrange(b.Project)
			require.NoError(t, err)
			require.NoError(t, audit.Derive(context.Background(), n, 1))
			list, doubted := checks.All(), map[string]bool{}
			_, err = audit.Assess(context.Background(), n, list, audit.Options{Workers: 1, Each: func(check int, _ audit.Location, v audit.Verdict) {
				if of := list[check].ID; limits[of].state != nil && v.Outcome != audit.NotApplicable {
					require.Equal(t, audit.NotAssessed, v.Outcome, "%s: %s of %s", of, how, id)
					doubted[of] = doubted[of] || v.Reason == audit.FaultyField
				}
			}})
			require.NoError(t, err)
			for of := range limits {
				is, judged := doubted[of]
				require.True(t, judged, of)
				require.Equal(t, c.doubted && of == id, is, "%s: %s of %s", of, how, id)
			}
		}
	}
}

// A cell that cannot be read is no lack of what nobody asks for, unless it is the one that may ask.
func TestUnreadableCellsAskForNothing(t *testing.T) {
	type faults func(s *audit.Subject) *audit.Cells
	ofRow := faults(func(s *audit.Subject) *audit.Cells { return &s.Assembly.Faulty })
	ofUnit := faults(func(s *audit.Subject) *audit.Cells { return &s.Assembly.UnitFaulty })
	ofStructure := faults(func(s *audit.Subject) *audit.Cells { return &s.Structure.Faulty })
	ofLine := faults(func(s *audit.Subject) *audit.Cells { return &s.Line.Row.Faulty })
	type place struct {
		of   string
		cell audit.Cell
	}
	asks := map[string][]place{
		"swing":               {{"line", audit.CellLimits}},
		"section-length":      {{"line", audit.CellSequence}},
		"string-too-long":     {{"line", audit.CellUnitsPerString}},
		"lightning-withstand": {{"line", audit.CellTested}, {"line", audit.CellVoltage}},
		"switching-withstand": {{"line", audit.CellTested}, {"line", audit.CellVoltage}},
		"wet-withstand":       {{"line", audit.CellTested}, {"line", audit.CellVoltage}},
		"level-pair":          {{"line", audit.CellTested}},
		"fitting-strength":    {{"line", audit.LineFittings[audit.Clamp]}, {"line", audit.LineFittings[audit.Yoke]}, {"line", audit.LineFittings[audit.BallAndSocket]}, {"row", audit.CellMounting}},

		"fitting-strength-one-string-broken": {{"line", audit.LineFittings[audit.BallAndSocket]}, {"row", audit.CellMounting}},
		"fitting-broken-conductor":           {{"line", audit.LineFittings[audit.Clamp]}, {"line", audit.LineFittings[audit.Yoke]}, {"line", audit.LineFittings[audit.BallAndSocket]}, {"row", audit.CellMounting}},
	}
	for id, c := range silence {
		check, _ := example(t, id)
		for cell := audit.Cell(0); audit.EveryCell.Has(cell); cell++ {
			for of, faults := range map[string]faults{"row": ofRow, "unit": ofUnit, "structure": ofStructure, "line": ofLine} {
				_, s := example(t, id)
				if s.Assembly == nil && (of == "row" || of == "unit") || s.Structure == nil && of == "structure" {
					continue
				}
				c.silent(&s)
				at := faults(&s)
				*at = at.With(cell)
				if of == "row" && cell == audit.CellDuty {
					s.Assembly.Duty = audit.DutyUnknown
				}
				v := check.Run(s, nil)
				unasked := v.Outcome == audit.NotApplicable || v.Reason.AskedBy() != ""
				require.Equal(t, !slices.Contains(asks[id], place{of, cell}), unasked, "%s: cell %d of the %s: %s", id, cell, of, v.Reason)
			}
		}
	}
}
