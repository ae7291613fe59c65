package remedy

import (
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// A swing that is stated in degrees is that which the string that hangs may have: a longer one brings the conductor nearer to the tower at less. What such a limit says
// of a longer string is no mend of what swings too far today.

// swingOfShorter says what swing was held against where another reason asks for a longer string.
const swingOfShorter = "Swing was held against the limit in degrees that is stated for the shorter string which hangs; state Arm length or Wall distance and Clearance to have the longer one judged."

// put puts a check to the member on trial and tells whether it keeps the string from serving.
func (b *bench) put(q *ask, i, check int, unit *basis.Unit, strings int, anew bool) (v audit.Verdict, stops, anyCount bool) {
	v, anyCount = b.site.PutCount(check, &b.tried)
	if b.isMendedByLength(q, i, check, &v, unit, strings, anew) {
		return audit.CannotTell(audit.SwingLimitOfShorter), true, false
	}
	return v, b.stops(q, i, check, &v, unit, strings, anew), anyCount
}

// isMendedByLength tells whether a string on trial swings no farther than is stated in degrees where a shorter one, which hangs there, does: one of the member, or of those that are to be made like it.
func (b *bench) isMendedByLength(q *ask, i, check int, v *audit.Verdict, unit *basis.Unit, strings int, anew bool) bool {
	if b.result.Checks[check].Rests&audit.RestsOnSwing == 0 || v.Outcome != audit.Meets || q.newcomer || !b.state(q.circuit, check).fell {
		return false
	}
	bound := q.binds(i, unit, anew)
	for k := range q.old {
		isLike := !bound && q.members[k].Row.Side == q.members[i].Row.Side && b.kindOf(q, k, strings) == b.kindOf(q, i, strings) && !q.binds(k, unit, anew)
		if k != i && !isLike || !q.mayLengthen(k, &b.tried) || b.site.Put(check, &q.old[k], false).Outcome != audit.FallsShort {
			continue
		}
		if _, exceeds := b.site.HeldByStatedSwing(&q.old[k]); exceeds {
			return true
		}
	}
	return false
}

// mayLengthen tells whether a string in the place of a member is longer than what hangs there, or may be for all that is known.
func (q *ask) mayLengthen(k int, to *audit.Assembly) bool {
	mayBe := func(old *audit.Assembly) bool {
		otherSet := to.Strings != old.Strings && old.FittingsMM() != 0 // whose fittings the Length of the row does not tell
		return otherSet || !(longerMM(old, to) <= asWrittenMM) && !hasNoMore(old, to)
	}
	for i := range q.contrary[k] {
		if mayBe(&q.contrary[k][i]) {
			return true
		}
	}
	return mayBe(&q.old[k])
}

// hasNoMore tells whether a string has no more units than one of the same unit, so that it is no longer though nobody knows how long they are.
func hasNoMore(old, to *audit.Assembly) bool {
	return math.IsNaN(longerMM(old, to)) && to.Makeup != nil && isOf(old, to.Unit) && len(to.Makeup.Parts) == 1 && old.UnitsPerString >= to.UnitsPerString
}

// isHeldAsShorter tells whether a string swings no farther than is stated in degrees for what hangs in its place, which is shorter or may be.
func (b *bench) isHeldAsShorter(q *ask, i int, to *audit.Assembly) bool {
	if q.newcomer || i >= len(q.old) || to.Duty != audit.Suspension || !q.mayLengthen(i, to) {
		return false
	}
	if held, _ := b.site.HeldByStatedSwing(to); !held {
		return false
	}
	for _, check := range b.checks {
		if b.result.Checks[check].Rests&audit.RestsOnSwing != 0 && b.site.Put(check, to, false).Outcome == audit.Meets {
			return true
		}
	}
	return false
}
