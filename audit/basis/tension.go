package basis

import (
	"math"
	"strings"
)

// ConductorState is the state of a conductor in a section: horizontal tension, weight per metre with any ice or wind,
// and temperature.
type ConductorState struct {
	TensionKN    float64
	WeightNPerM  float64
	TemperatureC float64
}

// TensionAt returns the tension of a conductor in another state of weight and temperature, from one known state, by
// the change-of-state equation of the ruling span, in kN.
//
//	T2²·( T2 − T1 + E·A·α·(t2 − t1) + E·A·w1²·S²/(24·T1²) ) = E·A·w2²·S²/24
//
// T is the tension, t the temperature, w the weight per metre, S the ruling span in m; E (modulus), A (area) and α
// (expansion) are those of the conductor. The equation has one positive root, which is found to within Tolerance. A
// tension, weight, span, modulus or area that is not above zero, and any unknown number, give an *OutOfRange.
//
// Source: standard form of the parabola (value from memory, H).
func TensionAt(known ConductorState, weightNPerM, temperatureC, rulingSpanM float64, c Conductor) (tensionKN float64, err error) {
	for _, q := range []struct {
		quantity string
		value    float64
		min      float64
		measure  string
	}{
		{"tension", known.TensionKN, AboveZero, "kN"},
		{"weight of the known state", known.WeightNPerM, AboveZero, "N/m"},
		{"weight of the new state", weightNPerM, AboveZero, "N/m"},
		{"ruling span", rulingSpanM, AboveZero, "m"},
		{"modulus", c.ModulusGPa, AboveZero, "GPa"},
		{"area", c.AreaMM2, AboveZero, "mm²"},
		{"expansion", c.Expansion1e6PerK, 0, "1e-6/K"},
		{"temperature of the known state", known.TemperatureC, -273.15, "°C"},
		{"temperature of the new state", temperatureC, -273.15, "°C"},
	} {
		if err := within(q.quantity, q.value, q.min, Finite, q.measure); err != nil {
			return math.NaN(), err
		}
	}
	stiffness := c.ModulusGPa * c.AreaMM2 // kN, for 1 GPa·mm² = 1 kN
	bend := func(weightNPerM float64) float64 {
		load := weightNPerM * rulingSpanM / 1000 // kN
		return stiffness * load * load / 24
	}
	t1 := known.TensionKN
	slack := stiffness*c.Expansion1e6PerK*1e-6*(temperatureC-known.TemperatureC) + bend(known.WeightNPerM)/(t1*t1) - t1
	return cubicRoot(slack, bend(weightNPerM)), nil
}

// TensionAtSupport returns the tension of a conductor where it is attached, along the conductor, in kN.
//
//	T = H·cosh(x / C)
//
// H is the horizontal tension in kN, x the horizontal distance from the low point of the span and C the catenary constant, both
// in m.
//
// Source: catenary (computed).
func TensionAtSupport(horizontalKN, fromLowPointM, constantM float64) float64 {
	return horizontalKN * math.Cosh(fromLowPointM/constantM)
}

// Attached is a span at the support whose pull is asked for: its length, NaN for none, and how far the support is above its other end,
// both in m.
type Attached struct{ SpanM, RiseM float64 }

// HorizontalTension returns the horizontal tension in kN at which the larger pull of the spans of a support is the one stated.
//
//	H, where the largest of H·cosh(x / C) is T, C = 1000·H / w
//
// pullKN is T, w the weight of the conductor in N/m, and x as in FromLowPoint. Where two tensions pull as much, a taut conductor and a slack
// one, it is the taut one's, the larger. Without any span it is T. It is false where a figure is not known, and where none is found: mostly
// since the weight of the spans alone pulls more than T whatever the tension is.
//
// Source: catenary (computed). It is looked for from T down in steps of 2 %, to a tenth of T, and then between the last two steps by 60
// halvings, beyond the last digit (choices of this program). So it is not found either where T is within about 0.01 % of the least that the
// spans can pull, which a step passes over, nor beside a span that rises some ten times its length (computed).
func HorizontalTension(pullKN, weightNPerM float64, spans ...Attached) (horizontalKN float64, ok bool) {
	pull := func(h float64) float64 {
		largest, constant := h, CatenaryConstant(h, weightNPerM)
		for _, span := range spans {
			if !math.IsNaN(span.SpanM) {
				largest = math.Max(largest, TensionAtSupport(h, FromLowPoint(span.SpanM, span.RiseM, constant), constant))
			}
		}
		return largest
	}
	low, high := pullKN, pullKN
	for pull(low) > pullKN {
		if high, low = low, low*0.98; low < pullKN/10 {
			return math.NaN(), false
		}
	}
	if math.IsNaN(pull(low)) {
		return math.NaN(), false
	}
	for range 60 {
		if middle := (low + high) / 2; pull(middle) > pullKN {
			high = middle
		} else {
			low = middle
		}
	}
	return low, true
}

// StatedTension says what a tension is that nobody explains.
type StatedTension uint8

const (
	// Horizontal is the tension at the low point of a span, by which sags are reckoned.
	Horizontal StatedTension = iota
	// AtSupport is the pull on the attachment.
	AtSupport
)

// ParseStatedTension reads "horizontal" or "at support", in any case. Anything else is false.
func ParseStatedTension(text string) (StatedTension, bool) {
	for _, t := range [...]StatedTension{Horizontal, AtSupport} {
		if strings.EqualFold(strings.Join(strings.Fields(text), " "), t.String()) {
			return t, true
		}
	}
	return Horizontal, false
}

// String returns "horizontal" or "at support".
func (t StatedTension) String() string {
	if t == AtSupport {
		return "at support"
	}
	return "horizontal"
}

// cubicRoot returns the one positive root of x²·(x + a) = b for b > 0. Newton's steps start above the root, where the
// function is convex, and so come down to it without overshooting.
func cubicRoot(a, b float64) float64 {
	x := math.Max(-a, 0) + math.Cbrt(b)
	for range 200 {
		next := x - (x*x*(x+a)-b)/(x*(3*x+2*a))
		if !(next < x) {
			break
		}
		x = next
	}
	return x
}
