package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/remedy"
)

// takes is what work takes.
type takes struct {
	fit, remove []remedy.Count // the most
	fewer       []remedy.Count // of fit: by so many it may be less, since they hang there already or are sound
	removeFewer []remedy.Count // of remove: by so many it may be less
	uncounted   []string       // where what is to be removed is not known
	sets        int
	price       float64 // NaN where a unit to fit has no price, or nothing is to be fitted
	less        float64 // of price: that of fewer
	some        bool    // whether there is any work
}

func (t *takes) add(r *audit.Result, x *part) {
	if !x.some {
		return
	}
	if !t.some {
		t.some, t.price = true, 0
	}
	t.fit, t.remove, t.sets, t.price = addCounts(t.fit, x.fit), addCounts(t.remove, x.remove), t.sets+x.sets, t.price+x.price
	t.fewer, t.removeFewer, t.less = addCounts(t.fewer, x.fewer), addCounts(t.removeFewer, x.removeFewer), t.less+priceOf(r, x.fewer)
}

// part is a part of what a remedy takes: the most, and by how much less it may be.
type part struct {
	fit, remove, fewer, removeFewer []remedy.Count
	sets                            int
	price                           float64
	some                            bool
}

// wholeOf is all that a remedy takes. What there may be more of than it counts stands in the most, and in how much less it may be.
func wholeOf(r *audit.Result, x *remedy.Remedy) part {
	return part{withMore(x.Fit, x.More), withMore(x.Remove, x.More), withMore(x.Fewer, x.More), x.More, x.Sets, x.Price + priceOf(r, x.More), true}
}

// withMore are counts with others; neither list changes.
func withMore(counts, more []remedy.Count) []remedy.Count {
	return addCounts(slices.Clone(counts), more)
}

// partsOf parts what a remedy takes for certain from what it takes only if a look shows that it is needed: all of it where the register has
// nothing, else that of the assemblies whose rows contradict each other, of which what is right may stay.
func partsOf(r *audit.Result, x *remedy.Remedy) (certain, afterLook part) {
	all := wholeOf(r, x)
	if x.Unregistered {
		return part{}, all
	}
	contrary := 0
	for i := range x.Changes {
		if c := &x.Changes[i]; c.RowsContradict {
			contrary++
			afterLook.fit, afterLook.remove = addCounts(addCounts(afterLook.fit, c.Fit), c.More), addCounts(addCounts(afterLook.remove, c.Remove), c.More)
			afterLook.fewer, afterLook.removeFewer = addCounts(addCounts(afterLook.fewer, c.Fewer), c.More), addCounts(afterLook.removeFewer, c.More)
			afterLook.sets, afterLook.some = afterLook.sets+c.Sets, true
		}
	}
	switch contrary {
	case 0:
		return all, part{}
	case len(x.Changes):
		return part{}, all
	}
	certain = part{lessCounts(all.fit, afterLook.fit), lessCounts(all.remove, afterLook.remove), lessCounts(all.fewer, afterLook.fewer),
		lessCounts(all.removeFewer, afterLook.removeFewer), all.sets - afterLook.sets, 0, true}
	certain.price, afterLook.price = priceOf(r, certain.fit), priceOf(r, afterLook.fit)
	return certain, afterLook
}

// lessCounts are counts without others.
func lessCounts(of, others []remedy.Count) (left []remedy.Count) {
	for _, c := range of {
		if c.Count -= countOf(others, c.Unit); c.Count > 0 {
			left = append(left, c)
		}
	}
	return left
}

// leastOf are counts of which there may be fewer, as few as they may be.
func leastOf(counts, fewer []remedy.Count) []remedy.Count {
	least := slices.Clone(counts)
	for i := range least {
		least[i].Count -= countOf(fewer, least[i].Unit)
	}
	return least
}

// fitInWords says what is to be fitted, from how many to how many where that is not known; empty for nothing.
func (t *takes) fitInWords() string { return rangesInWords(t.fit, t.fewer) }

// removeInWords says what is to be removed, as far as it is known.
func (t *takes) removeInWords() string {
	return joinedLines(rangesInWords(t.remove, t.removeFewer), unknownRemoval(t.uncounted))
}

// unknownRemoval says where what is to be removed is not known, empty for nowhere.
func unknownRemoval(uncounted []string) string {
	if len(uncounted) == 0 {
		return ""
	}
	return "not known: " + strings.Join(uncounted, "; ")
}

// inWords says what work takes, empty for nothing.
func (t *takes) inWords() string {
	words := []string{t.fitInWords()}
	if t.sets > 0 {
		words = append(words, counted(t.sets, "set", "sets"))
	}
	if !math.IsNaN(t.price) {
		words = append(words, "price "+priceRange(t.price, t.less))
	}
	return joinedLines(words...)
}

// addCounts adds counts to others, which stay in the order of their names.
func addCounts(to, counts []remedy.Count) []remedy.Count {
	for _, c := range counts {
		i, known := slices.BinarySearchFunc(to, c.Unit, func(t remedy.Count, name string) int { return strings.Compare(t.Unit, name) })
		if !known {
			to = slices.Insert(to, i, remedy.Count{Unit: c.Unit})
		}
		to[i].Count += c.Count
	}
	return to
}

// costInWords says what the units to fit cost, for the sheet of a job.
func (t *takes) costInWords() string {
	switch {
	case len(t.fit) == 0:
		return "none"
	case unknown(t.price):
		return "not known"
	}
	return priceRange(t.price, t.less)
}

// countRange is a count as a cell: the figure, or from how many to how many in words.
func countRange(most, fewer int) any {
	if fewer <= 0 {
		return most
	}
	return fmt.Sprintf("%s to %s", grouped(most-fewer), grouped(most))
}
