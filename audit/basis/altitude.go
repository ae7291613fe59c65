package basis

import (
	"math"
	"strings"
)

// AltitudeBasis says from which altitude a required withstand voltage is corrected.
type AltitudeBasis uint8

const (
	// Rated1000 is for a standard level of rated equipment, which covers sites up to 1000 m.
	Rated1000 AltitudeBasis = iota
	// SeaLevel is for a level that a study requires at the site.
	SeaLevel
)

// ParseAltitudeBasis reads "sea level" or "1000 m", in any case and with or without the blank. Anything else is false.
func ParseAltitudeBasis(text string) (AltitudeBasis, bool) {
	switch strings.ReplaceAll(strings.ToLower(strings.TrimSpace(text)), " ", "") {
	case "sealevel":
		return SeaLevel, true
	case "1000m":
		return Rated1000, true
	}
	return Rated1000, false
}

// String returns "sea level" or "1000 m".
func (b AltitudeBasis) String() string {
	if b == SeaLevel {
		return "sea level"
	}
	return "1000 m"
}

// Source returns the clause of the correction the basis uses.
func (b AltitudeBasis) Source() Clause {
	if b == SeaLevel {
		return AltitudeFromSeaLevel
	}
	return AltitudeFrom1000m
}

// Exponents of the altitude correction by voltage shape.
const (
	// LightningExponent is m of lightning impulse and of clean power frequency. IEC 60071-2:2018, clause 6.2.2
	// (published).
	LightningExponent = 1.0
	// SwitchingExponent is a default for m of switching impulse, which properly follows a curve over the voltage. An
	// output that uses it has to say so. IEC 62271-1, simplification (published).
	SwitchingExponent = 0.75
)

// AltitudeDataEndM is the altitude in m above which the result of AltitudeFactor is an extrapolation. IEC 60071-2:2018
// (published).
const AltitudeDataEndM = 2000.0

// The figures of AltitudeFactor.
const (
	// ScaleHeightM is the height in m over which the withstand of air falls by the factor e. IEC 60071-2:2018, clause
	// 6.2.2 (published).
	ScaleHeightM = 8150.0
	// RatedAltitudeM is the altitude in m up to which a rated level holds. IEC 62271-1 (published).
	RatedAltitudeM = 1000.0
)

// The altitudes and exponents AltitudeFactor accepts.
const (
	LeastAltitudeM      = -500.0
	MostAltitudeM       = 9000.0 // no ground stands higher
	maxAltitudeExponent = 1.0
)

// HighGroundM is the altitude in m above which an audit remarks that creepage was not corrected for altitude (common
// practice).
const HighGroundM = 1500.0

// IsHighGround reports whether ground stands above HighGroundM. An unknown altitude is not.
//
// Source: common practice.
func IsHighGround(altitudeM float64) bool { return altitudeM > HighGroundM }

// AltitudeFactor returns Ka, by which a required withstand voltage grows with altitude.
//
//	sea level:  Ka = exp(m·H / 8150)
//	1000 m:     Ka = exp(m·(H − 1000) / 8150)   for H > 1000, else 1
//
// H is the altitude in metres above sea level and m the exponent of the voltage shape, see LightningExponent. Ka is
// never below 1. Above 2000 m, where the standard's data end, the result is marked extrapolated. An altitude outside
// −500…9000 m and an exponent outside 0…1 give an *OutOfRange.
//
// Source: IEC 60071-2:2018, clause 6.2.2 (clause 4.2.2 of 1996) and IEC 62271-1 (published).
func AltitudeFactor(basis AltitudeBasis, altitudeM, exponent float64) (ka float64, extrapolated bool, err error) {
	if err := within("altitude", altitudeM, LeastAltitudeM, MostAltitudeM, "m"); err != nil {
		return math.NaN(), false, err
	}
	if err := within("altitude exponent", exponent, 0, maxAltitudeExponent, ""); err != nil {
		return math.NaN(), false, err
	}
	aboveM := altitudeM
	if basis == Rated1000 {
		aboveM -= RatedAltitudeM
	}
	if aboveM <= 0 {
		return 1, false, nil
	}
	return math.Exp(exponent * aboveM / ScaleHeightM), altitudeM > AltitudeDataEndM, nil
}
