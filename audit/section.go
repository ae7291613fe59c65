package audit

import (
	"math"

	"dryarc/audit/basis"
)

// Section is the run of spans between two tension structures.
type Section struct {
	First, Last int     // structures of the network
	LengthM     float64 // sum of the spans
	Spans       int
	RulingM     float64 // ruling span, √(ΣL³/ΣL)
	Circuit     Symbol  // whose section it is; 0 where all circuits of the line have the same sections
	// Unsure is why a structure within it may hold the conductor after all, NoReason where none may. SurelyM is the longest
	// part between such structures.
	Unsure  Reason
	SurelyM float64
	Faulty  bool // it may end elsewhere: a structure near by is left out, or what one declares cannot be read
}

// Sections cuts a line at its ends, at cable gaps and at the structures that hold the conductor in tension.
func (n *Network) Sections(line int, holds func(structure int) bool) []Section {
	l := &n.Lines[line]
	var sections []Section
	spans := make([]float64, 0, l.End-l.First)
	first := l.First
	cut := func(last int) {
		if len(spans) > 0 {
			s := Section{First: first, Last: last, Spans: len(spans), RulingM: basis.RulingSpan(spans)}
			for _, span := range spans {
				s.LengthM += span
			}
			for i := first; i != last && !s.Faulty; {
				s.Faulty = n.structures[i].is(courseFaulty) || n.said(i).Faulty.Has(CellRole)
				if i = n.next(l, i); i < 0 {
					break
				}
			}
			s.Faulty = s.Faulty || n.structures[last].is(courseFaulty) || n.said(last).Faulty.Has(CellRole)
			sections = append(sections, s)
		}
		first, spans = last, spans[:0]
	}
	for i := l.First; i < l.End; i++ {
		if i > l.First && holds(i) {
			cut(i)
		}
		next := n.next(l, i)
		if next < 0 {
			cut(i)
			first = i + 1
			continue
		}
		spans = append(spans, n.courses[i].spanAheadM)
		if next < i {
			cut(next)
		}
	}
	return sections
}

// Along lists the structures of a section in the order of the line, both ends included.
func (n *Network) Along(line int, s *Section) []int {
	structures := []int{s.First}
	for i := s.First; len(structures) <= s.Spans; structures = append(structures, i) {
		if i = n.next(&n.Lines[line], i); i < 0 {
			break
		}
	}
	return structures
}

// HeldAsRequired tells of structures of a line, one at a time, whether they require tension.
func (n *Network) HeldAsRequired(line int) func(structure int) bool {
	var s Structure // reused
	return func(structure int) bool {
		s = n.Structure(line, structure)
		duty, _ := n.Requires(&s)
		return duty == Tension
	}
}

// Longest returns the longest of some sections, the zero Section of none.
func Longest(sections []Section) (longest Section) {
	for _, s := range sections {
		if s.LengthM > longest.LengthM || math.IsNaN(longest.LengthM) {
			longest = s
		}
	}
	return longest
}

// heldInTension tells where the sections of a line end: as registered, or by its turns where the register has no row of it.
func (n *Network) heldInTension(l int) func(structure int) bool {
	if line := &n.Lines[l]; line.RowsPlaced > 0 {
		return func(i int) bool { return n.cutAsRegistered(line, i) }
	}
	return func(i int) bool {
		s := n.Structure(l, i)
		return s.Role == Terminal || s.Role == Angle
	}
}

// deriveProfile finds the ruling span of every section and the weight span of every structure in the cold case: the
// load case that is marked for uplift, else the line's cold tension.
func (n *Network) deriveProfile(l int) {
	line := &n.Lines[l]
	for _, section := range n.Sections(l, n.heldInTension(l)) {
		for i, k := section.First, 0; k < section.Spans; k++ {
			n.profiles[i].rulingAheadM = section.RulingM
			i = n.next(line, i)
		}
	}
	if !n.carriesKnown(line) {
		return
	}
	for i := line.First; i < line.End; i++ {
		s := n.Structure(l, i)
		if load, reason := line.cold(n.criteriaOf(line), &s); reason == NoReason {
			n.profiles[i].weightSpanColdM = load.WeightSpanM
		}
	}
}
