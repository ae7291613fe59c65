package read

import (
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/goccy/go-yaml/ast"
)

const (
	severityHint  = "write classes with the median and the deviation of the logarithm of their severity: {b: {median: 0.02, sigma: 0.6}}"
	withstandHint = "write types or materials as the Units sheet names them, and their figures: {U70BL: {A_kV_per_unit: 6, a: 0.22, sigma: 0.08}}"
)

// The figures of risk that are believed (choices of this program); they find slips of the pen and of the unit.
const (
	leastSeverity, mostSeverity   = 1e-6, 1e3 // in whatever measure
	leastLogSigma, mostLogSigma   = 0.01, 5
	leastUnitKV, mostUnitKV       = 0.01, 5000
	leastSlope, mostSlope         = 0.05, 2 // by which the severity withstood is a number, whatever else is stated
	leastShare, mostShare         = 0.001, 0.5
	leastSurgeKV, mostSurgeKV     = 1, 20_000
	leastSurgeDevKV, mostSurgeDev = 0.1, 10_000
	mostStressed                  = 100_000 // strings at once
)

// riskKey reads what the ranking by risk goes by. What a part of it lacks is told where it would be needed.
func riskKey(to *audit.RiskRule) reader {
	return section{
		{"direct_current", boolKey(&to.Direct)},
		{"measure", textKey(&to.Measure)},
		{"site_severity", siteSeverityKey(to)},
		{"withstand", pollutedWithstandKey(&to.Withstand)},
		{"lightning", overvoltageKeys(&to.Lightning).read},
		{"switching", overvoltageKeys(&to.Switching).read},
	}.read
}

func siteSeverityKey(to *audit.RiskRule) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		entries, ok := mapping(node)
		if !ok {
			return wrong(node, severityHint, "%s %s is no mapping of classes to severities", name, written(node))
		}
		for _, entry := range entries {
			var class basis.Class
			if problem := classKey(&class)("class", entry.Key); problem != nil {
				return problem
			}
			site := &to.Site[class]
			if *site != (audit.SiteSeverity{}) {
				return wrong(entry.Key, severityHint, "class %s in %s stands there twice", class, name)
			}
			problem := section{
				{"median", floatKey(&site.Median, leastSeverity, mostSeverity)},
				{"sigma", floatKey(&site.Sigma, leastLogSigma, mostLogSigma)},
			}.read(name+" of class "+class.String(), entry.Value)
			if problem != nil {
				return problem
			}
		}
		return nil
	}
}

func pollutedWithstandKey(to *[]audit.UnitWithstand) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		entries, ok := mapping(node)
		if !ok {
			return wrong(node, withstandHint, "%s %s is no mapping of types or materials to figures", name, written(node))
		}
		for _, entry := range entries {
			text, _ := scalar(entry.Key)
			unit := audit.UnitWithstand{Of: strings.TrimSpace(text)}
			switch {
			case unit.Of == "":
				return wrong(entry.Key, withstandHint, "type or material in %s is blank", name)
			case slices.ContainsFunc(*to, func(other audit.UnitWithstand) bool { return strings.EqualFold(other.Of, unit.Of) }):
				return wrong(entry.Key, withstandHint, "type or material %s in %s stands there twice", written(entry.Key), name)
			}
			problem := section{
				{"A_kV_per_unit", floatKey(&unit.A, leastUnitKV, mostUnitKV)},
				{"A_kV_per_m", floatKey(&unit.PerM, leastUnitKV, mostUnitKV)},
				{"a", floatKey(&unit.Slope, leastSlope, mostSlope)},
				{"sigma", floatKey(&unit.Sigma, leastShare, mostShare)},
			}.read(name+" of "+unit.Of, entry.Value)
			if problem == nil && unit.A > 0 && unit.PerM > 0 {
				problem = wrong(entry.Key, withstandHint, "%s of %s states A_kV_per_unit and A_kV_per_m, expected one of them", name, unit.Of)
			}
			if problem != nil {
				return problem
			}
			*to = append(*to, unit)
		}
		return nil
	}
}

func overvoltageKeys(o *audit.Overvoltage) section {
	return section{
		{"mean_kV", floatKey(&o.MeanKV, leastSurgeKV, mostSurgeKV)},
		{"sigma_kV", floatKey(&o.SigmaKV, leastSurgeDevKV, mostSurgeDev)},
		{"strength_sigma", floatKey(&o.StrengthSigma, leastShare, mostShare)},
		{"strings", wholeKey(&o.Strings, 1, mostStressed)},
	}
}
