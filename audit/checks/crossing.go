package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var doubleAtCrossing = audit.Check{
	ID:       "double-at-crossing",
	Title:    "No double string at a crossing that asks for it",
	Of:       audit.OfAssembly,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "strings ≥ 2",
		Symbols: []audit.Explained{{Symbol: "strings", Meaning: "parallel strings of the assembly"}},
		Limits: "Where the criteria ask for it by the kind that the span crosses, or for spans from long_span_m on: suspension assemblies at both ends of the span, of a tension structure those of the side " +
			"towards it. A V set is double where each leg is. Jumper, earth-wire and guy insulators are exempt. What is crossed without a rule is not assessed.",
		Example: audit.Example{
			Story: "A single suspension string beside a span over a river, the criteria asking for double strings",
			Subject: func() audit.Subject {
				structure := structureOf(audit.Tangent, 0)
				structure.Ahead = audit.Asked{Kinds: []string{"river"}, Double: "river"}
				s := suspensionAt(structure)
				s.CrossingsGiven = true
				return s
			},
			Outcome: audit.FallsShort, Observed: 1, Required: 2,
			Source: "common practice; a policy of the criteria",
		},
	},
	AskedBy:  []audit.Need{audit.AsksCrossings},
	AnyCount: true,
	Trusts:   []audit.Need{audit.NeedsCourse, audit.NeedsKindsCrossed, audit.NeedsDoubleCrossings, audit.NeedsDuty, audit.NeedsArrangement},
	Needs:    []audit.Need{audit.NeedsDuty, audit.NeedsSide, audit.NeedsStrings},
	Strings:  true,
	ByLoad:   true,
	Rests:    audit.RestsOnCourse,
	OfLine:   audit.ReadsPulls,
	Crossing: asksDouble,
	Remedy:   "Install a double string, or confirm that the crossing needs none.",
	Concerns: concernsCrossing,
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		kind, reason := askedOf(s, func(a audit.Asked) string { return a.Double })
		if kind == "" {
			return notAsked(reason)
		}
		strings := float64(s.Assembly.Alongside(s.Assembly.Strings))
		if t.On() {
			t.Add(audit.Step{Symbol: "crosses", Result: audit.Word(crossedBy(s, kind, asksDouble).list()), Clause: basis.OwnFigure})
			t.Add(audit.Step{Symbol: "strings", Meaning: "side by side, as registered; in a V set those of one leg", Result: audit.Figure(strings, ""), Role: audit.Observed})
		}
		v := audit.AtLeast(strings, 2, "strings")
		if v.Outcome != audit.FallsShort {
			return v
		}
		by := crossedBy(s, kind, asksDouble)
		why := by.inWords() + "; the criteria ask for double strings"
		if by.isLong() {
			why = fmt.Sprintf("is %.0f m long; the criteria ask for double strings from %g m on", longerSpanM(s), s.Criteria.LongSpanM.Value)
		}
		what := "A single string"
		if s.Assembly.Arrangement == audit.VSet {
			what = "A V set of single legs"
		}
		return v.Saying(fmt.Sprintf("%s (%s) at %s %s%s.", what, s.Assembly.Hanging(), by.spans(), why, byLoad(s)))
	},
}

var tensionAtCrossing = audit.Check{
	ID:       "tension-at-crossing",
	Title:    "No tension assembly at a crossing that asks for it",
	Of:       audit.OfAssembly,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "duty = tension",
		Symbols: []audit.Explained{{Symbol: "duty", Meaning: "what the assembly is there to do"}},
		Limits: "Where the criteria ask for it by the kind that the span crosses, or for long spans: both end structures of the span. Jumper, earth-wire and guy insulators are exempt. What is " +
			"crossed without a rule is not assessed.",
		Example: audit.Example{
			Story: "A suspension assembly beside a span over a railway, the criteria asking for tension",
			Subject: func() audit.Subject {
				structure := structureOf(audit.Tangent, 0)
				structure.Back = audit.Asked{Kinds: []string{"railway"}, Tension: "railway"}
				s := suspensionAt(structure)
				s.CrossingsGiven = true
				return s
			},
			Outcome: audit.FallsShort, Observed: math.NaN(), Required: math.NaN(),
			Source: "common practice; a policy of the criteria",
		},
	},
	AskedBy:  []audit.Need{audit.AsksCrossings},
	AnyCount: true,
	AnyMake:  true,
	Trusts:   append(slices.Clone(audit.Crosses.Trusts), audit.NeedsDuty),
	Needs:    []audit.Need{audit.NeedsDuty, audit.NeedsSide},
	Rests:    audit.RestsOnCourse,
	OfLine:   audit.ReadsVoltages,
	Crossing: asksTension,
	Remedy:   "Install tension assemblies on both ends of the span, or confirm that the crossing needs none.",
	Concerns: concernsCrossing,
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		kind, reason := askedOf(s, func(a audit.Asked) string { return a.Tension })
		if kind == "" {
			return notAsked(reason)
		}
		v := takesTension(s)
		by := crossedBy(s, kind, asksTension)
		what, where := "a span crosses "+by.list(), "at "+by.spans()+" "+by.inWords()
		if by.isLong() {
			what, where = "a span is long", "at a "+audit.LongSpanKind
		}
		addDuty(t, s, what, basis.OwnFigure)
		return v.Saying(inWords(s, v, where))
	},
}

func asksDouble(r audit.CrossingRule) bool { return r.Double }

func asksTension(r audit.CrossingRule) bool { return r.Tension }

// asking are all the kinds for which something is asked of an assembly, long spans last, and whether several spans are meant.
type asking struct {
	kinds  []string
	plural bool
}

func crossedBy(s *audit.Subject, kind string, asks func(audit.CrossingRule) bool) asking {
	kinds, spans := s.KindsAsking(asks)
	if !slices.Contains(kinds, kind) {
		kinds = append(kinds, kind)
	}
	if long := slices.Index(kinds, audit.LongSpanKind); long >= 0 {
		kinds = append(slices.Delete(kinds, long, long+1), audit.LongSpanKind)
	}
	return asking{kinds, spans > 1 && len(kinds) > 1}
}

func (a asking) list() string { return strings.Join(a.kinds, " and ") }

// isLong tells whether nothing but the length asks.
func (a asking) isLong() bool { return a.kinds[0] == audit.LongSpanKind }

func (a asking) spans() string {
	if a.plural {
		return "spans that"
	}
	return "a span that"
}

// inWords says what the spans cross, and that they are long where that asks too.
func (a asking) inWords() string {
	kinds, long := strings.CutSuffix(strings.Join(a.kinds, " and a "), " and a "+audit.LongSpanKind)
	switch {
	case a.plural && long:
		return "cross a " + kinds + " or are long"
	case a.plural:
		return "cross a " + kinds
	case long:
		return "crosses a " + kinds + " and is long"
	}
	return "crosses a " + kinds
}

// concernsCrossing tells what the crossing checks leave alone.
func concernsCrossing(s *audit.Subject) audit.Reason {
	if reason := exemptFromTension(s); reason != audit.NoReason {
		return reason
	}
	return audit.Crosses.Passes(s)
}

// askedOf finds the kind for which something is asked of an assembly: of a tension assembly on its own side, of others
// on both. Where none asks, the reason tells whether something is crossed without a rule, or a span is not known.
func askedOf(s *audit.Subject, which func(audit.Asked) string) (kind string, reason audit.Reason) {
	if !s.CrossingsGiven && !s.Criteria.LongSpanM.Known() {
		return "", audit.CrossingsMissing
	}
	reason = audit.NoCrossing
	for _, side := range [...]audit.Side{audit.Back, audit.Ahead} {
		if s.Assembly.Duty.HasSides() && !s.Assembly.Side.Serves(side) {
			continue
		}
		asked := s.Structure.Ahead
		if side == audit.Back {
			asked = s.Structure.Back
		}
		if kind := which(asked); kind != "" {
			return kind, audit.NoReason
		}
		switch {
		case asked.Unruled != "" && len(s.Criteria.CrossingRules) > 0:
			reason = audit.KindWithoutRule
		case asked.Unruled != "":
			reason = audit.NoCrossingRule
		case reason == audit.NoCrossing && s.Structure.CutOff() && math.IsNaN(spanM(s.Structure, side)):
			reason = audit.BeyondExtract
		}
	}
	return "", reason
}

// spanM is the span on one side of a structure, NaN where none is known.
func spanM(s *audit.Structure, side audit.Side) float64 {
	if side == audit.Back {
		return s.SpanBackM
	}
	return s.SpanAheadM
}

func notAsked(reason audit.Reason) audit.Verdict {
	if reason == audit.NoCrossing {
		return audit.DoesNotApply(reason)
	}
	return audit.CannotTell(reason)
}

// byLoad says whether the load alone would ask for more than one string, where that is known.
func byLoad(s *audit.Subject) string {
	if onPost(s) { // whose loads are no pull on a string
		return ""
	}
	pull, reason := s.WorstPull(0)
	rating := s.Assembly.RatingKN()
	if reason != audit.NoReason || pull.Unsure != audit.NoReason || pull.Factor.Unsure != audit.NoReason || math.IsNaN(rating) {
		return ""
	}
	if strings := basis.UnitsNeeded(pull.Required, rating); strings > 1 {
		return fmt.Sprintf(", and so does the load, %.0f kN on strings of %g kN", pull.Required, rating)
	}
	return fmt.Sprintf("; the load alone, %.0f kN on a string of %g kN, does not", pull.Required, rating)
}

// longerSpanM is the longer of the spans that an assembly holds: of a tension assembly the one on its side.
func longerSpanM(s *audit.Subject) float64 {
	back, ahead := s.Structure.SpanBackM, s.Structure.SpanAheadM
	switch {
	case s.Assembly.Duty.HasSides() && s.Assembly.Side == audit.Back:
		return back
	case s.Assembly.Duty.HasSides() && s.Assembly.Side == audit.Ahead:
		return ahead
	case math.IsNaN(ahead) || back > ahead:
		return back
	}
	return ahead
}
