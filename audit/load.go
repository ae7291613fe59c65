package audit

import (
	"math"

	"dryarc/audit/basis"
)

// Load is what one load case does to a structure. Forces are those of all subconductors of a phase, in N.
type Load struct {
	Case        *LoadCase
	TensionKN   float64 // per subconductor
	WindSpanM   float64
	WeightSpanM float64
	WindN       float64 // across the line
	TurnN       float64 // pull of the turn, across the line
	VerticalN   float64 // less than 0 is uplift
	ResultantN  float64
}

// TransverseN is the load across the line, the wind blowing towards the inside of the turn.
func (l Load) TransverseN() float64 { return l.WindN + l.TurnN }

// Load finds what a load case does to the subject's structure. rulingM is taken from the longer side where the two
// differ, as at tension structures.
func (s *Subject) Load(c *LoadCase) (load Load, reason Reason) {
	if s.loads != nil {
		for i := range s.Criteria.LoadCases {
			if c == &s.Criteria.LoadCases[i] {
				return s.loads.at(i, func() (Load, Reason) { return s.findLoad(c) })
			}
		}
	}
	return s.findLoad(c)
}

// loadMemo keeps the loads of one structure, which all its assemblies share.
type loadMemo struct {
	known   []bool
	loads   []Load
	reasons []Reason
}

func (m *loadMemo) reset(cases int) {
	if len(m.known) != cases {
		*m = loadMemo{make([]bool, cases), make([]Load, cases), make([]Reason, cases)}
	}
	clear(m.known)
}

func (m *loadMemo) at(i int, find func() (Load, Reason)) (Load, Reason) {
	if !m.known[i] {
		m.loads[i], m.reasons[i] = find()
		m.known[i] = true
	}
	return m.loads[i], m.reasons[i]
}

func (s *Subject) findLoad(c *LoadCase) (load Load, reason Reason) {
	switch l := s.Line; {
	case l.Row.Faulty.Has(CellConductor), l.Row.Faulty.Has(CellStrings), l.ConductorFaulty.Has(CellWeight), l.ConductorFaulty.Has(CellDiameter):
		return load, FaultyField
	case l.Conductor == nil || math.IsNaN(l.Conductor.MassKgPerM) || math.IsNaN(l.Conductor.DiameterMM):
		return load, ConductorUnknown
	}
	if s.Line.Row.Subconductors < 1 && basis.MayHaveBundles(s.Line.HighestKV) {
		return load, SubconductorsNotStated
	}
	if s.Structure.CutOff() {
		return load, BeyondExtract
	}
	if s.Structure.ConductorFaulty {
		return load, FaultyField
	}
	if !s.Structure.LineConductor {
		return load, OtherConductor
	}
	tension, reason := s.Line.tension(c, math.Max(zeroIfNone(s.Structure.RulingBackM), zeroIfNone(s.Structure.RulingAheadM)))
	if reason != NoReason {
		return load, reason
	}
	weight := c.WeightNPerM(s.Line.Conductor)
	load = Load{Case: c, TensionKN: tension, WindSpanM: s.Structure.WindSpanM, WeightSpanM: s.Structure.WeightSpanM(basis.CatenaryConstant(tension, weight))}
	if math.IsNaN(load.WeightSpanM) {
		return load, s.groundReason() // its tension is known all the same
	}
	if st := s.Structure; math.IsNaN(st.DeviationDeg) && !math.IsNaN(st.SpanBackM) && !math.IsNaN(st.SpanAheadM) {
		return load, DeviationUnknown // a turn between two spans pulls
	}
	swing := s.swingCase(load)
	load.WindN, load.TurnN, load.VerticalN, load.ResultantN = swing.WindN(), swing.TurnN(), swing.VerticalN(), swing.ResultantN()
	return load, NoReason
}

func (s *Subject) groundReason() Reason {
	if s.Structure.HeightsFaulty {
		return FaultyField
	}
	return GroundUnknown
}
