package read

import (
	"math"
	"slices"
	"strconv"

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

// columnsByPhase are the columns that have a heading for each phase.
func (l *layout[R]) columnsByPhase() (columns []string) {
	for i := range l.columns {
		if p := &l.columns[i]; p.phase != "" && !slices.Contains(columns, p.column.heading) {
			columns = append(columns, p.column.heading)
		}
	}
	return columns
}

// shared is a figure of a string for which a row has one cell, where what hangs there has one for each phase.
type shared struct {
	column string
	field  audit.Cell
	figure func(a *assembly) *float64
}

var sharedFigures = [...]shared{
	{"Creepage", audit.CellCreepage, func(a *assembly) *float64 { return &a.direct.CreepageMM }},
	{"Rating", audit.CellRating, func(a *assembly) *float64 { return &a.direct.RatingKN }},
	{"Length", audit.CellLength, func(a *assembly) *float64 { return &a.direct.LengthMM }},
	{"Arcing", audit.CellArcing, func(a *assembly) *float64 { return &a.direct.ArcingMM }},
	{"Lightning withstand", audit.CellTested, func(a *assembly) *float64 { return &a.direct.LightningKV }},
	{"Switching withstand", audit.CellLimits, func(a *assembly) *float64 { return &a.direct.SwitchingKV }},
	{"Wet withstand", audit.CellTestedWet, func(a *assembly) *float64 { return &a.direct.WetKV }},
	{"Wet switching withstand", audit.CellLimits, func(a *assembly) *float64 { return &a.direct.WetSwitchingKV }},
}

// doubtShared makes unknown, of the rows of one row of a sheet, the figures of one string where the strings of its phases differ, and the
// defective units, which may be those of one phase: of which phase a cell is that all of them share is not said.
func (r *register) doubtShared(rows []assembly, at audit.Source) {
	doubt := func(column string, field audit.Cell, value, expected string) {
		r.trouble(audit.Fault{At: at, Column: column, Value: value}, &trouble{kind: audit.Implausible, gathered: "shared by the phases", expected: expected +
			"; which phase it is of is not known, and what rests on it is not assessed: give the column a heading for each phase too, or each phase a row of its own"})
		for i := range rows {
			rows[i].Faulty = rows[i].Faulty.With(field)
		}
	}
	unlike := r.unlike(rows)
	for _, s := range sharedFigures {
		if unlike == "" || s.field == audit.CellRating && unlike != unlikeUnits { // a string is no stronger for its length
			continue
		}
		if figure := *s.figure(&rows[0]); !math.IsNaN(figure) && !slices.Contains(r.ofPhases, s.column) {
			doubt(s.column, s.field, inDigits(figure), "is one figure of a row on which "+unlike+" of the phases differ")
			for i := range rows {
				*s.figure(&rows[i]) = math.NaN()
			}
		}
	}
	if defective := rows[0].Defective; defective > 0 && !slices.Contains(r.ofPhases, "Defective units") {
		doubt("Defective units", audit.CellDefective, strconv.Itoa(int(defective)), "is one number of a row of several phases, which may be that of one of them")
		for i := range rows {
			rows[i].Defective = -1
		}
	}
}

// What of strings differs.
const (
	unlikeUnits     = "the units"
	unlikeCounts    = "the numbers of units"
	unlikeCreepages = "the creepages"
	unlikeLengths   = "the lengths"
)

// unlike says what of the strings of a row differs between its phases, or may; empty where nothing does.
func (r *register) unlike(rows []assembly) string {
	for i := range rows {
		a, b := &rows[0], &rows[i]
		switch {
		case nameKey(a.unit) != nameKey(b.unit) || a.Faulty.Has(audit.CellUnit) != b.Faulty.Has(audit.CellUnit):
			return unlikeUnits
		case slices.Contains(r.ofPhases, "Unit") && a.Faulty.Has(audit.CellUnit):
			return unlikeUnits
		case a.UnitsPerString != b.UnitsPerString || slices.Contains(r.ofPhases, "Units per string") && b.Faulty.Has(audit.CellUnitsPerString):
			return unlikeCounts
		case slices.Contains(r.ofPhases, "Creepage") && !same(a.direct.CreepageMM, b.direct.CreepageMM):
			return unlikeCreepages
		case slices.Contains(r.ofPhases, "Length") && !same(a.direct.LengthMM, b.direct.LengthMM):
			return unlikeLengths
		}
	}
	return ""
}
