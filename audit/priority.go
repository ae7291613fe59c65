package audit

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
)

// PriorityRule says what the failure of an assembly weighs, as the project states it: a base and the factors of its place. The zero
// value states nothing, and then nothing is weighed.
type PriorityRule struct {
	Base      float64    // above 0 where the project states the rule
	Crossings []Weighing // by kind that the spans beside a structure cross; the largest counts
	Voltages  []Weighing // by nominal voltage in kV
	Circuits  []Weighing // by how many circuits the line has
	Tee       float64    // where another line ends; 0 where not stated
	Terminal  float64    // where the line ends; 0 where not stated
	Carried   []CarriedWeights
	// WithoutFigure is the share by which something counts as short that has no figure, such as a duty; 0 where not stated.
	WithoutFigure float64
}

// Weighing is the factor of a value: of a text, or of a number.
type Weighing struct {
	Of     string
	Number float64 // of what is a number
	Factor float64
}

// CarriedWeights are the factors of the values of something that is carried through.
type CarriedWeights struct {
	Name   string
	Values []Weighing
}

// IsStated tells whether the project weighs anything.
func (p *PriorityRule) IsStated() bool { return p.Base > 0 }

// MarshalJSON writes the rule as a project file does.
func (p *PriorityRule) MarshalJSON() ([]byte, error) {
	if !p.IsStated() {
		return []byte("null"), nil
	}
	plain := map[string]any{"base": p.Base}
	for name, weights := range map[string][]Weighing{"crossings": p.Crossings, "voltages": p.Voltages, "circuits": p.Circuits} {
		if len(weights) > 0 {
			plain[name] = plainWeights(weights)
		}
	}
	for name, factor := range map[string]float64{"tee": p.Tee, "terminal": p.Terminal, "without_figure": p.WithoutFigure} {
		if factor > 0 {
			plain[name] = factor
		}
	}
	if len(p.Carried) > 0 {
		carried := map[string]any{}
		for i := range p.Carried {
			carried[p.Carried[i].Name] = plainWeights(p.Carried[i].Values)
		}
		plain["carried"] = carried
	}
	return json.Marshal(plain)
}

func plainWeights(weights []Weighing) map[string]float64 {
	plain := map[string]float64{}
	for i := range weights {
		plain[weights[i].Of] = weights[i].Factor
	}
	return plain
}

// String is the rule in one line.
func (p *PriorityRule) String() string {
	if !p.IsStated() {
		return ""
	}
	figure := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	texts := []string{"base " + figure(p.Base)}
	list := func(name string, weights []Weighing) {
		if len(weights) == 0 {
			return
		}
		words := make([]string, len(weights))
		for i := range weights {
			words[i] = fmt.Sprintf("%s: %s", weights[i].Of, figure(weights[i].Factor))
		}
		texts = append(texts, name+" "+strings.Join(words, ", "))
	}
	list("crossings", p.Crossings)
	list("voltages", p.Voltages)
	list("circuits", p.Circuits)
	for i, factor := range [...]float64{p.Tee, p.Terminal, p.WithoutFigure} {
		if factor > 0 {
			texts = append(texts, [...]string{"tee ", "terminal ", "without figure "}[i]+figure(factor))
		}
	}
	for i := range p.Carried {
		list(p.Carried[i].Name, p.Carried[i].Values)
	}
	return strings.Join(texts, "; ")
}
