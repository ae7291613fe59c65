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
	for _, input := range r.Project.Inputs {
		always(input.DatumM > 0, fmt.Sprintf("The positions of %s are in %s, whose datum is taken as WGS 84; the two agree within %g m (EPSG dataset).",
			input.File, input.System, input.DatumM))
	}
	always(!c.CreepageBasisStated, "Required creepage follows the unified specific creepage of IEC TS 60815:2008; the project states no basis.")
	touching("The highest voltage for equipment is taken from IEC 60038 for the nominal voltage (value from memory).",
		func(l int) bool { return line(l).HighestAssumed })
	touching("The line is taken as a three-phase one with earthed neutral, since its system is not stated.",
		func(l int) bool { return line(l).Row.System == SystemUnknown && !math.IsNaN(line(l).PhaseToEarthKV) })
	if c.DefaultClass != basis.ClassUnknown {
		touching(fmt.Sprintf("Structures outside every zone stand in class %s, the project's default.", c.DefaultClass),
			func(l int) bool { return r.Lines[l].classes.byDefault > 0 })
	}
	level := func(l int) bool { return !math.IsNaN(line(l).Row.LightningKV) || !math.IsNaN(line(l).Row.SwitchingKV) }
	if !c.AltitudeBasisStated {
		touching("The withstand levels of the Lines sheet are taken to cover sites up to 1000 m, as standard levels do; the project states no altitude basis.", level)
	}
	touching("The withstand of strings of discs is read from the table of 146 mm discs (value from memory: sure up to 12 units, fairly sure above).",
		func(l int) bool { return !math.IsNaN(line(l).Row.LightningKV) })
	switching := func(l int) bool { return !math.IsNaN(line(l).Row.SwitchingKV) }
	if !c.SwitchingExponent.Stated {
		touching(fmt.Sprintf("The altitude exponent for switching impulse is %g (simplification of IEC 62271-1); it properly follows a curve.", c.SwitchingExponent.Value), switching)
	}
	if !c.GapFactor.Stated {
		touching(fmt.Sprintf("The gap factor is %g, that of a string in a tower window (value from memory).", c.GapFactor.Value), switching)
	}
	touching("The schedule of requirements assumes the highest standard lightning level of the line's Um, since none is stated; the audit itself does not.",
		func(l int) bool {
			_, standard := basis.LightningLevels(line(l).HighestKV)
			return standard && math.IsNaN(line(l).Row.LightningKV)
		})
	loaded := func(l int) bool {
		return line(l).Conductor != nil && (len(c.LoadCases) > 0 || !math.IsNaN(line(l).Row.ColdTensionKN))
	}
	touching("Attachment heights are not stated for every structure of the line; the conductor is taken to hang equally high above ground everywhere.",
		func(l int) bool { return loaded(l) && !line(l).AttachmentsKnown })
	touching("One conductor per phase is assumed, since the number of subconductors is not stated.",
		func(l int) bool { return loaded(l) && line(l).Row.Subconductors < 1 })
	if c.CreepageAltitudeExponent.Value == 0 {
		touching(fmt.Sprintf("Required creepage is not raised with altitude, and structures stand above %g m.", basis.HighGroundM),
			func(l int) bool { return r.Lines[l].classes.high > 0 })
	}
	return out
}
