package audit

import "strings"

// Taken is a set of what is taken for granted of the ground levels that a verdict rests on.
type Taken uint8

// What may be taken.
const (
	OneDatumTaken Taken = 1 << iota
	AccuracyLeftOut
	ZeroTaken

	takenSets = 1<<iota - 1 // that are not empty
)

var takenTexts = map[Taken]string{
	OneDatumTaken:   "ground levels are taken to be above one vertical datum, which nobody states of all",
	AccuracyLeftOut: "the accuracy of one of its ground levels from rasters is not stated, so that of the verdict is not known",
	ZeroTaken:       "a ground level is by a sample of exactly 0 m, which may stand for none",
}

// String says it in words.
func (set Taken) String() string {
	var texts []string
	for one := Taken(1); one <= takenSets; one <<= 1 {
		if set&one != 0 {
			texts = append(texts, takenTexts[one])
		}
	}
	return strings.Join(texts, "; ")
}

// besideTaken are the remarks that a verdict by the rise of spans may have, beside which something is taken.
var besideTaken = [...]Reason{NoReason, WithinTerrainAccuracy, OutcomeWithinTerrainAccuracy, GeometryDoubtful, WeightSpanOfEqualHeights}

// takingReasons is how many reasons it needs to tell of every set beside each of them.
const takingReasons = Reason(len(besideTaken) * takenSets)

// Taking is a remark that tells of what is taken too. It is what it is beside any other than those of besideTaken.
func (r Reason) Taking(set Taken) Reason {
	for k, beside := range besideTaken {
		if r == beside && set != 0 {
			return firstTaking + Reason(k*takenSets) + Reason(set-1)
		}
	}
	return r
}

// apart is a remark without what is taken, and that.
func (r Reason) apart() (Reason, Taken) {
	if r < firstTaking || r > lastTaking {
		return r, 0
	}
	return besideTaken[(r-firstTaking)/takenSets], Taken((r-firstTaking)%takenSets) + 1
}

// withTakings adds the texts of what is taken.
func withTakings(texts [reasons]string) [reasons]string {
	for r := firstTaking; r <= lastTaking; r++ {
		beside, set := r.apart()
		if texts[r] = set.String(); beside != NoReason {
			texts[r] = texts[beside] + "; " + texts[r]
		}
	}
	return texts
}
