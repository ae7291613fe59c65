package report

import (
	"fmt"

	"github.com/xuri/excelize/v2"
)

// What a large sheet is printed on: A3 across, with the margins of layOut.
const (
	largePaper    = 8   // its number in a workbook
	largeWidthMM  = 420 // of the paper (ISO 216)
	sideMarginsMM = 2 * 0.4 * 25.4
	// columnUnitMM is what one unit of column width takes on paper: the 8 pixels of a digit in Arial of 11 points, the font of the workbook, 96 to
	// the inch (computed).
	columnUnitMM = 8.0 / 96 * 25.4
)

// layOutLarge sets up a sheet for paper on which its text is as large as its font says: what is printed of it goes over as many pages beside each
// other as that takes, each with the columns that stay in view.
func (t *table) layOutLarge(file *excelize.File) error {
	printed := t.columns
	if t.printed > 0 {
		printed = printed[:t.printed]
	}
	size, across, order := largePaper, pagesAcross(printed, t.frozen), "overThenDown"
	if err := file.SetPageLayout(t.sheet, &excelize.PageLayoutOptions{Size: &size, FitToWidth: &across, PageOrder: &order}); err != nil {
		return err
	}
	titles := excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: t.sheet}
	if err := file.DeleteDefinedName(&titles); err != nil {
		return err
	}
	titles.RefersTo = fmt.Sprintf("%[1]s!$A:$%[2]s,%[1]s!$1:$1", t.sheet, t.rows.names[t.frozen-1])
	return file.SetDefinedName(&titles)
}

// pagesAcross is how many pages columns take beside each other where none is drawn smaller. The first frozen ones stand on each.
func pagesAcross(columns []column, frozen int) int {
	const room = (largeWidthMM - sideMarginsMM) / columnUnitMM
	repeated, used, pages := 0.0, 0.0, 1
	for i, c := range columns {
		if i == frozen {
			repeated = used
		}
		if used+c.width > room && i > frozen {
			pages++
			used = repeated
		}
		used += c.width
	}
	return pages
}
