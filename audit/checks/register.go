package checks

import (
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

var nothingRegistered = audit.Check{
	ID:       "nothing-registered",
	Title:    "No assembly registered at a structure",
	Of:       audit.OfStructure,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "N ≥ 1",
		Symbols: []audit.Explained{{Symbol: "N", Meaning: "assemblies that carry a phase conductor or a jumper at the structure"}},
		Limits: "Every structure of a line that the register knows. Earth-wire and guy insulators do not count. A structure whose rows are faulty is registered, but where the duty of none is known it is not assessed; a line of which the register " +
			"has no row at all is not assessed, nor is a structure that a row left out names but for case, blanks, dashes, leading zeros or .0, nor any of a line of whose rows more than " +
			"a tenth stand on no structure.",
		Example: audit.Example{
			Story: "A straight-run structure without a row",
			Subject: func() audit.Subject {
				s := suspensionAt(structureOf(audit.Tangent, 0.2))
				s.Assembly = nil
				return s
			},
			Outcome: audit.FallsShort, Observed: 0, Required: 1,
			Source: "common practice",
		},
	},
	Rests:  audit.RestsOnCourse,
	OfLine: audit.ReadsNoFigure,
	Remedy: "Inspect the structure and enter its assemblies in the register.",
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		switch r := s.Registered; {
		case r.NoRegister:
			return audit.CannotTell(audit.NoRegister)
		case r.LineUnlisted:
			return audit.CannotTell(audit.LineNotInRegister)
		}
		if t.On() {
			t.Add(audit.Step{Symbol: "N", Meaning: "assemblies registered here", Result: audit.Figure(float64(s.Registered.CarryPhase), ""), Role: audit.Observed})
		}
		v := audit.AtLeast(float64(s.Registered.CarryPhase), 1, "")
		if v.Outcome == audit.Meets {
			if s.Registered.CarryPhase == s.Registered.Duties[audit.DutyUnknown] { // which may all be earth wires
				return audit.CannotTell(audit.FaultyField)
			}
			return v
		}
		strays := s.Line.Strays
		switch {
		case s.Registered.Misspelt != "":
			return audit.CannotTell(audit.NumberMisspelt).Saying(fmt.Sprintf("A row left out names structure %q, which may be this one.", s.Registered.Misspelt))
		case strays.Many():
			such := fmt.Sprintf("%q", strays.Row)
			if strays.Structure != "" {
				such = fmt.Sprintf("%s for %s", strays.Row, strays.Structure)
			}
			return audit.CannotTell(audit.ManyStrayRows).Saying(fmt.Sprintf("%d rows of this line stand on no structure, such as %s.", strays.Rows, such))
		case s.Structure.RowsLost:
			return audit.CannotTell(audit.FaultyField)
		case s.Registered.Rows > 0:
			return v.Saying("Only earth-wire or guy insulators are registered here.")
		}
		return v.Saying("The register has no row for this structure.")
	},
}

var phaseMissing = audit.Check{
	ID:       "phase-missing",
	Title:    "A phase of the circuit has no assembly",
	Of:       audit.OfPlace,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "phases present ⊇ phases of the circuit",
		Symbols: []audit.Explained{
			{Symbol: "phases present", Meaning: "phases of the assemblies of the circuit at the structure, at tension structures of one side"},
			{Symbol: "phases of the circuit", Meaning: "those that the Lines sheet states, else all that the register names for the circuit on this line"},
		},
		Limits: "Each circuit at each structure between its first and its last, everywhere on the line where the Lines sheet counts the circuits. Suspension, pin, post and shackle assemblies serve both " +
			"sides. In a register without a column Phase one row of a circuit is all its phases, and as many rows as it has phases are these; any other number is a fault, and not assessed. " +
			"Where the register names fewer than three phases of a three-phase line and the Lines sheet none, a phase may lack everywhere: what is there is not assessed. " +
			"An advisory where nobody states the phases, and one or two structures before a circuit's first or behind its last, where another begins or goes on. A side without any assembly is side-missing's.",
		Example: audit.Example{
			Story: "Phases A and C registered of a circuit with A, B and C, phases stated",
			Subject: func() audit.Subject {
				return placeOf(audit.Place{Expected: phases("ABC"), Present: phases("AC"), SideKnown: true, Assemblies: 2})
			},
			Outcome: audit.FallsShort, Observed: 2, Required: 3,
			Source: "common practice",
		},
	},
	Trusts: []audit.Need{audit.NeedsCourse},
	Rests:  audit.RestsOnCourse,
	OfLine: audit.ReadsNoFigure,
	Remedy: "Inspect the structure and complete the register.",
	Concerns: func(s *audit.Subject) audit.Reason {
		if s.Place.Side != audit.NoSide && s.Place.Present == 0 && !s.Place.FaultyRows {
			return audit.SideIsEmpty
		}
		return audit.NoReason
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		p := s.Place
		missing := p.Expected &^ p.Present
		if p.FaultyRows && (missing != 0 || p.Side == audit.NoSide && p.SidesUnsure) || p.Unsure&p.Expected != 0 ||
			p.CircuitOpen || phasesUnread(s) {
			return audit.CannotTell(audit.FaultyField)
		}
		if missing == 0 && !p.SideKnown { // a phase that hangs on one side only is missing on the other
			return audit.CannotTell(audit.SideNotStated)
		}
		if p.Expected == audit.EveryPhase {
			if p.Present == 0 {
				missing = audit.EveryPhase
			} else if p.Present != audit.EveryPhase {
				return audit.CannotTell(audit.PhasesUnknown)
			}
		}
		if t.On() {
			t.Add(audit.Step{Symbol: "phases of the circuit", Result: audit.Word(p.Expected.String())})
			t.Add(audit.Step{Symbol: "phases present", Result: audit.Word((p.Expected & p.Present).String())})
		}
		present, expected := (p.Expected & p.Present).Count(), p.Expected.Count()
		if p.Expected == audit.EveryPhase { // nobody says how many they are
			present, expected = min(present, 1), 1
		}
		v := audit.AtLeast(float64(present), float64(expected), "phases")
		if v.Outcome == audit.Meets {
			if s.Line.MayLackPhases(p.Expected) {
				return audit.CannotTell(audit.PhasesUnknown)
			}
			return v
		}
		if s.Line.Row.Phases == 0 || p.Beyond {
			v = v.As(audit.Advisory)
		}
		v.Missing = missing
		what := "phase " + missing.String()
		if missing == audit.EveryPhase || missing == p.Expected {
			what = "any phase"
		}
		return v.Saying(fmt.Sprintf("No assembly for %s of circuit %s%s.", what, s.Name(p.Circuit), onSide(p.Side)))
	},
}

var sideMissing = audit.Check{
	ID:       "side-missing",
	Title:    "No tension assembly on one side of a tension structure",
	Of:       audit.OfPlace,
	Severity: audit.Shortfall,
	Basis:    []basis.Clause{basis.CommonPractice},
	Method: audit.Method{
		Formula: "N_side ≥ max(1, N)",
		Symbols: []audit.Explained{
			{Symbol: "N_side", Meaning: "phases of the circuit that are held on this side of the structure"},
			{Symbol: "N", Meaning: "these, and the phases that hang in tension on the other side and in suspension here"},
		},
		Limits: "Circuits with tension assemblies at the structure: both sides, at a line end the line side only. A phase that hangs in tension on one side and in suspension, on a pin or a post as " +
			"well is not held on the other. It meets where each phase of the circuit is held on this side by a tension or shackle assembly; where nothing falls short and a phase hangs " +
			"otherwise or not at all here, it does not apply, and where a row that cannot be read or placed may be of that phase it is not assessed. Where a tension assembly does not say " +
			"its side, it is not assessed. Jumper, earth-wire and guy insulators stand apart.",
		Example: audit.Example{
			Story: "Tension assemblies behind a structure, none ahead",
			Subject: func() audit.Subject {
				return placeOf(audit.Place{Expected: phases("ABC"), Side: audit.Ahead, Tension: true, SideKnown: true, Assemblies: 3})
			},
			Outcome: audit.FallsShort, Observed: 0, Required: 1,
			Source: "common practice",
		},
	},
	Trusts: []audit.Need{audit.NeedsCourse},
	Rests:  audit.RestsOnCourse,
	OfLine: audit.ReadsNoFigure,
	Remedy: "Inspect the structure and enter the missing side, or correct the side of its assemblies.",
	Concerns: func(s *audit.Subject) audit.Reason {
		p := s.Place
		if !p.Tension && !p.FaultyRows {
			return audit.NotTensionStructure
		}
		if held, required := heldOnSide(p); held < required || !p.SideKnown || isHeld(p) || p.FaultyRows || mayHoldMore(s) {
			return audit.NoReason
		}
		if p.Expected&^p.Present != 0 {
			return audit.PhaseHasNothing
		}
		return audit.PhaseHasNoSides
	},
	Judge: func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		p := s.Place
		held, required := heldOnSide(p)
		switch {
		case !p.Tension, p.FaultyRows && (!p.SideKnown || held < required || !isHeld(p)):
			return audit.CannotTell(audit.FaultyField)
		case !p.SideKnown:
			return audit.CannotTell(audit.SideNotStated)
		case held >= required && (phasesUnread(s) || !isHeld(p) && s.Registered.Misspelt != ""):
			return audit.CannotTell(audit.FaultyField)
		case held >= required && s.Line.MayLackPhases(p.Expected):
			return audit.CannotTell(audit.PhasesUnknown)
		}
		if t.On() {
			t.Add(audit.Step{Symbol: "N_side", Meaning: "phases held" + onSide(p.Side), Result: audit.Figure(held, ""), Role: audit.Observed})
		}
		v := audit.AtLeast(held, required, "phases")
		if v.Outcome == audit.Meets {
			return v
		}
		switch {
		case p.Mixed != 0 && held == 0:
			return v.Saying(fmt.Sprintf("Circuit %s has tension assemblies here but none%s, where suspension, pin or post assemblies cannot hold it.", s.Name(p.Circuit), onSide(p.Side)))
		case p.Mixed != 0:
			v.Missing = p.Mixed
			return v.Saying(fmt.Sprintf("Phase %s of circuit %s hangs in tension and otherwise here, but not in tension%s.", p.Mixed, s.Name(p.Circuit), onSide(p.Side)))
		}
		return v.Saying(fmt.Sprintf("Circuit %s has tension assemblies here but none%s.", s.Name(p.Circuit), onSide(p.Side)))
	},
}

// heldOnSide counts the phases that are held on the side of a place, and those that have to be.
func heldOnSide(p *audit.Place) (held, required float64) {
	held = math.Min(float64((p.Present &^ p.Mixed).Count()), float64(p.Expected.Count()))
	if p.Mixed == audit.EveryPhase {
		return held, 1 // nobody says how many phases that is
	}
	return held, math.Max(1, held+float64(p.Mixed.Count()))
}

// isHeld tells whether each phase of the circuit is held on the side of a place by what takes a one-sided pull. Whatever else hangs there
// makes no difference to that.
func isHeld(p *audit.Place) bool { return p.Expected&^p.Held == 0 }

// mayHoldMore tells whether a row left out may stand at the structure, or a phase be of the circuit that nobody names.
func mayHoldMore(s *audit.Subject) bool {
	return s.Registered.Misspelt != "" || phasesUnread(s) || s.Line.MayLackPhases(s.Place.Expected)
}

// phasesUnread tells whether the Lines sheet may state other phases than the register has.
func phasesUnread(s *audit.Subject) bool {
	return s.Line.Row.Phases == 0 && s.Line.Row.Faulty.Has(audit.CellCircuits)
}

func onSide(side audit.Side) string {
	switch side {
	case audit.Back:
		return " on the back side"
	case audit.Ahead:
		return " on the ahead side"
	}
	return ""
}
