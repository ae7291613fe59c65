package read

import (
	"dryarc/audit"
)

// Rows that make an assembly for each phase, where phases have columns of their own.

// begin starts a row of a sheet, which makes so many rows of the audit.
func (r *register) begin(passes int) {
	r.passes, r.pass = passes, 0
	r.said = r.said[:0]
}

// saidBefore tells whether the same has been said of the row for another phase.
func (r *register) saidBefore(f audit.Fault) bool {
	if r.passes < 2 {
		return false
	}
	for _, said := range r.said {
		if said.At == f.At && said.Kind == f.Kind && said.Column == f.Column && said.Value == f.Value && said.Expected == f.Expected {
			return true
		}
	}
	r.said = append(r.said, f)
	return false
}

// phasesMade tells for which phases a row makes an assembly, as places in the passes: not for one whose own cells are all blank where
// they say what hangs there, unless those of every phase are.
func (s *sheetReader[R]) phasesMade(passes [][]int, doubtful bool) (made []int) {
	if s.every == nil {
		for i := range passes {
			s.every = append(s.every, i)
		}
	}
	if len(s.shape.phases) == 0 || doubtful {
		return s.every
	}
	for i, phase := range s.shape.phases {
		hangs, blank := false, true
		for k := range s.shape.columns {
			p := &s.shape.columns[k]
			if p.phase != phase {
				continue
			}
			switch p.column.field {
			case audit.CellUnit, audit.CellUnitsPerString, audit.CellCreepage:
				hangs = true
			}
			blank = blank && s.isBlank(p)
		}
		if !hangs || !blank {
			made = append(made, i)
		}
	}
	if len(made) == 0 {
		return s.every
	}
	s.bare += len(passes) - len(made)
	return made
}

// isBlank tells whether a cell of the row says nothing, by itself or in a word.
func (s *sheetReader[R]) isBlank(p *placed[R]) bool {
	if _, formula := s.grid.formulas[p.index]; formula || p.fixed != "" {
		return false
	}
	cell := p.text(s.grid.cells)
	if cell == "" && s.merged != nil {
		cell = s.merged.text(s.grid.number, p.index)
	}
	return cell == "" || nothingIn(cell) == saysBlank
}

// phase writes the phase of a row that is made for it.
func (s *sheetReader[R]) phase(row *R, phase string) {
	for i := range s.columns {
		if c := &s.columns[i]; c.heading == "Phase" {
			c.read(row, phase, unitOfMeasure{factor: 1})
		}
	}
}
