package report

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/headroom"

	"github.com/xuri/excelize/v2"
)

// The sheets of headroom: what each curve comes to, the charts, and the curves themselves, which these draw.
const (
	headroomSheet = "Headroom"
	chartsSheet   = "Charts"
	curvesSheet   = "Curves"
)

const (
	mostCharts = 24      // of the lines as they stand, and of each scenario: beyond these nobody looks; the curves are there all the same
	allCharts  = 120     // of all together
	mostPoints = 200_000 // rows of the sheet of curves
)

// headroomBook writes curves into a workbook.
type headroomBook struct {
	*book
	curves []headroomCurve
	rows   [][2]int // of each curve on the sheet of curves, first and last; 0 where it has none
}

// headroomCurve is a curve of a line as it stands, or in a scenario.
type headroomCurve struct {
	scenario string // today for none
	headroom.Curve
}

// allHeadroom are the curves of the lines as they stand, then those of each scenario.
func (s *Scope) allHeadroom() (all []headroomCurve) {
	add := func(scenario string, curves []headroom.Curve) {
		for _, c := range curves {
			all = append(all, headroomCurve{scenario, c})
		}
	}
	add("today", s.Headroom)
	for _, x := range s.Scenarios {
		add(x.scenario.Name, x.Headroom)
	}
	return all
}

// newHeadroomBook lays the curves out.
func newHeadroomBook(b *book, curves []headroomCurve) *headroomBook {
	h := &headroomBook{book: b, curves: curves, rows: make([][2]int, len(curves))}
	row := 2
	for i := range curves {
		points := 1 + 2*len(curves[i].Steps)
		if curves[i].Counted == 0 || row+points > mostPoints {
			continue
		}
		h.rows[i] = [2]int{row, row + points - 1}
		row += points
	}
	return h
}

// cutRemark says that the sheet of curves does not hold all, where it does not.
func (h *headroomBook) cutRemark() []string {
	shown := 0
	for i := range h.rows {
		if h.rows[i][0] > 0 {
			shown++
		}
	}
	return cutRemark(curvesSheet, shown, len(h.curves)-h.uncounted(), "curves")
}

// pages and tables are the sheets, to be filled as those of any workbook.
func (h *headroomBook) pages() []sheet {
	return []sheet{{headroomSheet, slate, h.writeSums}, {chartsSheet, slate, h.writeCharts}}
}
func (h *headroomBook) tables() []sheet { return []sheet{{curvesSheet, blue, h.writeCurves}} }

// headroomColumns are the columns of the sums.
var headroomColumns = [...]struct {
	heading string
	width   float64
	format  string
}{
	{"Scenario", 16, ""}, {"Line", 13, ""}, {"Duty", 11, ""}, {"Check", 23, ""}, {"What rises", 19, ""}, {"Unit", 7, ""}, {"Now", 10, asHundred}, {"Counted", 9, asCount},
	{"Not assessed", 9, asCount}, {"Short now", 9, asCount}, {"All meet up to", 10, asHundred}, {"1 % short above", 10, asHundred},
	{"10 % short above", 10, asHundred}, {"Half short above", 10, asHundred}, {"Meet at", 42, ""}, {"Fail first (up to)", 38, ""},
	{"Not assessed since", 30, ""},
}

// indentAfter is the indent of a column of text, which what stands to the left of it would touch where that fills its own.
func indentAfter(column int) int {
	if column > 0 && headroomColumns[column].format == "" {
		return 1
	}
	return 0
}

// writeSums writes what each curve comes to.
func (h *headroomBook) writeSums(context.Context) error {
	widths := make([]float64, len(headroomColumns))
	for i, c := range headroomColumns {
		widths[i] = c.width
	}
	p, last := h.newPage(headroomSheet, widths...), len(headroomColumns)
	p.layOutScaled(widths...)
	p.put(1, 1, last, h.title()+": headroom", look{bold: true, size: 18, bare: true, middle: true})
	p.height(1, 30)
	p.paragraph(2, 1, last, Caution, look{bare: true, color: slateSoft})
	p.paragraph(3, 1, last, headroomNote, look{bare: true, color: slateSoft})
	row := 5
	for i, c := range headroomColumns {
		l := headingLook
		if c.format != "" {
			l = l.aligned("right")
		}
		l.indent = indentAfter(i)
		p.put(row, i+1, i+1, c.heading, l)
	}
	p.height(row, headingHeight)
	p.keep(h.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: headroomSheet, RefersTo: fmt.Sprintf("%s!$%d:$%d", headroomSheet, row, row)}))
	for i := range h.curves {
		row++
		tall := float64(rowHeight)
		for k, value := range h.sums(&h.curves[i]) {
			format := headroomColumns[k].format
			if limit, is := value.(upTo); is {
				value, format = limit.cell()
			}
			shown := look{format: format, wrap: true, indent: indentAfter(k)}
			if headroomColumns[k].format != "" {
				shown.align = "right" // from how much to how much is text
			}
			p.put(row, k+1, k+1, value, shown)
			if text, is := value.(string); is {
				tall = max(tall, heightOf(text, headroomColumns[k].width-indentWidth*float64(indentAfter(k)), bodySize))
			}
		}
		p.height(row, tall)
	}
	return p.finish()
}

// chartsAcross are the columns that charts stand at beside each other, of chartColumn each.
var chartsAcross = [...]string{"A", "B", "C"}

// chartColumn is the width of a column that a chart stands in, with what is between two.
const chartColumn = chartWidth/8.0 + 3

// writeCharts draws the curves on a sheet of their own, which no heading of a table stands above when it is printed.
func (h *headroomBook) writeCharts(context.Context) error {
	widths := []float64{}
	for range chartsAcross {
		widths = append(widths, chartColumn)
	}
	p := h.newPage(chartsSheet, widths...)
	high := p.layOutScaled(widths...)
	p.put(1, 1, len(widths), h.title()+": charts of headroom", look{bold: true, size: 18, bare: true, middle: true})
	p.height(1, 30)
	p.paragraph(2, 1, len(widths), Caution, look{bare: true, color: slateSoft})
	h.writeCurveCharts(p, 4, max(1, int(high/(chartSpan*rowHeight))))
	return p.finish()
}

var headroomNote = "Up to which value of a quantity nothing that was assessed falls short, all else as it is: one figure for each line, duty and check, at every structure of the line. It is found by calculation and is no leave to operate there. Above the value shown the first falls short, and so on. " +
	"Blank: so many meet nowhere on the curve, as where they fall short now already, or up to its end. Now is today, or in a scenario what that says, from where the quantity rises. Assemblies that could not be assessed are in no share. Of a voltage " +
	movesWith[audit.DriveVoltage] + "; of a lightning level " + movesWith[audit.DriveLightningLevel] + ". Faults stand on the sheet of that name of an audit."

// upTo is a value up to which so many meet, as a cell: the figure of the page, all of whose digits are shown, so that none shown is above the limit.
type upTo float64

func (x upTo) cell() (value float64, format string) {
	value, format = floored(float64(x)), asHundred
	if _, decimals, _ := strings.Cut(strconv.FormatFloat(value, 'f', -1, 64), "."); len(decimals) > 2 {
		format += strings.Repeat("0", len(decimals)-2)
	}
	return value, format
}

// sums are the cells of a curve.
func (h *headroomBook) sums(c *headroomCurve) []any {
	r := h.result
	rises := c.Drive.Quantity.String()
	if c.Case != "" {
		rises += ", " + c.Case
	}
	now := any(c.NowLow)
	if c.NowLow != c.NowHigh && !unknown(c.NowLow) {
		now = fmt.Sprintf("%.6g to %.6g", c.NowLow, c.NowHigh)
	}
	return []any{c.scenario, r.Project.Symbols.Text(r.Network.Lines[c.Line].Symbol), c.Duty.String(), r.Checks[c.Check].ID, rises, c.Drive.Quantity.Measure(), now, c.Counted, c.NotAssessed, c.ShortNow,
		upTo(c.Until(0)), upTo(c.Until(headroom.OnePercent)), upTo(c.Until(headroom.TenPercent)), upTo(c.Until(headroom.Half)), strings.Join(marksInWords(&c.Curve), "\n"), firstInWords(r, &c.Curve), lacksInWords(&c.Curve)}
}

// writeCurveCharts draws the curves of each line and quantity together, as far as they are on the sheet of curves: some beside each other, and down
// of them below each other on a sheet of paper, one fewer on the first.
func (h *headroomBook) writeCurveCharts(p *page, row, down int) {
	drawn, drawnOf := 0, map[string]int{}
	font := excelize.Font{Family: fontFamily, Size: bodySize, Color: slateSoft}
	for i := 0; i < len(h.curves) && drawn < allCharts; i++ {
		of := &h.curves[i]
		if drawnOf[of.scenario] == mostCharts {
			continue
		}
		same := func(c *headroomCurve) bool {
			return c.scenario == of.scenario && c.Line == of.Line && c.Drive == of.Drive
		}
		if slices.IndexFunc(h.curves, func(c headroomCurve) bool { return same(&c) }) < i {
			continue
		}
		zero, most := 0.0, 100.0
		line := h.result.Project.Symbols.Text(h.result.Network.Lines[of.Line].Symbol)
		chart := &excelize.Chart{Type: excelize.Scatter, Legend: excelize.ChartLegend{Position: "bottom"},
			Title:     excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: cellText(fmt.Sprintf("%s, %s: share that meets (%%) by %s (%s)", line, of.scenario, of.Drive.Quantity, of.Drive.Quantity.Measure()))}}},
			Dimension: excelize.ChartDimension{Width: chartWidth, Height: chartHeight}, XAxis: excelize.ChartAxis{Font: font}, YAxis: excelize.ChartAxis{Minimum: &zero, Maximum: &most, Font: font},
			Format: excelize.GraphicOptions{AltText: "Share of assemblies that meet as the " + of.Drive.Quantity.String() + " rises", Positioning: "oneCell"},
		}
		for k := range h.curves {
			c := &h.curves[k]
			if !same(c) || h.rows[k][0] == 0 || len(c.Steps) == 0 {
				continue
			}
			at := h.rows[k]
			chart.Series = append(chart.Series, excelize.ChartSeries{
				Name:       fmt.Sprintf("%s!$I$%d", curvesSheet, at[0]),
				Categories: fmt.Sprintf("%s!$G$%d:$G$%d", curvesSheet, at[0], at[1]),
				Values:     fmt.Sprintf("%s!$H$%d:$H$%d", curvesSheet, at[0], at[1]),
				Line:       excelize.LineOptions{Type: excelize.LineSolid, Width: 1.75}, // without the type none is drawn
				Marker:     excelize.ChartMarker{Symbol: "none"},
			})
		}
		if len(chart.Series) == 0 || p.err != nil {
			continue
		}
		at := drawn / len(chartsAcross)
		if drawn%len(chartsAcross) == 0 && at > 0 && (at+1)%down == 0 { // below the title there is room for one fewer
			p.breakAbove(row + at*chartSpan)
		}
		p.keep(h.file.AddChart(p.sheet, fmt.Sprintf("%s%d", chartsAcross[drawn%len(chartsAcross)], row+1+at*chartSpan), chart)) // a row below the break, or its edge is drawn above that too
		drawn, drawnOf[of.scenario] = drawn+1, drawnOf[of.scenario]+1
	}
}

const (
	chartHeight = 300
	chartSpan   = 17 // rows from one chart to the one below
)

// writeCurves writes the points of every curve: two for each step, before and after it.
func (h *headroomBook) writeCurves(ctx context.Context) error {
	t := h.newTable(ctx, curvesSheet, 4, []column{
		{"Scenario", 16, look{wrap: true}}, {"Line", 16, look{wrap: true}}, {"Duty", 12, look{}}, {"Check", 26, look{}}, {"What rises", 20, look{}}, {"Load case", 16, look{wrap: true}},
		{"Value", 12, look{format: asFactor}}, {"Meet (%)", 10, look{format: asPercent}}, {"Curve", 34, look{wrap: true}},
	})
	shown := 0
	for i := range h.curves {
		c := &h.curves[i]
		if h.rows[i][0] == 0 {
			continue
		}
		shown++
		left := float64(c.Counted - c.Already)
		point := func(value float64) {
			name := c.Duty.String() + ", " + h.result.Checks[c.Check].ID
			if c.Case != "" {
				name += ", " + c.Case
			}
			t.add(c.scenario, h.result.Project.Symbols.Text(h.result.Network.Lines[c.Line].Symbol), c.Duty.String(), h.result.Checks[c.Check].ID, c.Drive.Quantity.String(), c.Case,
				value, 100*left/float64(c.Counted), name)
		}
		point(c.From)
		for _, s := range c.Steps {
			value := flooredTo(s.Value, 1000) // as asFactor shows it
			point(value)
			left -= float64(s.Assemblies)
			point(value)
		}
	}
	t.remarkCut(shown, len(h.curves)-h.uncounted(), "curves")
	t.remark("The points that the sheet Charts draws: two where a share falls, before and after. They are for the screen; of this sheet only these lines are printed.")
	t.remark(strings.SplitAfter(Caution, ". ")...)
	t.remarks = true
	return t.finish()
}

// uncounted is how many curves count no assembly.
func (h *headroomBook) uncounted() (n int) {
	for i := range h.curves {
		if h.curves[i].Counted == 0 || math.IsNaN(h.curves[i].From) {
			n++
		}
	}
	return n
}
