package audit

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"

	"dryarc/audit/basis"
)

// Number is a criterion that may be stated, may stand at a documented default, or may be unknown (NaN). Not stated is
// not the same as 0.
type Number struct {
	Value  float64
	Stated bool
}

// Stated is a number that the project states.
func Stated(value float64) Number { return Number{value, true} }

func defaulted(value float64) Number { return Number{Value: value} }

// NotStated is a number without a default that nobody states.
func NotStated() Number { return Number{Value: math.NaN()} }

// Known tells whether there is a value, stated or by default.
func (n Number) Known() bool { return !math.IsNaN(n.Value) }

func (n Number) String() string {
	if !n.Known() {
		return "not stated"
	}
	text := strconv.FormatFloat(n.Value, 'g', -1, 64)
	if !n.Stated {
		text += " (default)"
	}
	return text
}

// MarshalJSON writes the value, or null where there is none.
func (n Number) MarshalJSON() ([]byte, error) {
	if !n.Known() {
		return []byte("null"), nil
	}
	return json.Marshal(n.Value)
}

// Criteria are the rules of one audit. A default in use is listed as an assumption of the result.
type Criteria struct {
	// DeviationLimitDeg is the largest deviation a suspension assembly may stand at. Default 2 (common practice).
	DeviationLimitDeg Number `json:"deviation_limit_deg"`
	// PinDeviationLimitDeg is the same for pin and post assemblies, which have limits of their own. No default.
	PinDeviationLimitDeg Number `json:"pin_deviation_limit_deg"`
	// PositionAccuracyM is the standard error of a position along each horizontal axis. No default.
	PositionAccuracyM Number `json:"position_accuracy_m"`
	// TeeToleranceM is how near to a structure another line must end to make it a tee. Default 0.5.
	TeeToleranceM Number `json:"tee_tolerance_m"`
	// TensionAtTee asks for tension assemblies on the through line of a tee; otherwise that is an advisory.
	TensionAtTee bool `json:"tension_at_tee"`
	// DefaultClass is the pollution class outside every zone. ClassUnknown: creepage is not assessed there.
	DefaultClass basis.Class `json:"-"`
	// CreepageBasis chooses unified specific creepage (2008) or the levels of 1986. Default unified.
	CreepageBasis       basis.CreepageBasis `json:"-"`
	CreepageBasisStated bool                `json:"-"`
	// OwnSpecificCreepage are the user's own figures in mm/kV by class, on OwnCreepageBase; NaN where the table's
	// value holds.
	OwnSpecificCreepage [basis.ClassF + 1]float64 `json:"-"`
	OwnCreepageBase     basis.Base                `json:"-"`
	// CreepageAltitudeExponent raises the required creepage with altitude (0.5 standard profile to 0.8 anti-fog,
	// IEC 60071-2, value from memory). Default 0, which is off.
	CreepageAltitudeExponent Number `json:"creepage_altitude_exponent"`
	// AltitudeBasis says whether a level of the Lines sheet covers sites up to 1000 m (a standard level does, which is the
	// default) or is required at the site.
	AltitudeBasis       basis.AltitudeBasis `json:"-"`
	AltitudeBasisStated bool                `json:"-"`
	// SwitchingExponent is m of the altitude factor for switching impulse. Default 0.75 (IEC 62271-1).
	SwitchingExponent Number `json:"switching_exponent"`
	// GapFactor is K of the gap formulas. Default 1.25, a string in a tower window (value from memory).
	GapFactor Number `json:"gap_factor"`
	// WetShare is the share of the wet flashover that a string withstands. Default 0.90 (common practice).
	WetShare Number `json:"wet_share"`
	// PunctureShare is the largest share of its puncture voltage at which an insulator may flash over. Default 0.75.
	PunctureShare Number `json:"puncture_share"`
	// SoundUnits is the user's least number of sound units in a string by nominal voltage. No default.
	SoundUnits []SoundUnitsRule `json:"sound_units"`
	// ZoneMarginM is how near a worse zone has to be for near-worse-zone to look at it. No default.
	ZoneMarginM Number `json:"zone_margin_m"`
	// SpanLimitM is the span beyond which a structure is likely to be missing. Default 2000 above 60 kV and where the
	// voltage is unknown, 500 up to 60 kV (common practice).
	SpanLimitM Number `json:"span_limit_m"`
	// RouteToleranceM is how far from its route a structure may stand. Default 50.
	RouteToleranceM Number `json:"route_tolerance_m"`
	// LongSpanM is the span from which the rule for long spans holds. No default.
	LongSpanM Number `json:"long_span_m"`
	// CrossingRules say what a crossed kind asks for; LongSpanKind is the kind of long spans, double unless a rule says
	// otherwise.
	CrossingRules []CrossingRule `json:"crossing_rules"`
	// InsulatorFactor, LoadCases: what strength and swing are judged by. No default.
	InsulatorFactor InsulatorFactor `json:"insulator_factor"`
	LoadCases       []LoadCase      `json:"load_cases"`
	// UnequalSharing is by how much the worst of parallel strings carries more than an equal share. Default 1.
	UnequalSharing Number `json:"unequal_sharing"`
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
//
// Source: common practice.
func (c *Criteria) spanLimitM(nominalKV float64) float64 {
	if !c.SpanLimitM.Known() && nominalKV <= 60 {
		return 500
	}
	if !c.SpanLimitM.Known() {
		return 2000
	}
	return c.SpanLimitM.Value
}

// DefaultCriteria returns the criteria of a project that states none.
func DefaultCriteria() Criteria {
	c := Criteria{
		DeviationLimitDeg:        defaulted(2),
		PinDeviationLimitDeg:     NotStated(),
		PositionAccuracyM:        NotStated(),
		TeeToleranceM:            defaulted(0.5),
		CreepageBasis:            basis.Unified,
		CreepageAltitudeExponent: defaulted(0),
		AltitudeBasis:            basis.Rated1000,
		SwitchingExponent:        defaulted(0.75),
		GapFactor:                defaulted(1.25),
		WetShare:                 defaulted(0.90),
		PunctureShare:            defaulted(0.75),
		SoundUnits:               []SoundUnitsRule{},
		ZoneMarginM:              NotStated(),
		SpanLimitM:               NotStated(),
		RouteToleranceM:          defaulted(50),
		LongSpanM:                NotStated(),
		CrossingRules:            []CrossingRule{},
		LoadCases:                []LoadCase{},
		UnequalSharing:           defaulted(1),
	}
	for i := range c.OwnSpecificCreepage {
		c.OwnSpecificCreepage[i] = math.NaN()
	}
	return c
}

// SpecificCreepage returns the specific creepage of a class in mm/kV on the chosen basis: the user's own figure, else
// the table's; NaN where there is neither.
func (c *Criteria) SpecificCreepage(class basis.Class) float64 {
	if own := c.OwnSpecificCreepage[class]; !math.IsNaN(own) {
		return basis.OnBase(own, c.OwnCreepageBase, c.CreepageBasis.Base())
	}
	if value, ok := basis.SpecificCreepage(c.CreepageBasis, class); ok {
		return value
	}
	return math.NaN()
}

// Criterion is one criterion as people read it.
type Criterion struct {
	Key, Value, Meaning string
	Stated              bool
}

// List returns every criterion in a fixed order, for the outputs.
func (c *Criteria) List() []Criterion {
	number := func(key string, n Number, meaning string) Criterion {
		value := "not stated"
		if n.Known() {
			value = strconv.FormatFloat(n.Value, 'g', -1, 64)
		}
		return Criterion{key, value, meaning, n.Stated}
	}
	class := "not stated"
	if c.DefaultClass != basis.ClassUnknown {
		class = c.DefaultClass.String()
	}
	own := "not stated"
	if c.OwnCreepageBase != basis.NoBase {
		own = "base " + c.OwnCreepageBase.String()
		for i, value := range c.OwnSpecificCreepage {
			if !math.IsNaN(value) {
				own += fmt.Sprintf(", %s %g", basis.Class(i), value)
			}
		}
	}
	sound := "not stated"
	if len(c.SoundUnits) > 0 {
		var texts []string
		for _, rule := range c.SoundUnits {
			texts = append(texts, fmt.Sprintf("%g kV: %d", rule.NominalKV, rule.Units))
		}
		sound = strings.Join(texts, ", ")
	}
	factors, cases := "not stated", "not stated"
	if f := c.InsulatorFactor; f != (InsulatorFactor{}) {
		factors = fmt.Sprintf("%s: tension %g, suspension %g, cantilever %g, one string broken %g", f.Basis, f.Tension, f.Suspension, f.Cantilever, f.OneStringBroken)
	}
	if len(c.LoadCases) > 0 {
		var texts []string
		for i := range c.LoadCases {
			texts = append(texts, c.LoadCases[i].Name)
		}
		cases = strings.Join(texts, ", ")
	}
	rules := "not stated"
	if len(c.CrossingRules) > 0 {
		var texts []string
		for _, rule := range c.CrossingRules {
			texts = append(texts, rule.String())
		}
		rules = strings.Join(texts, ", ")
	}
	return []Criterion{
		number("deviation_limit_deg", c.DeviationLimitDeg, "largest deviation for suspension assemblies, degrees"),
		number("pin_deviation_limit_deg", c.PinDeviationLimitDeg, "largest deviation for pin and post assemblies, degrees"),
		number("position_accuracy_m", c.PositionAccuracyM, "standard error of a position per horizontal axis, metres"),
		number("tee_tolerance_m", c.TeeToleranceM, "how near another line must end to make a tee, metres"),
		{"tension_at_tee", strconv.FormatBool(c.TensionAtTee), "tension assemblies required on the through line of a tee", c.TensionAtTee},
		{"default_class", class, "pollution class outside every zone", c.DefaultClass != basis.ClassUnknown},
		{"creepage_basis", c.CreepageBasis.String(), "unified specific creepage of 2008, or the levels of 1986", c.CreepageBasisStated},
		{"specific_creepage", own, "own figures by class, mm/kV, and their base: " + basis.BaseWords, c.OwnCreepageBase != basis.NoBase},
		number("creepage_altitude_exponent", c.CreepageAltitudeExponent, "altitude exponent on polluted insulation, 0 is off"),
		{"altitude_basis", c.AltitudeBasis.String(), "what a withstand level of the Lines sheet covers: sites up to 1000 m, or sea level", c.AltitudeBasisStated},
		number("switching_exponent", c.SwitchingExponent, "altitude exponent for switching impulse"),
		number("gap_factor", c.GapFactor, "gap factor K of the gap formulas"),
		number("wet_share", c.WetShare, "share of the wet flashover that a string withstands"),
		number("puncture_share", c.PunctureShare, "largest share of the puncture voltage for dry flashover"),
		{"sound_units", sound, "least number of sound units by nominal voltage", len(c.SoundUnits) > 0},
		number("zone_margin_m", c.ZoneMarginM, "how near a worse zone is looked at, metres"),
		number("span_limit_m", c.SpanLimitM, "span beyond which a structure is likely missing, metres; 2000 above 60 kV and 500 below where not stated"),
		number("route_tolerance_m", c.RouteToleranceM, "how far from its route a structure may stand, metres"),
		number("long_span_m", c.LongSpanM, "span from which the rule for long spans holds, metres"),
		{"insulator_factor", factors, "rating over load, and the document it follows", c.InsulatorFactor != (InsulatorFactor{})},
		{"load_cases", cases, "weathers in which assemblies are loaded", len(c.LoadCases) > 0},
		number("unequal_sharing", c.UnequalSharing, "how much more than an equal share the worst of parallel strings carries"),
		{"crossing_rules", rules, "what a crossed kind asks for", len(c.CrossingRules) > 0},
	}
}

// MarshalJSON writes the criteria in force, unknown numbers as null.
func (c Criteria) MarshalJSON() ([]byte, error) {
	type plain Criteria
	var class *string
	if c.DefaultClass != basis.ClassUnknown {
		text := c.DefaultClass.String()
		class = &text
	}
	own := map[string]any{}
	for i, value := range c.OwnSpecificCreepage {
		if !math.IsNaN(value) {
			own[basis.Class(i).String()], own["base"] = value, c.OwnCreepageBase.String()
		}
	}
	return json.Marshal(struct {
		plain
		DefaultClass     *string        `json:"default_class"`
		CreepageBasis    string         `json:"creepage_basis"`
		AltitudeBasis    string         `json:"altitude_basis"`
		SpecificCreepage map[string]any `json:"specific_creepage,omitempty"`
	}{plain(c), class, c.CreepageBasis.String(), c.AltitudeBasis.String(), own})
}
