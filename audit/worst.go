package audit

import (
	"fmt"
	"math"
)

// worst is the verdict on a subject; of an assembly that several rows describe differently it is the worst of the verdicts
// on each, once, and its sentence names the row that it is by.
func (c *Check) worst(s *Subject, t *Trace) Verdict {
	worst := c.alone(s, t)
	for i := range s.Repeats {
		repeat := *s
		repeat.Assembly = &s.Repeats[i]
		var steps *Trace
		if t.On() {
			steps = &Trace{}
		}
		v := c.alone(&repeat, steps)
		if !v.worseThan(&worst) {
			continue
		}
		if v.Sentence != "" {
			v.Sentence += fmt.Sprintf(" (So says row %d, which repeats this one and differs.)", repeat.Assembly.Source.Row)
		}
		worst = v
		if t.On() {
			*t = *steps
		}
	}
	return worst
}

// alone is the verdict on a subject as one row describes it.
func (c *Check) alone(s *Subject, t *Trace) Verdict {
	if outcome, reason := c.passesOver(s); reason != NoReason {
		return passedOver(outcome, reason)
	}
	return c.judge(s, t)
}

// badness orders the outcomes: what falls short first, then what is not known to meet, then what meets, and last what does
// not concern the check.
var badness = [outcomes]int{FallsShort: 3, NotAssessed: 2, Meets: 1, NotApplicable: 0}

// worseThan tells whether a verdict is worse than another on the same subject: by outcome, then by severity, then by margin.
func (v *Verdict) worseThan(other *Verdict) bool {
	switch {
	case v.Outcome != other.Outcome:
		return badness[v.Outcome] > badness[other.Outcome]
	case v.Outcome == FallsShort && v.Severity != other.Severity:
		return v.Severity < other.Severity
	case math.IsNaN(v.Margin) || math.IsNaN(other.Margin):
		return false
	}
	return v.Margin < other.Margin
}
