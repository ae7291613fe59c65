package report

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/headroom"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// Of the fixture's line N-1, Um 145 kV in class c, the strings of 10 discs of 295 mm carry 2950/34.7·√3 = 147.25 kV and those of 9 carry
// 2655/34.7·√3 = 132.52 kV (computed from IEC TS 60815-1:2008).
func TestHeadroomIsWritten(t *testing.T) {
	r := judged(t, fixture(t))
	curves, err := headroom.Of(context.Background(), r, 1)
	require.NoError(t, err)

	var out bytes.Buffer
	s := &Scope{Today: r, Headroom: curves, WithHeadroom: true}
	_, err = s.JSON(context.Background(), &out, nil)
	require.NoError(t, err)
	var read struct {
		Run      struct{ ID string }
		Headroom []struct {
			Line, Duty, Check, Quantity, Unit string
			Assumes                           *string
			First, P50                        *float64
			Curve                             []struct{ Value, Share float64 }
			Counted                           int
		}
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &read))
	require.Equal(t, r.Run.ID, read.Run.ID)
	require.Len(t, read.Headroom, len(curves))
	found := false
	assumed := map[string]string{}
	for _, c := range read.Headroom {
		require.NotNil(t, c.Assumes, c.Quantity)
		assumed[c.Quantity] = *c.Assumes
		if c.Line == "N-1" && c.Duty == audit.Suspension.String() && c.Check == "creepage" && c.Quantity == "highest voltage" {
			found = true
			require.Equal(t, "kV", c.Unit)
			require.InDelta(t, 132.52, *c.First, 0.01)
			require.Len(t, c.Curve, 2)
			require.InDelta(t, 147.25, c.Curve[1].Value, 0.01)
			require.Zero(t, c.Curve[1].Share)
		}
	}
	require.True(t, found, out.String())
	require.Equal(t, "the nominal voltage and a stated creepage voltage rise in proportion", assumed["highest voltage"])
	require.Equal(t, "", assumed["specific creepage"])
	require.Contains(t, headroomNote, "Of a voltage the nominal voltage and a stated creepage voltage rise in proportion; of a lightning level Um is taken to be one that it goes with.")

	out.Reset()
	require.NoError(t, s.writeBook(context.Background(), &out, r))
	file, err := excelize.OpenReader(&out)
	require.NoError(t, err)
	defer file.Close()
	require.Equal(t, []string{headroomSheet, chartsSheet, curvesSheet, basisSheet, runSheet}, file.GetSheetList())
	sums, err := file.GetRows(headroomSheet, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	require.Equal(t, "All meet up to", sums[4][10])
	requireNoneAbove(t, file, curves)
	rows, err := file.GetRows(curvesSheet, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	// The charts draw the rows of their curves: the sheet is laid out before it is written.
	h := newHeadroomBook(&book{}, s.allHeadroom())
	for i := range curves {
		c, at := &curves[i], h.rows[i]
		if at[0] == 0 {
			continue
		}
		require.Equal(t, 2*len(c.Steps), at[1]-at[0])
		require.Equal(t, r.Checks[c.Check].ID, rows[at[0]-1][3])
		require.Equal(t, c.Drive.Quantity.String(), rows[at[1]-1][4])
	}
	last := slices.MaxFunc(h.rows, func(a, b [2]int) int { return a[1] - b[1] })[1]
	require.Contains(t, file.GetDefinedName(), excelize.DefinedName{Name: "_xlnm.Print_Area", Scope: curvesSheet, RefersTo: fmt.Sprintf("'%s'!$A$%d:$I$%d", curvesSheet, last+1, len(rows))})
	require.Less(t, len(rows)-last, 10, "a page at most")
	require.Contains(t, rows[last][0], "only these lines are printed")
	charts := 0
	file.Pkg.Range(func(name, part any) bool {
		if strings.Contains(name.(string), "xl/charts/chart") {
			charts++
			_, series, found := strings.Cut(string(part.([]byte)), "<ser>")
			series, _, _ = strings.Cut(series, "</ser>")
			require.True(t, found)
			require.Contains(t, series, "<a:ln ")
			require.NotContains(t, series, "noFill", "a line that is drawn")
		}
		return true
	})
	require.Positive(t, charts)
}

// A chart is on one sheet of paper, which takes as many below each other as there is room for at the scale that its columns ask for; the table of
// sums is on paper of its own, each sheet with its headings.
func TestChartsOfHeadroomAreNotCutByPages(t *testing.T) {
	r := judged(t, fixture(t))
	curves, err := headroom.Of(context.Background(), r, 1)
	require.NoError(t, err)
	at := slices.IndexFunc(curves, func(c headroom.Curve) bool { return len(c.Steps) > 0 })
	many := make([]headroom.Curve, mostCharts)
	for i := range many {
		many[i] = curves[at]
		many[i].Drive.Case = i
	}
	var out bytes.Buffer
	require.NoError(t, (&Scope{Today: r, Headroom: many, WithHeadroom: true}).writeBook(context.Background(), &out, r))
	part := xmlParts(t, out.Bytes())["xl/worksheets/sheet2.xml"]
	require.NotContains(t, part, "fitToPage", "where a sheet is fitted to pages its breaks do not hold everywhere")
	number := func(pattern string) (list []float64) {
		for _, found := range regexp.MustCompile(pattern).FindAllStringSubmatch(part, -1) {
			n, err := strconv.ParseFloat(found[1], 64)
			require.NoError(t, err)
			list = append(list, n)
		}
		return list
	}
	scale, breaks := number(`<pageSetup[^>]* scale="(\d+)"`), number(`<brk id="(\d+)"`)
	require.Len(t, scale, 1)
	require.LessOrEqual(t, float64(len(chartsAcross))*chartColumn*columnUnitMM*scale[0]/100, largeWidthMM-sideMarginsMM)
	require.NotEmpty(t, breaks)
	high := func(rows float64) float64 { return rows * rowHeight * scale[0] / 100 / 72 * 25.4 }
	require.LessOrEqual(t, high(breaks[0])+30, largeHeightMM-endMarginsMM, "below the title")
	for i := range breaks[1:] {
		require.LessOrEqual(t, high(breaks[i+1]-breaks[i]), largeHeightMM-endMarginsMM)
		require.Zero(t, int(breaks[i+1]-breaks[i])%chartSpan)
	}
	require.Contains(t, xmlParts(t, out.Bytes())["xl/workbook.xml"], "Headroom!$5:$5", "the headings repeat on every page")
	require.NotContains(t, xmlParts(t, out.Bytes())["xl/worksheets/sheet1.xml"], "<drawing", "no heading stands above a chart")
}

// Each scenario has its own charts, however many today has, and its rows stand below those of today.
func TestScenariosHaveChartsOfTheirOwn(t *testing.T) {
	r := judged(t, fixture(t))
	curves, err := headroom.Of(context.Background(), r, 1)
	require.NoError(t, err)
	at := slices.IndexFunc(curves, func(c headroom.Curve) bool { return len(c.Steps) > 0 })
	many := make([]headroom.Curve, mostCharts+2)
	for i := range many {
		many[i] = curves[at]
		many[i].Drive.Case = i
	}
	s := &Scope{Today: r, Headroom: many, WithHeadroom: true, Scenarios: []*ScopeOf{{scenario: &audit.Scenario{Name: "bigger"}, Headroom: many[:2], exceptions: newSpool(), jobs: newSpool(), features: newSpool()}}}
	var out bytes.Buffer
	require.NoError(t, s.writeBook(context.Background(), &out, r))
	file, err := excelize.OpenReader(&out)
	require.NoError(t, err)
	defer file.Close()
	charts := map[string]int{}
	file.Pkg.Range(func(name, part any) bool {
		if strings.Contains(name.(string), "xl/charts/chart") {
			for _, scenario := range [...]string{"today", "bigger"} {
				if strings.Contains(string(part.([]byte)), ", "+scenario+": share that meets") {
					charts[scenario]++
				}
			}
		}
		return true
	})
	require.Equal(t, map[string]int{"today": mostCharts, "bigger": 2}, charts)
	sums, err := file.GetRows(headroomSheet)
	require.NoError(t, err)
	require.Equal(t, "today", sums[5+len(many)-1][0])
	require.Equal(t, "bigger", sums[5+len(many)][0])
}

// requireNoneAbove requires that no value shown up to which assemblies meet is above the exact one, on the sheet and in the words of page and sheet.
func requireNoneAbove(t *testing.T, file *excelize.File, curves []headroom.Curve) {
	t.Helper()
	rows, err := file.GetRows(headroomSheet)
	require.NoError(t, err)
	shown, failing := 0, regexp.MustCompile(`\(([^)]*)\)`)
	for i := range curves {
		row := append(slices.Clone(rows[5+i]), make([]string, len(headroomColumns))...) // those read end at the last that is not blank
		for k, share := range curveShares {
			exact := curves[i].Until(share)
			if math.IsInf(exact, 0) || math.IsNaN(exact) {
				require.Empty(t, row[10+k])
				continue
			}
			shown++
			cell, err := strconv.ParseFloat(strings.ReplaceAll(row[10+k], ",", ""), 64)
			require.NoError(t, err)
			require.LessOrEqual(t, cell, exact+1e-12*math.Abs(exact)) // but for floating point
			require.InEpsilon(t, exact, cell, 2e-4)
			page, err := strconv.ParseFloat(untilInWords(exact), 64)
			require.NoError(t, err)
			require.Equal(t, page, cell, "the same figure on page and sheet")
		}
		texts := failing.FindAllStringSubmatch(row[15], -1)
		require.Len(t, texts, len(curves[i].First))
		for k, f := range curves[i].First {
			if math.IsInf(f.Value, 0) {
				require.Equal(t, "at no value", texts[k][1])
				continue
			}
			value, err := strconv.ParseFloat(texts[k][1], 64)
			require.NoError(t, err)
			require.LessOrEqual(t, value, f.Value)
		}
	}
	require.Positive(t, shown)
}

// What rounds up where it is shown with its format: 179.435479 kV to 179.44, 58.899 to 58.90, and with six digits 179.4354796 to 179.435480.
func TestNoLimitIsShownAboveTheExactOne(t *testing.T) {
	r := judged(t, fixture(t))
	curves := []headroom.Curve{}
	for _, value := range [...]float64{179.435479, 58.899, 58.8996, 1234.5678, 9.87659, 170, 158.4, 158.40000000000003, 0.0999996} {
		curves = append(curves, headroom.Curve{Duty: audit.Suspension, NowLow: 36, NowHigh: 36, From: 36, To: math.Inf(1), Counted: 2,
			Steps: []headroom.Step{{Value: value, Assemblies: 2}}, First: []headroom.Failing{{Value: value, Assemblies: 2}}})
	}
	var out bytes.Buffer
	require.NoError(t, (&Scope{Today: r, Headroom: curves, WithHeadroom: true}).writeBook(context.Background(), &out, r))
	file, err := excelize.OpenReader(&out)
	require.NoError(t, err)
	defer file.Close()
	requireNoneAbove(t, file, curves)
	rows, err := file.GetRows(headroomSheet)
	require.NoError(t, err)
	for i, want := range [...]string{"179.43", "58.899", "58.899", "1,234.50", "9.8765", "170.00", "158.40", "158.40", "0.099999"} {
		require.Equal(t, want, rows[5+i][10])
	}
	points, err := file.GetRows(curvesSheet, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	require.Equal(t, "179.435", points[2][6])
}

// What reckoning with floating point loses is shown as the figure that it is, and no more than that is given back.
func TestFlooredIsTheFigure(t *testing.T) {
	for x, want := range map[float64]float64{559.9999999999999: 560, 559.9999: 559.99, 560: 560, -559.9999999999999: -560, 35.9384: 35.938} {
		require.Equal(t, want, floored(x))
	}
}
