package audit

import (
	"cmp"
	"fmt"
	"regexp"
	"strings"

	"dryarc/audit/basis"
)

// SubjectKind is what a check looks at.
type SubjectKind uint8

// The kinds of subject.
const (
	OfAssembly  SubjectKind = iota // one row of the register at its structure
	OfPlace                        // one circuit at one structure, at tension structures on one side of it
	OfStructure                    // one structure of one line
	OfSection                      // the spans between two tension structures, as registered
	OfLine                         // one line
)

var subjectKindNames = [...]string{"assembly", "place", "structure", "section", "line"}

func (k SubjectKind) String() string { return subjectKindNames[k] }

// Check is the record of one check: all that the README, `dryarc checks`, the outputs and the run know of it.
type Check struct {
	ID       string // permanent, a slug in trade words
	Title    string // names the faulty condition
	Of       SubjectKind
	Severity Severity       // of an exception, unless the verdict says milder
	Basis    []basis.Clause // never empty; common practice is said to be that
	Method   Method
	// AskedBy is what the project states where it asks for the check; the check is not asked for where one is silent. Of an assembly that is the
	// same whatever its units and strings.
	AskedBy []Need
	Trusts  []Need // asked before Concerns: what it cannot even be silent about while the cell is faulty, unless nobody asks for the check
	Needs   []Need // a subject that lacks one is not assessed, and Judge is not called
	Remedy  string
	// Otherwise are the remedies of verdicts for which Remedy is none, as their Advice counts them, from 1.
	Otherwise []string
	Sizes     bool // its requirement decides how many units a string needs
	BySpans   bool // its verdict rests on the spans beside a structure: where one may be missing there, none meets
	// KeepsDuty tells that another duty does not answer it: it does not concern tension assemblies, by which the structure bears more.
	KeepsDuty bool
	// ByAttachments tells that longer or shorter strings change its verdict by where they are attached, which no unit does: as an advisory it is told and stops none.
	ByAttachments bool
	Strings       bool  // more strings side by side may answer it; others would take them for their weight alone
	Headroom      bool  // it is counted once more with every class one worse
	AnyCount      bool  // its verdict on strings of like units is the same whatever their number in each, from two on, and their figures
	AnyMake       bool  // its verdict on an assembly is the same whatever strings make it up, of units that are made for its duty
	Compares      bool  // its verdict on an assembly rests on Assembly.Odd, which is not found where no such check is put
	Rests         Rests // on what kinds of figures; none is on any
	// Reads is on what of its structure its verdict on an assembly rests; none is on anything.
	Reads SiteReads
	// OfLine is on which figures of its line its verdict rests; none is on any.
	OfLine LineReads
	// Errs are the inputs whose errors move its verdict on an assembly, Parted and Pieces by what that goes in parts which have limits of their own.
	Errs   Errs
	Parted Parting
	Pieces []string
	// Between tells that where it meets of like units in a string with two numbers of them, by more than rounding, it meets with every number
	// between, all else being equal.
	Between bool
	// ByLoad tells that of sound strings of like units, of suspension or tension and in no V, its verdict goes by what one of them weighs and is rated at: where it
	// meets of two by more than rounding, or does not apply, it does not fall short of another in their place that weighs no less than one of them,
	// no more than the other, and is rated no less than either.
	ByLoad bool
	// Crossing, of a check of what spans cross, tells whether a rule asks for what it judges.
	Crossing func(CrossingRule) bool
	// Drives are the quantities that raise what it requires of an assembly, or what the assembly bears.
	Drives []Quantity

	// Judge is pure: the same subject gives the same verdict and stays as it was, as it does in Concerns. t is nil in bulk.
	Judge func(s *Subject, t *Trace) Verdict
	// Concerns, where set, tells what the check is silent about before its needs are looked at; NoReason means that it
	// applies. Neither it nor Trusts and AskedBy look at how many units a string has, but for whether it is one, or at figures that are
	// stated of the whole.
	Concerns func(s *Subject) Reason
}

// RemedyFor is what the check advises on a verdict that falls short.
func (c *Check) RemedyFor(v *Verdict) string {
	if v.Advice > 0 {
		return c.Otherwise[v.Advice-1]
	}
	return c.Remedy
}

// Remedies are all that the check advises.
func (c *Check) Remedies() string {
	return strings.Join(append([]string{c.Remedy}, c.Otherwise...), " ")
}

// Method says how a check judges.
type Method struct {
	Formula string
	Symbols []Explained
	Limits  string // where it holds, and what happens outside
	Example Example
}

// Explained is a symbol of a formula.
type Explained struct{ Symbol, Meaning, Measure string }

// Example is a worked example that the tests run and `dryarc checks ID` prints.
type Example struct {
	Story   string
	Subject func() Subject
	Outcome Outcome
	// Observed and Required are what the example must give, NaN where the verdict is in words.
	Observed, Required float64
	Source             string // where the expected figures come from
}

// Run puts a check to a subject: what it does not concern first, then what it needs, then its function. A check that panics
// has not assessed the subject.
func (c *Check) Run(s Subject, t *Trace) Verdict {
	v, _ := c.try(&s, t)
	return v
}

// passesOver tells why a check has no judgement on a subject, which it does not concern or cannot assess; NoReason where it
// judges.
func (c *Check) passesOver(s *Subject) (Outcome, Reason) {
	if outcome, reason := c.isSilent(s); reason != NoReason {
		return outcome, reason
	}
	return c.lacksNeed(s)
}

// isSilent tells why a check has no judgement on a subject whatever is known of it, and however many units a string has, from two on.
func (c *Check) isSilent(s *Subject) (Outcome, Reason) {
	for i := range c.Trusts {
		if reason := c.Trusts[i].lacks(s); reason.IsFaulty() {
			return NotAssessed, cmp.Or(c.whyUnasked(s), reason)
		}
	}
	if c.Concerns != nil {
		if reason := c.Concerns(s); reason != NoReason {
			return NotApplicable, reason
		}
	}
	for i := range c.AskedBy {
		if reason := c.AskedBy[i].lacks(s); reason != NoReason {
			return NotAssessed, reason
		}
	}
	return Meets, NoReason
}

// whyUnasked tells why nobody asks for a check: what cannot be read is no lack of it then.
func (c *Check) whyUnasked(s *Subject) Reason {
	for i := range c.AskedBy {
		if reason := c.AskedBy[i].lacks(s); reason.AskedBy() != "" {
			return reason
		}
	}
	return NoReason
}

// lacksNeed tells what a check that is not silent about a subject lacks of it.
func (c *Check) lacksNeed(s *Subject) (Outcome, Reason) {
	for i := range c.Needs {
		if reason := c.Needs[i].lacks(s); reason != NoReason {
			return NotAssessed, reason
		}
	}
	return Meets, NoReason
}

// judge is the verdict on a subject that a check does not pass over.
func (c *Check) judge(s *Subject, t *Trace) Verdict {
	v := c.Judge(s, t)
	if c.BySpans && v.Outcome == Meets && v.Reason != TensionStandsAnywhere && s.Structure.MayMiss {
		v = CannotTell(StructureMayBeMissing)
	}
	if v.Reason == NoReason && c.Errs != 0 && !s.Trial && !s.off && s.Criteria.statesErrors() && c.isWithinErrors(s, &v) {
		v.Reason = OutcomeWithinErrors
	}
	v.Severity = max(v.Severity, c.Severity)
	if v.Outcome == FallsShort && s.Assembly != nil && s.Assembly.Observed != nil {
		return c.byInspection(s, v)
	}
	return v
}

var slug = regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)

// ValidateChecks finds mistakes in a list of checks before anything runs.
func ValidateChecks(checks []*Check) error {
	seen := map[string]bool{}
	for _, c := range checks {
		switch {
		case !slug.MatchString(c.ID):
			return fmt.Errorf("check %q: the ID is no slug", c.ID)
		case seen[c.ID]:
			return fmt.Errorf("check %s stands twice in the list", c.ID)
		case c.Title == "" || c.Remedy == "" || c.Method.Formula == "" || c.Method.Limits == "":
			return fmt.Errorf("check %s: title, remedy, formula or limits are missing", c.ID)
		case len(c.Basis) == 0:
			return fmt.Errorf("check %s has no basis", c.ID)
		case c.Judge == nil || c.Method.Example.Subject == nil:
			return fmt.Errorf("check %s has no function or no worked example", c.ID)
		}
		if err := validateNeeds(c); err != nil {
			return err
		}
		seen[c.ID] = true
	}
	return nil
}
