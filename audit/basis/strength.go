package basis

import "math"

// InsulatorFactors are the factors of a document on the load of insulators. A factor the document does not have is
// NaN. None is a silent default: the criteria name the basis and the factor.
type InsulatorFactors struct {
	Name            string
	Tension         float64 // tension and suspension strings under the maximum load
	Cantilever      float64 // posts and pins across their axis
	Everyday        float64 // under the everyday load
	BrokenWire      float64 // with a conductor broken
	OneStringBroken float64 // on the string that is left of parallel strings
	Clause          Clause
}

// FactorTable returns the factors on insulators of several documents, as a slice of the caller's own.
//
// NESC 277 allows 50 % of the rated tensile or compression strength (1/0.50) and 40 % of the cantilever strength
// (1/0.40).
//
// Source: NESC 277 (value from memory, H), California General Order 95 (value from memory, M), EN 50341-1 (value from
// memory, M), GB 50545 (value from memory, M).
func FactorTable() []InsulatorFactors {
	nan := math.NaN()
	memory := func(document, clause string) Clause { return Clause{Document: document, Clause: clause, Tag: Memory} }
	return []InsulatorFactors{
		{"NESC 277", 2.0, 2.5, nan, nan, nan, memory("NESC", "rule 277")},
		{"GO 95 grade A", 3.0, nan, nan, nan, nan, memory("California General Order 95", "grade A")},
		{"GO 95 grade B", 2.0, nan, nan, nan, nan, memory("California General Order 95", "grade B")},
		{"EN 50341-1", 2.0, nan, nan, nan, nan, memory("EN 50341-1", "")},
		{"GB 50545", 2.7, nan, 4.0, 1.8, 1.5, memory("GB 50545", "")},
	}
}

// InServiceShare is the share of its factor to which the strength of an insulator in service may fall before it is
// replaced; the factor left never goes below 1. California General Order 95, rule 44.3 (44.2 in the original)
// (published).
const InServiceShare = 2.0 / 3.0

// TensionLoad returns the load on each string of a tension assembly in kN.
//
//	F = T·m / s
//
// T is the maximum tension of one subconductor in kN, m the number of subconductors and s the number of parallel
// strings that carry: all of them, or one fewer after a break. Without a string the load is infinite.
//
// Source: arithmetic (computed).
func TensionLoad(tensionKN float64, subconductors, strings int) float64 {
	return tensionKN * float64(subconductors) / float64(strings)
}

// TurnPull returns the transverse pull of a turn, in the unit of the tension.
//
//	F = 2·T·sin(|δ| / 2)
//
// T is the tension and δ the deviation in degrees, of either sign. A tension assembly carries the full T, not F.
//
// Source: statics (computed).
func TurnPull(tension, deviationDeg float64) float64 {
	return 2 * tension * math.Sin(math.Abs(deviationDeg)*degree/2)
}

// Resultant returns the load on a suspension string from its transverse and vertical parts, in their unit.
//
//	F = √(transverse² + vertical²)
//
// Source: statics (computed).
func Resultant(transverse, vertical float64) float64 { return math.Hypot(transverse, vertical) }

// RequiredRating returns the rating an insulator needs, in the unit of the load.
//
//	rating = load · factor
//
// Source: the document the factor is taken from.
func RequiredRating(load, factor float64) float64 { return load * factor }

// degree is one degree in radians.
const degree = math.Pi / 180

// Gravity is the standard acceleration of free fall in m/s².
const Gravity = 9.80665
