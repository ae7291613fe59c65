package history

import (
	"slices"

	"dryarc/audit"
)

// What tells assemblies apart at a structure are circuit, phase and side. A row that loses one of them is still the same assembly, and so
// is one that gains it: a blank may be whatever stood there.

// oneThere tells whether a row of now may be what an exception of before is of, where one of the two leaves blank what the other says.
func (c *comparison) oneThere(b *before, now audit.Key, at *audit.Location) bool {
	then := b.key
	blank := func(a, b string) bool { return a == b || a == "" || b == "" }
	circuit := blank(then.Circuit, now.Circuit) || audit.LeftCircuit(b.Blank) || c.r.Project.Assemblies.At(at.Assembly).Blank&audit.BlankCircuit != 0
	return circuit && c.r.MayBeOf(b.Blank, at) && then.Check == now.Check && then.Line == now.Line && then.Structure == now.Structure && blank(then.Phase, now.Phase) && blank(then.Side, now.Side)
}

// answersFor tells whether what has the key of an exception of before is what had it: the row of an earth wire that names no phase has the key
// of one that is all phases of a circuit.
func (c *comparison) answersFor(b *before, at *audit.Location) bool {
	return at.Assembly < 0 || b.key.Phase != "" || c.r.MayBeOf(b.Blank, at)
}

// matchBlanks finds the exceptions of assemblies whose rows leave blank what they said, or say what they left blank: where of the ones not
// found and the new ones at a structure each may be but the other.
func (c *comparison) matchBlanks() {
	type place struct{ check, line, structure string }
	then := map[place][]int{} // in open
	for k, i := range c.open {
		key := &c.before[i].key
		then[place{key.Check, key.Line, key.Structure}] = append(then[place{key.Check, key.Line, key.Structure}], k)
	}
	if len(then) == 0 {
		return
	}
	may := make([][]int, len(c.open)) // exceptions
	claims := map[int]int{}
	for i := range c.out.Exceptions {
		at := &c.r.Exceptions[i].Location
		if c.out.Exceptions[i].Was != nil || !c.ofAssembly(c.r.Exceptions[i].Check) {
			continue
		}
		key := c.r.Key(i)
		for _, k := range then[place{key.Check, key.Line, key.Structure}] {
			if c.oneThere(&c.before[c.open[k]], key, at) {
				may[k] = append(may[k], i)
				claims[i]++
			}
		}
	}
	open := c.open[:0:0]
	for k, i := range c.open {
		if len(may[k]) != 1 || claims[may[k][0]] != 1 {
			open = append(open, i)
			continue
		}
		c.found(may[k][0], c.before[i].Record)
	}
	c.open = open
}

func (c *comparison) ofAssembly(check int) bool { return c.r.Checks[check].Of == audit.OfAssembly }

// blanked answers an exception of an assembly of which no row has the key, by the rows at its structure that may be it: where its row is
// but one of these and no other is asked of it, or where it named less than they all do now. It tells whether there are any.
func (c *comparison) blanked(b *before, open []int, rows []told) bool {
	var may []told
	named, known := true, true // what it left blank is named now, and the circuit that it named is known now
	for _, row := range rows {
		if key := c.r.KeyOf(row.check, &row.at, 0); c.oneThere(b, key, &row.at) {
			may = append(may, row)
			known = known && (key.Circuit != "" || b.key.Circuit == "")
			named = named && (b.key.Phase == "" || b.key.Phase == key.Phase) && (b.key.Side == "" || b.key.Side == key.Side) && (b.key.Circuit == "" || b.key.Circuit == key.Circuit)
		}
	}
	if len(may) == 0 {
		return false
	}
	if c.circuitsNamed(b, may) {
		c.answeredByRows(b, may)
		return true
	}
	asked := 0
	for _, i := range open {
		if key := c.r.KeyOf(may[0].check, &may[0].at, 0); c.oneThere(&c.before[i], key, &may[0].at) {
			asked++
		}
	}
	short := slices.ContainsFunc(may, func(t told) bool { return t.verdict.Outcome == audit.FallsShort })
	if !short && known && (named || len(may) == 1 && asked == 1) {
		at := make([]audit.Location, len(may))
		for i := range may {
			at[i] = may[i].at
		}
		switch {
		case c.r.MayHoldMore(may[0].at.Line, may[0].at.Structure, at...):
			c.cleared(b, NotAssessed, mayHoldMore)
		case !c.r.Cover(at, b.key.Phase == "", b.key.Side == ""):
			c.cleared(b, NotAssessed, "it was of all phases or of any side, and the rows there now are not of all of them")
		default:
			c.answered(b, c.mostDoubtful(b, may))
		}
		return true
	}
	c.cleared(b, NotAssessed, whichRow)
	return true
}

// circuitsNamed tells whether an exception is of one of several rows that left their circuit blank, and all of these name theirs now and can
// be read.
func (c *comparison) circuitsNamed(b *before, may []told) bool {
	rows := map[int]bool{}
	for _, t := range may {
		rows[t.at.Assembly] = true
		if c.r.Project.Assemblies.At(t.at.Assembly).Blank&audit.BlankCircuit != 0 {
			return false
		}
	}
	then := audit.RowsAlikeThen(b.Stated)
	return audit.LeftCircuit(b.Blank) && then > 1 && len(rows) >= then && !c.r.MayHoldMore(may[0].at.Line, may[0].at.Structure)
}

// answeredByRows answers an exception by all rows that it may be of, but those whose exceptions are known to be others: they are told of
// by themselves. Where one that is not falls short it cannot be told.
func (c *comparison) answeredByRows(b *before, may []told) {
	rest := slices.DeleteFunc(slices.Clone(may), func(t told) bool { return t.verdict.Outcome == audit.FallsShort && c.isAnother(t) })
	switch {
	case len(rest) == 0:
		c.cleared(b, DoesNotApply, "the rows that it may be of name their circuits now, and what falls short of them was known by itself")
	case slices.ContainsFunc(rest, func(t told) bool { return t.verdict.Outcome == audit.FallsShort }):
		c.cleared(b, NotAssessed, whichRow)
	default:
		c.answered(b, c.mostDoubtful(b, rest))
	}
}

// whichRow stands beside what may be of several rows.
const whichRow = "which of the rows there it is cannot be told, since circuit, phase or side is blank or not known"

// isAnother tells whether what falls short of a row is an exception that was found to be another of before.
func (c *comparison) isAnother(t told) bool {
	i, there := c.exceptionOf(&t)
	return there && c.out.Exceptions[i].Was != nil
}

// exceptionOf is the exception of a row.
func (c *comparison) exceptionOf(t *told) (exception int, there bool) {
	if c.ofRows == nil {
		c.ofRows = map[[2]int]int{}
		for i := range c.r.Exceptions {
			if e := &c.r.Exceptions[i]; e.Assembly >= 0 {
				c.ofRows[[2]int{e.Check, e.Assembly}] = i
			}
		}
	}
	exception, there = c.ofRows[[2]int{t.check, t.at.Assembly}]
	return exception, there
}
