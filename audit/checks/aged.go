package checks

import (
	"fmt"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var pastStatedAge = audit.Check{
	ID:       "past-stated-age",
	Title:    "Older than the age that the project states",
	Of:       audit.OfStructure,
	Severity: audit.Note,
	Basis:    []basis.Clause{basis.OwnFigure},
	Method: audit.Method{
		Formula: "t ≤ t_max",
		Symbols: []audit.Explained{
			{Symbol: "t", Meaning: "time since what hangs there was installed, of what is the most above its age", Measure: "years"},
			{Symbol: "t_max", Meaning: "age of the criteria for the type of its units, else for their material; of unlike units the least", Measure: "years"},
		},
		Limits: "Structures where something hangs of a type or material for which the criteria state an age, by the date Installed of the register. A year has 365.25 days; a month or a year alone counts as its last day where it falls short, and as its first where it meets; where these differ nothing is judged. " +
			"Without that date, or without the material where no age is stated for the type, it is not known how old something is. An age is no defect: what to do at it is the owner's to say.",
		Example: audit.Example{
			Story: "Porcelain installed 46 years before the day of the audit, where the project states an age of 40",
			Subject: func() audit.Subject {
				s := suspensionAt(structureOf(audit.Tangent, 0))
				s.Assembly = nil
				s.Criteria.Ageing = audit.Ageing{{Of: "porcelain", Years: 40}}
				s.Registered.Rows, s.Registered.Aged = 3, audit.Aged{Years: 46, Limit: 40, Since: audit.DayOf("1980-03-01"), Looked: 3}
				return s
			},
			Outcome: audit.FallsShort, Observed: 46, Required: 40,
			Source: "the criterion itself; there is no published figure",
		},
	},
	AskedBy: []audit.Need{audit.AsksAges},
	Rests:   audit.RestsOnAge,
	OfLine:  audit.ReadsNoFigure,
	Remedy:  "Look at its condition and plan for what the owner does at that age.",
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		r := &s.Registered
		g := &r.Aged
		switch {
		case r.NoRegister:
			return audit.CannotTell(audit.NoRegister)
		case r.Rows == 0:
			return audit.CannotTell(audit.NothingRegisteredHere)
		case g.Looked == 0 && s.Structure.RowsLost:
			return audit.CannotTell(audit.AgeUnknown)
		case g.Looked == 0:
			return audit.DoesNotApply(audit.NoAgeStated)
		}
		v := audit.AtMost(g.Years, g.Limit, "years")
		switch {
		case v.Outcome == audit.FallsShort:
		case g.Later:
			return audit.CannotTell(audit.InstalledLater)
		case g.Unknown > 0 || s.Structure.RowsLost:
			return audit.CannotTell(audit.AgeUnknown)
		}
		if t.On() {
			t.Add(audit.Step{Symbol: "t", Meaning: "years since " + g.Since.String(), Result: v.Observed, Role: audit.Observed, Clause: basis.OwnFigure})
			t.Add(audit.Step{Symbol: "t_max", Meaning: "age of its type or material, by the criteria", Result: v.Required, Role: audit.Required, Clause: basis.OwnFigure})
		}
		if s.NeedsSentence(v) {
			v = v.Saying(fmt.Sprintf("Something that hangs here was installed on %s, %.1f years ago; the project asks for a note from %g years on.", g.Since, g.Years, g.Limit))
		}
		return v
	},
}
