package headroom

import (
	"math"

	"dryarc/audit"
)

const (
	beside   = 4e-10  // how far beside where margins show a limit the check is asked, as a share: less than half of closed
	closed   = 1e-9   // how near the two ends are, as a share, between which a limit is closed in on
	above    = 1e-8   // how far above a limit that follows from figures the check is asked again, as a share
	mostRise = 1000.0 // times today's value, as far as a limit is looked for
)

// found says how the value of an assembly was found.
type found uint8

const (
	byFigures  found = iota // from the figures of a verdict, and confirmed
	closedIn                // between two verdicts
	notBelow                // it does not meet at the first value of the curve, and no lower one counts
	notReached              // it meets up to the last
	unmoved                 // it meets, whatever the value
	unmet                   // it does not meet, whatever the value
)

// limit is the value up to which an assembly meets.
type limit struct {
	value    float64 // −Inf where there is none on the curve, +Inf where it meets up to the end
	how      found
	unjudged bool // above it the assembly is not assessed; it is not known to fall short there
}

// finder finds limits of one check and one drive.
type finder struct {
	check *audit.Check
	drive audit.Driven
	from  float64 // the first value: today's, or any where everything below is easier
	most  float64 // the last value that is believed; +Inf where there is none
	quiet bool    // no sentences are asked for
}

// easierBelow tells the quantities of which less never asks for more.
func easierBelow(q audit.Quantity) bool {
	switch q {
	case audit.DriveVoltage, audit.DriveSpecificCreepage, audit.DriveLightningLevel, audit.DriveSwitchingLevel:
		return true
	}
	return false
}

// at is the verdict on a subject with the drive at a value.
func (f *finder) at(s *audit.Subject, value float64) audit.Verdict {
	of := f.drive.At(s, value)
	of.Trial = f.quiet
	return f.check.Run(of, nil)
}

// limit finds the value up to which a subject meets; today is its verdict at the first value, which met or fell short.
func (f *finder) limit(s *audit.Subject, today audit.Verdict) limit {
	f.quiet = true
	if f.at(s, f.from).Outcome != today.Outcome { // a trial judges nothing by the least that may be asked
		f.quiet = false
	}
	if easierBelow(f.drive.Quantity) {
		if l, ok := f.inProportion(s, today); ok {
			return l
		}
	}
	meets := today.Outcome == audit.Meets
	far, end := f.farthest(), limit{math.Inf(1), notReached, false}
	last := f.at(s, far)
	if same := last.Outcome == today.Outcome && sameFigures(&last, &today); same && meets {
		return limit{math.Inf(1), unmoved, false}
	} else if same {
		return limit{math.Inf(-1), unmet, false}
	}
	switch {
	case !meets && easierBelow(f.drive.Quantity):
		return f.belowFirst(s)
	case !meets:
		return limit{math.Inf(-1), notBelow, false}
	case last.Outcome == audit.Meets:
		return end
	}
	if f.drive.Quantity == audit.DriveAltitude {
		if l, ok := f.exponentially(s, far, &last); ok {
			return l
		}
	} else if l, ok := f.inProportion(s, today); ok {
		return l
	}
	lo, hi := f.bracket(s, far)
	return f.closeIn(s, lo, hi)
}

// farthest is the last value that is looked at.
func (f *finder) farthest() float64 {
	if math.IsInf(f.most, 1) {
		return mostRise * f.from
	}
	return f.most
}

// sameFigures tells whether two verdicts rest on the same figures.
func sameFigures(a, b *audit.Verdict) bool {
	same := func(x, y float64) bool { return x == y || math.IsNaN(x) && math.IsNaN(y) }
	return same(a.Observed.Number, b.Observed.Number) && same(a.Required.Number, b.Required.Number)
}

// inProportion takes what is required, or what is borne, to rise in proportion to the quantity: the margin then tells the limit. Where
// another rule governs there, as another edition or load case does, its margin tells it.
func (f *finder) inProportion(s *audit.Subject, v audit.Verdict) (limit, bool) {
	const tries = 4
	value := f.from
	for range tries {
		value *= 1 + v.Margin
		if !(value > 0) || value > f.most {
			return limit{}, false
		}
		v = f.at(s, value)
		if v.Outcome > audit.FallsShort {
			return limit{}, false
		}
		if l, ok := f.confirmed(s, value, v); ok {
			return l, true
		}
	}
	return limit{}, false
}

// exponentially takes the logarithm of what is required to rise in proportion to the quantity, as it does with altitude where that counts.
func (f *finder) exponentially(s *audit.Subject, far float64, last *audit.Verdict) (limit, bool) {
	const nearer = 0.9
	before := f.at(s, nearer*far)
	if last.Outcome > audit.FallsShort || before.Outcome > audit.FallsShort {
		return limit{}, false
	}
	slope := math.Log(last.Required.Number/before.Required.Number) / (far - nearer*far)
	value := far - math.Log(last.Required.Number/last.Observed.Number)/slope
	if !(value > f.from) {
		return limit{}, false
	}
	return f.confirmed(s, value, f.at(s, value))
}

// confirmed tells whether a value is the limit: the check meets there, and just above it no more.
func (f *finder) confirmed(s *audit.Subject, value float64, v audit.Verdict) (limit, bool) {
	if v.Outcome != audit.Meets {
		return limit{}, false
	}
	next := f.at(s, value*(1+above))
	return limit{value, byFigures, next.Outcome != audit.FallsShort}, next.Outcome != audit.Meets
}

// belowFirst finds the limit of a subject that does not meet at the first value, where less never asks for more.
func (f *finder) belowFirst(s *audit.Subject) limit {
	hi := f.from
	for lo := hi / 2; lo > f.from/mostRise; lo /= 2 {
		if f.at(s, lo).Outcome == audit.Meets {
			return f.closeIn(s, lo, hi)
		}
		hi = lo
	}
	return limit{math.Inf(-1), notBelow, false}
}

// bracket finds two values on both sides of the limit of a subject that meets at the first value and does not at the last. Values grow from
// the first, so that nothing is judged that is far from what the formulas are made for.
func (f *finder) bracket(s *audit.Subject, far float64) (lo, hi float64) {
	lo = f.from
	for step := max(f.from, 1) / 4; lo+step < far; step *= 2 {
		if f.at(s, lo+step).Outcome != audit.Meets {
			return lo, lo + step
		}
		lo += step
	}
	return lo, far
}

// closeIn closes in on a limit between a value at which a subject meets and one at which it does not. Margins show where it lies, every
// third step halves what is left, and where a verdict is lacking steps do nothing else.
func (f *finder) closeIn(s *audit.Subject, lo, hi float64) limit {
	low, high := f.at(s, lo), f.at(s, hi)
	for step := 1; hi-lo > closed*hi; step++ {
		mid := lo + (hi-lo)/2
		if step%3 != 0 && high.Outcome == audit.FallsShort {
			side := float64(2*(step%3) - 3) // below it first, then above
			if at := lo + (hi-lo)*low.Margin/(low.Margin-high.Margin) + side*beside*hi; at > lo && at < hi {
				mid = at
			}
		}
		if !(mid > lo && mid < hi) {
			break
		}
		if v := f.at(s, mid); v.Outcome == audit.Meets {
			lo, low = mid, v
		} else {
			hi, high = mid, v
		}
	}
	return limit{lo, closedIn, high.Outcome != audit.FallsShort}
}
