package report

import (
	"encoding/binary"
	"iter"
	"math"
	"math/bits"
	"slices"

	"dryarc/audit"
)

// kept are values of a scenario as the outputs ask for them, one after the other: packed, each text once, since those of all scenarios are held
// until the last has been judged.
type kept[T any] struct {
	count  int
	packed pieces // none of which parts a value
	texts  []string
	fields func(*packing, *T)
	taking packing // until closed
}

// packing brings the fields of values into bytes, or back out of them.
type packing struct {
	packed []byte
	texts  []string
	out    bool
	known  map[string]int // places of texts, where they are brought in
}

// change is the order of the fields of a change.
func (p *packing) change(c *scopeChange) {
	p.figures(&c.at[0], &c.at[1], &c.chainageM, &c.lengthM, &c.longerMM, &c.lowerMM, &c.price)
	p.numbers(&c.structureOf, &c.sets)
	p.strings(&c.line, &c.structure, &c.checks, &c.wrong, &c.hangs, &c.toHang, &c.fit, &c.remove, &c.ifLook, &c.open, &c.stoppedBy, &c.chosen)
	p.bools(&c.longerOpen, &c.lower, &c.mayStay, &c.sizesOpen)
	for _, sum := range [...]*takesSum{&c.certain, &c.afterLook} {
		p.numbers(&sum.units, &sum.sets, &sum.fewer)
		p.figures(&sum.price, &sum.less)
		p.bools(&sum.unpriced, &sum.atLeast)
	}
	for _, list := range [...]*[]string{&c.stops, &c.notKnown, &c.couplings, &c.certain.noPrice, &c.afterLook.noPrice} {
		count := len(*list)
		p.numbers(&count)
		if p.out && count > 0 {
			*list = make([]string, count)
		}
		for i := range *list {
			p.strings(&(*list)[i])
		}
	}
	kinds := int(c.kinds)
	p.numbers(&kinds)
	c.kinds = workKinds(kinds)
}

// unknownIsShort makes the bits of figures, the sign last, short where one is not known, as they are where it is 0 or has few digits; put in
// again it gives them back.
func unknownIsShort(reversed uint64) uint64 {
	switch unknown := bits.ReverseBytes64(math.Float64bits(math.NaN())); reversed {
	case unknown:
		return 1
	case 1:
		return unknown
	}
	return reversed
}

func (p *packing) figures(fields ...*float64) {
	for _, f := range fields {
		if p.out {
			n, size := binary.Uvarint(p.packed)
			*f, p.packed = math.Float64frombits(bits.ReverseBytes64(unknownIsShort(n))), p.packed[size:]
		} else {
			p.packed = binary.AppendUvarint(p.packed, unknownIsShort(bits.ReverseBytes64(math.Float64bits(*f))))
		}
	}
}

func (p *packing) numbers(fields ...*int) {
	for _, f := range fields {
		if p.out {
			n, size := binary.Varint(p.packed)
			*f, p.packed = int(n), p.packed[size:]
		} else {
			p.packed = binary.AppendVarint(p.packed, int64(*f))
		}
	}
}

func (p *packing) bools(fields ...*bool) {
	for _, f := range fields {
		n := int(oneIf(*f))
		p.numbers(&n)
		*f = n == 1
	}
}

func (p *packing) strings(fields ...*string) {
	for _, f := range fields {
		at := 0
		if !p.out {
			known := false
			if at, known = p.known[*f]; !known {
				at = len(p.texts)
				p.known[*f], p.texts = at, append(p.texts, *f)
			}
		}
		p.numbers(&at)
		*f = p.texts[at]
	}
}

// coverage is that of a coverage, but what it says of today, which stays where it is, and the worst margin, which no output of scenarios tells.
func (p *packing) coverage(c *scopeCoverage) {
	p.numbers(&c.line, &c.check, &c.newly, &c.mended)
	p.bools(&c.beside)
	p.numbers(&c.then.Meets, &c.then.FallsShort, &c.then.NotApplicable, &c.then.NotAssessed, &c.then.NotAsked)
	count := len(c.then.Reasons)
	p.numbers(&count)
	if p.out {
		c.then.WorstMargin, c.then.Reasons = math.NaN(), make([]audit.ReasonCount, count)
	}
	for i := range c.then.Reasons {
		x := &c.then.Reasons[i]
		outcome, reason := int(x.Outcome), int(x.Reason)
		if p.numbers(&outcome, &reason, &x.Count); p.out {
			x.Outcome, x.Reason = audit.Outcome(outcome), audit.Reason(reason)
		}
	}
}

// newKept is ready to take values in; fields brings all of one in, or out, in one order.
func newKept[T any](fields func(*packing, *T)) kept[T] {
	return kept[T]{fields: fields, taking: packing{known: map[string]int{}}}
}

// add takes a value in.
func (k *kept[T]) add(v *T) {
	k.taking.packed = k.taking.packed[:0]
	k.fields(&k.taking, v)
	k.packed.keepWhole(k.taking.packed)
	k.count++
}

// close ends the adding.
func (k *kept[T]) close() {
	k.texts, k.taking = slices.Clone(k.taking.texts), packing{}
}

// each yields the values in their order, each with its place and as long as the next is not asked for.
func (k *kept[T]) each() iter.Seq2[int, *T] {
	return func(yield func(int, *T) bool) {
		p, next := packing{texts: k.texts, out: true}, 0
		var v T
		for i := range k.count {
			if len(p.packed) == 0 {
				p.packed, next = k.packed[next], next+1
			}
			v = *new(T)
			if k.fields(&p, &v); !yield(i, &v) {
				return
			}
		}
	}
}
