package checks

import (
	"fmt"
	"math"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var gradingRings = audit.Check{
	ID:       "grading-rings",
	Title:    "Composite without the grading rings that the project asks for",
	Of:       audit.OfAssembly,
	Severity: audit.Note,
	Basis:    []basis.Clause{basis.OwnFigure},
	Method: audit.Method{
		Formula: "rings fitted = rings asked for at U_m, or both for live",
		Symbols: []audit.Explained{{Symbol: "U_m", Meaning: "highest voltage for equipment", Measure: "kV"}},
		Limits: "Strings with a composite in them, by the column Grading rings of the register, on lines from the least voltage of the criterion grading_rings on; the entry that begins nearest below U_m, or at it, holds. " +
			"A blank cell is not known and no ring. Of which size and at which distance rings are nothing is said.",
		Example: audit.Example{
			Story: "A composite with a ring at its live end, Um 420 kV, where the project asks for both ends from 400 kV on",
			Subject: func() audit.Subject {
				s := discsAt(420, 1425, 1, 0)
				s.Assembly.Unit.Kind, s.Assembly.Rings = basis.Composite, audit.LiveEnd
				s.Criteria.GradingRings = audit.GradingRings{{FromKV: 400, Ends: audit.BothEnds}}
				return s
			},
			Outcome: audit.FallsShort, Observed: math.NaN(), Required: math.NaN(),
			Source: "the criterion itself; there is no published figure",
		},
	},
	AskedBy:  []audit.Need{audit.AsksRings},
	AnyCount: true,
	Needs:    []audit.Need{audit.NeedsDuty, audit.NeedsUnit, audit.NeedsCompositeKind, audit.NeedsHighestVoltage, audit.NeedsRings},
	Reads:    audit.ReadsLine,
	Rests:    audit.RestsOnMake | audit.RestsOnRings,
	OfLine:   audit.ReadsVoltages,
	Remedy:   "Look at the fittings; fit the rings at the next outage, or correct the register.",
	Concerns: func(s *audit.Subject) audit.Reason {
		if len(s.Criteria.GradingRings) == 0 {
			return audit.NoReason
		}
		if !s.Assembly.MayBeComposite() {
			return audit.NotComposite
		}
		if _, asked := s.Criteria.GradingRings.At(s.Line.HighestKV); !asked && s.Lacks(audit.NeedsHighestVoltage) == audit.NoReason {
			return audit.NoRingsFromHere
		}
		return carriesPhase(s)
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		rule, _ := s.Criteria.GradingRings.At(s.Line.HighestKV)
		fitted := s.Assembly.Rings
		if t.On() {
			t.Add(highestVoltage(s))
			t.Add(audit.Step{Symbol: "rings asked for", Meaning: fmt.Sprintf("from %g kV on, by the criteria", rule.FromKV), Result: audit.Word(rule.Ends.String()), Role: audit.Required, Clause: basis.OwnFigure})
			t.Add(audit.Step{Symbol: "rings fitted", Meaning: "as registered", Result: audit.Word(fitted.String()), Role: audit.Observed, Clause: basis.OwnFigure})
		}
		v := audit.IsWord(fitted.Serves(rule.Ends), fitted.String(), rule.Ends.String())
		if s.NeedsSentence(v) {
			v = v.Saying(fmt.Sprintf("%s has grading rings at %s; the project asks for %s from %g kV on, and the line's highest voltage is %g kV.",
				s.Assembly.Hanging(), endsInWords(fitted), askedInWords(rule.Ends), rule.FromKV, s.Line.HighestKV))
		}
		return v
	},
}

func endsInWords(r audit.Rings) string {
	switch r {
	case audit.NoRings:
		return "no end"
	case audit.BothEnds:
		return "both ends"
	}
	return "the " + r.String() + " end alone"
}

// askedInWords says where rings have to be; one more does no harm.
func askedInWords(r audit.Rings) string {
	if r == audit.BothEnds {
		return "them at both ends"
	}
	return "one at the " + r.String() + " end"
}

var onWatchList = audit.Check{
	ID:       "on-watch-list",
	Title:    "On the watch list of the project",
	Of:       audit.OfStructure,
	Severity: audit.Note,
	Basis:    []basis.Clause{basis.OwnFigure},
	Method: audit.Method{
		Formula: "w ≤ w_max",
		Symbols: []audit.Explained{
			{Symbol: "w", Meaning: "assemblies at the structure that an entry of the watch list names", Measure: "assemblies"},
			{Symbol: "w_max", Meaning: "0", Measure: "assemblies"},
		},
		Limits: "Structures where something hangs of a type, make, material or years of installation that an entry of the criterion watch_list names; all that an entry states has to be so of one unit. What is not stated may be so: where an entry is met by nothing and may be met by something, " +
			"nothing is judged. A date of which the year is not known, or that is later than the day of the audit, is not stated. The make is that of the unit, or what the row carries; where these differ it is not known. Makes are compared by their letters and digits; " +
			"where all words of one are in the other it may be that.",
		Example: audit.Example{
			Story: "Three assemblies of a make that the project watches",
			Subject: func() audit.Subject {
				s := suspensionAt(structureOf(audit.Tangent, 0))
				s.Assembly = nil
				s.Criteria.WatchList = audit.WatchList{{Make: "Harrow", Until: 1998, Note: "rod cracks at the end fitting"}}
				s.Registered.Rows, s.Registered.Watched = 3, audit.WatchedBy(3, 0)
				return s
			},
			Outcome: audit.FallsShort, Observed: 3, Required: 0,
			Source: "the criterion itself; there is no published figure",
		},
	},
	AskedBy: []audit.Need{audit.AsksWatchList},
	Rests:   audit.RestsOnMaker,
	OfLine:  audit.ReadsNoFigure,
	Remedy:  "Do what the note of the entry says.",
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		r := &s.Registered
		w := &r.Watched
		switch {
		case r.NoRegister:
			return audit.CannotTell(audit.NoRegister)
		case r.Rows == 0:
			return audit.CannotTell(audit.NothingRegisteredHere)
		case w.Listed == 0 && (w.Unknown > 0 || s.Structure.RowsLost):
			return audit.CannotTell(audit.WatchedUnknown)
		}
		v := audit.AtMost(float64(w.Listed), 0, "assemblies")
		v.Margin = math.NaN() // being on a list is short of nothing
		if t.On() {
			for _, entry := range w.EntriesOf(s.Criteria.WatchList) {
				t.Add(audit.Step{Symbol: "entry", Meaning: "of the watch list, by the criteria", Result: audit.Word(entry), Clause: basis.OwnFigure})
			}
			t.Add(audit.Step{Symbol: "w", Meaning: "assemblies that an entry names", Result: v.Observed, Role: audit.Observed, Clause: basis.OwnFigure})
			t.Add(audit.Step{Symbol: "w_max", Meaning: "assemblies on the list that get no note", Result: v.Required, Role: audit.Required, Clause: basis.OwnFigure})
		}
		if s.NeedsSentence(v) {
			are := "assemblies are"
			if w.Listed == 1 {
				are = "assembly is"
			}
			v = v.Saying(fmt.Sprintf("%d %s on the project's watch list (%s): %s.", w.Listed, are, strings.Join(w.EntriesOf(s.Criteria.WatchList), "; "),
				strings.TrimSuffix(strings.Join(w.NotesOf(s.Criteria.WatchList), "; "), ".")))
		}
		return v
	},
}
