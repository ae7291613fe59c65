package audit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Hanging says in a few words what hangs there: "13 × U120B", "2 strings of 13 × U120B", "unit not known".
func (a *Assembly) Hanging() string {
	var text string
	switch {
	case a.Makeup == nil && a.UnitsPerString >= 0:
		text = fmt.Sprintf("%d × unit not known", a.UnitsPerString)
	case a.Makeup == nil:
		text = "unit not known"
	case len(a.Makeup.Parts) > 1:
		var parts []string
		for _, part := range a.Makeup.Parts {
			parts = append(parts, fmt.Sprintf("%d × %s", part.Count, a.units[part.Unit].Name))
		}
		text = strings.Join(parts, " + ")
	case a.UnitsPerString < 0:
		text = "? × " + a.Unit.Name
	default:
		text = strconv.Itoa(a.UnitsPerString) + " × " + a.Unit.Name
	}
	if a.Strings > 1 {
		text = fmt.Sprintf("%d strings of %s", a.Strings, text)
	}
	return text
}

// AverageDiameterMM is the largest average diameter of the units in the string, NaN where none is stated.
func (a *Assembly) AverageDiameterMM() float64 {
	if a.Makeup == nil {
		return math.NaN()
	}
	largest := math.NaN()
	for _, part := range a.Makeup.Parts {
		if d := a.units[part.Unit].AverageDiameterMM; d > largest || math.IsNaN(largest) {
			largest = d
		}
	}
	return largest
}

// Couplings lists the couplings of the runs of units in the string, empty where one is unknown.
func (a *Assembly) Couplings() (couplings []string) {
	for _, part := range a.Makeup.Parts {
		couplings = append(couplings, a.units[part.Unit].Coupling)
	}
	return couplings
}
