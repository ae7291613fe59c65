package report

import (
	"encoding/binary"
	"iter"
	"math"
	"slices"
)

// keptChanges are changes of a scenario as the outputs ask for them, one after the other: packed, each text once, since those of all scenarios
// are held until the last has been judged.
type keptChanges struct {
	count  int
	packed []byte
	texts  []string
}

// packing brings the fields of changes into bytes, or back out of them.
type packing struct {
	*keptChanges
	out   bool
	known map[string]int // places of texts, where they are brought in
}

// pack is the order of the fields.
func (p *packing) pack(c *scopeChange) {
	p.figures(&c.at[0], &c.at[1], &c.chainageM, &c.lengthM, &c.longerMM, &c.lowerMM, &c.price)
	p.numbers(&c.structureOf, &c.sets)
	p.strings(&c.line, &c.structure, &c.checks, &c.wrong, &c.hangs, &c.toHang, &c.fit, &c.remove, &c.ifLook, &c.open, &c.stoppedBy, &c.chosen)
	p.bools(&c.longerOpen, &c.lower, &c.mayStay, &c.sizesOpen)
	for _, sum := range [...]*takesSum{&c.certain, &c.afterLook} {
		p.numbers(&sum.units, &sum.sets, &sum.fewer)
		p.figures(&sum.price, &sum.less)
		p.bools(&sum.unpriced, &sum.atLeast)
	}
	for _, list := range [...]*[]string{&c.stops, &c.notKnown, &c.couplings} {
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

func (p *packing) figures(fields ...*float64) {
	for _, f := range fields {
		if p.out {
			*f, p.packed = math.Float64frombits(binary.LittleEndian.Uint64(p.packed)), p.packed[8:]
		} else {
			p.packed = binary.LittleEndian.AppendUint64(p.packed, math.Float64bits(*f))
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

// packChanges packs changes.
func packChanges(changes []scopeChange) keptChanges {
	p := packing{keptChanges: &keptChanges{count: len(changes)}, known: map[string]int{}}
	for i := range changes {
		p.pack(&changes[i])
	}
	p.packed, p.texts = slices.Clone(p.packed), slices.Clone(p.texts)
	return *p.keptChanges
}

// each yields the changes in their order, each with its place.
func (k *keptChanges) each() iter.Seq2[int, *scopeChange] {
	return func(yield func(int, *scopeChange) bool) {
		from := *k
		p := packing{keptChanges: &from, out: true}
		for i := range k.count {
			var c scopeChange
			if p.pack(&c); !yield(i, &c) {
				return
			}
		}
	}
}
