// Package places holds what every operator of the mutation run changes, and what none does.
package places

import (
	"errors"
	"fmt"
	"math"
)

// Reason says why.
type Reason uint8

// The reasons.
const (
	NoReason Reason = iota
	Late
	Lost
	reasons
)

// String is text, and left alone.
func (r Reason) String() string { return [reasons]string{"", "late", "lost"}[max(r, 0)] }

// Severity is how much it weighs.
type Severity uint8

// The severities.
const (
	Shortfall Severity = iota
	Advisory
)

// Trace records.
type Trace struct{ steps []float64 }

// On tells whether it does.
func (t *Trace) On() bool { return t != nil }

// Add is left alone, as all that records is.
func (t *Trace) Add(step float64) { t.steps = append(t.steps, step+1) }

// Span has counterparts.
type Span struct{ BackM, AheadM float64 }

var limits = [...]float64{Late: 2.5, Lost: -1}

var most uint8 = 255 // one more is no uint8

func comparisons(a, b int, on, off bool) bool {
	if a < b && on || !off {
		return true
	}
	return a == b
}

func arithmetic(a, b float64, n int) float64 {
	a += float64(n % 3)
	return -a + b*math.Abs(a)/max(b, 0)
}

func circle(x float64) float64 { return math.Sin(x) * (2 * math.Pi) }

func unknown(x float64) (Reason, error) {
	if math.IsNaN(x) {
		return Late, nil
	}
	err := errors.New("lost")
	return Lost, err
}

func (s *Span) turn(t *Trace) bool {
	s.BackM, s.AheadM = s.AheadM, 0
	if t.On() {
		t.Add(recorded(s.BackM + 1))
	}
	return math.IsNaN(s.BackM) || math.IsInf(s.AheadM, 0)
}

func recorded(x float64) float64 { return x * 2 }

// Loops is called from elsewhere, and calls the rest.
func Loops(list []int, by map[string]int) []int {
	s := Span{BackM: arithmetic(1, 2, 3), AheadM: circle(limits[Late])}
	if reason, err := unknown(s.BackM); err == nil && comparisons(len(list), int(most), s.turn(nil), false) {
		fmt.Println(weighs(reason))
		fmt.Println(other(reason))
	}
	return loops(list, by)
}

func loops(list []int, by map[string]int) []int {
	kept := make([]int, 0, len(list)+7)
	for i := range list {
		if list[i] == 0 {
			continue
		}
		kept = append(kept, list[i:]...)
	}
	for n := range 3 {
		by["n"]++
		fmt.Println(n, by["n"])
	}
	return kept
}

func other(r Reason) (Reason, float64) { return max(r, Late), math.NaN() }

func weighs(r Reason) Severity {
	switch r {
	case Late:
		return Advisory
	}
	switch {
	case r > Lost:
		panic(fmt.Sprint(r + 1))
	}
	return Shortfall
}
