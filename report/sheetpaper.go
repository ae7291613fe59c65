package report

import (
	"fmt"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// What sheets are printed on: A4 or A3 across, with the margins of layOut.
const (
	smallPaper    = 9   // the number of A4 in a workbook
	largePaper    = 8   // and of A3
	smallWidthMM  = 297 // of the paper (ISO 216)
	smallHeightMM = 210
	largeWidthMM  = 420
	largeHeightMM = 297
	sideMarginsMM = 2 * 0.4 * 25.4
	endMarginsMM  = (0.65 + 0.6) * 25.4 // above and below
	// columnUnitMM is what one unit of column width takes on paper: the 8 pixels of a digit in Arial of 11 points, the font of the workbook, 96 to
	// the inch (computed).
	columnUnitMM = 8.0 / 96 * 25.4
	// drawnWider is by how much wider than that LibreOffice draws a column (measured on its PDF: 6.099 points a unit, where 6 are computed).
	drawnWider = 1.0165
)

// widthOn is how wide the columns may be, in units of their width, that a paper takes; heightOn is how high the rows may be, in points.
func widthOn(paper int) float64 {
	if paper == smallPaper {
		return (smallWidthMM - sideMarginsMM) / columnUnitMM
	}
	return (largeWidthMM - sideMarginsMM) / columnUnitMM
}

func heightOn(paper int) float64 {
	if paper == smallPaper {
		return (smallHeightMM - endMarginsMM) / 25.4 * 72
	}
	return (largeHeightMM - endMarginsMM) / 25.4 * 72
}

// layOutAsShown sets up a sheet for paper on which its text is as large as its font says: A4 where what is printed of it fits beside each other there,
// else A3, on as many pages beside each other as that takes, each with the columns that stay in view.
func (t *table) layOutAsShown(file *excelize.File) error {
	var printed []column
	for i, c := range t.printedColumns() {
		if !slices.Contains(t.hidden, i) {
			if t.book.shown {
				c.width *= drawnWider
			}
			printed = append(printed, c)
		}
	}
	size, across, order := largePaper, pagesAcross(printed, t.frozen), "overThenDown"
	if !t.large && widthOf(printed) <= widthOn(smallPaper) {
		size, across = smallPaper, 1
	}
	if err := file.SetPageLayout(t.sheet, &excelize.PageLayoutOptions{Size: &size, FitToWidth: &across, PageOrder: &order}); err != nil {
		return err
	}
	if t.frozen == 0 {
		return nil
	}
	titles := excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: t.sheet}
	if err := file.DeleteDefinedName(&titles); err != nil {
		return err
	}
	heading := titled(t.sheet)
	titles.RefersTo = fmt.Sprintf("%s$A:$%s,%s", strings.TrimSuffix(heading, "$1:$1"), t.rows.names[t.frozen-1], heading)
	return file.SetDefinedName(&titles)
}

func widthOf(columns []column) (sum float64) {
	for _, c := range columns {
		sum += c.width
	}
	return sum
}

// fitPaper prints a page on A4 where columns of these widths fit beside each other there, else on A3.
func (p *page) fitPaper(widths ...float64) {
	width, paper := 0.0, smallPaper
	for _, w := range widths {
		width += w
	}
	if width*drawnWider > widthOn(smallPaper) {
		paper = largePaper
	}
	p.keep(p.book.file.SetPageLayout(p.sheet, &excelize.PageLayoutOptions{Size: &paper}))
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

// layOutScaled sets up a page for large paper, so that its columns fit beside each other, at a scale of its own: breaks between rows hold then, as they
// do not everywhere where a sheet is fitted to pages. It returns how many points of rows a sheet of paper takes.
func (p *page) layOutScaled(columns ...float64) (rowsHigh float64) {
	width := 0.0
	for _, w := range columns {
		width += w
	}
	percent := min(100, max(10, uint(98*(largeWidthMM-sideMarginsMM)/(width*columnUnitMM)))) // less by a little for what programs measure otherwise
	size, fit := largePaper, false
	p.keep(p.book.file.SetPageLayout(p.sheet, &excelize.PageLayoutOptions{Size: &size, AdjustTo: &percent}))
	p.keep(p.book.file.SetSheetProps(p.sheet, &excelize.SheetPropsOptions{FitToPage: &fit}))
	return (largeHeightMM - endMarginsMM) / 25.4 * 72 / (float64(percent) / 100)
}

// breakAbove begins a sheet of paper with a row.
func (p *page) breakAbove(row int) {
	p.keep(p.book.file.InsertPageBreak(p.sheet, fmt.Sprintf("A%d", row)))
}
