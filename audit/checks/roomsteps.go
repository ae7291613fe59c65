package checks

import (
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// leans tells whether the wall beside the subject's string leans.
func leans(s *audit.Subject) bool { return math.Abs(s.Structure.Room.WallLean) > 0 }

// addLean shows the angle by which the wall comes nearer downwards.
func addLean(t *audit.Trace, s *audit.Subject) audit.Operand {
	lean := s.Structure.Room.WallLean
	angle := audit.Figure(math.Atan(lean)*180/math.Pi, "deg")
	t.Add(audit.Step{Symbol: "β", Meaning: "lean of the wall, which comes nearer by tan β for each metre down", Formula: "atan(k)", Inputs: []audit.Operand{figure("k", lean, "")},
		Result: angle, Clause: basis.OwnFigure, Sheet: "DEGREES(ATAN(k))"})
	return audit.Operand{Symbol: "β", Value: angle}
}

// addBracket shows, once, how far the crossarm or bracket is above the attachment, which it returns in mm; 0 where that is not stated.
func addBracket(t *audit.Trace, s *audit.Subject) float64 {
	mm := s.Structure.Room.BracketMM
	step := audit.Step{Symbol: "D_b", Meaning: "level of the crossarm or bracket above the attachment, at which the distance of a leaning wall is measured", Result: audit.Figure(mm, "mm"), Clause: basis.OwnFigure}
	if math.IsNaN(mm) {
		mm = 0
		step.Result, step.Clause, step.Meaning = audit.Figure(0, "mm"), basis.ProgramChoice, "level of the crossarm or bracket above the attachment, which is not stated: taken as level with it"
	}
	if !slices.ContainsFunc(t.Steps, func(shown audit.Step) bool { return shown.Symbol == step.Symbol }) {
		t.Add(step)
	}
	return mm
}
