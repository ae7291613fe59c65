package report

import (
	"cmp"
	"slices"

	"dryarc/audit"
)

// pageChoice is what of the network the page holds.
type pageChoice struct {
	all        bool    // every structure and every line
	exceptions int     // the first so many of Result.Exceptions
	everyLine  bool    // lines are on the page whether structures of theirs are or not
	lines      []int   // of the network, in its order
	whole      int     // of those, lines with all of their structures
	structures [][]int // of each of those lines, in their order
	count      int     // of structures
	index      []int32 // of every structure of the network on the page, −1 for not there
	lineAt     []int32 // of every line of the network on the page, −1 for not there
}

// choose takes every line, and every structure where the limit allows it, else those on which the worst exceptions stand, the ends of
// their lines, what stands next to them, and then whole lines as far as there is room.
func (h *htmlPage) choose() {
	r := h.result
	keep := make([]bool, r.Network.StructureCount())
	h.chosen = pageChoice{all: len(keep) <= h.limits.structures, everyLine: true, exceptions: min(len(r.Exceptions), h.limits.exceptions)}
	if h.chosen.all {
		for i := range keep {
			keep[i] = true
		}
	} else {
		h.chooseExceptions(keep)
	}
	h.number(keep)
}

func (h *htmlPage) chooseExceptions(keep []bool) {
	r, count := h.result, 0
	mark := func(structures ...int) {
		for _, i := range structures {
			if i >= 0 && !keep[i] {
				keep[i] = true
				count++
			}
		}
	}
	for i := range r.Exceptions[:h.chosen.exceptions] {
		if count >= h.limits.structures {
			h.chosen.exceptions = i
			break
		}
		e := &r.Exceptions[i]
		line := &r.Network.Lines[e.Line]
		mark(line.First, line.End-1, e.Structure, e.To)
	}
	for i := range r.Exceptions[:h.chosen.exceptions] {
		e := &r.Exceptions[i]
		line := &r.Network.Lines[e.Line]
		for _, beside := range []int{e.Structure - 1, e.Structure + 1} {
			if e.Structure >= 0 && beside >= line.First && beside < line.End && count < h.limits.structures {
				mark(beside)
			}
		}
	}
	for _, l := range h.byDensity() {
		line, missing := &r.Network.Lines[l], 0
		for i := line.First; i < line.End; i++ {
			if !keep[i] {
				missing++
			}
		}
		if count+missing > h.limits.structures {
			continue
		}
		for i := line.First; i < line.End; i++ {
			mark(i)
		}
	}
}

// byDensity are the lines, those with most open exceptions a structure first.
func (h *htmlPage) byDensity() []int {
	r := h.result
	order := make([]int, len(r.Network.Lines))
	for l := range order {
		order[l] = l
	}
	per := func(l int) float64 {
		return float64(h.open[l].total()) / float64(r.Network.Lines[l].End-r.Network.Lines[l].First)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(per(b), per(a)) })
	return order
}

// number gives the kept structures and their lines the places they have on the page.
func (h *htmlPage) number(keep []bool) {
	c := &h.chosen
	c.index = slices.Repeat([]int32{-1}, len(keep))
	c.lineAt = slices.Repeat([]int32{-1}, len(h.result.Network.Lines))
	for l := range h.result.Network.Lines {
		line := &h.result.Network.Lines[l]
		var kept []int
		for i := line.First; i < line.End; i++ {
			if keep[i] {
				c.index[i] = int32(c.count)
				c.count++
				kept = append(kept, i)
			}
		}
		if len(kept) == line.End-line.First {
			c.whole++
		}
		if len(kept) > 0 || c.everyLine {
			c.lineAt[l] = int32(len(c.lines))
			c.lines, c.structures = append(c.lines, l), append(c.structures, kept)
		}
	}
}

// at is the index of a structure on the page, −1 for none.
func (c *pageChoice) at(structure int) int32 {
	if structure < 0 {
		return -1
	}
	return c.index[structure]
}

// findingsShown are the findings of the exceptions that the page holds, worst first; what was reported done before the rest.
func (h *htmlPage) findingsShown() []audit.Finding {
	held := make([]int, h.chosen.exceptions)
	for i := range held {
		held[i] = i
	}
	return decidedFindings(h.result, h.changes.Decided, h.result.FindingsOf(held))
}

// findingRecord is the worst exception of a finding with the phases and sides of all.
func findingRecord(r *audit.Result, f *audit.Finding) (*audit.Exception, record) {
	e := &r.Exceptions[f.Exceptions[0]]
	rec := recordOf(r, e)
	rec.Phase, rec.Side, rec.Reason = f.Phases, f.Sides, f.Sentence(r)
	return e, rec
}
