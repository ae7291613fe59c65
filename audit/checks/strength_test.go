package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"
)

// iced is a load case of 10 mm of ice (900 kg/m³) with wind: the sleeve weighs π·900·0.010·0.03814·g = 10.5753 N/m, and
// the wind meets 48.14 mm (geometry, computed).
func iced(s *audit.Subject) {
	s.Criteria.LoadCases[0].IceMM, s.Criteria.LoadCases[0].IceDensityKgPerM3 = 10, 900
}

// The loads of the example: 300 m of wind span at 290 Pa on 28.14 mm push 2448.18 N, 300 m of 15.965 N/m weigh 4789.5 N,
// together 5378.93 N (statics, computed). A factor of 2 asks for 10.758 kN.
func TestLoadsOnStrings(t *testing.T) {
	suspension := func(more ...func(*audit.Subject)) func(*audit.Subject) {
		return func(s *audit.Subject) {
			_, level := example(t, "swing")
			structure := *level.Structure
			structure.DeviationDeg = 0
			s.Structure, s.Line.Row.MaximumTensionKN, s.Assembly.Duty, s.Assembly.Side = &structure, 28.02, audit.Suspension, audit.NoSide
			s.Assembly.Strings, s.Assembly.Arrangement = 1, audit.Single
			for _, m := range more {
				m(s)
			}
		}
	}
	parallel := func(n int) func(*audit.Subject) {
		return func(s *audit.Subject) { s.Assembly.Strings, s.Assembly.Arrangement = n, audit.Parallel }
	}
	vSet := func(n int, deg float64) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Assembly.Strings, s.Assembly.Arrangement, s.Assembly.VAngleDeg = n, audit.VSet, deg
		}
	}
	across := func(d audit.Duty) func(*audit.Subject) {
		return func(s *audit.Subject) {
			madeFor(d)(s)
			s.Assembly.Unit.CantileverKN, s.Assembly.Unit.CompressionKN, s.Assembly.Mounting = 6, 24, audit.Upright
		}
	}
	heavy := func(s *audit.Subject) { s.Assembly.Unit.WeightKg, s.Assembly.UnitsPerString = 5, 9 } // 441.3 N
	unequal := func(s *audit.Subject) { s.Criteria.UnequalSharing = audit.Stated(1.1) }
	turn := func(s *audit.Subject) { s.Structure.DeviationDeg = -20 }
	tension := func(more ...func(*audit.Subject)) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Line.Row.MaximumTensionKN = 28.02
			for _, m := range more {
				m(s)
			}
		}
	}
	judge(t, "strength", []judgement{
		{"suspension", suspension(), "meets 120/10.758", ""},
		{"two strings", suspension(parallel(2)), "meets 120/5.3789", ""},
		{"a turn to the left adds 9731.24 N", suspension(turn), "meets 120/26.175", ""},
		{"ice and wind together", suspension(iced), "meets 120/17.993", ""},
		{"load factor of the case", suspension(iced, func(s *audit.Subject) { s.Criteria.LoadCases[0].Factor = 1.3 }), "meets 120/23.391", ""},
		{"twin conductors", suspension(func(s *audit.Subject) { s.Line.Row.Subconductors = 2 }), "meets 120/21.516", ""},
		{"number of subconductors not stated", suspension(func(s *audit.Subject) { s.Line.Row.Subconductors = 0 }), "meets 120/10.758", ""},
		// θ = atan(2448.18/4789.5) = 27.07° within legs at 45°: R·sin(45° + 27.07°)/sin 90° = 5.1178 kN (statics, computed)
		{"V legs under wind", suspension(vSet(2, 90)), "meets 120/10.236", ""},
		// (4789.5 + 441.3 + 2448.18)/√2 = 5429.9 N, and half of 441.3 N down on its top: 5588.1 N, or 3031 N of half the conductors (statics, computed)
		{"V legs of 45 kg", suspension(vSet(2, 90), heavy), "meets 120/11.176", ""},
		{"V of four strings of 45 kg", suspension(vSet(4, 90), heavy), "meets 120/6.062", ""},
		// the other leg is slack: √(2448.18² + (4789.5 + 1.5·441.3)²)
		{"V of 45 kg with a slack leg", suspension(vSet(2, 40), heavy), "meets 120/11.952", ""},
		{"V of a weight that cannot be read", suspension(vSet(2, 90), func(s *audit.Subject) { s.Assembly.UnitFaulty = s.Assembly.UnitFaulty.With(audit.CellWeight) }), "not assessed: a field it needs is faulty, see Faults", ""},
		{"V of four strings", suspension(vSet(4, 90)), "meets 120/5.1178", ""},
		{"V with a slack leg", suspension(vSet(2, 40)), "meets 120/10.758", ""},
		{"V without an angle", suspension(vSet(2, math.NaN())), "not assessed: angle of the V set not stated", ""},
		{"pin across its axis", suspension(across(audit.Pin)), "shortfall 1.4192/1", "across its axis"},
		{"post across its axis in a turn", suspension(across(audit.Post), turn), "shortfall 5.4739/1", ""},
		{"shackle that bears it", suspension(across(audit.Shackle), func(s *audit.Subject) { s.Assembly.Unit.CantileverKN = 6.13 }), "meets 6.13/6.1205", ""},
		{"pin of unknown cantilever rating", suspension(across(audit.Pin), func(s *audit.Subject) { s.Assembly.Unit.CantileverKN = math.NaN() }),
			"not assessed: cantilever rating of the insulator unknown", ""},
		{"jumper", suspension(duty(audit.Jumper)), passesJumper, ""},
		{"guy", suspension(duty(audit.Guy)), passesNoLoad, ""},
		{"suspension at a line end", suspension(func(s *audit.Subject) { s.Structure.Role = audit.Terminal }), "not applicable: no tension assembly at a line end; tension-at-terminal speaks", ""},
		{"earth wire at a line end", suspension(duty(audit.EarthWire), func(s *audit.Subject) { s.Structure.Role = audit.Terminal }), passesNoLoad, ""},
		{"no factor", suspension(func(s *audit.Subject) { s.Criteria.InsulatorFactor.Suspension = 0 }), "not assessed: no insulator factor for this duty in the criteria", ""},
		{"no load case", suspension(func(s *audit.Subject) { s.Criteria.LoadCases = nil }), "not assessed: no load cases in the criteria, though an insulator factor or a swing limit asks for them", ""},
		{"another conductor beside it", suspension(func(s *audit.Subject) { s.Structure.CarriesBack.Conductor = 1 }), "not assessed: the two spans carry different conductors or bundles", ""},
		{"the worse of two cases, first", suspension(func(s *audit.Subject) {
			s.Criteria.LoadCases = append(s.Criteria.LoadCases, audit.LoadCase{Name: "still", From: audit.MaximumTension, Factor: 1})
		}), "meets 120/10.758", ""},
		{"the worse of two cases, last", suspension(func(s *audit.Subject) {
			s.Criteria.LoadCases = append([]audit.LoadCase{{Name: "still", From: audit.MaximumTension, Factor: 1}}, s.Criteria.LoadCases...)
		}), "meets 120/10.758", ""},
		{"tension at its rating", tension(func(s *audit.Subject) { s.Assembly.Unit.RatingKN = 56.04 }), "meets 56.04/56.04", ""},
		{"tension below it", tension(func(s *audit.Subject) { s.Assembly.Unit.RatingKN = 56.03 }), "shortfall 56.03/56.04", "on one string"},
		{"three strings share unequally", tension(parallel(3), unequal), "meets 120/20.548", ""},
		{"slack span behind", tension(func(s *audit.Subject) { s.Structure.SlackBack = true }), "not assessed: a slack span to a gantry has a tension of its own, which is not stated", ""},
		{"slack span on the other side", tension(func(s *audit.Subject) { s.Structure.SlackAhead = true }), "meets 120/56.04", ""},
		{"slack span ahead", tension(tensionOn(audit.Ahead), func(s *audit.Subject) { s.Structure.SlackAhead = true }), "not assessed: a slack span to a gantry has a tension of its own, which is not stated", ""},
		{"slack span behind, held ahead", tension(tensionOn(audit.Ahead), func(s *audit.Subject) { s.Structure.SlackBack = true }), "meets 120/56.04", ""},
		{"suspension beside slack spans", suspension(func(s *audit.Subject) { s.Structure.SlackBack, s.Structure.SlackAhead = true, true }), "meets 120/10.758", ""},
	})
	judge(t, "strength-one-string-broken", []judgement{
		{"one of two, sharing no longer", tension(parallel(2), unequal), "meets 120/42.03", ""},
		{"one of three, the two left share unequally", tension(parallel(3), unequal), "meets 120/23.117", ""},
		{"one of three, at its rating", tension(parallel(3), func(s *audit.Subject) { s.Assembly.Unit.RatingKN = 21.015 }), "meets 21.015/21.015", ""},
		{"one of three, below it", tension(parallel(3), func(s *audit.Subject) { s.Assembly.Unit.RatingKN = 21 }), "shortfall 21/21.015", "each string that is left"},
		{"single", tension(parallel(1)), "not applicable: no parallel strings", ""},
		{"V set of one string a leg, of which the other bears all", suspension(vSet(2, 90)), "meets 120/8.0684", ""},
		{"V set that bears it whole and not with a leg broken", suspension(vSet(2, 90), func(s *audit.Subject) { s.Assembly.Unit.RatingKN = 8 }), "shortfall 8/8.0684", "each string that is left"},
		{"no factor for a broken string", tension(func(s *audit.Subject) { s.Criteria.InsulatorFactor.OneStringBroken = 0 }), "not assessed: no insulator factor for this duty in the criteria", ""},
		{"slack span", tension(func(s *audit.Subject) { s.Structure.SlackBack = true }), "not assessed: a slack span to a gantry has a tension of its own, which is not stated", ""},
		{"slack span on the other side", tension(func(s *audit.Subject) { s.Structure.SlackAhead = true }), "meets 120/42.03", ""},
		{"jumper", suspension(parallel(2), duty(audit.Jumper)), passesJumper, ""},
	})
	straight := func(limit float64, more ...func(*audit.Subject)) func(*audit.Subject) {
		return func(s *audit.Subject) {
			s.Structure.DeviationDeg, s.Line.Row.SwingLimitDeg, s.Assembly.Unit.WeightKg = 0, limit, math.NaN()
			for _, m := range more {
				m(s)
			}
		}
	}
	judge(t, "swing", []judgement{
		{"atan(2448.18/4789.5) = 27.07°", straight(30), "meets 27.074/30", ""},
		{"at the limit", straight(math.Atan(2448.18/4789.5) * 180 / math.Pi), "meets 27.074/27.074", ""},
		{"beyond it", straight(27.07), "shortfall 27.074/27.07", "swings by 27.07° under high wind; the line allows 27.07°"},
		{"ice and wind together", straight(30, iced), "meets 27.745/30", ""},
		{"twin conductors swing alike", straight(30, func(s *audit.Subject) { s.Line.Row.Subconductors = 2 }), "meets 27.074/30", ""},
		// half of 441.3 N hangs and half of 290 Pa on 0.9 m² blows at the lower end of the string: atan(2578.68/5010.15)
		{"weight and wind of the string", straight(30, func(s *audit.Subject) {
			s.Assembly.Unit.WeightKg, s.Assembly.Unit.WindAreaM2 = 5, 0.1
		}), "meets 27.234/30", ""},
		// of 9 units that state no wind area half of 290 Pa on 255 mm × 146 mm each: atan(2496.77/4789.5)
		{"wind area not stated", straight(30, func(s *audit.Subject) { s.Assembly.Unit.WindAreaM2 = math.NaN() }), "meets 27.533/30", ""},
		{"wind area not stated, weight is", straight(30, func(s *audit.Subject) {
			s.Assembly.Unit.WeightKg, s.Assembly.Unit.WindAreaM2 = 5, math.NaN()
		}), "meets 26.489/30", ""}, // atan(2496.77/5010.15)
		{"wind area, diameter not stated", straight(30, func(s *audit.Subject) {
			s.Assembly.Unit.WindAreaM2, s.Assembly.Unit.DiameterMM = math.NaN(), math.NaN()
		}), "not assessed: neither wind area nor diameter and spacing of the unit known", ""},
		{"wind area, spacing not stated, and weight is", straight(30, func(s *audit.Subject) {
			s.Assembly.Unit.WindAreaM2, s.Assembly.Unit.SpacingMM, s.Assembly.Unit.WeightKg = math.NaN(), math.NaN(), 5
		}), "not assessed: neither wind area nor diameter and spacing of the unit known", ""},
		{"wind area not known, and no wind", straight(30, func(s *audit.Subject) {
			s.Criteria.LoadCases[0].WindPa = 0
			s.Assembly.Unit.WindAreaM2, s.Assembly.Unit.DiameterMM = math.NaN(), math.NaN()
		}), "meets 0/30", ""},
		{"the farther of two cases", straight(30, func(s *audit.Subject) {
			s.Criteria.LoadCases = append(s.Criteria.LoadCases, audit.LoadCase{Name: "still", From: audit.MaximumTension, Factor: 1})
		}), "meets 27.074/30", ""},
		{"tension", tensionOn(audit.Back), "not applicable: no suspension assembly", ""},
		{"jumper", duty(audit.Jumper), passesJumper, ""},
		{"duty not stated", duty(audit.DutyUnknown), "not assessed: duty not stated", ""},
		{"V set", vSet(2, 90), "not applicable: a V set does not swing", ""},
		{"at a line end", func(s *audit.Subject) { s.Structure.Role = audit.Terminal }, "not applicable: no tension assembly at a line end; tension-at-terminal speaks", ""},
		{"no limit", straight(math.NaN()), "not assessed: neither a swing limit nor a clearance stated", ""},
	})
}

// A load case that is not known makes no verdict of one that is known and too much, and earns none where that is not.
func TestStrengthByTheCasesThatAreKnown(t *testing.T) {
	withCold := func(ratingKN float64) func(s *audit.Subject) {
		return func(s *audit.Subject) {
			s.Criteria.LoadCases = append(s.Criteria.LoadCases[:len(s.Criteria.LoadCases):len(s.Criteria.LoadCases)], audit.LoadCase{Name: "cold", From: audit.ColdTension, Factor: 1})
			s.Line.Row.ColdTensionKN = math.NaN()
			s.Assembly.Unit.RatingKN = ratingKN
		}
	}
	judge(t, "strength", []judgement{
		{"too weak by the known case", withCold(120), "shortfall 120/130", "which needs at least 130.0 kN"},
		{"strong enough by the known case", withCold(160), "not assessed: cold tension of the line not stated", ""},
	})
}
