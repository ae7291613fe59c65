package basis

import (
	"math"
	"strings"
)

// Base is the voltage whose kilovolts a specific creepage counts. The same distance is √3 times as much on the one as on
// the other, so that a figure without its base says nothing.
type Base uint8

const (
	// NoBase is a base that nobody states.
	NoBase Base = iota
	// PerPhaseToEarth is Um/√3, the base of unified specific creepage.
	PerPhaseToEarth
	// PerPhaseToPhase is Um, the base of the levels of 1986.
	PerPhaseToPhase
)

// BaseWords is how a base may be written, for messages.
const BaseWords = "Um/√3 (phase-to-earth) or Um (phase-to-phase)"

// ParseBase reads a base: Um/√3, phase-to-earth, phase-to-ground or unified; Um, phase-to-phase or 1986; in any case, with
// or without blanks and hyphens. Anything else is false.
func ParseBase(text string) (Base, bool) {
	switch strings.NewReplacer(" ", "", "\u00a0", "", "-", "", "\u2013", "", "_", "", "(", "", ")", "", "√", "sqrt", "line", "phase", "ground", "earth").Replace(strings.ToLower(text)) {
	case "um/sqrt3", "um/1.73", "um/1.732", "phasetoearth", "phaseearth", "unified":
		return PerPhaseToEarth, true
	case "um", "phasetophase", "phasephase", "1986":
		return PerPhaseToPhase, true
	}
	return NoBase, false
}

// String returns "Um/√3" or "Um", and an empty text for NoBase.
func (b Base) String() string {
	return [...]string{NoBase: "", PerPhaseToEarth: "Um/√3", PerPhaseToPhase: "Um"}[b]
}

// Base returns the voltage that the figures of the basis count.
func (b CreepageBasis) Base() Base {
	if b == Levels1986 {
		return PerPhaseToPhase
	}
	return PerPhaseToEarth
}

// Other returns the other one of the two.
func (b CreepageBasis) Other() CreepageBasis {
	if b == Levels1986 {
		return Unified
	}
	return Levels1986
}

// OnBase returns a specific creepage in mm/kV on another base.
//
//	on Um/√3 = √3 · on Um
//
// NoBase gives NaN.
//
// Source: arithmetic (computed).
func OnBase(mmPerKV float64, from, to Base) float64 {
	switch {
	case from == NoBase || to == NoBase:
		return math.NaN()
	case from == to:
		return mmPerKV
	case to == PerPhaseToEarth:
		return mmPerKV * math.Sqrt(3)
	}
	return mmPerKV / math.Sqrt(3)
}

// LeastSpecificCreepage returns the specific creepage of class a in mm/kV on a base: no site asks for less. 0 for NoBase.
//
// Source: IEC TS 60815-1:2008 (published); on Um 22.0/√3, rounded (computed).
func LeastSpecificCreepage(on Base) float64 {
	return [...]float64{NoBase: 0, PerPhaseToEarth: ClassA.row().unified, PerPhaseToPhase: ClassA.row().level1986}[on]
}

// MostSpecificCreepage is the largest specific creepage in mm/kV, on either base, that is believed; the tables run to 53.7
// (a choice of this program).
const MostSpecificCreepage = 200.0

// EditionsApart is more than the figures of the two editions for one class differ by, as a share: 0.31 % for class b,
// which is the most (computed).
const EditionsApart = 0.005

// printedTo is the last place to which figures of specific creepage are printed, in mm/kV.
const printedTo = 0.1

// IsPrintedAlike tells whether two specific creepages in mm/kV are one figure but for the rounding to the printed place. An
// unknown one is false.
//
// Source: arithmetic (computed).
func IsPrintedAlike(a, b float64) bool { return math.Abs(a-b) <= printedTo/2 }

// IsOfClass tells whether a specific creepage in mm/kV on a base is that of a class: the value of either edition, or
// between the two, as rounding to the printed place leaves it. A class without a figure is false.
//
// Source: IEC TS 60815-1:2008 and IEC 815:1986 (published).
func IsOfClass(mmPerKV float64, on Base, c Class) bool {
	low, high := OnBase(c.row().unified, PerPhaseToEarth, on), OnBase(c.row().level1986, PerPhaseToPhase, on)
	if low > high {
		low, high = high, low
	}
	return high > 0 && mmPerKV >= low-printedTo/2 && mmPerKV <= high+printedTo/2
}
