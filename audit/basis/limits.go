package basis

import "math"

// Limits of the trade on where a kind of insulator is used (common practice).
const (
	// PinMaxUmKV is the highest Um of pin types: nominal voltages to 33 kV and 34.5 kV.
	PinMaxUmKV = 36.5
	// ShackleMaxKV is the highest nominal voltage of shackle types, which serve turns and ends of low-voltage lines.
	ShackleMaxKV = LowVoltageMaxKV
)

// LowVoltageMaxKV is the end of low voltage in kV, up to which the pollution standard is silent. Scope of
// IEC TS 60815-1:2008 (value from memory).
const LowVoltageMaxKV = 1.0

// IsLowVoltage reports whether a voltage in kV is low voltage. 1 kV is; an unknown voltage is not.
//
// Source: see LowVoltageMaxKV.
func IsLowVoltage(voltageKV float64) bool { return atMost(voltageKV, LowVoltageMaxKV) }

// LowDirectVoltageMaxKV is the end of low voltage of direct current in kV. IEC 61140 (value from memory).
const LowDirectVoltageMaxKV = 1.5

// IsLowDirectVoltage reports whether a direct voltage in kV is low voltage.
//
// Source: see LowDirectVoltageMaxKV.
func IsLowDirectVoltage(voltageKV float64) bool { return atMost(voltageKV, LowDirectVoltageMaxKV) }

// SuspensionDeviationDeg is the deviation in degrees that a suspension assembly is taken to bear where nobody states a
// limit: families of lattice towers of several countries name their straight-run tower for 0 to 2° (common practice). A
// default the user can override.
const SuspensionDeviationDeg = 2.0

// SharpTurnDeg is the deviation in degrees beyond which the order of the structures is doubtful (common practice).
const SharpTurnDeg = 120.0

// IsSharpTurn reports whether a line turns by more than SharpTurnDeg, to either hand. An unknown deviation does not.
//
// Source: common practice.
func IsSharpTurn(deviationDeg float64) bool { return math.Abs(deviationDeg) > SharpTurnDeg }

// deviationFamilies lists the largest deviations in degrees of the families of structures but the last: tangent, light,
// medium and heavy. Common practice; the tower classes of IS 802 have the same edges 15, 30 and 60 (published).
var deviationFamilies = [...]float64{SuspensionDeviationDeg, 15, 30, 60}

// DeviationFamily returns the family of a structure by its deviation in degrees, of either sign: 0 tangent, 1 light,
// 2 medium, 3 heavy, 4 sharp. An edge belongs to the lower family. An unknown deviation is false.
//
// Source: common practice; the edges 15, 30 and 60 also IS 802 (published).
func DeviationFamily(deviationDeg float64) (family int, ok bool) {
	for i, edge := range deviationFamilies {
		if atMost(math.Abs(deviationDeg), edge) {
			return i, true
		}
	}
	return len(deviationFamilies), !math.IsNaN(deviationDeg)
}

// Spans beyond which a structure is likely to be missing (common practice).
const (
	DistributionMaxKV = 60.0 // nominal
	DistributionSpanM = 500.0
	TransmissionSpanM = 2000.0
)

// LikelySpanM returns the span in m beyond which a structure of a line is likely to be missing: 500 up to a nominal
// voltage of 60 kV, 2000 above it and where the voltage is unknown.
//
// Source: common practice.
func LikelySpanM(nominalKV float64) float64 {
	if atMost(nominalKV, DistributionMaxKV) {
		return DistributionSpanM
	}
	return TransmissionSpanM
}

// FarZoneM is how far in m from every structure the nearest pollution zone may lie before the one or the other is suspicious
// (common practice).
const FarZoneM = 5000.0

// MayHaveBundles reports whether a line of a highest voltage may carry more than one conductor per phase, so that one must not
// be taken where nobody states how many: from 300 kV up, and where the voltage is unknown.
//
// Source: common practice.
func MayHaveBundles(highestKV float64) bool { return !(highestKV < bundlesFromKV) }

const bundlesFromKV = 300.0 // common practice

// MostUmShare is the most that a highest voltage is believed to be of its nominal one, a little above the largest share in the lists of
// VoltageTable, 72.5 kV of 60 (a choice of this program).
const MostUmShare = 1.25

// NominalMayHaveBundles is MayHaveBundles where no highest voltage is known, only the nominal one: by the highest that may go with it.
//
// Source: see MostUmShare.
func NominalMayHaveBundles(nominalKV float64) bool { return MayHaveBundles(MostUmShare * nominalKV) }

// SurveyBandSigmas is the number of standard errors of a deviation within which its limit is not told apart (common
// practice).
const SurveyBandSigmas = 2.0

// atMost reports whether a value does not exceed a limit above zero. Equality within Tolerance does not, and an unknown
// value is false.
func atMost(value, limit float64) bool { return value <= limit*(1+Tolerance) }
