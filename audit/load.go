package audit

import (
	"math"

	"dryarc/audit/basis"
)

// Load is what one load case does to a structure. Forces are those of all subconductors of a phase, in N.
type Load struct {
	Case          *LoadCase
	Side          Side             // whose span it is, NoSide where both spans load the assembly
	Conductor     *basis.Conductor // of the spans
	Subconductors int
	RulingM       float64 // ruling span of the section
	TensionKN     float64 // per subconductor, horizontal; of a tension assembly the pull where that is stated
	StatedKN      float64 // the pull at the support from which TensionKN was found; 0 where it was not
	ConstantM     float64 // catenary constant
	WindSpanM     float64
	WeightSpanM   float64
	WindN         float64 // across the line
	TurnN         float64 // pull of the turn, across the line
	VerticalN     float64 // less than 0 is uplift
	ResultantN    float64
}

// TransverseN is the load across the line, the wind blowing towards the inside of the turn.
func (l Load) TransverseN() float64 { return l.WindN + l.TurnN }

// Load finds what a load case does to the subject's structure by the spans on both sides. The tension is that of the longer
// ruling span where the two differ, as at tension structures.
func (s *Subject) Load(c *LoadCase) (load Load, reason Reason) {
	reason = s.loadBy(c, &load)
	return load, reason
}

// loadBy is Load into a place that the caller has.
func (s *Subject) loadBy(c *LoadCase, load *Load) (reason Reason) {
	if s.loads != nil {
		for i := range s.Criteria.LoadCases {
			if c == &s.Criteria.LoadCases[i] {
				if !s.loads.known[i] {
					s.loads.loads[i], s.loads.reasons[i] = s.findLoad(c)
					s.loads.known[i] = true
				}
				*load = s.loads.loads[i]
				return s.loads.reasons[i]
			}
		}
	}
	*load, reason = s.findLoad(c)
	return reason
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

// stretched finds the tension of a load case in the span on one side of the subject's structure, or in both.
func (s *Subject) stretched(c *LoadCase, side Side) (load Load, reason Reason) {
	w, reason := s.Line.wire(s.Structure, side)
	switch {
	case reason != NoReason:
		return load, reason
	case w.faulty.Has(CellWeight), w.faulty.Has(CellDiameter):
		return load, FaultyField
	case w.Conductor == nil || math.IsNaN(w.MassKgPerM) || math.IsNaN(w.DiameterMM):
		return load, ConductorUnknown
	case w.noBundle != NoReason:
		return load, w.noBundle
	case s.Structure.CutOff():
		return load, BeyondExtract
	}
	return s.Line.strung(s.Criteria, c, s.Structure, side, &w)
}

func (s *Subject) findLoad(c *LoadCase) (load Load, reason Reason) {
	load, reason = s.stretched(c, NoSide)
	if reason != NoReason {
		return load, reason
	}
	load.WindSpanM, load.WeightSpanM = s.Structure.WindSpanM, s.Structure.WeightSpanM(load.ConstantM)
	if math.IsNaN(load.WeightSpanM) {
		return load, s.groundReason()
	}
	if s.sigmas != 0 {
		load.WeightSpanM += float64(s.sigmas) * s.WeightSpanSigmaM(load.ConstantM)
	}
	if st := s.Structure; math.IsNaN(st.DeviationDeg) && !math.IsNaN(st.SpanBackM) && !math.IsNaN(st.SpanAheadM) {
		return load, DeviationUnknown // a turn between two spans pulls
	}
	swing := s.swingCase(load)
	load.WindN, load.TurnN, load.VerticalN, load.ResultantN = swing.WindN(), swing.TurnN(), swing.VerticalN(), swing.ResultantN()
	return load, NoReason
}

// groundReason is why it is not known how much conductor hangs on the structure.
func (s *Subject) groundReason() Reason {
	switch st := s.Structure; {
	case st.HeightsFaulty:
		return FaultyField
	case st.NoRiseBack == AttachmentUnknown || st.NoRiseAhead == AttachmentUnknown:
		return AttachmentUnknown
	case st.NoRiseBack.isNoGround():
		return st.NoRiseBack
	case st.NoRiseAhead.isNoGround():
		return st.NoRiseAhead
	case st.NoRiseBack == DatumsDiffer || st.NoRiseAhead == DatumsDiffer:
		return DatumsDiffer
	}
	return GroundUnknown
}
