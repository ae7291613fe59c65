package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var tensionAtUplift = audit.Check{
	ID:       "tension-at-uplift",
	Title:    "No tension assembly where the line lifts in the cold",
	Of:       audit.OfAssembly,
	BySpans:  true,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "W > 0;  W = (L1 − x1) + x2,  x = L/2 − C·asinh(h/(2C·sinh(L/2C))),  C = T/w;  σ = √((e1·g1)² + (e·(g1 + g2))² + (e2·g2)²),  g = C/√((2C·sinh(L/2C))² + h²)",
		Symbols: []audit.Explained{
			{Symbol: "W", Meaning: "weight span in the cold case, from low point to low point", Measure: "m"},
			{Symbol: "L1, L2", Meaning: "spans behind and ahead, taken as horizontal", Measure: "m"},
			{Symbol: "x", Meaning: "low point of a span from its first attachment", Measure: "m"},
			{Symbol: "h", Meaning: "height of the far attachment above the first", Measure: "m"},
			{Symbol: "T", Meaning: "cold tension of the line", Measure: "N"},
			{Symbol: "w", Meaning: "weight of the conductor", Measure: "N/m"},
			{Symbol: "σ", Meaning: "standard error of the weight span", Measure: "m"},
			{Symbol: "e1, e, e2", Meaning: "standard errors of the levels behind, here and ahead: of those from rasters accuracy_m of the entry, else terrain_accuracy_m; of others 0", Measure: "m"},
			{Symbol: "g1, g2", Meaning: "by how much the low points behind and ahead move for each metre of rise"},
		},
		Limits: "Between line ends, where ground levels, the conductor and the line's cold tension are known and both spans carry that conductor, or another whose tension a load case gives. Attachment heights are used where a " +
			"structure of a line states them, and then not assessed beside one that does not; on other lines they are taken as equal above ground. Exact catenaries; a weight span of zero is uplift. " +
			"With levels from rasters of stated accuracy it is an advisory less than 2σ below zero, and meets with a remark less than 2σ above; where that of one of them is not stated there is no σ, and the verdict says so. " +
			"Beside doubtful geometry, and where a structure may be missing, it is an advisory.",
		Example: audit.Example{
			Story: "Spans of 300 m on both sides, attachments at 120, 100 and 115 m, a cold catenary constant of 3000 m",
			Subject: func() audit.Subject {
				s := loadedAt(structureOf(audit.Tangent, 0))
				s.Structure.HeightBackM, s.Structure.HeightM, s.Structure.HeightAheadM = 120, 100, 115
				s.Line.Row.ColdTensionKN = 3 * s.Line.Conductor.WeightNPerM()
				cold, _ := s.Cold()
				s.Structure.WeightSpanColdM = cold.WeightSpanM
				return s
			},
			Outcome: audit.FallsShort, Observed: -49.64, Required: 0,
			Source: "exact catenary (computed; the parabola gives −50)",
		},
	},
	AnyCount: true,
	AnyMake:  true,
	Trusts:   append(slices.Clone(audit.Uplifted.Trusts), audit.NeedsDuty),
	Needs:    slices.Concat([]audit.Need{audit.NeedsDuty}, audit.Uplifted.Needs),
	Errs:     audit.ErrsSpans | audit.ErrsRises | audit.ErrsTension,
	Rests:    audit.RestsOnLoad | audit.RestsOnCourse,
	OfLine:   audit.ReadsPulls | audit.ReadsVoltages,
	Remedy:   "Install tension assemblies, or hold the string down with weights.",
	Concerns: concerns(&audit.Uplifted),
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		weight := s.Structure.WeightSpanColdM
		held := takesTension(s)
		if t.On() {
			if cold, reason := s.Cold(); reason == audit.NoReason {
				t.Add(audit.Step{Symbol: "load case", Result: audit.Word(cold.Case.Name)})
				addTension(t, s, cold)
				addWeightSpan(t, s, cold, "W", "weight span in the cold case", audit.Observed)
				addTerrain(t, s, cold)
			}
			duty := audit.Step{Symbol: "duty", Meaning: "as registered", Result: audit.Word(s.Assembly.Duty.String())}
			if held.Outcome != audit.FallsShort { // whatever the weight span
				t.Recast()
				duty.Role = audit.Observed
			}
			t.Add(duty)
		}
		switch held.Outcome {
		case audit.NotAssessed:
			return held
		case audit.Meets:
			return held.Because(audit.TensionStandsAnywhere)
		}
		return byRises(s, upliftOf(s, weight))
	},
}

// upliftOf judges a weight span in the cold case where no tension assembly holds it.
func upliftOf(s *audit.Subject, weight float64) audit.Verdict {
	v := audit.AtLeast(weight, 0, "m")
	v.Margin = math.NaN()
	band := terrainBand(s)
	within := math.Abs(weight) < band
	if !basis.Lifts(weight) {
		if within {
			return v.Because(audit.WithinTerrainAccuracy)
		}
		if !s.Line.AttachmentsStated {
			v = v.Because(audit.WeightSpanOfEqualHeights)
		}
		return v
	}
	v.Outcome = audit.FallsShort
	in := ""
	if within {
		v = v.As(audit.Advisory).Because(audit.WithinTerrainAccuracy)
		in = fmt.Sprintf(" (within the accuracy of ground levels from rasters: 2σ = %.1f m)", band)
	}
	v, in = besideDoubt(s, v), in+doubtInWords(s)
	return v.Saying(fmt.Sprintf("%s where the line lifts: the weight span is %.1f m in the cold case%s.", assemblyInWords(s), weight, in))
}

// terrainBand is two standard errors of the weight span in the cold case, in metres, 0 where nothing tells them.
func terrainBand(s *audit.Subject) float64 {
	if _, any := s.TerrainErrors(); !any {
		return 0
	}
	cold, reason := s.Cold()
	if reason != audit.NoReason {
		return 0
	}
	return basis.SurveyBandSigmas * s.WeightSpanSigmaM(cold.ConstantM)
}

// besideTerrain judges by what rests on ground levels from rasters of stated accuracy: where two standard errors more or less of it make
// another outcome, a shortfall is an advisory, and what meets says so.
func besideTerrain(s *audit.Subject, t *audit.Trace, judge func(*audit.Subject, *audit.Trace) audit.Verdict) audit.Verdict {
	v := judge(s, t)
	if _, any := s.TerrainErrors(); !any || v.Outcome != audit.Meets && v.Outcome != audit.FallsShort {
		return v
	}
	same := func(sigmas int8) bool {
		shifted := s.OffLevels(sigmas)
		shifted.Trial = true
		outcome := judge(shifted, nil).Outcome
		return outcome == v.Outcome || outcome == audit.NotApplicable && v.Outcome == audit.FallsShort // which another check then tells
	}
	if same(-basis.SurveyBandSigmas) && same(basis.SurveyBandSigmas) {
		return v
	}
	if v = v.Because(audit.OutcomeWithinTerrainAccuracy); v.Outcome == audit.FallsShort {
		v = v.As(audit.Advisory)
		if s.NeedsSentence(v) {
			v = v.Saying(strings.TrimSuffix(v.Sentence, ".") + "; within the accuracy of ground levels from rasters.")
		}
	}
	return v
}

// byRises says of a verdict by the rise of spans what is taken for granted of their levels.
func byRises(s *audit.Subject, v audit.Verdict) audit.Verdict {
	if v.Outcome != audit.Meets && v.Outcome != audit.FallsShort {
		return v
	}
	tension := s.Assembly.Duty == audit.Tension
	taken := s.Taken(!tension || s.Assembly.Side != audit.Ahead, !tension || s.Assembly.Side != audit.Back)
	if taken == 0 {
		return v
	}
	v = v.Because(v.Reason.Taking(taken))
	if s.NeedsSentence(v) {
		v = v.Saying(strings.TrimSuffix(v.Sentence, ".") + "; " + taken.String() + ".")
	}
	return v
}

// terrainLimits is what the checks that besideTerrain judges say of it.
const terrainLimits = " With levels from rasters of stated accuracy a shortfall that 2σ more or less of weight span would lift is an advisory, and what would fall short by that meets with a remark, σ as for tension-at-uplift, and of the rise of a span that a tension assembly " +
	"holds √(e1² + e²) or √(e² + e2²), where the accuracy of each is stated, else the verdict says that it is not; what the levels change in a calculated tension, or in the horizontal tension of a stated pull, is not in it."

// altitudeLimits is what the checks that besideTerrain judges by altitude say of it.
const altitudeLimits = " Where the level is from a raster of stated accuracy a shortfall that 2σ lower would lift is an advisory, and what would fall short 2σ higher meets with a remark."

// addTerrain shows the standard error of the weight span as a step.
func addTerrain(t *audit.Trace, s *audit.Subject, cold audit.Load) {
	e, any := s.TerrainErrors()
	if !any || math.IsNaN(e[0]+e[1]+e[2]) {
		return
	}
	back, ahead := s.Structure.LowPointSlopes(cold.ConstantM)
	t.Add(audit.Step{Symbol: "σ", Meaning: "standard error of the weight span", Formula: "√((e1·g1)² + (e·(g1 + g2))² + (e2·g2)²)",
		Inputs: []audit.Operand{figure("e1", e[0], "m"), figure("e", e[1], "m"), figure("e2", e[2], "m"), figure("g1", back, ""), figure("g2", ahead, "")},
		Result: audit.Figure(basis.WeightSpanSigma(e[0], e[1], e[2], back, ahead), "m"), Clause: basis.Arithmetic,
		Sheet: "SQRT((e1*g1)^2+(e*(g1+g2))^2+(e2*g2)^2)"})
}

var tensionAtChange = audit.Check{
	ID:       "tension-at-change",
	Title:    "No tension assembly where conductor, phases or tension change",
	Of:       audit.OfAssembly,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "duty = tension",
		Symbols: []audit.Explained{{Symbol: "duty", Meaning: "what the assembly is there to do"}},
		Limits: "Structures where the properties conductor_ahead and subconductors_ahead name another conductor or bundle than the span behind carries, a declared transposition, and the structure next to a declared gantry, whose slack " +
			"span has a tension of its own. A one-sided pull is a matter of statics.",
		Example: audit.Example{
			Story: "A suspension assembly where the conductor changes",
			Subject: func() audit.Subject {
				structure := structureOf(audit.Tangent, 0)
				structure.Changes = "the conductor changes from Wolf to Lynx"
				return suspensionAt(structure)
			},
			Outcome: audit.FallsShort, Observed: math.NaN(), Required: math.NaN(),
			Source: "common practice",
		},
	},
	AnyCount: true,
	AnyMake:  true,
	Trusts:   append(slices.Clone(audit.SomethingChanges.Trusts), audit.NeedsDuty),
	Needs:    slices.Concat([]audit.Need{audit.NeedsDuty}, audit.SomethingChanges.Needs),
	Rests:    audit.RestsOnCourse,
	OfLine:   audit.ReadsPulls | audit.ReadsVoltages,
	Remedy:   "Install tension assemblies on both sides, or correct what the GIS declares.",
	Concerns: concerns(&audit.SomethingChanges),
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		v := takesTension(s)
		addDuty(t, s, s.Structure.Changes, basis.CommonPractice)
		return v.Saying(inWords(s, v, "where "+s.Structure.Changes))
	},
}

var sectionLength = audit.Check{
	ID:       "section-length",
	Title:    "Section between tension structures too long",
	Of:       audit.OfSection,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.OwnFigure, basis.CommonPractice},
	Method: audit.Method{
		Formula: "S ≤ S_lim",
		Symbols: []audit.Explained{
			{Symbol: "S", Meaning: "length of the section between two structures that hold every phase of the circuit in tension on both sides, or a line end", Measure: "km"},
			{Symbol: "S_lim", Meaning: "section limit of the Lines sheet", Measure: "km"},
		},
		Limits: "Lines that state a section limit; practice ranges from 3 to 10 km. Sections end at line ends and cable gaps too. Each circuit is judged where their sections differ. What would be too " +
			"long but for a structure of which the register does not tell whether it holds the conductor is not assessed.",
		Example: audit.Example{
			Story: "A section of 6.2 km on a line that states 5 km",
			Subject: func() audit.Subject {
				s := subjectAt(structureOf(audit.Tangent, 0), lineAt(145))
				s.Structure = nil
				s.Line.Row.SectionLimitKM = 5
				s.Section = &audit.Section{LengthM: 6200, Spans: 20, RulingM: 312}
				return s
			},
			Outcome: audit.FallsShort, Observed: 6.2, Required: 5,
			Source: "common practice",
		},
	},
	AskedBy: []audit.Need{audit.NeedsSectionLimit},
	Trusts:  []audit.Need{audit.NeedsCourse},
	Rests:   audit.RestsOnCourse | audit.RestsOnSection,
	OfLine:  audit.ReadsLimits,
	Remedy:  "Turn a suspension structure of the section into a tension structure.",
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		length, limit := s.Section.LengthM/1000, s.Line.Row.SectionLimitKM
		if t.On() {
			t.Add(audit.Step{Symbol: "S", Meaning: fmt.Sprintf("length of %d spans", s.Section.Spans), Result: audit.Figure(length, "km"), Role: audit.Observed, Clause: basis.Arithmetic})
			t.Add(audit.Step{Symbol: "S_lim", Meaning: "section limit of the Lines sheet", Result: audit.Figure(limit, "km"), Role: audit.Required, Clause: s.Line.Row.SourceOf("Section limit")})
		}
		v := audit.AtMost(length, limit, "km")
		if v.Outcome == audit.FallsShort && s.Section.Unsure != audit.NoReason && audit.AtMost(s.Section.SurelyM/1000, limit, "km").Outcome == audit.Meets {
			return audit.CannotTell(s.Section.Unsure)
		}
		if s.NeedsSentence(v) {
			of := ""
			if s.Section.Circuit != 0 {
				of = "Circuit " + s.Name(s.Section.Circuit) + " has "
			}
			v = v.Saying(of + fmt.Sprintf("%d spans and %.2f km without a tension structure; the line states %g km.", s.Section.Spans, length, limit))
		}
		return v
	},
}

var declaredDuty = audit.Check{
	ID:       "declared-duty",
	Title:    "Duty declared in the GIS differs from the register",
	Of:       audit.OfStructure,
	Severity: audit.Advisory,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "duty registered = duty declared",
		Symbols: []audit.Explained{
			{Symbol: "duty declared", Meaning: "property duty of the structure"},
			{Symbol: "duty registered", Meaning: "of the assemblies that carry a phase conductor; pin, post and shackle assemblies count as suspension"},
		},
		Limits: "Structures that declare a duty and have assemblies registered. One of two sources is wrong; neither is taken to be the better one.",
		Example: audit.Example{
			Story: "Declared as tension, three suspension assemblies registered",
			Subject: func() audit.Subject {
				s := suspensionAt(structureOf(audit.Angle, 12))
				s.Assembly = nil
				s.Structure.Declared = audit.Tension
				s.Registered.Rows, s.Registered.CarryPhase = 3, 3
				s.Registered.Duties[audit.Suspension] = 3
				return s
			},
			Outcome: audit.FallsShort, Observed: math.NaN(), Required: math.NaN(),
			Source: "common practice",
		},
	},
	Trusts: []audit.Need{audit.NeedsDeclared},
	Rests:  audit.RestsOnCourse,
	OfLine: audit.ReadsNoFigure,
	Remedy: "Look which is right, and correct the GIS or the register.",
	Concerns: func(s *audit.Subject) audit.Reason {
		if s.Structure.Declared == audit.DutyUnknown {
			return audit.NoneDeclared
		}
		return audit.NoReason
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		d := s.Registered.Duties
		hanging := d[audit.Suspension] + d[audit.Pin] + d[audit.Post] + d[audit.Shackle]
		registered, fits := audit.Tension.String(), s.Structure.Declared == audit.Tension
		switch {
		case hanging+d[audit.Tension] == 0:
			return audit.CannotTell(audit.NothingRegisteredHere)
		case hanging > 0 && d[audit.Tension] > 0:
			registered, fits = "both", false
		case hanging > 0:
			registered, fits = audit.Suspension.String(), s.Structure.Declared == audit.Suspension
		}
		if t.On() {
			t.Add(audit.Step{Symbol: "duty declared", Result: audit.Word(s.Structure.Declared.String()), Role: audit.Required})
			t.Add(audit.Step{Symbol: "duty registered", Result: audit.Word(registered), Role: audit.Observed})
		}
		v := audit.IsWord(fits, registered, s.Structure.Declared.String())
		if s.NeedsSentence(v) {
			v = v.Saying(fmt.Sprintf("The GIS declares %s, the register has %s.", s.Structure.Declared, registeredInWords(hanging, d[audit.Tension])))
		}
		return v
	},
}

func registeredInWords(suspension, tension int32) string {
	switch {
	case tension == 0:
		return fmt.Sprintf("%d suspension rows", suspension)
	case suspension == 0:
		return fmt.Sprintf("%d tension rows", tension)
	}
	return fmt.Sprintf("%d suspension and %d tension rows", suspension, tension)
}
