package report

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"dryarc/audit/headroom"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// The tables of a scenario print as large as they are shown, on one page across: Changes without what makes its rows wide, Side by side however long the
// names of scenarios are.
func TestScopeOnPaper(t *testing.T) {
	name := "at 245 kV on the same towers with a heavier conductor, as the second stage"
	s := lookedAt(t, fixture(t), name)
	require.NotZero(t, s.Scenarios[0].kept.count)
	var out bytes.Buffer
	require.NoError(t, s.writeBook(context.Background(), &out, s.Today))
	file, err := excelize.OpenReader(&out)
	require.NoError(t, err)
	defer file.Close()
	titles := map[string]string{}
	areas := map[string]string{}
	for _, d := range file.GetDefinedName() {
		switch d.Name {
		case "_xlnm.Print_Titles":
			titles[d.Scope] = d.RefersTo
		case "_xlnm.Print_Area":
			areas[d.Scope] = d.RefersTo
		}
	}
	for sheet, heading := range map[string]string{changesSheet: "Changes!$A:$C,Changes!$1:$1", sideBySideSheet: "'Side by side'!$A:$B,'Side by side'!$1:$1", coverageSheet: "Coverage!$A:$B,Coverage!$1:$1",
		materialSheet: "Material!$A:$C,Material!$1:$1", stopsSheet: "'What stops it'!$A:$C,'What stops it'!$1:$1"} {
		layout, err := file.GetPageLayout(sheet)
		require.NoError(t, err)
		require.Equal(t, []int{largePaper, 1}, []int{*layout.Size, *layout.FitToWidth}, sheet)
		require.Equal(t, heading, titles[sheet])
	}
	rows, err := file.GetRows(changesSheet)
	require.NoError(t, err)
	var printed []string
	for i, heading := range rows[0] {
		column, err := excelize.ColumnNumberToName(i + 1)
		require.NoError(t, err)
		printed = append(printed, heading)
		if strings.Contains(areas[changesSheet], "$"+column+"$") && i > 0 {
			break
		}
	}
	require.Contains(t, printed, "What is needed")
	require.Contains(t, printed, "What stays open, what stops it")
	require.NotContains(t, printed, "What falls short")
	require.NotContains(t, printed, "Longitude (deg)")
	require.NotContains(t, areas, stopsSheet, "all of it is printed")

	high, err := file.GetRowHeight(sideBySideSheet, 1)
	require.NoError(t, err)
	width, err := file.GetColWidth(sideBySideSheet, "F")
	require.NoError(t, err)
	require.LessOrEqual(t, width, 16.0)
	require.GreaterOrEqual(t, high, heightOf(name+": meets", width, bodySize), "all of the name is seen")

	figure, err := file.GetCellStyle(sideBySideSheet, "F2")
	require.NoError(t, err)
	style, err := file.GetStyle(figure)
	require.NoError(t, err)
	require.Equal(t, "right", style.Alignment.Horizontal, "an indent alone puts figures to the left")

	headings, err := file.GetRows(scenariosSheet)
	require.NoError(t, err)
	require.Contains(t, headings[6], "New exceptions", headings)
	require.Contains(t, headings[6], "Exceptions mended")
}

// Texts do not touch what stands to the left of them, on Headroom as elsewhere.
func TestTextsOfHeadroomStandApartFromFigures(t *testing.T) {
	s := &Scope{Today: judged(t, fixture(t)), WithHeadroom: true}
	curves, err := headroom.Of(context.Background(), s.Today, 1)
	require.NoError(t, err)
	s.Headroom = curves
	var out bytes.Buffer
	require.NoError(t, s.writeBook(context.Background(), &out, s.Today))
	file := openFile(t, saved(t, "scope.xlsx", out.Bytes()))
	for _, cell := range [...]string{"O5", "O6", "P5", "P6", "Q6", "F6"} {
		text, err := file.GetCellValue(headroomSheet, "O5")
		require.NoError(t, err)
		require.Equal(t, "Meet at", text)
		number, err := file.GetCellStyle(headroomSheet, cell)
		require.NoError(t, err)
		style, err := file.GetStyle(number)
		require.NoError(t, err)
		require.Equal(t, 1, style.Alignment.Indent, cell)
	}
}

// What goes from a figure to another is read in full, and stands apart from the figure to its left; so is the id of a check, however long.
func TestRangesAndChecksOfScenariosAreReadInFull(t *testing.T) {
	s := lookedAt(t, fixture(t), "at 245 kV")
	s.Scenarios[0].perLine[0].certain = takesSum{units: 333_339, fewer: 4, price: 86_111_382, less: 72}
	var out bytes.Buffer
	require.NoError(t, s.writeBook(context.Background(), &out, s.Today))
	file := openFile(t, saved(t, "scope.xlsx", out.Bytes()))
	styleOf := func(sheet, cell string) *excelize.Style {
		number, err := file.GetCellStyle(sheet, cell)
		require.NoError(t, err)
		style, err := file.GetStyle(number)
		require.NoError(t, err)
		require.NotNil(t, style.Alignment, sheet+" "+cell)
		return style
	}
	for cell, want := range map[string]string{"D8": "333\u202F335 to 333\u202F339", "F8": "86\u202F111\u202F310 to 86\u202F111\u202F382"} {
		text, err := file.GetCellValue(scenariosSheet, cell)
		require.NoError(t, err)
		require.Equal(t, want, text)
		require.Equal(t, "right", styleOf(scenariosSheet, cell).Alignment.Horizontal)
		require.True(t, styleOf(scenariosSheet, cell).Alignment.WrapText, cell)
		width, err := file.GetColWidth(scenariosSheet, cell[:1])
		require.NoError(t, err)
		high, err := file.GetRowHeight(scenariosSheet, 8)
		require.NoError(t, err)
		require.GreaterOrEqual(t, high, heightOf(want, width, bodySize))
	}
	rows, err := file.GetRows(coverageSheet)
	require.NoError(t, err)
	checks := 0
	for i := range rows[1:] {
		if len(rows[1+i]) < 3 { // a remark
			break
		}
		require.True(t, styleOf(coverageSheet, fmt.Sprintf("B%d", i+2)).Alignment.WrapText, rows[1+i])
		checks++
	}
	require.Positive(t, checks)
}
