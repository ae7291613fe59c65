package checks

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var strengthSymbols = []audit.Explained{
	{Symbol: "R", Meaning: "rating of one string: the row's, else that of its weakest unit; of shackle insulators the cantilever rating", Measure: "kN"},
	{Symbol: "F", Meaning: "load on one string in the load case that asks for most, with the case's load factor", Measure: "kN"},
	{Symbol: "γ", Meaning: "insulator factor of the criteria"},
	{Symbol: "T", Meaning: "horizontal tension of one subconductor in the load case", Measure: "kN"},
	{Symbol: "T_s", Meaning: "tension where the span is attached, T·cosh(x/C): x from its low point, C = T/w", Measure: "kN"},
	{Symbol: "m", Meaning: "subconductors of a phase"},
	{Symbol: "s", Meaning: "parallel strings that carry"},
	{Symbol: "V", Meaning: "weight of the conductor on the weight span", Measure: "N"},
	{Symbol: "w_i", Meaning: "weight of one string; left out where its units state none", Measure: "N"},
	{Symbol: "H", Meaning: "wind on the wind span and pull of the turn, 2·T·sin(δ/2)", Measure: "N"},
	{Symbol: "U", Meaning: "how much of the strength of a pin or post its loads use: each load times its factor over its strength, by the rule for combined loads"},
	{Symbol: "F_t, F_v, F_l", Meaning: "loads on a pin or post across the line, down, and along it; F_l is 0 where the conductor goes on", Measure: "kN"},
	{Symbol: "F_w, F_d", Meaning: "own weight of a pin or post, horizontal half of it, where its unit states it; push on the foot of one that is upright, F_v + F_w", Measure: "kN"},
	{Symbol: "F_b", Meaning: "load that bends a pin or post", Measure: "kN"},
	{Symbol: "S_b, S_c, S_t", Meaning: "cantilever rating, compression rating, and rating for a pull along the axis", Measure: "kN"},
}

const postLimits = " Pins and posts: U = F_b·γ_b/S_b + F·γ_c/S_c ≤ 1 for a push F along the axis, or F·γ_t/S_t for a pull; upright F_b = √(F_t² + F_l²) and the push is F_v, a pull where it lifts; horizontal F_b = √(F_v² + F_l²), and F_t pushes " +
	"or pulls, whichever is worse, since the side on which it stands is not known. The own weight, where the unit states it, adds to the push of one that is upright, and half of it to F_v of one that is horizontal. The rule for combined loads is the criterion combined_loads: the sum, unless the project states that each is looked at alone. A post whose mounting " +
	"is not stated meets or falls short only where it does both upright and horizontal; pins are upright where nobody says otherwise (common practice). What is loaded without a stated strength or factor is not assessed, unless the " +
	"loads that are known are too much by themselves. Where several stand side by side each is judged as if it bore the whole load. What bends a stack is held against the cantilever rating of its weakest post, of which it bears no more: beyond that it falls short, and else it is not assessed."

const defectLimits = "A long rod or composite with any defect has failed; a string with defective discs has the residual strength that the criteria state; without, it falls short where its whole rating is too small, and is not assessed otherwise."

const strengthLimits = "The weight is w times the weight span, as the trade has it; along the arc of the conductor it is up to 2 % more where spans of 300 to 600 m rise by a tenth of their length, 5 % by three tenths and 13 % by a half (computed), which is left out. Loads follow the load cases of the criteria, the conductor and bundle of the spans, the line's tensions, and ground levels; without one of them not assessed. A span with another conductor than the line's " +
	"has the tension that a load case gives in kN or as a share of its strength, and no other; what hangs between unlike spans is not assessed. A tension assembly is judged by the span on its side. It bears the horizontal tension where the line has no ground level at all, and the stated one where the criterion stated_tension says that it is the pull; where just the " +
	"heights of its span are missing it falls short by the horizontal tension alone or is not assessed. Where one load case, or one side of an assembly of both, is not known, a string falls short by those that are, which then ask for that at least, or is not assessed. Where the number of subconductors is blank it is one below 300 kV, and not assessed from there up. Beside doubtful geometry, and where a structure may be missing, what loads by the spans is an advisory. Parallel strings share equally unless the criteria state " +
	"unequal_sharing. A V set of suspension resolves into its legs by their angle: half the weight of the strings hangs on their lower end, and half of its own on the top unit of each; a tension assembly that is said to be V is not assessed. The pull of a span is that of its upright plane: the wind across it, p·d·L/2 at each end, is not in it, and adds some (p·d·L)²/(8·T²) of the pull (0.1 % at 28 kN, 400 Pa, 300 m and 21 mm, and four times that at twice the span; computed). A calculated tension is that of the conductor blown out, by its weight and the wind together. The factor and its document are the criteria's; nothing is a default. A tension assembly of both sides, or of a side that nobody states, is judged with the larger pull of the two. Spans to a declared gantry are slack and not assessed. " +
	defectLimits + terrainLimits

var strength = audit.Check{
	ID:       "strength",
	Title:    "String or insulator too weak for its load",
	Of:       audit.OfAssembly,
	BySpans:  true,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.SwingSource, basis.ChangeOfStateSource, basis.FactorSource},
	Method: audit.Method{
		Formula: "R ≥ F·γ;  tension: F = T_s·m/s;  suspension: F = √((V/s + w_i)² + (H/s)²);  pins and posts: U ≤ 1",
		Symbols: strengthSymbols,
		Limits: strengthLimits + postLimits + " Shackle insulators are loaded across their axis by wind and turn, F = H, and judged by their cantilever rating with a factor of its own. A shackle " +
			"that ends a line of low voltage bears the tension and the wind, F = √((T·m)² + H_w²).",
		Example: audit.Example{
			Story: "65 kN on a single tension string of 120 kN units, factor 2",
			Subject: func() audit.Subject {
				s := loadedAt(structureOf(audit.Terminal, math.NaN()))
				s.Line.Row.MaximumTensionKN = 65
				s.Assembly.Duty, s.Assembly.Side = audit.Tension, audit.Back
				return s
			},
			Outcome: audit.FallsShort, Observed: 120, Required: 130,
			Source: "50 % of the rating, NESC 277 (2002 edition, p. 188, published, for the loads of rules 250, 251 and 252 but not 250C): 120 kN × 50 % = 60 kN; a 160 kN string passes (computed)",
		},
	},
	AskedBy:  []audit.Need{audit.AsksLoads},
	Trusts:   []audit.Need{audit.NeedsCourse, audit.NeedsDuty, audit.NeedsArrangement, audit.NeedsKind},
	Needs:    []audit.Need{audit.NeedsDuty, audit.NeedsNoFaultySide, audit.NeedsStrings, audit.NeedsSoundInsulator, audit.NeedsPull, audit.NeedsRatingOfString},
	Drives:   []audit.Quantity{audit.DriveMaximumTension, audit.DriveWind},
	Strings:  true,
	Between:  true,
	ByLoad:   true,
	Errs:     audit.ErrsLoads,
	Parted:   audit.ByCase | audit.BySide,
	Rests:    audit.RestsOnLoad | audit.RestsOnRating | audit.RestsOnCourse,
	OfLine:   audit.ReadsPulls,
	Remedy:   "Take stronger units or parallel strings, or confirm the tension and the load cases.",
	Concerns: loadedByConductor,
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		if slack(s) {
			return audit.CannotTell(audit.SlackSpan)
		}
		return byRises(s, besideTerrain(s, t, func(s *audit.Subject, t *audit.Trace) audit.Verdict {
			if onPost(s) {
				return judgePost(s, t, 0)
			}
			return judgeStrength(s, t, 0)
		}))
	},
}

var strengthOneStringBroken = audit.Check{
	ID:       "strength-one-string-broken",
	Title:    "Remaining strings too weak when one of several breaks",
	Of:       audit.OfAssembly,
	BySpans:  true,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.SwingSource, basis.ChangeOfStateSource, basis.FactorSource},
	Method: audit.Method{
		Formula: "R ≥ F·γ with s − 1 strings",
		Symbols: strengthSymbols,
		Limits:  strengthLimits + postLimits + " Assemblies of two or more strings; where one string makes up a leg of a V set, the other leg bears all. The factor is the criteria's for one string broken.",
		Example: audit.Example{
			Story: "100 kN on a double tension string of 120 kN units, factor 1.5 with one string broken",
			Subject: func() audit.Subject {
				s := loadedAt(structureOf(audit.Terminal, math.NaN()))
				s.Line.Row.MaximumTensionKN = 100
				s.Assembly.Duty, s.Assembly.Side, s.Assembly.Strings, s.Assembly.Arrangement = audit.Tension, audit.Back, 2, audit.Parallel
				return s
			},
			Outcome: audit.FallsShort, Observed: 120, Required: 150,
			Source: "GB 50545 broken string 1.5 (value from memory); 2 × 120 = 240 kN intact, 120 kN with one broken (computed)",
		},
	},
	AskedBy: []audit.Need{audit.AsksLoads},
	Trusts:  []audit.Need{audit.NeedsCourse, audit.NeedsDuty, audit.NeedsArrangement, audit.NeedsKind},
	Needs:   []audit.Need{audit.NeedsDuty, audit.NeedsNoFaultySide, audit.NeedsStrings, audit.NeedsSoundInsulator, audit.NeedsPullBroken, audit.NeedsRatingOfString},
	Drives:  []audit.Quantity{audit.DriveMaximumTension, audit.DriveWind},
	Strings: true,
	Between: true,
	ByLoad:  true,
	Errs:    audit.ErrsLoads,
	Parted:  audit.ByCase | audit.BySide,
	Rests:   audit.RestsOnLoad | audit.RestsOnRating | audit.RestsOnCourse,
	OfLine:  audit.ReadsPulls,
	Remedy:  "Take stronger units, or confirm the tension and the load cases.",
	Concerns: func(s *audit.Subject) audit.Reason {
		return cmp.Or(parallelStrings(s), loadedByConductor(s))
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		if slack(s) {
			return audit.CannotTell(audit.SlackSpan)
		}
		return byRises(s, besideTerrain(s, t, func(s *audit.Subject, t *audit.Trace) audit.Verdict {
			if onPost(s) {
				return judgePost(s, t, 1)
			}
			return judgeStrength(s, t, 1)
		}))
	},
}

// parallelStrings tells the assemblies of which no string is left when one breaks.
func parallelStrings(s *audit.Subject) audit.Reason {
	if s.Assembly.Strings == 1 {
		return audit.SingleString
	}
	return audit.NoReason
}

// loadedByConductor tells the assemblies that the conductor does not load, and those that bear a one-sided pull their duty is not made for.
func loadedByConductor(s *audit.Subject) audit.Reason {
	if s.Structure.Role == audit.Terminal && s.Assembly.Duty.CarriesPhase() && takesTension(s).Outcome == audit.FallsShort {
		return audit.WrongDutyAtEnd
	}
	switch s.Assembly.Duty {
	case audit.Jumper:
		return audit.IsJumper
	case audit.EarthWire, audit.Guy:
		return audit.CarriesNoPhase
	}
	return audit.NoReason
}

// besideDoubt makes an advisory of what falls short by spans beside doubtful geometry, or where a structure may be missing between them.
func besideDoubt(s *audit.Subject, v audit.Verdict) audit.Verdict {
	switch {
	case v.Outcome != audit.FallsShort:
	case s.Structure.Doubtful:
		return v.As(audit.Advisory).Because(audit.GeometryDoubtful)
	case s.Structure.MayMiss:
		return v.As(audit.Advisory).Because(audit.StructureMayBeMissing)
	}
	return v
}

func doubtInWords(s *audit.Subject) string {
	switch {
	case s.Structure.Doubtful:
		return "; the positions here are doubtful, see Faults"
	case s.Structure.MayMiss:
		return "; a structure may be missing beside it, see Faults"
	}
	return ""
}

// slack tells whether a tension assembly holds a slack span, whose tension nobody states.
func slack(s *audit.Subject) bool {
	side := s.Assembly.Side
	return s.Assembly.Duty == audit.Tension && (side != audit.Ahead && s.Structure.SlackBack || side != audit.Back && s.Structure.SlackAhead)
}

func judgeStrength(s *audit.Subject, t *audit.Trace, broken int) audit.Verdict {
	pull, reason := s.WorstPull(broken)
	if reason != audit.NoReason {
		return audit.CannotTell(reason)
	}
	rating, reason := addRating(nil, s, pull.Across)
	v := audit.AtLeast(rating, pull.Required, "kN")
	if reason != audit.NoReason && v.Outcome != audit.FallsShort {
		addPull(t, s, pull, broken)
		return audit.CannotTell(reason)
	}
	if unsure := pull.Factor.Unsure; unsure != audit.NoReason && v.Outcome == audit.Meets {
		most, _ := s.MostPull(broken)
		if v = audit.AtLeast(rating, most.Required, "kN"); v.Outcome != audit.Meets {
			addPull(t, s, pull, broken)
			return audit.CannotTell(unsure)
		}
		pull = most
	}
	addPull(t, s, pull, broken)
	addRating(t, s, pull.Across)
	if v.Outcome == audit.Meets && pull.Unsure != audit.NoReason {
		return audit.CannotTell(pull.Unsure)
	}
	if s.Assembly.Duty != audit.Tension || audit.AtLeast(rating, pull.HorizontalKN(), "kN").Outcome == audit.Meets {
		v = besideDoubt(s, v) // unless the tension alone, which does not go with the spans, asks for more
	}
	if s.NeedsSentence(v) {
		what, needs, doubt := "one string", "needs", ""
		if pull.Unsure != audit.NoReason {
			needs = "needs at least"
		}
		if v.Severity == audit.Advisory {
			doubt = doubtInWords(s)
		}
		switch {
		case pull.Across:
			what = "it across its axis"
		case pull.LegSlack:
			what = "one string of the leg that stays taut, the other being slack,"
		case broken > 0:
			what = "each string that is left"
		}
		v = v.Saying(fmt.Sprintf("%s; %s puts %.1f kN on %s%s, which %s %.1f kN (factor %s)%s.",
			ratedInWords(s, rating, pull.Across, reason), pull.Load.Case.Name, pull.KN, what, attachedInWords(pull), needs, pull.Required, pull.Factor.Words(), doubt))
	}
	return v
}

// addRating shows what a string is good for as it hangs there, at most where reason says why that is not known; across its axis that is its
// cantilever rating.
func addRating(t *audit.Trace, s *audit.Subject, across bool) (rating float64, reason audit.Reason) {
	rating, reason = s.Assembly.LeftKN(s.Criteria)
	kind, source := "rating of one string", ratingSource(s.Assembly)
	if reason != audit.NoReason {
		kind += " when sound; what its defective units leave of that is no more"
	} else if s.Assembly.Defective > 0 {
		kind, source = fmt.Sprintf("rating of one string with %d defective units, by its residual strength", s.Assembly.Defective), basis.OwnFigure
	}
	if across {
		rating, reason = s.Assembly.CantileverKN(), audit.NoReason
		kind, source = "cantilever rating of the insulator", basis.Clause{}
	}
	if s.Assembly.HasFailed() {
		rating, kind, source = 0, "nothing is left of the rating of a long rod or composite with a defect", basis.CommonPractice
	}
	if t.On() {
		t.Add(audit.Step{Symbol: "R", Meaning: kind, Result: audit.Figure(rating, "kN"), Role: audit.Observed, Clause: source})
	}
	return rating, reason
}

// ratedInWords says what a string is good for as it hangs there; unknown is why that is not known, but for what it is at most.
func ratedInWords(s *audit.Subject, rating float64, across bool, unknown audit.Reason) string {
	switch {
	case unknown != audit.NoReason:
		return fmt.Sprintf("%s %s rated %g kN%s when sound, and no more with defective units", s.Assembly.Hanging(), isOrAre(s), rating, each(s))
	case s.Assembly.HasFailed():
		return s.Assembly.Hanging() + " has failed by its defect and is good for nothing" + worstOfUnlike(s.Assembly)
	case s.Assembly.Defective > 0 && !across:
		return fmt.Sprintf("%s, %d of them defective, %s good for %.1f kN%s by residual strength%s", s.Assembly.Hanging(), s.Assembly.Defective, isOrAre(s), rating, each(s), worstOfUnlike(s.Assembly))
	}
	return fmt.Sprintf("%s %s rated %s kN%s", s.Assembly.Hanging(), isOrAre(s), inHundredths(rating), each(s))
}

// isOrAre is the verb that goes with what hangs there, and each says of several strings that a figure is of one.
func isOrAre(s *audit.Subject) string {
	if s.Assembly.Strings > 1 {
		return "are"
	}
	return "is"
}

func each(s *audit.Subject) string {
	if s.Assembly.Strings > 1 {
		return " each"
	}
	return ""
}

// ratingSource is where the rating of a string comes from: its row, else the units that are as weak as it is.
func ratingSource(a *audit.Assembly) basis.Clause {
	if !math.IsNaN(a.Direct.RatingKN) {
		return basis.OwnFigure
	}
	rating := a.RatingKN()
	return alikeSource(a, func(u *basis.Unit) (basis.Clause, bool) { return u.RatingSource(), u.RatingKN == rating })
}

// alikeSource is the one source of a figure of the units of a string that count; none where they have several. What a unit has no
// clause for is of the Units sheet.
func alikeSource(a *audit.Assembly, of func(u *basis.Unit) (source basis.Clause, counts bool)) (source basis.Clause) {
	first := true
	for _, u := range a.Units() {
		clause, counts := of(u)
		if !counts {
			continue
		}
		if clause.IsZero() {
			clause = basis.OwnFigure
		}
		if !first && clause != source {
			return basis.Clause{}
		}
		source, first = clause, false
	}
	return source
}

// addPull shows how the load on one string comes about.
func addPull(t *audit.Trace, s *audit.Subject, pull audit.Pull, broken int) {
	if !t.On() {
		return
	}
	addLoadOf(t, s, pull, broken)
	t.Add(pullStep(s, pull, broken))
	t.Add(audit.Step{Symbol: "R_req", Meaning: "rating needed, factor of " + pull.Factor.From(), Formula: "F·γ",
		Inputs: []audit.Operand{{Symbol: "F", Value: audit.Figure(pull.KN, "kN")}, {Symbol: "γ", Value: audit.Figure(pull.Factor.Value, "")}},
		Result: audit.Figure(pull.Required, "kN"), Role: audit.Required, Clause: basis.OwnFigure, Sheet: "F*γ"})
}

// addLoadOf shows the load case and what the conductors put on the assembly.
func addLoadOf(t *audit.Trace, s *audit.Subject, pull audit.Pull, broken int) {
	load := pull.Load
	t.Add(audit.Step{Symbol: "load case", Result: audit.Word(load.Case.Name)})
	if c := load.Case; c.Factor != 1 || c.FactorBasis != "" {
		t.Add(audit.Step{Symbol: "f", Meaning: "load factor of the case, " + cmp.Or(c.FactorBasis, "basis not stated"), Result: audit.Figure(c.Factor, ""), Clause: basis.OwnFigure})
	}
	addTension(t, s, load)
	switch {
	case s.Assembly.Duty == audit.Tension:
		addAttached(t, s, pull)
	case pull.OneSided:
		addWind(t, load)
	default:
		addLoad(t, s, load)
		if !s.Assembly.CarriesInV(broken) {
			break
		}
		if v := pulledInV(s, pull, broken); v.OwnN > 0 {
			addVString(t, s, &v)
		} else {
			addVLegs(t, s, load)
		}
	}
}

// pullStep shows how the load of the conductors comes on one string or insulator.
func pullStep(s *audit.Subject, pull audit.Pull, broken int) audit.Step {
	step := audit.Step{Symbol: "F", Meaning: "load on one string", Result: audit.Figure(pull.KN, "kN"), Clause: basis.Arithmetic}
	carrying := s.Assembly.Strings - broken
	share := basis.SharingFactor(s.Assembly.Alongside(carrying), s.Criteria.UnequalSharing.Value)
	if s.Assembly.Alongside(carrying) >= 2 {
		step.Clause = s.Criteria.UnequalSharing.ClauseOr(step.Clause)
	}
	common := []audit.Operand{{Symbol: "s", Value: audit.Figure(float64(carrying), "")}, {Symbol: "u", Value: audit.Figure(share, "")},
		{Symbol: "f", Value: audit.Figure(pull.Load.Case.Factor, "")}}
	switch {
	case s.Assembly.CarriesInV(broken):
		step = onVLeg(step, s, pull, broken, common)
	case s.Assembly.Duty == audit.Tension:
		step.Formula, step.Sheet = "T_s·m/s·u·f", "T_s*m/s*u*f"
		step.Inputs = append([]audit.Operand{figure("T_s", pull.AttachedKN, "kN"), figure("m", float64(pull.Load.Subconductors), "")}, common...)
	case pull.OneSided:
		step.Meaning, step.Formula, step.Sheet = "load across the insulator where the line ends", "√((T·m)² + (H_w/1000)²)·f", "SQRT((T*m)^2+(H_w/1000)^2)*f"
		step.Inputs = []audit.Operand{{Symbol: "T", Value: audit.Figure(pull.Load.TensionKN, "kN")}, {Symbol: "m", Value: audit.Figure(float64(pull.Load.Subconductors), "")},
			{Symbol: "H_w", Value: audit.Figure(pull.Load.WindN, "N")}, common[2]}
	case pull.Across:
		step.Meaning, step.Formula, step.Sheet = "load across the insulator", "(H_w + H_t)/1000·f", "ABS(H_w+H_t)/1000*f"
		step.Inputs = []audit.Operand{{Symbol: "H_w", Value: audit.Figure(pull.Load.WindN, "N")}, {Symbol: "H_t", Value: audit.Figure(pull.Load.TurnN, "N")}, common[2]}
	default:
		step.Meaning = onTopUnit(s.Assembly)
		step.Formula, step.Sheet = "√((V·u/s + w_i)² + ((H_w + H_t)·u/s)²)/1000·f", "SQRT(MAX(ABS(V*u/s),ABS(V*u/s+w_i))^2+((H_w+H_t)*u/s)^2)/1000*f"
		step.Inputs = append([]audit.Operand{figure("V", pull.Load.VerticalN, "N"), figure("w_i", s.Assembly.StringWeightN(), "N"),
			figure("H_w", pull.Load.WindN, "N"), figure("H_t", pull.Load.TurnN, "N")}, common...)
	}
	return step
}

// onTopUnit says how far the own weight of a string is in the load on one.
func onTopUnit(a *audit.Assembly) string {
	switch unweighed := a.Unweighed(); {
	case a.StringWeightN() == 0:
		return "load on one string, whose own weight is left out, since its units state none"
	case len(unweighed) > 0:
		return "load on the top unit of one string, which carries what is known of its own weight w_i; left out is that of " + named(unweighed) + ", which is not stated"
	}
	return "load on the top unit of one string, which carries its own weight w_i"
}

// named lists units by their names.
func named(units []*basis.Unit) string {
	names := make([]string, len(units))
	for i, u := range units {
		names[i] = u.Name
	}
	return strings.Join(names, ", ")
}

// addWind shows the wind on the conductors.
func addWind(t *audit.Trace, load audit.Load) {
	c, conductor := load.Case, load.Conductor
	m := float64(load.Subconductors)
	if c.From != audit.CalculatedTension { // which shows it already
		addDiameter(t, load)
	}
	t.Add(audit.Step{Symbol: "H_w", Meaning: "wind on the conductors", Formula: "p·d/1000·HS·m",
		Inputs: []audit.Operand{
			{Symbol: "p", Value: audit.Figure(c.WindPa, "Pa")}, {Symbol: "d", Value: audit.Figure(c.OverIceMM(conductor), "mm")},
			{Symbol: "HS", Value: audit.Figure(load.WindSpanM, "m")}, {Symbol: "m", Value: audit.Figure(m, "")},
		}, Result: audit.Figure(load.WindN, "N"), Clause: basis.SwingSource, Sheet: "p*d/1000*HS*m"})
}

// addLoad shows wind, turn, weight and their resultant.
func addLoad(t *audit.Trace, s *audit.Subject, load audit.Load) {
	c, conductor := load.Case, load.Conductor
	m := float64(load.Subconductors)
	addWind(t, load)
	t.Add(audit.Step{Symbol: "H_t", Meaning: "pull of the turn", Formula: "2·T·1000·sin(|δ|/2)·m",
		Inputs: []audit.Operand{
			{Symbol: "T", Value: audit.Figure(load.TensionKN, "kN")}, {Symbol: "δ", Value: audit.Figure(s.Structure.DeviationDeg, "deg")}, {Symbol: "m", Value: audit.Figure(m, "")},
		}, Result: audit.Figure(load.TurnN, "N"), Clause: basis.Arithmetic, Sheet: "2*T*1000*SIN(RADIANS(ABS(δ))/2)*m"})
	addWeightSpan(t, s, load, "VS", "weight span in this load case", audit.InBetween)
	t.Add(audit.Step{Symbol: "V", Meaning: "weight on the weight span", Formula: "VS·w·m",
		Inputs: []audit.Operand{
			{Symbol: "VS", Value: audit.Figure(load.WeightSpanM, "m")}, {Symbol: "w", Value: audit.Figure(c.WeightNPerM(conductor), "N/m")}, {Symbol: "m", Value: audit.Figure(m, "")},
		}, Result: audit.Figure(load.VerticalN, "N"), Clause: basis.Arithmetic, Sheet: "VS*w*m"})
	t.Add(audit.Step{Symbol: "F_c", Meaning: "load of the conductors", Formula: "√((H_w + H_t)² + V²)",
		Inputs: []audit.Operand{
			{Symbol: "H_w", Value: audit.Figure(load.WindN, "N")}, {Symbol: "H_t", Value: audit.Figure(load.TurnN, "N")}, {Symbol: "V", Value: audit.Figure(load.VerticalN, "N")},
		}, Result: audit.Figure(load.ResultantN, "N"), Clause: basis.Arithmetic, Sheet: "SQRT((H_w+H_t)^2+V^2)"})
}

// inHundredths is a figure in words: one that came in another unit has as many digits as it had decimals there.
func inHundredths(figure float64) string {
	return strconv.FormatFloat(math.Round(figure*100)/100, 'f', -1, 64)
}
