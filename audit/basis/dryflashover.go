package basis

import "math"

// voltageKV pairs a system voltage with a flashover voltage, both kV.
type voltageKV struct{ system, flashover float64 }

// ratedDryNESC is NESC table 273-1 (value from memory, H).
var ratedDryNESC = [...]voltageKV{{34.5, 100}, {46, 125}, {69, 175}, {115, 315}, {138, 390}, {161, 445}, {230, 640}}

// dryCalifornia is California General Order 64-A, table 9 (published).
var dryCalifornia = [...]voltageKV{
	{11, 50}, {22, 75}, {33, 100}, {44, 125}, {55, 150}, {66, 175}, {88, 220}, {110, 315}, {132, 390}, {150, 420}, {200, 560},
}

// RatedDryFlashoverNESC returns the rated dry flashover voltage that insulators of a nominal system voltage need, both
// in kV r.m.s. Only the voltages of the table are known; any other is false.
//
// Source: NESC table 273-1 (value from memory, H).
func RatedDryFlashoverNESC(systemKV float64) (flashoverKV float64, ok bool) {
	for _, r := range ratedDryNESC {
		if same(r.system, systemKV) {
			return r.flashover, true
		}
	}
	return math.NaN(), false
}

// DryFlashoverGO64A returns the dry flashover voltage that insulators of a nominal system voltage need, both in kV
// r.m.s., with the linear interpolation the table prescribes. Outside 11 to 200 kV it returns an *OutOfRange.
//
// Source: California General Order 64-A, table 9 (published).
func DryFlashoverGO64A(systemKV float64) (flashoverKV float64, err error) {
	last := len(dryCalifornia) - 1
	if err := within("system voltage", systemKV, dryCalifornia[0].system, dryCalifornia[last].system, "kV"); err != nil {
		return math.NaN(), err
	}
	i := 1
	for i < last && dryCalifornia[i].system < systemKV {
		i++
	}
	a, b := dryCalifornia[i-1], dryCalifornia[i]
	return a.flashover + (b.flashover-a.flashover)*(systemKV-a.system)/(b.system-a.system), nil
}

// Limits of the ratio of dry flashover to puncture voltage.
const (
	// PunctureLimit is the rule. California General Order 64-A rule 55.3 and General Order 95 (published); NESC 272 the
	// same (value from memory, H).
	PunctureLimit = 0.75
	// PunctureLimitContamination is what a design for contamination may use. NESC (value from memory).
	PunctureLimitContamination = 0.80
)

// PunctureRatio returns the share of its puncture voltage at which an insulator flashes over dry.
//
//	dry flashover / puncture voltage
//
// Both are power frequency in kV. It applies to kinds that can puncture, see Kind.CanPuncture. An unknown voltage gives
// NaN.
//
// Source: California General Order 64-A rule 55.3 (published).
func PunctureRatio(dryKV, punctureKV float64) float64 { return dryKV / punctureKV }
