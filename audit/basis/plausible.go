package basis

import "math"

// Outside these shares of the standard levels of its Um a lightning level is taken for a mistake, and below this share of
// Um/√3 the creepage voltage of a three-phase line is. Choices of this program, wide enough for reduced and for old levels.
const (
	LeastLevelShare    = 0.5
	MostLevelShare     = 1.5
	LeastCreepageShare = 0.5
)

// PlausibleLightningLevels returns the lightning levels that are believed at a highest voltage Um, in kV: from half the lowest
// to 1.5 times the highest standard level of Um. A Um between two of the tables has the lowest of the one below and
// the highest of the one above, where there are such; 0 and +Inf where there are none, and for an unknown Um.
//
// Source: IEC 60071-1 levels (value from memory, H); the shares are a choice of this program.
func PlausibleLightningLevels(umKV float64) (lowKV, highKV float64) {
	lowKV, highKV = 0, math.Inf(1)
	for _, um := range levelledUm() {
		levels, _ := LightningLevels(um)
		if um <= umKV*(1+Tolerance) {
			lowKV = LeastLevelShare * levels[0]
		}
		if um >= umKV*(1-Tolerance) {
			return lowKV, MostLevelShare * levels[len(levels)-1]
		}
	}
	return lowKV, highKV
}

// levelledUm lists the highest voltages that have standard levels, lowest first.
func levelledUm() (umKV []float64) {
	for _, r := range levelsByUm {
		umKV = append(umKV, r.umKV)
	}
	for _, r := range rangeTwo {
		umKV = append(umKV, r.umKV)
	}
	return umKV
}
