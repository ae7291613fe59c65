package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// ownUnified puts a figure of the test on Um/√3 in the place of that of class b, in which the base stands.
func (b *base) ownUnified(mmPerKV float64) {
	own := audit.DefaultCriteria().OwnSpecificCreepage
	own.Base, own.MMPerKV[basis.ClassB] = basis.PerPhaseToEarth, mmPerKV
	b.Criteria.OwnSpecificCreepage = own
}

func (b *base) ofPole(pole, mmPerKV float64) {
	b.Lines[0].System, b.Lines[0].NominalKV, b.Lines[0].CreepageKV = audit.DirectCurrent, 100, pole
	b.Criteria.DirectCreepage = audit.DefaultCriteria().DirectCreepage
	b.Criteria.DirectCreepage.MMPerKV[basis.ClassB] = mmPerKV
}

// The strings of the base have 9 × 295 = 2655 mm. All of it is computed: 2655 = 29.5 · 90 = 45 · 59 = 90 · 29.5.
func TestCreepageByWhatStandsAlongStrings(t *testing.T) {
	whole := audit.CreepageVoltage{Isolated: basis.PerPhaseToPhase, Resonant: basis.PerPhaseToEarth, EarthFaults: "cut off within 10 s"}
	isolated := func(system audit.System, um float64) func(*base) {
		return func(b *base) {
			b.Criteria.CreepageVoltage = whole
			b.ownUnified(29.5)
			b.Lines[0].System, b.Lines[0].NominalKV, b.Lines[0].HighestKV, b.Lines[0].LightningKV = system, 82, um, math.NaN()
		}
	}
	railway := func(highest float64) func(*base) {
		return func(b *base) {
			b.ownUnified(90)
			b.Lines[0].System, b.Lines[0].NominalKV, b.Lines[0].HighestKV, b.Lines[0].LightningKV = audit.SinglePhaseRailway, 25, highest, math.NaN()
		}
	}
	ofUnits := func(system audit.System, nominal float64, units int16) func(*base) {
		return func(b *base) {
			b.Lines[0].System, b.Lines[0].NominalKV, b.Lines[0].HighestKV, b.Lines[0].LightningKV = system, nominal, math.NaN(), math.NaN()
			b.rows(3)[0].UnitsPerString = units
		}
	}
	direct := func(pole, mmPerKV float64) func(*base) { return func(b *base) { b.ofPole(pole, mmPerKV) } }
	for _, c := range []struct {
		name     string
		change   func(*base)
		outcome  audit.Outcome
		required float64
		reason   audit.Reason
	}{
		{"isolated, Um below", isolated(audit.Isolated, 89.9), audit.Meets, 2652.05, audit.NoReason},
		{"isolated, Um at", isolated(audit.Isolated, 90), audit.Meets, 2655, audit.NoReason},
		{"isolated, Um above", isolated(audit.Isolated, 90.1), audit.FallsShort, 2657.95, audit.NoReason},
		{"resonant, Um/√3", isolated(audit.Resonant, 145), audit.Meets, 29.5 * 145 / math.Sqrt(3), audit.NoReason},
		{"resonant, Um/√3 above", isolated(audit.Resonant, 156), audit.FallsShort, 29.5 * 156 / math.Sqrt(3), audit.NoReason},
		{"isolated, nothing said of it", func(b *base) {
			isolated(audit.Isolated, 90)(b)
			b.Criteria.CreepageVoltage.Isolated = basis.NoBase
		}, audit.NotAssessed, 0, audit.NeutralVoltageNotStated},
		{"isolated, creepage voltage stated", func(b *base) {
			isolated(audit.Isolated, 90)(b)
			b.Lines[0].CreepageKV = 80
		}, audit.Meets, 29.5 * 80, audit.NoReason},

		{"railway below", railway(29.4), audit.Meets, 2646, audit.NoReason},
		{"railway at", railway(29.5), audit.Meets, 2655, audit.NoReason},
		{"railway above", railway(29.6), audit.FallsShort, 2664, audit.NoReason},
		// 27.5 · 27.8 = 764.5 and 17.25 · 27.8 = 479.55 mm; of Um/√3 two units of 295 mm would do for 25 kV, and one for 15 kV
		{"railway of 25 kV, two units", ofUnits(audit.SinglePhaseRailway, 25, 2), audit.FallsShort, 764.5, audit.NoReason},
		{"railway of 25 kV, three units", ofUnits(audit.SinglePhaseRailway, 25, 3), audit.Meets, 764.5, audit.NoReason},
		{"railway of 15 kV, one unit", ofUnits(audit.SinglePhaseRailway, 15, 1), audit.FallsShort, 479.55, audit.NoReason},
		{"railway of 15 kV, two units", ofUnits(audit.SinglePhaseRailway, 15, 2), audit.Meets, 479.55, audit.NoReason},
		{"single-phase, of no railway", ofUnits(audit.SinglePhase, 22, 9), audit.NotAssessed, 0, audit.NeutralNotEarthed},

		{"direct current below", direct(58.9, 45), audit.Meets, 2650.5, audit.NoReason},
		{"direct current at", direct(59, 45), audit.Meets, 2655, audit.NoReason},
		{"direct current above", direct(59.1, 45), audit.FallsShort, 2659.5, audit.NoReason},
		{"direct current up to 1 kV", direct(1, 45), audit.NotAssessed, 0, audit.FaultyField}, // of 100 kV
		{"direct current up to 1 kV, by its nominal voltage too", func(b *base) { b.ofPole(0.9, 45); b.Lines[0].NominalKV = 0.75 }, audit.NotAssessed, 0, audit.LowVoltage},
		{"direct current between poles", direct(50, 45), audit.Meets, 2250, audit.NoReason},
		{"direct current, less than half of the voltage", direct(49, 45), audit.NotAssessed, 0, audit.FaultyField},
		{"a railway, its creepage voltage less than the voltage to earth", func(b *base) { railway(29.4)(b); b.Lines[0].CreepageKV = 0.99 * b.Lines[0].NominalKV }, audit.NotAssessed, 0, audit.FaultyField},
		{"direct current, no pole voltage", direct(math.NaN(), 45), audit.NotAssessed, 0, audit.PoleVoltageNotStated},
		{"direct current, no figure", direct(59, math.NaN()), audit.NotAssessed, 0, audit.NoDirectCreepage},
		{"direct current, no figure of its class", func(b *base) {
			b.ofPole(59, math.NaN())
			b.Criteria.DirectCreepage.MMPerKV[basis.ClassC] = 45
		}, audit.NotAssessed, 0, audit.NoDirectCreepage},
		{"direct current, pole voltage not readable", func(b *base) {
			b.ofPole(math.NaN(), 45)
			b.Lines[0].Faulty = b.Lines[0].Faulty.With(audit.CellVoltage)
		}, audit.NotAssessed, 0, audit.FaultyField},
		{"direct current, no class", func(b *base) {
			b.ofPole(59, 45)
			b.Criteria.DefaultClass = basis.ClassUnknown
		}, audit.NotAssessed, 0, audit.NoClass},
		{"direct current, large units", func(b *base) {
			b.ofPole(59, 45)
			b.unit("U120B").AverageDiameterMM = 300
		}, audit.NotAssessed, 0, audit.DiameterOnDirect},
		{"direct current, units below that", func(b *base) {
			b.ofPole(59, 45)
			b.unit("U120B").AverageDiameterMM = 299
		}, audit.Meets, 2655, audit.NoReason},
		{"direct current, by the levels of 1986", func(b *base) { // which are of alternating current
			b.ofPole(59, 45)
			b.Criteria.CreepageBasis, b.Criteria.CreepageBasisStated = basis.Levels1986, true
		}, audit.Meets, 2655, audit.NoReason},
		{"direct current, in a zone of a figure without a class", func(b *base) {
			b.ofPole(59, 45)
			b.Zones = []audit.Zone{{Polygons: around(3), SpecificCreepage: 60, StatedBase: basis.PerPhaseToEarth}}
		}, audit.NotAssessed, 0, audit.ZoneOfAlternating},
		{"direct current, in a zone of a class", func(b *base) {
			b.ofPole(59, 45)
			b.Criteria.DirectCreepage.MMPerKV[basis.ClassE] = 70
			b.Zones = []audit.Zone{{Polygons: around(3), Class: basis.ClassE}}
		}, audit.FallsShort, 4130, audit.NoReason},
		{"direct current, in a zone that cannot be read", func(b *base) {
			b.ofPole(59, 45)
			b.Zones = []audit.Zone{{Polygons: around(3), Unknown: audit.ZoneClassUnreadable}}
		}, audit.NotAssessed, 0, audit.ZoneClassUnreadable},
		{"direct current of class f, by that of class e", func(b *base) {
			b.ofPole(59, 45)
			b.Criteria.DirectCreepage.MMPerKV[basis.ClassE], b.Criteria.DefaultClass = 50, basis.ClassF
		}, audit.FallsShort, 2950, audit.NoReason},
		{"direct current of class f, which class e does not tell", func(b *base) {
			b.ofPole(50, 45)
			b.Criteria.DirectCreepage.MMPerKV[basis.ClassE], b.Criteria.DefaultClass = 50, basis.ClassF
		}, audit.NotAssessed, 0, audit.ClassWithoutFigure},
		// 3.6 · 45 = 162 mm
		{"direct-current railway of 3 kV", func(b *base) {
			b.ofPole(math.NaN(), 45)
			ofUnits(audit.DirectRailway, 3, 1)(b)
		}, audit.Meets, 162, audit.NoReason},
		{"direct-current railway without a figure", ofUnits(audit.DirectRailway, 3, 1), audit.NotAssessed, 0, audit.NoDirectCreepage},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase(t)
			c.change(b)
			v := b.verdict("creepage", 3, "A")
			require.Equal(t, c.outcome, v.Outcome, v.Reason.String())
			require.Equal(t, c.reason.String(), v.Reason.String())
			if c.outcome != audit.NotAssessed {
				require.InDelta(t, c.required, v.Required.Number, 1e-9*c.required)
			}
		})
	}
}

// What hangs of direct current is judged by its creepage alone: no limit and no level of alternating current holds.
func TestDirectCurrentIsJudgedByCreepageAlone(t *testing.T) {
	for _, system := range []audit.System{audit.DirectCurrent, audit.DirectRailway} {
		b := newBase(t)
		b.ofPole(59, 45)
		b.Lines[0].System, b.Lines[0].SwitchingKV = system, 700
		b.rows(3)[0].Duty = audit.Pin
		b.unit("U120B").DryKV, b.unit("U120B").PunctureKV = 80, 100
		for _, check := range []string{"pin-voltage", "puncture-margin", "lightning-withstand", "switching-withstand", "wet-withstand"} {
			v := b.verdict(check, 3, "A")
			require.Equal(t, audit.NotAssessed, v.Outcome, check)
			require.Equal(t, audit.DirectCurrentLine.String(), v.Reason.String(), check)
		}
		require.Equal(t, audit.NotThreePhase, b.verdict("units-for-voltage", 4, "A").Reason)
	}
}

func TestOtherChecksTakeTheSameVoltageAlongStrings(t *testing.T) {
	railway := func(b *base, nominal float64) {
		b.Lines[0].System, b.Lines[0].NominalKV, b.Lines[0].HighestKV, b.Lines[0].LightningKV = audit.SinglePhaseRailway, nominal, math.NaN(), math.NaN()
	}
	t.Run("counting rule", func(t *testing.T) { // 25/11 = 2.27 and 15/11 = 1.36, rounded up
		for nominal, least := range map[float64]int16{25: 3, 15: 2} {
			for units := least - 1; units <= least; units++ {
				b := newBase(t)
				railway(b, nominal)
				b.rows(3)[0].UnitsPerString = units
				v := b.verdict("units-for-voltage", 3, "A")
				require.Equal(t, units == least, v.Outcome == audit.Meets)
				require.Equal(t, float64(least), v.Required.Number)
			}
		}
	})
	t.Run("counting rule without an earthed neutral", func(t *testing.T) { // 66/√3/11 = 3.46, in service as ever
		b := newBase(t)
		b.Lines[0].System, b.Lines[0].NominalKV, b.Lines[0].HighestKV, b.Lines[0].LightningKV = audit.Isolated, 66, 72.5, math.NaN()
		require.Equal(t, 4.0, b.verdict("units-for-voltage", 3, "A").Required.Number)
		b.Criteria.CreepageVoltage.Isolated = basis.PerPhaseToPhase
		require.Equal(t, 4.0, b.verdict("units-for-voltage", 3, "A").Required.Number)
	})
	t.Run("pins", func(t *testing.T) { // 36.5/√3 = 21.07 kV
		for nominal, outcome := range map[float64]audit.Outcome{15: audit.Meets, 25: audit.FallsShort} {
			b := newBase(t)
			railway(b, nominal)
			b.rows(3)[0].Duty = audit.Pin
			v := b.verdict("pin-voltage", 3, "A")
			require.Equal(t, outcome, v.Outcome)
			require.InDelta(t, 21.0733, v.Required.Number, 1e-4)
		}
	})
	t.Run("longest string", func(t *testing.T) { // 764.5 mm are 3 units of 295 mm and 146 mm, 438 mm long
		b := newBase(t)
		railway(b, 25)
		for i := range b.Assemblies.Len() {
			b.Assemblies.Row(i).UnitsPerString = 2
		}
		b.Lines[0].LongestStringMM = 437
		require.Equal(t, audit.FallsShort, b.verdict("string-too-long", 3, "A").Outcome)
		b.Lines[0].LongestStringMM = 438
		require.Equal(t, audit.Meets, b.verdict("string-too-long", 3, "A").Outcome)
	})
	t.Run("a worse zone near by", func(t *testing.T) {
		b := newBase(t)
		b.ofPole(59, 45)
		b.Criteria.DirectCreepage.MMPerKV[basis.ClassE] = 46
		b.Criteria.ZoneMarginM = audit.Stated(1000)
		b.Zones = []audit.Zone{{Polygons: around(2), Class: basis.ClassE}}
		v := b.verdict("near-worse-zone", 3, "A")
		require.Equal(t, audit.FallsShort, v.Outcome)
		require.InDelta(t, 46*59, v.Required.Number, 1e-9)
		b.Criteria.DirectCreepage.MMPerKV[basis.ClassE] = math.NaN()
		require.Equal(t, audit.NoDirectCreepage, b.verdict("near-worse-zone", 3, "A").Reason)
		b.Zones[0].Class, b.Zones[0].SpecificCreepage = basis.ClassUnknown, 60
		require.Equal(t, audit.ZoneOfAlternating, b.verdict("near-worse-zone", 3, "A").Reason)
	})
	t.Run("sound units", func(t *testing.T) { // 8 · 295 = 2360 = 40 · 59
		for mmPerKV, outcome := range map[float64]audit.Outcome{40: audit.Meets, 40.1: audit.FallsShort} {
			b := newBase(t)
			b.ofPole(59, mmPerKV)
			b.Lines[0].LightningKV = math.NaN()
			b.rows(3)[0].Defective = 1
			require.Equal(t, outcome, b.verdict("sound-units", 3, "A").Outcome)
		}
	})
}
