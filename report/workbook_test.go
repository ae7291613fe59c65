package report

import (
	"bytes"
	"context"
	"encoding/xml"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

var generous = bookLimits{exceptions: 1000, structures: 1000, rows: 1000, worked: 1000}

func openBook(t *testing.T, r *audit.Result, limits bookLimits) *excelize.File {
	t.Helper()
	return openBookOf(t, r, nil, limits)
}

func openBookOf(t *testing.T, r *audit.Result, a *account, limits bookLimits) *excelize.File {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, a, limits))
	file, err := excelize.OpenReader(&b)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, file.Close()) })
	return file
}

// cells are the cells of a sheet as they are stored, not as they are shown.
func cells(t *testing.T, file *excelize.File, sheet string) [][]string {
	t.Helper()
	rows, err := file.GetRows(sheet, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	return rows
}

var allSheets = []string{"Overview", "Work", "Material", "Exceptions", "Cleared", "Lines", "Working", "Structures", "Cohorts", "Coverage", "Basis", "Faults", "Run"}

// partOf is the name of the part that holds a sheet.
func partOf(t *testing.T, sheet string) string {
	t.Helper()
	i := slices.Index(allSheets, sheet)
	require.GreaterOrEqual(t, i, 0, sheet)
	return fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1)
}

func TestWorkbookHasItsSheets(t *testing.T) {
	r := fixtureResult(t)
	file := openBook(t, r, generous)
	require.Equal(t, allSheets, file.GetSheetList())
	for _, sheet := range allSheets {
		footer, err := file.GetHeaderFooter(sheet)
		require.NoError(t, err)
		require.Contains(t, footer.OddFooter, r.Run.ID, sheet)
		require.Contains(t, footer.OddHeader, "<A&&B>", sheet)
		layout, err := file.GetPageLayout(sheet)
		require.NoError(t, err)
		require.Equal(t, "landscape", *layout.Orientation, sheet)
		require.Equal(t, map[string][2]int{"Overview": {9, 1}, "Work": {8, 2}, "Material": {8, 1}, "Exceptions": {8, 2}, "Cleared": {8, 1}, "Lines": {8, 2}, "Working": {9, 1},
			"Structures": {8, 2}, "Cohorts": {8, 1}, "Coverage": {9, 1}, "Basis": {8, 1}, "Faults": {9, 1}, "Run": {9, 1}}[sheet], [2]int{*layout.Size, *layout.FitToWidth}, "of %s: A4 is 9, A3 is 8", sheet)
		props, err := file.GetSheetProps(sheet)
		require.NoError(t, err)
		require.True(t, *props.FitToPage, sheet)
	}
	properties, err := file.GetDocProps()
	require.NoError(t, err)
	require.Equal(t, "2026-03-31T00:00:00Z", properties.Created)
	require.Equal(t, "dryarc", properties.Creator)
}

func TestTablesAreHeadedFrozenAndFiltered(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, fixtureResult(t), nil, generous))
	parts := xmlParts(t, b.Bytes())
	for _, sheet := range allSheets[1 : len(allSheets)-1] {
		part := parts[partOf(t, sheet)]
		table, err := tableOn(parts, sheet)
		require.Equal(t, sheet != "Working", err == nil, sheet)
		require.NotContains(t, part, "<autoFilter", "the filter is that of the table")
		if err == nil {
			require.Contains(t, table, `<autoFilter ref="A1:`)
			require.Contains(t, part, "<tablePart ")
		}
		require.Contains(t, part, `state="frozen"`, sheet)
		require.Contains(t, part, `fitToPage="true"`, sheet)
		require.Contains(t, parts["xl/workbook.xml"], sheet+"!$1:$1", "the heading repeats on every page")
	}
}

// tableOn is the part of the table that has the name of a sheet.
func tableOn(parts map[string]string, sheet string) (string, error) {
	for name, part := range parts {
		if strings.HasPrefix(name, "xl/tables/") && strings.Contains(part, fmt.Sprintf(` displayName="%s"`, sheet)) {
			return part, nil
		}
	}
	return "", fmt.Errorf("no table %s", sheet)
}

// A table has the headings of its sheet, letter by letter: a spreadsheet says of others that the file is broken. Its rows end with the data, and no two
// headings are the same.
func TestTablesHaveTheHeadingsOfTheirSheets(t *testing.T) {
	r := fixtureResult(t)
	long := strings.Repeat("x", 299)
	r.Project.Carried.Names = []string{"Crew", "crew", "2024", " <b> & \"x\"", "a\nb", "A b", "\x01", "\x02", "_x0041_", long + "1", long + "2", strings.Repeat("😀", 200)}
	parts := xmlParts(t, bookBytes(t, r))
	file := openBook(t, r, generous)
	for _, sheet := range allSheets[1 : len(allSheets)-1] {
		if sheet == workingSheet {
			continue
		}
		part, err := tableOn(parts, sheet)
		require.NoError(t, err)
		var table struct {
			Ref     string `xml:"ref,attr"`
			Columns []struct {
				Name string `xml:"name,attr"`
			} `xml:"tableColumns>tableColumn"`
		}
		require.NoError(t, xml.Unmarshal([]byte(part), &table))
		headings := cells(t, file, sheet)[0]
		if sheet == workSheet || sheet == exceptionsSheet {
			require.Subset(t, headings, []string{"A b", "a b (2)", "\uFFFD", "\uFFFD (2)", "_x0041-", long[:254] + "…", long[:250] + "… (2)", strings.Repeat("😀", 127) + "…"})
		}
		require.Len(t, table.Columns, len(headings), sheet)
		for i, c := range table.Columns {
			require.Equal(t, headings[i], c.Name, sheet)
		}
		last, err := excelize.CoordinatesToCellName(len(headings), 2)
		require.NoError(t, err)
		require.Regexp(t, "^A1:"+strings.TrimSuffix(last, "2")+`\d+$`, table.Ref)
	}
}

func TestFiguresAreNumbers(t *testing.T) {
	file := openBook(t, fixtureResult(t), generous)
	rows := cells(t, file, "Exceptions")
	require.Equal(t, []string{"Severity", "State", "Line", "Structure", "Page", "To", "Circuit", "Phase", "Side", "Check", "What is wrong", "Observed",
		"Required", "Measure", "Margin (%)", "Installed", "Remedy", "First seen", "Longitude (deg)", "Latitude (deg)", "Read from", "Installed on", "Inspected on", "Remarks"}, rows[0])
	require.Equal(t, []string{"shortfall", "new", awkwardLine, formulaText, formulaText, "", "1", "R", "", "short-string", "9 × U120B is short of 2700 mm.",
		"2655", "2700", "mm"}, rows[1][:14])
	require.Equal(t, []string{"tension, 9 × U120B", "Add units.", "2026-03-31", "-179.998", "-17.001", "register.xlsx!Assemblies row 8"}, rows[1][15:])
	require.Equal(t, "suspension, 2 strings of 9 × U120B", rows[3][15])
	require.Equal(t, []string{"angle", "tangent", "", ""}, rows[5][11:15])
	require.Equal(t, "structures.geojson row 4", rows[5][20])
	kinds := map[string]excelize.CellType{"D2": excelize.CellTypeInlineString, "L2": excelize.CellTypeUnset, "M2": excelize.CellTypeUnset,
		"O2": excelize.CellTypeUnset, "S2": excelize.CellTypeUnset, "D3": excelize.CellTypeInlineString, "L6": excelize.CellTypeInlineString}
	for cell, want := range kinds {
		got, err := file.GetCellType("Exceptions", cell)
		require.NoError(t, err)
		require.Equal(t, want, got, cell)
	}
	empty, err := file.GetCellValue("Exceptions", "O6")
	require.NoError(t, err)
	require.Empty(t, empty, "a margin that is not known")
	require.Equal(t, "U120B", strings.TrimPrefix(rows[1][15], "tension, 9 × "))
	require.Len(t, cells(t, file, "Structures"), 9)
	require.Equal(t, []string{"short-string", "units per string not stated", "", "", "", "1"}, cells(t, file, "Coverage")[2])
}

// No text of the inputs is a formula, whatever it holds: the only formulas are those of Working, the ranges of charts and
// the links to the page, in which names are escaped.
func TestTextStaysText(t *testing.T) {
	p := fixture(t)
	for _, start := range []string{"=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "_x003D_1", " lead"} {
		p.Faults.Add(audit.Fault{Kind: audit.UnknownWord, Column: "Unit", Value: start, Expected: "is no unit"})
	}
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, assessed(t, p, 1), nil, generous))
	for name, part := range xmlParts(t, b.Bytes()) {
		if name == partOf(t, "Overview") {
			part = rowLinks.ReplaceAllString(part, "")
		}
		require.NotContains(t, part, "<hyperlink ", name)
		if name == partOf(t, "Exceptions") {
			part = pageLinks.ReplaceAllString(part, "")
		}
		if name != partOf(t, "Working") && !strings.HasPrefix(name, "xl/charts/") {
			require.NotContains(t, part, "<f>", name)
		}
	}
	file, err := excelize.OpenReader(&b)
	require.NoError(t, err)
	var values []string
	for _, row := range cells(t, file, "Faults")[1:] {
		if len(row) > 3 {
			values = append(values, row[3])
		}
	}
	for _, want := range []string{formulaText, "=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "_x003D_1", " lead"} {
		require.Contains(t, values, want)
	}
}

// rowLinks are links to rows of the workbook itself, which no text of the inputs makes.
var rowLinks = regexp.MustCompile(`<hyperlink ref="[A-Z]+[0-9]+" location="(Work|Lines|Exceptions)!A[0-9]+"></hyperlink>`)

// pageLinks are the formulas of links to the page, as XML writes them.
var pageLinks = regexp.MustCompile(`<f>HYPERLINK\(&#34;audit\.html#[A-Za-z0-9%/$&;+=:@._~-]*&#34;,&#34;(?:[^<&]|&[a-z]+;|&#39;|&#34;&#34;)*&#34;\)</f>`)

func TestPageLink(t *testing.T) {
	tests := []struct{ line, structure, want string }{
		{"N-1", "002", "audit.html#structure/N-1/002"},
		{"N-1", "", "audit.html#line/N-1"},
		{"a/b", `2"),HYPERLINK("x`, "audit.html#structure/a%2Fb/2%22%29%2CHYPERLINK%28%22x"},
		{"ü #1", "?", "audit.html#structure/%C3%BC%20%231/%3F"},
	}
	for _, test := range tests {
		require.Equal(t, test.want, pageAddress(test.line, test.structure))
	}
	require.Equal(t, computed{`HYPERLINK("audit.html#structure/N-1/002","002")`, "002"}, pageLink("N-1", "002"))
	require.Equal(t, computed{`HYPERLINK("audit.html#line/N-1","N-1")`, "N-1"}, pageLink("N-1", ""), "of a whole line")
	require.Equal(t, computed{`HYPERLINK("audit.html#structure/N-1/=%22%29&A1&%28%22","="")&A1&(""")`, `=")&A1&("`}, pageLink("N-1", `=")&A1&("`), "no name ends the text of the formula")
	long := pageLink("N-1", strings.Repeat("x", 255))
	require.Regexp(t, `^HYPERLINK\("audit\.html#structure-[0-9a-f]{16}","x{59}…"\)$`, long.formula, "a formula holds texts of 255 characters at most")
	require.NotEqual(t, long, pageLink("N-2", strings.Repeat("x", 255)))
	require.Regexp(t, `^HYPERLINK\("audit\.html#line-[0-9a-f]{16}",`, pageLink(strings.Repeat("ü", 60), "").formula)
	for _, text := range []string{"T_x0041_0", "_x0041_x0042_", `_x0041_"&"`} { // which some programs read as escapes in a formula, and others do not
		link := pageLink(text, text)
		require.Regexp(t, `^HYPERLINK\("audit\.html#structure-[0-9a-f]{16}",`, link.formula)
		require.Equal(t, underscored(link.formula), link.formula)
		require.Equal(t, text, link.value)
	}
	quotes := pageLink("N-1", strings.Repeat(`"`, 70)).formula
	for _, text := range regexp.MustCompile(`"((?:[^"]|"")*)"`).FindAllStringSubmatch(quotes, -1) {
		require.LessOrEqual(t, len(text[1]), longestFormulaText)
	}
}

func TestCellText(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"plain", "13 × U120B", "13 × U120B"},
		{"characters that XML cannot carry", "a\x00b\x1bc\uFFFEd", "a\uFFFDb\uFFFDc\uFFFDd"},
		{"control characters beyond ASCII", "a\u0080b\u0085c\u009bd\u00a0e", "a\uFFFDb\uFFFDc\uFFFDd\u00a0e"},
		{"no UTF-8", "a\xffb", "a\uFFFDb"},
		{"lines", "a\r\nb\tc", "a\nb\tc"},
		{"as long as a cell", strings.Repeat("x", 32_767), strings.Repeat("x", 32_767)},
		{"too long", strings.Repeat("x", 40_000), strings.Repeat("x", 32_766) + "…"},
		{"two code units a character", strings.Repeat("😀", 20_000), strings.Repeat("😀", 16_383) + "…"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := cellText(test.text)
			require.Equal(t, test.want, got)
			require.LessOrEqual(t, len(utf16.Encode([]rune(got))), 32_767)
		})
	}
}

// A text that a cell is said to hold as it is stays as it is.
func TestOrdinaryTextIsHeldAsItIs(t *testing.T) {
	ordinary := 0
	rapid.Check(t, func(t *rapid.T) {
		part := rapid.SampledFrom([]string{"a", "12 × U120B", "\n", "\r\n", "\r", "\t", "ÿ", "À", "°", "≥", "\u00ad", "\u0085", "\u200f", "\u202e", "\xc3", "\xc3\xc3", "\xc3(", "\x97", "\x7f", "\x00", strings.Repeat("×", 16_000)})
		text := strings.Join(rapid.SliceOfN(part, 0, 4).Draw(t, "text"), "")
		if isOrdinary(text) {
			ordinary++
			require.Equal(t, text, cutCell(unturned(plainText(text))))
			require.Equal(t, text, cutCell(strings.ToValidUTF8(text, "\uFFFD")))
		}
	})
	require.Greater(t, ordinary, 10)
}

func TestLongTextIsCutVisibly(t *testing.T) {
	r := fixtureResult(t)
	r.Exceptions[0].Verdict.Sentence = strings.Repeat("long ", 8000)
	rows := cells(t, openBook(t, r, generous), "Exceptions")
	require.True(t, strings.HasSuffix(rows[1][10], "…"))
	require.Len(t, []rune(rows[1][10]), 32_767)
}

func TestCutSheetsSaySo(t *testing.T) {
	r := fixtureResult(t)
	file := openBook(t, r, bookLimits{exceptions: 2, structures: 7, rows: 1})
	last := func(sheet string) string {
		rows := cells(t, file, sheet)
		return rows[len(rows)-1][0]
	}
	require.Len(t, cells(t, file, "Exceptions"), 4)
	require.Equal(t, "2 of 5 findings, the worst; audit.json and exceptions.geojson have all exceptions.", last("Exceptions"))
	require.Equal(t, "4 of 8 structures, those with exceptions, as there are more than 7; structures.geojson has all, and the output requirements.csv, on request, what each needs.", last("Structures"))
	excepted := 0
	for _, row := range cells(t, file, "Structures")[1:5] {
		if row[2] != "0" {
			excepted++
		}
	}
	require.Equal(t, 4, excepted, "none with an exception is left out, and none without is there")
	few := cells(t, openBook(t, r, bookLimits{exceptions: 2, structures: 3, rows: 1}), "Structures")
	require.Equal(t, "3 of 8 structures, the first of the 4 with exceptions, as there are more than 3; structures.geojson has all, and the output requirements.csv, on request, what each needs.", few[4][0])
	require.Equal(t, "1 of 2 lines, the worst; audit.json has all.", last("Lines"))
	require.Equal(t, "1 of 2 listed faults, the first; audit.json has all that are listed.", last("Faults"))
	var overview strings.Builder
	for _, row := range cells(t, file, "Overview") {
		overview.WriteString(strings.Join(row, " ") + "\n")
	}
	require.Contains(t, overview.String(), "Sheet Exceptions holds 2 of 5 findings")
	require.Contains(t, overview.String(), "Sheet Faults holds 1 of 2 faults")
	require.Contains(t, overview.String(), "Sheet Structures holds 4 of 8 structures, those with exceptions, as there are more than 7; structures.geojson has all")
	var run strings.Builder
	for _, row := range cells(t, file, "Run") {
		run.WriteString(strings.Join(row, " ") + "\n")
	}
	require.Contains(t, run.String(), "What the outputs do not hold, as it would be too much\nSheet Exceptions holds 2 of 5 findings")
	require.Contains(t, run.String(), "Sheet Structures holds 4 of 8 structures, those with exceptions")
	require.Len(t, cells(t, openBook(t, r, bookLimits{exceptions: 2, structures: 8, rows: 1}), "Structures"), 9, "a sheet of as many as the limit holds each")
}

func TestWorkbookIsTheSameForAnyNumberOfWorkers(t *testing.T) {
	one := openBook(t, assessed(t, fixture(t), 1), generous)
	two := openBook(t, assessed(t, fixture(t), 2), generous)
	for _, sheet := range allSheets {
		require.Equal(t, cells(t, one, sheet), cells(t, two, sheet), sheet)
	}
}

// A header holds 255 characters, of which "&" takes two.
func TestAnyTitleFitsTheHeader(t *testing.T) {
	for _, title := range []string{strings.Repeat("&", 300), strings.Repeat("😀", 300), "two\nlines\x00", ""} {
		r := fixtureResult(t)
		r.Project.Title, r.Run.Version = title, title
		openBook(t, r, generous)
	}
}

// The overview and the brief show the worst of every check before the second worst of one, also where there is room for fewer, and a structure once for a check.
func TestWorstOfEach(t *testing.T) {
	exception := func(severity audit.Severity, check, structure int) audit.Exception {
		return audit.Exception{Location: audit.AtStructure(0, structure), Check: check, Verdict: audit.Verdict{Severity: severity}}
	}
	r := &audit.Result{Checks: make([]*audit.Check, 3), Exceptions: []audit.Exception{
		exception(audit.Shortfall, 0, 1), exception(audit.Shortfall, 0, 1), exception(audit.Shortfall, 0, 2), exception(audit.Shortfall, 0, 3),
		exception(audit.Shortfall, 1, 1), exception(audit.Shortfall, 1, 2), exception(audit.Advisory, 0, 4), exception(audit.Advisory, 2, 1),
	}}
	tests := []struct {
		most int
		want []int
	}{{1, []int{0}}, {2, []int{0, 4}}, {3, []int{0, 4, 2}}, {5, []int{0, 4, 2, 5, 3}}, {6, []int{0, 4, 2, 5, 3, 6}}, {9, []int{0, 4, 2, 5, 3, 6, 7}}}
	for _, test := range tests {
		require.Equal(t, test.want, worstOfEach(r, nil, test.most), test.most)
	}
}

func TestFormatOfAFigure(t *testing.T) {
	tests := []struct {
		number        float64
		measure, want string
	}{{9.1, "deg", "0.00"}, {2655, "mm", "#,##0.0"}, {2, "phases", "#,##0"}, {0, "", "#,##0"}, {0.25, "", "#,##0.0"}}
	for _, test := range tests {
		require.Equal(t, test.want, formatOf(audit.Figure(test.number, test.measure)), test.measure)
	}
}

func TestGrouped(t *testing.T) {
	for n, want := range map[int]string{0: "0", 999: "999", 1000: "1\u202F000", -1234567: "-1\u202F234\u202F567"} {
		require.Equal(t, want, grouped(n))
	}
}

func TestWorkbookOfNothing(t *testing.T) {
	p := &audit.Project{Criteria: audit.DefaultCriteria(), Makeups: []audit.Makeup{{}}}
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	r, err := audit.Assess(context.Background(), n, nil, audit.Options{})
	require.NoError(t, err)
	file := openBook(t, r, generous)
	require.Equal(t, "None.", cells(t, file, "Exceptions")[1][0])
}

// A text that looks like the escape of a character is shown as it is on sheets that are laid out freely too.
func TestTextThatLooksLikeAnEscape(t *testing.T) {
	const title = "_x0041_, _x005F_ and _x005F_x000D_"
	p := fixture(t)
	p.Title = title
	content := bookBytes(t, assessed(t, p, 1))
	file, err := excelize.OpenReader(bytes.NewReader(content))
	require.NoError(t, err)
	first, err := file.GetCellValue("Overview", "A1")
	require.NoError(t, err)
	require.Contains(t, first, title)
	shown, err := os.ReadFile(converted(t, saved(t, "exceptions.xlsx", content), "csv"))
	require.NoError(t, err)
	require.Contains(t, string(shown), title)
}

// So is one in a link, which is a formula.
func TestLinkThatLooksLikeAnEscape(t *testing.T) {
	const name = "T_x0041_0"
	p := fixture(t)
	number, err := p.Texts.Add(name)
	require.NoError(t, err)
	p.Structures.Row(7).Number, p.Assemblies.Row(6).Number = number, number
	content := bookBytes(t, assessed(t, p, 1))
	shown, err := os.ReadFile(converted(t, saved(t, "exceptions.xlsx", content), "fods"))
	require.NoError(t, err)
	require.True(t, regexp.MustCompile(`table:formula="of:=HYPERLINK[^>]*>\s*<text:p>(<text:a [^>]*>)?`+name+`<`).Match(shown), "as it is worked out")
	require.False(t, bytes.Contains(shown, []byte("x005F")))
}
