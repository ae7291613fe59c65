package report

import (
	"iter"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
)

// requirement is what one structure needs and what hangs there, for a workbook or a file of values.
type requirement struct {
	line, structure           string
	chainageM                 float64
	role, duty, class         string
	unit                      string
	unitAssumed, levelAssumed bool
	units                     float64 // NaN where nothing can be judged
	lengthMM, creepageMM      float64
	governs                   string
	ratingKN                  float64 // of a single string; NaN if unknown
	strings                   float64 // parallel strings; NaN if unknown
	installedUnits            float64 // fewest of the reference unit in a string; NaN where none is made of it alone
	installed                 string  // what hangs there instead
}

// short tells whether the strings of the reference unit have fewer units than are needed.
func (q *requirement) short() bool { return q.installedUnits < q.units }

// requirements lists the schedule of every line that was assessed, structure by structure.
func requirements(r *audit.Result) iter.Seq[requirement] {
	return func(yield func(requirement) bool) {
		for l := range r.Network.Lines {
			if !r.Lines[l].Assessed {
				continue
			}
			_, unitAssumed := r.Network.ReferenceUnit(l)
			for _, needed := range r.Network.Schedule(l, r.Checks) {
				q := requirementOf(r, l, &needed)
				q.unitAssumed = unitAssumed
				if !yield(q) {
					return
				}
			}
		}
	}
}

func requirementOf(r *audit.Result, line int, needed *audit.Requirement) requirement {
	s := r.Network.Structure(line, needed.Structure)
	q := requirement{
		line: r.Project.Symbols.Text(r.Network.Lines[line].Symbol), structure: r.Project.Texts.Get(s.Number),
		chainageM: s.ChainageM, role: s.Role.String(), duty: requiredDuty(r, &s), class: classLetter(s.Class),
		levelAssumed: needed.AssumedLevel, units: math.NaN(), lengthMM: needed.LengthMM, creepageMM: needed.CreepageMM,
		installedUnits: math.NaN(), ratingKN: needed.RatingKN, strings: math.NaN(),
	}
	if needed.Strings > 0 {
		q.strings = float64(needed.Strings)
	}
	if needed.Unit != nil {
		q.unit = needed.Unit.Name
	}
	if needed.Units > 0 {
		q.units = float64(needed.Units)
	}
	if needed.Governs != nil {
		q.governs = needed.Governs.ID
	}
	var others []string
	for _, row := range r.Network.AssemblyRows(needed.Structure) {
		a := r.Network.Assembly(row)
		switch {
		case !a.Duty.CarriesPhase() && a.Duty != audit.DutyUnknown:
			continue
		case a.Unit == needed.Unit && a.Unit != nil && len(a.Makeup.Parts) == 1 && a.UnitsPerString >= 0:
			if n := float64(a.UnitsPerString); !(n >= q.installedUnits) {
				q.installedUnits = n
			}
			continue
		}
		if text := a.Hanging(); !slices.Contains(others, text) {
			others = append(others, text)
		}
	}
	q.installed = strings.Join(others, "; ")
	return q
}
