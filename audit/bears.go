package audit

import "math"

// BearsDeg is the largest deviation that the suspension strings of a line bear: up to it, a string of the line's usual
// kind between two spans of the line's mean length on level ground stays within the swing limit and within its rating in
// every load case. A derived figure to set beside the deviation limit; NaN where a limit, a load case, the conductor, a tension, the
// pull on the string or its rating is unknown, unless what is known keeps it from bearing a straight run.
func (n *Network) BearsDeg(line int) float64 {
	l := &n.Lines[line]
	usual := n.usualSuspension(l)
	spans, length := 0, 0.0
	for i := l.First; i < l.End; i++ {
		if span := n.courses[i].spanAheadM; !math.IsNaN(span) {
			spans++
			length += span
		}
	}
	if usual == nil || spans == 0 {
		return math.NaN()
	}
	mean := length / float64(spans)
	structure := Structure{SpanBackM: mean, SpanAheadM: mean, WindSpanM: mean, RulingBackM: mean, RulingAheadM: mean, Room: l.Row.Room, RoomFaulty: l.Row.Faulty.Has(CellLength)}
	s := Subject{Criteria: n.Criteria(line), Line: l, Structure: &structure, Assembly: usual, Name: n.Project.Symbols.Text, CrossingsGiven: true}
	if s.Lacks(NeedsSwingLimit) != NoReason || s.Lacks(NeedsStringLoads) != NoReason {
		return math.NaN()
	}
	bears := func(deviationDeg float64) (ok, known bool) {
		structure.DeviationDeg = deviationDeg
		_, swing, allowed, reason := s.TightestSwing()
		if reason != NoReason {
			return false, false
		}
		if compare(swing, allowed.Deg) > 0 {
			return false, true
		}
		pull, reason := s.WorstPull(0)
		if reason != NoReason {
			return false, false
		}
		ok, known = pull.isBorneBy(usual.RatingKN())
		if ok && pull.Factor.Unsure != NoReason {
			most, _ := s.MostPull(0)
			if ok, _ := most.isBorneBy(usual.RatingKN()); !ok {
				return false, false
			}
		}
		return ok, known
	}
	if ok, known := bears(0); !known {
		return math.NaN()
	} else if !ok {
		return 0
	}
	low, high := 0.0, 90.0
	for range 60 {
		middle := (low + high) / 2
		switch ok, known := bears(middle); {
		case !known:
			return math.NaN()
		case ok:
			low = middle
		default:
			high = middle
		}
	}
	return low
}

// isBorneBy tells whether a string of a rating bears the pull. Of one that may be larger it is known only that a string does not.
func (p *Pull) isBorneBy(ratingKN float64) (ok, known bool) {
	switch {
	case math.IsNaN(ratingKN):
		return false, false
	case compare(ratingKN, p.Required) < 0:
		return false, true
	}
	return true, p.Unsure == NoReason
}

// usualSuspension is the suspension assembly of which a line has most, nil where it has none of known make.
func (n *Network) usualSuspension(l *Line) *Assembly {
	counts := map[makeupKey]*int{}
	var alike alikeStrings[*int] // nil for strings that are not counted
	var best uint32
	most := 0
	for i := l.First; i < l.End; i++ {
		for _, row := range n.AssemblyRows(i) {
			count, known := alike.of(&n.Project.Assemblies, row)
			if !known {
				*count = nil
				said := n.Project.Assemblies.saidOf(row)
				if key, known := n.keyOf(said); known && said.Duty == Suspension && said.Arrangement != VSet {
					if counts[key] == nil {
						counts[key] = new(int)
					}
					*count = counts[key]
				}
			}
			if *count == nil {
				continue
			}
			if **count++; **count > most {
				most, best = **count, row
			}
		}
	}
	if most == 0 {
		return nil
	}
	a := n.Assembly(best)
	return &a
}
