package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// Dry and wet flashover against the table of the criteria on a line of 132 kV, which asks for 316.25 kV dry and 227.5 kV wet by table 6 of California General
// Order 64 (published, interpolated). 4 discs have 270 and 170 kV, 5 have 325 and 215, 6 have 380 and 255, 9 have 540 and 375 (values from memory).
func TestFlashoverMinima(t *testing.T) {
	figures := func(set func(d *audit.DirectValues)) func(b *base) {
		return func(b *base) { b.rows(3)[0].Direct = b.direct(set) }
	}
	discs := func(n int16) func(b *base) { return func(b *base) { b.rows(3)[0].UnitsPerString = n } }
	at := func(kV float64, change func(b *base)) func(b *base) {
		return func(b *base) {
			b.Lines[0].NominalKV = kV
			b.Lines[0].HighestKV = 1.1 * kV
			change(b)
		}
	}
	by := func(table basis.FlashoverTable, change func(b *base)) func(b *base) {
		return func(b *base) { b.Criteria.FlashoverMinimum = table; change(b) }
	}
	rod := func(dryKV, wetKV float64) func(b *base) {
		return func(b *base) {
			b.wholeString(3, basis.LongRod)
			u := b.unit("long rod")
			u.DryKV, u.WetKV, u.WetWithstandKV, u.ArcingMM = dryKV, wetKV, math.NaN(), math.NaN()
		}
	}
	none := func(*base) {}
	nan := math.NaN()
	for _, o := range []struct {
		name     string
		change   func(b *base)
		outcome  audit.Outcome
		reason   audit.Reason
		observed float64 // NaN where nothing is judged
		required float64
	}{
		{"nobody asks", by(basis.NoFlashoverTable, none), audit.NotAssessed, audit.NoFlashoverMinimum, nan, nan},
		{"9 discs", none, audit.Meets, audit.NoReason, 375, 227.5},
		{"6 discs", discs(6), audit.Meets, audit.NoReason, 255, 227.5},
		{"5 discs", discs(5), audit.FallsShort, audit.NoReason, 215, 227.5},
		{"no more than the least, wet", rod(400, 227.5), audit.Meets, audit.MetByFlashover, 227.5, 227.5},
		{"a little less, wet", rod(400, 227.4), audit.FallsShort, audit.NoReason, 227.4, 227.5},
		{"no more than the least, dry", rod(316.25, 300), audit.Meets, audit.MetByFlashover, 316.25, 316.25},
		{"a little less, dry", rod(316.2, 300), audit.FallsShort, audit.NoReason, 316.2, 316.25},
		{"dry falls short, whatever is wet", rod(300, nan), audit.FallsShort, audit.NoReason, 300, 316.25},
		{"wet falls short, whatever is dry", rod(nan, 200), audit.FallsShort, audit.NoReason, 200, 227.5},
		{"dry meets, and wet is not known", rod(400, nan), audit.NotAssessed, audit.FlashoverUnknown, nan, nan},
		{"wet meets, and dry is not known", rod(nan, 300), audit.NotAssessed, audit.FlashoverUnknown, nan, nan},
		{"a unit that withstands as much wet", func(b *base) {
			rod(400, nan)(b)
			b.unit("long rod").WetWithstandKV = 227.5
		}, audit.Meets, audit.NoReason, 227.5, 227.5},
		{"a unit that withstands less wet may flash over at more", func(b *base) {
			rod(400, nan)(b)
			b.unit("long rod").WetWithstandKV = 227
		}, audit.NotAssessed, audit.WithstandTellsNothing, nan, nan},
		{"a unit whose voltages cannot be read", func(b *base) {
			rod(400, nan)(b)
			b.UnitFaults = audit.WithFaultsOf(b.UnitFaults, b.of("long rod", 0).Unit, audit.Cells(0).With(audit.CellTested))
		}, audit.NotAssessed, audit.FaultyField, nan, nan},
		{"two rods in series", func(b *base) { rod(400, 300)(b); b.rows(3)[0].UnitsPerString = 2 }, audit.NotAssessed, audit.SeriesNotTested, nan, nan},
		{"tested wet", figures(func(d *audit.DirectValues) { d.WetKV = 228 }), audit.Meets, audit.NoReason, 228, 227.5},
		{"tested wet for less", figures(func(d *audit.DirectValues) { d.WetKV = 227 }), audit.NotAssessed, audit.WithstandTellsNothing, nan, nan},
		{"tested wet for less, and dry falls short", func(b *base) {
			discs(4)(b)
			figures(func(d *audit.DirectValues) { d.WetKV = 160 })(b)
		}, audit.FallsShort, audit.NoReason, 270, 316.25},
		{"a test that cannot be read", func(b *base) { b.rows(3)[0].Faulty = b.rows(3)[0].Faulty.With(audit.CellTestedWet) }, audit.NotAssessed, audit.FaultyField, nan, nan},
		{"horns shorter than the string", figures(func(d *audit.DirectValues) { d.ArcingMM = 1100 }), audit.NotAssessed, audit.DryAcrossHorns, nan, nan},
		{"horns on a string that falls short without them", func(b *base) {
			discs(5)(b)
			figures(func(d *audit.DirectValues) { d.ArcingMM = 700 })(b)
		}, audit.FallsShort, audit.NoReason, 215, 227.5},
		{"horns beside a tested wet value", figures(func(d *audit.DirectValues) { d.WetKV, d.ArcingMM = 300, 1100 }), audit.NotAssessed, audit.DryAcrossHorns, nan, nan},
		{"an arcing distance as long as the string", figures(func(d *audit.DirectValues) { d.ArcingMM = 1314 }), audit.Meets, audit.NoReason, 375, 227.5},
		{"an arcing distance that cannot be read", func(b *base) { b.rows(3)[0].Faulty = b.rows(3)[0].Faulty.With(audit.CellArcing) }, audit.NotAssessed, audit.FaultyField, nan, nan},
		{"3 of 9 discs defective", func(b *base) { b.rows(3)[0].Defective = 3 }, audit.Meets, audit.NoReason, 255, 227.5},
		{"4 of 9 discs defective", func(b *base) { b.rows(3)[0].Defective = 4 }, audit.FallsShort, audit.NoReason, 215, 227.5},
		{"2 of 8 unlike discs defective, which may be the longest", at(140, func(b *base) { // 1145 − 2·170 = 805 mm, 5.514 discs: 215 + 0.514·40 = 235.5 kV for 237.5
			b.rows(3)[0].Makeup, b.rows(3)[0].UnitsPerString = b.makeup("5×U70BS + 3×U160BL", audit.Part{Unit: b.of("U70BS", 0).Unit, Count: 5}, audit.Part{Unit: b.of("U160BL", 0).Unit, Count: 3}), 8
			b.rows(3)[0].Defective = 2
		}), audit.FallsShort, audit.WithinPrintedTables, 215 + (805.0/146-5)*40, 237.5},
		{"discs of less flashover than the table's", func(b *base) { b.unit("U120B").DryKV, b.unit("U120B").WetKV = 50, 26 }, audit.NotAssessed, audit.UnitsLessThanTable, nan, nan},
		{"discs of less flashover, which cannot do", func(b *base) { b.unit("U120B").DryKV, b.unit("U120B").WetKV = 50, 25 }, audit.FallsShort, audit.NoReason, 225, 227.5},
		{"discs of less flashover, and the table falls short", func(b *base) { discs(5)(b); b.unit("U120B").DryKV = 75 }, audit.FallsShort, audit.NoReason, 215, 227.5},
		{"discs of less flashover, which the table has no more of", func(b *base) { discs(5)(b); b.unit("U120B").WetKV = 45 }, audit.FallsShort, audit.NoReason, 215, 227.5},
		{"discs of less lightning impulse", func(b *base) { b.unit("U120B").LightningKV = 75 }, audit.Meets, audit.NoReason, 375, 227.5},
		{"a voltage of discs that cannot be read", func(b *base) {
			b.UnitFaults = audit.WithFaultsOf(b.UnitFaults, b.of("U120B", 0).Unit, audit.Cells(0).With(audit.CellTested))
		}, audit.NotAssessed, audit.FaultyField, nan, nan},
		{"a voltage of discs that cannot be read, and the table falls short", func(b *base) {
			discs(5)(b)
			b.UnitFaults = audit.WithFaultsOf(b.UnitFaults, b.of("U120B", 0).Unit, audit.Cells(0).With(audit.CellTested))
		}, audit.FallsShort, audit.NoReason, 215, 227.5},
		{"discs of less dry flashover", func(b *base) { b.unit("U120B").DryKV = 50 }, audit.NotAssessed, audit.UnitsLessThanTable, nan, nan},
		{"discs of the table's flashover", func(b *base) { b.unit("U120B").DryKV, b.unit("U120B").WetKV = 80, 50 }, audit.Meets, audit.NoReason, 375, 227.5},
		{"all discs defective", func(b *base) { b.rows(3)[0].Defective = 9 }, audit.FallsShort, audit.NoReason, 0, 316.25},
		{"defective units that cannot be read", func(b *base) {
			b.rows(3)[0].Defective, b.rows(3)[0].Faulty = -1, b.rows(3)[0].Faulty.With(audit.CellDefective)
		}, audit.NotAssessed, audit.FaultyField, nan, nan},
		{"a rod that has failed", func(b *base) { rod(400, 300)(b); b.rows(3)[0].Defective = 1 }, audit.NotApplicable, audit.InsulatorFailed, nan, nan},
		{"units of no stated kind", func(b *base) { b.unit("U120B").Kind = basis.KindUnknown }, audit.NotAssessed, audit.UnitKindNotStated, nan, nan},
		{"discs that the table does not serve", func(b *base) { b.unit("U120B").DiameterMM = 330 }, audit.NotAssessed, audit.FlashoverUnknown, nan, nan},
		{"more discs than the table has", discs(21), audit.NotAssessed, audit.FlashoverUnknown, nan, nan},
		{"a spacing that cannot be read", func(b *base) {
			b.UnitFaults = audit.WithFaultsOf(b.UnitFaults, b.of("U120B", 0).Unit, audit.Cells(0).With(audit.CellLength))
		}, audit.NotAssessed, audit.FaultyField, nan, nan},
		{"a unit that cannot be read", func(b *base) {
			b.rows(3)[0].Makeup, b.rows(3)[0].Faulty = 0, b.rows(3)[0].Faulty.With(audit.CellUnit)
		}, audit.NotAssessed, audit.FaultyField, nan, nan},
		{"a count that nobody states", discs(-1), audit.NotAssessed, audit.UnitsNotStated, nan, nan},
		{"within the difference of printed tables, more", at(152, discs(6)), audit.Meets, audit.WithinPrintedTables, 255, 252},
		{"within the difference of printed tables, less", at(158, discs(6)), audit.FallsShort, audit.WithinPrintedTables, 255, 258},
		{"beyond the difference of printed tables", at(162, discs(6)), audit.FallsShort, audit.NoReason, 255, 262},
		{"a voltage above the table", at(220, none), audit.NotAssessed, audit.OutsideFlashoverTable, nan, nan},
		{"a voltage below the table", at(0.6, none), audit.NotAssessed, audit.OutsideFlashoverTable, nan, nan},
		{"no nominal voltage", func(b *base) { b.Lines[0].NominalKV = nan }, audit.NotAssessed, audit.VoltageUnknown, nan, nan},
		{"a voltage that cannot be read", func(b *base) {
			b.Lines[0].NominalKV, b.Lines[0].Faulty = nan, b.Lines[0].Faulty.With(audit.CellVoltage)
		}, audit.NotAssessed, audit.FaultyField, nan, nan},
		{"direct current", func(b *base) { b.Lines[0].System = audit.DirectCurrent }, audit.NotAssessed, audit.DirectCurrentLine, nan, nan},
		{"a railway of direct current", at(3, func(b *base) { b.Lines[0].System = audit.DirectRailway }), audit.NotAssessed, audit.DirectCurrentLine, nan, nan},
		{"a railway, whose voltage is to earth", at(25, func(b *base) { b.Lines[0].System = audit.SinglePhaseRailway }), audit.NotAssessed, audit.MinimaBetweenPhases, nan, nan},
		{"a single phase, whose voltage may be to earth", at(25, func(b *base) { b.Lines[0].System = audit.SinglePhase }), audit.NotAssessed, audit.MinimaBetweenPhases, nan, nan},
		{"GO 64-A table 9, 7 discs", by(basis.GO64ATable9, discs(7)), audit.Meets, audit.NoReason, 435, 390},
		{"GO 64-A table 9, 6 discs", by(basis.GO64ATable9, discs(6)), audit.FallsShort, audit.NoReason, 380, 390},
		{"GO 64-A table 9 is of dry flashover", by(basis.GO64ATable9, rod(390, nan)), audit.Meets, audit.MetByFlashover, 390, 390},
		{"wet share of wet flashover as much as is asked for", rod(400, 227.5/0.9), audit.Meets, audit.NoReason, 227.5 / 0.9, 227.5},
		{"wet share of wet flashover a little less", rod(400, 227.4/0.9), audit.Meets, audit.MetByFlashover, 227.4 / 0.9, 227.5},
		{"wet share of dry flashover less, beside a worse wet withstand", func(b *base) {
			rod(350, nan)(b)
			b.unit("long rod").WetWithstandKV = 228
		}, audit.Meets, audit.MetByFlashover, 228, 227.5},
		{"a wet share that the project states", func(b *base) { b.Criteria.WetShare.Value = 0.95; rod(400, 227.5/0.95)(b) }, audit.Meets, audit.NoReason, 227.5 / 0.95, 227.5},
		{"NESC table 273-1 asks for flashover", by(basis.NESCTable2731, at(138, rod(390, nan))), audit.Meets, audit.NoReason, 390, 390},
		{"NESC table 273-1 has no 132 kV", by(basis.NESCTable2731, none), audit.NotAssessed, audit.OutsideFlashoverTable, nan, nan},
		{"NESC table 273-1, 11 discs by equality", by(basis.NESCTable2731, at(230, discs(11))), audit.Meets, audit.WithinPrintedTables, 640, 640},
		{"NESC table 273-1, 10 discs", by(basis.NESCTable2731, at(230, discs(10))), audit.FallsShort, audit.NoReason, 590, 640},
	} {
		t.Run(o.name, func(t *testing.T) {
			b := newBase(t)
			b.Criteria.FlashoverMinimum = basis.GO64Table6
			o.change(b)
			v := b.verdict("dry-wet-minimum", 3, "A")
			require.Equal(t, o.reason, v.Reason, "%s", v.Reason)
			require.Equal(t, o.outcome, v.Outcome)
			if math.IsNaN(o.observed) {
				return
			}
			require.InDelta(t, o.observed, v.Observed.Number, 1e-9)
			require.InDelta(t, o.required, v.Required.Number, 1e-9)
			if o.outcome == audit.FallsShort {
				severity := audit.Shortfall
				if o.reason == audit.WithinPrintedTables {
					severity = audit.Advisory
				}
				require.Equal(t, severity, v.Severity)
			}
		})
	}
}

// Horns make it less, and nobody states how much.
func TestFlashoverAcrossHornsIsToldAsABound(t *testing.T) {
	b := newBase(t)
	b.Criteria.FlashoverMinimum = basis.GO64Table6
	b.rows(3)[0].UnitsPerString = 4
	require.NotContains(t, b.verdict("dry-wet-minimum", 3, "A").Sentence, "no more than")
	b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.ArcingMM = 500 })
	said := b.verdict("dry-wet-minimum", 3, "A").Sentence
	require.Contains(t, said, "4 × U120B flashes over at no more than 170 kV wet (")
	require.Contains(t, said, "; dry it is no more than 270 kV for 316 kV")
	require.Contains(t, b.verdict("wet-withstand", 3, "A").Sentence, "withstands no more than 153 kV of")
	require.Contains(t, b.verdict("lightning-withstand", 3, "A").Sentence, "withstands no more than 399 kV of")
}

// A string holds no more than its units together: where these state less than a disc of the table, what that or a gap says of strings is not believed.
// The line has 650 kV of lightning level and 275 kV wet; 9 discs of the table withstand 808 and 338 kV, 5 of them 476 kV.
func TestUnitsOfLessThanTheTable(t *testing.T) {
	unit := func(set func(u *basis.Unit)) func(b *base) {
		return func(b *base) { set(b.unit("U120B")) }
	}
	for _, o := range []struct {
		name, check string
		change      func(b *base)
		outcome     audit.Outcome
		reason      audit.Reason
		observed    float64
	}{
		{"lightning withstand, all together too little", "lightning-withstand", unit(func(u *basis.Unit) { u.LightningWithstandKV = 72 }), audit.FallsShort, audit.NoReason, 9 * 72},
		{"lightning withstand, all together enough", "lightning-withstand", unit(func(u *basis.Unit) { u.LightningWithstandKV = 73 }), audit.NotAssessed, audit.UnitsLessThanTable, 0},
		{"lightning withstand that such discs are rated for", "lightning-withstand", unit(func(u *basis.Unit) { u.LightningWithstandKV, u.WetWithstandKV = 100, 40 }), audit.Meets, audit.NoReason, 0.9616 * 845},
		{"lightning flashover", "lightning-withstand", unit(func(u *basis.Unit) { u.LightningKV = 75 }), audit.FallsShort, audit.NoReason, 9 * 75 * 0.9616},
		{"lightning flashover of the table", "lightning-withstand", unit(func(u *basis.Unit) { u.LightningKV = 125 }), audit.Meets, audit.NoReason, 0.9616 * 845},
		{"wet flashover says nothing of lightning", "lightning-withstand", unit(func(u *basis.Unit) { u.WetKV = 25 }), audit.Meets, audit.NoReason, 0.9616 * 845},
		{"lightning says nothing of what is wet", "wet-withstand", unit(func(u *basis.Unit) { u.LightningKV, u.LightningWithstandKV = 75, 60 }), audit.Meets, audit.NoReason, 375 * 0.9},
		{"dry flashover, of lightning nothing is stated", "lightning-withstand", unit(func(u *basis.Unit) { u.DryKV = 60 }), audit.NotAssessed, audit.UnitsLessThanTable, 0},
		{"dry flashover beside lightning", "lightning-withstand", unit(func(u *basis.Unit) { u.DryKV, u.LightningKV = 60, 125 }), audit.Meets, audit.NoReason, 0.9616 * 845},
		{"dry flashover less than a disc of the table has wet", "wet-withstand", unit(func(u *basis.Unit) { u.DryKV = 45 }), audit.NotAssessed, audit.UnitsLessThanTable, 0},
		{"dry flashover, and the table falls short", "lightning-withstand", func(b *base) { b.unit("U120B").DryKV, b.rows(3)[0].UnitsPerString = 60, 7 }, audit.FallsShort, audit.NoReason, 0.9616 * 670},
		{"all together more than the table, which falls short", "lightning-withstand", func(b *base) { b.unit("U120B").LightningWithstandKV, b.rows(3)[0].UnitsPerString = 87, 7 }, audit.FallsShort, audit.NoReason, 7 * 87},
		{"a figure that cannot be read, and the table falls short", "lightning-withstand", func(b *base) {
			b.UnitFaults = audit.WithFaultsOf(b.UnitFaults, b.of("U120B", 0).Unit, audit.Cells(0).With(audit.CellTested))
			b.rows(3)[0].UnitsPerString = 7
		}, audit.FallsShort, audit.NoReason, 0.9616 * 670},
		{"wet flashover", "wet-withstand", unit(func(u *basis.Unit) { u.WetKV = 25 }), audit.FallsShort, audit.NoReason, 9 * 25 * 0.9},
		{"wet withstand", "wet-withstand", unit(func(u *basis.Unit) { u.WetWithstandKV = 30 }), audit.FallsShort, audit.NoReason, 270},
		{"wet withstand, all together enough", "wet-withstand", unit(func(u *basis.Unit) { u.WetWithstandKV = 31 }), audit.NotAssessed, audit.UnitsLessThanTable, 0},
		{"a tested string", "lightning-withstand", func(b *base) {
			b.unit("U120B").LightningWithstandKV = 60
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.LightningKV = 700 })
		}, audit.Meets, audit.NoReason, 700},
		{"a string tested to more than its units together", "lightning-withstand", func(b *base) {
			b.unit("U120B").LightningKV = 75
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.LightningKV = 700 })
		}, audit.NotAssessed, audit.FaultyField, 0},
		{"one unit alone", "lightning-withstand", func(b *base) { b.unit("U120B").LightningWithstandKV, b.rows(3)[0].UnitsPerString = 80, 1 }, audit.FallsShort, audit.NoReason, 80},
		{"a figure that cannot be read", "lightning-withstand", func(b *base) {
			b.UnitFaults = audit.WithFaultsOf(b.UnitFaults, b.of("U120B", 0).Unit, audit.Cells(0).With(audit.CellTested))
		}, audit.NotAssessed, audit.FaultyField, 0},
		{"defective units leave too little together", "sound-units", func(b *base) { b.unit("U120B").LightningWithstandKV, b.rows(3)[0].Defective = 80, 1 }, audit.FallsShort, audit.NoReason, 640},
		{"defective units leave enough together", "sound-units", func(b *base) { b.unit("U120B").LightningWithstandKV, b.rows(3)[0].Defective = 83, 1 }, audit.NotAssessed, audit.UnitsLessThanTable, 0},
		{"beyond the table, by the length of the units", "lightning-withstand", func(b *base) {
			b.Criteria.ArcingDistance = audit.ArcingOverUnits
			b.unit("U120B").DiameterMM, b.unit("U120B").LightningWithstandKV = 330, 72
		}, audit.FallsShort, audit.NoReason, 9 * 72},
	} {
		t.Run(o.name, func(t *testing.T) {
			b := newBase(t)
			b.Lines[0].LightningKV = 650
			o.change(b)
			v := b.verdict(o.check, 3, "A")
			require.Equal(t, o.reason, v.Reason, "%s", v.Reason)
			require.Equal(t, o.outcome, v.Outcome)
			if o.outcome != audit.NotAssessed {
				require.InDelta(t, o.observed, v.Observed.Number, 1e-9)
			}
		})
	}
}

// The sentence names both voltages that fall short, and says what it does not know.
func TestFlashoverMinimaInWords(t *testing.T) {
	for _, o := range []struct {
		change func(b *base)
		want   string
	}{
		{func(b *base) { b.rows(3)[0].UnitsPerString = 4 },
			"4 × U120B flashes over at 170 kV wet (disc table, interpolated on string length); GO 64 table 6 asks for 227.5 kV at 132 kV; dry it is 270 kV for 316 kV."},
		{func(b *base) { b.rows(3)[0].Defective = 4 },
			"9 × U120B, 4 of them defective, flashes over at 215 kV wet (disc table, interpolated on string length); GO 64 table 6 asks for 227.5 kV at 132 kV."},
		{func(b *base) {
			b.wholeString(3, basis.LongRod)
			u := b.unit("long rod")
			u.DryKV, u.WetKV, u.WetWithstandKV = 300, math.NaN(), math.NaN()
		}, "1 × long rod flashes over at 300 kV dry (flashover of the unit); GO 64 table 6 asks for 316 kV at 132 kV; wet it is not known."},
		{func(b *base) { b.Lines[0].NominalKV, b.Lines[0].HighestKV, b.rows(3)[0].UnitsPerString = 158, 170, 6 },
			"6 × U120B flashes over at 255 kV wet (disc table, interpolated on string length); GO 64 table 6 asks for 258 kV at 158 kV; within the difference of printed tables."},
	} {
		b := newBase(t)
		b.Criteria.FlashoverMinimum = basis.GO64Table6
		o.change(b)
		require.Equal(t, o.want, b.verdict("dry-wet-minimum", 3, "A").Sentence)
	}
}

// Levels of a line against the standard pairs of its Um: IEC 60071-1, as tables of transformer levels print it (published), 245 kV without 650 and range II but 362 and 420
// kV values from memory.
func TestStandardPairsOfLevels(t *testing.T) {
	nan := math.NaN()
	for _, o := range []struct {
		name                         string
		umKV, lightningKV, switching float64
		outcome                      audit.Outcome
		reason                       audit.Reason
	}{
		{"range I, a pair", 145, 650, nan, audit.Meets, audit.NoReason},
		{"range I, no pair", 145, 600, nan, audit.FallsShort, audit.NoReason},
		{"range I, a national addition", 36, 200, nan, audit.Meets, audit.NoReason},
		{"range I, a national addition to another voltage", 52, 200, nan, audit.FallsShort, audit.NoReason},
		{"range I, a switching level", 245, 1050, 700, audit.Meets, audit.NoReason},
		{"range I, no lightning level", 145, nan, nan, audit.NotAssessed, audit.LightningLevelNotStated},
		{"an implausible level", 145, 1050, nan, audit.NotAssessed, audit.FaultyField},
		{"range II, a pair", 420, 1425, 1050, audit.Meets, audit.NoReason},
		{"range II, both standard and no pair", 420, 1175, 1050, audit.FallsShort, audit.NoReason},
		{"range II, no standard switching level", 420, 1425, 1000, audit.FallsShort, audit.NoReason},
		{"range II, a national addition", 420, 1425, 1175, audit.NotAssessed, audit.PairNotKnown},
		{"range II, no switching level", 420, 1425, nan, audit.NotAssessed, audit.SwitchingLevelNotStated},
		{"a highest voltage without pairs", 252, 950, nan, audit.NotAssessed, audit.NoStandardPairs},
		{"a highest voltage of North America", 121, 550, nan, audit.NotAssessed, audit.NoStandardPairs},
		{"1100 kV", 1100, 2400, 1800, audit.NotAssessed, audit.NoStandardPairs},
	} {
		t.Run(o.name, func(t *testing.T) {
			b := newBase(t)
			row := &b.Lines[0]
			row.NominalKV, row.HighestKV, row.LightningKV, row.SwitchingKV = nan, o.umKV, o.lightningKV, o.switching
			v := b.ofLine("level-pair")
			require.Equal(t, o.reason, v.Reason, "%s", v.Reason)
			require.Equal(t, o.outcome, v.Outcome)
		})
	}
	for _, o := range []struct {
		umKV, lightningKV, switching float64
		want                         string
	}{
		{145, 600, nan, "Levels of 600 kV of lightning impulse are no standard pair of Um 145 kV; those are, lightning impulse/power frequency in kV: 450/185, 550/230, 650/275 " +
			"(IEC 60071-1, as tables of transformer levels after IEC 60076-3 and NBR 5356-3 print it)."},
		{420, 1300, 850, "Levels of 850 kV of switching and 1300 kV of lightning impulse are no standard pair of Um 420 kV; those are, switching with lightning impulse in kV: 850 with 1050 or 1175, 950 with 1175 or 1300, " +
			"1050 with 1300 or 1425, by national addition 1175 (IEC 60071-1, as tables of transformer levels after IEC 60076-3 and NBR 5356-3 print it)."},
		{550, 1550, 950, "Levels of 950 kV of switching and 1550 kV of lightning impulse are no standard pair of Um 550 kV; those are, switching with lightning impulse in kV: 950 with 1175 or 1300, 1050 with 1300 or 1425, " +
			"1175 with 1425 or 1550 (IEC 60071-1 (value from memory))."},
	} {
		b := newBase(t)
		row := &b.Lines[0]
		row.NominalKV, row.HighestKV, row.LightningKV, row.SwitchingKV = nan, o.umKV, o.lightningKV, o.switching
		v := b.ofLine("level-pair")
		require.Equal(t, o.want, v.Sentence)
	}
	require.Equal(t, audit.Note, checks.ByID("level-pair").Severity)
}
