package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"dryarc/audit"

	"github.com/xuri/excelize/v2"
)

// The charts make the second page of the overview: each beside the figures that it draws.
const (
	chartRows  = 12 // the most bars that one draws
	chartWidth = 620
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
	most                 float64 // of the axis, 0 where the figures decide
	course               bool    // lines from row to row, in place of bars
}

// writeCharts writes the charts that have anything to show, and returns the row below.
func (b *book) writeCharts(p *page, row int) int {
	for _, c := range []chart{b.trendChart(), b.exceptionsChart(), b.marginsChart(), b.linesChart()} {
		if len(c.rows) > 0 {
			row = b.writeChart(p, row, &c)
		}
	}
	return row
}

func (b *book) writeChart(p *page, top int, c *chart) int {
	p.put(top, checkColumn, rightEnd, c.title, sectionLook)
	p.put(top+1, checkColumn, checkColumn, c.label, headingLook)
	for i, s := range c.series {
		p.put(top+1, meetsColumn+i, meetsColumn+i, s.name, headingLook.aligned("right"))
	}
	first, last := top+2, top+1+len(c.rows)
	for i, r := range c.rows {
		p.put(first+i, checkColumn, checkColumn, r.label, look{})
		for k, figure := range r.figures {
			p.put(first+i, meetsColumn+k, meetsColumn+k, figure, look{format: c.format})
		}
	}
	height := len(c.rows) + 2 // in rows: the bars, and the axis above them
	font := func(color string) excelize.Font { return excelize.Font{Family: fontFamily, Size: 8, Color: color} }
	bars := &excelize.Chart{
		Type: excelize.BarStacked, Legend: excelize.ChartLegend{Position: "none"},
		Dimension: excelize.ChartDimension{Width: chartWidth, Height: uint(pixels(float64(height) * rowHeight))},
		Format:    excelize.GraphicOptions{AltText: c.title, Positioning: "oneCell"},
		XAxis:     excelize.ChartAxis{ReverseOrder: true, Font: font(slate)},
		YAxis:     excelize.ChartAxis{Font: font(slateSoft), NumFmt: excelize.ChartNumFmt{CustomNumFmt: asCount}},
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
	if c.most > 0 {
		zero := 0.0
		bars.YAxis.Minimum, bars.YAxis.Maximum = &zero, &c.most
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
		p.keep(b.file.AddChart(p.sheet, fmt.Sprintf("G%d", top+1), bars))
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
	for _, p := range b.trend[max(0, len(b.trend)-courseRows):] {
		c.rows = append(c.rows, chartRow{p.AsOf, []float64{float64(p.Shortfalls), float64(p.Advisories), float64(max(p.New, 0)), float64(max(p.Cleared, 0))}})
	}
	return c
}

// pixels are how many a height in points takes on screen.
func pixels(points float64) float64 { return points * 4 / 3 }

// exceptionsChart counts the exceptions of the checks that have most.
func (b *book) exceptionsChart() chart {
	r := b.result
	counts := make([]bySeverity, len(r.Checks))
	for i := range r.Exceptions {
		counts[r.Exceptions[i].Check][r.Exceptions[i].Verdict.Severity]++
	}
	order := make([]int, 0, len(counts))
	for i := range counts {
		if counts[i].total() > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(counts[y].total(), counts[x].total()) })
	c := chart{title: "Exceptions by check", label: "Check", format: asCount,
		series: []chartSeries{{"Shortfalls", ochre}, {"Advisories", amberDeep}, {"Notes", slateSoft}}}
	for _, i := range order[:min(len(order), chartRows)] {
		n := counts[i]
		c.rows = append(c.rows, chartRow{r.Checks[i].ID, []float64{float64(n[audit.Shortfall]), float64(n[audit.Advisory]), float64(n[audit.Note])}})
	}
	return c
}

// marginSteps are the bounds of the shares by which exceptions fall short, in per cent.
var marginSteps = [...]float64{1, 2, 5, 10, 20, 50, math.Inf(1)}

// marginsChart counts how far the exceptions that have a margin fall short: what is marginal and what is not.
func (b *book) marginsChart() chart {
	r := b.result
	var counts [len(marginSteps)]int
	found := 0
	for i := range r.Exceptions {
		short := -100 * r.Exceptions[i].Verdict.Margin
		if math.IsNaN(short) {
			continue
		}
		found++
		at := slices.IndexFunc(marginSteps[:], func(step float64) bool { return short <= step })
		counts[at]++
	}
	c := chart{title: fmt.Sprintf("How far they fall short (%s of %s with a margin)", grouped(found), counted(len(r.Exceptions), "exception", "exceptions")),
		label: "Short of what is required by", format: asCount, series: []chartSeries{{"Exceptions", ochre}}}
	if found == 0 {
		return c
	}
	from := 0.0
	for i, step := range marginSteps {
		label := fmt.Sprintf("more than %g to %g %%", from, step)
		switch {
		case i == 0:
			label = fmt.Sprintf("up to %g %%", step)
		case math.IsInf(step, 1):
			label = fmt.Sprintf("more than %g %%", from)
		}
		c.rows = append(c.rows, chartRow{label, []float64{float64(counts[i])}})
		from = step
	}
	return c
}

// linesChart shows the share of verdicts that meet on the lines where it is lowest.
func (b *book) linesChart() chart {
	r := b.result
	type share struct {
		line    int
		percent float64
	}
	var shares []share
	for l := range r.Lines {
		total := lineTotals(&r.Lines[l])
		if judged, _ := total.Assessed(); judged > 0 {
			shares = append(shares, share{l, 100 * float64(total.Meets) / float64(judged)})
		}
	}
	slices.SortStableFunc(shares, func(a, b share) int { return cmp.Compare(a.percent, b.percent) })
	c := chart{title: "Share of verdicts that meet, by line (those with the lowest share)", label: "Line", format: asPercent, most: 100,
		series: []chartSeries{{"Meet (%)", blue}}}
	for _, s := range shares[:min(len(shares), chartRows)] {
		c.rows = append(c.rows, chartRow{r.Project.Symbols.Text(r.Network.Lines[s.line].Symbol), []float64{s.percent}})
	}
	return c
}
