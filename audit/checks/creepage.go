package checks

import (
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

const creepageFormula = "C ≥ L;  unified: L = RUSCD·U·K_ad·K_a;  1986: L = SCD·√3·U·K_ad·K_a"

var creepageSymbols = []audit.Explained{
	{Symbol: "C", Meaning: "creepage of the string: units × creepage of a unit, or as the row states", Measure: "mm"},
	{Symbol: "L", Meaning: "creepage required", Measure: "mm"},
	{Symbol: "RUSCD, SCD", Meaning: "specific creepage of the pollution class", Measure: "mm/kV"},
	{Symbol: "U", Meaning: "phase-to-earth voltage Um/√3, or the creepage voltage of the Lines sheet", Measure: "kV"},
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
		Limits: "Alternating current above 1 kV, earthed neutral unless the Lines sheet states a creepage voltage. The string as built, by its shortest path; parallel strings do not " +
			"add creepage. Figures are those of the 2008 and 1986 editions. Equality meets.",
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
	Remedy:   "Lengthen the string, take units with a longer creepage, or confirm the class of the zone.",
	Concerns: carriesPhase,
	Judge: func(s audit.Subject, t *audit.Trace) audit.Verdict {
		v := installedAgainstSite(s, t)
		switch {
		case v.Outcome == audit.Meets && s.Assembly.HasFailed():
			return audit.DoesNotApply(audit.InsulatorFailed)
		case v.Outcome == audit.Meets:
			v = v.Because(level1986Remark(s))
		}
		return v
	},
}

// creepageInWords says what creepage a string has, and what is left of it without its defective units.
func creepageInWords(a *audit.Assembly) string {
	switch left := a.SoundCreepageMM(); {
	case a.HasFailed():
		return fmt.Sprintf("%s, which has failed by its defect, has %.0f mm of creepage as built", a.Hanging(), a.CreepageMM)
	case a.Defective > 0 && a.UnitsPerString > 0:
		return fmt.Sprintf("%s, %d of them defective, has %.0f mm of creepage as built and %.0f mm left", a.Hanging(), a.Defective, a.CreepageMM, left)
	case a.Defective > 0:
		return fmt.Sprintf("%s, %d of its units defective, has %.0f mm of creepage as built", a.Hanging(), a.Defective, a.CreepageMM)
	}
	return fmt.Sprintf("%s has %.0f mm of creepage", a.Hanging(), a.CreepageMM)
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
			"ellipsoid.",
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
	Remedy:  "Look on site which class holds; lengthen the string if it is the worse one.",
	Concerns: func(s audit.Subject) audit.Reason {
		if s.Criteria.ZoneMarginM.Known() && math.IsNaN(s.Structure.Worse.DistanceM) && s.Structure.Doubt == audit.NoReason {
			return audit.NoWorseZone
		}
		return carriesPhaseWhole(s)
	},
	Judge: func(s audit.Subject, t *audit.Trace) audit.Verdict {
		switch built := installedAgainstSite(s, nil); {
		case built.Outcome == audit.FallsShort:
			return audit.DoesNotApply(audit.AsBuiltFallsShort)
		case built.Outcome == audit.NotAssessed && s.Structure.Doubt == audit.NoReason:
			return built
		case s.Structure.Doubt != audit.NoReason:
			return audit.CannotTell(s.Structure.Doubt)
		case s.Structure.Worse.Doubt != audit.NoReason:
			return audit.CannotTell(s.Structure.Worse.Doubt)
		}
		there := *s.Structure
		there.Class, there.SpecificCreepage = there.Worse.Class, there.Worse.SpecificCreepage
		s.Structure = &there
		return atSite(s, t, basis.EditionsApart, nearCreepage)
	},
}

// nearCreepage judges the creepage of a string put into the worse zone near by.
func nearCreepage(s audit.Subject, t *audit.Trace) audit.Verdict {
	required := requiredCreepage(s, t)
	addInstalledCreepage(t, s.Assembly, audit.Observed)
	v := audit.AtLeast(s.Assembly.CreepageMM, required, "mm")
	if s.NeedsSentence(v) {
		v = v.Saying(fmt.Sprintf("%s has %.0f mm of creepage; %.0f m from here %s begins and needs %.1f mm%s.",
			s.Assembly.Hanging(), s.Assembly.CreepageMM, s.Structure.Worse.DistanceM, siteInWords(s), required, unitsThatWouldDo(s, required)))
	}
	return v
}

func carriesPhase(s audit.Subject) audit.Reason {
	if s.Assembly.Duty == audit.EarthWire || s.Assembly.Duty == audit.Guy {
		return audit.CarriesNoPhase
	}
	return audit.NoReason
}

// carriesPhaseWhole leaves out the insulators that have failed by a defect too, of which sound-units speaks.
func carriesPhaseWhole(s audit.Subject) audit.Reason {
	if reason := carriesPhase(s); reason != audit.NoReason {
		return reason
	}
	if s.Assembly.HasFailed() {
		return audit.InsulatorFailed
	}
	return audit.NoReason
}

// requiredCreepage is the creepage in mm that a string needs where it hangs.
func requiredCreepage(s audit.Subject, t *audit.Trace) float64 {
	kad := basis.DiameterFactor(s.Assembly.AverageDiameterMM())
	ka, err := basis.CreepageAltitudeFactor(s.Structure.GroundM, s.Criteria.CreepageAltitudeExponent.Value)
	switch {
	case atAnyAltitude(s):
		ka = 1
	case err != nil:
		return math.NaN()
	}
	required := basis.RequiredCreepage(s.Criteria.CreepageBasis, s.Structure.SpecificCreepage, s.Line.PhaseToEarthKV, kad, ka)
	if t.On() {
		addRequiredCreepage(t, s, kad, ka, required)
	}
	return required
}

func addRequiredCreepage(t *audit.Trace, s audit.Subject, kad, ka, required float64) {
	specific, formula, sheet := "RUSCD", "RUSCD·U·K_ad·K_a", "RUSCD*U*K_ad*K_a"
	if s.Criteria.CreepageBasis == basis.Levels1986 {
		specific, formula, sheet = "SCD", "SCD·√3·U·K_ad·K_a", "SCD*SQRT(3)*U*K_ad*K_a"
	}
	source, figure := s.Criteria.CreepageBasis.Source(), s.Criteria.CreepageSource(s.Structure.Class, s.Structure.SpecificCreepage)
	t.Add(audit.Step{Symbol: specific, Meaning: "specific creepage of class " + s.Structure.Class.String(),
		Result: audit.Figure(s.Structure.SpecificCreepage, "mm/kV"), Clause: figure})
	if math.IsNaN(s.Line.Row.CreepageKV) {
		t.Add(audit.Step{Symbol: "U", Meaning: "phase-to-earth voltage", Formula: "U_m/√3",
			Inputs: []audit.Operand{{Symbol: "U_m", Value: audit.Figure(s.Line.HighestKV, "kV")}},
			Result: audit.Figure(s.Line.PhaseToEarthKV, "kV"), Clause: source, Sheet: "U_m/SQRT(3)"})
	} else {
		t.Add(audit.Step{Symbol: "U", Meaning: "creepage voltage of the Lines sheet", Result: audit.Figure(s.Line.PhaseToEarthKV, "kV")})
	}
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
		t.Add(audit.Step{Symbol: "C", Meaning: "creepage of the string, " + a.Hanging(), Result: audit.Figure(a.CreepageMM, "mm"), Role: role})
		return
	}
	t.Add(audit.Step{Symbol: "C", Meaning: "creepage of the string", Formula: "n·c",
		Inputs: []audit.Operand{
			{Symbol: "n", Value: audit.Figure(float64(a.UnitsPerString), "")},
			{Symbol: "c", Value: audit.Figure(a.Unit.CreepageMM, "mm")},
		},
		Result: audit.Figure(a.CreepageMM, "mm"), Role: role, Clause: a.Unit.Clause, Sheet: "n*c"})
}

// siteInWords names the class, the voltage and the basis that a requirement rests on.
func siteInWords(s audit.Subject) string {
	class := "class " + s.Structure.Class.String()
	switch {
	case s.Structure.Class == basis.ClassUnknown:
		class = fmt.Sprintf("a zone of %g mm/kV", s.Structure.SpecificCreepage)
	case s.Criteria.CreepageSource(s.Structure.Class, s.Structure.SpecificCreepage) == basis.OwnFigure:
		class += fmt.Sprintf(" (%s, %g mm/kV)", basis.OwnFigure, s.Structure.SpecificCreepage)
	}
	return fmt.Sprintf("%s at Um %g kV (%s basis)", class, s.Line.HighestKV, s.Criteria.CreepageBasis)
}

// unitsThatWouldDo says how many of the units would meet the requirement, where the string is of one kind.
func unitsThatWouldDo(s audit.Subject, required float64) string {
	a := s.Assembly
	if a.CreepageStated || a.Unit == nil || len(a.Makeup.Parts) > 1 || !a.Unit.Kind.HasUnitCount() {
		return ""
	}
	return fmt.Sprintf(", %d units", basis.UnitsNeeded(required, a.Unit.CreepageMM))
}

func level1986Remark(s audit.Subject) audit.Reason {
	if s.Criteria.CreepageBasis == basis.Levels1986 && s.Structure.Class == basis.ClassA {
		return audit.NoLevelIn1986
	}
	return audit.NoReason
}
