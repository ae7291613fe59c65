package audit

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit/basis"
)

// RiskRule is what the project states for the ranking by risk. Every figure is the project's; the zero value states nothing, and then
// nothing is ranked. A figure that is not stated is 0.
type RiskRule struct {
	Direct    bool   // the figures are of direct current, and hold on no other line
	Measure   string // of severity, in words, such as mg/cm² of salt deposit density
	Site      [basis.ClassF + 1]SiteSeverity
	Withstand []UnitWithstand
	Lightning Overvoltage
	Switching Overvoltage
}

// SiteSeverity is the pollution severity of the sites of a class, lognormal: its median, and the standard deviation of its logarithm.
type SiteSeverity struct{ Median, Sigma float64 }

// UnitWithstand is what tests of polluted strings of one type of unit, or of units of one material, gave: U50 at severity S is n·A·S^(−a) of n
// units, or L·A·S^(−a) of a creepage of L metres. An insulator that is a whole string counts as one unit. Units of one material differ, so
// that for a material A is by creepage alone.
type UnitWithstand struct {
	Of    string  // the type or the material, as the Units sheet names it
	A     float64 // kV for each unit, at a severity of 1; of a type
	PerM  float64 // kV for each metre of creepage; one of the two is stated
	Slope float64 // the exponent a
	Sigma float64 // standard deviation of the flashover voltage, as a share of it
}

// Overvoltage is the stress of one kind, normal, and what stands against it beside the U50 of a string.
type Overvoltage struct {
	MeanKV, SigmaKV float64 // kV peak
	StrengthSigma   float64 // Z as a share of U50
	Strings         int     // how many are stressed at once
}

// IsStated tells whether the project asks for the ranking.
func (r *RiskRule) IsStated() bool {
	return r.AsksPollution() || r.Lightning.IsStated() || r.Switching.IsStated()
}

// AsksPollution tells whether the project states any figure for pollution flashover.
func (r *RiskRule) AsksPollution() bool {
	return r.Measure != "" || len(r.Withstand) > 0 || r.Site != [len(r.Site)]SiteSeverity{}
}

// IsStated tells whether any figure is stated.
func (o Overvoltage) IsStated() bool { return o != Overvoltage{} }

// WithstandOf is what is stated for a unit: by its type, else by its material, in any case of their letters; nil where nothing is.
func (r *RiskRule) WithstandOf(unit *basis.Unit) (stated *UnitWithstand, byType bool) {
	for k, name := range [...]string{unit.Name, strings.TrimSpace(unit.Material)} {
		for i := range r.Withstand {
			if name != "" && strings.EqualFold(r.Withstand[i].Of, name) {
				return &r.Withstand[i], k == 0
			}
		}
	}
	return nil, false
}

// unmetWithstands are the names under withstand that no unit has as its type or material, each once.
func (p *Project) unmetWithstands() (unmet []string) {
	all := func(r *RiskRule) {
		for i := range r.Withstand {
			name := r.Withstand[i].Of
			if !slices.Contains(unmet, name) && !slices.ContainsFunc(p.Units, func(u basis.Unit) bool {
				return strings.EqualFold(u.Name, name) || strings.EqualFold(strings.TrimSpace(u.Material), name)
			}) {
				unmet = append(unmet, name)
			}
		}
	}
	all(&p.Criteria.Risk)
	for i := range p.Rules {
		all(&p.Rules[i].Criteria.Risk)
	}
	return unmet
}

// RiskFigure is one figure of the rule, by the keys that lead to it in the project file.
type RiskFigure struct {
	Key     string
	Value   float64 // NaN where it is not stated
	Measure string
}

// Figures are all figures that are stated or that a stated part lacks, in the order of the project file.
func (r *RiskRule) Figures() (list []RiskFigure) {
	add := func(key string, value float64, measure string) {
		if value == 0 {
			value = math.NaN()
		}
		list = append(list, RiskFigure{key, value, measure})
	}
	for class, s := range r.Site {
		if s != (SiteSeverity{}) {
			key := "site_severity." + basis.Class(class).String()
			add(key+".median", s.Median, r.Measure)
			add(key+".sigma", s.Sigma, "")
		}
	}
	for _, w := range r.Withstand {
		if w.PerM > 0 {
			add("withstand."+w.Of+".A_kV_per_m", w.PerM, "kV/m")
		} else {
			add("withstand."+w.Of+".A_kV_per_unit", w.A, "kV")
		}
		add("withstand."+w.Of+".a", w.Slope, "")
		add("withstand."+w.Of+".sigma", w.Sigma, "")
	}
	for i, o := range [...]Overvoltage{r.Lightning, r.Switching} {
		if !o.IsStated() {
			continue
		}
		key := [...]string{"lightning", "switching"}[i]
		add(key+".mean_kV", o.MeanKV, "kV")
		add(key+".sigma_kV", o.SigmaKV, "kV")
		add(key+".strength_sigma", o.StrengthSigma, "")
		add(key+".strings", float64(o.Strings), "")
	}
	return list
}

// MarshalJSON writes the rule as a project file does.
func (r *RiskRule) MarshalJSON() ([]byte, error) {
	if !r.IsStated() {
		return []byte("null"), nil
	}
	plain := map[string]any{}
	if r.Direct {
		plain["direct_current"] = true
	}
	if r.Measure != "" {
		plain["measure"] = r.Measure
	}
	for _, f := range r.Figures() {
		if math.IsNaN(f.Value) {
			continue
		}
		at, keys := plain, r.keysOf(f.Key)
		for _, key := range keys[:len(keys)-1] {
			below, is := at[key].(map[string]any)
			if !is {
				below = map[string]any{}
				at[key] = below
			}
			at = below
		}
		at[keys[len(keys)-1]] = f.Value
	}
	return json.Marshal(plain)
}

// keysOf takes the keys of a figure apart; the name of a unit may have dots of its own.
func (r *RiskRule) keysOf(key string) []string {
	first, rest, _ := strings.Cut(key, ".")
	if at := strings.LastIndexByte(rest, '.'); at >= 0 {
		return []string{first, rest[:at], rest[at+1:]}
	}
	return []string{first, rest}
}

// String is the rule in one line; empty where nothing is stated.
func (r *RiskRule) String() string {
	var texts []string
	if r.Direct {
		texts = append(texts, "direct_current")
	}
	if r.Measure != "" {
		texts = append(texts, "measure "+r.Measure)
	}
	for _, f := range r.Figures() {
		if !math.IsNaN(f.Value) {
			texts = append(texts, fmt.Sprintf("%s %s", f.Key, strconv.FormatFloat(f.Value, 'g', -1, 64)))
		}
	}
	return strings.Join(texts, "; ")
}
