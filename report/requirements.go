package report

import (
	"context"
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

// requirements lists the schedule of every line that was assessed, structure by structure.
func requirements(ctx context.Context, r *audit.Result) (iter.Seq[requirement], error) {
	schedules, err := r.Schedules(ctx)
	return func(yield func(requirement) bool) {
		for l := range schedules {
			for i := range schedules[l].Requirements {
				if !yield(requirementOf(r, l, i, &schedules[l])) {
					return
				}
			}
		}
	}, err
}

// requirementOf says what a structure needs, counted from the first of its line, of which its schedule tells.
func requirementOf(r *audit.Result, line, i int, schedule *audit.Schedule) requirement {
	s := r.Network.Structure(line, r.Network.Lines[line].First+i)
	return requirementAt(r, &s, requiredDuty(r, &s), schedule.Of(i), schedule)
}

// requirementAt is requirementOf a structure that is resolved already, with the duty that it requires.
func requirementAt(r *audit.Result, s *audit.Structure, duty string, needed *audit.Requirement, schedule *audit.Schedule) requirement {
	q := requirement{
		line: r.Project.Symbols.Text(r.Network.Lines[s.Line].Symbol), structure: r.Project.Texts.Get(s.Number),
		chainageM: r.Network.ChainageM(s.Line, s.Index), role: s.Role.String(), duty: duty, class: classLetter(s.ClassInForce()),
		unitAssumed: schedule.UnitAssumed, levelAssumed: schedule.LevelAssumed,
		units: math.NaN(), lengthMM: schedule.LengthMM(needed), creepageMM: needed.CreepageMM,
		installedUnits: math.NaN(), ratingKN: needed.RatingKN, strings: math.NaN(),
	}
	if needed.Strings > 0 {
		q.strings = float64(needed.Strings)
	}
	unit := schedule.CountedIn(needed)
	if unit != nil {
		q.unit = unit.Name
	}
	if needed.Own != nil {
		q.unitAssumed = false
		if needed.Duty != audit.DutyUnknown {
			q.duty = needed.Duty.String()
		}
	}
	if needed.Units > 0 {
		q.units = float64(needed.Units)
	}
	if needed.Governs != nil {
		q.governs = needed.Governs.ID
	}
	var others []string
	for _, row := range r.Network.AssemblyRows(s.Index) {
		a := r.Network.Assembly(row)
		switch {
		case !a.Duty.CarriesPhase() && a.Duty != audit.DutyUnknown:
			continue
		case a.Unit == unit && a.Unit != nil && len(a.Makeup.Parts) == 1 && a.UnitsPerString >= 0:
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
