package checks_test

import (
	"fmt"
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// IEC TS 60815-1:2008 figures: class e asks for 53.7 mm/kV, class d for 43.3 and class a for 22.0 of phase voltage.
func TestCreepageCases(t *testing.T) {
	none := func(*audit.Subject) {}
	judge(t, "creepage", []judgement{
		{"earth wire", duty(audit.EarthWire), passesNoLoad, ""},
		{"jumper", duty(audit.Jumper), "meets 7875/7595.9", ""},
		{"at the limit", func(s *audit.Subject) { s.Structure.SpecificCreepage = 7875 / (245 / math.Sqrt(3)) }, "meets 7875/7875", ""},
		{"stated by the row", func(s *audit.Subject) { s.Assembly.CreepageMM, s.Assembly.CreepageStated = 7500, true }, "shortfall 7500/7595.9", "(unified basis) needs 7595.9 mm."},
		{"figure of the zone", func(s *audit.Subject) { s.Structure.Class, s.Structure.SpecificCreepage = basis.ClassUnknown, 60 },
			"shortfall 7875/8487", "a zone of 60 mm/kV on Um/√3 at Um 245 kV (unified basis) needs 8487.0 mm"}, // 60 × 245/√3
		{"altitude beyond the formula", func(s *audit.Subject) {
			s.Structure.GroundM, s.Criteria.CreepageAltitudeExponent = 9001, audit.Stated(0.5)
		},
			"not assessed: altitude outside the range of the altitude formula", ""},
		{"by units", func(s *audit.Subject) { discsOf(s.Assembly, 14) }, "shortfall 7350/7595.9", "needs 7595.9 mm, 15 units."},
		{"class a on the levels of 1986", func(s *audit.Subject) {
			s.Criteria.CreepageBasis, s.Structure.Class = basis.Levels1986, basis.ClassA
			s.Structure.SpecificCreepage = 22 / math.Sqrt(3)
		}, "meets 7875/3111.9: the levels of 1986 have none for class a; 22.0/√3 mm/kV was used", ""},
		{"class a on the unified basis", func(s *audit.Subject) { s.Structure.Class, s.Structure.SpecificCreepage = basis.ClassA, 22 }, "meets 7875/3111.9", ""},
		{"no class", func(s *audit.Subject) { s.Structure.Class, s.Structure.SpecificCreepage = 0, math.NaN() },
			"not assessed: outside every pollution zone, and no default class", ""},
	})
	defective := func(n int, more ...func(*audit.Subject)) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Assembly.Defective = n
			for _, m := range more {
				m(s)
			}
		}
	}
	classD := func(s *audit.Subject) { s.Structure.Class, s.Structure.SpecificCreepage = basis.ClassD, 43.3 }
	judge(t, "sound-units", []judgement{
		{"none defective", defective(0), "not applicable: no defective unit", ""},
		{"number not stated", defective(-1), "not assessed: defective units not stated", ""},
		{"enough left", defective(1, classD), "meets 7350/6124.8", ""},
		{"too few left", defective(4, classD), "shortfall 5775/6124.8", "4 of them defective, has 5775 mm"},
		{"short as built", defective(1, func(s *audit.Subject) { discsOf(s.Assembly, 14) }), "not applicable: the string as built already falls short", ""},
		{"a composite with a defect has failed", defective(1, func(s *audit.Subject) { s.Assembly.Unit.Kind = basis.Composite }), "shortfall failed/sound", ""},
		{"policy at its number", defective(1, classD, func(s *audit.Subject) {
			s.Line.Row.NominalKV, s.Criteria.SoundUnits = 220, []audit.SoundUnitsRule{{NominalKV: 132, Units: 99}, {NominalKV: 220, Units: 14}}
		}), "meets 7350/6124.8", ""},
		{"policy above it", defective(1, classD, func(s *audit.Subject) {
			s.Line.Row.NominalKV, s.Criteria.SoundUnits = 220, []audit.SoundUnitsRule{{NominalKV: 220, Units: 15}}
		}), "shortfall 14/15", "14 sound units are left, the criteria ask for 15"},
	})
	judge(t, "near-worse-zone", []judgement{
		{"near", none, "advisory 4130/4495.5", "150 m from here class e at Um 145 kV (unified basis) begins and needs 4495.5 mm, 16 units."},
		{"no zone near", func(s *audit.Subject) { s.Structure.Worse.DistanceM = math.NaN() }, "not applicable: no worse zone within the margin", ""},
		{"no margin", func(s *audit.Subject) { s.Criteria.ZoneMarginM = audit.NotStated() }, "not assessed: no zone margin in the criteria", ""},
		{"creepage speaks already", func(s *audit.Subject) { discsOf(s.Assembly, 12) }, "not applicable: the string as built already falls short", ""},
		{"long enough for both", func(s *audit.Subject) { discsOf(s.Assembly, 16) }, "meets 4720/4495.5", ""},
		{"earth wire", duty(audit.EarthWire), passesNoLoad, ""},
	})
	judge(t, "string-too-long", []judgement{
		{"at the limit", func(s *audit.Subject) { s.Line.Row.LongestStringMM = 2336 }, "meets 2336/2336", ""},
		{"just beyond it", func(s *audit.Subject) { s.Line.Row.LongestStringMM = 2335 }, "shortfall 2336/2335", "16 × disc, 2336 mm long; the line allows 2335 mm"},
		{"what hangs is too long, what is needed is not", func(s *audit.Subject) { discsOf(s.Assembly, 17); s.Line.Row.LongestStringMM = 2336 },
			"shortfall 2482/2336", "17 × disc is 2482 mm long; the line allows 2336 mm."},
		{"fittings make it too long", func(s *audit.Subject) { s.Line.Row.LongestStringMM, s.Assembly.Direct.LengthMM = 2336, 2337 },
			"shortfall 2337/2336", "is stated to be 2337 mm long; the line allows 2336 mm."},
		{"the row states less than its units make", func(s *audit.Subject) {
			discsOf(s.Assembly, 17)
			s.Line.Row.LongestStringMM, s.Assembly.Direct.LengthMM = 2336, 2336
		}, "not assessed: a field it needs is faulty, see Faults", ""},
		{"both are too long", func(s *audit.Subject) { discsOf(s.Assembly, 17); s.Line.Row.LongestStringMM = 2000 }, "shortfall 2336/2000", "needs 16 × disc, 2336 mm long"},
		{"what hangs is too long, class unknown", func(s *audit.Subject) {
			discsOf(s.Assembly, 14)
			s.Structure.Class, s.Structure.SpecificCreepage = basis.ClassUnknown, math.NaN()
		}, "shortfall 2044/2000", "14 × disc is 2044 mm long; the line allows 2000 mm."},
		{"what hangs fits, class unknown", func(s *audit.Subject) {
			s.Structure.Class, s.Structure.SpecificCreepage = basis.ClassUnknown, math.NaN()
		},
			"not assessed: outside every pollution zone, and no default class", ""},
		{"what hangs is too long, unit creepage unknown", func(s *audit.Subject) {
			discsOf(s.Assembly, 14)
			s.Assembly.Unit.CreepageMM, s.Assembly.CreepageMM = math.NaN(), math.NaN()
		}, "shortfall 2044/2000", "14 × disc is 2044 mm long; the line allows 2000 mm."},
		{"a composite", func(s *audit.Subject) { s.Assembly.Unit.Kind = basis.Composite }, "not applicable: no string of cap-and-pin units", ""},
		{"not stated", func(s *audit.Subject) { s.Line.Row.LongestStringMM = math.NaN() }, "not assessed: longest string of the line not stated", ""},
		{"spacing unknown, length stated", func(s *audit.Subject) { s.Assembly.Unit.SpacingMM, s.Assembly.Direct.LengthMM = math.NaN(), 1500 }, "not assessed: spacing of the unit unknown", ""},
		{"spacing not readable, length stated", func(s *audit.Subject) {
			s.Assembly.Unit.SpacingMM, s.Assembly.Direct.LengthMM, s.Assembly.UnitFaulty = math.NaN(), 1500, s.Assembly.UnitFaulty.With(audit.CellLength)
		}, "not assessed: a field it needs is faulty, see Faults", ""},
		{"unit creepage unknown, string's stated", func(s *audit.Subject) { s.Assembly.Unit.CreepageMM = math.NaN() }, "not assessed: creepage of the unit unknown", ""},
		{"unit creepage not readable, string's stated", func(s *audit.Subject) {
			s.Assembly.Unit.CreepageMM, s.Assembly.UnitFaulty = math.NaN(), s.Assembly.UnitFaulty.With(audit.CellCreepage)
		}, "not assessed: a field it needs is faulty, see Faults", ""},
		{"guy", duty(audit.Guy), passesNoLoad, ""},
	})
}

// The checks of strings by comparison and by kind.
func TestStringCases(t *testing.T) {
	judge(t, "units-for-voltage", []judgement{
		{"at the floor", func(s *audit.Subject) { discsOf(s.Assembly, 7) }, "meets 7/7", ""},
		{"fewer, but as long", func(s *audit.Subject) { s.Assembly.Unit.SpacingMM = 7 * 146.0 / 6 }, "meets 7/7", ""},
		{"a composite", func(s *audit.Subject) { s.Assembly.Unit.Kind = basis.Composite }, "not applicable: no string of cap-and-pin units", ""},
		{"unit not known", func(s *audit.Subject) { s.Assembly.Unit, s.Assembly.Makeup = nil, nil }, "not assessed: unit not stated", ""},
		{"earth wire", duty(audit.EarthWire), passesNoLoad, ""},
		{"units not stated", func(s *audit.Subject) { s.Assembly.UnitsPerString = -1 }, "not assessed: units per string not stated", ""},
	})
	usual := func(creepageMM, lengthMM float64, strings int) func(*audit.Subject) {
		return func(s *audit.Subject) {
			u := &s.Line.Usual[0]
			u.CreepageMM, u.LengthMM, u.Strings = creepageMM, lengthMM, strings
		}
	}
	judge(t, "tension-fewer-units", []judgement{ // the tension string: 2655 mm of creepage, 1314 mm long
		{"equal", usual(2655, 1314, 30), "meets 2655/2655", ""},
		{"less creepage", usual(2656, 1314, 30), "advisory 2655/2656", "2655 mm of creepage"},
		{"shorter", usual(2655, 1315, 30), "advisory 1314/1315", "1314 mm of length"},
		{"two suspension strings tell nothing", usual(2950, 1460, 2), "not applicable: fewer than three suspension strings of the line in this class to compare with", ""},
		{"three tell", usual(2950, 1460, 3), "advisory 2655/2950", ""},
		{"another class", func(s *audit.Subject) { s.Structure.SpecificCreepage++ }, "not applicable: fewer than three suspension strings of the line in this class to compare with", ""},
		{"suspension", duty(audit.Suspension), "not applicable: no tension assembly", ""},
		{"duty not stated", duty(audit.DutyUnknown), "not assessed: duty not stated", ""},
	})
	judge(t, "mixed-units", []judgement{
		{"like units", func(s *audit.Subject) { s.Assembly.Makeup.Parts = s.Assembly.Makeup.Parts[:1] }, "meets 1/1", ""},
		{"guy", duty(audit.Guy), passesNoLoad, ""},
	})
	judge(t, "coupling-mismatch", []judgement{
		{"equal", func(s *audit.Subject) {
			_, alike := example(t, "mixed-units")
			s.Assembly = alike.Assembly
		}, "meets 16/16", ""},
		{"unequal", func(*audit.Subject) {}, "shortfall 20/16", "joins coupling 16 to coupling 20"},
		{"one kind of unit", func(s *audit.Subject) { s.Assembly.Makeup.Parts = s.Assembly.Makeup.Parts[:1] }, "not applicable: the string is of one kind of unit", ""},
		{"earth wire", duty(audit.EarthWire), passesNoLoad, ""},
		{"unit not known", func(s *audit.Subject) { s.Assembly.Unit, s.Assembly.Makeup = nil, nil }, "not assessed: unit not stated", ""},
	})
	odd := func(o audit.Odd) func(*audit.Subject) { return func(s *audit.Subject) { s.Assembly.Odd = o } }
	judge(t, "odd-one-out", []judgement{
		{"at the structure", odd(audit.OddAtStructure), "note 8 × disc/alike", "other strings of its duty at this structure"},
		{"in the run", odd(audit.OddInRun), "note 8 × disc/alike", "at the structures around"},
		{"like the rest", odd(audit.LikeTheRest), "meets 8 × disc/8 × disc", ""},
		{"nothing to compare", odd(audit.NotCompared), "not applicable: no uniform strings around it to compare with", ""},
	})
	unit := func(kind basis.Kind) func(*audit.Subject) {
		return func(s *audit.Subject) { s.Assembly.Duty, s.Assembly.Unit.Kind = audit.Suspension, kind }
	}
	judge(t, "pin-voltage", []judgement{
		{"pin by duty", func(*audit.Subject) {}, "advisory 72.5/36.5", "A pin insulator (1 × disc) on a line of Um 72.5 kV; they serve up to 36.5 kV."},
		{"pin by unit", unit(basis.Pin), "advisory 72.5/36.5", ""},
		{"neither", unit(basis.CapAndPin), "not applicable: no pin insulator", ""},
		{"unit not known", func(s *audit.Subject) {
			s.Assembly.Duty, s.Assembly.Unit, s.Assembly.Makeup = audit.Suspension, nil, nil
		}, "not applicable: no pin insulator", ""},
	})
	judge(t, "shackle-voltage", []judgement{
		{"shackle by unit", unit(basis.Shackle), "advisory 11/1", "on a line of 11 kV"},
		{"neither", unit(basis.CapAndPin), "not applicable: no shackle insulator", ""},
		{"unit not known", func(s *audit.Subject) {
			s.Assembly.Duty, s.Assembly.Unit, s.Assembly.Makeup = audit.Suspension, nil, nil
		}, "not applicable: no shackle insulator", ""},
	})
	judge(t, "puncture-margin", []judgement{
		{"pin", unit(basis.Pin), "shortfall 0.7619/0.75", "76.2 % of its puncture voltage of 105 kV; at most 75 % is allowed"},
		{"shackle", unit(basis.Shackle), "shortfall 0.7619/0.75", ""},
		{"kind not known", unit(basis.KindUnknown), "shortfall 0.7619/0.75", ""},
		{"composite", unit(basis.Composite), "not applicable: long rods, posts and composites cannot puncture", ""},
		{"puncture voltage unknown", func(s *audit.Subject) { s.Assembly.Unit.PunctureKV = math.NaN() }, "not assessed: dry flashover or puncture voltage of the unit unknown", ""},
		{"unit not known", func(s *audit.Subject) { s.Assembly.Unit, s.Assembly.Makeup = nil, nil }, "not assessed: unit not stated", ""},
		{"earth wire", duty(audit.EarthWire), passesNoLoad, ""},
	})
}

// A withstand that equals what is required meets; beyond the reach of tables and formulas nothing is judged.
func TestWithstandCases(t *testing.T) {
	for id, level := range map[string]func(s *audit.Subject, kv float64){
		"lightning-withstand": func(s *audit.Subject, kv float64) { s.Assembly.Direct.LightningKV = kv },
		"switching-withstand": func(s *audit.Subject, kv float64) { s.Assembly.Direct.SwitchingKV = kv },
		"wet-withstand":       func(s *audit.Subject, kv float64) { s.Assembly.Direct.WetKV = kv },
	} {
		needed := map[string]float64{"lightning-withstand": 1050, "switching-withstand": 1050, "wet-withstand": 460}[id]
		at := func(kv float64) func(*audit.Subject) {
			return func(s *audit.Subject) {
				s.Structure.GroundM = 0
				level(s, kv)
			}
		}
		weight := "shortfall"
		if id == "wet-withstand" {
			weight = "advisory"
		}
		judge(t, id, []judgement{
			{"tested at the level", at(needed), fmt.Sprintf("meets %[1]g/%[1]g", needed), ""},
			{"tested below it", at(needed - 1), fmt.Sprintf("%s %g/%g", weight, needed-1, needed), "(tested value of the register)"},
			{"earth wire", duty(audit.EarthWire), passesNoLoad, ""},
			{"guy", duty(audit.Guy), passesNoLoad, ""},
			{"ground level unknown", func(s *audit.Subject) { level(s, needed); s.Structure.GroundM = math.NaN() }, "not assessed: ground level unknown", ""},
			{"below the level, ground level unknown", func(s *audit.Subject) { level(s, needed-1); s.Structure.GroundM = math.NaN() }, fmt.Sprintf("%s %g/%g", weight, needed-1, needed), "at any altitude"},
			{"ground level unreadable", func(s *audit.Subject) {
				level(s, needed)
				s.Structure.Faulty = s.Structure.Faulty.With(audit.CellGround)
			}, "not assessed: a field it needs is faulty, see Faults", ""},
			{"below the level, ground level unreadable", func(s *audit.Subject) {
				level(s, needed-1)
				s.Structure.Faulty = s.Structure.Faulty.With(audit.CellGround)
			},
				fmt.Sprintf("%s %g/%g", weight, needed-1, needed), "at any altitude"},
			{"beyond the altitude formula", func(s *audit.Subject) { s.Structure.GroundM = 9001 }, "not assessed: altitude outside the range of the altitude formula", ""},
			{"highest voltage unknown", func(s *audit.Subject) { s.Line.HighestKV = math.NaN() }, "not assessed: voltage of the line not stated", ""},
			{"a voltage unreadable", func(s *audit.Subject) { s.Line.Row.Faulty = s.Line.Row.Faulty.With(audit.CellVoltage) }, "not assessed: a field it needs is faulty, see Faults", ""},
			{"duty not stated", duty(audit.DutyUnknown), "not assessed: duty not stated", ""},
		})
	}
}

// Fittings insulate nothing: six discs with 340 mm of them are as few as six without, and so are eight in tension.
func TestFittingsAreNoInsulation(t *testing.T) {
	judge(t, "units-for-voltage", []judgement{
		{"six discs with fittings", func(s *audit.Subject) { s.Assembly.Direct.LengthMM = 6*146 + 340 }, "advisory 6/7", "as long as 6.0 standard discs"},
		{"less than its units", func(s *audit.Subject) { s.Assembly.Direct.LengthMM = 800 }, "not assessed: a field it needs is faulty, see Faults", ""},
		{"spacing not known, by the length stated", func(s *audit.Subject) {
			s.Assembly.Unit.SpacingMM, s.Assembly.Direct.LengthMM = math.NaN(), 7*146
			discsOf(s.Assembly, 6)
		}, "meets 7/7", ""},
		{"spacing not known, by the length stated on a line with fittings, which may be in it", func(s *audit.Subject) {
			s.Assembly.Unit.SpacingMM, s.Assembly.Direct.LengthMM, s.Line.Row.FittingsMM = math.NaN(), 7*146, 146
			discsOf(s.Assembly, 6)
		}, "not assessed: spacing of the unit unknown", ""},
		{"spacing not known, by the length stated on a line whose fittings cannot be read", func(s *audit.Subject) {
			s.Assembly.Unit.SpacingMM, s.Assembly.Direct.LengthMM, s.Line.Row.Faulty = math.NaN(), 7*146, s.Line.Row.Faulty.With(audit.CellLength)
			discsOf(s.Assembly, 6)
		}, "not assessed: a field it needs is faulty, see Faults", ""},
		{"spacing known, on a line with fittings", func(s *audit.Subject) { s.Line.Row.FittingsMM = 146; discsOf(s.Assembly, 7) }, "meets 7/7", ""},
		{"spacing not readable: fittings may be in it", func(s *audit.Subject) {
			s.Assembly.Unit.SpacingMM, s.Assembly.Direct.LengthMM = math.NaN(), 7*146
			s.Assembly.UnitFaulty = s.Assembly.UnitFaulty.With(audit.CellLength)
			discsOf(s.Assembly, 6)
		}, "not assessed: a field it needs is faulty, see Faults", ""},
	})
	longer := func(b *base, rows int, unitsMM float64) {
		direct := b.direct(func(d *audit.DirectValues) { d.LengthMM, d.CreepageMM = unitsMM+340, 2655 })
		for _, row := range b.rows(rows) {
			row.Direct = direct
		}
	}
	b := newBase(t)
	for _, row := range b.rows(9) {
		row.UnitsPerString = 8
	}
	longer(b, 9, 8*146)
	require.Contains(t, outcomes(b.run(), "tension-fewer-units", 9), "falls short")
	b = newBase(t) // fittings of the suspension strings ask for no longer tension strings
	for n := 2; n <= 8; n++ {
		longer(b, n, 9*146)
	}
	require.Equal(t, []string{"meets"}, outcomes(b.run(), "tension-fewer-units", 9))
}
