package basis

import "math"

// normal975 is the quantile of the standard normal distribution at 0.975, which leaves 2.5 % on either side.
const normal975 = 1.959963984540054

// Wilson returns the 95 % score interval of the share that found of a number of independent trials tell of.
//
//	( p + z²/2n ± z·√( p(1−p)/n + z²/4n² ) ) / ( 1 + z²/n )
//
// p is found/of, n is of, z the normal quantile at 0.975. Both ends are within 0…1. For no trials, and where found is not within 0…of,
// both are NaN.
//
// Source: E. B. Wilson, Probable inference, the law of succession, and statistical inference, Journal of the American Statistical
// Association 22 (1927), 209–212.
func Wilson(found, of int) (low, high float64) {
	if of <= 0 || found < 0 || found > of {
		return math.NaN(), math.NaN()
	}
	n, z2 := float64(of), normal975*normal975
	p := float64(found) / n
	middle := p + z2/(2*n)
	half := normal975 * math.Sqrt(p*(1-p)/n+z2/(4*n*n))
	whole := 1 + z2/n
	low, high = (middle-half)/whole, (middle+half)/whole
	if found == 0 { // exactly, whatever the rounding
		low = 0
	}
	if found == of {
		high = 1
	}
	return low, high
}
