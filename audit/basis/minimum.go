package basis

import (
	"math"
	"strings"
)

// FlashoverTable is a table of the least flashover voltages that insulators of a line must have by its nominal voltage.
type FlashoverTable uint8

// The tables. Which of them holds for a line is for the project to say.
const (
	NoFlashoverTable FlashoverTable = iota
	GO64Table6
	GO64ATable9
	NESCTable2731
)

// FlashoverMinimum is one row of such a table, in kV r.m.s. at power frequency.
type FlashoverMinimum struct {
	NominalKV float64
	DryKV     float64
	WetKV     float64 // NaN where the table has none
}

// dryOnly is a row of a table without wet voltages.
func dryOnly(nominalKV, dryKV float64) FlashoverMinimum {
	return FlashoverMinimum{nominalKV, dryKV, math.NaN()}
}

var flashoverTables = [...]struct {
	name         string
	source       Clause
	interpolated bool // as the table prescribes
	withstood    bool // its rule asks insulators to withstand its voltages
	rows         []FlashoverMinimum
}{
	NoFlashoverTable: {},
	// Rule 64 (b), interpolation prescribed (published).
	GO64Table6: {"GO 64 table 6", FlashoverMinimaSource, true, true, []FlashoverMinimum{
		{0.75, 5, 3.5}, {2.3, 11, 8}, {4, 17, 13}, {6.6, 27, 17}, {7.5, 30, 18}, {11, 40, 20}, {15, 55, 25}, {22, 75, 40},
		{33, 105, 65}, {44, 125, 85}, {55, 150, 100}, {66, 170, 115}, {88, 225, 165}, {110, 275, 200}, {150, 350, 250}, {200, 450, 300},
	}},
	// Rule 55.3 C, interpolation prescribed (published).
	GO64ATable9: {"GO 64-A table 9", DryFlashoverMinimaSource, true, true, []FlashoverMinimum{
		dryOnly(0.75, 5), dryOnly(2.3, 20), dryOnly(4, 30), dryOnly(6.6, 40), dryOnly(11, 50), dryOnly(22, 75), dryOnly(33, 100), dryOnly(44, 125),
		dryOnly(55, 150), dryOnly(66, 175), dryOnly(88, 220), dryOnly(110, 315), dryOnly(132, 390), dryOnly(150, 420), dryOnly(200, 560),
	}},
	// Value from memory, H; nothing is known of voltages between.
	NESCTable2731: {"NESC table 273-1", DryFlashoverNESCSource, false, false, []FlashoverMinimum{
		dryOnly(34.5, 100), dryOnly(46, 125), dryOnly(69, 175), dryOnly(115, 315), dryOnly(138, 390), dryOnly(161, 445), dryOnly(230, 640),
	}},
}

// FlashoverTables lists the tables that a project may choose.
func FlashoverTables() []FlashoverTable {
	return []FlashoverTable{GO64Table6, GO64ATable9, NESCTable2731}
}

// FlashoverTablesInWords names the tables.
func FlashoverTablesInWords() string {
	var names []string
	for _, t := range FlashoverTables() {
		names = append(names, t.String())
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}

// ParseFlashoverTable reads the name of a table, in any case. Anything else is false.
func ParseFlashoverTable(text string) (FlashoverTable, bool) {
	for _, t := range FlashoverTables() {
		if strings.EqualFold(strings.Join(strings.Fields(text), " "), t.String()) {
			return t, true
		}
	}
	return NoFlashoverTable, false
}

// String returns the name of the table, such as "GO 64 table 6", empty for none.
func (t FlashoverTable) String() string { return flashoverTables[t].name }

// Source returns the document of the table.
func (t FlashoverTable) Source() Clause { return flashoverTables[t].source }

// AsksWithstand tells whether the rule that a table stands in asks insulators to withstand its voltages without flash-over, though it is headed as one of
// flashover voltages.
//
// Source: California General Order 64, rule 64 (b), and General Order 64-A, rule 55.3 C (published).
func (t FlashoverTable) AsksWithstand() bool { return flashoverTables[t].withstood }

// Around returns the rows between which a nominal voltage in kV lies, twice the same where it is that of a row. Outside the table, between
// the rows of one that is not interpolated, and for an unknown voltage it is false.
//
// Source: see FlashoverTables.
func (t FlashoverTable) Around(nominalKV float64) (low, high FlashoverMinimum, ok bool) {
	table := &flashoverTables[t]
	for i, row := range table.rows {
		if same(row.NominalKV, nominalKV) {
			return row, row, true
		}
		if i > 0 && table.interpolated && nominalKV > table.rows[i-1].NominalKV && nominalKV < row.NominalKV {
			return table.rows[i-1], row, true
		}
	}
	return low, high, false
}

// Least returns the least dry and wet flashover voltage of the insulators of a line by its nominal voltage, all in kV.
//
//	U = U_a + (U_n − V_a)/(V_b − V_a)·(U_b − U_a)
//
// between rows a and b of the table where it prescribes interpolation. WetKV is NaN where the table has none. What Around does not know is false.
//
// Source: California General Order 64, rule 64 (b), table 6 (published); General Order 64-A, rule 55.3, table 9 (published); NESC table
// 273-1 (value from memory, H).
func (t FlashoverTable) Least(nominalKV float64) (least FlashoverMinimum, ok bool) {
	low, high, ok := t.Around(nominalKV)
	if !ok {
		return dryOnly(math.NaN(), math.NaN()), false
	}
	if low.NominalKV == high.NominalKV {
		return low, true
	}
	share := (nominalKV - low.NominalKV) / (high.NominalKV - low.NominalKV)
	return FlashoverMinimum{nominalKV, low.DryKV + share*(high.DryKV-low.DryKV), low.WetKV + share*(high.WetKV-low.WetKV)}, true
}
