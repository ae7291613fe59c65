// Package checks is the list of checks, one file per family.
//
// An audit.Subject enters a check, a value with all that is known of it; an audit.Verdict leaves, and where a trace is given
// the steps that lead to it. A check is thin: it takes the subject's figures, asks a formula of package basis, and compares.
package checks

import "dryarc/audit"

// All returns every check, the gravest first: that is the order of the outputs.
func All() []*audit.Check {
	return []*audit.Check{
		&tensionAtTerminal,
		&tensionAtUplift,
		&tensionAtChange,
		&tensionAtDeviation,
		&tensionAtCrossing,
		&doubleAtCrossing,
		&tensionAtTee,
		&nothingRegistered,
		&sideMissing,
		&phaseMissing,
		&strength,
		&strengthOneStringBroken,
		&brokenConductor,
		&fittingStrength,
		&fittingStrengthOneStringBroken,
		&fittingBrokenConductor,
		&swing,
		&vSetClearance,
		&creepage,
		&soundUnits,
		&lightningWithstand,
		&switchingWithstand,
		&wetWithstand,
		&dryWetMinimum,
		&punctureMargin,
		&couplingMismatch,
		&stringTooLong,
		&sectionLength,
		&declaredDuty,
		&slackLeg,
		&nearWorseZone,
		&tensionFewerUnits,
		&unitsForVoltage,
		&mixedUnits,
		&pinVoltage,
		&shackleVoltage,
		&levelPair,
		&oddOneOut,
		&inspectedLongAgo,
		&pastStatedAge,
		&gradingRings,
		&onWatchList,
	}
}

// ByID finds a check, nil if there is none of this ID.
func ByID(id string) *audit.Check {
	for _, check := range All() {
		if check.ID == id {
			return check
		}
	}
	return nil
}
