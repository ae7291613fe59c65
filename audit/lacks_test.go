package audit

import (
	"math"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// known is a subject of which everything that needs ask for is known.
func known(t *testing.T) *Subject {
	n := loaded(t).network()
	line, structure, assembly := n.Lines[0], n.Structure(0, 2), n.Assembly(2)
	line.Row.ColdTensionKN, line.Row.LightningKV, line.Row.LongestStringMM, line.Row.SectionLimitKM = 24, 650, 2000, 3
	line.Row.EverydayTensionKN, line.Row.EverydayC, line.Row.SwitchingKV, line.WetKV = 18, 15, 750, 275
	conductor := *line.Conductor
	conductor.ModulusGPa, conductor.Expansion1e6PerK = 80, 17.8
	line.Conductor = &conductor
	unit := *assembly.Unit
	unit.RatingKN, unit.CantileverKN, unit.CompressionKN, unit.DryKV, unit.PunctureKV, unit.Coupling, unit.DiameterMM = 120, 8, 90, 80, 110, "16", 255
	assembly.SetMakeup(assembly.Makeup, []basis.Unit{unit})
	structure.SpecificCreepage, structure.Class = 27.8, basis.ClassB
	cold, _ := line.cold(&n.Project.Criteria, &structure)
	structure.WeightSpanColdM = cold.WeightSpanM
	n.Project.Criteria.CreepageAltitudeExponent = Stated(0.5)
	assembly.Direct.SwitchingKV = 800
	return &Subject{Criteria: &n.Project.Criteria, Line: &line, Structure: &structure, Assembly: &assembly}
}

// What is unknown is told by the cell or the figure that would have said it; an unreadable cell is told as such only where
// what it would have said is missing.
func TestWhyAnythingIsMissing(t *testing.T) {
	nan := math.NaN()
	all := map[string]Need{"duty": NeedsDuty, "side": NeedsSide, "unit": NeedsUnit, "units": NeedsUnitsPerString, "strings": NeedsStrings, "defective": NeedsDefective,
		"creepage": NeedsCreepage, "length": NeedsStringLength, "rating": NeedsRatingOfString, "couplings": NeedsCouplings, "puncture": NeedsPuncture,
		"deviation": NeedsDeviation, "specific": NeedsSpecificCreepage, "altitude": NeedsCreepageAltitude, "least specific": NeedsLeastSpecificCreepage, "least altitude": NeedsLeastCreepageAltitude, "ground": NeedsGround, "weight span": NeedsWeightSpan,
		"nominal": NeedsNominalVoltage, "highest": NeedsHighestVoltage, "alternating": NeedsAlternating, "to earth": NeedsPhaseToEarth, "longest": NeedsLongestString, "section": NeedsSectionLimit,
		"swing limit": NeedsSwingLimit, "pull": NeedsPull, "broken": NeedsPullBroken, "swing": NeedsSwing, "lightning": NeedsLightningWithstand,
		"switching": NeedsSwitchingWithstand, "wet": NeedsWetWithstand}
	for name, need := range all {
		require.Equal(t, NoReason.String(), known(t).Lacks(need).String(), name)
	}
	faulty := func(cells ...Cell) func(s *Subject) {
		return func(s *Subject) {
			for _, c := range cells {
				s.Assembly.Faulty, s.Line.Row.Faulty, s.Structure.Faulty = s.Assembly.Faulty.With(c), s.Line.Row.Faulty.With(c), s.Structure.Faulty.With(c)
			}
		}
	}
	noUnit := func(s *Subject) { s.Assembly.Makeup, s.Assembly.Unit, s.Assembly.CreepageMM = nil, nil, nan }
	uncounted := func(s *Subject) { s.Assembly.setUnits(-1) }
	unit := func(change func(u *basis.Unit)) func(s *Subject) {
		return func(s *Subject) {
			change(&s.Assembly.units[0])
			s.Assembly.SetMakeup(s.Assembly.Makeup, s.Assembly.units)
		}
	}
	made := func(kind basis.Kind) func(s *Subject) { return unit(func(u *basis.Unit) { u.Kind = kind }) }
	pin := func(s *Subject) {
		s.Assembly.UnitsPerString, s.Assembly.Duty = 1, Pin
		made(basis.Pin)(s)
	}
	horizontal := func(s *Subject) { s.Assembly.Mounting = Horizontal }
	unitFaulty := func(s *Subject) { s.Assembly.UnitFaulty = s.Assembly.UnitFaulty.With(CellRating) }
	taken := func(c Cell) func(*Subject) {
		return func(s *Subject) {
			s.Line.Row.Faulty, s.Line.Row.Set = s.Line.Row.Faulty.With(c), &SetColumns{Left: Cells(0).With(c)}
		}
	}
	lineFaulty := func(c Cell) func(*Subject) {
		return func(s *Subject) { s.Line.Row.Faulty = s.Line.Row.Faulty.With(c) }
	}
	noGround := func(s *Subject) {
		s.Structure.GroundM, s.Structure.HeightM, s.Structure.WeightSpanColdM = nan, nan, nan
	}
	from := func(c LoadCase) func(s *Subject) {
		return func(s *Subject) { c.Name, c.Factor, s.Criteria.LoadCases = "case", 1, []LoadCase{c} }
	}
	classF := func(s *Subject) { s.Structure.SpecificCreepage, s.Structure.Class = nan, basis.ClassF }
	onTrial := func(s *Subject) { s.Trial = true }
	noWeightSpan := func(s *Subject) { s.Structure.WeightSpanColdM = nan }
	alone := func(s *Subject) { s.Assembly.setUnits(1) } // an insulator that is a whole string
	for _, c := range []struct {
		need   string
		want   Reason
		change []func(s *Subject)
	}{
		{"creepage", UnitNotStated, []func(*Subject){noUnit}},
		{"creepage", UnitsNotStated, []func(*Subject){uncounted}},
		{"creepage", UnitCreepageUnknown, []func(*Subject){unit(func(u *basis.Unit) { u.CreepageMM = nan })}},
		{"creepage", FaultyField, []func(*Subject){noUnit, faulty(CellUnit)}},
		{"creepage", FaultyField, []func(*Subject){uncounted, faulty(CellUnitsPerString)}},
		{"creepage", FaultyField, []func(*Subject){noUnit, faulty(CellCreepage)}},
		{"creepage", UnitNotStated, []func(*Subject){noUnit, faulty(CellRating)}},
		{"creepage", NoReason, []func(*Subject){faulty(CellUnit, CellCreepage, CellUnitsPerString)}},
		{"length", UnitNotStated, []func(*Subject){noUnit}},
		{"length", UnitsNotStated, []func(*Subject){uncounted}},
		{"length", SpacingUnknown, []func(*Subject){unit(func(u *basis.Unit) { u.SpacingMM = nan })}},
		{"length", FaultyField, []func(*Subject){noUnit, faulty(CellLength)}},
		{"length", FaultyField, []func(*Subject){noUnit, faulty(CellUnitsPerString)}},
		{"length", FaultyField, []func(*Subject){noUnit, faulty(CellUnit)}},
		{"length", NoReason, []func(*Subject){noUnit, func(s *Subject) { s.Assembly.Direct.LengthMM = 1314 }}},
		{"rating", RatingUnknown, []func(*Subject){unit(func(u *basis.Unit) { u.RatingKN = nan })}},
		{"rating", FaultyField, []func(*Subject){noUnit, faulty(CellRating)}},
		{"rating", FaultyField, []func(*Subject){noUnit, faulty(CellUnit)}},
		{"rating", RatingUnknown, []func(*Subject){noUnit}},
		{"rating", NoReason, []func(*Subject){pin}},
		{"rating", NoReason, []func(*Subject){unit(func(u *basis.Unit) { u.CantileverKN = nan })}},
		{"pull", NoReason, []func(*Subject){pin}},
		{"pull", UnitNotStated, []func(*Subject){pin, noUnit}},
		{"pull", FaultyField, []func(*Subject){pin, noUnit, faulty(CellUnit)}},
		{"pull", CantileverUnknown, []func(*Subject){pin, unit(func(u *basis.Unit) { u.CantileverKN = nan })}},
		{"pull", CompressionUnknown, []func(*Subject){pin, unit(func(u *basis.Unit) { u.CompressionKN = nan })}},
		{"pull", NoReason, []func(*Subject){pin, unit(func(u *basis.Unit) { u.RatingKN = nan })}},
		{"pull", FactorNotStated, []func(*Subject){pin, func(s *Subject) { s.Criteria.InsulatorFactor.Cantilever = 0 }}},
		{"pull", NoCompressionFactor, []func(*Subject){pin, func(s *Subject) { s.Criteria.InsulatorFactor.Compression = 0 }}},
		{"pull", FaultyField, []func(*Subject){pin, faulty(CellMounting)}},
		{"pull", FaultyField, []func(*Subject){pin, unit(func(u *basis.Unit) { u.CompressionKN = nan }), unitFaulty}},
		{"pull", NoReason, []func(*Subject){pin, unitFaulty}},
		{"pull", AxialRatingUnknown, []func(*Subject){pin, horizontal, unit(func(u *basis.Unit) { u.RatingKN = nan })}},
		{"pull", FaultyField, []func(*Subject){pin, horizontal, unit(func(u *basis.Unit) { u.RatingKN = nan }), faulty(CellRating)}},
		{"pull", NoAxialFactor, []func(*Subject){pin, horizontal, func(s *Subject) { s.Criteria.InsulatorFactor.Tension = 0 }}},
		{"broken", FactorNotStated, []func(*Subject){pin, func(s *Subject) { s.Criteria.InsulatorFactor.OneStringBroken = 0 }}},
		{"rating", NoReason, []func(*Subject){pin, unit(func(u *basis.Unit) { u.CantileverKN = nan })}},
		{"rating", CantileverUnknown, []func(*Subject){func(s *Subject) { s.Assembly.Duty = Shackle }, unit(func(u *basis.Unit) { u.Kind, u.CantileverKN = basis.Shackle, nan })}},
		{"couplings", UnitNotStated, []func(*Subject){noUnit}},
		{"couplings", NoReason, []func(*Subject){unit(func(u *basis.Unit) { u.Coupling = "" })}},
		{"puncture", UnitNotStated, []func(*Subject){noUnit}},
		{"puncture", PunctureUnknown, []func(*Subject){unit(func(u *basis.Unit) { u.DryKV = nan })}},
		{"puncture", PunctureUnknown, []func(*Subject){unit(func(u *basis.Unit) { u.PunctureKV = nan })}},
		{"specific", ClassWithoutFigure, []func(*Subject){classF}},
		{"specific", NoClass, []func(*Subject){func(s *Subject) { s.Structure.SpecificCreepage, s.Structure.Class = nan, 0 }}},
		{"least specific", NoReason, []func(*Subject){classF}},
		{"least specific", ClassWithoutFigure, []func(*Subject){classF, onTrial}},
		{"least specific", NoClass, []func(*Subject){func(s *Subject) { s.Structure.SpecificCreepage, s.Structure.Class = nan, 0 }}},
		{"least altitude", NoReason, []func(*Subject){noGround}},
		{"least altitude", NoReason, []func(*Subject){faulty(CellGround)}},
		{"least altitude", GroundUnknown, []func(*Subject){noGround, onTrial}},
		{"least altitude", AltitudeOutOfRange, []func(*Subject){func(s *Subject) { s.Structure.GroundM = 9001 }}},
		{"ground", GroundUnknown, []func(*Subject){noGround}},
		{"lightning", NoReason, []func(*Subject){noGround}},
		{"lightning", GroundUnknown, []func(*Subject){noGround, onTrial}},
		{"lightning", GroundUnknown, []func(*Subject){noGround, faulty(CellTested)}},
		{"lightning", LightningLevelNotStated, []func(*Subject){noGround, func(s *Subject) { s.Line.Row.LightningKV = nan }}},
		{"altitude", GroundUnknown, []func(*Subject){noGround}},
		{"altitude", FaultyField, []func(*Subject){faulty(CellGround)}},
		{"altitude", NoReason, []func(*Subject){noGround, func(s *Subject) { s.Criteria.CreepageAltitudeExponent = Stated(0) }}},
		{"altitude", AltitudeOutOfRange, []func(*Subject){func(s *Subject) { s.Structure.GroundM = 9001 }}},
		{"weight span", GroundUnknown, []func(*Subject){noGround}},
		{"weight span", FaultyField, []func(*Subject){noGround, func(s *Subject) { s.Structure.HeightsFaulty = true }}},
		{"weight span", ColdTensionUnknown, []func(*Subject){noWeightSpan, func(s *Subject) { s.Line.Row.ColdTensionKN = nan }}},
		{"weight span", FaultyField, []func(*Subject){noWeightSpan, func(s *Subject) { s.Line.Row.ColdTensionKN = nan }, faulty(CellTension)}},
		{"weight span", OtherConductor, []func(*Subject){noWeightSpan, otherConductor}},
		{"weight span", ConductorUnknown, []func(*Subject){noWeightSpan, func(s *Subject) { s.Line.Conductor = nil }}},
		{"weight span", ConductorUnknown, []func(*Subject){noWeightSpan, func(s *Subject) { s.Line.Conductor.MassKgPerM = nan }}},
		{"weight span", BeyondExtract, []func(*Subject){noWeightSpan, func(s *Subject) { s.Structure.Continues, s.Structure.SpanAheadM = true, nan }}},
		{"weight span", BeyondExtract, []func(*Subject){noWeightSpan, func(s *Subject) { s.Structure.Continues, s.Structure.SpanBackM = true, nan }}},
		{"nominal", FaultyField, []func(*Subject){func(s *Subject) { s.Line.Row.NominalKV = nan }, faulty(CellVoltage)}},
		{"nominal", FaultyField, []func(*Subject){faulty(CellVoltage)}}, // of the system, for all that is known
		{"nominal", NoReason, []func(*Subject){func(s *Subject) { s.Line.Row.System = Earthed }, faulty(CellVoltage)}},
		{"highest", FaultyField, []func(*Subject){faulty(CellVoltage)}},
		{"alternating", DirectCurrentLine, []func(*Subject){func(s *Subject) { s.Line.Row.System = DirectCurrent }}},
		{"alternating", DirectCurrentLine, []func(*Subject){func(s *Subject) { s.Line.Row.System = DirectRailway }}},
		{"alternating", FaultyField, []func(*Subject){lineFaulty(CellVoltage)}},
		{"alternating", NoReason, []func(*Subject){lineFaulty(CellVoltage), func(s *Subject) { s.Line.Row.System = SinglePhase }}},
		{"highest", VoltageNotStandard, []func(*Subject){func(s *Subject) { s.Line.HighestKV = nan }}},
		{"highest", VoltageUnknown, []func(*Subject){func(s *Subject) { s.Line.HighestKV, s.Line.Row.NominalKV = nan, nan }}},
		{"pull", GroundUnknown, []func(*Subject){noGround}},
		{"pull", BeyondExtract, []func(*Subject){func(s *Subject) { s.Structure.Continues, s.Structure.SpanAheadM = true, nan }}},
		{"pull", NoReason, []func(*Subject){func(s *Subject) { s.Structure.Continues = true }}},
		{"pull", OtherConductor, []func(*Subject){otherConductor}},
		{"pull", SpansDiffer, []func(*Subject){func(s *Subject) { s.Structure.CarriesBack.Conductor = 1 }}},
		{"pull", FaultyField, []func(*Subject){func(s *Subject) { s.Structure.CarriesBack.Faulty = true }}},
		{"pull", FaultyField, []func(*Subject){func(s *Subject) { s.Structure.CarriesAhead.BundleFaulty = true }}},
		{"pull", ConductorUnknown, []func(*Subject){func(s *Subject) { s.Line.Conductor.DiameterMM = nan }}},
		{"pull", ConductorUnknown, []func(*Subject){func(s *Subject) { s.Line.Conductor.MassKgPerM = nan }}},
		{"pull", ConductorUnknown, []func(*Subject){func(s *Subject) { s.Line.Conductor = nil }}},
		{"pull", MaximumTensionUnknown, []func(*Subject){func(s *Subject) { s.Line.Row.MaximumTensionKN = nan }}},
		{"pull", FaultyField, []func(*Subject){func(s *Subject) { s.Line.Row.MaximumTensionKN = nan }, faulty(CellTension)}},
		{"pull", NoReason, []func(*Subject){faulty(CellTension)}},
		{"pull", FactorNotStated, []func(*Subject){func(s *Subject) { s.Criteria.InsulatorFactor.Suspension = 0 }}},
		{"pull", NoReason, []func(*Subject){func(s *Subject) { s.Criteria.InsulatorFactor.OneStringBroken = 0 }}},
		{"broken", FactorNotStated, []func(*Subject){func(s *Subject) { s.Criteria.InsulatorFactor.OneStringBroken = 0 }}},
		{"broken", NoReason, []func(*Subject){func(s *Subject) { s.Criteria.InsulatorFactor.Suspension = 0 }}},
		{"swing", ColdTensionUnknown, []func(*Subject){from(LoadCase{From: ColdTension}), func(s *Subject) { s.Line.Row.ColdTensionKN = nan }}},
		{"swing", NoReason, []func(*Subject){from(LoadCase{From: ColdTension})}},
		{"swing", NoReason, []func(*Subject){from(LoadCase{From: EverydayTension})}},
		{"swing", EverydayTensionUnknown, []func(*Subject){from(LoadCase{From: EverydayTension}), func(s *Subject) { s.Line.Row.EverydayTensionKN = nan }}},
		{"swing", NoReason, []func(*Subject){from(LoadCase{From: GivenTension, TensionKN: 20}), func(s *Subject) { s.Line.Row.MaximumTensionKN = nan }}},
		{"swing", GivenTensionUnknown, []func(*Subject){from(LoadCase{From: GivenTension, TensionKN: 20}), func(s *Subject) { s.Line.Row.Superseded = TensionSuperseded }}},
		{"swing", FaultyField, []func(*Subject){from(LoadCase{From: GivenTension, TensionKN: 20}), func(s *Subject) { s.Line.Row.Superseded = AllSuperseded }, lineFaulty(CellDeclared)}},
		{"swing", NoReason, []func(*Subject){from(LoadCase{From: MaximumTension}), func(s *Subject) { s.Line.Row.Superseded = TensionSuperseded }}},
		{"swing limit", FaultyField, []func(*Subject){func(s *Subject) { s.Structure.RoomFaulty = true }}},
		{"swing limit", OwnFigureSuperseded, []func(*Subject){func(s *Subject) { s.Structure.RoomFaulty, s.Structure.RoomSuperseded = true, true }}},
		{"swing limit", FaultyField, []func(*Subject){func(s *Subject) {
			s.Structure.RoomFaulty, s.Structure.RoomSuperseded, s.Line.Row.SwingLimitDeg = true, true, nan
		}, lineFaulty(CellLimits)}},
		{"swing limit", LineFigureSuperseded, []func(*Subject){func(s *Subject) { s.Structure.RoomFaulty = true }, taken(CellLength)}},
		{"swing limit", LineFigureSuperseded, []func(*Subject){func(s *Subject) { s.Line.Row.SwingLimitDeg = nan }, taken(CellLimits)}},
		{"swing limit", FaultyField, []func(*Subject){func(s *Subject) { s.Line.Row.SwingLimitDeg = nan }, taken(CellLength), lineFaulty(CellLimits)}},
		{"swing", NoReason, []func(*Subject){from(LoadCase{From: ShareOfStrength, Share: 0.4})}},
		{"swing", StrengthUnknown, []func(*Subject){from(LoadCase{From: ShareOfStrength, Share: 0.4}), func(s *Subject) { s.Line.Conductor.RatedStrengthKN = nan }}},
		{"swing", NoReason, []func(*Subject){from(LoadCase{From: CalculatedTension, TemperatureC: Stated(-5)})}},
		{"swing", StateUnknown, []func(*Subject){from(LoadCase{From: CalculatedTension, TemperatureC: NotStated()})}},
		{"swing", StateUnknown, []func(*Subject){from(LoadCase{From: CalculatedTension, TemperatureC: Stated(-5)}), func(s *Subject) { s.Line.Conductor.ModulusGPa = nan }}},
		{"swing", EverydayTensionUnknown, []func(*Subject){from(LoadCase{From: CalculatedTension, TemperatureC: Stated(-5)}), func(s *Subject) { s.Line.Row.EverydayC = nan }}},
		{"swing", EverydayTensionUnknown, []func(*Subject){from(LoadCase{From: CalculatedTension, TemperatureC: Stated(-5)}), func(s *Subject) { s.Line.Row.EverydayTensionKN = nan }}},
		{"lightning", LightningLevelNotStated, []func(*Subject){func(s *Subject) { s.Line.Row.LightningKV = nan }}},
		{"lightning", FaultyField, []func(*Subject){faulty(CellTested)}},
		{"lightning", NoReason, []func(*Subject){func(s *Subject) { s.Assembly.Direct.LightningKV = 700 }, faulty(CellTested)}},
		{"lightning", UnitNotStated, []func(*Subject){noUnit}},
		{"lightning", FaultyField, []func(*Subject){noUnit, faulty(CellUnit)}},
		{"lightning", NoReason, []func(*Subject){noUnit, func(s *Subject) { s.Assembly.Direct.ArcingMM = 1300 }}},
		{"lightning", NoReason, []func(*Subject){noUnit, func(s *Subject) { s.Assembly.Direct.ArcingMM = 900 }}}, // no more than across 1 m
		{"lightning", OutsideGapFormula, []func(*Subject){noUnit, func(s *Subject) { s.Assembly.Direct.ArcingMM, s.Criteria.GapFactor.Value = 1300, 2.1 }}},
		{"lightning", WithstandUnknown, []func(*Subject){func(s *Subject) { s.Assembly.setUnits(21) }}},
		{"lightning", WithstandUnknown, []func(*Subject){unit(func(u *basis.Unit) { u.DiameterMM = 300 })}},
		{"lightning", WithstandUnknown, []func(*Subject){alone, unit(func(u *basis.Unit) { u.Kind = basis.LongRod })}},
		{"lightning", SeriesNotTested, []func(*Subject){unit(func(u *basis.Unit) { u.Kind = basis.LongRod })}},
		{"lightning", NoReason, []func(*Subject){alone, unit(func(u *basis.Unit) { u.Kind, u.LightningKV = basis.LongRod, 700 })}},
		{"lightning", NoReason, []func(*Subject){alone, unit(func(u *basis.Unit) { u.Kind, u.ArcingMM = basis.LongRod, 1300 })}},
		{"lightning", FaultyField, []func(*Subject){func(s *Subject) { s.Line.Row.LightningKV = nan }, lineFaulty(CellTested)}},
		{"lightning", FaultyField, []func(*Subject){lineFaulty(CellVoltage)}},
		{"lightning", NoReason, []func(*Subject){func(s *Subject) { s.Line.Row.SwitchingKV = nan }, lineFaulty(CellTested)}},
		{"wet", FaultyField, []func(*Subject){func(s *Subject) { s.Line.Row.LightningKV, s.Line.WetKV = nan, nan }, lineFaulty(CellTested)}},
		{"switching", FaultyField, []func(*Subject){func(s *Subject) { s.Line.Row.SwitchingKV = nan }, lineFaulty(CellTested)}},
		{"switching", NoReason, []func(*Subject){func(s *Subject) { s.Line.Row.LightningKV = nan }, lineFaulty(CellTested)}},
		{"nominal", VoltageUnknown, []func(*Subject){func(s *Subject) { s.Line.Row.NominalKV = nan }, lineFaulty(CellTested)}},
		{"switching", SwitchingLevelNotStated, []func(*Subject){func(s *Subject) { s.Line.Row.SwitchingKV = nan }}},
		{"switching", WithstandUnknown, []func(*Subject){func(s *Subject) { s.Assembly.Direct.SwitchingKV = nan }}},
		{"switching", NoReason, []func(*Subject){func(s *Subject) { s.Assembly.Direct.SwitchingKV, s.Assembly.Direct.ArcingMM = nan, 3200 }}},
		{"wet", WetLevelUnknown, []func(*Subject){func(s *Subject) { s.Line.WetKV = nan }}},
		{"wet", SeriesNotTested, []func(*Subject){unit(func(u *basis.Unit) { u.Kind, u.ArcingMM = basis.LongRod, 1300 })}},
		{"wet", NoReason, []func(*Subject){alone, unit(func(u *basis.Unit) { u.Kind, u.WetKV = basis.LongRod, 300 })}},
		{"wet", UnitsNotStated, []func(*Subject){uncounted}},
	} {
		s := known(t)
		for _, change := range c.change {
			change(s)
		}
		require.Equal(t, c.want.String(), s.Lacks(all[c.need]).String(), "%s, where it should be: %s", c.need, c.want)
	}
}

// otherConductor has both spans carry one that is not the line's.
func otherConductor(s *Subject) {
	s.Structure.CarriesBack.Conductor, s.Structure.CarriesAhead.Conductor = 1, 1
}

func coldConstant(s *Subject) float64 {
	cold, reason := s.Cold()
	if reason != NoReason {
		return math.NaN()
	}
	return cold.ConstantM
}

// The tension that is calculated is that of the longer ruling span beside a structure, for the weight with ice and wind; the
// cold case is the first one marked for uplift, else the cold tension without ice.
func TestCalculatedTensions(t *testing.T) {
	s := known(t)
	c := LoadCase{Name: "ice", From: CalculatedTension, TemperatureC: Stated(-5), IceMM: 10, IceDensityKgPerM3: 900, WindPa: 200, Factor: 1}
	ruling := func(back, ahead float64) float64 {
		s.Structure.RulingBackM, s.Structure.RulingAheadM = back, ahead
		load, reason := s.Load(&c)
		require.Equal(t, NoReason, reason)
		return load.TensionKN
	}
	// The change of state holds for what is found: T2²·(T2 − T1 + E·A·α·(t2 − t1) + E·A·w1²·S²/(24·T1²)) = E·A·w2²·S²/24, Panther
	// of 261.54 mm², E 80 GPa, α 17.8e-6/K; w1 = 9.5517 N/m, ice π·900·0.010·0.031·g = 8.5955 N/m, wind 200·0.041 = 8.2 N/m.
	const ea, w1 = 80 * 261.5372, 0.974 * basis.Gravity
	w2 := math.Hypot(w1+math.Pi*900*0.010*0.031*basis.Gravity, 200*0.041)
	at := func(tension, span float64) float64 {
		bend := func(w float64) float64 { return ea * math.Pow(w*span/1000, 2) / 24 }
		return tension*tension*(tension-18+ea*17.8e-6*(-5-15)+bend(w1)/(18*18)) - bend(w2)
	}
	short, long := ruling(300, 300), ruling(420, 420)
	require.InDelta(t, 0, at(short, 300)/(short*short), 1e-4)
	require.InDelta(t, 0, at(long, 420)/(long*long), 1e-4)
	require.Equal(t, long, ruling(300, 420))
	require.Equal(t, long, ruling(420, 300))
	require.Equal(t, long, ruling(math.NaN(), 420))
	require.Equal(t, long, ruling(420, math.NaN()))

	s.Structure.RulingBackM, s.Structure.RulingAheadM = 300, 420
	require.InDelta(t, 24000/w1, coldConstant(s), 1e-6, "the cold tension on the bare conductor")
	c.Uplift, c.IceMM, c.WindPa = true, 0, 0
	s.Criteria.LoadCases = append(s.Criteria.LoadCases, c, LoadCase{Uplift: true, From: MaximumTension})
	w2 = w1
	cold := coldConstant(s) * w1 / 1000
	require.InDelta(t, 0, at(cold, 420)/(cold*cold), 1e-4, "by the first case marked for uplift")
	s.Criteria.LoadCases = []LoadCase{{Uplift: true, From: MaximumTension, IceMM: 10, IceDensityKgPerM3: 900}}
	require.InDelta(t, 28000/(w1+math.Pi*900*0.010*0.031*basis.Gravity), coldConstant(s), 1e-6, "with its ice")

	for name, change := range map[string]func(s *Subject){
		"another conductor":  otherConductor,
		"no conductor":       func(s *Subject) { s.Line.Conductor = nil },
		"mass unknown":       func(s *Subject) { s.Line.Conductor.MassKgPerM = math.NaN() },
		"beyond the extract": func(s *Subject) { s.Structure.Continues, s.Structure.SpanAheadM = true, math.NaN() },
		"no cold tension":    func(s *Subject) { s.Line.Row.ColdTensionKN = math.NaN() },
	} {
		unknown := known(t)
		change(unknown)
		require.True(t, math.IsNaN(coldConstant(unknown)), name)
	}
	for from, want := range map[TensionFrom]float64{MaximumTension: 28, ColdTension: 24, EverydayTension: 18, GivenTension: 21, ShareOfStrength: 0.4 * 89.67} {
		load, reason := s.Load(&LoadCase{From: from, TensionKN: 21, Share: 0.4, Factor: 1})
		require.Equal(t, NoReason, reason)
		require.InDelta(t, want, load.TensionKN, 1e-9, from)
	}
}
