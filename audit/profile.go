package audit

import (
	"math"

	"dryarc/audit/basis"
)

// resolveConductors finds for each line its conductor, and for each structure that of the span ahead.
func (n *Network) resolveConductors() {
	p := n.Project
	byName := map[Symbol]*basis.Conductor{}
	for i := range p.Conductors {
		if symbol, known := p.Symbols.Find(p.Conductors[i].Name); known {
			byName[symbol] = &p.Conductors[i]
		}
	}
	for l := range n.Lines {
		line := &n.Lines[l]
		line.Conductor = byName[line.Row.Conductor]
		current := line.Row.Conductor
		attachments := true
		for i := line.First; i < line.End; i++ {
			row := n.row(i)
			if row.ConductorAhead != 0 {
				current = row.ConductorAhead
			}
			n.structures[i].conductorAhead = current
			attachments = attachments && !math.IsNaN(row.AttachmentM)
		}
		line.AttachmentsKnown = attachments
	}
}

// heightM is the height of the conductor's attachment above sea level, or the ground level where the line does not
// state attachment heights for all its structures: the conductor is then taken to hang equally high everywhere.
func (n *Network) heightM(line *Line, i int) float64 {
	row := n.row(i)
	if line.AttachmentsKnown {
		return row.GroundM + row.AttachmentM
	}
	return row.GroundM
}

// WindSpan is half the spans on both sides of a structure, in m.
func (n *Network) WindSpan(line, i int) float64 {
	l := &n.Lines[line]
	back, ahead := n.spans(l, i)
	return (zeroIfNone(back) + zeroIfNone(ahead)) / 2
}

// WeightSpan is the length of conductor that hangs on a structure, from low point to low point of exact catenaries on
// horizontal distances, in m. constantM is the catenary constant T/w. At a line end it is the share of the one span.
// NaN where a ground level is unknown.
func (n *Network) WeightSpan(line, i int, constantM float64) float64 {
	l := &n.Lines[line]
	back, ahead := n.spans(l, i)
	here, weight := n.heightM(l, i), 0.0
	if !math.IsNaN(back) {
		weight += back - basis.LowPoint(back, here-n.heightM(l, n.previous(l, i)), constantM)
	}
	if !math.IsNaN(ahead) {
		weight += basis.LowPoint(ahead, n.heightM(l, n.next(l, i))-here, constantM)
	}
	return weight
}

func zeroIfNone(spanM float64) float64 {
	if math.IsNaN(spanM) {
		return 0
	}
	return spanM
}

// spans returns the spans behind and ahead of a structure, NaN where there is none.
func (n *Network) spans(line *Line, i int) (backM, aheadM float64) {
	backM = math.NaN()
	if previous := n.previous(line, i); previous >= 0 {
		backM = n.structures[previous].spanAheadM
	}
	return backM, n.structures[i].spanAheadM
}

// previous is the structure from which the span behind one comes, −1 where there is none.
func (n *Network) previous(line *Line, i int) int {
	switch {
	case i > line.First:
		if n.cableGap(line, i-1) {
			return nowhere
		}
		return i - 1
	case line.Closed:
		return line.End - 1
	}
	return nowhere
}

// coldConstantM is the catenary constant of the line in its cold case, NaN where conductor or tension is unknown.
func (l *Line) coldConstantM() float64 {
	if l.Conductor == nil {
		return math.NaN()
	}
	return l.Row.ColdTensionKN * 1000 / l.Conductor.WeightNPerM()
}

// deriveProfile finds the cold weight span of every structure whose spans carry the line's conductor.
func (n *Network) deriveProfile(l int) {
	line := &n.Lines[l]
	constant := line.coldConstantM()
	if math.IsNaN(constant) {
		return
	}
	for i := line.First; i < line.End; i++ {
		st := &n.structures[i]
		behind := st.conductorAhead
		if previous := n.previous(line, i); previous >= 0 {
			behind = n.structures[previous].conductorAhead
		}
		if st.conductorAhead == line.Row.Conductor && behind == line.Row.Conductor {
			st.weightSpanColdM = n.WeightSpan(l, i, constant)
		}
	}
}

// ChordSlope is the rise of the span ahead of a structure over its length, NaN where unknown.
func (n *Network) ChordSlope(line, i int) float64 {
	l := &n.Lines[line]
	next := n.next(l, i)
	if next < 0 {
		return math.NaN()
	}
	return basis.ChordSlope(n.structures[i].spanAheadM, n.heightM(l, next)-n.heightM(l, i))
}
