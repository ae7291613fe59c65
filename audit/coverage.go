package audit

import (
	"math"
	"slices"
)

// Coverage counts the verdicts of one check.
type Coverage struct {
	Meets, FallsShort, NotApplicable, NotAssessed int
	NotAsked                                      int     // of those not assessed: the project does not ask for the check
	WorstMargin                                   float64 // NaN where no verdict has a margin
	Reasons                                       []ReasonCount
}

// ReasonCount counts one reason.
type ReasonCount struct {
	Outcome Outcome
	Reason  Reason
	Count   int
}

// Lacking is how many subjects were not judged although the project asks for it.
func (c Coverage) Lacking() int { return c.NotAssessed - c.NotAsked }

// Assessed is how many subjects were judged, and of how many for which the project asks for the check.
func (c Coverage) Assessed() (judged, concerned int) {
	judged = c.Meets + c.FallsShort
	return judged, judged + c.Lacking()
}

// Add adds what the same check says elsewhere. The worst margin of none is NaN.
func (c *Coverage) Add(other Coverage) {
	c.Meets += other.Meets
	c.FallsShort += other.FallsShort
	c.NotApplicable += other.NotApplicable
	c.NotAssessed += other.NotAssessed
	c.NotAsked += other.NotAsked
	if !math.IsNaN(other.WorstMargin) && (math.IsNaN(c.WorstMargin) || other.WorstMargin < c.WorstMargin) {
		c.WorstMargin = other.WorstMargin
	}
	for _, r := range other.Reasons {
		i := slices.IndexFunc(c.Reasons, func(have ReasonCount) bool { return have.Outcome == r.Outcome && have.Reason == r.Reason })
		if i < 0 {
			c.Reasons = append(c.Reasons, r)
			continue
		}
		c.Reasons[i].Count += r.Count
	}
}

// tally counts the verdicts of one check on one line.
type tally struct {
	outcomes [outcomes]int32
	reasons  [outcomes][reasons]int32
	worst    float64
	judged   bool
}

// passOver counts a subject that a check passes over.
func (t *tally) passOver(outcome Outcome, reason Reason) {
	t.outcomes[outcome]++
	t.reasons[outcome][reason]++
}

// count counts a verdict.
func (t *tally) count(outcome Outcome, reason Reason, margin float64) {
	t.outcomes[outcome]++
	if reason != NoReason {
		t.reasons[outcome][reason]++
	}
	if outcome <= FallsShort && !math.IsNaN(margin) && (!t.judged || margin < t.worst) {
		t.worst, t.judged = margin, true
	}
}

func (t *tally) coverage() Coverage {
	c := Coverage{
		Meets: int(t.outcomes[Meets]), FallsShort: int(t.outcomes[FallsShort]),
		NotApplicable: int(t.outcomes[NotApplicable]), NotAssessed: int(t.outcomes[NotAssessed]), WorstMargin: math.NaN(),
	}
	if t.judged {
		c.WorstMargin = t.worst
	}
	for outcome := range t.reasons {
		if t.outcomes[outcome] == 0 {
			continue
		}
		for reason, count := range t.reasons[outcome] {
			if count > 0 {
				if Outcome(outcome) == NotAssessed && Reason(reason).AskedBy() != "" {
					c.NotAsked += int(count)
				}
				c.Reasons = append(c.Reasons, ReasonCount{Outcome(outcome), Reason(reason), int(count)})
			}
		}
	}
	return c
}
