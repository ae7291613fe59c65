package risk

import (
	"math"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// rule states every figure.
func rule() audit.RiskRule {
	r := audit.RiskRule{
		Measure: "mg/cm²",
		Withstand: []audit.UnitWithstand{
			{Of: "disc", A: 6, Slope: 0.22, Sigma: 0.08}, {Of: "fog disc", A: 8, Slope: 0.22, Sigma: 0.08}, {Of: "glass", PerM: 20, Slope: 0.3, Sigma: 0.1},
		},
		Lightning: audit.Overvoltage{MeanKV: 700, SigmaKV: 70, StrengthSigma: 0.06, Strings: 10},
		Switching: audit.Overvoltage{MeanKV: 350, SigmaKV: 35, StrengthSigma: 0.06, Strings: 100},
	}
	r.Site[basis.ClassD] = audit.SiteSeverity{Median: 0.05, Sigma: 0.6}
	return r
}

// subject is a string of twelve discs on a 132 kV line in class d at sea level, whose withstands were tested.
func subject() *audit.Subject {
	criteria := audit.DefaultCriteria()
	criteria.Risk = rule()
	criteria.SwitchingExponent, criteria.GapFactor = audit.Stated(0.75), audit.Stated(1.3)
	line := &audit.Line{Row: audit.UnknownLineRow(), HighestKV: 145, PhaseToEarthKV: 80}
	s := &audit.Structure{Class: basis.ClassD, Zone: 0}
	return &audit.Subject{Criteria: &criteria, Line: line, Structure: s, Assembly: discs(12, "disc")}
}

func unit(name string) basis.Unit {
	u := basis.UnknownUnit()
	u.Name, u.Kind, u.CreepageMM, u.SpacingMM, u.DiameterMM = name, basis.CapAndPin, 295, basis.StandardSpacingMM, 255
	return u
}

func discs(count int, names ...string) *audit.Assembly {
	a := &audit.Assembly{Row: 0, Duty: audit.Suspension, UnitsPerString: count, Strings: 1, Direct: audit.UnknownDirectValues(), CreepageMM: math.NaN()}
	makeup, units := &audit.Makeup{}, []basis.Unit{}
	for i, name := range names {
		part := audit.Part{Unit: i}
		if len(names) > 1 {
			part.Count = count / len(names)
		}
		makeup.Parts, units = append(makeup.Parts, part), append(units, unit(name))
	}
	a.SetMakeup(makeup, units)
	a.Direct.LightningKV, a.Direct.SwitchingKV = 900*(1-1.28*0.06), 500*(1-1.28*0.06)
	return a
}

// By hand (computed): A = 12 × 6 = 72 kV, W50 = (72/80)^(1/0.22) = 0.61946, σ_w = 0.36364, R = Φ(ln(0.05/0.61946)/√(0.36 + 0.13223)).
func TestPollutedString(t *testing.T) {
	x, lack := Of(Pollution, subject())
	require.Empty(t, lack)
	require.InDelta(t, 0.61946, x.Strength, 5e-6)
	require.InDelta(t, 0.36364, x.StrengthSigma, 5e-6)
	require.InEpsilon(t, 0.5*math.Erfc(-math.Log(0.05/x.Strength)/math.Sqrt(0.36+x.StrengthSigma*x.StrengthSigma)/math.Sqrt2), x.R, 1e-12)

	// Three defective units leave nine; of unlike units those that withstand most are taken to be defective.
	s := subject()
	s.Assembly.Defective = 3
	x, lack = Of(Pollution, s)
	require.Empty(t, lack)
	require.Equal(t, 54.0, x.TestKV())
	s.Assembly = discs(12, "disc", "fog disc")
	s.Assembly.Defective = 7
	x, lack = Of(Pollution, s)
	require.Empty(t, lack)
	require.Equal(t, 5*6.0, x.TestKV(), "six fog discs and one disc less")
	s.Assembly.Defective = 12
	x, lack = Of(Pollution, s)
	require.Empty(t, lack)
	require.Equal(t, 1.0, x.R, "none is left")

	// Of a material the creepage counts: 12 × 0.295 m × 20 kV/m.
	s = subject()
	s.Assembly = discs(12, "unnamed")
	s.Assembly.Unit.Material = "Glass"
	x, lack = Of(Pollution, s)
	require.Empty(t, lack)
	require.InDelta(t, 70.8, x.TestKV(), 1e-9)
	s.Assembly.Defective = 2
	x, _ = Of(Pollution, s)
	require.InDelta(t, 59, x.TestKV(), 1e-9)

	// By A of each unit too, where the row states less creepage than its units have; more of it changes nothing.
	s = subject()
	s.Assembly.CreepageMM, s.Assembly.CreepageStated = 12*295*0.75, true
	x, lack = Of(Pollution, s)
	require.Empty(t, lack)
	require.InDelta(t, 54, x.TestKV(), 1e-9)
	require.Contains(t, x.Steps("")[4].Formula, "(n·A_1)·C/C_u")
	s.Assembly.CreepageMM = 12 * 300
	x, _ = Of(Pollution, s)
	require.Equal(t, 72.0, x.TestKV())
	s.Assembly.Faulty = s.Assembly.Faulty.With(audit.CellCreepage)
	_, lack = Of(Pollution, s)
	require.Equal(t, lackOf(audit.FaultyField), lack)

	// A composite with a defect has failed as a whole.
	s = subject()
	s.Assembly = discs(1, "disc")
	s.Assembly.Unit.Kind, s.Assembly.Defective = basis.Composite, 1
	x, lack = Of(Pollution, s)
	require.Empty(t, lack)
	require.Equal(t, 1.0, x.R)

	// The altitude factor of polluted insulation, where the criteria set an exponent.
	s = subject()
	s.Criteria.CreepageAltitudeExponent, s.Structure.GroundM = audit.Stated(0.5), 2000
	x, lack = Of(Pollution, s)
	require.Empty(t, lack)
	require.InEpsilon(t, math.Exp(0.5*2000/8150), x.Altitude, 1e-12)
	require.InEpsilon(t, math.Pow(72.0/80/x.Altitude, 1/0.22), x.Strength, 1e-12)

	// Of rows that say something else of it the worst counts, and where one cannot be assessed none does.
	s = subject()
	s.Repeats = []audit.Assembly{*discs(9, "disc"), *discs(11, "disc")}
	s.Repeats[0].Row, s.Repeats[1].Row = 7, 8
	x, lack = Of(Pollution, s)
	require.Empty(t, lack)
	require.Equal(t, 54.0, x.TestKV())
	require.Equal(t, 7, x.Row)
	s.Repeats = append(s.Repeats, *discs(-1, "disc"))
	_, lack = Of(Pollution, s)
	require.Equal(t, Lack(audit.UnitsNotStated.String()), lack)
}

// 700 ± 70 kV on a U50 of 900 ± 54 kV: R = 0.011841 by a normal strength (computed), and ten in parallel by their own U50 and Z.
func TestStressedString(t *testing.T) {
	x, lack := Of(Lightning, subject())
	require.Empty(t, lack)
	x.byCurve()
	require.InDelta(t, 900, x.Strength, 1e-9)
	require.InDelta(t, 54, x.StrengthSigma, 1e-9)
	require.InDelta(t, 0.011841, x.R, 5e-7)
	require.InDelta(t, 900-1.47617*54, x.ParallelKV, 1e-3)
	require.Greater(t, x.Parallel, x.Alone)
	require.InDelta(t, x.R, x.Alone, 0.002, "the curve and a normal strength are near each other about U50")

	s := subject()
	s.Structure.GroundM = 2000
	x, lack = Of(Lightning, s)
	require.Empty(t, lack)
	require.InEpsilon(t, 900/math.Exp(2000.0/8150), x.Strength, 1e-12, "by the exponent of lightning, 1")
	x, lack = Of(Switching, s)
	require.Empty(t, lack)
	require.InEpsilon(t, 500/math.Exp(0.75*2000/8150), x.Strength, 1e-12, "by the exponent that the project states")

	// The table of discs gives a flashover, so that the project's scatter is not used to find it: 12 discs of 1105 kV.
	s = subject()
	s.Assembly.Direct.LightningKV = math.NaN()
	x, lack = Of(Lightning, s)
	require.Empty(t, lack)
	require.InDelta(t, 1105, x.Strength, 1e-9)
	require.InDelta(t, 0.06*1105, x.StrengthSigma, 1e-9)

	s.Assembly.Defective = 3
	x, _ = Of(Lightning, s)
	require.InDelta(t, 845, x.Strength, 1e-9, "nine discs")
	s.Assembly.Defective = 12
	x, lack = Of(Lightning, s)
	require.Empty(t, lack)
	x.byCurve()
	require.InDelta(t, 1, x.Alone, 1e-12, "none is left")
}

// A rod that states its withstand and its flashover does not flash over at more than it states, however much lies between the two by the scatter.
func TestStatedFlashoverBeforeThatOfTheWithstand(t *testing.T) {
	s := subject()
	hang := func(flashoverKV float64) {
		rod := unit("rod")
		rod.Kind, rod.LightningWithstandKV, rod.LightningKV, rod.ArcingMM = basis.LongRod, 855, flashoverKV, 1700
		s.Assembly.SetMakeup(&audit.Makeup{Parts: []audit.Part{{}}}, []basis.Unit{rod})
		s.Assembly.Direct.LightningKV, s.Assembly.UnitsPerString = math.NaN(), 1
	}
	hang(880)
	x, lack := Of(Lightning, s)
	require.Empty(t, lack)
	require.Equal(t, 880.0, x.Strength) // 855/(1 − 1.28·0.06) = 926.1 kV is more
	hang(950)
	x, _ = Of(Lightning, s)
	require.InDelta(t, 855/(1-1.28*0.06), x.Strength, 1e-9)
}

// A row that states its withstand and no unit is assessed by that; a wet value goes by the project's scatter as any tested one does; and what the gap
// formula gives over the units asks for a stated gap factor as it does over a stated distance.
func TestWhereAStrengthComesFrom(t *testing.T) {
	s := subject()
	s.Assembly.Makeup, s.Assembly.Unit = nil, nil
	var x String
	require.NotPanics(t, func() { x.stressed(s) })

	s = subject()
	s.Assembly.Direct.SwitchingKV, s.Assembly.Direct.WetSwitchingKV, s.Criteria.Risk.Switching.StrengthSigma = math.NaN(), 400, 0.09
	x, lack := Of(Switching, s)
	require.Empty(t, lack)
	require.Equal(t, audit.TestedWet, x.From)
	require.InDelta(t, 400/(1-1.28*0.09), x.SeaLevelKV, 1e-9)

	s = subject()
	s.Assembly.Direct = audit.UnknownDirectValues()
	s.Criteria.ArcingDistance = audit.ArcingOverUnits
	x, lack = Of(Switching, s)
	require.Empty(t, lack)
	require.Equal(t, audit.GapOverUnits, x.From)
	s.Criteria.GapFactor.Stated = false
	_, lack = Of(Switching, s)
	require.Equal(t, wants("gap_factor"), lack)
}

// What any of more strings does is no less likely than what one does, by whichever strength, far from the overvoltages too.
func TestAnyOfMoreIsNoLessLikelyThanOne(t *testing.T) {
	s := subject()
	s.Criteria.Risk.Switching = audit.Overvoltage{MeanKV: 350, SigmaKV: 35, StrengthSigma: 0.06, Strings: 100}
	for _, kV := range []float64{500, 700, 900} {
		s.Assembly.Direct.SwitchingKV = kV
		x, lack := Of(Switching, s)
		require.Empty(t, lack)
		x.byCurve()
		one, any := map[bool]float64{}, map[bool]float64{}
		for _, step := range x.Steps("") {
			normal := strings.Contains(step.Meaning, "normal strength")
			switch {
			case strings.HasPrefix(step.Meaning, "risk that any of M"):
				any[normal] = step.Result.Number
			case strings.HasPrefix(step.Meaning, "risk of"):
				one[normal] = step.Result.Number
			}
		}
		require.Len(t, one, 2)
		require.NotEmpty(t, any)
		for normal, risk := range any {
			require.GreaterOrEqual(t, risk, one[normal], "%v kV, normal %t", kV, normal)
		}
	}
}

// No risk is 0, however far strength is from stress, and none is no number at the ends of what may be stated.
func TestNoRiskIsZero(t *testing.T) {
	s := subject()
	s.Assembly.Direct.LightningKV, s.Criteria.Risk.Lightning.StrengthSigma = 5000, 0.01
	x, lack := Of(Lightning, s)
	require.Empty(t, lack)
	x.byCurve()
	require.Equal(t, [3]float64{LeastRisk, LeastRisk, LeastRisk}, [3]float64{x.R, x.Alone, x.Parallel})
	least := 0
	for _, step := range x.Steps("") {
		if strings.HasSuffix(step.Meaning, "; it is less than the least that is told") {
			least++
		}
	}
	require.Equal(t, 3, least)

	s.Criteria.Risk.Site[basis.ClassD] = audit.SiteSeverity{Median: 1e-6, Sigma: 0.01}
	s.Criteria.Risk.Withstand[0] = audit.UnitWithstand{Of: "disc", A: 5000, Slope: 0.05, Sigma: 0.001} // the ends of their ranges
	x, lack = Of(Pollution, s)
	require.Empty(t, lack)
	require.False(t, math.IsInf(x.Strength, 0))
	require.Equal(t, LeastRisk, x.R)
	require.Positive(t, basis.AnyOf(basis.LogOfNone(x.R, 3)))
}

// Whatever is missing, cannot be read or is not known leaves a string not assessed, and the reason names the figure of the project.
func TestWhatMissingFiguresDo(t *testing.T) {
	for want, spoil := range map[string]func(s *audit.Subject){
		"the project states no risk.measure":                                    func(s *audit.Subject) { s.Criteria.Risk.Measure = "" },
		"the project states no risk.site_severity of class d":                   func(s *audit.Subject) { s.Criteria.Risk.Site[basis.ClassD] = audit.SiteSeverity{} },
		"the project states no risk.site_severity.d.median":                     func(s *audit.Subject) { s.Criteria.Risk.Site[basis.ClassD].Median = 0 },
		"the project states no risk.site_severity.d.sigma":                      func(s *audit.Subject) { s.Criteria.Risk.Site[basis.ClassD].Sigma = 0 },
		"the project states no risk.withstand of other":                         func(s *audit.Subject) { s.Assembly = discs(12, "other") },
		"the project states no risk.withstand.disc.A_kV_per_unit or A_kV_per_m": func(s *audit.Subject) { s.Criteria.Risk.Withstand[0].A = 0 },
		"the project states no risk.withstand.disc.a":                           func(s *audit.Subject) { s.Criteria.Risk.Withstand[0].Slope = 0 },
		"the project states no risk.withstand.disc.sigma":                       func(s *audit.Subject) { s.Criteria.Risk.Withstand[0].Sigma = 0 },
		"the project states no risk.withstand.glass.A_kV_per_m, nor any of other": func(s *audit.Subject) {
			s.Criteria.Risk.Withstand[2] = audit.UnitWithstand{Of: "glass", A: 5, Slope: 0.2, Sigma: 0.1}
			glassOther(s)
		},
		audit.NoClass.String():               func(s *audit.Subject) { s.Structure.Class, s.Structure.Zone = basis.ClassUnknown, -1 },
		"the zone states no pollution class": func(s *audit.Subject) { s.Structure.Class = basis.ClassUnknown },
		audit.VoltageUnknown.String():        func(s *audit.Subject) { s.Line.PhaseToEarthKV, s.Line.NoVoltage = math.NaN(), audit.VoltageUnknown },
		audit.UnitsNotStated.String():        func(s *audit.Subject) { s.Assembly = discs(-1, "disc") },
		audit.UnitNotStated.String():         func(s *audit.Subject) { s.Assembly.Makeup = nil },
		audit.DutyNotStated.String():         func(s *audit.Subject) { s.Assembly.Duty = audit.DutyUnknown },
		"the project states no figures under risk for direct current (risk.direct_current)": func(s *audit.Subject) { s.Line.Row.System = audit.DirectCurrent },
		"the figures under risk are of direct current":                                      func(s *audit.Subject) { s.Criteria.Risk.Direct = true },
		audit.FaultyField.String():                                                          func(s *audit.Subject) { s.Line.Row.Faulty = s.Line.Row.Faulty.With(audit.CellVoltage) }, // it may be of direct current
		audit.DefectiveNotStated.String():                                                   func(s *audit.Subject) { s.Assembly.Defective = -1 },
		"unlike units in one string, of which the project states unlike figures under risk.withstand": func(s *audit.Subject) {
			s.Criteria.Risk.Withstand[1].Slope = 0.3
			s.Assembly = discs(12, "disc", "fog disc")
		},
	} {
		s := subject()
		spoil(s)
		_, lack := Of(Pollution, s)
		require.Equal(t, Lack(want), lack)
	}
	s := subject()
	s.Line.Row.System, s.Criteria.Risk.Direct = audit.DirectRailway, true
	_, lack := Of(Pollution, s)
	require.Empty(t, lack)
	for _, cell := range []audit.Cell{audit.CellUnit, audit.CellUnitsPerString, audit.CellDefective, audit.CellDuty} {
		s := subject()
		s.Assembly.Faulty = s.Assembly.Faulty.With(cell)
		switch cell { // as the reader leaves them
		case audit.CellDefective:
			s.Assembly.Defective = -1
		case audit.CellDuty:
			s.Assembly.Duty = audit.DutyUnknown
		}
		_, lack := Of(Pollution, s)
		require.Equal(t, lackOf(audit.FaultyField), lack, cell)
	}
	for want, spoil := range map[string]func(s *audit.Subject){
		"the project states no risk.lightning.mean_kV":        func(s *audit.Subject) { s.Criteria.Risk.Lightning.MeanKV = 0 },
		"the project states no risk.lightning.sigma_kV":       func(s *audit.Subject) { s.Criteria.Risk.Lightning.SigmaKV = 0 },
		"the project states no risk.lightning.strength_sigma": func(s *audit.Subject) { s.Criteria.Risk.Lightning.StrengthSigma = 0 },
		"the project states no risk.lightning.strings":        func(s *audit.Subject) { s.Criteria.Risk.Lightning.Strings = 0 },
		"the project states no gap_factor": func(s *audit.Subject) {
			s.Criteria.GapFactor.Stated = false
			s.Assembly.Direct.LightningKV, s.Assembly.Direct.ArcingMM = math.NaN(), 1200
			s.Assembly.Unit.DiameterMM = 400 // beyond the table
		},
		audit.DirectCurrentLine.String(): func(s *audit.Subject) {
			s.Line.Row.System, s.Criteria.Risk.Direct = audit.DirectCurrent, true
		},
		"the figures under risk are of direct current": func(s *audit.Subject) { s.Criteria.Risk.Direct = true },
		audit.GroundUnknown.String():                   func(s *audit.Subject) { s.Structure.GroundM = math.NaN() },
		audit.AltitudeOutOfRange.String():              func(s *audit.Subject) { s.Structure.GroundM = 9500 },
	} {
		s := subject()
		spoil(s)
		_, lack := Of(Lightning, s)
		require.Equal(t, Lack(want), lack)
	}
	for _, kind := range []Kind{Pollution, Lightning, Switching} {
		s := subject()
		s.Line.Row.Faulty = s.Line.Row.Faulty.With(audit.CellVoltage)
		_, lack := Of(kind, s)
		require.Equal(t, lackOf(audit.FaultyField), lack, kind)
		s.Line.Row.System = audit.Earthed // so that it is another voltage that cannot be read
		_, lack = Of(kind, s)
		require.NotEqual(t, lackOf(audit.FaultyField), lack, kind)
	}
	s = subject()
	s.Criteria.SwitchingExponent.Stated = false
	_, lack = Of(Switching, s)
	require.Equal(t, Lack("the project states no switching_exponent"), lack)
}

func glassOther(s *audit.Subject) {
	s.Assembly = discs(12, "other")
	s.Assembly.Unit.Material = "glass"
}

// What is not asked for is none of the kinds.
func TestKindsThatAreAskedFor(t *testing.T) {
	criteria := audit.DefaultCriteria()
	for _, kind := range Kinds() {
		require.False(t, kind.IsAsked(&criteria))
	}
	criteria.Risk.Switching.MeanKV = 300
	require.False(t, Pollution.IsAsked(&criteria))
	require.False(t, Lightning.IsAsked(&criteria))
	require.True(t, Switching.IsAsked(&criteria))
}

func TestRanks(t *testing.T) {
	var ranks Ranks
	var got []int
	for _, b := range []Bounds{{1, 1}, {0.5, 0.6}, {0.5, 0.6}, {0.5, 0.5}} {
		got = append(got, ranks.Next(b))
	}
	require.Equal(t, []int{1, 2, 2, 4}, got)
}
