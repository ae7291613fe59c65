package audit

import (
	"cmp"
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

// lacksSwing is why the swing of a suspension string is not known in any load case.
func (s *Subject) lacksSwing() (lacks Reason) {
	if len(s.Criteria.LoadCases) == 0 {
		return LoadCasesMissing
	}
	for i := range s.Criteria.LoadCases {
		_, reason := s.Load(&s.Criteria.LoadCases[i])
		if reason == NoReason {
			return NoReason
		}
		lacks = cmp.Or(lacks, reason)
	}
	return lacks
}
