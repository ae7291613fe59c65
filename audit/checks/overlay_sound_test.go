package checks_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// What strings with defective units fall short of. Class b at Um 145 kV needs 27.8·145/√3 = 2327.3 mm, 8 discs of 295 mm; class d
// 3624.9 mm, 13 discs (IEC TS 60815-1:2008, published; computed).
func TestDefectiveUnits(t *testing.T) {
	classD := func(b *base) { b.Criteria.DefaultClass = basis.ClassD }
	least := func(units int) func(b *base) {
		return func(b *base) { b.Criteria.SoundUnits = []audit.SoundUnitsRule{{NominalKV: 132, Units: units}} }
	}
	noLevel := func(b *base) { b.Lines[0].LightningKV = math.NaN() }
	defective := func(n int16) func(b *base) { return func(b *base) { b.rows(3)[0].Defective = n } }
	for _, o := range []struct {
		name    string
		changes []func(b *base)
		only    []string // the exceptions at structure 3, phase A
		say     string   // part of the first one's sentence
	}{
		{"too few sound units, beside creepage that falls short", []func(*base){classD, least(5), defective(5)},
			[]string{"creepage", "sound-units"}, "9 × U120B, 5 of them defective, has 2655 mm of creepage as built and 1180 mm left"},
		{"enough sound units, beside creepage that falls short", []func(*base){classD, least(5), defective(4), noLevel}, []string{"creepage"}, "4 of them defective"},
		{"too few sound units where no class is known", []func(*base){func(b *base) { b.Criteria.DefaultClass = 0 }, least(5), defective(5)},
			[]string{"sound-units"}, "4 sound units are left, the criteria ask for 5"},
		{"lightning without the defective units, beside creepage that falls short", []func(*base){classD, defective(2)},
			[]string{"creepage", "sound-units"}, "2 of them defective"},
		{"a string as built beyond the disc table", []func(*base){defective(17), func(b *base) {
			row := b.rows(3)[0]
			row.UnitsPerString, row.Direct = 24, b.direct(func(d *audit.DirectValues) { d.ArcingMM, d.CreepageMM = 3504, 9000 })
		}}, []string{"odd-one-out", "sound-units", "string-too-long"}, ""},
		{"a tested string has its share left", []func(*base){defective(1), func(b *base) {
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.LightningKV = 700 })
		}}, []string{"sound-units"}, "withstands 622 kV of lightning impulse with those left; 650 kV is needed"},
		{"an arcing distance shorter than the string has its share left", []func(*base){defective(1), func(b *base) {
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.ArcingMM = 1250 })
		}}, []string{"sound-units"}, "withstands 603 kV of lightning impulse with those left; 650 kV is needed"},
		{"lightning that falls short as built names what is left", []func(*base){defective(1), func(b *base) {
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.LightningKV = 630 })
		}}, []string{"lightning-withstand"}, "1 unit of it defective and 560 kV left"},
		{"a composite with a defect has failed", []func(*base){func(b *base) { b.wholeString(3, basis.Composite).Defective = 1 }},
			[]string{"odd-one-out", "sound-units", "strength"}, ""},
		{"a composite with a defect where no class is known", []func(*base){func(b *base) {
			b.Criteria.DefaultClass = 0
			b.wholeString(3, basis.Composite).Defective = 1
		}}, []string{"odd-one-out", "sound-units", "strength"}, ""},
	} {
		t.Run(o.name, func(t *testing.T) {
			b := newBase(t)
			for _, change := range o.changes {
				change(b)
			}
			var got []string
			for _, key := range b.exceptions() {
				if check, here := strings.CutSuffix(key, " 3 A"); here {
					got = append(got, check)
				}
			}
			slices.Sort(got)
			require.Equal(t, o.only, got)
			require.Contains(t, b.verdict(o.only[0], 3, "A").Sentence, o.say)
		})
	}
}

// A failed insulator meets nothing electrical, and a string whose defective units cannot be read is not judged by what a
// sound one bears.
func TestFailedInsulatorsMeetNothing(t *testing.T) {
	for _, check := range []string{"creepage", "near-worse-zone", "lightning-withstand", "wet-withstand", "strength"} {
		b := newBase(t)
		row := b.wholeString(3, basis.Composite)
		if check != "near-worse-zone" {
			require.Equal(t, audit.Meets, b.verdict(check, 3, "A").Outcome, check)
		}
		row.Defective = 1
		require.NotEqual(t, audit.Meets, b.verdict(check, 3, "A").Outcome, check)
		row.Defective, row.Faulty = -1, row.Faulty.With(audit.CellDefective)
		if check != "near-worse-zone" {
			require.Equal(t, audit.FaultyField, b.verdict(check, 3, "A").Reason, check)
		}
	}
}

func TestSoundUnitsAreNotAssessedWhereAPartOfThemIsNot(t *testing.T) {
	b := newBase(t)
	b.rows(3)[0].Defective = 1
	require.Equal(t, audit.Meets, b.verdict("sound-units", 3, "A").Outcome)
	b.rows(3)[0].Faulty = b.rows(3)[0].Faulty.With(audit.CellTested)
	require.Equal(t, audit.FaultyField, b.verdict("sound-units", 3, "A").Reason)
}

// What was tested wet and cannot be read says nothing of lightning impulse, and what of that was tested nothing of what is wet.
func TestEachTestedCellIsOfItsOwnVoltage(t *testing.T) {
	checks := []string{"lightning-withstand", "wet-withstand"}
	for i, cell := range []audit.Cell{audit.CellTested, audit.CellTestedWet} {
		for _, o := range []struct {
			units int16
			is    audit.Outcome
		}{{4, audit.FallsShort}, {12, audit.Meets}} {
			b := newBase(t)
			b.Lines[0].LightningKV = 650
			b.rows(3)[0].UnitsPerString, b.rows(3)[0].Faulty = o.units, b.rows(3)[0].Faulty.With(cell)
			require.Equal(t, audit.FaultyField, b.verdict(checks[i], 3, "A").Reason)
			require.Equal(t, o.is, b.verdict(checks[1-i], 3, "A").Outcome)
		}
	}
}

// Sound units over less than 1 m withstand no more than 0.9616·1.065·530·1 = 542.8 kV, those over more than 10 m no less than 2147.12 kV of switching impulse, of
// 60 × 146 mm 0.9232·1350·ln(1 + 0.46·8.76) = 2013.23 kV; horns of which 8 of 9 units have 8/9·1.25 m withstand 603.1 kV (computed).
func TestSoundUnitsWhereTheFormulaEnds(t *testing.T) {
	overUnits := func(levelKV float64, units, defective int16) func(b *base) {
		return func(b *base) {
			b.Criteria.ArcingDistance, b.Criteria.DefaultClass = audit.ArcingOverUnits, basis.ClassA
			b.unit("U120B").DiameterMM, b.unit("U120B").CreepageMM = 330, 600 // beyond the disc table
			b.Lines[0].LightningKV = levelKV
			b.rows(3)[0].UnitsPerString, b.rows(3)[0].Defective = units, defective
		}
	}
	switching := func(levelKV float64, units, defective int16) func(b *base) {
		return func(b *base) {
			overUnits(math.NaN(), units, defective)(b)
			line := &b.Lines[0]
			line.NominalKV, line.HighestKV, line.SwitchingKV = 1000, 1100, levelKV
		}
	}
	horns := func(levelKV float64) func(b *base) {
		return func(b *base) {
			b.Criteria.DefaultClass, b.Lines[0].LightningKV = basis.ClassA, levelKV
			b.rows(3)[0].Defective, b.rows(3)[0].Direct = 1, b.direct(func(d *audit.DirectValues) { d.ArcingMM = 1250 })
		}
	}
	for _, o := range []struct {
		name     string
		change   func(b *base)
		outcome  audit.Outcome
		reason   audit.Reason
		observed float64 // 0: not looked at
	}{
		{"8 sound units", overUnits(650, 12, 4), audit.FallsShort, audit.NoReason, 633.96},
		{"6 sound units", overUnits(650, 12, 6), audit.FallsShort, audit.NoReason, 542.8},
		{"6 sound units, where 1 m would do", overUnits(540, 12, 6), audit.NotAssessed, audit.OutsideGapFormula, 0},
		{"beyond the formula with and without the defective units", switching(2140, 90, 20), audit.Meets, audit.NoReason, 0},
		{"beyond the formula with and without the defective units, and 10 m would not do", switching(2150, 90, 20), audit.NotAssessed, audit.OutsideGapFormula, 0},
		{"beyond the formula with the defective units alone", switching(2150, 90, 30), audit.FallsShort, audit.NoReason, 2013.23},
		{"across horns", horns(610), audit.FallsShort, audit.NoReason, 603.1},
		{"across horns, of which nobody knows wet", horns(550), audit.Meets, audit.NoReason, 0},
	} {
		t.Run(o.name, func(t *testing.T) {
			b := newBase(t)
			b.Structures.Row(2).GroundM = 0
			o.change(b)
			v := b.verdict("sound-units", 3, "A")
			require.Equal(t, o.reason.String(), v.Reason.String())
			require.Equal(t, o.outcome, v.Outcome)
			if o.observed > 0 {
				require.InDelta(t, o.observed, v.Observed.Number, 0.1)
			}
		})
	}
}

// Maximum tension 28 kN with a factor of 2 needs 56 kN; of 120 kN 0.4 are 48 kN, 0.5 are 60 kN (computed).
func TestResidualStrength(t *testing.T) {
	porcelain := func(share float64) audit.ResidualStrength {
		return audit.ResidualStrength{{Material: "Glass", Share: 0.1}, {Material: "porcelain", Share: share}}
	}
	for _, o := range []struct {
		name      string
		stated    audit.ResidualStrength
		material  string
		defective int16
		change    func(b *base, row *audit.AssemblyRow)
		outcome   audit.Outcome
		reason    audit.Reason
		observed  float64
	}{
		{"a sound string needs none", nil, "", 0, nil, audit.Meets, audit.NoReason, 120},
		{"not stated", nil, "porcelain", 1, nil, audit.NotAssessed, audit.ResidualNotStated, 0},
		{"not stated, and too weak even when sound", nil, "porcelain", 1, func(b *base, row *audit.AssemblyRow) {
			row.Direct = b.direct(func(d *audit.DirectValues) { d.RatingKN = 50 })
		}, audit.FallsShort, audit.NoReason, 50},
		{"not stated for the material", porcelain(0.5), "toughened glass", 1, nil, audit.NotAssessed, audit.ResidualNotStated, 0},
		{"material not stated", porcelain(0.5), "", 1, nil, audit.NotAssessed, audit.MaterialUnknown, 0},
		{"enough", porcelain(0.5), "Porcelain ", 1, nil, audit.Meets, audit.NoReason, 60},
		{"too little", porcelain(0.4), "porcelain", 1, nil, audit.FallsShort, audit.NoReason, 48},
		{"of the rating that the row states", porcelain(0.5), "porcelain", 1, func(b *base, row *audit.AssemblyRow) {
			row.Direct = b.direct(func(d *audit.DirectValues) { d.RatingKN = 100 })
		}, audit.FallsShort, audit.NoReason, 50},
		{"of the weakest of unlike units", porcelain(0.5), "porcelain", 1, func(b *base, row *audit.AssemblyRow) {
			b.unit("U70BL").Material, b.unit("U70BL").RatingKN = "glass", 400
			row.Makeup = b.makeup("mixed", b.of("U120B", 8), b.of("U70BL", 1))
		}, audit.FallsShort, audit.NoReason, 40},
		{"defective units that cannot be read", porcelain(0.5), "porcelain", -1, func(_ *base, row *audit.AssemblyRow) {
			row.Faulty = row.Faulty.With(audit.CellDefective)
		}, audit.NotAssessed, audit.FaultyField, 0},
	} {
		t.Run(o.name, func(t *testing.T) {
			b := newBase(t)
			b.Criteria.ResidualStrength, b.unit("U120B").Material = o.stated, o.material
			row := b.rows(9)[0]
			row.Defective = o.defective
			if o.change != nil {
				o.change(b, row)
			}
			v := b.verdict("strength", 9, "A")
			require.Equal(t, o.outcome, v.Outcome, "%s", v.Reason)
			require.Equal(t, o.reason, v.Reason, "%s", v.Reason)
			if o.observed > 0 {
				require.InDelta(t, o.observed, v.Observed.Number, 1e-9)
			}
		})
	}
}

// What has failed by a defect is named by its own kind.
func TestFailedInsulatorIsNamedByItsKind(t *testing.T) {
	for kind, say := range map[basis.Kind]string{
		basis.Composite: "1 × composite has a defect: a long rod or a composite with any defect has failed.",
		basis.LongRod:   "1 × long rod has a defect: a long rod or a composite with any defect has failed.",
		basis.Pin:       "1 × pin has a defect: a pin insulator with any defect has failed.",
		basis.Post:      "1 × post has a defect: a post insulator with any defect has failed.",
	} {
		t.Run(kind.String(), func(t *testing.T) {
			b := newBase(t)
			row := b.wholeString(3, kind)
			row.Defective = 1
			if kind == basis.Pin {
				row.Duty = audit.Pin
			}
			if kind == basis.Post {
				row.Duty = audit.Post
			}
			v := b.verdict("sound-units", 3, "A")
			require.Equal(t, audit.FallsShort, v.Outcome)
			require.Equal(t, say, v.Sentence)
		})
	}
	for _, check := range checks.All() {
		if check.ID == "sound-units" {
			require.Contains(t, check.Method.Limits, "a pin, a post or a shackle insulator with any defect has failed (common practice: it is one body, so a defect is one of the whole)")
			require.Contains(t, check.Remedy, "failed insulator")
		}
	}
}
