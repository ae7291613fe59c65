package audit

import "fmt"

// What an exception says that rests on an inspection.

// IsUnsure tells whether some of the defective units of an assembly rest on an observation of too little confidence.
func (a *Assembly) IsUnsure() bool { return a.Observed != nil && a.Observed.Sure != a.Observed.Count }

// without is the assembly with another number of defective units, as if no inspection had said anything.
func (a *Assembly) without(defective int) *Assembly {
	other := *a
	other.Defective, other.Observed = defective, nil
	return &other
}

// byInspection is a verdict on an assembly of which inspections tell something. Where it would not be the same without its defective units it names
// the inspection that counts them, and where it does not fall short without those of too little confidence it is no more than advice.
func (c *Check) byInspection(s *Subject, v Verdict) Verdict {
	o := s.Assembly.Observed
	if o.Deciding < 0 || s.Assembly.Defective <= 0 {
		return v
	}
	tried := *s
	tried.Trial, tried.Assembly = true, s.Assembly.without(0)
	if sound := c.alone(&tried, nil); sound.Outcome == FallsShort && sound.Observed == v.Observed && sound.Severity == v.Severity {
		return v
	}
	says, its, said := " So says ", "Its", "."
	if o.More > 0 {
		says, its = fmt.Sprintf(" So say, if each is of another unit, %d of too little confidence and ", o.More), "The"
	}
	if o.Registered >= 0 {
		said = fmt.Sprintf("; the register says %d.", o.Registered)
	}
	if o.Sure != o.Count {
		tried.Assembly = s.Assembly.without(int(o.Sure))
		if sure := c.alone(&tried, nil); sure.Outcome != FallsShort || sure.Severity > v.Severity {
			v = v.As(max(v.Severity, Advisory))
			said += fmt.Sprintf(" %s confidence is less than the %g asked for: look again.", its, s.Criteria.InspectionConfidence.Value)
		}
	}
	if s.NeedsSentence(v) {
		v = v.Saying(v.Sentence + says + s.Inspection(o.Deciding) + said)
	}
	return v
}
