package audit

import (
	"fmt"
	"slices"

	"dryarc/geo"

	"github.com/paulmach/orb"
)

// leastCrossingDeg is the least angle at which spans of two lines are said to cross; at less they run along each other (a choice of this program).
const leastCrossingDeg = 5

// asksWhatCrosses tells whether criteria ask what spans cross, but for their length.
func (c *Criteria) asksWhatCrosses() bool {
	return c.InsulatorFactor.asksCrossings() || slices.ContainsFunc(c.CrossingRules, func(r CrossingRule) bool { return r.Kind != LongSpanKind })
}

// linesThatCross says how many spans of the assessed lines cross one of another line of the inputs, and nothing that the layer of crossings has; empty where there are
// none, or nobody asks. Nothing is asked of them for that, since only the layer says what a crossing is of.
func (r *Result) linesThatCross() string {
	n := r.Network
	asked := make([]bool, len(n.Lines))
	for l := range n.Lines {
		asked[l] = r.Lines[l].Assessed && r.criteria(l).asksWhatCrosses()
	}
	if !r.Project.SaysWhatCrosses() || !slices.Contains(asked, true) {
		return ""
	}
	lineOf := n.lineOfStructures()
	pairs := geo.Crossings(len(n.structures), leastCrossingDeg, func(i int) (from, to orb.Point, line int32, ok bool) {
		line = lineOf[i]
		next := n.next(&n.Lines[line], i)
		if next < 0 || next == i {
			return from, to, line, false
		}
		return n.Position(i), n.Position(next), line, true
	})
	crossing := map[int]bool{}
	first := [2]int{nowhere, nowhere}
	note := func(span, other int) {
		if !asked[lineOf[span]] || n.crossedBy(span).crossed != 0 {
			return
		}
		if crossing[span] = true; first[0] < 0 || span < first[0] {
			first = [2]int{span, other}
		}
	}
	for _, p := range pairs {
		note(p[0], p[1])
		note(p[1], p[0])
	}
	if len(crossing) == 0 {
		return ""
	}
	says := func(span int) string {
		line := &n.Lines[lineOf[span]]
		return fmt.Sprintf("%s to %s of line %q", n.Number(span), n.Number(n.next(line, span)), r.Project.Symbols.Text(line.Symbol))
	}
	if len(crossing) == 1 {
		return fmt.Sprintf("1 span crosses a span of another line of the inputs and nothing that the layer of crossings has, that from %s, which crosses the one from %s; for that nothing is asked of it, since only the layer says what spans cross.",
			says(first[0]), says(first[1]))
	}
	return fmt.Sprintf("%d spans cross a span of another line of the inputs and nothing that the layer of crossings has, such as that from %s, which crosses the one from %s; for that nothing is asked of them, since only the layer says what spans cross.",
		len(crossing), says(first[0]), says(first[1]))
}
