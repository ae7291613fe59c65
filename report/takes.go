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
	fit, remove []remedy.Count
	fewer       []remedy.Count // of fit: so many may hang there already
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
	t.fewer, t.less = addCounts(t.fewer, x.fewer), t.less+priceOf(r, x.fewer)
}

// part is a part of what a remedy takes.
type part struct {
	fit, remove, fewer []remedy.Count
	sets               int
	price              float64
	some               bool
}

// partsOf parts what a remedy takes for certain from what it takes only if a look shows that it is needed: all of it where the register has
// nothing, else that of the assemblies whose rows contradict each other, of which what is right may stay.
func partsOf(r *audit.Result, x *remedy.Remedy) (certain, afterLook part) {
	all := part{x.Fit, x.Remove, x.Fewer, x.Sets, x.Price, true}
	if x.Unregistered {
		return part{}, all
	}
	contrary := 0
	for i := range x.Changes {
		if c := &x.Changes[i]; c.RowsContradict {
			contrary++
			afterLook.fit, afterLook.remove, afterLook.fewer = addCounts(afterLook.fit, c.Fit), addCounts(afterLook.remove, c.Remove), addCounts(afterLook.fewer, c.Fewer)
			afterLook.sets, afterLook.some = afterLook.sets+c.Sets, true
		}
	}
	switch contrary {
	case 0:
		return all, part{}
	case len(x.Changes):
		return part{}, all
	}
	certain = part{lessCounts(x.Fit, afterLook.fit), lessCounts(x.Remove, afterLook.remove), lessCounts(x.Fewer, afterLook.fewer), x.Sets - afterLook.sets, 0, true}
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

// fitInWords says what is to be fitted, from how many to how many where that is not known; empty for nothing.
func (t *takes) fitInWords() string { return rangesInWords(t.fit, t.fewer) }

// removeInWords says what is to be removed, as far as it is known.
func (t *takes) removeInWords() string {
	return joinedLines(unitsInWords(t.remove), unknownRemoval(t.uncounted))
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

// fitRange is a count to fit as a cell: the figure, or from how many to how many in words.
func fitRange(fit, fewer int) any {
	if fewer <= 0 {
		return fit
	}
	return fmt.Sprintf("%s to %s", grouped(fit-fewer), grouped(fit))
}
