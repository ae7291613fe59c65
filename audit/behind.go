package audit

import "slices"

// FaultsBehind lists the faults for which something at a structure is not assessed, as far as they are listed: those in whose reason the reader
// is sent to the faults. For any other reason there are none.
func (r *Result) FaultsBehind(line, structure int, reason Reason) (found []Fault) {
	n, p := r.Network, r.Project
	var is func(f *Fault) bool
	switch reason {
	case FaultyField:
		is = n.isBehindField(&n.Lines[line], structure)
	case StructureMayBeMissing:
		var strays []Source
		l := &n.Lines[line]
		n.eachStrayPlace(func(on *Line, at int, row uint32) {
			if on == l && n.isBeside(l, at, structure) {
				strays = append(strays, p.Assemblies.At(int(row)).Source)
			}
		})
		is = func(f *Fault) bool {
			return f.Kind == NoSuchStructure && slices.ContainsFunc(strays, f.isOf) || n.isGapBeside(l, f, structure)
		}
	case NumberMisspelt:
		is = func(f *Fault) bool { return f.Kind == NoSuchStructure && f.Value == n.misspelt[structure] }
	case ManyStrayRows:
		name := n.Lines[line].Symbol
		of := map[Source]bool{}
		for i := range p.Assemblies.Len() {
			if row := p.Assemblies.At(i); row.Line == name {
				of[row.Source] = true
			}
		}
		is = func(f *Fault) bool { return f.Kind == NoSuchStructure && of[f.At] }
	default:
		return nil
	}
	for i := range p.Faults.list {
		if f := &p.Faults.list[i]; f.Weight == Matters && is(f) {
			found = append(found, *f)
		}
	}
	return found
}

// isOf tells whether a fault is of a row.
func (f *Fault) isOf(at Source) bool {
	return f.At == at || f.At.Table == at.Table && slices.Contains(f.Also, at.Row)
}

// isBeside tells whether a structure is one of the two that miss marks for a place.
func (n *Network) isBeside(line *Line, at, structure int) bool {
	for i := at - 1; i <= at; i++ {
		if on, ok := n.within(line, i); ok && on == structure {
			return true
		}
	}
	return false
}

// isGapBeside tells whether a fault is a span too long, or a gap of the sequence, for which suspect takes a structure for missing beside one.
func (n *Network) isGapBeside(line *Line, f *Fault, structure int) bool {
	if f.Kind != LongSpan && f.Kind != SequenceGap {
		return false
	}
	for i := structure - 1; i <= structure+1; i++ {
		on, ok := n.within(line, i)
		if !ok || n.Source(on) != f.At {
			continue
		}
		at := on
		if f.Kind == LongSpan {
			at++
		}
		return n.isBeside(line, at, structure)
	}
	return false
}
