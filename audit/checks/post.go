package checks

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// onPost tells whether a conductor stands on a pin or a post.
func onPost(s *audit.Subject) bool {
	return s.Assembly.Duty == audit.Pin || s.Assembly.Duty == audit.Post
}

// judgePost judges a pin or post by how much of its strengths its loads use.
func judgePost(s *audit.Subject, t *audit.Trace, broken int) audit.Verdict {
	b, reason := s.PostBearing(broken)
	return judgeBearing(s, t, &b, reason)
}

// judgeBearing judges a pin or post by what it bears.
func judgeBearing(s *audit.Subject, t *audit.Trace, b *audit.PostBearing, reason audit.Reason) audit.Verdict {
	if reason != audit.NoReason {
		return audit.CannotTell(reason)
	}
	if s.Assembly.HasFailed() {
		return judgeFailedPost(s, t, b)
	}
	if t.On() {
		if b.Either {
			t.Add(audit.Step{Symbol: "mounting", Meaning: "not stated, so both are looked at; the figures of the other end in _" + b.Other.Mounting.String(), Result: audit.Word(b.Mounting.String() + ", " + whyGoverns(b))})
			other := postSteps(s, &b.Other)
			for i := range other {
				t.Add(suffixed(other[i], "_"+b.Other.Mounting.String()))
			}
		} else {
			t.Add(audit.Step{Symbol: "mounting", Result: audit.Word(b.Mounting.String())})
		}
		for _, step := range postSteps(s, &b.PostLoad) {
			if step.Symbol == "U" {
				step.Role = audit.Observed
			}
			t.Add(step)
		}
		t.Add(audit.Step{Symbol: "U_max", Meaning: "most that the rule for combined loads allows (" + s.Criteria.CombinedLoads.String() + ")", Result: audit.Figure(1, ""), Role: audit.Required, Clause: combinedClause(s)})
	}
	v := besideDoubt(s, audit.AtMost(b.Utilisation, 1, ""))
	if s.NeedsSentence(v) {
		v = v.Saying(postInWords(s, b))
	}
	return v
}

// whyGoverns says which of two mountings gives the verdict where nobody states which it is.
func whyGoverns(b *audit.PostBearing) string {
	if b.Overloaded() {
		return "the milder of the two, which governs since both fall short"
	}
	return "the worse of the two, which governs since both meet"
}

// judgeFailedPost judges a pin or post of which a defect has left nothing.
func judgeFailedPost(s *audit.Subject, t *audit.Trace, b *audit.PostBearing) audit.Verdict {
	loaded := b.ResultantKN()
	if t.On() {
		for _, step := range postSteps(s, &b.PostLoad) {
			t.Add(step)
		}
		t.Add(audit.Step{Symbol: "F", Meaning: "load on the insulator", Formula: "√(F_t² + F_v² + F_l²)", Inputs: forces(&b.PostLoad), Result: audit.Figure(loaded, "kN"), Role: audit.Required,
			Clause: basis.Arithmetic, Sheet: "SQRT(F_t^2+F_v^2+F_l^2)"})
		t.Add(audit.Step{Symbol: "R", Meaning: "nothing is left of the rating of a long rod, composite, pin or post with a defect", Result: audit.Figure(0, "kN"), Role: audit.Observed, Clause: basis.CommonPractice})
	}
	v := besideDoubt(s, audit.AtLeast(0, loaded, "kN"))
	if s.NeedsSentence(v) {
		puts := b.Load.Case.Name + " puts"
		if b.Broken != nil {
			puts = breakInWords(b.Broken) + ", which puts"
		}
		v = v.Saying(fmt.Sprintf("%s has failed by its defect and is good for nothing; %s %.2f kN on it.", s.Assembly.Hanging(), puts, loaded))
	}
	return v
}

func combinedClause(s *audit.Subject) basis.Clause {
	if s.Criteria.CombinedLoadsStated {
		return basis.OwnFigure
	}
	return basis.CommonPractice
}

// postPart is a load on a pin or post as the trace and the sentence name it.
type postPart struct {
	audit.PostPart
	letter                 string // of its symbols
	load                   string // symbol of its load
	rating, factor, acting string // in words
}

// postParts are the loads on a pin or post that are not 0.
func postParts(p *audit.PostLoad) (parts []postPart) {
	push, pull := "F_t", "F_t"
	if p.Mounting == audit.Upright {
		push, pull = "F_v", "F_v"
		if p.OwnKN > 0 {
			push = "F_d"
		}
	}
	cantilever := "cantilever rating"
	if p.Unsure == audit.StackCantileverUnknown {
		cantilever += " of one, which the stack has not"
	}
	for _, part := range []postPart{
		{p.Bend, "b", "F_b", cantilever, "cantilever", "across its axis"},
		{p.Push, "c", push, "compression rating", "compression", "pushing along its axis"},
		{p.Pull, "t", pull, "rating for a pull along the axis", "tension", "pulling along its axis"},
	} {
		if part.KN > 0 {
			parts = append(parts, part)
		}
	}
	return parts
}

// forces are the loads on a pin or post as operands.
func forces(p *audit.PostLoad) []audit.Operand {
	return []audit.Operand{{Symbol: "F_t", Value: audit.Figure(p.SideKN, "kN")}, {Symbol: "F_v", Value: audit.Figure(p.DownKN, "kN")}, {Symbol: "F_l", Value: audit.Figure(p.AlongKN, "kN")}}
}

// underWhat says what loads a pin or post.
func underWhat(p *audit.PostLoad) string {
	if p.Broken != nil {
		return breakInWords(p.Broken)
	}
	return "under " + p.Load.Case.Name
}

// postSteps shows how the loads on a pin or post come about and what they use of its strengths.
func postSteps(s *audit.Subject, p *audit.PostLoad) []audit.Step {
	var t audit.Trace
	f := audit.Operand{Symbol: "f", Value: audit.Figure(p.Load.Case.Factor, "")}
	if p.Broken != nil {
		addBrokenPost(&t, s, p, f)
	} else {
		addLoadOnPost(&t, s, p, f)
	}
	if p.Mounting != audit.MountingUnknown { // else failed, so that no strength is looked at
		addPostUse(&t, s, p, f)
	}
	return t.Steps
}

// addLoadOnPost shows what a load case puts on a pin or post.
func addLoadOnPost(t *audit.Trace, s *audit.Subject, p *audit.PostLoad, f audit.Operand) {
	load := p.Load
	t.Add(audit.Step{Symbol: "load case", Result: audit.Word(load.Case.Name)})
	if c := load.Case; c.Factor != 1 || c.FactorBasis != "" {
		t.Add(audit.Step{Symbol: "f", Meaning: "load factor of the case, " + cmp.Or(c.FactorBasis, "basis not stated"), Result: f.Value, Clause: basis.OwnFigure})
	}
	addTension(t, s, load)
	addLoad(t, s, load)
	t.Steps = slices.DeleteFunc(t.Steps, func(step audit.Step) bool { return step.Symbol == "F_c" }) // the axis parts what it adds up
	u := audit.Operand{Symbol: "u", Value: audit.Figure(p.Sharing, "")}
	t.Add(audit.Step{Symbol: "F_t", Meaning: "load across the line, wind and turn in one direction", Formula: "(H_w + H_t)/1000·u·f",
		Inputs: []audit.Operand{{Symbol: "H_w", Value: audit.Figure(load.WindN, "N")}, {Symbol: "H_t", Value: audit.Figure(load.TurnN, "N")}, u, f},
		Result: audit.Figure(p.SideKN, "kN"), Clause: basis.Arithmetic, Sheet: "ABS(H_w+H_t)/1000*u*f"})
	t.Add(audit.Step{Symbol: "F_v", Meaning: "load downwards, below 0 it lifts", Formula: "V/1000·u·f",
		Inputs: []audit.Operand{{Symbol: "V", Value: audit.Figure(load.VerticalN, "N")}, u, f}, Result: audit.Figure(p.DownKN, "kN"), Clause: basis.Arithmetic, Sheet: "V/1000*u*f"})
	along := audit.Step{Symbol: "F_l", Meaning: "load along the line, which goes on", Result: audit.Figure(0, "kN"), Clause: basis.Arithmetic}
	if p.AlongKN != 0 {
		along = audit.Step{Symbol: "F_l", Meaning: "load along the line, which ends here", Formula: "T·m·u·f",
			Inputs: []audit.Operand{{Symbol: "T", Value: audit.Figure(load.TensionKN, "kN")}, {Symbol: "m", Value: audit.Figure(float64(load.Subconductors), "")}, u, f},
			Result: audit.Figure(p.AlongKN, "kN"), Clause: basis.Arithmetic, Sheet: "T*m*u*f"}
	}
	t.Add(along)
}

// addPostUse shows how the loads on a pin or post lie to its axis, and what they use of its strengths.
func addPostUse(t *audit.Trace, s *audit.Subject, p *audit.PostLoad, f audit.Operand) {
	across := forces(p)[:1:1]
	if p.Mounting == audit.Horizontal {
		across = forces(p)[1:2:2]
	}
	bend := audit.Step{Symbol: "F_b", Meaning: "load across the axis", Formula: "√(" + across[0].Symbol + "² + F_l²)", Inputs: append(across, forces(p)[2]),
		Result: audit.Figure(p.Bend.KN, "kN"), Clause: basis.Arithmetic, Sheet: "SQRT(" + across[0].Symbol + "^2+F_l^2)"}
	if p.OwnKN > 0 {
		addOwnWeight(t, s, p, f)
		if p.Mounting == audit.Horizontal {
			bend.Formula, bend.Sheet = "√(max(|F_v|, |F_v + F_w|)² + F_l²)", "SQRT(MAX(ABS(F_v),ABS(F_v+F_w))^2+F_l^2)"
			bend.Inputs = append(bend.Inputs, figure("F_w", p.OwnKN, "kN"))
		}
	}
	t.Add(bend)
	for _, part := range postParts(p) {
		addUse(t, part)
	}
	t.Add(sumOfUse(s, p))
}

// addOwnWeight shows what the weight of the insulator itself adds.
func addOwnWeight(t *audit.Trace, s *audit.Subject, p *audit.PostLoad, f audit.Operand) {
	weight := []audit.Operand{figure("w_i", s.Assembly.StringWeightN(), "N"), f}
	if p.Mounting == audit.Horizontal {
		t.Add(audit.Step{Symbol: "F_w", Meaning: "half of its own weight w_i, which acts at the head", Formula: "w_i/2/1000·f", Inputs: weight,
			Result: audit.Figure(p.OwnKN, "kN"), Clause: basis.Arithmetic, Sheet: "w_i/2/1000*f"})
		return
	}
	t.Add(audit.Step{Symbol: "F_w", Meaning: "its own weight w_i, which the foot bears", Formula: "w_i/1000·f", Inputs: weight,
		Result: audit.Figure(p.OwnKN, "kN"), Clause: basis.Arithmetic, Sheet: "w_i/1000*f"})
	t.Add(audit.Step{Symbol: "F_d", Meaning: "push on the foot", Formula: "F_v + F_w", Inputs: []audit.Operand{figure("F_v", p.DownKN, "kN"), figure("F_w", p.OwnKN, "kN")},
		Result: audit.Figure(p.DownKN+p.OwnKN, "kN"), Clause: basis.Arithmetic, Sheet: "F_v+F_w"})
}

// addUse shows how much of a strength its load uses.
func addUse(t *audit.Trace, part postPart) {
	if part.Lacks != audit.NoReason {
		t.Add(audit.Step{Symbol: "U_" + part.letter, Meaning: "share of the " + part.rating + " that is used; not known, and left out", Result: audit.Word(part.Lacks.String())})
		return
	}
	t.Add(audit.Step{Symbol: "S_" + part.letter, Meaning: part.rating, Result: audit.Figure(part.StrengthKN, "kN")})
	sheet := part.load
	if part.load == "F_v" {
		sheet = "ABS(F_v)"
	}
	formula := strings.Replace(sheet, "ABS(F_v)", "|F_v|", 1)
	force := part.KN
	if part.letter == "t" && part.load == "F_v" {
		force = -force
	}
	t.Add(audit.Step{Symbol: "U_" + part.letter, Meaning: "share of the " + part.rating + " that is used, factor of " + part.Factor.From(), Formula: formula + "·γ_" + part.letter + "/S_" + part.letter,
		Inputs: []audit.Operand{{Symbol: part.load, Value: audit.Figure(force, "kN")}, {Symbol: "γ_" + part.letter, Value: audit.Figure(part.Factor.Value, "")}, {Symbol: "S_" + part.letter, Value: audit.Figure(part.StrengthKN, "kN")}},
		Result: audit.Figure(part.Utilisation, ""), Clause: basis.OwnFigure, Sheet: sheet + "*γ_" + part.letter + "/S_" + part.letter})
}

// sumOfUse shows what the shares come to by the rule for combined loads.
func sumOfUse(s *audit.Subject, p *audit.PostLoad) audit.Step {
	step := audit.Step{Symbol: "U", Meaning: "use of the insulator, " + p.Mounting.String() + ", by the rule for combined loads", Result: audit.Figure(p.Utilisation, ""), Clause: combinedClause(s)}
	var bend, axial []string
	for _, part := range postParts(p) {
		if part.Lacks != audit.NoReason {
			continue
		}
		symbol := "U_" + part.letter
		step.Inputs = append(step.Inputs, audit.Operand{Symbol: symbol, Value: audit.Figure(part.Utilisation, "")})
		if part.letter == "b" {
			bend = append(bend, symbol)
		} else {
			axial = append(axial, symbol)
		}
	}
	largest := func(of []string) []string {
		if len(of) < 2 {
			return of
		}
		return []string{"MAX(" + strings.Join(of, ",") + ")"}
	}
	if s.Criteria.CombinedLoads == audit.EachUtilisation {
		step.Sheet = strings.Join(largest(slices.Concat(bend, axial)), "")
	} else {
		step.Sheet = strings.Join(slices.Concat(bend, largest(axial)), "+")
	}
	step.Formula = strings.NewReplacer("MAX", "max", ",", ", ", "+", " + ").Replace(step.Sheet)
	return step
}

// symbolInFormula is a number or a name in a formula, in words or of a spreadsheet; the E of 1E-6 is no name.
var symbolInFormula = regexp.MustCompile(`\d+(?:\.\d+)?(?:E[-+]?\d+)?|[\pL_][\pL\d_]*`)

// suffixed is a step whose symbols all end otherwise, so that two derivations stand side by side.
func suffixed(step audit.Step, suffix string) audit.Step {
	known := map[string]bool{}
	inputs := make([]audit.Operand, len(step.Inputs))
	for i, in := range step.Inputs {
		known[in.Symbol] = true
		inputs[i] = audit.Operand{Symbol: in.Symbol + suffix, Value: in.Value}
	}
	rename := func(formula string) string {
		return symbolInFormula.ReplaceAllStringFunc(formula, func(name string) string {
			if known[name] {
				return name + suffix
			}
			return name
		})
	}
	step.Symbol, step.Inputs, step.Formula, step.Sheet = step.Symbol+suffix, inputs, rename(step.Formula), rename(step.Sheet)
	return step
}

// postInWords is the sentence of a pin or post that is loaded too much.
func postInWords(s *audit.Subject, b *audit.PostBearing) string {
	var loads, left []string
	for _, part := range postParts(&b.PostLoad) {
		if part.Lacks != audit.NoReason {
			left = append(left, fmt.Sprintf("; the %.2f kN %s are left out (%s)", part.KN, part.acting, part.Lacks))
			continue
		}
		loads = append(loads, fmt.Sprintf("%.2f kN %s on a %s of %s kN (factor %g)", part.KN, part.acting, part.rating, inHundredths(part.StrengthKN), part.Factor.Value))
	}
	var sources []string
	for _, part := range postParts(&b.PostLoad) {
		if from := part.Factor.From(); !slices.Contains(sources, from) {
			sources = append(sources, from)
		}
	}
	rule := ""
	switch {
	case len(loads) < 2 && len(left) == 0:
	case s.Criteria.CombinedLoads == audit.EachUtilisation:
		rule = ", and each counts alone"
	default:
		rule = ", and the sum counts"
	}
	either := ""
	if b.Either {
		either = fmt.Sprintf(" Its mounting is not stated: %s it is used to %.1f %%, and falls short too.", b.Other.Mounting, 100*math.Max(b.Other.Utilisation, b.Utilisation))
	}
	return fmt.Sprintf("%s, %s, is used to %.1f %% of its strength %s: %s%s; factors of %s%s%s.%s", s.Assembly.Hanging(), b.Mounting, 100*b.Utilisation, underWhat(&b.PostLoad),
		strings.Join(loads, ", "), strings.Join(left, ""), strings.Join(sources, " and "), rule, doubtInWords(s), either)
}
