package report

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

func demoBook(t *testing.T) (*audit.Result, *excelize.File) {
	t.Helper()
	r, jobs := demoJobs(t)
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, &account{jobs: jobs}, generous))
	return r, openFile(t, saved(t, "exceptions.xlsx", b.Bytes()))
}

// What is listed on the first page leads to its row: a job to that of its structure, a line to that of the line.
func TestOverviewLeadsToRows(t *testing.T) {
	r, book := demoBook(t)
	work, lines, worst := cells(t, book, workSheet), cells(t, book, linesSheet), cells(t, book, exceptionsSheet)
	led := map[string]int{}
	for i, row := range cells(t, book, overviewSheet) {
		for k, text := range row {
			cell, err := excelize.CoordinatesToCellName(k+1, i+1)
			require.NoError(t, err)
			is, target, err := book.GetCellHyperLink(overviewSheet, cell)
			require.NoError(t, err)
			if !is || text == "" {
				continue
			}
			sheet, at, _ := strings.Cut(target, "!A")
			to := int(number64(t, at)) - 1
			led[sheet]++
			switch sheet {
			case workSheet:
				require.Equal(t, fmt.Sprintf("%s. %s, %s:", work[to][0], work[to][1], work[to][2]), text)
			case linesSheet:
				require.Equal(t, lines[to][0], text)
			default:
				place, _, _ := strings.Cut(text, "–")
				require.Equal(t, worst[to][2]+", "+worst[to][3], place)
			}
		}
	}
	require.Equal(t, map[string]int{workSheet: listedJobs, linesSheet: min(listedLines, len(r.Lines)), exceptionsSheet: listedWorst}, led)
}

// The first page is one sheet of A4 and holds what is asked first.
func TestFirstPageOfTheOverview(t *testing.T) {
	_, book := demoBook(t)
	var areas []string
	for _, name := range book.GetDefinedName() {
		if name.Name == "_xlnm.Print_Area" && name.Scope == overviewSheet {
			areas = strings.Split(name.RefersTo, ",")
		}
	}
	require.GreaterOrEqual(t, len(areas), 6, "the first page, work, results, assumptions, and charts on two")
	last, text := 0, ""
	for i, area := range areas {
		if 0 < i && i < 4 { // tables, which may go on
			continue
		}
		var from, to int
		_, err := fmt.Sscanf(area, "Overview!$A$%d:$M$%d", &from, &to)
		require.NoError(t, err, area)
		high := 0.0
		for row := from; row <= to; row++ {
			points, err := book.GetRowHeight(overviewSheet, row)
			require.NoError(t, err)
			high += points
		}
		require.LessOrEqual(t, high, (210-(0.65+0.6)*25.4)/25.4*72, "%s of A4 across, between its margins: no page cuts a chart", area)
		if i == 0 {
			require.Equal(t, 1, from)
			last = to
		}
	}
	layout, err := book.GetPageLayout(overviewSheet)
	require.NoError(t, err)
	require.Equal(t, []int{9, 1, 0}, []int{*layout.Size, *layout.FitToWidth, *layout.FitToHeight})
	for _, row := range cells(t, book, overviewSheet)[:last] {
		text += strings.Join(row, " ") + "\n"
	}
	for _, said := range []string{"What to do first", "Lines by open exceptions per 100 structures", "How far open exceptions fall short", "Trend", "What to measure next", "blue tabs", Caution} {
		require.Contains(t, text, said)
	}
	_, guide, _ := strings.Cut(text, "For who acts:")
	guide, _, _ = strings.Cut(guide, "\n")
	for _, sheet := range book.GetSheetList()[1:] {
		require.Contains(t, guide, sheet)
	}
	for name, label := range map[string]string{"total_shortfalls": "Shortfalls", "judged_percent": "Could be judged (%)", "rows_left_out": "Register rows left out"} {
		i := slices.IndexFunc(book.GetDefinedName(), func(d excelize.DefinedName) bool { return d.Name == name })
		require.GreaterOrEqual(t, i, 0, name)
		cell := strings.ReplaceAll(strings.TrimPrefix(book.GetDefinedName()[i].RefersTo, "Overview!"), "$", "")
		above, err := book.GetCellValue(overviewSheet, strings.TrimRight(cell, "0123456789")+"4")
		require.NoError(t, err)
		require.Equal(t, label, above)
	}
}

// A text that takes more room than there is ends between words and says where the rest is.
func TestCutAt(t *testing.T) {
	p := &page{book: &book{file: excelize.NewFile()}, sheet: "Sheet1"}
	require.NoError(t, p.book.file.SetColWidth("Sheet1", "A", "A", 20))
	require.Equal(t, "hang it", p.cutAt(1, 1, "hang it", 1, " … see Work"))
	long := strings.Repeat("word ", 40)
	cut := p.cutAt(1, 1, long, 2, " … see Work")
	require.LessOrEqual(t, p.rowsOf(1, 1, cut), 2)
	require.Regexp(t, `^(word ){4,}… see Work$`, cut)
	require.Regexp(t, `^(word, ){4,}word … see Work$`, p.cutAt(1, 1, strings.Repeat("word, ", 40), 2, " … see Work"), "no separator before the ellipsis")
	require.NoError(t, p.err)
}

// Where what is told first takes more rows, it prints on larger paper rather than on two pages or in smaller text.
func TestAHighFirstPageTakesLargerPaper(t *testing.T) {
	for high, paper := range map[float64]int{480: 9, 520: 8} {
		file := excelize.NewFile()
		p := &page{book: &book{file: file}, sheet: "Sheet1"}
		require.NoError(t, file.SetRowHeight("Sheet1", 1, high-200))
		require.NoError(t, file.SetRowHeight("Sheet1", 2, 200))
		p.layOutOnPages([][2]int{{1, 2}, {3, 100}})
		require.NoError(t, p.err)
		layout, err := file.GetPageLayout("Sheet1")
		require.NoError(t, err)
		require.Equal(t, paper, *layout.Size, high)
		require.NoError(t, file.Close())
	}
}

// Of lines that were not chosen the sheet of structures has the places, and says that what they need is left out.
func TestStructuresOfLinesThatWereNotChosen(t *testing.T) {
	n, err := audit.Arrange(fixture(t))
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 1))
	r, err := audit.Assess(context.Background(), n, fixtureChecks(), audit.Options{AsOf: "2026-03-31", Workers: 1, Lines: []string{"N-1"}})
	require.NoError(t, err)
	rows := cells(t, openBook(t, r, generous), structuresSheet)
	need, role := slices.Index(rows[0], "Duty required"), slices.Index(rows[0], "Role")
	chosen := map[bool]int{}
	for _, row := range rows[1:9] {
		require.NotEmpty(t, row[role])
		require.Equal(t, row[0] == "N-1", row[need] != "", row[1])
		chosen[row[0] == "N-1"]++
	}
	require.Equal(t, map[bool]int{true: 6, false: 2}, chosen)
	require.Equal(t, "2 structures of lines that were not chosen: what they need is left out.", rows[9][0])
}

// What the work takes is said of what there is alone, without a count of nothing and with one separator between two things.
func TestWhatItTakesInWords(t *testing.T) {
	for want, of := range map[string]struct {
		more, sets int
		some       bool
	}{
		"Nothing is to be fitted or taken away.":                                {0, 0, false},
		"All of it is in Material.":                                             {0, 0, true},
		"1 set of fittings to add; all of it is in Material.":                   {0, 1, true},
		"2 types more and 3 sets of fittings to add; all of it is in Material.": {2, 3, true},
		"1 type more; all of it is in Material.":                                {1, 0, true},
	} {
		require.Equal(t, want, takenInWords(of.more, of.sets, of.some))
	}
	require.Equal(t, "2 sets of fittings", unitsAndSets(&takesSum{sets: 2}))
	require.Equal(t, "1 unit", unitsAndSets(&takesSum{units: 1}))
	require.Equal(t, "3 to 4 units and 1 set of fittings", unitsAndSets(&takesSum{units: 4, fewer: 1, sets: 1}))
}

// A name of a line that is wider than its column ends in an ellipsis, so that paper does not cut it without a mark.
func TestOverviewMarksNamesThatItCuts(t *testing.T) {
	file := excelize.NewFile()
	require.NoError(t, file.SetColWidth("Sheet1", "H", "H", overviewWidths[lineColumn-1]))
	p := &page{book: &book{file: file}, sheet: "Sheet1"}
	for name, want := range map[string]string{
		"SD-132":                "SD-132",
		"Línea Peñaranda–Ñuñoa": "Línea Peñaranda…",
		"12345678901234567":     "12345678901234567",
		"123456789012345678":    "1234567890123456…",
	} {
		require.Equal(t, want, p.nameIn(lineColumn, name))
	}
	inputs := fixture(t)
	old, long := inputs.Symbols.Number("N-1"), inputs.Symbols.Number("Línea Peñaranda–Ñuñoa")
	for i := range inputs.Structures.Len() {
		if inputs.Structures.At(i).Line == old {
			inputs.Structures.Row(i).Line = long
		}
	}
	for i := range inputs.Assemblies.Len() {
		if inputs.Assemblies.Row(i).Line == old {
			inputs.Assemblies.Row(i).Line = long
		}
	}
	r := assessed(t, inputs, 1)
	var names []string
	for _, row := range cells(t, openBook(t, r, generous), overviewSheet) {
		if len(row) >= lineColumn {
			names = append(names, row[lineColumn-1])
		}
	}
	require.Contains(t, names, "Línea Peñaranda…")
}

// A run of chosen lines counts what it judged, and says where more is counted: in the register's sum and from run to run.
func TestFiguresOfChosenLines(t *testing.T) {
	first := logOf(t, "", on(t, "2026-11-24"))
	for _, all := range []bool{true, false} {
		r := on(t, "2026-11-25", all, true)
		own := &r.Network.Lines[1]
		structures, rows := own.End-own.First, own.RowsPlaced
		if all {
			structures, rows = r.Network.StructureCount(), r.Network.RowsPlaced
		} else {
			require.Less(t, rows, r.Network.RowsPlaced)
			require.Less(t, structures, r.Network.StructureCount())
		}
		a := &account{log: parseLog([]byte(first)), changes: history.Alone(r)}
		var b bytes.Buffer
		require.NoError(t, writeBook(context.Background(), &b, r, a, generous))
		book, err := excelize.OpenReader(&b)
		require.NoError(t, err)
		value := func(sheet, cell string) string {
			text, err := book.GetCellValue(sheet, cell)
			require.NoError(t, err)
			return text
		}
		for _, name := range book.GetDefinedName() {
			if name.Name == "rows_placed" {
				require.Equal(t, strconv.Itoa(rows), value(overviewSheet, strings.ReplaceAll(strings.TrimPrefix(name.RefersTo, "Overview!"), "$", "")))
			}
		}
		run := map[string]string{}
		for _, row := range cells(t, book, runSheet) {
			if len(row) > 1 {
				run[row[0]] = row[1]
			}
		}
		require.Equal(t, strconv.Itoa(structures), run["Structures"])
		require.Equal(t, strconv.Itoa(r.Network.RowsPlaced), run["Register rows placed on a structure"])
		overview := ""
		for _, row := range cells(t, book, overviewSheet) {
			overview += strings.Join(row, " ") + "\n"
		}
		var terminal strings.Builder
		Summary(&terminal, r, nil, a.changes, "out")
		page := string(contentOf(t, r, a.by(writePage)))
		const ofAll = "all lines are counted; those that this run left out as they stood last."
		placed := fmt.Sprintf("%d placed", r.Network.RowsPlaced)
		if all {
			require.NotContains(t, overview+page, ofAll)
			require.NotContains(t, overview, "From run to run, all lines")
			require.Contains(t, terminal.String(), "= "+placed+" + ")
			require.NotContains(t, run, "Of these on lines chosen")
			continue
		}
		require.Contains(t, overview, ofAll)
		require.Contains(t, overview, "From run to run, all lines")
		require.Contains(t, page, ofAll)
		require.Equal(t, strconv.Itoa(rows), run["Of these on lines chosen"])
		placed += fmt.Sprintf(" (%d on the lines chosen)", rows)
		require.Contains(t, terminal.String(), "= "+placed+" + ")
		require.Contains(t, page, placed)
	}
}
