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

// setProfile fills what loads need of the spans of a structure.
func (n *Network) setProfile(s *Structure, line *Line, i int) {
	s.WindSpanM = basis.WindSpan(zeroIfNone(s.SpanBackM), zeroIfNone(s.SpanAheadM))
	s.HeightBackM, s.HeightM, s.HeightAheadM = math.NaN(), n.heightM(line, i), math.NaN()
	s.RulingBackM, s.RulingAheadM = math.NaN(), n.structures[i].rulingAheadM
	own := line.Row.Conductor
	s.LineConductor = true
	if previous := n.previous(line, i); previous >= 0 {
		s.HeightBackM = n.heightM(line, previous)
		s.RulingBackM = n.structures[previous].rulingAheadM
		s.LineConductor = n.structures[previous].conductorAhead == own
		s.SlackBack = (n.row(previous).Role == Gantry) != (n.row(i).Role == Gantry)
	}
	if next := n.next(line, i); next >= 0 {
		s.HeightAheadM = n.heightM(line, next)
		s.LineConductor = s.LineConductor && n.structures[i].conductorAhead == own
		s.SlackAhead = (n.row(next).Role == Gantry) != (n.row(i).Role == Gantry)
	}
}

// cutOff tells whether one of the structure's spans lies beyond the extract.
func (s *Structure) cutOff() bool {
	return s.Continues && (math.IsNaN(s.SpanBackM) || math.IsNaN(s.SpanAheadM))
}

// WeightSpanM is the length of conductor that hangs on the structure, from low point to low point of exact catenaries on
// horizontal distances, in m. constantM is the catenary constant T/w. At a line end it is the share of the one span.
// NaN where a ground level is unknown or a span has no length.
func (s *Structure) WeightSpanM(constantM float64) float64 {
	switch noBack, noAhead := math.IsNaN(s.SpanBackM), math.IsNaN(s.SpanAheadM); {
	case noBack && noAhead:
		return 0
	case noBack:
		return basis.LowPoint(s.SpanAheadM, s.HeightAheadM-s.HeightM, constantM)
	case noAhead:
		return basis.FromLowPoint(s.SpanBackM, s.HeightM-s.HeightBackM, constantM)
	}
	return basis.WeightSpan(s.SpanBackM, s.SpanAheadM, s.HeightBackM, s.HeightM, s.HeightAheadM, constantM)
}

// coldConstantM is the catenary constant T/w of the cold case at a structure, in m.
func (l *Line) coldConstantM(criteria *Criteria, s *Structure) (constantM float64, reason Reason) {
	cold := LoadCase{From: ColdTension}
	for _, c := range criteria.LoadCases {
		if c.Uplift {
			cold = c
			break
		}
	}
	switch {
	case s.cutOff():
		return math.NaN(), BeyondExtract
	case l.Conductor == nil || math.IsNaN(l.Conductor.MassKgPerM):
		return math.NaN(), ConductorUnknown
	case !s.LineConductor:
		return math.NaN(), OtherConductor
	}
	tension, reason := l.tension(&cold, math.Max(zeroIfNone(s.RulingBackM), zeroIfNone(s.RulingAheadM)))
	return basis.CatenaryConstant(tension, cold.WeightNPerM(l.Conductor)), reason
}

// ColdConstantM is the catenary constant of the cold case at the subject's structure, in m; NaN if unknown.
func (s *Subject) ColdConstantM() float64 {
	constant, _ := s.Line.coldConstantM(s.Criteria, s.Structure)
	return constant
}

// deriveProfile finds the ruling span of every section and the weight span of every structure in the cold case: the
// load case that is marked for uplift, else the line's cold tension.
func (n *Network) deriveProfile(l int) {
	line := &n.Lines[l]
	held := n.HeldAsRegistered
	if line.RowsPlaced == 0 {
		held = func(i int) bool {
			s := n.Structure(l, i)
			return s.Role == Terminal || s.Role == Angle
		}
	}
	for _, section := range n.Sections(l, held) {
		for i, k := section.First, 0; k < section.Spans; k++ {
			n.structures[i].rulingAheadM = section.RulingM
			i = n.next(line, i)
		}
	}
	if line.Conductor == nil {
		return
	}
	for i := line.First; i < line.End; i++ {
		s := n.Structure(l, i)
		if constant, reason := line.coldConstantM(&n.Project.Criteria, &s); reason == NoReason {
			n.structures[i].weightSpanColdM = s.WeightSpanM(constant)
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
