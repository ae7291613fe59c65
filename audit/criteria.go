package audit

import (
	"encoding/json"
	"math"
	"strconv"

	"dryarc/audit/basis"
)

// Number is a criterion that may be stated, may stand at a documented default, or may be unknown (NaN). Not stated is
// not the same as 0.
type Number struct {
	Value  float64
	Stated bool
	Clause basis.Clause // of the value: the project itself, or what the default rests on
}

// Stated is a number that the project states.
func Stated(value float64) Number { return Number{value, true, basis.OwnFigure} }

// NotStated is a number without a default that nobody states.
func NotStated() Number { return Number{Value: math.NaN()} }

// Known tells whether there is a value, stated or by default.
func (n Number) Known() bool { return !math.IsNaN(n.Value) }

func (n Number) String() string {
	if !n.Known() {
		return "not stated"
	}
	text := n.text()
	if !n.Stated {
		text += " (default)"
	}
	return text
}

// ClauseOr is the source of a figure that rests on the number: the number's own where it is stated, else another.
func (n Number) ClauseOr(other basis.Clause) basis.Clause {
	if n.Stated {
		return n.Clause
	}
	return other
}

func (n Number) text() string { return strconv.FormatFloat(n.Value, 'g', -1, 64) }

// MarshalJSON writes the value, or null where there is none.
func (n Number) MarshalJSON() ([]byte, error) {
	if !n.Known() {
		return []byte("null"), nil
	}
	return json.Marshal(n.Value)
}

// OwnCreepage are the project's own specific creepages and the voltage that they count.
type OwnCreepage struct {
	MMPerKV [basis.ClassF + 1]float64 // by class; NaN where the table's value holds
	Base    basis.Base                // NoBase where no figure is stated
}

// On returns the figure for a class in mm/kV on a base; NaN where there is none.
func (own *OwnCreepage) On(base basis.Base, class basis.Class) float64 {
	return basis.OnBase(own.MMPerKV[class], own.Base, base)
}

// SoundUnitsRule is the policy for one nominal voltage.
type SoundUnitsRule struct {
	NominalKV float64 `json:"nominal_kV"`
	Units     int     `json:"units"`
}

// LeastSoundUnits is the policy for a nominal voltage; ok is false where there is none.
func (c *Criteria) LeastSoundUnits(nominalKV float64) (units int, ok bool) {
	for _, rule := range c.SoundUnits {
		if !math.IsNaN(nominalKV) && compare(rule.NominalKV, nominalKV) == 0 {
			return rule.Units, true
		}
	}
	return 0, false
}

// LongSpanKind is the kind of crossing under which spans from LongSpanM on go.
const LongSpanKind = "long span"

// CrossingRule is the policy for one kind of crossing.
type CrossingRule struct {
	Kind    string `json:"kind"`
	Double  bool   `json:"double"`  // two or more parallel strings
	Tension bool   `json:"tension"` // tension assemblies on the crossed span
}

func (r CrossingRule) String() string {
	switch {
	case r.Double && r.Tension:
		return r.Kind + ": tension and double"
	case r.Double:
		return r.Kind + ": double"
	}
	return r.Kind + ": tension"
}

// spanLimitM is the span in metres beyond which a structure of a line is likely to be missing.
func (c *Criteria) spanLimitM(nominalKV float64) float64 {
	if !c.SpanLimitM.Known() {
		return basis.LikelySpanM(nominalKV)
	}
	return c.SpanLimitM.Value
}

// SpecificCreepage returns the specific creepage of a class in mm/kV on the chosen basis: the user's own figure, else
// the table's; NaN where there is neither.
func (c *Criteria) SpecificCreepage(class basis.Class) float64 {
	if own := c.OwnSpecificCreepage.On(c.CreepageBasis.Base(), class); !math.IsNaN(own) {
		return own
	}
	if value, ok := basis.SpecificCreepage(c.CreepageBasis, class); ok {
		return value
	}
	return math.NaN()
}

// CreepageSource says where the specific creepage of a structure comes from: the table of the basis, or the project, which
// states it for the class or for the zone.
func (c *Criteria) CreepageSource(class basis.Class, mmPerKV float64) basis.Clause {
	value, ok := basis.SpecificCreepage(c.CreepageBasis, class)
	if ok && value == mmPerKV && math.IsNaN(c.OwnSpecificCreepage.MMPerKV[class]) {
		return c.CreepageBasis.Source()
	}
	return basis.OwnFigure
}

// CreepageInWords says the specific creepage of a structure in mm/kV, with its base, as the project states it, and what that is on the
// base of the edition.
func (c *Criteria) CreepageInWords(s *Structure) string {
	on := c.CreepageBasis.Base()
	stated := s.StatedBase
	if stated == basis.NoBase && !math.IsNaN(c.OwnSpecificCreepage.MMPerKV[s.Class]) {
		stated = c.OwnSpecificCreepage.Base
	}
	figure := func(base basis.Base) string {
		return strconv.FormatFloat(math.Round(basis.OnBase(s.SpecificCreepage, on, base)*100)/100, 'f', -1, 64)
	}
	if stated == basis.NoBase || stated == on {
		return figure(on) + " mm/kV on " + on.String()
	}
	return figure(stated) + " mm/kV on " + stated.String() + ", " + figure(on) + " on " + on.String()
}
