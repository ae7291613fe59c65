package basis

import "math"

// ConsequenceBandsSource is where the bands of a consequence come from.
var ConsequenceBandsSource = Clause{Document: "Common Network Asset Indices Methodology", Edition: "v2.1", Clause: "criticality bands", Tag: Memory}

// Consequence is what the failure of one thing weighs.
//
//	C = C₀ · f₁ · f₂ · …
//
// C₀ is the reference consequence in any measure, f are the factors of its place. A factor that is not known (NaN) is left out, so that
// the result is the product of what is known.
//
// Source: Common Network Asset Indices Methodology v2.1, reference cost of failure times type and access factors.
func Consequence(base float64, factors ...float64) float64 {
	for _, f := range factors {
		if !math.IsNaN(f) {
			base *= f
		}
	}
	return base
}

// ConsequenceBand says how a consequence stands to the mean of all of its kind: below 0.75 of it low, below 1.25 average, below 2 high,
// else very high. It is empty where the share is not known.
//
// Source: ConsequenceBandsSource.
func ConsequenceBand(ofMean float64) string {
	switch {
	case math.IsNaN(ofMean):
		return ""
	case ofMean < 0.75:
		return "low"
	case ofMean < 1.25:
		return "average"
	case ofMean < 2:
		return "high"
	}
	return "very high"
}
