package checks

import (
	"fmt"
	"math"
	"strconv"

	"dryarc/audit"
	"dryarc/audit/basis"
)

const creepageFormula = "C ≥ L;  unified: L = RUSCD·U·K_ad·K_a;  1986: L = SCD·√3·U·K_ad·K_a;  direct current: L = USCD·U·K_a"

var creepageSymbols = []audit.Explained{
	{Symbol: "C", Meaning: "creepage of the string: units × creepage of a unit, or as the row states", Measure: "mm"},
	{Symbol: "L", Meaning: "creepage required", Measure: "mm"},
	{Symbol: "RUSCD, SCD, USCD", Meaning: "specific creepage of the pollution class; of direct current the project's own figure", Measure: "mm/kV"},
	{Symbol: "U", Meaning: "phase-to-earth voltage Um/√3, or the creepage voltage of the Lines sheet; Um where the neutral is not earthed and the project says so; the highest voltage to earth of a railway; of direct current that from pole to earth", Measure: "kV"},
	{Symbol: "K_ad", Meaning: "diameter factor, by average diameter; 1 where none is stated"},
	{Symbol: "K_a", Meaning: "altitude factor, 1 unless the criteria set an exponent, and never below 1"},
}

var creepageNeeds = []audit.Need{
	audit.NeedsDuty, audit.NeedsPhaseToEarth, audit.NeedsLeastSpecificCreepage, audit.NeedsLeastCreepageAltitude, audit.NeedsCreepage, audit.NeedsAverageDiameter,
}

var creepage = audit.Check{
	ID:       "creepage",
	Title:    "Creepage of the string too short for the pollution class",
	Of:       audit.OfAssembly,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.SpecificCreepageUnified, basis.SpecificCreepageLevels, basis.DiameterFactorSource},
	Method: audit.Method{
		Formula: creepageFormula,
		Symbols: creepageSymbols,
		Limits: "Above 1 kV, of direct current above 1.5 kV, earthed neutral unless the Lines sheet states a creepage voltage or the criterion creepage_voltage what stands along strings. Of railways the whole voltage to earth. Direct current by the project's own figures (direct_current_creepage), with units below 300 mm on average. The string as built, by its shortest path; parallel strings do not " +
			"add creepage. Figures are those of the 2008 and 1986 editions. Equality meets." + altitudeLimits,
		Example: audit.Example{
			Story:   "15 units of 525 mm on a 220 kV line, Um 245 kV, class e",
			Subject: func() audit.Subject { return stringIn(basis.ClassE, 245, 15, 525, 0) },
			Outcome: audit.Meets, Observed: 7875, Required: 7595.9,
			Source: "Fotovoltaico Elena environmental study, annex 6, 2016 (published: at least 7595 mm, 15 units in suspension)",
		},
	},
	Trusts:   []audit.Need{audit.NeedsDuty},
	Needs:    append([]audit.Need{audit.NeedsSoundInsulator}, creepageNeeds...),
	Sizes:    true,
	Headroom: true,
	Drives:   []audit.Quantity{audit.DriveVoltage, audit.DriveSpecificCreepage, audit.DriveAltitude},
	Reads:    audit.ReadsZone | audit.ReadsAltitude,
	Errs:     audit.ErrsZone | audit.ErrsCreepageAltitude,
	Rests:    audit.RestsOnCreepage,
	OfLine:   audit.ReadsVoltages,
	Remedy:   "Lengthen the string, take units with a longer creepage, or confirm the class of the zone.",
	Concerns: carriesPhase,
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		v := besideTerrain(s, t, installedAgainstSite)
		switch {
		case v.Outcome == audit.Meets && s.Assembly.HasFailed():
			return audit.DoesNotApply(audit.InsulatorFailed)
		case v.Outcome == audit.Meets && v.Reason == audit.NoReason:
			v = v.Because(level1986Remark(s))
		}
		return v
	},
}

// creepageInWords says what creepage a string has, and what is left of it without its defective units.
func creepageInWords(a *audit.Assembly, builtMM string) string {
	switch left := a.SoundCreepageMM(); {
	case a.HasFailed():
		return fmt.Sprintf("%s, which has failed by its defect, has %s mm of creepage as built", a.Hanging(), builtMM)
	case a.Defective > 0 && a.UnitsPerString > 0 && !math.IsNaN(left):
		return fmt.Sprintf("%s, %d of them defective, has %s mm of creepage as built and %.0f mm left", a.Hanging(), a.Defective, builtMM, left)
	case a.Defective > 0:
		return fmt.Sprintf("%s, %d of its units defective, has %s mm of creepage as built", a.Hanging(), a.Defective, builtMM)
	}
	return fmt.Sprintf("%s has %s mm of creepage", a.Hanging(), builtMM)
}

// apart writes two figures so that the one which is less also reads as less: to some decimals, more where they round to the same or
// the other way round, or where the margin that follows from them would not be that of the verdict to 0.1 %. A whole first figure has none.
func apart(a, b float64, decimals int) (textA, textB string) {
	const enough = 3 // decimals for the sake of the margin
	write := func(v float64, digits int) string { return strconv.FormatFloat(v, 'f', digits, 64) }
	tenths := func(a, b float64) float64 { return math.Round(1000 * (a - b) / b) }
	for ; decimals < 9; decimals++ {
		scale := math.Pow10(decimals)
		roundA, roundB := math.Round(a*scale), math.Round(b*scale)
		if roundA != roundB && (decimals >= enough || b == 0 || tenths(roundA, roundB) == tenths(a, b)) {
			break
		}
	}
	textA, textB = write(a, decimals), write(b, decimals)
	if a == math.Trunc(a) {
		textA = write(a, 0)
	}
	return textA, textB
}

var nearWorseZone = audit.Check{
	ID:       "near-worse-zone",
	Title:    "Creepage too short for a worse zone near by",
	Of:       audit.OfAssembly,
	Severity: audit.Advisory,
	Basis:    []basis.Clause{basis.CommonPractice, basis.SpecificCreepageUnified, basis.SpecificCreepageLevels},
	Method: audit.Method{
		Formula: creepageFormula + ", of the worse zone",
		Symbols: creepageSymbols,
		Limits: "Structures nearer to a worse zone than the criterion zone_margin_m, whose string meets where it stands: the edges of zones are soft. The distance is that to the zone's border, on the " +
			"ellipsoid." + altitudeLimits,
		Example: audit.Example{
			Story: "14 units of 295 mm at Um 145 kV in class d, 150 m from a zone of class e",
			Subject: func() audit.Subject {
				s := stringIn(basis.ClassD, 145, 14, 295, 0)
				s.Criteria.ZoneMarginM = audit.Stated(200)
				s.Structure.Worse = audit.WorseZone{Class: basis.ClassE, SpecificCreepage: s.Criteria.SpecificCreepage(basis.ClassE), DistanceM: 150}
				return s
			},
			Outcome: audit.FallsShort, Observed: 4130, Required: 4495.5,
			Source: "IEC TS 60815-1:2008 figures, 4495.5 mm (computed)",
		},
	},
	AskedBy: []audit.Need{audit.AsksZoneMargin},
	Trusts:  []audit.Need{audit.NeedsDuty},
	Needs:   append([]audit.Need{audit.NeedsSoundInsulator}, creepageNeeds...),
	Errs:    audit.ErrsCreepageAltitude,
	Rests:   audit.RestsOnCreepage,
	OfLine:  audit.ReadsVoltages,
	Remedy:  "Look on site which class holds; lengthen the string if it is the worse one.",
	Concerns: func(s *audit.Subject) audit.Reason {
		if s.Criteria.ZoneMarginM.Known() && math.IsNaN(s.Structure.Worse.DistanceM) && s.Structure.Doubt == audit.NoReason {
			return audit.NoWorseZone
		}
		return carriesPhaseWhole(s)
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict { return besideTerrain(s, t, judgeNearWorse) },
}

func judgeNearWorse(s *audit.Subject, t *audit.Trace) audit.Verdict {
	switch built := installedAgainstSite(s, nil); {
	case built.Outcome == audit.FallsShort:
		return audit.DoesNotApply(audit.AsBuiltFallsShort)
	case built.Outcome == audit.NotAssessed && s.Structure.Doubt == audit.NoReason:
		return built
	case s.Structure.Doubt != audit.NoReason:
		return audit.CannotTell(s.Structure.Doubt)
	case s.Structure.Worse.Doubt != audit.NoReason:
		return audit.CannotTell(s.Structure.Worse.Doubt)
	case s.GoesByPole() && s.Structure.Worse.Class == basis.ClassUnknown:
		return audit.CannotTell(audit.ZoneOfAlternating)
	case s.GoesByPole() && math.IsNaN(s.Structure.Worse.SpecificCreepage):
		return audit.CannotTell(audit.NoDirectCreepage)
	}
	there := *s.Structure
	there.Class, there.SpecificCreepage, there.StatedBase = there.Worse.Class, there.Worse.SpecificCreepage, there.Worse.StatedBase
	inside := *s
	inside.Structure = &there
	return atSite(&inside, t, basis.EditionsApart, nearCreepage)
}

// nearCreepage judges the creepage of a string put into the worse zone near by.
func nearCreepage(s *audit.Subject, t *audit.Trace) audit.Verdict {
	required := requiredCreepage(s, t)
	addInstalledCreepage(t, s.Assembly, audit.Observed)
	v := audit.AtLeast(s.Assembly.CreepageMM, required, "mm")
	if s.NeedsSentence(v) {
		has, needs := apart(s.Assembly.CreepageMM, required, 1)
		v = v.Saying(fmt.Sprintf("%s has %s mm of creepage; %.0f m from here %s begins and needs %s mm%s.",
			s.Assembly.Hanging(), has, s.Structure.Worse.DistanceM, siteInWords(s), needs, unitsThatWouldDo(s, required)))
	}
	return v
}

func carriesPhase(s *audit.Subject) audit.Reason {
	if s.Assembly.Duty == audit.EarthWire || s.Assembly.Duty == audit.Guy {
		return audit.CarriesNoPhase
	}
	return audit.NoReason
}

// carriesPhaseWhole leaves out the insulators that have failed by a defect too, of which sound-units speaks.
func carriesPhaseWhole(s *audit.Subject) audit.Reason {
	if reason := carriesPhase(s); reason != audit.NoReason {
		return reason
	}
	if s.Assembly.HasFailed() {
		return audit.InsulatorFailed
	}
	return audit.NoReason
}

// requiredCreepage is the creepage in mm that a string needs where it hangs.
func requiredCreepage(s *audit.Subject, t *audit.Trace) float64 {
	kad := basis.DiameterFactor(s.Assembly.AverageDiameterMM())
	ka, err := basis.CreepageAltitudeFactor(s.Structure.GroundM, s.Criteria.CreepageAltitudeExponent.Value)
	switch {
	case atAnyAltitude(s):
		ka = 1
	case err != nil:
		return math.NaN()
	}
	required := s.CreepageNeeded(s.Structure.SpecificCreepage, kad, ka)
	if t.On() {
		addRequiredCreepage(t, s, kad, ka, required)
	}
	return required
}

func addRequiredCreepage(t *audit.Trace, s *audit.Subject, kad, ka, required float64) {
	specific, formula, sheet := "RUSCD", "RUSCD·U·K_ad·K_a", "RUSCD*U*K_ad*K_a"
	switch {
	case s.GoesByPole():
		specific, formula, sheet = "USCD", "USCD·U·K_ad·K_a", "USCD*U*K_ad*K_a"
	case s.Criteria.CreepageBasis == basis.Levels1986:
		specific, formula, sheet = "SCD", "SCD·√3·U·K_ad·K_a", "SCD*SQRT(3)*U*K_ad*K_a"
	}
	figure := s.CreepageSource()
	meaning := "specific creepage of class " + s.Structure.Class.String()
	if s.Structure.Class == basis.ClassUnknown {
		meaning = "specific creepage that the zone states"
	}
	if figure == basis.OwnFigure {
		meaning += ", " + s.CreepageInWords()
	}
	t.Add(audit.Step{Symbol: specific, Meaning: meaning, Result: audit.Figure(s.Structure.SpecificCreepage, "mm/kV"), Clause: figure})
	addAlong(t, s)
	t.Add(audit.Step{Symbol: "K_ad", Meaning: "diameter factor", Result: audit.Figure(kad, ""), Clause: basis.DiameterFactorSource})
	if exponent := s.Criteria.CreepageAltitudeExponent.Value; exponent != 0 && atAnyAltitude(s) {
		t.Add(audit.Step{Symbol: "K_a", Meaning: "altitude factor, the least there is at any altitude: the ground level is not known", Result: audit.Figure(ka, "")})
	} else if exponent != 0 {
		words, sheet := altitudeFormula(basis.SeaLevel)
		t.Add(audit.Step{Symbol: "K_a", Meaning: "altitude factor, not below 1", Formula: words,
			Inputs: []audit.Operand{
				{Symbol: "m", Value: audit.Figure(exponent, "")},
				{Symbol: "H", Value: audit.Figure(s.Structure.GroundM, "m")},
			},
			Result: audit.Figure(ka, ""), Clause: s.Criteria.CreepageAltitudeExponent.ClauseOr(basis.CreepageAltitudeSource), Sheet: sheet})
	} else {
		t.Add(audit.Step{Symbol: "K_a", Meaning: "altitude factor, off in the criteria", Result: audit.Figure(ka, "")})
	}
	t.Add(audit.Step{Symbol: "L", Meaning: "creepage required", Formula: formula,
		Inputs: []audit.Operand{
			{Symbol: specific, Value: audit.Figure(s.Structure.SpecificCreepage, "mm/kV")},
			{Symbol: "U", Value: audit.Figure(s.Line.PhaseToEarthKV, "kV")},
			{Symbol: "K_ad", Value: audit.Figure(kad, "")},
			{Symbol: "K_a", Value: audit.Figure(ka, "")},
		},
		Result: audit.Figure(required, "mm"), Role: audit.Required, Clause: figure, Sheet: sheet})
}

func addInstalledCreepage(t *audit.Trace, a *audit.Assembly, role audit.StepRole) {
	if !t.On() {
		return
	}
	if a.CreepageStated || len(a.Makeup.Parts) > 1 {
		t.Add(audit.Step{Symbol: "C", Meaning: "creepage of the string, " + a.Hanging(), Result: audit.Figure(a.CreepageMM, "mm"), Role: role, Clause: creepageSource(a)})
		return
	}
	t.Add(audit.Step{Symbol: "C", Meaning: "creepage of the string", Formula: "n·c",
		Inputs: []audit.Operand{
			{Symbol: "n", Value: audit.Figure(float64(a.UnitsPerString), "")},
			{Symbol: "c", Value: audit.Figure(a.Unit.CreepageMM, "mm")},
		},
		Result: audit.Figure(a.CreepageMM, "mm"), Role: role, Clause: creepageSource(a), Sheet: "n*c"})
}

// creepageSource is where the creepage of a string comes from: its row, else its units.
func creepageSource(a *audit.Assembly) basis.Clause {
	if a.CreepageStated {
		return basis.OwnFigure
	}
	return alikeSource(a, func(u *basis.Unit) (basis.Clause, bool) { return u.CreepageSource(), true })
}

// addAlong shows the voltage along the string.
func addAlong(t *audit.Trace, s *audit.Subject) {
	step := audit.Step{Symbol: "U", Meaning: "phase-to-earth voltage", Result: audit.Figure(s.Line.PhaseToEarthKV, "kV"), Clause: basis.Arithmetic,
		Formula: "U_m/√3", Sheet: "U_m/SQRT(3)", Inputs: []audit.Operand{{Symbol: "U_m", Value: audit.Figure(s.Line.HighestKV, "kV")}}}
	chosen := !s.Line.Row.System.IsRailway() && s.Line.Row.System != audit.Earthed && s.Line.Row.System != audit.SystemUnknown
	if chosen {
		step.Clause = basis.OwnFigure
	}
	switch {
	case !math.IsNaN(s.Line.Row.CreepageKV):
		meaning := "creepage voltage of the Lines sheet"
		if s.Line.Row.System.IsDirect() {
			meaning = "pole-to-earth voltage, the " + meaning
		}
		t.Add(audit.Step{Symbol: "U", Meaning: meaning, Result: step.Result, Clause: s.Line.Row.SourceOf("Creepage voltage")})
		return
	case s.Line.Along == audit.AlongWhole:
		step.Formula, step.Sheet = "U_m", "U_m"
		step.Meaning = "voltage of a sound phase to earth during an earth fault, which the project has along strings"
		if !chosen {
			step.Meaning = "voltage of the railway to earth"
		}
	case chosen:
		step.Meaning = "phase-to-earth voltage, which the project has along strings where the neutral is " + s.Line.Row.System.String() + "; earth faults: " + s.Criteria.CreepageVoltage.EarthFaults
	}
	t.Add(highestVoltage(s))
	t.Add(step)
}

// highestVoltage is Um, as stated or as the table of the criteria has it for the nominal voltage.
func highestVoltage(s *audit.Subject) audit.Step {
	step := audit.Step{Symbol: "U_m", Meaning: "highest voltage for equipment, as stated", Result: audit.Figure(s.Line.HighestKV, "kV"), Clause: s.Line.Row.SourceOf("Highest voltage")}
	if s.Line.HighestAssumed {
		step.Meaning, step.Clause = "highest voltage for equipment, of the nominal voltage", s.Criteria.Voltages.Source()
	}
	if s.Line.Row.System.IsRailway() {
		step.Meaning = "highest permanent voltage of the railway, as stated"
		if s.Line.HighestAssumed {
			step.Meaning, step.Clause = "highest permanent voltage of the railway, of the nominal voltage", basis.RailwayVoltageSource
		}
	}
	return step
}

// siteInWords names the class, the voltage and the basis that a requirement rests on.
func siteInWords(s *audit.Subject) string {
	class := "class " + s.Structure.Class.String()
	switch {
	case s.Structure.Class == basis.ClassUnknown:
		class = "a zone of " + s.CreepageInWords()
	case s.CreepageSource() == basis.OwnFigure:
		class += fmt.Sprintf(" (%s, %s)", basis.OwnFigure, s.CreepageInWords())
	}
	if s.GoesByPole() {
		return fmt.Sprintf("%s at %g kV of direct current from pole to earth", class, s.Line.PhaseToEarthKV)
	}
	voltage := fmt.Sprintf("Um %g kV", s.Line.HighestKV)
	switch {
	case !math.IsNaN(s.Line.Row.CreepageKV):
		voltage = fmt.Sprintf("a creepage voltage of %g kV", s.Line.Row.CreepageKV)
	case s.Line.Row.System.IsRailway():
		voltage = fmt.Sprintf("%g kV of a railway to earth", s.Line.HighestKV)
	case s.Line.Along == audit.AlongWhole:
		voltage += " along the string, since the neutral is " + s.Line.Row.System.String()
	}
	return fmt.Sprintf("%s at %s (%s basis)", class, voltage, s.Criteria.CreepageBasis)
}

// unitsThatWouldDo says how many of the units would meet the requirement, where the string is of one kind.
func unitsThatWouldDo(s *audit.Subject, required float64) string {
	a := s.Assembly
	if a.CreepageStated || a.Unit == nil || len(a.Makeup.Parts) > 1 || !a.Unit.Kind.HasUnitCount() {
		return ""
	}
	return fmt.Sprintf(", %d units", basis.UnitsNeeded(required, a.Unit.CreepageMM))
}

func level1986Remark(s *audit.Subject) audit.Reason {
	if s.Criteria.CreepageBasis == basis.Levels1986 && s.Structure.Class == basis.ClassA && !s.GoesByPole() {
		return audit.NoLevelIn1986
	}
	return audit.NoReason
}
