package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// Range II, Um 420 kV, sea level. Over the units 23 discs of 146 mm are 3.358 m: switching 0.9232·1.25·1080·ln(0.46·3.358 + 1) = 1164.07 kV, lightning
// 0.9616·1.065·530·3.358 = 1822.64 kV; 21 are 3.066 m: 1096.48 and 1664.15 kV (computed on the formulas of IEC 60071-2:2018, published, gap factor 1.25 from memory).
// 20 discs are in the table: 1745·0.9616 = 1677.99 kV.
func TestGapOverTheUnits(t *testing.T) {
	nan := math.NaN()
	discs := func(n int16) func(b *base) { return func(b *base) { b.rows(3)[0].UnitsPerString = n } }
	direct := func(set func(d *audit.DirectValues)) func(b *base) {
		return func(b *base) { b.rows(3)[0].Direct = b.direct(set) }
	}
	acrossHorns := func(dryKV float64) func(b *base) { // 4 m, on units that may be long or short
		return func(b *base) {
			b.unit("U120B").SpacingMM, b.unit("U120B").DryKV = nan, dryKV
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.ArcingMM = 4000 })
		}
	}
	unitFault := func(c audit.Cell) func(b *base) {
		return func(b *base) {
			b.UnitFaults = audit.WithFaultsOf(b.UnitFaults, b.of("U120B", 0).Unit, audit.Cells(0).With(c))
		}
	}
	both := func(changes ...func(b *base)) func(b *base) {
		return func(b *base) {
			for _, change := range changes {
				change(b)
			}
		}
	}
	silent := func(b *base) { b.Criteria.ArcingDistance = audit.ArcingNotStated }
	for _, o := range []struct {
		name, check string
		change      func(b *base)
		outcome     audit.Outcome
		reason      audit.Reason
		observed    float64
	}{
		{"nobody says what the arcing distance is", "switching-withstand", both(discs(23), silent), audit.NotAssessed, audit.WithstandUnknown, nan},
		{"nor for lightning", "lightning-withstand", both(discs(23), silent), audit.NotAssessed, audit.WithstandUnknown, nan},
		{"switching", "switching-withstand", discs(23), audit.Meets, audit.NoReason, 1164.07},
		{"switching, falls short", "switching-withstand", discs(19), audit.FallsShort, audit.NoReason, 1025.02},
		{"lightning beyond the table", "lightning-withstand", discs(23), audit.Meets, audit.NoReason, 1822.64},
		{"lightning in the table stays there", "lightning-withstand", discs(20), audit.Meets, audit.NoReason, 1677.99},
		{"wet is not reckoned", "wet-withstand", discs(23), audit.NotApplicable, audit.IsRangeTwo, nan},
		{"a length with fittings is not used", "switching-withstand", both(discs(23), direct(func(d *audit.DirectValues) { d.LengthMM = 4200 })), audit.Meets, audit.NoReason, 1164.07},
		{"a length shorter than the units", "switching-withstand", both(discs(23), direct(func(d *audit.DirectValues) { d.LengthMM = 3000 })), audit.NotAssessed, audit.FaultyField, nan},
		{"a stated arcing distance wins", "switching-withstand", both(discs(23), direct(func(d *audit.DirectValues) { d.ArcingMM = 3000 })), audit.Meets, audit.NoReason, 1080.68},
		{"an arcing distance that cannot be read", "switching-withstand", func(b *base) {
			b.rows(3)[0].UnitsPerString, b.rows(3)[0].Faulty = 23, b.rows(3)[0].Faulty.With(audit.CellArcing)
		}, audit.NotAssessed, audit.FaultyField, nan},
		{"a tested value wins", "switching-withstand", both(discs(23), direct(func(d *audit.DirectValues) { d.SwitchingKV = 1000 })), audit.FallsShort, audit.NoReason, 1000},
		{"6 units are below the range of the formula: no more than 1 m", "switching-withstand", discs(6), audit.FallsShort, audit.NoReason, 471.65},
		{"7 units are in it", "switching-withstand", discs(7), audit.FallsShort, audit.NoReason, 480.26},
		{"68 units are in it", "switching-withstand", discs(68), audit.Meets, audit.NoReason, 2139.73},
		{"69 units are beyond it: no less than 10 m", "switching-withstand", discs(69), audit.Meets, audit.NoReason, 2147.12},
		{"a count that nobody states", "switching-withstand", discs(-1), audit.NotAssessed, audit.UnitsNotStated, nan},
		{"a spacing that nobody states", "switching-withstand", both(discs(23), func(b *base) { b.unit("U120B").SpacingMM = nan }), audit.NotAssessed, audit.SpacingUnknown, nan},
		{"a spacing that cannot be read", "switching-withstand", both(discs(23), unitFault(audit.CellLength)), audit.NotAssessed, audit.FaultyField, nan},
		{"across horns, of a spacing that cannot be read, with less than a whole disc of the table", "switching-withstand", both(acrossHorns(75), unitFault(audit.CellLength)), audit.NotAssessed, audit.FaultyField, nan},
		{"of a spacing that nobody states", "switching-withstand", acrossHorns(75), audit.NotAssessed, audit.SpacingUnknown, nan},
		{"with no less", "switching-withstand", both(acrossHorns(80), unitFault(audit.CellLength)), audit.Meets, audit.NoReason, 1300.91}, // 0.9232·1350·ln(1 + 0.46·4), computed
		{"a kind that nobody states", "switching-withstand", both(discs(23), func(b *base) { b.unit("U120B").Kind = basis.KindUnknown }), audit.NotAssessed, audit.UnitKindNotStated, nan},
		{"unlike units", "switching-withstand", func(b *base) {
			b.unit("U70BL").SpacingMM = 170
			b.rows(3)[0].Makeup, b.rows(3)[0].UnitsPerString = b.makeup("20×U120B + 3×U70BL", b.of("U120B", 20), b.of("U70BL", 3)), 23
		}, audit.Meets, audit.NoReason, 1180.19}, // 3.43 m
		{"a long rod has fittings in its length", "switching-withstand", func(b *base) {
			b.wholeString(3, basis.LongRod)
			b.unit("long rod").ArcingMM, b.unit("long rod").SpacingMM = nan, 3500
		}, audit.NotAssessed, audit.WithstandUnknown, nan},
	} {
		t.Run(o.name, func(t *testing.T) {
			b := newBase(t)
			b.Criteria.ArcingDistance = audit.ArcingOverUnits
			row := &b.Lines[0]
			row.NominalKV, row.HighestKV, row.LightningKV, row.SwitchingKV = 400, 420, 1425, 1050
			b.Structures.Row(2).GroundM = 0
			o.change(b)
			v := b.verdict(o.check, 3, "A")
			require.Equal(t, o.reason, v.Reason, "%s", v.Reason)
			require.Equal(t, o.outcome, v.Outcome)
			if !math.IsNaN(o.observed) {
				require.InDelta(t, o.observed, v.Observed.Number, 0.02)
			}
		})
	}
}

// Without its defective units a string has a share of its length: 19 of 23 sound ones of 3.358 m are 2.774 m (computed).
func TestGapOverTheSoundUnits(t *testing.T) {
	b := newBase(t)
	b.Criteria.ArcingDistance = audit.ArcingOverUnits
	row := &b.Lines[0]
	row.NominalKV, row.HighestKV, row.LightningKV, row.SwitchingKV = 400, 420, math.NaN(), 1050
	b.Criteria.DefaultClass = basis.ClassA
	b.Structures.Row(2).GroundM = 0
	b.rows(3)[0].UnitsPerString, b.rows(3)[0].Defective = 23, 4
	v := b.verdict("sound-units", 3, "A")
	require.Equal(t, audit.FallsShort, v.Outcome, "%s", v.Reason)
	require.InDelta(t, 1025.02, v.Observed.Number, 0.02)
	require.Contains(t, b.verdict("switching-withstand", 3, "A").Observed.Measure, "kV")
}

// Which of unlike units are defective no input says, so it may be the longest: of 11 × 127 + 11 × 170 mm 2 × 170 mm, which leaves 2.927 m and
// 0.9232·1350·ln(1 + 0.46·2.927) = 1062.97 kV; of 5 × 127 + 3 × 170 mm 805 mm, 5.514 standard discs of 235.55 kV wet, between the rows of 5 (215 kV) and 6
// (255 kV, values from memory; computed). In one row the unit that comes first is the longer one.
func TestDefectiveUnlikeUnitsMayBeTheLongest(t *testing.T) {
	for _, longestFirst := range []bool{false, true} {
		b := newBase(t)
		b.Criteria.ArcingDistance, b.Criteria.FlashoverMinimum = audit.ArcingOverUnits, basis.GO64Table6
		b.Criteria.DefaultClass = basis.ClassA
		b.unit("U120B").SpacingMM, b.unit("U70BL").SpacingMM = 127, 170
		b.Structures.Row(2).GroundM = 0
		hang := func(short, long int, defective int16) {
			parts := []audit.Part{b.of("U120B", short), b.of("U70BL", long)}
			if longestFirst {
				parts[0], parts[1] = parts[1], parts[0]
			}
			row := b.rows(3)[0]
			row.Makeup, row.UnitsPerString, row.Defective = b.makeup("unlike", parts...), int16(short+long), defective
		}
		line := &b.Lines[0]
		line.NominalKV, line.HighestKV, line.LightningKV, line.SwitchingKV = 400, 420, math.NaN(), 1070
		hang(11, 11, 2)
		v := b.verdict("sound-units", 3, "A")
		require.Equal(t, audit.FallsShort, v.Outcome, "%s", v.Reason)
		require.InDelta(t, 1062.97, v.Observed.Number, 0.02)
		line.NominalKV, line.HighestKV, line.SwitchingKV = 140, 145, math.NaN()
		hang(5, 3, 2)
		v = b.verdict("dry-wet-minimum", 3, "A")
		require.Equal(t, audit.FallsShort, v.Outcome, "%s", v.Reason)
		require.InDelta(t, 235.55, v.Observed.Number, 0.02)
	}
}

// What a string was tested to withstand of switching impulse in rain, against a level of 1050 kV at sea level. The verdict says which value it is of.
func TestWetSwitchingWithstand(t *testing.T) {
	nan := math.NaN()
	for _, o := range []struct {
		name     string
		change   func(b *base)
		outcome  audit.Outcome
		reason   audit.Reason
		observed float64
		says     string
	}{
		{"as much as the level", func(b *base) { b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.WetSwitchingKV = 1050 }) }, audit.Meets, audit.NoReason, 1050, ""},
		{"less", func(b *base) { b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.WetSwitchingKV = 1049 }) }, audit.FallsShort, audit.NoReason, 1049,
			"1049 kV of switching impulse (tested wet value of the register)"},
		{"less wet than otherwise", func(b *base) {
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.SwitchingKV, d.WetSwitchingKV = 1200, 1000 })
		}, audit.FallsShort, audit.NoReason, 1000, "(tested wet value of the register)"},
		{"less otherwise than wet", func(b *base) {
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.SwitchingKV, d.WetSwitchingKV = 1000, 1200 })
		}, audit.FallsShort, audit.NoReason, 1000, "(tested value of the register)"},
		{"wet wins over the gap", func(b *base) {
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.ArcingMM, d.WetSwitchingKV = 3500, 1000 })
		}, audit.FallsShort, audit.NoReason, 1000, "(tested wet value of the register)"},
		{"far above the formula for 23 discs and the way round a rim: 1265 kV, 1.3 times that 1645 kV", func(b *base) {
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.WetSwitchingKV = 5000 })
		}, audit.NotAssessed, audit.FaultyField, nan, ""},
		{"the same, not said to be wet", func(b *base) { b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.SwitchingKV = 1700 }) }, audit.NotAssessed, audit.FaultyField, nan, ""},
		{"far above an arcing distance of the same row", func(b *base) {
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.ArcingMM, d.SwitchingKV = 700, 1000 })
		}, audit.NotAssessed, audit.FaultyField, nan, ""},
		{"no less than lightning impulse", func(b *base) {
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.LightningKV, d.WetSwitchingKV = 1450, 1500 })
		}, audit.NotAssessed, audit.FaultyField, nan, ""},
		{"one that cannot be read", func(b *base) { b.rows(3)[0].Faulty = b.rows(3)[0].Faulty.With(audit.CellLimits) }, audit.NotAssessed, audit.FaultyField, nan, ""},
		{"the other one that cannot be read", func(b *base) {
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.SwitchingKV = 1200 })
			b.rows(3)[0].Faulty = b.rows(3)[0].Faulty.With(audit.CellLimits)
		}, audit.NotAssessed, audit.FaultyField, nan, ""},
		{"a test of lightning impulse that cannot be read", func(b *base) {
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.SwitchingKV = 1200 })
			b.rows(3)[0].Faulty = b.rows(3)[0].Faulty.With(audit.CellTested)
		}, audit.Meets, audit.NoReason, 1200, ""},
		{"less wet by the insulator than the row says otherwise", func(b *base) {
			b.wholeString(3, basis.Composite).Direct = b.direct(func(d *audit.DirectValues) { d.SwitchingKV = 1200 })
			u := b.unit("composite")
			u.WetSwitchingKV, u.LightningWithstandKV, u.SpacingMM, u.ArcingMM = 1000, 1425, 3400, nan
		}, audit.FallsShort, audit.NoReason, 1000, "(wet value of the unit)"},
		{"more by the row than the insulator withstands of lightning", func(b *base) {
			b.wholeString(3, basis.Composite).Direct = b.direct(func(d *audit.DirectValues) { d.SwitchingKV = 1200 })
			u := b.unit("composite")
			u.LightningWithstandKV, u.SpacingMM, u.ArcingMM = 1150, 3400, nan
		}, audit.NotAssessed, audit.FaultyField, nan, ""},
		{"the row's, and that of the insulator cannot be read", func(b *base) {
			b.wholeString(3, basis.Composite).Direct = b.direct(func(d *audit.DirectValues) { d.SwitchingKV = 1200 })
			b.UnitFaults = audit.WithFaultsOf(b.UnitFaults, b.of("composite", 0).Unit, audit.Cells(0).With(audit.CellLimits))
		}, audit.NotAssessed, audit.FaultyField, nan, ""},
		{"horns beside an insulator that was tested without", func(b *base) {
			b.wholeString(3, basis.Composite).Direct = b.direct(func(d *audit.DirectValues) { d.ArcingMM = 2000 })
			u := b.unit("composite")
			u.WetSwitchingKV, u.SpacingMM, u.ArcingMM = 1100, 3400, 3200
		}, audit.FallsShort, audit.NoReason, 0.9232 * 1.25 * 1080 * math.Log(0.46*2+1), "(gap formula on the dry arcing distance)"},
		{"the arcing distance of the insulator itself", func(b *base) {
			b.wholeString(3, basis.Composite).Direct = b.direct(func(d *audit.DirectValues) { d.ArcingMM = 3200 })
			u := b.unit("composite")
			u.WetSwitchingKV, u.SpacingMM, u.ArcingMM = 1100, 3400, 3200
		}, audit.Meets, audit.NoReason, 1100, ""},
		{"of an insulator that is the whole string", func(b *base) { b.wholeString(3, basis.Composite); b.unit("composite").WetSwitchingKV = 1050 }, audit.Meets, audit.NoReason, 1050, ""},
		{"of an insulator, less", func(b *base) { b.wholeString(3, basis.Composite); b.unit("composite").WetSwitchingKV = 1000 }, audit.FallsShort, audit.NoReason, 1000,
			"(wet value of the unit)"},
		{"of an insulator, not readable", func(b *base) {
			b.wholeString(3, basis.Composite)
			b.unit("composite").ArcingMM = 3500
			b.UnitFaults = audit.WithFaultsOf(b.UnitFaults, b.of("composite", 0).Unit, audit.Cells(0).With(audit.CellLimits))
		}, audit.NotAssessed, audit.FaultyField, nan, ""},
		{"of one disc of several", func(b *base) { b.unit("U120B").WetSwitchingKV = 1200 }, audit.NotAssessed, audit.UnitTestedAlone, nan, ""},
		{"of two composites in series", func(b *base) {
			b.wholeString(3, basis.Composite).UnitsPerString = 2
			b.unit("composite").WetSwitchingKV = 1200
		}, audit.NotAssessed, audit.SeriesNotTested, nan, ""},
	} {
		t.Run(o.name, func(t *testing.T) {
			b := newBase(t)
			row := &b.Lines[0]
			row.NominalKV, row.HighestKV, row.LightningKV, row.SwitchingKV = 400, 420, 1425, 1050
			b.Structures.Row(2).GroundM = 0
			b.rows(3)[0].UnitsPerString = 23
			o.change(b)
			v := b.verdict("switching-withstand", 3, "A")
			require.Equal(t, o.reason, v.Reason, "%s", v.Reason)
			require.Equal(t, o.outcome, v.Outcome)
			if !math.IsNaN(o.observed) {
				require.InDelta(t, o.observed, v.Observed.Number, 1e-9)
			}
			require.Contains(t, v.Sentence, o.says)
		})
	}
}

// A wet value that is the level itself on every row is likely the level that was copied.
func TestWetSwitchingLevelCopied(t *testing.T) {
	b := newBase(t)
	row := &b.Lines[0]
	row.NominalKV, row.HighestKV, row.LightningKV, row.SwitchingKV = 400, 420, 1425, 1050
	figures := b.direct(func(d *audit.DirectValues) { d.WetSwitchingKV = 1050 })
	for i := range b.Assemblies.Len() {
		b.Assemblies.Row(i).Direct = figures
	}
	require.Equal(t, audit.FaultyField, b.verdict("switching-withstand", 3, "A").Reason)
}

// A line that states its nominal voltage alone has the Um of the table that the criteria choose, in creepage as in levels; what the table has not is not assessed.
func TestVoltagesOfNorthAmerica(t *testing.T) {
	for _, o := range []struct {
		nominalKV, umKV float64
		wet             audit.Reason
	}{
		{115, 121, audit.WetLevelUnknown}, {138, 145, audit.NoReason}, {161, 169, audit.WetLevelUnknown}, {69, 72.5, audit.WetLevelUnknown}, {132, math.NaN(), audit.VoltageNotStandard},
	} {
		b := newBase(t)
		b.Criteria.Voltages, b.Criteria.VoltagesStated = basis.NorthAmerican, true
		row := &b.Lines[0]
		row.NominalKV, row.HighestKV, row.LightningKV = o.nominalKV, math.NaN(), 450
		if o.nominalKV == 138 {
			row.LightningKV = 650
		}
		creepage := b.verdict("creepage", 3, "A")
		require.Equal(t, o.wet, b.verdict("wet-withstand", 3, "A").Reason, "%g kV", o.nominalKV)
		if math.IsNaN(o.umKV) {
			require.Equal(t, audit.VoltageNotStandard, creepage.Reason)
			continue
		}
		require.InDelta(t, 27.8*o.umKV/math.Sqrt(3), creepage.Required.Number, 1e-9, "class b, %g kV", o.nominalKV)
	}
	s := stringOf145(t)
	s.Criteria.Voltages, s.Line.HighestAssumed = basis.NorthAmerican, true
	var trace audit.Trace
	checks.ByID("creepage").Run(s, &trace)
	for _, step := range trace.Steps {
		if step.Symbol == "U_m" {
			require.Equal(t, "RUS Bulletin 1724E-200:2005, clause 4.2.2", step.Clause.String())
			return
		}
	}
	require.Fail(t, "no step of Um")
}

func stringOf145(t *testing.T) audit.Subject {
	_, s := example(t, "creepage")
	return s
}
