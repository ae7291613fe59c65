package report

import (
	"math"

	"dryarc/audit"
)

// creepageID is the check whose figures the strip of a line shows.
const creepageID = "creepage"

// creepageOf judges creepage by the very check of the audit.
type creepageOf struct {
	check   *audit.Check // nil where the audit has none
	network *audit.Network
}

func newCreepageOf(r *audit.Result) creepageOf {
	for _, check := range r.Checks {
		if check.ID == creepageID && check.Of == audit.OfAssembly {
			return creepageOf{check, r.Network}
		}
	}
	return creepageOf{network: r.Network}
}

// creepage is the creepage of the string at a structure that is worst off, in mm; NaN where unknown, and why.
type creepage struct {
	installedMM, requiredMM float64
	reason                  audit.Reason
}

// at finds it. Where no string can be judged, what is required of a string of like make is still told.
func (c creepageOf) at(line int, s *audit.Structure) creepage {
	worst := creepage{math.NaN(), math.NaN(), audit.NoReason}
	if c.check == nil {
		return worst
	}
	var a audit.Assembly
	subject := audit.Subject{Criteria: &c.network.Project.Criteria, Line: &c.network.Lines[line], Structure: s, Assembly: &a, Name: c.network.Project.Symbols.Text}
	margin := math.Inf(1)
	for _, row := range c.network.AssemblyRows(s.Index) {
		a = c.network.Assembly(row)
		if !a.Duty.CarriesPhase() {
			continue
		}
		switch v := c.check.Run(subject, nil); {
		case v.Outcome == audit.NotAssessed && worst.reason == audit.NoReason:
			worst.reason = v.Reason
		case v.Outcome <= audit.FallsShort && v.Margin < margin:
			margin = v.Margin
			worst.installedMM, worst.requiredMM = v.Observed.Number, v.Required.Number
		}
	}
	if math.IsNaN(worst.requiredMM) {
		a = audit.Assembly{Duty: audit.Suspension, CreepageMM: math.MaxFloat64, Direct: audit.UnknownDirectValues()}
		v := c.check.Run(subject, nil)
		if v.Outcome == audit.Meets {
			worst.requiredMM = v.Required.Number
		} else if worst.reason == audit.NoReason {
			worst.reason = v.Reason
		}
	} else {
		worst.reason = audit.NoReason
	}
	return worst
}
