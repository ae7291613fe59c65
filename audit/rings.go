package audit

import (
	"fmt"

	"dryarc/audit/basis"
)

// Rings says at which ends of its strings an assembly has grading rings.
type Rings uint8

// The entries of the register.
const (
	RingsUnknown Rings = iota
	NoRings
	LiveEnd
	EarthEnd
	BothEnds
)

var ringNames = [...]string{"", "none", "live", "earth", "both"}

func (r Rings) String() string { return ringNames[r] }

// RingsWords are the spellings of the Grading rings column.
func RingsWords() []Spelling[Rings] {
	return []Spelling[Rings]{{"none", NoRings}, {"live", LiveEnd}, {"earth", EarthEnd}, {"both", BothEnds}}
}

// EndsWords are the ends at which a project may ask for grading rings.
func EndsWords() []Spelling[Rings] { return []Spelling[Rings]{{"live", LiveEnd}, {"both", BothEnds}} }

// Serves tells whether rings are at the ends that are asked for.
func (r Rings) Serves(asked Rings) bool { return r == asked || r == BothEnds && asked == LiveEnd }

// GradingRings say at which ends composites have grading rings, from which highest voltage on. There is no default: it is the maker's and the
// owner's to say.
type GradingRings []RingsRule

// RingsRule holds from a highest voltage on, up to that of the next rule.
type RingsRule struct {
	FromKV float64
	Ends   Rings
}

// MarshalJSON writes the voltage and the ends in words.
func (r RingsRule) MarshalJSON() ([]byte, error) {
	return fmt.Appendf(nil, `{"from_kV":%g,"ends":%q}`, r.FromKV, r.Ends), nil
}

// At is the rule for a highest voltage: that which begins nearest below it, or at it; ok is false where none does.
func (g GradingRings) At(highestKV float64) (rule RingsRule, ok bool) {
	for _, r := range g {
		if compare(r.FromKV, highestKV) <= 0 && (!ok || r.FromKV > rule.FromKV) {
			rule, ok = r, true
		}
	}
	return rule, ok
}

// MayBeComposite tells whether a string has a composite in it, or a unit of which that is not known.
func (a *Assembly) MayBeComposite() bool {
	return a.Makeup == nil || a.HasKind(basis.Composite) || a.HasKind(basis.KindUnknown)
}

// What grading rings ask for.
var (
	AsksRings = Need{"grading rings", ofAnything, func(s *Subject) Reason {
		if len(s.Criteria.GradingRings) == 0 {
			return NoRingsAsked
		}
		return NoReason
	}}
	NeedsRings = Need{"grading rings of the assembly", ofAssembly, func(s *Subject) Reason {
		return s.Assembly.lacks(s.Assembly.Rings == RingsUnknown, CellMounting, RingsNotStated)
	}}
	NeedsCompositeKind = Need{"kind of the unit, where none is a composite", ofAssembly, func(s *Subject) Reason {
		if s.Assembly.HasKind(basis.Composite) {
			return NoReason
		}
		return s.Assembly.lacksKind()
	}}
)
