package report

import (
	"math"
	"slices"

	"dryarc/audit"
)

// creepageID is the check whose figures the strip of a line shows.
const creepageID = "creepage"

// creepageOf judges creepage by the very check of the audit.
type creepageOf struct {
	check  int // in Result.Checks; −1 where the audit has none
	result *audit.Result
	// At hand; reused.
	subject  audit.Subject
	assembly audit.Assembly
}

func newCreepageOf(r *audit.Result) *creepageOf {
	check := slices.IndexFunc(r.Checks, func(check *audit.Check) bool { return check.ID == creepageID && check.Of == audit.OfAssembly })
	return &creepageOf{check: check, result: r}
}

// creepage is the creepage of the string at a structure that is worst off, in mm; NaN where unknown, and why.
type creepage struct {
	installedMM, requiredMM float64
	reason                  audit.Reason
}

// missingUnits is how many units more the string needs for its creepage, of strings of several units; 0 where it has enough or that is not known.
func (c creepage) missingUnits(unitsPerString int) int64 {
	if unitsPerString < 2 || !(c.installedMM > 0) || !(c.installedMM < c.requiredMM) {
		return 0
	}
	return int64(math.Ceil((c.requiredMM-c.installedMM)/(c.installedMM/float64(unitsPerString)) - 1e-9))
}

// worst finds that of a structure, and how many units the string has. Where no string can be judged, what is required of a string of like make is still told.
func (c *creepageOf) worst(line int, s *audit.Structure) (worst creepage, unitsPerString int) {
	worst = creepage{math.NaN(), math.NaN(), audit.NoReason}
	if c.check < 0 {
		return worst, 0
	}
	a, subject := &c.assembly, &c.subject
	*subject = audit.Subject{Criteria: c.result.Network.Criteria(line), Line: &c.result.Network.Lines[line], Structure: s, Assembly: a, Name: c.result.Network.Project.Symbols.Text}
	at := audit.AtStructure(line, s.Index)
	margin := math.Inf(1)
	rows := c.result.Network.AssemblyRows(s.Index)
	for k, row := range rows {
		if k > 0 && c.result.Network.AreAlike(rows[k-1], row) {
			continue
		}
		*a = c.result.Network.Assembly(row)
		if !a.Duty.CarriesPhase() {
			continue
		}
		at.Assembly, at.Circuit, at.Phase, at.Side = a.Row, a.Circuit, a.Phase, a.Side
		switch v := c.result.Again(c.check, &at, subject, nil); {
		case v.Outcome == audit.NotAssessed && worst.reason == audit.NoReason:
			worst.reason = v.Reason
		case v.Outcome <= audit.FallsShort && v.Margin < margin:
			margin = v.Margin
			unitsPerString = int(a.UnitsPerString)
			worst.installedMM, worst.requiredMM = v.Observed.Number, v.Required.Number
		}
	}
	if math.IsNaN(worst.requiredMM) {
		at.Assembly, at.Circuit, at.Phase, at.Side = -1, 0, 0, audit.NoSide
		*a = audit.Assembly{Duty: audit.Suspension, CreepageMM: math.MaxFloat64, Direct: audit.UnknownDirectValues()}
		v := c.result.Again(c.check, &at, subject, nil)
		if v.Outcome == audit.Meets {
			worst.requiredMM = v.Required.Number
		} else if worst.reason == audit.NoReason {
			worst.reason = v.Reason
		}
	} else {
		worst.reason = audit.NoReason
	}
	return worst, unitsPerString
}
