package audit

import (
	"fmt"
	"math"

	"dryarc/audit/basis"
)

// statesTension tells whether a load case states a tension of its own, in kN or as a share of the rated strength.
func (c *LoadCase) statesTension() bool { return c.From == GivenTension || c.From == ShareOfStrength }

// statedKN is the tension that a load case states for a conductor, and the rated strength that it is held against; NaN where that is not known.
func (c *LoadCase) statedKN(conductor *basis.Conductor, faulty Cells) (tensionKN, strengthKN float64) {
	strengthKN = math.NaN()
	if conductor != nil && !faulty.Has(CellRating) {
		strengthKN = conductor.RatedStrengthKN
	}
	if c.From == ShareOfStrength {
		return c.Share * strengthKN, strengthKN
	}
	return c.TensionKN, strengthKN
}

// doubtCase tells whether what carries a line cannot have the tension that a load case states: it is above its rated strength, or so low that on the median of
// the spans it would hang as on no line. sagM is how far it would, NaN where the tension is too high.
func (l *Line) doubtCase(c *LoadCase, conductor *basis.Conductor, faulty Cells) (sagM float64, is bool) {
	tension, strength := c.statedKN(conductor, faulty)
	switch {
	case basis.Contradicts(strength, tension):
		return math.NaN(), true
	case conductor == nil, faulty.Has(CellWeight):
		return math.NaN(), false
	case faulty.Has(CellRating):
		strength = math.Inf(1) // that it cannot be read acquits none
	}
	return basis.IsTooSlack(tension, strength, conductor.WeightNPerM(), l.medianM)
}

// believed is the tension that a load case states, unless it is in doubt.
func (l *Line) believed(c *LoadCase, w *wire) (tensionKN float64, reason Reason) {
	if _, is := l.doubtCase(c, w.Conductor, w.faulty); is || !w.other && l.belowEveryday(c, w.Conductor, w.faulty, l.everydayKN) != "" {
		return math.NaN(), CaseTensionImplausible
	}
	tensionKN, _ = c.statedKN(w.Conductor, w.faulty)
	return tensionKN, NoReason
}

// Choices of this program where tensions of load cases are held against the everyday one: an everyday tension of which nobody states the temperature is
// one of at least so many °C, and a share of the rated strength, mostly of two digits, may be rounded by so much.
const (
	leastEverydayC = 0.0
	roundedShare   = 0.005
)

// belowEveryday is why the line's own conductor cannot have a tension that a load case states below the everyday one: bare and still it pulls no less
// where it is no hotter, and with wind or ice more, and what judges uplift is the cold. Empty where it can, and where the case is hotter.
func (l *Line) belowEveryday(c *LoadCase, conductor *basis.Conductor, faulty Cells, everydayKN float64) (why string) {
	tension, strength := c.statedKN(conductor, faulty)
	if c.From == ShareOfStrength {
		tension += roundedShare * strength
	}
	if !basis.Contradicts(tension, everydayKN) {
		return ""
	}
	stated, everydayC := c.TemperatureC.Stated, l.Row.EverydayC
	switch {
	case stated && c.TemperatureC.Value > everydayC:
		return ""
	case stated && (c.TemperatureC.Value <= everydayC || c.TemperatureC.Value <= leastEverydayC):
		return "is no hotter"
	case c.IceMM > 0:
		return "has ice"
	case c.Uplift:
		return "judges uplift"
	case c.WindPa > 0:
		return "has wind"
	}
	return ""
}

// doubtCasesByEveryday finds the tensions that load cases state and that the everyday tension of a line contradicts. Neither is used after that.
func (n *Network) doubtCasesByEveryday(line *Line) {
	row := &line.Row
	everyday := row.EverydayTensionKN
	if math.IsNaN(everyday) {
		return
	}
	var faulty Cells
	conductor := line.Conductor
	if row.Faulty.Has(CellConductor) {
		conductor = nil
	} else {
		faulty = line.ConductorFaulty
	}
	cases := n.criteriaOf(line).LoadCases
	for i := range cases {
		c := &cases[i]
		if !c.statesTension() || c.From == GivenTension && row.Superseded.Has(TensionSuperseded) {
			continue
		}
		why := line.belowEveryday(c, conductor, faulty, everyday)
		if why == "" {
			continue
		}
		tension, _ := c.statedKN(conductor, faulty)
		n.Project.Faults.Add(Fault{Kind: Implausible, At: row.Source, ProjectFile: n.Project.fileName(), ProjectLine: c.ProjectLine, Column: "Load case tension", Value: fmt.Sprintf("%.4g", tension),
			Expected: fmt.Sprintf("kN of load case %q is implausible below the everyday tension %g kN of line %q, since the case %s, expected that or more, or a temperature_C above the everyday one; nothing is judged by either",
				c.Name, everyday, n.Project.Symbols.Text(line.Symbol), why)})
		line.everydayKN = everyday
		row.EverydayTensionKN, row.Faulty = math.NaN(), row.Faulty.With(CellTension)
	}
}

// doubtCases finds the tensions that load cases state and none of the conductors of a line can have: likely in another unit, of another conductor, or of a
// whole bundle.
func (n *Network) doubtCases(line *Line) (faults []Fault) {
	cases := n.criteriaOf(line).LoadCases
	stating := false
	for i := range cases {
		stating = stating || cases[i].statesTension()
	}
	if !stating {
		return nil
	}
	line.medianM = min(n.medianSpanM(line), longMedianM)
	superseded := line.Row.Superseded.Has(TensionSuperseded)
	at := line.Row.Source
	if at.Row == 0 { // no sheet has the line
		at = n.row(line.First).Source
	}
	doubt := func(conductor *basis.Conductor, faulty Cells, own bool) {
		for i := range cases {
			c := &cases[i]
			if !c.statesTension() || c.From == GivenTension && own && superseded {
				continue
			}
			sagM, is := line.doubtCase(c, conductor, faulty)
			if !is {
				continue
			}
			tension, strength := c.statedKN(conductor, faulty)
			why := fmt.Sprintf("a level span of %.0f m, the median of line %q, of %s would sag %.1f m", line.medianM, n.Project.Symbols.Text(line.Symbol), conductor.Name, sagM)
			if math.IsNaN(sagM) {
				why = fmt.Sprintf("the rated strength of %s on line %q is %g kN", conductor.Name, n.Project.Symbols.Text(line.Symbol), strength)
			}
			faults = append(faults, Fault{Kind: Implausible, At: at, ProjectFile: n.Project.fileName(), ProjectLine: c.ProjectLine, Column: "Load case tension", Value: fmt.Sprintf("%.4g", tension),
				Expected: fmt.Sprintf("kN of load case %q is implausible, expected kN of one conductor: %s; nothing is judged by it there", c.Name, why)})
		}
	}
	if line.Conductor != nil && !line.Row.Faulty.Has(CellConductor) {
		doubt(line.Conductor, line.ConductorFaulty, true)
	}
	seen := map[Symbol]bool{line.Row.Conductor: true}
	for i := line.First; i < line.End; i++ {
		ahead := n.structures[i].conductorAhead
		if seen[ahead] {
			continue
		}
		seen[ahead] = true
		if k, known := n.conductors[ahead]; known {
			doubt(&n.Project.Conductors[k], FaultsOf(n.Project.ConductorFaults, int(k)), false)
		}
	}
	return faults
}
