package checks_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// Where the project's own figure is in force, the steps that quote it say so; where the default or the table is, they
// name its source.
func TestStepsNameWhoseFigureTheyQuote(t *testing.T) {
	none := func(*audit.Subject) {}
	wetDiscs := func(s *audit.Subject) { s.Criteria.WetShare = audit.Stated(0.9) }
	double := func(s *audit.Subject) { s.Assembly.Strings, s.Assembly.Arrangement = 2, audit.Parallel }
	pin := func(s *audit.Subject) { s.Assembly.Duty = audit.Pin }
	for name, c := range map[string]struct {
		check, symbol string
		state         func(*audit.Subject)
		want          basis.Clause
	}{
		"class of the table": {"creepage", "RUSCD", none, basis.SpecificCreepageUnified},
		"creepage from it":   {"creepage", "L", none, basis.SpecificCreepageUnified},
		"own figure of the class": {"creepage", "RUSCD", func(s *audit.Subject) {
			s.Criteria.OwnSpecificCreepage = own(basis.ClassE, 15)
			s.Structure.SpecificCreepage = 15
		}, basis.OwnFigure},
		"creepage from an own figure": {"creepage", "L", func(s *audit.Subject) {
			s.Criteria.OwnSpecificCreepage = own(basis.ClassE, 15)
			s.Structure.SpecificCreepage = 15
		}, basis.OwnFigure},
		"figure of the zone": {"creepage", "RUSCD", func(s *audit.Subject) {
			s.Structure.Class, s.Structure.SpecificCreepage = basis.ClassUnknown, 40
		}, basis.OwnFigure},
		"creepage of the Units sheet": {"creepage", "C", func(s *audit.Subject) { s.Assembly.Unit.Clause = basis.Clause{} }, basis.OwnFigure},
		"creepage of the catalogue where the sheet states the weight": {"creepage", "C", func(s *audit.Subject) {
			s.Assembly.Unit.Clause, s.Assembly.Unit.CreepageClause = basis.Clause{}, basis.HighestVoltageSource
		}, basis.HighestVoltageSource},
		"creepage of the row": {"creepage", "C", func(s *audit.Subject) { s.Assembly.CreepageStated = true }, basis.OwnFigure},
		"rating of the catalogue where the sheet states the weight": {"strength", "R", func(s *audit.Subject) {
			s.Assembly.Unit.Clause, s.Assembly.Unit.RatingClause = basis.Clause{}, basis.HighestVoltageSource
		}, basis.HighestVoltageSource},
		"phase to earth":         {"creepage", "U", none, basis.Arithmetic},
		"creepage voltage":       {"creepage", "U", func(s *audit.Subject) { s.Line.Row.CreepageKV = 200 }, basis.OwnFigure},
		"Um stated":              {"creepage", "U_m", none, basis.OwnFigure},
		"Um of the nominal one":  {"creepage", "U_m", func(s *audit.Subject) { s.Line.HighestAssumed = true }, basis.HighestVoltageSource},
		"Um of pins":             {"pin-voltage", "U_m", none, basis.OwnFigure},
		"Um of pins, not stated": {"pin-voltage", "U_m", func(s *audit.Subject) { s.Line.HighestAssumed = true }, basis.HighestVoltageSource},
		"altitude of creepage":   {"creepage", "K_a", func(s *audit.Subject) { s.Criteria.CreepageAltitudeExponent = audit.Stated(0.5) }, basis.OwnFigure},
		"worse zone, own figure": {"near-worse-zone", "RUSCD", func(s *audit.Subject) {
			s.Criteria.OwnSpecificCreepage = own(basis.ClassE, 60)
			s.Structure.Worse.SpecificCreepage = 60
		}, basis.OwnFigure},
		"worse zone, own figure of the class here": {"near-worse-zone", "RUSCD", func(s *audit.Subject) {
			s.Criteria.OwnSpecificCreepage = own(basis.ClassD, 20)
			s.Structure.SpecificCreepage = 20
		}, basis.SpecificCreepageUnified},
		"sound units": {"sound-units", "n − d", func(s *audit.Subject) {
			s.Structure.SpecificCreepage, s.Line.Row.NominalKV = 20, 220
			s.Criteria.SoundUnits = []audit.SoundUnitsRule{{NominalKV: 220, Units: 12}}
		}, basis.OwnFigure},

		"deviation, default":            {"tension-at-deviation", "δ_lim", func(s *audit.Subject) { s.Structure.LimitStated = false }, basis.CommonPractice},
		"deviation, stated":             {"tension-at-deviation", "δ_lim", none, basis.OwnFigure},
		"deviation of pins":             {"tension-at-deviation", "δ_lim", func(s *audit.Subject) { pin(s); s.Structure.PinLimitDeg = 5 }, basis.OwnFigure},
		"deviation of pins, not stated": {"tension-at-deviation", "δ_lim", pin, basis.Clause{}},
		"tee":                           {"tension-at-tee", "duty required", none, basis.CommonPractice},
		"tee, asked for":                {"tension-at-tee", "duty required", func(s *audit.Subject) { s.Criteria.TensionAtTee = true }, basis.OwnFigure},
		"line end":                      {"tension-at-terminal", "duty required", none, basis.CommonPractice},
		"crossing, tension":             {"tension-at-crossing", "duty required", none, basis.OwnFigure},
		"crossing, double":              {"double-at-crossing", "crosses", none, basis.OwnFigure},
		"section":                       {"section-length", "S_lim", none, basis.OwnFigure},
		"swing":                         {"swing", "φ_lim", none, basis.OwnFigure},
		"clearance of a V set":          {"v-set-clearance", "D_c", none, basis.OwnFigure},

		"puncture, default":          {"puncture-margin", "r", none, basis.PunctureRule},
		"puncture, stated":           {"puncture-margin", "r", func(s *audit.Subject) { s.Criteria.PunctureShare = audit.Stated(0.8) }, basis.OwnFigure},
		"wet, default":               {"wet-withstand", "U_w", none, basis.DiscStringTable},
		"wet, stated as the default": {"wet-withstand", "U_w", wetDiscs, basis.OwnFigure},
		"lightning does not ask":     {"lightning-withstand", "U_w", wetDiscs, basis.DiscStringTablePositive},
		"lightning, by the negative": {"lightning-withstand", "U_w", func(s *audit.Subject) { s.Assembly.UnitsPerString = 11 }, basis.DiscStringTable},
		"positive impulse":           {"lightning-withstand", "U_50p", none, basis.DiscStringTablePositive},
		"negative impulse":           {"lightning-withstand", "U_50n", none, basis.DiscStringTable},
		"level of the line":          {"lightning-withstand", "U_level", none, basis.OwnFigure},
		"switching level":            {"switching-withstand", "U_level", none, basis.OwnFigure},
		"level of the pair":          {"wet-withstand", "U_level", none, basis.InsulationLevelsSeen},
		"level of a pair not seen": {"wet-withstand", "U_level", func(s *audit.Subject) { s.Line.Row.LightningKV, s.Line.WetKV = 650, 275 },
			basis.InsulationLevelsSource},
		"gap, default":               {"switching-withstand", "U_w", none, basis.GapFormulas},
		"gap, stated":                {"switching-withstand", "U_w", func(s *audit.Subject) { s.Criteria.GapFactor = audit.Stated(1.3) }, basis.OwnFigure},
		"exponent, default":          {"switching-withstand", "K_a", none, basis.AltitudeFrom1000m},
		"exponent, stated":           {"switching-withstand", "K_a", func(s *audit.Subject) { s.Criteria.SwitchingExponent = audit.Stated(0.6) }, basis.OwnFigure},
		"exponent of another shape":  {"lightning-withstand", "K_a", func(s *audit.Subject) { s.Criteria.SwitchingExponent = audit.Stated(0.6) }, basis.AltitudeFrom1000m},
		"factor":                     {"strength", "R_req", none, basis.OwnFigure},
		"sharing, default":           {"strength", "F", double, basis.Arithmetic},
		"sharing, stated":            {"strength", "F", func(s *audit.Subject) { double(s); s.Criteria.UnequalSharing = audit.Stated(1.2) }, basis.OwnFigure},
		"sharing of a single string": {"strength", "F", func(s *audit.Subject) { s.Criteria.UnequalSharing = audit.Stated(1.2) }, basis.Arithmetic},
	} {
		t.Run(name, func(t *testing.T) {
			check := checks.ByID(c.check)
			s := check.Method.Example.Subject()
			c.state(&s)
			var trace audit.Trace
			check.Run(s, &trace)
			i := slices.IndexFunc(trace.Steps, func(step audit.Step) bool { return step.Symbol == c.symbol })
			require.GreaterOrEqual(t, i, 0, "no step finds %s", c.symbol)
			require.Equal(t, c.want, trace.Steps[i].Clause)
		})
	}
}

// A sentence quotes the figure that the project puts in the place of the table's.
func TestSentenceQuotesTheOwnFigure(t *testing.T) {
	check := checks.ByID("creepage")
	s := check.Method.Example.Subject()
	require.Empty(t, check.Run(s, nil).Sentence)
	s.Criteria.OwnSpecificCreepage = own(basis.ClassE, 60)
	s.Structure.SpecificCreepage = 60
	require.Equal(t, "15 × disc has 7875 mm of creepage; class e (the project's own figure, 60 mm/kV on Um/√3) at Um 245 kV (unified basis) needs 8487.0 mm, 17 units.",
		check.Run(s, nil).Sentence)

	s.Criteria.OwnSpecificCreepage.Base, s.Criteria.OwnSpecificCreepage.MMPerKV[basis.ClassE] = basis.PerPhaseToPhase, 35
	s.Structure.SpecificCreepage = s.Criteria.SpecificCreepage(basis.ClassE)
	require.Contains(t, check.Run(s, nil).Sentence, "class e (the project's own figure, 35 mm/kV on Um, 60.62 on Um/√3) at Um 245 kV")

	s.Structure.Class, s.Structure.SpecificCreepage, s.Structure.StatedBase = basis.ClassUnknown, 33*math.Sqrt(3), basis.PerPhaseToPhase
	require.Contains(t, check.Run(s, nil).Sentence, "; a zone of 33 mm/kV on Um, 57.16 on Um/√3 at Um 245 kV (unified basis) needs")
	var trace audit.Trace
	check.Run(s, &trace)
	require.Equal(t, "specific creepage that the zone states, 33 mm/kV on Um, 57.16 on Um/√3", trace.Steps[0].Meaning)

	s.Line.Row.CreepageKV, s.Line.PhaseToEarthKV = 200, 200
	require.Contains(t, check.Run(s, nil).Sentence, " at a creepage voltage of 200 kV (unified basis) needs")
}

// What is less reads as less: 6124.7 mm are not written as 6125 beside 6124.8.
func TestSentencesDoNotRoundTheDifferenceAway(t *testing.T) {
	_, s := example(t, "creepage")
	for _, c := range []struct {
		has  float64
		want string
	}{
		{7595.86, "has 7595.86 mm of creepage; class e at Um 245 kV (unified basis) needs 7595.91 mm"},
		{7595.7, "has 7595.7 mm of creepage; class e at Um 245 kV (unified basis) needs 7595.9 mm"},
		{7595, "has 7595 mm of creepage; class e at Um 245 kV (unified basis) needs 7595.9 mm"},
	} {
		s.Assembly.CreepageMM = c.has
		s.Criteria.CreepageBasisStated = true
		require.Contains(t, checks.ByID("creepage").Run(s, nil).Sentence, c.want)
	}
	_, s = example(t, "lightning-withstand")
	s.Assembly.Direct.LightningKV, s.Structure.GroundM, s.Line.Row.LightningKV = 649.7, 0, 650
	require.Contains(t, checks.ByID("lightning-withstand").Run(s, nil).Sentence, "withstands 649.7 kV of lightning impulse (tested value of the register); 650.0 kV is needed")
}

// own is a figure of the project for one class, on the basis that holds by default.
func own(class basis.Class, mmPerKV float64) (figures audit.OwnCreepage) {
	for i := range figures.MMPerKV {
		figures.MMPerKV[i] = math.NaN()
	}
	figures.Base, figures.MMPerKV[class] = basis.PerPhaseToEarth, mmPerKV
	return figures
}

// A formula that a spreadsheet evaluates quotes the very table and constants that judged.
func TestSheetFormulasQuoteTheTables(t *testing.T) {
	sheet := func(id, symbol string, change func(s *audit.Subject)) string {
		check, s := example(t, id)
		change(&s)
		var trace audit.Trace
		check.Run(s, &trace)
		i := slices.IndexFunc(trace.Steps, func(step audit.Step) bool { return step.Symbol == symbol })
		require.GreaterOrEqual(t, i, 0)
		return trace.Steps[i].Sheet
	}
	column := func(value func(f basis.Flashover) float64) string {
		var list []string
		for n := 1; ; n++ {
			f, ok := basis.StringFlashover(n, 146, 255)
			if !ok {
				require.Len(t, list, 20)
				return "CHOOSE(MIN(MAX(INT(x),1),19)," + strings.Join(list, ",") + ")"
			}
			list = append(list, fmt.Sprint(value(f)))
		}
	}
	none := func(*audit.Subject) {}
	require.Equal(t, "(1-1.28*0.03)*MIN(U_50p,U_50n)", sheet("lightning-withstand", "U_w", none))
	require.Contains(t, sheet("lightning-withstand", "U_50p", none), column(func(f basis.Flashover) float64 { return f.PositiveKV }))
	require.Contains(t, sheet("lightning-withstand", "U_50n", none), column(func(f basis.Flashover) float64 { return f.NegativeKV }))
	require.Equal(t, "f*U_wet", sheet("wet-withstand", "U_w", none))
	require.Contains(t, sheet("wet-withstand", "U_wet", none), column(func(f basis.Flashover) float64 { return f.WetKV }))
	require.Equal(t, "IF(H>1000,EXP(m*(H-1000)/8150),1)", sheet("lightning-withstand", "K_a", none))
	require.Equal(t, "MAX(1,EXP(m*H/8150))", sheet("lightning-withstand", "K_a", func(s *audit.Subject) { s.Criteria.AltitudeBasis = basis.SeaLevel }))
}
