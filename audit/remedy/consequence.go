package remedy

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// Consequence is what a failure at a structure weighs, by the criterion priority.
type Consequence struct {
	Factors []Factor // each that the project states, the base first; those of one run are the same in number and order
	Known   float64  // product of the factors that are known
	// OfMean is the share of the mean of the structures assessed whose factors are all known, and Band says how that stands; NaN and
	// empty where a factor is not known, or none has a mean.
	OfMean float64
	Band   string
}

// Factor is one factor of a consequence.
type Factor struct {
	Name    string  // base, crossings, voltage, circuits, tee, terminal, or the name of what is carried
	Of      string  // what it is for: "railway"
	Value   float64 // 1 of what the project does not name
	Unknown string  // why it is not known, and then left out; Value is that of what is known, NaN where nothing is
}

// Unknown lists the factors that are not known, with why.
func (c *Consequence) Unknown() (texts []string) {
	for i := range c.Factors {
		if f := &c.Factors[i]; f.Unknown != "" {
			texts = append(texts, f.Name+": "+f.Unknown)
		}
	}
	return texts
}

// weigher finds consequences.
type weigher struct {
	result *audit.Result
	rule   *audit.PriorityRule
	mean   float64
	unread []bool // by line: the circuit of an assembly there cannot be read
}

// newWeigher is nil where the project states no weights.
func newWeigher(r *audit.Result) *weigher {
	w := &weigher{result: r, rule: &r.Project.Criteria.Priority, unread: make([]bool, len(r.Network.Lines))}
	if !w.rule.IsStated() {
		return nil
	}
	sum, known := 0.0, 0
	for l := range r.Network.Lines {
		first, end := r.Network.Lines[l].First, r.Network.Lines[l].End
		for i := first; i < end && len(w.rule.Circuits) > 0; i++ {
			w.unread[l] = w.unread[l] || slices.ContainsFunc(r.Network.AssemblyRows(i), func(row uint32) bool {
				return r.Project.Assemblies.At(int(row)).Faulty.Has(audit.CellCircuits)
			})
		}
		if !r.Lines[l].Assessed {
			continue
		}
		for i := first; i < end; i++ {
			if c := w.of(l, i); c.Unknown() == nil {
				sum, known = sum+c.Known, known+1
			}
		}
	}
	w.mean = sum / float64(known)
	return w
}

// of is the consequence at a structure.
func (w *weigher) of(line, structure int) Consequence {
	s := w.result.Network.Structure(line, structure)
	l := &w.result.Network.Lines[line]
	c := Consequence{Factors: []Factor{{Name: "base", Value: w.rule.Base}}, OfMean: math.NaN()}
	add := func(f Factor) { c.Factors = append(c.Factors, f) }
	if len(w.rule.Crossings) > 0 {
		add(w.crossings(&s))
	}
	if len(w.rule.Voltages) > 0 {
		add(numbered(Factor{Name: "voltage", Of: fmt.Sprintf("%g kV", l.Row.NominalKV)}, w.rule.Voltages, l.Row.NominalKV, "nominal voltage not known"))
	}
	if len(w.rule.Circuits) > 0 {
		add(w.circuits(l, line))
	}
	if w.rule.Tee > 0 {
		add(placed("tee", w.rule.Tee, s.TeeOf != 0, s.TeeFaulty, w.result.Project.Symbols.Text(s.TeeOf)))
	}
	if w.rule.Terminal > 0 {
		add(placed("terminal", w.rule.Terminal, s.Role == audit.Terminal, s.CourseFaulty, "line end"))
	}
	if len(w.rule.Carried) > 0 {
		texts := w.result.Network.CarriedHere(line, structure)
		for i := range w.rule.Carried {
			add(w.carried(&w.rule.Carried[i], texts))
		}
	}
	values := make([]float64, len(c.Factors)-1)
	for i := range values {
		values[i] = c.Factors[i+1].Value
	}
	c.Known = basis.Consequence(w.rule.Base, values...)
	if w.mean > 0 && c.Unknown() == nil {
		c.OfMean = c.Known / w.mean
		c.Band = basis.ConsequenceBand(c.OfMean)
	}
	return c
}

// crossings is the largest factor of what the spans beside a structure cross.
func (w *weigher) crossings(s *audit.Structure) Factor {
	f := Factor{Name: "crossings", Value: math.NaN()}
	var kinds []string
	for _, asked := range [...]*audit.Asked{&s.Back, &s.Ahead} {
		for _, kind := range asked.Kinds {
			if kind != audit.UnreadableKind && !slices.Contains(kinds, kind) {
				kinds = append(kinds, kind)
			}
		}
		if asked.Unreadable || asked.MayCross {
			f.Unknown = "what a span crosses cannot all be read"
		}
	}
	switch {
	case !w.result.Project.SaysWhatCrosses():
		f.Unknown = "no crossings given"
	case s.CourseFaulty || s.MayMiss:
		f.Unknown = "the spans are in doubt"
	}
	for _, kind := range kinds {
		if factor := factorOf(w.rule.Crossings, kind); math.IsNaN(f.Value) || factor > f.Value {
			f.Value, f.Of = factor, kind
		}
	}
	if len(kinds) == 0 && f.Unknown == "" {
		f.Value, f.Of = 1, "none"
	}
	return f
}

// factorOf is the factor of a text, 1 of one that is not named.
func factorOf(weights []audit.Weighing, text string) float64 {
	for i := range weights {
		if strings.EqualFold(weights[i].Of, strings.TrimSpace(text)) {
			return weights[i].Factor
		}
	}
	return 1
}

// numbered is the factor of a number, 1 of one that is not named.
func numbered(f Factor, weights []audit.Weighing, number float64, unknown string) Factor {
	if math.IsNaN(number) {
		return Factor{Name: f.Name, Value: math.NaN(), Unknown: unknown}
	}
	f.Value = 1
	for i := range weights {
		if math.Abs(weights[i].Number-number) <= basis.Tolerance*number {
			f.Value = weights[i].Factor
		}
	}
	return f
}

// circuits is the factor of how many circuits a line has, as the Lines sheet says or else the register.
func (w *weigher) circuits(l *audit.Line, line int) Factor {
	number := math.NaN()
	switch n := max(l.Row.Circuits, len(l.Circuits)); {
	case l.Row.Faulty.Has(audit.CellCircuits), l.Row.Circuits <= 0 && w.unread[line]:
		return Factor{Name: "circuits", Value: math.NaN(), Unknown: "a cell that says it cannot be read"}
	case n > 0:
		number = float64(n)
	}
	return numbered(Factor{Name: "circuits", Of: fmt.Sprintf("%g", number)}, w.rule.Circuits, number, "neither stated nor registered")
}

// placed is a factor that holds at some structures and is 1 at the others.
func placed(name string, factor float64, holds, faulty bool, of string) Factor {
	switch {
	case holds:
		return Factor{Name: name, Of: of, Value: factor}
	case faulty:
		return Factor{Name: name, Value: math.NaN(), Unknown: "cannot be told, since a cell cannot be read"}
	}
	return Factor{Name: name, Of: "none", Value: 1}
}

// carried is the factor of what is carried through, the largest where a structure has several values.
func (w *weigher) carried(rule *audit.CarriedWeights, texts [][]string) Factor {
	f := Factor{Name: rule.Name, Value: math.NaN(), Unknown: "blank"}
	i := slices.Index(w.result.Project.Carried.Names, rule.Name)
	if i < 0 || len(texts[i]) == 0 {
		return f
	}
	f.Unknown, f.Of = "", strings.Join(texts[i], ", ")
	for _, text := range texts[i] {
		if factor := factorOf(rule.Values, text); math.IsNaN(f.Value) || factor > f.Value {
			f.Value = factor
		}
	}
	return f
}
