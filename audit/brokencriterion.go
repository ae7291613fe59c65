package audit

import (
	"cmp"
	"encoding/json"
	"fmt"
	"strings"
)

// BrokenConductor is what suspension, pin and post assemblies have to bear when a conductor breaks in the span on one side of them. There is
// no default: without a share and a factor they are not assessed.
type BrokenConductor struct {
	Share         ByDuty  // of the tension that is left
	Factor        ByDuty  // rating over load
	Case          string  // load case that gives the tension; blank for the everyday tension of the bare conductor
	Subconductors int     // of one phase that break; 0 for all of them
	Basis         string  // the document that they follow
	Fitting       float64 // rating over load of the fittings of suspension assemblies, 0 where not stated
}

// ByDuty is a figure by the duty of an assembly, 0 where not stated.
type ByDuty struct{ Suspension, Pin, Post float64 }

// Of is the figure for a duty; 0 where there is none.
func (f *ByDuty) Of(duty Duty) float64 {
	switch duty {
	case Suspension:
		return f.Suspension
	case Pin:
		return f.Pin
	case Post:
		return f.Post
	}
	return 0
}

// isOne tells whether one figure holds for all duties.
func (f *ByDuty) isOne() bool { return f.Suspension == f.Pin && f.Pin == f.Post }

// stated are the figures that are stated, by the words of their duties.
func (f *ByDuty) stated() (words []string, figures map[string]float64) {
	figures = map[string]float64{}
	for _, duty := range [...]Duty{Suspension, Pin, Post} {
		if figure := f.Of(duty); figure != 0 {
			words = append(words, fmt.Sprintf("%s %g", duty, figure))
			figures[duty.String()] = figure
		}
	}
	return words, figures
}

func (f ByDuty) String() string {
	words, _ := f.stated()
	switch {
	case len(words) == 0:
		return NothingStated
	case f.isOne():
		return fmt.Sprintf("%g", f.Pin)
	}
	return strings.Join(words, ", ")
}

// MarshalJSON writes one number where all duties have the same, else those that are stated by their duties; null where none is.
func (f ByDuty) MarshalJSON() ([]byte, error) {
	_, figures := f.stated()
	switch {
	case len(figures) == 0:
		return []byte("null"), nil
	case f.isOne():
		return json.Marshal(f.Pin)
	}
	return json.Marshal(figures)
}

// everyday is the word for the everyday tension of the bare conductor.
const everyday = "everyday"

// CaseName names what gives the tension.
func (b *BrokenConductor) CaseName() string { return cmp.Or(b.Case, everyday) }

func (b *BrokenConductor) String() string {
	count := "all subconductors"
	if b.Subconductors > 0 {
		count = fmt.Sprintf("%d subconductors at most", b.Subconductors)
	}
	ofFittings := ""
	if b.Fitting > 0 {
		ofFittings = fmt.Sprintf(", of fittings %g", b.Fitting)
	}
	return fmt.Sprintf("%s: share %s, tension %s, factor %s%s, %s", cmp.Or(b.Basis, noBasis), b.Share, b.CaseName(), b.Factor, ofFittings, count)
}

// MarshalJSON writes the criterion as a project file states it, subconductors as null where all break.
func (b BrokenConductor) MarshalJSON() ([]byte, error) {
	var count *int
	if b.Subconductors > 0 {
		count = &b.Subconductors
	}
	return json.Marshal(struct {
		Basis         string  `json:"basis"`
		Share         ByDuty  `json:"share"`
		Case          string  `json:"case"`
		Factor        ByDuty  `json:"factor"`
		Subconductors *int    `json:"subconductors"`
		Fitting       float64 `json:"fitting,omitempty"`
	}{b.Basis, b.Share, b.CaseName(), b.Factor, count, b.Fitting})
}

// everydayCase is the state in which a conductor breaks where the criterion names no load case: no wind and no ice.
var everydayCase = LoadCase{Name: "everyday tension of the Lines sheet", From: EverydayTension, Factor: 1}

// BrokenCase is the state in which a conductor breaks: the load case that is named, else the everyday one; nil where the criteria have
// no load case of that name.
func (c *Criteria) BrokenCase() *LoadCase {
	name := c.BrokenConductor.Case
	for i := range c.LoadCases {
		if name != "" && IsSameLoadCase(c.LoadCases[i].Name, name) {
			return &c.LoadCases[i]
		}
	}
	if name == "" || IsSameLoadCase(name, everyday) {
		return &everydayCase
	}
	return nil
}

// BrokenFactor is the factor between the load of a broken conductor and the rating that it needs, 0 where none is stated, and the
// document that it follows.
func (s *Subject) BrokenFactor() (factor float64, of string) {
	rule := &s.Criteria.BrokenConductor
	return rule.Factor.Of(s.Assembly.Duty), cmp.Or(rule.Basis, noBasis)
}
