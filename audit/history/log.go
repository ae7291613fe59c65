package history

import (
	"math"
	"slices"
	"strings"

	"dryarc/audit"
)

// LogRow is one line of one run in the log of the runs.
type LogRow struct {
	Run, AsOf, Line        string
	Whole                  bool // the run was of every line
	Structures             int
	Shortfalls, Advisories int
	Notes                  int
	New, Cleared           int // −1 where the run had nothing to compare with; what only lost a datum is not cleared
	Decided                int
	JudgedPercent          float64 // of what the project asks for, NaN where it asks for nothing
}

// LogRows are the rows of a run: one for each line that it judged, in the order of the lines, then one for each line that is gone from the inputs
// and had an exception that is cleared with it, of no structure.
func LogRows(r *audit.Result, c *Changes) []LogRow {
	rows := make([]LogRow, len(r.Lines))
	names := map[string]int{}
	for l := range r.Lines {
		line := &r.Network.Lines[l]
		at := audit.AtLine(l)
		name := r.KeyOf(0, &at, 0).Line
		names[name] = l
		rows[l] = LogRow{Run: r.Run.ID, AsOf: r.Run.AsOf, Line: name, Whole: len(r.Run.Lines) == 0, Structures: line.End - line.First,
			JudgedPercent: audit.JudgedPercent(r.Lines[l].Coverage...)}
		if c.Since == nil {
			rows[l].New, rows[l].Cleared = -1, -1
		}
	}
	for i := range r.Exceptions {
		row := &rows[r.Exceptions[i].Line]
		switch r.Exceptions[i].Verdict.Severity {
		case audit.Shortfall:
			row.Shortfalls++
		case audit.Advisory:
			row.Advisories++
		default:
			row.Notes++
		}
		if !c.Decided.Open(i) {
			row.Decided++
		}
		if c.Since != nil && c.Exceptions[i].State == New {
			row.New++
		}
	}
	became := map[string]string{}
	for _, renamed := range c.Renamed {
		if renamed.Structure == "" {
			became[renamed.FromLine] = renamed.Line
		}
	}
	for i := range c.Cleared {
		name := c.Cleared[i].Line
		if now, is := became[name]; is {
			name = now
		}
		if !c.Cleared[i].Why.clears() {
			continue
		}
		l, there := names[name]
		if !there {
			l, names[name] = len(rows), len(rows)
			rows = append(rows, LogRow{Run: r.Run.ID, AsOf: r.Run.AsOf, Line: name, Whole: len(r.Run.Lines) == 0, JudgedPercent: math.NaN()})
		}
		rows[l].Cleared++
	}
	gone := rows[len(r.Lines):]
	slices.SortFunc(gone, func(a, b LogRow) int { return audit.NaturalCompare(a.Line, b.Line) })
	judged := rows[:0]
	for l := range r.Lines {
		if r.Lines[l].Assessed {
			judged = append(judged, rows[l])
		}
	}
	return append(judged, gone...)
}

// Point is how all lines stood after the last run of one as-of.
type Point struct {
	AsOf                          string
	Shortfalls, Advisories, Notes int
	New, Cleared                  int // −1 where nothing was compared
	Decided                       int
}

// Trend gathers rows of a log, in their order; the points are in the order of their days. A line that runs left out since the last one of all lines counts as it stood then.
func Trend(rows []LogRow) (points []Point) {
	stood := map[string]LogRow{}
	for len(rows) > 0 {
		end, whole := 0, false
		for end < len(rows) && rows[end].AsOf == rows[0].AsOf {
			whole = whole || rows[end].Whole
			end++
		}
		if whole {
			clear(stood)
		}
		p := Point{AsOf: rows[0].AsOf, New: -1, Cleared: -1}
		for _, row := range rows[:end] {
			stood[row.Line] = row
			if row.New >= 0 && row.Cleared >= 0 {
				p.New, p.Cleared = max(p.New, 0)+row.New, max(p.Cleared, 0)+row.Cleared
			}
		}
		for _, row := range stood {
			p.Shortfalls += row.Shortfalls
			p.Advisories += row.Advisories
			p.Notes += row.Notes
			p.Decided += row.Decided
		}
		points = append(points, p)
		rows = rows[end:]
	}
	slices.SortStableFunc(points, func(a, b Point) int { return strings.Compare(a.AsOf, b.AsOf) })
	return points
}
