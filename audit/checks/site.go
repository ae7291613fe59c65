package checks

import (
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// judgement judges a subject by the specific creepage of its structure.
type judgement func(s *audit.Subject, t *audit.Trace) audit.Verdict

// installedAgainstSite judges the creepage of the string as built against what its site asks for.
func installedAgainstSite(s *audit.Subject, t *audit.Trace) audit.Verdict {
	return atSite(s, t, basis.EditionsApart, func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		required := requiredCreepage(s, t)
		addInstalledCreepage(t, s.Assembly, audit.Observed)
		v := audit.AtLeast(s.Assembly.CreepageMM, required, "mm")
		if s.NeedsSentence(v) {
			has, needs := apart(s.Assembly.CreepageMM, required, 1)
			v = v.Saying(fmt.Sprintf("%s; %s needs %s mm%s.", creepageInWords(s.Assembly, has), siteInWords(s), needs, unitsThatWouldDo(s, required)))
		}
		return v
	})
}

// atSite judges by what a site asks for as far as that is known. Where the class is in doubt only what no reading of the
// zones would turn stands, and where it has no figure or the ground level is not known what falls short by the least that it may
// ask for; the rest is not assessed. within is the margin, as a share, within which the two editions may
// judge differently.
func atSite(s *audit.Subject, t *audit.Trace, within float64, judge judgement) audit.Verdict {
	if least, unknown, remark := leastAsked(s); unknown != audit.NoReason {
		v := inDoubt(least, t, within, judge)
		if v.Outcome != audit.FallsShort || v.Severity != audit.Shortfall {
			clearSteps(t)
			return audit.CannotTell(unknown)
		}
		if s.NeedsSentence(v) {
			v = v.Saying(v.Sentence + remark)
		}
		return v
	}
	return inDoubt(s, t, within, judge)
}

// leastAsked is a subject whose site asks for the least that it may, why no more is known, and what to say of it: of class f
// without a figure the figure of class e, at an unknown ground level an altitude factor of 1. NoReason where all is known.
func leastAsked(s *audit.Subject) (least *audit.Subject, unknown audit.Reason, remark string) {
	above, noAltitude := s.Structure.AboveTheTable(), s.LacksCreepageAltitude()
	if !above && noAltitude == audit.NoReason {
		return s, audit.NoReason, ""
	}
	other := *s
	other.AtLeast = true
	if above {
		there := *s.Structure
		there.Class, there.SpecificCreepage = basis.ClassE, s.Criteria.SpecificCreepageOn(s.Line, basis.ClassE)
		other.Structure, unknown = &there, audit.ClassWithoutFigure
		remark = " The site is of class f, which asks for more still; nobody states its figure."
	}
	if noAltitude != audit.NoReason {
		unknown = noAltitude
		remark += " It falls short at any altitude; the ground level here is not known."
	}
	return &other, unknown, remark
}

// atAnyAltitude tells whether a subject is judged by an altitude factor of 1, the least there is.
func atAnyAltitude(s *audit.Subject) bool {
	return s.AtLeast && s.LacksGround() != audit.NoReason
}

// inDoubt judges by what a site asks for, as far as its class is known.
func inDoubt(s *audit.Subject, t *audit.Trace, within float64, judge judgement) audit.Verdict {
	v := byEditions(s, t, within, judge)
	site := s.Structure
	switch {
	case site.Doubt == audit.NoReason:
		return v
	case site.LesserCreepage > 0 && v.Outcome == audit.Meets:
		return v
	case v.Outcome == audit.FallsShort && (site.LesserCreepage == 0 || fallsShortAt(s, site.LesserCreepage, judge)):
		return v
	}
	clearSteps(t)
	return audit.CannotTell(site.Doubt)
}

// fallsShortAt tells whether a subject would fall short at another specific creepage too.
func fallsShortAt(s *audit.Subject, specificCreepage float64, judge judgement) bool {
	there := *s.Structure
	there.SpecificCreepage = specificCreepage
	other := *s
	other.Structure, other.Trial = &there, true
	return judge(&other, nil).Outcome == audit.FallsShort
}

// byEditions judges by the basis in force. Where that is the default only, what meets by one edition and falls short by the
// other is an advisory that says so.
func byEditions(s *audit.Subject, t *audit.Trace, within float64, judge judgement) audit.Verdict {
	v := judge(s, t)
	if v.Outcome > audit.FallsShort || s.Criteria.CreepageBasisStated || !(math.Abs(v.Margin) <= within) {
		return v
	}
	other, ok := byOtherEdition(s)
	if !ok {
		return v
	}
	quiet := *other
	quiet.Trial = true
	meetsBy := other.Criteria.CreepageBasis
	switch w := judge(&quiet, nil); {
	case w.Outcome > audit.FallsShort || w.Outcome == v.Outcome:
		return v
	case v.Outcome == audit.Meets:
		clearSteps(t)
		v, meetsBy = judge(other, t), s.Criteria.CreepageBasis
	}
	if s.NeedsSentence(v) {
		v = v.Saying(fmt.Sprintf("%s On the %s basis it meets; the project states no creepage_basis, so this is an advisory.", v.Sentence, meetsBy))
	}
	return v.As(audit.Advisory)
}

// byOtherEdition is a subject with the figure that the other edition has for its class; ok is false where the figure in force
// is of no edition.
func byOtherEdition(s *audit.Subject) (other *audit.Subject, ok bool) {
	class := s.Structure.Class
	own := &s.Criteria.OwnSpecificCreepage.MMPerKV
	if s.GoesByPole() || class == basis.ClassA || int(class) >= len(own) || !math.IsNaN(own[class]) { // the levels of 1986 have none for class a
		return nil, false
	}
	criteria, site := s.CriteriaByOtherEdition(), *s.Structure
	if site.SpecificCreepage, ok = basis.SpecificCreepage(criteria.CreepageBasis, class); !ok {
		return nil, false
	}
	judged := *s
	judged.Criteria, judged.Structure = criteria, &site
	return &judged, true
}

func clearSteps(t *audit.Trace) {
	if t.On() {
		t.Steps = nil
	}
}
