package basis

import "math"

// InsulationLevel is one standard pair of rated withstand voltages of range I, Um to 245 kV.
type InsulationLevel struct {
	LightningKV      float64 // lightning impulse withstand, kV peak
	PowerFrequencyKV float64 // short-duration power frequency withstand, kV r.m.s.
}

// levelsByUm lists the levels by Um, lowest first. IEC 60071-1: all but those of unseenLevel in tables of transformer levels after
// IEC 60076-3 and NBR 5356-3 (published), the rest value from memory, H. At Um 100 to 245 kV all but the
// highest level are reduced insulation.
var levelsByUm = [...]struct {
	umKV   float64
	levels []InsulationLevel
}{
	{12, []InsulationLevel{{60, 28}, {75, 28}, {95, 28}}},
	{24, []InsulationLevel{{95, 50}, {125, 50}, {145, 50}}},
	{36, []InsulationLevel{{145, 70}, {170, 70}}},
	{52, []InsulationLevel{{250, 95}}},
	{72.5, []InsulationLevel{{325, 140}}},
	{100, []InsulationLevel{{380, 150}, {450, 185}}},
	{123, []InsulationLevel{{450, 185}, {550, 230}}},
	{145, []InsulationLevel{{450, 185}, {550, 230}, {650, 275}}},
	{170, []InsulationLevel{{550, 230}, {650, 275}, {750, 325}}},
	{245, []InsulationLevel{{650, 275}, {750, 325}, {850, 360}, {950, 395}, {1050, 460}}},
}

// unseenLevel tells the pairs that were not found in print: 100 and 123 kV, and 650/275 at 245 kV.
func unseenLevel(umKV, lightningKV float64) bool {
	return same(100, umKV) || same(123, umKV) || same(245, umKV) && same(650, lightningKV)
}

// InsulationLevelSource returns the source of the standard pair of range I to which a lightning level belongs, both in kV.
func InsulationLevelSource(umKV, lightningKV float64) Clause {
	if _, ok := PowerFrequencyLevel(umKV, lightningKV); !ok || unseenLevel(umKV, lightningKV) {
		return InsulationLevelsSource
	}
	return InsulationLevelsSeen
}

// rangeTwo lists the ends of the lightning levels of range II by Um. IEC 60071-1: 362 and 420 kV as the tables above (published),
// the rest value from memory, H.
var rangeTwo = [...]struct{ umKV, lowLightning, topLightning float64 }{
	{300, 850, 1050}, {362, 950, 1175}, {420, 1050, 1425}, {550, 1175, 1550}, {800, 1675, 2100},
}

// lightningSeries is the series the lightning levels of range II are taken from. IEC 60071-1 (value from memory, H).
var lightningSeries = [...]float64{850, 950, 1050, 1175, 1300, 1425, 1550, 1675, 1800, 1950, 2100}

// InsulationLevels returns the standard pairs of lightning and power frequency withstand of a highest voltage Um of
// range I, lowest first, as a slice of the caller's own. Several levels stand for one Um, so which of them a line has
// is for the user to say. A Um that is not in the table, and any Um above 245 kV, is false.
//
// They are rated levels for sites up to 1000 m and go with the altitude basis Rated1000.
//
// Source: IEC 60071-1, see InsulationLevelSource.
func InsulationLevels(umKV float64) (levels []InsulationLevel, ok bool) {
	for _, r := range levelsByUm {
		if same(r.umKV, umKV) {
			return append(levels, r.levels...), true
		}
	}
	return nil, false
}

// LightningLevels returns the standard lightning impulse withstand levels of a highest voltage Um in kV, lowest first.
// A Um that is not in the tables is false.
//
// Source: IEC 60071-1 (value from memory, H).
func LightningLevels(umKV float64) (levelsKV []float64, ok bool) {
	if levels, found := InsulationLevels(umKV); found {
		for _, l := range levels {
			levelsKV = append(levelsKV, l.LightningKV)
		}
		return levelsKV, true
	}
	for _, r := range rangeTwo {
		if same(r.umKV, umKV) {
			for _, v := range lightningSeries {
				if v >= r.lowLightning && v <= r.topLightning {
					levelsKV = append(levelsKV, v)
				}
			}
			return levelsKV, true
		}
	}
	return nil, false
}

// PowerFrequencyLevel returns the short-duration power frequency withstand of the standard pair of range I to which a
// lightning level belongs, both in kV. A level that is no standard one of Um, and any Um of range II, is false.
//
// Source: IEC 60071-1, see InsulationLevelSource.
func PowerFrequencyLevel(umKV, lightningKV float64) (powerFrequencyKV float64, ok bool) {
	levels, _ := InsulationLevels(umKV)
	for _, l := range levels {
		if same(l.LightningKV, lightningKV) {
			return l.PowerFrequencyKV, true
		}
	}
	return math.NaN(), false
}

// RangeOneMaxUmKV is the highest Um in kV of range I. IEC 60071-1 (value from memory, H).
const RangeOneMaxUmKV = 245.0

// RangeOneOtherUmKV is the highest Um in kV of range I in the practice of 126, 252 and 363 kV (common practice).
const RangeOneOtherUmKV = 252.0

// IsRangeOne reports whether Um in kV lies in range I, up to 245 kV, or is 252 kV. An unknown Um lies in neither range.
//
// Source: IEC 60071-1 (value from memory, H).
func IsRangeOne(umKV float64) bool {
	return atMost(umKV, RangeOneMaxUmKV) || same(RangeOneOtherUmKV, umKV)
}

// IsRangeTwo reports whether Um in kV lies in range II, above 245 kV and not 252 kV, where switching impulse takes the place of the
// short-duration power frequency test. An unknown Um lies in neither range.
//
// Source: IEC 60071-1 (value from memory, H).
func IsRangeTwo(umKV float64) bool {
	return umKV > RangeOneMaxUmKV*(1+Tolerance) && !same(RangeOneOtherUmKV, umKV)
}
