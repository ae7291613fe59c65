package xlsx

import "strconv"

// formatsPart lists the number formats of a workbook.
type formatsPart struct {
	Own []struct {
		ID   int    `xml:"numFmtId,attr"`
		Code string `xml:"formatCode,attr"`
	} `xml:"numFmts>numFmt"`
	Cells []struct {
		Format int `xml:"numFmtId,attr"`
	} `xml:"cellXfs>xf"`
}

// builtIn are the formats of days, and of numbers with decimals, that need no code in the file (ECMA-376-1:2016, 18.8.30). Those that stand in the file only
// by their number and differ from one language to another are taken for plain dates.
var builtIn = map[int]string{2: "0.00", 14: "m/d/yyyy", 15: "d-mmm-yy", 16: "d-mmm", 17: "mmm-yy", 22: "m/d/yyyy h:mm"}

// builtInFormat is the code of a format without one in the file; empty where it shows neither a day nor decimals.
func builtInFormat(id int) string {
	if code, known := builtIn[id]; known {
		return code
	}
	if 27 <= id && id <= 36 || 50 <= id && id <= 58 {
		return "yyyy/m/d"
	}
	return ""
}

// format is the code of the number format of a style; empty where it shows numbers as they are, or is not known.
func (b *scanBook) format(style uint32) string {
	if b.formats == nil {
		b.formats = []string{}
		var part formatsPart
		if b.styles == "" || b.decode(b.styles, &part) != nil {
			return ""
		}
		own := map[int]string{}
		for _, f := range part.Own {
			own[f.ID] = f.Code
		}
		for _, cell := range part.Cells {
			code, stated := own[cell.Format]
			if !stated {
				code = builtInFormat(cell.Format)
			}
			b.formats = append(b.formats, code)
		}
	}
	if int(style) >= len(b.formats) {
		return ""
	}
	return b.formats[style]
}

// Format is the number format of a cell of the row that was read last.
func (r *scannedRows) Format(column int) string {
	if c := r.scan.cellIn(column); c != nil {
		return r.book.format(c.style)
	}
	return ""
}

// IsNumber tells whether a cell of the row that was read last is stored as a number.
func (r *scannedRows) IsNumber(column int) bool {
	c := r.scan.cellIn(column)
	return c != nil && c.number
}

// cellIn is the cell of the row in a column, nil where there is none. As many cells as that at most stand before it.
func (s *scannedSheet) cellIn(column int) *scannedCell {
	for i := min(column, len(s.cells)-1); i >= 0 && s.cells[i].column >= column; i-- {
		if s.cells[i].column == column {
			return &s.cells[i]
		}
	}
	return nil
}

// IsNumber tells whether a cell shows a number; the library does not say how it is stored.
func (r *libraryRows) IsNumber(column int) bool {
	if column >= len(r.cells) {
		return false
	}
	_, err := strconv.ParseFloat(r.cells[column], 64)
	return err == nil
}

// Format is not known.
func (r *libraryRows) Format(int) string { return "" }
