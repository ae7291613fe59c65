package checks_test

import (
	"fmt"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// judgement is the subject of a check's worked example with a little changed, and what the check must say of it.
type judgement struct {
	name   string
	change func(s *audit.Subject)
	want   string // outcome, severity where it falls short, observed/required, reason
	says   string // part of the sentence
}

// inShort writes a verdict as the tables of cases do.
func inShort(v audit.Verdict) string {
	text := v.Outcome.String()
	if v.Outcome == audit.FallsShort {
		text = v.Severity.String()
	}
	value := func(v audit.Value) string {
		if v.Word != "" {
			return v.Word
		}
		return fmt.Sprintf("%.5g", v.Number)
	}
	if v.Outcome == audit.Meets || v.Outcome == audit.FallsShort {
		text += " " + value(v.Observed) + "/" + value(v.Required)
	}
	if v.Reason != audit.NoReason {
		text += ": " + v.Reason.String()
	}
	return text
}

func judge(t *testing.T, id string, cases []judgement) {
	t.Helper()
	for _, c := range cases {
		t.Run(id+"/"+c.name, func(t *testing.T) {
			check, s := example(t, id)
			check = leavingSubjects(t, check)
			c.change(&s)
			v := check.Run(s, nil)
			require.Equal(t, c.want, inShort(v))
			require.Contains(t, v.Sentence, c.says)
			require.Equal(t, v.Outcome == audit.FallsShort, v.Sentence != "", "a sentence where it falls short, and only there")
			var trace audit.Trace
			require.Equal(t, fmt.Sprintf("%+v", v), fmt.Sprintf("%+v", check.Run(s, &trace)), "a trace must not change the verdict")
			if strings.HasPrefix(c.want, "not ") {
				require.Contains(t, c.want, ": ", "what is passed over has a reason")
			}
		})
	}
}

// leavingSubjects is a check that fails a test where its function makes anything else of a subject.
func leavingSubjects(t require.TestingT, check *audit.Check) *audit.Check {
	leaving := *check
	leaving.Judge = func(s *audit.Subject, trace *audit.Trace) audit.Verdict {
		was := fmt.Sprint(*s)
		v := check.Judge(s, trace)
		require.Equal(t, was, fmt.Sprint(*s), check.ID)
		return v
	}
	return &leaving
}

const (
	passesJumper = "not applicable: jumper strings hang in suspension at tension structures"
	passesNoLoad = "not applicable: earth-wire and guy insulators carry no phase conductor"
	anywhere     = ": a tension assembly may stand anywhere"
)

// duty gives the assembly a duty and changes a little more.
func duty(d audit.Duty, more ...func(*audit.Subject)) func(*audit.Subject) {
	return func(s *audit.Subject) {
		s.Assembly.Duty = d
		for _, m := range more {
			m(s)
		}
	}
}

// madeFor gives an assembly a duty, and of what is no string a unit that is made for it.
func madeFor(d audit.Duty, more ...func(*audit.Subject)) func(*audit.Subject) {
	return duty(d, append([]func(*audit.Subject){func(s *audit.Subject) {
		switch d {
		case audit.Pin:
			s.Assembly.Unit.Kind = basis.Pin
		case audit.Post:
			s.Assembly.Unit.Kind = basis.Post
		case audit.Shackle:
			s.Assembly.Unit.Kind = basis.Shackle
		}
	}}, more...)...)
}

func tensionOn(side audit.Side) func(*audit.Subject) {
	return func(s *audit.Subject) { s.Assembly.Duty, s.Assembly.Side = audit.Tension, side }
}
