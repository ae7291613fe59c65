package basis

import (
	"math"
	"strings"
)

type nominalHighest struct{ nominalKV, umKV float64 }

// nominalToHighest lists nominal voltages with the highest voltage for equipment Um, kV. IEC 60038 (value from
// memory, H).
var nominalToHighest = [...]nominalHighest{
	{3, 3.6}, {3.3, 3.6}, {6, 7.2}, {6.6, 7.2}, {10, 12}, {11, 12}, {15, 17.5}, {20, 24}, {22, 24}, {30, 36}, {33, 36},
	{34.5, 36.5}, {35, 40.5}, {45, 52}, {60, 72.5}, {63, 72.5}, {66, 72.5}, {69, 72.5}, {90, 100}, {110, 123}, {115, 123},
	{132, 145}, {138, 145}, {150, 170}, {154, 170}, {161, 170}, {220, 245}, {225, 245}, {230, 245}, {275, 300},
	{330, 362}, {345, 362}, {380, 420}, {400, 420}, {500, 550}, {735, 800}, {750, 800}, {765, 800}, {1000, 1100},
}

// nominalToMaximum lists the voltages of North American practice for which a highest one was seen in print, kV. RUS Bulletin
// 1724E-200, May 2005, 4.2.2 (published).
var nominalToMaximum = [...]nominalHighest{{69, 72.5}, {115, 121}, {138, 145}, {161, 169}, {230, 242}}

// VoltageTable is a list of highest voltages for equipment by nominal voltage.
type VoltageTable uint8

// The lists. Each stands for itself: what is not in the one chosen is not looked for in the other.
const (
	IEC60038 VoltageTable = iota
	NorthAmerican
)

// ParseVoltageTable reads "IEC 60038" or "north american", in any case. Anything else is false.
func ParseVoltageTable(text string) (VoltageTable, bool) {
	for _, t := range [...]VoltageTable{IEC60038, NorthAmerican} {
		if strings.EqualFold(strings.Join(strings.Fields(text), " "), t.String()) {
			return t, true
		}
	}
	return IEC60038, false
}

// String returns "IEC 60038" or "north american".
func (t VoltageTable) String() string {
	if t == NorthAmerican {
		return "north american"
	}
	return "IEC 60038"
}

// Source returns the document of the list.
func (t VoltageTable) Source() Clause {
	if t == NorthAmerican {
		return HighestVoltageNorthAmerican
	}
	return HighestVoltageSource
}

// Highest returns Um, the highest voltage for equipment, of a nominal voltage, both in kV between phases. It
// looks the voltage up and never takes the nearest: a voltage not in the list is false. Other practices exist
// (126/252/363 kV), so a stated Um wins over both lists.
//
// Source: IEC 60038 (value from memory, H); RUS Bulletin 1724E-200, May 2005, 4.2.2 (published).
func (t VoltageTable) Highest(nominalKV float64) (umKV float64, ok bool) {
	list := nominalToHighest[:]
	if t == NorthAmerican {
		list = nominalToMaximum[:]
	}
	for _, r := range list {
		if same(r.nominalKV, nominalKV) {
			return r.umKV, true
		}
	}
	return math.NaN(), false
}

// RailwayHighestVoltage returns the highest permanent voltage of the contact line of a railway to earth, of its nominal voltage, both in kV: 15 and
// 25 kV of alternating, 0.6, 0.75, 1.5 and 3 kV of direct current. As HighestVoltage it never takes the nearest.
//
// Source: EN 50163 (published, as public tables of supply voltages of railways after EN 50163 and IEC 60850 print it: 17 250 and 27 500 V;
// 720, 900, 1800 and 3600 V).
func RailwayHighestVoltage(nominalKV float64, direct bool) (highestKV float64, ok bool) {
	for _, r := range railwayNominalToHighest {
		if r.direct == direct && same(r.nominalKV, nominalKV) {
			return r.highestKV, true
		}
	}
	return math.NaN(), false
}

var railwayNominalToHighest = [...]struct {
	direct               bool
	nominalKV, highestKV float64
}{{false, 15, 17.25}, {false, 25, 27.5}, {true, 0.6, 0.72}, {true, 0.75, 0.9}, {true, 1.5, 1.8}, {true, 3, 3.6}}

// LeastHighestShare is how many times its nominal voltage the highest voltage for equipment is at least: 1.04 in the lists of VoltageTable, in EN 50163 and of 735 kV with 765, and beyond them
// 1.02 (240 kV with 245, 120 with 123, 35 with 36; common practice). What is nearer is likely the highest at which the line is run, or a slip.
//
// Source: a choice of this program.
const LeastHighestShare = 1.02

// IsHighestOf reports whether a voltage may be the highest for equipment of a nominal one, both in kV: above low voltage it is always
// more, by 2 % at least; and not IsFarAbove it. An unknown voltage may be anything.
//
//	Um ≥ 1.02·Un
//
// Source: IEC 60038 (value from memory, H) for more; see LeastHighestShare for by how much.
func IsHighestOf(umKV, nominalKV float64) bool {
	return (!(umKV < LeastHighestShare*nominalKV*(1-Tolerance)) || IsLowVoltage(nominalKV)) && !IsFarAbove(umKV, nominalKV)
}

// MostHighestShare is how many times its nominal voltage the highest voltage of a line may be: 1.05 to 1.2 in the lists of VoltageTable, and more
// where a line is built for a voltage at which it is not run yet; 12 kV whatever the nominal voltage.
//
// Source: a choice of this program.
const (
	MostHighestShare = 6.0
	leastFarAboveKV  = 12.0
	builtForShare    = 1.5 // see IsBuiltForMore
)

// IsBuiltForMore reports whether a highest voltage is more than any list has for a nominal one, both in kV, so that the line is either built for more than
// it is run at, or one of the two is wrong. An unknown voltage may be anything.
//
//	Um > max(1.5·Un, 12)
//
// Source: a choice of this program; the lists of VoltageTable have 1.05 to 1.2.
func IsBuiltForMore(umKV, nominalKV float64) bool {
	return umKV > math.Max(builtForShare*nominalKV, leastFarAboveKV)*(1+Tolerance)
}

// IsFarAbove reports whether a highest voltage is so far above a nominal one, both in kV, that one of the two is another line's, or a slip.
// An unknown voltage may be anything.
//
//	Um > max(6·Un, 12)
//
// Source: see MostHighestShare.
func IsFarAbove(umKV, nominalKV float64) bool {
	return umKV > math.Max(MostHighestShare*nominalKV, leastFarAboveKV)*(1+Tolerance)
}

// PhaseToEarth returns the voltage to earth of a three-phase line with earthed neutral.
//
//	U = Um / √3
//
// Um is in kV between phases.
//
// Source: arithmetic (computed).
func PhaseToEarth(umKV float64) float64 { return umKV / math.Sqrt(3) }

// same reports whether a value given agrees within Tolerance with one of a table.
func same(tabulated, given float64) bool {
	return math.Abs(given-tabulated) <= Tolerance*math.Abs(tabulated)
}
