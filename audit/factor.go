package audit

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit/basis"
)

// FactorOf is what a factor between load and rating is of.
type FactorOf uint8

// What factors are of.
const (
	TensionFactor FactorOf = iota
	SuspensionFactor
	CantileverFactor
	CompressionFactor
	OneStringBrokenFactor
	FittingFactor
	FittingOneStringBrokenFactor
	factorsOf
)

var factorOfNames = [factorsOf]string{"tension", "suspension", "cantilever", "compression", "one_string_broken", "fitting", "fitting_one_string_broken"}

// String is the key by which the project file states the factor.
func (f FactorOf) String() string { return factorOfNames[f] }

// MarshalText writes that key.
func (f FactorOf) MarshalText() ([]byte, error) { return []byte(f.String()), nil }

// words is what a factor is of, as people read it.
func (f FactorOf) words() string { return strings.ReplaceAll(f.String(), "_", " ") }

// OfFitting tells whether the factor is of fittings, and not of insulators.
func (f FactorOf) OfFitting() bool { return f >= FittingFactor }

// FactorWords are the spellings of what a factor is of.
func FactorWords() (list []Spelling[FactorOf]) {
	for of := range factorsOf {
		list = append(list, Spelling[FactorOf]{of.String(), of})
	}
	return list
}

// InsulatorFactor is the factor between the load on an insulator and the rating it needs, and the document it follows; that of fittings
// beside it, and more exact ones in By. There is no default: without a factor, strength is not assessed.
type InsulatorFactor struct {
	Basis                  string        `json:"basis"`
	Tension                float64       `json:"tension"` // 0 where not stated, as for the rest
	Suspension             float64       `json:"suspension"`
	Cantilever             float64       `json:"cantilever"`
	OneStringBroken        float64       `json:"one_string_broken"`
	Compression            float64       `json:"compression,omitempty"` // of pins and posts
	Fitting                float64       `json:"fitting,omitempty"`
	FittingOneStringBroken float64       `json:"fitting_one_string_broken,omitempty"`
	By                     []ExactFactor `json:"by,omitempty"`
}

// Remark says for which loads the factors hold, where that is known of the documents that they follow; empty where it is not.
func (f *InsulatorFactor) Remark() string {
	remark := basis.FactorRemark(f.Basis)
	for i := range f.By {
		remark = cmp.Or(remark, basis.FactorRemark(f.By[i].Basis))
	}
	return remark
}

// At is where a factor is kept that is not one of By.
func (f *InsulatorFactor) At(of FactorOf) *float64 {
	return [factorsOf]*float64{&f.Tension, &f.Suspension, &f.Cantilever, &f.Compression, &f.OneStringBroken, &f.Fitting, &f.FittingOneStringBroken}[of]
}

// IsStated tells whether the project states anything of it.
func (f *InsulatorFactor) IsStated() bool {
	stated := f.Basis != "" || len(f.By) > 0
	for of := range factorsOf {
		stated = stated || *f.At(of) > 0
	}
	return stated
}

// basis is the document that the factors follow which are none of By, in words.
func (f *InsulatorFactor) basis() string { return cmp.Or(f.Basis, noBasis) }

// noBasis stands for the document that a factor follows where the project names none.
const noBasis = "a basis that is not stated"

func (f *InsulatorFactor) String() string {
	var stated []string
	for _, of := range [...]FactorOf{TensionFactor, SuspensionFactor, CantileverFactor, OneStringBrokenFactor, CompressionFactor, FittingFactor, FittingOneStringBrokenFactor} {
		if factor := *f.At(of); factor > 0 {
			stated = append(stated, fmt.Sprintf("%s %g", of.words(), factor))
		}
	}
	text := f.basis()
	if len(stated) > 0 {
		text += ": " + strings.Join(stated, ", ")
	}
	for i := range f.By {
		text += "; " + f.By[i].String()
	}
	return text
}

// ExactFactor is a factor for some load cases, insulators or places, with the document it follows. What is empty is not looked at; names are
// compared in any case of their letters.
type ExactFactor struct {
	For       []FactorOf `json:"for"`
	Cases     []string   `json:"case,omitempty"` // names of load cases
	Kinds     []string   `json:"kind,omitempty"` // kinds of load case
	Materials []string   `json:"material,omitempty"`
	Units     []string   `json:"unit,omitempty"` // types
	// InstalledBefore and InstalledFrom are years, 0 for none: installed before the first of January, and on it or later.
	InstalledBefore int      `json:"installed_before,omitempty"`
	InstalledFrom   int      `json:"installed_from,omitempty"`
	At              string   `json:"at,omitempty"`       // AtTerminal, or empty
	Crossings       []string `json:"crossing,omitempty"` // kinds of what a span crosses that the assembly holds
	Factor          float64  `json:"factor"`
	Basis           string   `json:"basis"`
}

// AtTerminal says that a factor is for the assemblies where the line or their circuit ends.
const AtTerminal = "terminal"

// IsBare tells whether the factor is for everything, as the general one.
func (e *ExactFactor) IsBare() bool { return e.words() == "" }

// AsksInstalled tells whether the factor is for some years of installation.
func (e *ExactFactor) AsksInstalled() bool { return e.InstalledBefore > 0 || e.InstalledFrom > 0 }

func (e *ExactFactor) String() string {
	return fmt.Sprintf("%s %s %g (%s)", joined(e.For, FactorOf.words), e.words(), e.Factor, e.Basis)
}

// words says for what the factor is: "in high wind, of porcelain, at a terminal".
func (e *ExactFactor) words() string {
	var parts []string
	add := func(before string, names []string) {
		if len(names) > 0 {
			parts = append(parts, before+strings.Join(names, " or "))
		}
	}
	add("in ", e.Cases)
	add("in cases of ", e.Kinds)
	add("of ", e.Materials)
	add("of ", e.Units)
	if e.InstalledFrom > 0 {
		parts = append(parts, fmt.Sprintf("installed from %d on", e.InstalledFrom))
	}
	if e.InstalledBefore > 0 {
		parts = append(parts, fmt.Sprintf("installed before %d", e.InstalledBefore))
	}
	if e.At != "" {
		parts = append(parts, "at a "+e.At)
	}
	add("at a crossing of ", e.Crossings)
	return strings.Join(parts, ", ")
}

func joined[T any](list []T, text func(T) string) string {
	words := make([]string, len(list))
	for i := range list {
		words[i] = text(list[i])
	}
	return strings.Join(words, " or ")
}

// isWithin tells whether a factor names all that another names and is for no more, so that it is as exact or more.
func (e *ExactFactor) isWithin(other *ExactFactor) bool {
	among := func(names, of []string) bool {
		return len(of) == 0 || len(names) > 0 && !slices.ContainsFunc(names, func(name string) bool { return !isNamed(of, name) })
	}
	return among(e.Cases, other.Cases) && among(e.Kinds, other.Kinds) && among(e.Materials, other.Materials) && among(e.Units, other.Units) && among(e.Crossings, other.Crossings) &&
		(other.At == "" || e.At == other.At) &&
		(other.InstalledBefore == 0 || e.InstalledBefore > 0 && e.InstalledBefore <= other.InstalledBefore) &&
		(other.InstalledFrom == 0 || e.InstalledFrom >= other.InstalledFrom)
}

// replaces tells whether a factor is for less than another and so takes its place.
func (e *ExactFactor) replaces(other *ExactFactor) bool {
	return e.isWithin(other) && !other.isWithin(e)
}

// IsAsExact tells whether two factors are for the same.
func (e *ExactFactor) IsAsExact(other *ExactFactor) bool {
	return e.isWithin(other) && other.isWithin(e) && slices.ContainsFunc(e.For, func(of FactorOf) bool { return slices.Contains(other.For, of) })
}

// isNamed tells whether a name stands in a list, in any case of its letters.
func isNamed(list []string, name string) bool {
	name = strings.TrimSpace(name)
	return slices.ContainsFunc(list, func(other string) bool { return strings.EqualFold(other, name) })
}

// asksMaterial tells whether a factor goes by what units are made of.
func (f *InsulatorFactor) asksMaterial() bool {
	return slices.ContainsFunc(f.By, func(e ExactFactor) bool { return len(e.Materials) > 0 })
}

// asksInstalled tells whether a factor goes by when an insulator was installed.
func (f *InsulatorFactor) asksInstalled() bool {
	return slices.ContainsFunc(f.By, func(e ExactFactor) bool { return e.AsksInstalled() })
}

// HungFrom is the day that stands for all from a given one on: that one where a factor goes by the year of installation and none by a later one; NoDay where
// none goes by it, where one may tell those days apart, or where the day is not known.
func (f *InsulatorFactor) HungFrom(day Day) Day {
	if day == 0 || !f.asksInstalled() || slices.ContainsFunc(f.By, func(e ExactFactor) bool {
		return e.AsksInstalled() && newYear(max(e.InstalledBefore, e.InstalledFrom)) > day
	}) {
		return NoDay
	}
	return day
}

// asksCrossings tells whether a factor goes by what spans cross.
func (f *InsulatorFactor) asksCrossings() bool {
	return slices.ContainsFunc(f.By, func(e ExactFactor) bool { return len(e.Crossings) > 0 })
}

// unmetFactors lists the materials, types of unit and kinds of crossing that factors name and nothing in the inputs is, as a slip of the pen makes them.
func (p *Project) unmetFactors() (unmet []string) {
	note := func(what string, names []string, met func(name string) bool) {
		for _, name := range names {
			if text := fmt.Sprintf("%s %q", what, name); !met(name) && !slices.Contains(unmet, text) {
				unmet = append(unmet, text)
			}
		}
	}
	ofUnit := func(of func(u *basis.Unit) string) func(string) bool {
		return func(name string) bool {
			return slices.ContainsFunc(p.Units, func(u basis.Unit) bool { return strings.EqualFold(strings.TrimSpace(of(&u)), name) })
		}
	}
	crossed := func(kind string) bool { return kind == LongSpanKind || p.hasCrossingOf(kind) }
	all := func(f *InsulatorFactor) {
		for i := range f.By {
			e := &f.By[i]
			note("the material", e.Materials, ofUnit(func(u *basis.Unit) string { return u.Material }))
			note("the type of unit", e.Units, ofUnit(func(u *basis.Unit) string { return u.Name }))
			note("the kind of crossing", e.Crossings, crossed)
		}
	}
	all(&p.Criteria.InsulatorFactor)
	for i := range p.Rules {
		all(&p.Rules[i].Criteria.InsulatorFactor)
	}
	return unmet
}

// factorsOfCases lists the factors that are for some load cases, of all lines, each once.
func (p *Project) factorsOfCases() (list []*ExactFactor) {
	of := func(f *InsulatorFactor) {
		for i := range f.By {
			if e := &f.By[i]; len(e.Cases)+len(e.Kinds) > 0 && !slices.ContainsFunc(list, func(other *ExactFactor) bool { return other.String() == e.String() }) {
				list = append(list, e)
			}
		}
	}
	of(&p.Criteria.InsulatorFactor)
	for i := range p.Rules {
		of(&p.Rules[i].Criteria.InsulatorFactor)
	}
	return list
}

// hasFactor tells whether criteria state a factor.
func (c *Criteria) hasFactor(e *ExactFactor) bool {
	return slices.ContainsFunc(c.InsulatorFactor.By, func(other ExactFactor) bool { return other.String() == e.String() })
}

// withoutBasis lists the criteria that state a factor between load and rating and no document that it follows.
func (p *Project) withoutBasis() (keys []string) {
	note := func(key string, isWithout bool) {
		if isWithout && !slices.Contains(keys, key) {
			keys = append(keys, key)
		}
	}
	of := func(c *Criteria) {
		for kind := range factorsOf {
			note("insulator_factor", c.InsulatorFactor.Basis == "" && *c.InsulatorFactor.At(kind) > 0)
		}
		note("broken_conductor", c.BrokenConductor.Basis == "" && c.BrokenConductor != (BrokenConductor{}))
	}
	of(&p.Criteria)
	for i := range p.Rules {
		of(&p.Rules[i].Criteria)
	}
	return keys
}

// FactorRemarks are what Remark says of the factors of a project and of those of some lines, each once.
func (p *Project) FactorRemarks() (remarks []string) {
	add := func(f *InsulatorFactor) {
		if remark := f.Remark(); remark != "" && !slices.Contains(remarks, remark) {
			remarks = append(remarks, remark)
		}
	}
	add(&p.Criteria.InsulatorFactor)
	for i := range p.Rules {
		add(&p.Rules[i].Criteria.InsulatorFactor)
	}
	return remarks
}
