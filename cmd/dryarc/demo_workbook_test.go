package main

import (
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// demoSheet is a sheet with its headings in the first row. A nil cell stays empty.
type demoSheet struct {
	name   string
	heads  []string
	widths []float64
	rows   [][]any
}

// demoWorkbook writes the register as a utility would keep it: headings first, frozen and filtered, dates as dates.
func demoWorkbook(t *testing.T, register *demoRegister) []byte {
	book := excelize.NewFile()
	defer func() { require.NoError(t, book.Close()) }()
	head, err := book.NewStyle(&excelize.Style{
		Font:      &excelize.Font{Bold: true},
		Fill:      excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"DCE6F1"}},
		Border:    []excelize.Border{{Type: "bottom", Color: "7F7F7F", Style: 1}},
		Alignment: &excelize.Alignment{WrapText: true, Vertical: "center"},
	})
	require.NoError(t, err)
	dateFormat := "yyyy-mm-dd"
	date, err := book.NewStyle(&excelize.Style{CustomNumFmt: &dateFormat})
	require.NoError(t, err)

	for i, sheet := range []demoSheet{demoAssembliesSheet(register), demoLinesSheet(), demoUnitsSheet(), demoConductorsSheet()} {
		if i == 0 {
			require.NoError(t, book.SetSheetName(book.GetSheetName(0), sheet.name))
		} else {
			_, err := book.NewSheet(sheet.name)
			require.NoError(t, err)
		}
		writeDemoSheet(t, book, sheet, head, date)
	}
	require.NoError(t, book.SetDocProps(&excelize.DocProperties{
		Title: "Assembly register", Creator: "Korrow Lines Board", Created: "2025-06-03T08:00:00Z", Modified: "2025-06-03T08:00:00Z",
	}))
	buffer, err := book.WriteToBuffer()
	require.NoError(t, err)
	return buffer.Bytes()
}

func writeDemoSheet(t *testing.T, book *excelize.File, sheet demoSheet, headStyle, dateStyle int) {
	last, err := excelize.CoordinatesToCellName(len(sheet.heads), len(sheet.rows)+1)
	require.NoError(t, err)
	for c, heading := range sheet.heads {
		column, err := excelize.ColumnNumberToName(c + 1)
		require.NoError(t, err)
		require.NoError(t, book.SetColWidth(sheet.name, column, column, sheet.widths[c]))
		require.NoError(t, book.SetCellStr(sheet.name, column+"1", heading))
		require.NoError(t, book.SetCellStyle(sheet.name, column+"1", column+"1", headStyle))
		for r, row := range sheet.rows {
			cell := column + strconv.Itoa(r+2)
			switch value := row[c].(type) {
			case nil:
			case time.Time:
				require.NoError(t, book.SetCellInt(sheet.name, cell, demoDateSerial(value)))
				require.NoError(t, book.SetCellStyle(sheet.name, cell, cell, dateStyle))
			default:
				require.NoError(t, book.SetCellValue(sheet.name, cell, value))
			}
		}
	}
	require.NoError(t, book.SetRowHeight(sheet.name, 1, 32))
	require.NoError(t, book.SetPanes(sheet.name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}))
	require.NoError(t, book.AutoFilter(sheet.name, "A1:"+last, nil))
}

// demoDateSerial is a date as spreadsheets count it, in days.
func demoDateSerial(date time.Time) int64 {
	return int64(date.Sub(time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24)
}

func demoAssembliesSheet(register *demoRegister) demoSheet {
	sheet := demoSheet{
		name: "Assemblies",
		heads: []string{"Line", "Structure", "Circuit", "Phase", "Side", "Duty", "Arrangement", "V angle (deg)", "Mounting", "Unit", "Units per string",
			"Strings", "Defective units", "Creepage (mm)", "Installed", "Inspected", "Remarks"},
		widths: []float64{11, 10, 8, 8, 8, 12, 13, 9, 11, 21, 10, 9, 11, 11, 12, 12, 42},
	}
	for _, row := range register.rows {
		sheet.rows = append(sheet.rows, []any{
			row.line, demoNumberCell(row.structure), blankZero(row.circuit), blankEmpty(row.phase), blankEmpty(row.side), row.duty,
			blankEmpty(row.arrangement), blankZero(row.vAngleDeg), blankEmpty(row.mounting), row.unit, row.units, row.strings, blankZero(row.defective),
			blankZero(row.creepageMM), row.installed, row.inspected, blankEmpty(row.remarks),
		})
	}
	return sheet
}

// demoNumberCell makes a number of a structure number that is one, as spreadsheets do with what is typed in.
func demoNumberCell(number string) any {
	if n, err := strconv.Atoi(number); err == nil {
		return n
	}
	return number
}

func blankZero(n int) any {
	if n == 0 {
		return nil
	}
	return n
}

func blankEmpty(s string) any {
	if s == "" {
		return nil
	}
	return s
}

// The pole line states its nominal voltage only, so its highest voltage is an assumption; it alone states a deviation limit.
func demoLinesSheet() demoSheet {
	return demoSheet{
		name: "Lines",
		heads: []string{"Line", "Name", "Circuits", "Phases", "System", "Nominal voltage (kV)", "Highest voltage (kV)", "Lightning level (kV)",
			"Conductor", "Subconductors", "Maximum tension (kN)", "Everyday tension (kN)", "Everyday temperature (C)", "Cold tension (kN)",
			"Deviation limit (deg)", "Swing limit (deg)", "Section limit (km)", "Longest string (mm)"},
		widths: []float64{11, 30, 9, 9, 10, 10, 10, 10, 11, 13, 10, 10, 12, 10, 10, 10, 10, 10},
		rows: [][]any{
			{demoPoleLine, "Dunmarrow - Pellwick", 1, "A,B,C", "earthed", 33, nil, 170, "Dog", 1, 8, 5.2, 15, 7.2, 5, nil, 1.5, nil},
			{demoTapLine, "Hobbery quarry tap", 1, "A,B,C", "earthed", 33, 36, 170, "Dog", 1, 8, 5.2, 15, 7.2, nil, nil, nil, nil},
			{demoCoastLine, "Skarrow - Dunmarrow", 2, "A,B,C", "earthed", 132, 145, 650, "Panther", 1, 28, 18.5, 15, 24, nil, 62, 5, 2000},
			{demoRiverLine, "Dunmarrow - Fennock", 1, "R,Y,B", "earthed", 220, 245, 1050, "Zebra", 2, 38, 27, 15, 34, nil, 60, 5, 3000},
		},
	}
}

// The first row overrides the catalogue with the data sheet of the discs in local stock. The discs of the catalogue have a price, and the
// others are invented; what is not in stock can be bought.
func demoUnitsSheet() demoSheet {
	return demoSheet{
		name: "Units",
		heads: []string{"Unit", "Kind", "Material", "Rating (kN)", "Cantilever (kN)", "Compression (kN)", "Spacing (mm)", "Creepage (mm)", "Diameter (mm)", "Weight (kg)",
			"Coupling", "Dry (kV)", "Wet (kV)", "Lightning (kV)", "Puncture (kV)", "Arcing (mm)", "Stocked", "Price"},
		widths: []float64{13, 13, 12, 9, 11, 12, 9, 10, 10, 9, 10, 8, 8, 10, 10, 9, 9, 9},
		rows: [][]any{
			{"U160BL", "cap-and-pin", "glass", 160, nil, nil, 170, 350, 280, 6.4, 20, nil, nil, nil, nil, nil, "yes", 31.5},
			{"P33-940", "pin", "porcelain", nil, 10, 25, nil, 940, 280, 9.5, nil, 130, 95, 200, 185, 340, "yes", 24},
			{"LP33-1000", "post", "porcelain", 30, 12.5, 50, 430, 1000, 165, 14, nil, 140, 110, 215, nil, 400, "yes", 58},
			{"CLR-145", "composite", "silicone", 120, nil, nil, 1620, 4900, 148, 6.1, 16, 560, 480, 780, nil, 1380, "yes", 140},
			{"P33-1180", "pin", "porcelain", nil, 9, 22, nil, 1180, 300, 12, nil, 150, 115, 225, 205, 400, "no", 37},
			{"LP33-1180", "post", "porcelain", 30, 10, 45, 520, 1180, 170, 17, nil, 165, 130, 250, nil, 480, "no", 71},
			{"U70BL", "cap-and-pin", "glass", 70, nil, nil, 146, 295, 255, nil, 16, nil, nil, nil, nil, nil, "no", 19.5},
			{"U120B", "cap-and-pin", "glass", 120, nil, nil, 146, 295, 255, nil, 16, nil, nil, nil, nil, nil, "no", 22},
			{"U120BP", "cap-and-pin", "glass", 120, nil, nil, 146, 440, 280, nil, 16, nil, nil, nil, nil, nil, "no", 29},
			{"GR-33", "composite", "fibreglass", 70, nil, nil, 610, 700, 60, 2.2, nil, nil, nil, nil, nil, 480, "no", 36},
		},
	}
}

// Mass, diameter and strength are the catalogue's. Area follows from the strands; modulus and expansion of Panther
// (30/7) and Zebra (54/7) are values from memory, those of Dog (6/7) are this demo's own.
func demoConductorsSheet() demoSheet {
	return demoSheet{
		name:   "Conductors",
		heads:  []string{"Conductor", "Mass (kg/m)", "Diameter (mm)", "Rated strength (kN)", "Area (mm2)", "Modulus (GPa)", "Expansion (1e-6/K)"},
		widths: []float64{12, 10, 11, 11, 10, 10, 11},
		rows: [][]any{
			{"Dog", 0.394, 14.15, 32.4, 118.5, 75, 19.8},
			{"Panther", 0.974, 21.0, 89.67, 261.5, 80, 17.8},
			{"Zebra", 1.621, 28.62, 130.3, 484.5, 69, 19.3},
		},
	}
}
