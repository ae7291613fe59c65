package report

import (
	"cmp"
	"fmt"
	"slices"

	"dryarc/audit"

	"github.com/xuri/excelize/v2"
)

// The charts stand below all else on the overview: each beside the figures that it draws.
const (
	chartRows  = 12 // the most bars that one draws
	chartWidth = 478
)

// chartSeries is one column of figures and its colour.
type chartSeries struct{ name, color string }

// chartRow is one bar: its label and a figure for each series.
type chartRow struct {
	label   string
	figures []float64
}

// chart is a bar chart and its figures.
type chart struct {
	title, label, format string
	series               []chartSeries
	rows                 []chartRow
	course               bool // lines from row to row, in place of bars
}

// writeCharts writes the charts that have anything to show, and returns the rows that print on one page each: none cuts a chart.
func (b *book) writeCharts(p *page, row int) (areas [][2]int) {
	begun := row
	for _, c := range []chart{b.trendChart(), b.densityChart(), b.fallingShortChart(), b.exceptionsChart(), b.marginsChart()} {
		if len(c.rows) == 0 {
			continue
		}
		next := b.writeChart(p, row, &c)
		if p.highOf(begun, next-2) > heightOn(smallPaper) && row > begun {
			areas, begun = append(areas, [2]int{begun, row - 2}), row
		}
		row = next
	}
	if row > begun {
		areas = append(areas, [2]int{begun, row - 2})
	}
	return areas
}

// writeChart writes a chart with its figures and returns the second row below it.
func (b *book) writeChart(p *page, top int, c *chart) int {
	p.put(top, firstColumn, rightEnd, c.title, sectionLook)
	headings := []string{""}
	for _, s := range c.series {
		headings = append(headings, s.name)
	}
	p.head(top+1, meetsColumn-1, headings...)
	p.put(top+1, firstColumn, meetsColumn-1, c.label, headingLook)
	first, last := top+2, top+1+len(c.rows)
	for i, r := range c.rows {
		p.put(first+i, firstColumn, meetsColumn-1, r.label, look{})
		for k, figure := range r.figures {
			p.put(first+i, meetsColumn+k, meetsColumn+k, figure, look{format: c.format})
		}
	}
	height := len(c.rows) + 3 // in rows: the bars, and the axis above them
	font := func(color string) excelize.Font {
		return excelize.Font{Family: fontFamily, Size: bodySize, Color: color}
	}
	bars := &excelize.Chart{
		Type: excelize.BarStacked, Legend: excelize.ChartLegend{Position: "none"},
		Dimension: excelize.ChartDimension{Width: chartWidth, Height: uint(pixels(float64(height) * rowHeight))},
		Format:    excelize.GraphicOptions{AltText: c.title, Positioning: "oneCell"},
		XAxis:     excelize.ChartAxis{ReverseOrder: true, Font: font(slate)},
		YAxis:     excelize.ChartAxis{Font: font(slateSoft), NumFmt: excelize.ChartNumFmt{CustomNumFmt: "General"}},
		Border:    excelize.LineOptions{Type: excelize.LineNone},
	}
	if c.course {
		height = max(height, leastCourse)
		bars.Type, bars.XAxis.ReverseOrder = excelize.Line, false
		bars.Dimension.Height = uint(pixels(float64(height) * rowHeight))
	}
	if len(c.series) > 1 {
		soft := font(slate)
		bars.Legend = excelize.ChartLegend{Position: "right", Font: &soft}
	}
	gap := uint(45)
	bars.GapWidth = &gap
	for i, s := range c.series {
		column := string(rune('A' + meetsColumn - 1 + i))
		bars.Series = append(bars.Series, excelize.ChartSeries{
			Name:       fmt.Sprintf("%s!$%s$%d", overviewSheet, column, top+1),
			Categories: fmt.Sprintf("%s!$A$%d:$A$%d", overviewSheet, first, last),
			Values:     fmt.Sprintf("%s!$%s$%d:$%s$%d", overviewSheet, column, first, column, last),
			Fill:       excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{s.color}},
			Line:       lineOf(c.course),
			Marker:     excelize.ChartMarker{Symbol: "none"},
		})
	}
	if p.err == nil {
		p.keep(b.file.AddChart(p.sheet, fmt.Sprintf("H%d", top+1), bars))
	}
	return top + height + 2
}

// lineOf is how the series of a chart is drawn.
func lineOf(course bool) excelize.LineOptions {
	if course {
		return excelize.LineOptions{Width: 1.75}
	}
	return excelize.LineOptions{}
}

const (
	leastCourse = 12 // rows that a course is high
	courseRows  = 30 // runs that it shows, the last ones
)

// trendChart shows how the exceptions went from run to run.
func (b *book) trendChart() chart {
	c := chart{title: "From run to run", label: "As of", format: asCount, course: true,
		series: []chartSeries{{"Shortfalls", ochre}, {"Advisories", amberDeep}, {"New", slate}, {"Cleared", blue}}}
	if len(b.trend) < 2 {
		return c
	}
	if trendOfAllLines(b.result) != "" {
		c.title += ", all lines"
	}
	for _, p := range b.trend[max(0, len(b.trend)-courseRows):] {
		c.rows = append(c.rows, chartRow{p.AsOf, []float64{float64(p.Shortfalls), float64(p.Advisories), float64(max(p.New, 0)), float64(max(p.Cleared, 0))}})
	}
	return c
}

// pixels are how many a height in points takes on screen.
func pixels(points float64) float64 { return points * 4 / 3 }

// exceptionsChart counts the open exceptions of the checks that have most.
func (b *book) exceptionsChart() chart {
	r, counts := b.result, openByCheck(b.result, b.decided)
	order := make([]int, 0, len(counts))
	for i := range counts {
		if counts[i].total() > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(counts[y].total(), counts[x].total()) })
	c := chart{title: "Open exceptions by check", label: "Check", format: asCount,
		series: bySeveritySeries()}
	for _, i := range order[:min(len(order), chartRows)] {
		c.rows = append(c.rows, chartRow{r.Checks[i].ID, figuresOf(counts[i])})
	}
	return c
}

// marginsChart counts how far the open exceptions that have a margin fall short, by severity: what is marginal and what is not.
func (b *book) marginsChart() chart {
	steps, unmeasured := shortSteps(b.result, b.decided, 1, 2, 5, 10, 20, 50)
	found := 0
	for _, s := range steps {
		found += s.counts.total()
	}
	c := chart{title: fmt.Sprintf("How far open exceptions fall short (%s of %s with a margin)", grouped(found), grouped(found+unmeasured.total())),
		label: "Short of what is required by", format: asCount, series: bySeveritySeries()}
	if found == 0 {
		return c
	}
	for _, s := range steps {
		c.rows = append(c.rows, chartRow{s.label, figuresOf(s.counts)})
	}
	return c
}

// bySeveritySeries are the series of a chart whose bars are split by severity, and figuresOf what one of these draws.
func bySeveritySeries() []chartSeries {
	return []chartSeries{{"Shortfalls", ochre}, {"Advisories", amberDeep}, {"Notes", slateSoft}}
}

func figuresOf(n bySeverity) []float64 {
	return []float64{float64(n[audit.Shortfall]), float64(n[audit.Advisory]), float64(n[audit.Note])}
}

// densityChart shows the open exceptions per 100 structures on the lines where they are most.
func (b *book) densityChart() chart {
	r := b.result
	c := chart{title: "Open exceptions per 100 structures, by line", label: "Line", format: asPercent, series: bySeveritySeries()}
	for _, x := range rankedLines(r, b.decided) {
		if x.open.total() == 0 || len(c.rows) == chartRows {
			break
		}
		figures := figuresOf(x.open)
		for i := range figures {
			figures[i] *= x.per / float64(x.open.total())
		}
		c.rows = append(c.rows, chartRow{r.Project.Symbols.Text(r.Network.Lines[x.line].Symbol), figures})
	}
	return c
}

// fallingShortChart shows the share of verdicts that fall short on the lines where it is highest.
func (b *book) fallingShortChart() chart {
	r := b.result
	var shares []chartRow
	for l := range r.Lines {
		total := lineTotals(&r.Lines[l])
		if judged, _ := total.Assessed(); judged > 0 && total.FallsShort > 0 {
			shares = append(shares, chartRow{r.Project.Symbols.Text(r.Network.Lines[l].Symbol), []float64{100 * float64(total.FallsShort) / float64(judged)}})
		}
	}
	slices.SortStableFunc(shares, func(a, b chartRow) int { return cmp.Compare(b.figures[0], a.figures[0]) })
	return chart{title: "Verdicts that fall short in per cent of those judged, by line", label: "Line", format: asHundred,
		series: []chartSeries{{"Fall short (%)", ochre}}, rows: shares[:min(len(shares), chartRows)]}
}
