package report

import (
	"fmt"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"
)

// The chart of the page that shows the last runs, in its own units.
const (
	trendRuns   = 60
	trendWidth  = 300
	trendHeight = 70
)

// trendOf is the chart of the last runs; nil where there are not two.
func trendOf(points []history.Point) *trendFact {
	points = points[max(0, len(points)-trendRuns):]
	if len(points) < 2 {
		return nil
	}
	most := 1
	for _, p := range points {
		most = max(most, p.Shortfalls, p.Advisories)
	}
	course := func(count func(history.Point) int) string {
		var b strings.Builder
		for i, p := range points {
			fmt.Fprintf(&b, "%.1f,%.1f ", float64(trendWidth*i)/float64(len(points)-1), trendHeight*(1-float64(count(p))/float64(most)))
		}
		return strings.TrimSpace(b.String())
	}
	first, last := points[0], points[len(points)-1]
	return &trendFact{
		Shortfalls: course(func(p history.Point) int { return p.Shortfalls }), Advisories: course(func(p history.Point) int { return p.Advisories }),
		From: first.AsOf, To: last.AsOf,
		Words: fmt.Sprintf("%d runs. Shortfalls: %s, then %s; advisories: %s, then %s.", len(points), grouped(first.Shortfalls), grouped(last.Shortfalls),
			grouped(first.Advisories), grouped(last.Advisories)),
	}
}

// trendOfAllLines says of a run that left out lines that the trend is of more than it judged; empty for a run of all.
func trendOfAllLines(r *audit.Result) string {
	if scopeOf(r).lines == len(r.Lines) {
		return ""
	}
	return "From run to run all lines are counted; those that this run left out as they stood last."
}
