package checks

import (
	"fmt"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var inspectedLongAgo = audit.Check{
	ID:       "inspected-long-ago",
	Title:    "Not inspected for longer than the project allows",
	Of:       audit.OfStructure,
	Severity: audit.Note,
	Basis:    []basis.Clause{basis.OwnFigure},
	Method: audit.Method{
		Formula: "t ≤ t_max",
		Symbols: []audit.Explained{
			{Symbol: "t", Meaning: "time since what hangs there was last inspected or installed, the longest of all of it", Measure: "years"},
			{Symbol: "t_max", Meaning: "interval of inspections of the criteria", Measure: "years"},
		},
		Limits: "Structures where anything hangs but earth-wire and guy insulators, by the dates Installed and Inspected of the register and those of inspections that say how many units of whole strings are broken. " +
			"What was not seen, or with too little confidence, was not inspected. A year has 365.25 days; a month or a year alone counts as its last day where it falls short, and as its first where it meets; where these differ nothing is judged, nor where rows that repeat one another do. How often to inspect is the owner's to say.",
		Example: audit.Example{
			Story: "Strings inspected last 12.5 years before the day of the audit, where the project asks for every 10",
			Subject: func() audit.Subject {
				s := suspensionAt(structureOf(audit.Tangent, 0))
				s.Assembly = nil
				s.Criteria.InspectionYears = audit.Stated(10)
				s.Registered.CarryPhase, s.Registered.Seen = 3, audit.Seen{LeastYears: 12.5, MostYears: 12.5, Since: audit.DayOf("2014-03-01")}
				return s
			},
			Outcome: audit.FallsShort, Observed: 12.5, Required: 10,
			Source: "the criterion itself; there is no published figure",
		},
	},
	AskedBy: []audit.Need{audit.AsksInspections},
	Rests:   audit.RestsOnAge,
	OfLine:  audit.ReadsNoFigure,
	Remedy:  "Inspect what hangs at the structure.",
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		r, limit := &s.Registered, s.Criteria.InspectionYears.Value
		switch {
		case r.NoRegister:
			return audit.CannotTell(audit.NoRegister)
		case r.CarryPhase == 0:
			return audit.CannotTell(audit.NothingRegisteredHere)
		}
		v := audit.AtMost(r.Seen.LeastYears, limit, "years")
		if v.Outcome != audit.FallsShort {
			if r.Seen.Unknown > 0 || s.Structure.RowsLost || audit.AtMost(r.Seen.MostYears, limit, "years").Outcome == audit.FallsShort {
				return audit.CannotTell(audit.LastSeenUnknown)
			}
		}
		if t.On() {
			t.Add(audit.Step{Symbol: "t", Meaning: "years since " + r.Seen.Since.String(), Result: v.Observed, Role: audit.Observed, Clause: basis.OwnFigure})
			t.Add(audit.Step{Symbol: "t_max", Meaning: "interval of inspections, by the criteria", Result: v.Required, Role: audit.Required, Clause: basis.OwnFigure})
		}
		if s.NeedsSentence(v) {
			v = v.Saying(fmt.Sprintf("Something that hangs here was last inspected or installed on %s, %.1f years ago; the project asks for every %g.", r.Seen.Since, r.Seen.LeastYears, limit))
		}
		return v
	},
}
