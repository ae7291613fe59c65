package audit

import "fmt"

// InsulatorFactor is the factor between the load on an insulator and the rating it needs, and the document it follows.
// There is no default: without a factor, strength is not assessed.
type InsulatorFactor struct {
	Basis           string  `json:"basis"`
	Tension         float64 `json:"tension"` // 0 where not stated, as for the rest
	Suspension      float64 `json:"suspension"`
	Cantilever      float64 `json:"cantilever"`
	OneStringBroken float64 `json:"one_string_broken"`
	Compression     float64 `json:"compression,omitempty"` // of pins and posts
}

func (f *InsulatorFactor) String() string {
	text := fmt.Sprintf("%s: tension %g, suspension %g, cantilever %g, one string broken %g", f.Basis, f.Tension, f.Suspension, f.Cantilever, f.OneStringBroken)
	if f.Compression > 0 {
		text += fmt.Sprintf(", compression %g", f.Compression)
	}
	return text
}
