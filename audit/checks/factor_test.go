package checks_test

import (
	"slices"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// exact lets factors stand beside the general ones of the subject, which are NESC 277's.
func exact(factors ...audit.ExactFactor) func(*audit.Subject) {
	return func(s *audit.Subject) {
		s.Criteria.InsulatorFactor.By = factors
		for i := range factors {
			if factors[i].Basis == "" {
				factors[i].Basis = "own study"
			}
		}
	}
}

// A tension string at 28.02 kN: γ·28.02 kN is needed, 56.04 kN by the general factor of 2, 75.654 kN by 2.7 (computed).
func TestWhichFactorHolds(t *testing.T) {
	type mod = func(*audit.Subject)
	tension := func(more ...mod) mod {
		return func(s *audit.Subject) {
			structure := *s.Structure
			structure.Role = audit.Angle
			structure.SpanBackM, structure.SpanAheadM = 300, 300
			s.Structure, s.Line.Row.MaximumTensionKN, s.CrossingsGiven = &structure, 28.02, true
			s.Assembly.Unit.Material, s.Assembly.Unit.RatingKN = "porcelain", 70
			for _, m := range more {
				m(s)
			}
		}
	}
	only := func(e audit.ExactFactor) audit.ExactFactor {
		e.For = []audit.FactorOf{audit.TensionFactor}
		return e
	}
	rated := func(kN float64) mod { return func(s *audit.Subject) { s.Assembly.Unit.RatingKN = kN } }
	of := func(material string) mod { return func(s *audit.Subject) { s.Assembly.Unit.Material = material } }
	installed := func(day audit.Day) mod {
		return func(s *audit.Subject) { s.Assembly.Dated, s.Assembly.Installed = true, day }
	}
	crossing := func(side audit.Side, asked audit.Asked) mod {
		return func(s *audit.Subject) {
			if s.Structure.Ahead = asked; side == audit.Back {
				s.Structure.Ahead, s.Structure.Back = audit.Asked{}, asked
			}
		}
	}
	porcelain := only(audit.ExactFactor{Materials: []string{"Porcelain"}, Factor: 2.7})
	glass := only(audit.ExactFactor{Materials: []string{"glass"}, Factor: 1.8})
	windy := only(audit.ExactFactor{Cases: []string{"High-Wind"}, Factor: 2.3})
	windyPorcelain := only(audit.ExactFactor{Cases: []string{"high wind"}, Materials: []string{"porcelain", "glass"}, Factor: 2.4})
	old := only(audit.ExactFactor{InstalledBefore: 1985, Factor: 2.7})
	young := only(audit.ExactFactor{InstalledFrom: 1985, Factor: 1.8})
	atEnd := only(audit.ExactFactor{At: audit.AtTerminal, Factor: 2.7})
	railway := only(audit.ExactFactor{Crossings: []string{"railway"}, Factor: 2.7})
	rail, both := only(audit.ExactFactor{Crossings: []string{"railway"}, Factor: 1.8}), only(audit.ExactFactor{Crossings: []string{"railway", "road"}, Factor: 2.7})
	const faultyFactor = "not assessed: a field it needs is faulty, see Faults"
	const material, date, crossings = "not assessed: material of a unit not stated, by which insulator factors go that would not judge alike",
		"not assessed: when it was installed is not known, by which insulator factors go that would not judge alike",
		"not assessed: no crossings given, by which insulator factors go that would not judge alike"
	judge(t, "strength", []judgement{
		{"the general one", tension(), "meets 70/56.04", ""},
		{"of no document", tension(rated(56), func(s *audit.Subject) { s.Criteria.InsulatorFactor.Basis = "" }), "shortfall 56/56.04", "needs 56.0 kN (factor 2, a basis that is not stated)"},
		{"of its material, in any case of letters", tension(exact(porcelain)), "shortfall 70/75.654", "needs 75.7 kN (factor 2.7, own study of Porcelain)"},
		{"at what it asks for", tension(exact(porcelain), rated(75.654)), "meets 75.654/75.654", ""},
		{"of another material", tension(exact(glass)), "meets 70/56.04", ""},
		{"smaller than the general one, where it is stated for just that", tension(exact(glass), of("GLASS")), "meets 70/50.436", ""},
		{"of two that do not name the same the larger", tension(exact(porcelain, windy)), "shortfall 70/75.654", ""},
		{"one for fewer kinds, in the place of that for more", tension(exact(rail, both), crossing(audit.Back, audit.Asked{Kinds: []string{"railway"}})), "meets 70/50.436", ""},
		{"but not for the road beside it", tension(exact(rail, both), crossing(audit.Back, audit.Asked{Kinds: []string{"railway", "road"}})), "shortfall 70/75.654", ""},
		{"nor where there may be one", tension(exact(rail, both), crossing(audit.Back, audit.Asked{Kinds: []string{"railway"}, MayCross: true})), faultyFactor, ""},
		{"whatever their order", tension(exact(windy, porcelain)), "shortfall 70/75.654", ""},
		{"one that names all of the other and more, in its place though smaller", tension(exact(porcelain, only(audit.ExactFactor{Cases: []string{"high wind"}, Materials: []string{"porcelain"}, Factor: 2.4}))), "meets 70/67.248", ""},
		{"not one that is for another material too", tension(exact(porcelain, windyPorcelain)), "shortfall 70/75.654", ""},
		{"of another load case", tension(exact(only(audit.ExactFactor{Cases: []string{"ice"}, Factor: 9}))), "meets 70/56.04", ""},
		{"for suspension alone", tension(exact(audit.ExactFactor{For: []audit.FactorOf{audit.SuspensionFactor}, Materials: []string{"porcelain"}, Factor: 9})), "meets 70/56.04", ""},
		{"by type of unit", tension(exact(only(audit.ExactFactor{Units: []string{"u120b"}, Factor: 2.7})), func(s *audit.Subject) { s.Assembly.Unit.Name = "U120B" }), "shortfall 70/75.654", ""},

		// unknown material: 56.04 to 75.654 kN
		{"material not stated", tension(exact(porcelain), of("")), material, ""},
		{"material not stated, and it meets by each", tension(exact(porcelain), of(" "), rated(75.654)), "meets 75.654/75.654", ""},
		{"material not stated, and it falls short by each", tension(exact(porcelain), of(""), rated(56)), "shortfall 56/56.04", ""},
		{"material not stated, where the smaller would serve", tension(exact(glass), of(""), rated(51)), material, ""},
		{"material not stated, and what is certain asks for as much", tension(exact(porcelain, only(audit.ExactFactor{Cases: []string{"high wind"}, Factor: 2.7})), of("")), "shortfall 70/75.654", ""},
		{"no general one, and none that applies for certain", tension(exact(porcelain), of(""), rated(500), func(s *audit.Subject) { s.Criteria.InsulatorFactor.Tension = 0 }),
			"not assessed: no insulator factor for this duty in the criteria", ""},
		{"no general one, and one that applies", tension(exact(porcelain), func(s *audit.Subject) { s.Criteria.InsulatorFactor.Tension = 0 }), "shortfall 70/75.654", ""},
		{"unit not stated", tension(exact(porcelain), func(s *audit.Subject) { s.Assembly.Makeup, s.Assembly.Direct.RatingKN = nil, 70 }), "not assessed: unit not stated", ""},
		{"unit not readable", tension(exact(porcelain), func(s *audit.Subject) {
			s.Assembly.Makeup, s.Assembly.Direct.RatingKN, s.Assembly.Faulty = nil, 70, s.Assembly.Faulty.With(audit.CellUnit)
		}), "not assessed: a field it needs is faulty, see Faults", ""},

		{"installed before", tension(exact(old, young), installed(audit.DayOf("1984-12-31"))), "shortfall 70/75.654", "own study installed before 1985"},
		{"installed on the day", tension(exact(old, young), installed(audit.DayOf("1985-01-01"))), "meets 70/50.436", ""},
		{"a year before", tension(exact(old, young), installed(audit.YearOf(1984))), "shortfall 70/75.654", ""},
		{"the year itself", tension(exact(old, young), installed(audit.YearOf(1985))), "meets 70/50.436", ""},
		{"either of two days", tension(exact(old, young), installed(audit.DayInUTC(audit.DayOf("1985-01-01")))), date, ""},
		{"either of two days, and it meets by each", tension(exact(old, young), rated(76), installed(audit.DayInUTC(audit.DayOf("1985-01-01")))), "meets 76/75.654", ""},
		{"day not stated", tension(exact(old)), date, ""},
		{"day not stated, and it falls short by each", tension(exact(old, young), rated(50)), "shortfall 50/50.436", ""},
		{"day not readable", tension(exact(old), func(s *audit.Subject) { s.Assembly.Faulty = s.Assembly.Faulty.With(audit.CellRemarks) }), "not assessed: a field it needs is faulty, see Faults", ""},
		{"between two years", tension(exact(only(audit.ExactFactor{InstalledFrom: 1970, InstalledBefore: 1985, Factor: 2.7})), installed(audit.YearOf(1970))), "shortfall 70/75.654", ""},
		{"before both", tension(exact(only(audit.ExactFactor{InstalledFrom: 1970, InstalledBefore: 1985, Factor: 2.7})), installed(audit.YearOf(1969))), "meets 70/56.04", ""},

		{"within the line", tension(exact(atEnd)), "meets 70/56.04", ""},
		{"where the line ends", tension(exact(atEnd), func(s *audit.Subject) { s.Structure.Role = audit.Terminal }), "shortfall 70/75.654", "at a terminal"},
		{"where its circuit ends", tension(exact(atEnd), func(s *audit.Subject) { s.Assembly.CircuitEnds = true }), "shortfall 70/75.654", ""},
		{"where its circuit may end", tension(exact(atEnd), func(s *audit.Subject) { s.Assembly.CircuitMayEnd = true }), "not assessed: " + audit.FactorAsksEnd.String(), ""},
		{"where its circuit may end, and it meets by each", tension(exact(atEnd), rated(76), func(s *audit.Subject) { s.Assembly.CircuitMayEnd = true }), "meets 76/75.654", ""},
		{"where another line runs on", tension(exact(atEnd), func(s *audit.Subject) { s.Structure.Role, s.Structure.RunsOn = audit.Terminal, 1 }), "not assessed: " + audit.FactorAsksEnd.String(), ""},
		{"where another line runs on, and it falls short by each", tension(exact(atEnd), rated(56), func(s *audit.Subject) { s.Structure.Role, s.Structure.RunsOn = audit.Terminal, 1 }), "shortfall 56/56.04", ""},
		{"its circuit not readable", tension(exact(atEnd), func(s *audit.Subject) { s.Assembly.Faulty = s.Assembly.Faulty.With(audit.CellCircuits) }), "not assessed: a field it needs is faulty, see Faults", ""},

		{"nothing crossed", tension(exact(railway)), "meets 70/56.04", ""},
		{"its span crosses it", tension(exact(railway), crossing(audit.Back, audit.Asked{Kinds: []string{"river", "Railway"}})), "shortfall 70/75.654", "at a crossing of railway"},
		{"the other span does", tension(exact(railway), crossing(audit.Ahead, audit.Asked{Kinds: []string{"railway"}})), "meets 70/56.04", ""},
		{"another kind", tension(exact(railway), crossing(audit.Back, audit.Asked{Kinds: []string{"river"}})), "meets 70/56.04", ""},
		{"a kind that cannot be read", tension(exact(railway), crossing(audit.Back, audit.Asked{Kinds: []string{audit.UnreadableKind}, Unreadable: true})), "not assessed: a field it needs is faulty, see Faults", ""},
		{"a place that cannot be read", tension(exact(railway), crossing(audit.Back, audit.Asked{MayCross: true})), "not assessed: a field it needs is faulty, see Faults", ""},
		{"nobody says what is crossed", tension(exact(railway), func(s *audit.Subject) { s.CrossingsGiven = false }), crossings, ""},
		{"nobody says what is crossed, and it meets by each", tension(exact(railway), rated(80), func(s *audit.Subject) { s.CrossingsGiven = false }), "meets 80/75.654", ""},
	})
}

// The heaviest load is not what governs: 28.02 kN by 2 is 56.04 kN, and 20 kN every day by 4 is 80 kN (the factors of domain.md section 10,
// a practice from memory; computed).
func TestTheLargestRequiredRatingGoverns(t *testing.T) {
	judge(t, "strength", []judgement{
		{"everyday", func(s *audit.Subject) {
			s.Line.Row.MaximumTensionKN, s.Line.Row.EverydayTensionKN, s.Assembly.Unit.RatingKN = 28.02, 20, 70
			s.Criteria.LoadCases[0].Kind = "heaviest"
			s.Criteria.LoadCases = append(s.Criteria.LoadCases, audit.LoadCase{Name: "mean", Kind: "everyday", From: audit.EverydayTension, Factor: 1})
			exact(audit.ExactFactor{For: []audit.FactorOf{audit.TensionFactor}, Kinds: []string{"Everyday"}, Factor: 4, Basis: "own rule"})(s)
		}, "shortfall 70/80", "mean puts 20.0 kN on one string, which needs 80.0 kN (factor 4, own rule in cases of Everyday)"},
		{"a case that states no kind", func(s *audit.Subject) {
			s.Line.Row.MaximumTensionKN, s.Assembly.Unit.RatingKN = 28.02, 70
			exact(audit.ExactFactor{For: []audit.FactorOf{audit.TensionFactor}, Kinds: []string{"everyday"}, Factor: 4, Basis: "own rule"})(s)
		}, "not assessed: a load case states no kind, by which insulator factors go that would not judge alike", ""},
	})
	judge(t, "strength-one-string-broken", []judgement{
		{"a factor of its own", func(s *audit.Subject) {
			s.Line.Row.MaximumTensionKN, s.Assembly.Unit.RatingKN, s.Assembly.Unit.Material = 28.02, 50, "glass"
			exact(audit.ExactFactor{For: []audit.FactorOf{audit.OneStringBrokenFactor}, Materials: []string{"glass"}, Factor: 1.8}, // 50.436 kN
				audit.ExactFactor{For: []audit.FactorOf{audit.TensionFactor}, Materials: []string{"glass"}, Factor: 9})(s)
		}, "shortfall 50/50.436", "factor 1.8"},
	})
}

// A string of unlike units needs the largest of their factors.
func TestFactorOfUnlikeUnits(t *testing.T) {
	mixed := func(first, second string) func(*audit.Subject) {
		return func(s *audit.Subject) {
			a, b := *s.Assembly.Unit, *s.Assembly.Unit
			a.Material, b.Material, a.RatingKN, b.RatingKN = first, second, 70, 70
			s.Line.Row.MaximumTensionKN = 28.02
			s.Assembly.SetMakeup(&audit.Makeup{Parts: []audit.Part{{Unit: 0, Count: 8}, {Unit: 1, Count: 1}}}, []basis.Unit{a, b})
			exact(audit.ExactFactor{For: []audit.FactorOf{audit.TensionFactor}, Materials: []string{"glass"}, Factor: 1.8}, audit.ExactFactor{For: []audit.FactorOf{audit.TensionFactor}, Materials: []string{"porcelain"}, Factor: 2.7})(s)
		}
	}
	judge(t, "strength", []judgement{
		{"glass", mixed("glass", "glass"), "meets 70/50.436", ""},
		{"glass and porcelain", mixed("glass", "porcelain"), "shortfall 70/75.654", ""},
		{"porcelain and glass", mixed("porcelain", "glass"), "shortfall 70/75.654", ""},
		{"glass and one of which nobody says", mixed("glass", ""), "not assessed: material of a unit not stated, by which insulator factors go that would not judge alike", ""},
		{"porcelain and one of which nobody says", mixed("porcelain", ""), "shortfall 70/75.654", ""},
	})
}

// Of all that may hold, no verdict is given that one of them would not give: every subset of what is not known is tried.
func TestUnsureFactorsAgainstAll(t *testing.T) {
	check, level := example(t, "strength")
	names := []string{"porcelain", "glass", "toughened glass"}
	factors := []audit.ExactFactor{
		{For: []audit.FactorOf{audit.TensionFactor}, Materials: names[:1], Factor: 2.7}, {For: []audit.FactorOf{audit.TensionFactor}, Materials: names[1:], Factor: 1.8},
		{For: []audit.FactorOf{audit.TensionFactor}, Materials: names[2:], Factor: 1.5}, {For: []audit.FactorOf{audit.TensionFactor}, Cases: []string{"high wind"}, Factor: 1.7},
		{For: []audit.FactorOf{audit.TensionFactor}, Cases: []string{"high wind"}, InstalledBefore: 1985, Factor: 1.6}, {For: []audit.FactorOf{audit.TensionFactor}, InstalledFrom: 1985, Factor: 2.2},
	}
	judged := map[audit.Outcome]int{}
	for chosen := range 1 << len(factors) {
		var by []audit.ExactFactor
		for i := range factors {
			if chosen&(1<<i) != 0 {
				by = append(by, factors[i])
			}
		}
		for _, ratingKN := range []float64{40, 43, 46, 49, 52, 60, 70, 80} {
			of := func(material string, dated bool, day audit.Day) audit.Verdict {
				s := level
				unit, assembly, line := *s.Assembly.Unit, *s.Assembly, *s.Line
				criteria := *s.Criteria
				unit.Material, unit.RatingKN, line.Row.MaximumTensionKN = material, ratingKN, 28.02
				assembly.Dated, assembly.Installed = dated, day
				assembly.SetMakeup(&audit.Makeup{Parts: []audit.Part{{}}}, []basis.Unit{unit})
				s.Assembly, s.Line, s.Criteria = &assembly, &line, &criteria
				exact(slices.Clone(by)...)(&s)
				return check.Run(s, nil)
			}
			for _, day := range []audit.Day{audit.DayOf("1970-05-01"), audit.DayOf("1999-05-01"), audit.NoDay} {
				for _, material := range append(names, "") {
					v := of(material, day != audit.NoDay, day)
					judged[v.Outcome]++
					if v.Outcome == audit.NotAssessed {
						continue
					}
					materials, days := []string{material}, []audit.Day{day}
					if material == "" {
						materials = append(slices.Clone(names), "steatite")
					}
					if day == audit.NoDay {
						days = []audit.Day{audit.DayOf("1984-12-31"), audit.DayOf("1985-01-01")}
					}
					for _, m := range materials {
						for _, d := range days {
							require.Equal(t, v.Outcome, of(m, true, d).Outcome, "%v, %g kN, %q on %s: %q on %s", by, ratingKN, material, day, m, d)
						}
					}
				}
			}
		}
	}
	for _, outcome := range []audit.Outcome{audit.Meets, audit.FallsShort, audit.NotAssessed} {
		require.Greater(t, judged[outcome], 500, outcome)
	}
}

// A pin or post goes by the factors of its load cases too: 6 kN across the axis of the example's post, see TestPostsByTheirMounting.
func TestFactorsOfPosts(t *testing.T) {
	pin := func(more ...func(*audit.Subject)) func(*audit.Subject) {
		return func(s *audit.Subject) {
			_, level := example(t, "swing")
			structure := *level.Structure
			structure.DeviationDeg = 0
			s.Structure, s.Line.Row.MaximumTensionKN, s.Assembly.Duty, s.Assembly.Side = &structure, 28.02, audit.Pin, audit.NoSide
			s.Assembly.UnitsPerString, s.Assembly.Strings, s.Assembly.Arrangement, s.Assembly.Unit.Material = 1, 1, audit.Single, "porcelain"
			s.Assembly.Unit.Kind, s.Assembly.Unit.CantileverKN, s.Assembly.Unit.CompressionKN, s.Assembly.Mounting = basis.Pin, 12, 24, audit.Upright
			for _, m := range more {
				m(s)
			}
		}
	}
	bend := func(material string, factor float64) audit.ExactFactor {
		return audit.ExactFactor{For: []audit.FactorOf{audit.CantileverFactor}, Materials: []string{material}, Factor: factor}
	}
	unknown := func(s *audit.Subject) { s.Assembly.Unit.Material = "" }
	// 2.44818·2.5/12 + 4.7895·2/24 = 0.90916; 2.44818·3/12 + 0.39913 = 1.01117 (computed)
	judge(t, "strength", []judgement{
		{"the general ones", pin(), "meets 0.90916/1", ""},
		{"of porcelain", pin(exact(bend("porcelain", 3))), "shortfall 1.0112/1", "NESC 277"},
		{"material not stated", pin(exact(bend("porcelain", 3)), unknown), "not assessed: material of a unit not stated, by which insulator factors go that would not judge alike", ""},
		{"material not stated, and it meets by each", pin(exact(bend("porcelain", 2.9)), unknown), "meets 0.99077/1", ""},
		{"material not stated, and it falls short by each", pin(exact(bend("porcelain", 9), bend("glass", 3)), unknown, func(s *audit.Subject) { s.Criteria.InsulatorFactor.Cantilever = 4 }), "shortfall 1.0112/1", ""},
	})
}
