package audit

import (
	"fmt"
	"math"

	"dryarc/audit/basis"
)

// assumptions lists what nobody stated and the result rests on, once each, with the lines it touches.
func (r *Result) assumptions() []Assumption {
	c := &r.Project.Criteria
	var out []Assumption
	always := func(applies bool, text string) {
		if applies {
			out = append(out, Assumption{Text: text})
		}
	}
	touching := func(text string, touches func(l int) bool) {
		var lines []Symbol
		assessed := 0
		for l := range r.Lines {
			if !r.Lines[l].Assessed {
				continue
			}
			assessed++
			if touches(l) {
				lines = append(lines, r.Network.Lines[l].Symbol)
			}
		}
		if len(lines) == assessed && assessed > 0 {
			out = append(out, Assumption{Text: text})
		} else if len(lines) > 0 {
			out = append(out, Assumption{Text: text, Lines: lines})
		}
	}
	line := func(l int) *Line { return &r.Network.Lines[l] }

	if !c.DeviationLimitDeg.Stated {
		touching(fmt.Sprintf("Suspension assemblies are taken to bear a deviation up to %g° (common practice); nobody stated a limit, so what exceeds it is an advisory.", c.DeviationLimitDeg.Value),
			func(l int) bool { return math.IsNaN(line(l).Row.DeviationLimitDeg) })
	}
	always(!c.PositionAccuracyM.Known(), "The accuracy of the positions is not stated; deviations are judged as computed, without a survey band.")
	always(!c.CreepageBasisStated, "Required creepage follows the unified specific creepage of IEC TS 60815:2008; the project states no basis.")
	touching("The highest voltage for equipment is taken from IEC 60038 for the nominal voltage (value from memory).",
		func(l int) bool { return line(l).HighestAssumed })
	touching("The line is taken as a three-phase one with earthed neutral, since its system is not stated.",
		func(l int) bool { return line(l).Row.System == SystemUnknown && !math.IsNaN(line(l).PhaseToEarthKV) })
	if c.DefaultClass != basis.ClassUnknown {
		touching(fmt.Sprintf("Structures outside every zone stand in class %s, the project's default.", c.DefaultClass),
			func(l int) bool { return r.Lines[l].classes.byDefault > 0 })
	}
	if c.CreepageAltitudeExponent.Value == 0 {
		touching(fmt.Sprintf("Required creepage is not raised with altitude, and structures stand above %d m.", highGroundM),
			func(l int) bool { return r.Lines[l].classes.high > 0 })
	}
	return out
}
