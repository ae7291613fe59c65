package checks_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

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
		}}, []string{"odd-one-out", "sound-units"}, ""},
		{"a tested string has its share left", []func(*base){defective(1), func(b *base) {
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.LightningKV = 700 })
		}}, []string{"sound-units"}, "withstands 622 kV of lightning impulse with those left; 650 kV is needed"},
		{"lightning that falls short as built names what is left", []func(*base){defective(1), func(b *base) {
			b.rows(3)[0].Direct = b.direct(func(d *audit.DirectValues) { d.LightningKV = 630 })
		}}, []string{"lightning-withstand"}, "1 units of it defective and 560 kV left"},
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
