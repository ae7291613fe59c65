package main

import (
	"bufio"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// table is one sheet of the register; rows gives its rows, the headings first, each of which is valid until the next.
type table struct {
	name string
	rows func(each func(row []string))
	// once is the column in which no text below the heading stands twice in the register, from 1; 0 for none.
	once int
}

const (
	rowsPerSheet  = 1_048_575 // beside the heading
	sheetsPerBook = 6         // a workbook of more has more texts than programs read
)

// writeRegister writes the register and returns the names of its files.
func (n *network) writeRegister(o options) (files []string, err error) {
	sheets := max(o.Sheets, 1)
	if !o.CSV {
		most := rowsPerSheet / rowsEach
		sheets = max(sheets, (n.structures+most-1)/most)
	}
	var tables []table
	for k := range sheets {
		name := "Assemblies"
		if k > 0 {
			name = fmt.Sprintf("Assemblies %d", k+1)
		}
		from, to := n.structures*k/sheets, n.structures*(k+1)/sheets
		tables = append(tables, table{name, func(each func([]string)) { assemblies(from, to, each) }, 20})
	}
	lines := table{"Lines", n.lines, 0}
	if !o.CSV {
		return writeBooks(o.Dir, tables, lines)
	}
	tables = append(tables, lines)
	for _, t := range tables {
		file := strings.ToLower(strings.ReplaceAll(t.name, " ", "-")) + ".csv"
		files = append(files, file)
		err := inFile(filepath.Join(o.Dir, file), func(w *bufio.Writer) {
			t.rows(func(row []string) { fmt.Fprintln(w, strings.Join(row, ",")) }) // no text holds a comma
		})
		if err != nil {
			return nil, err
		}
	}
	return files, nil
}

// writeBooks writes sheets into as many workbooks as they need, and that of the lines into the first.
func writeBooks(dir string, sheets []table, lines table) (files []string, err error) {
	for k := 0; len(sheets) > 0; k++ {
		own := slices.Clone(sheets[:min(len(sheets), sheetsPerBook)])
		sheets = sheets[len(own):]
		file := "register.xlsx"
		if k == 0 {
			own = append(own, lines)
		} else {
			file = fmt.Sprintf("register-%d.xlsx", k+1)
		}
		if err := writeWorkbook(filepath.Join(dir, file), own); err != nil {
			return nil, err
		}
		files = append(files, file)
	}
	return files, nil
}

// assemblies gives the rows of a range of structures. The last of the 20 columns is one that the audit does not know; one
// string in 500 is too short, and a defective unit turns up now and then. What strings are said to have been tested with is no less than the
// 894 and 563 kV that their units have by the table, or else no more of these units would be believed to do.
func assemblies(from, to int, each func(row []string)) {
	each([]string{"Line", "Structure", "Circuit", "Phase", "Side", "Duty", "Arrangement", "Unit", "Units per string", "Strings", "Defective units",
		"Installed", "Inspected", "Remarks", "Creepage (mm)", "Rating (kN)", "Length (mm)", "Arcing (mm)", "Lightning withstand (kV)", "Photo"})
	row := make([]string, 20)
	for i := from; i < to; i++ {
		side, duty := "", "suspension"
		switch i % perLine {
		case 0:
			side, duty = "ahead", "tension"
		case perLine - 1:
			side, duty = "back", "tension"
		}
		for k, phase := range [rowsEach]string{"A", "B", "C"} {
			nth := rowsEach*i + k
			units, creepage, tested, defective, remark := "10", "3200", "900", "0", ""
			if nth%500 == 7 {
				units, creepage, tested = "6", "1770", "570"
			}
			if nth%97 == 0 {
				defective, remark = "1", fmt.Sprintf("chipped shed on unit %d", i%6+1)
			}
			copy(row, []string{lineOf(i), numberOf(i), "1", phase, side, duty, "single", "U120B", units, "1", defective, strconv.Itoa(35000 + i%9000),
				strconv.Itoa(44000 + i%900), remark, creepage, "120", "1460", "1500", tested, fmt.Sprintf("P%07d.jpg", nth)})
			each(row)
		}
	}
}

// lines gives the rows of the sheet Lines.
func (n *network) lines(each func(row []string)) {
	each([]string{"Line", "Nominal voltage (kV)", "Highest voltage (kV)", "Lightning level (kV)", "Conductor", "Maximum tension (kN)", "Cold tension (kN)"})
	for i := 0; i < n.structures; i += perLine {
		each([]string{lineOf(i), "132", "145", "650", "Panther", "28", "24"})
	}
}
