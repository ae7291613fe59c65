package audit

import (
	"math"

	"dryarc/audit/basis"
)

// swingCase puts a load into the form of package basis. The weight and the wind of the string are those of all strings
// of the assembly. Neither may make the swing smaller than it is: a weight that is not stated is left out, a wind area is then the
// rectangle in which the unit stands. To leave both out would not do, since a light string may swing farther than the conductor.
func (s *Subject) swingCase(load Load) basis.SwingCase {
	c := load.Case
	deviation := s.Structure.DeviationDeg
	if math.IsNaN(deviation) {
		deviation = 0
	}
	swing := basis.SwingCase{
		TensionKN: load.TensionKN, DeviationDeg: deviation, WindSpanM: load.WindSpanM, WeightSpanM: load.WeightSpanM,
		WindPa: c.WindPa, DiameterMM: c.OverIceMM(load.Conductor), WeightNPerM: c.WeightNPerM(load.Conductor),
		Subconductors: load.Subconductors,
	}
	if s.Assembly != nil {
		swing.StringWeightN = s.Assembly.StringWeightN() * float64(max(s.Assembly.Strings, 0))
		swing.StringWindN = basis.WindForce(c.WindPa, zeroIfNone(s.Assembly.windAreaM2()))
	}
	return swing
}

// StringLoadsN are the weight of all strings of the assembly and the wind on them in a load case, in N, and the area that it meets; 0
// where it is not known.
func (s *Subject) StringLoadsN(load Load) (weightN, windN, areaM2 float64) {
	swing := s.swingCase(load)
	if s.Assembly != nil {
		areaM2 = zeroIfNone(s.Assembly.windAreaM2())
	}
	return swing.StringWeightN, swing.StringWindN, areaM2
}

// SwingDeg is the larger swing of the two wind directions under a load, in degrees.
func (s *Subject) SwingDeg(load Load) float64 { return s.swingCase(load).AngleDeg() }

// WorstSwing is the load case in which a suspension string swings farthest.
func (s *Subject) WorstSwing() (worst Load, swingDeg float64, reason Reason) {
	if len(s.Criteria.LoadCases) == 0 {
		return worst, math.NaN(), LoadCasesMissing
	}
	for i := range s.Criteria.LoadCases {
		load, reason := s.Load(&s.Criteria.LoadCases[i])
		if reason != NoReason {
			return worst, math.NaN(), reason
		}
		if swing := s.SwingDeg(load); i == 0 || swing > swingDeg {
			worst, swingDeg = load, swing
		}
	}
	return worst, swingDeg, NoReason
}
