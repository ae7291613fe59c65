package audit

import (
	"fmt"
	"math"

	"dryarc/audit/basis"
)

// InsulatorFactor is the factor between the load on an insulator and the rating it needs, and the document it follows.
// There is no default: without a factor, strength is not assessed.
type InsulatorFactor struct {
	Basis           string  `json:"basis"`
	Tension         float64 `json:"tension"` // 0 where not stated, as for the rest
	Suspension      float64 `json:"suspension"`
	Cantilever      float64 `json:"cantilever"`
	OneStringBroken float64 `json:"one_string_broken"`
}

func (f *InsulatorFactor) String() string {
	return fmt.Sprintf("%s: tension %g, suspension %g, cantilever %g, one string broken %g", f.Basis, f.Tension, f.Suspension, f.Cantilever, f.OneStringBroken)
}

// TensionFrom says where the tension of a load case comes from.
type TensionFrom uint8

// The sources of a tension.
const (
	MaximumTension    TensionFrom = iota // of the Lines sheet
	ColdTension                          // of the Lines sheet
	EverydayTension                      // of the Lines sheet
	GivenTension                         // the case's own, kN per subconductor
	ShareOfStrength                      // a share of the conductor's rated strength
	CalculatedTension                    // by the change of state of the ruling span, from the everyday tension
)

var tensionFromNames = [...]string{"maximum", "cold", "everyday", "given", "share of rated strength", "calculated"}

func (t TensionFrom) String() string { return tensionFromNames[t] }

// MarshalText writes the word of a tension.
func (t TensionFrom) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// TensionWords are the spellings of a load case's tension.
func TensionWords() []Spelling[TensionFrom] {
	return []Spelling[TensionFrom]{{"maximum", MaximumTension}, {"cold", ColdTension}, {"everyday", EverydayTension}, {"calculated", CalculatedTension}}
}

// LoadCase is one weather in which the assemblies are loaded.
type LoadCase struct {
	Name              string      `json:"name"`
	WindPa            float64     `json:"wind_Pa"` // on the projected area of conductor and string
	IceMM             float64     `json:"ice_mm"`  // radial thickness
	IceDensityKgPerM3 float64     `json:"ice_density_kg_per_m3"`
	TemperatureC      Number      `json:"temperature_C"` // needed for a calculated tension
	From              TensionFrom `json:"tension"`
	TensionKN         float64     `json:"tension_kN"`  // of a given tension, per subconductor
	Share             float64     `json:"share"`       // of rated strength
	Factor            float64     `json:"load_factor"` // on the loads; 1 where the case states none
	FactorBasis       string      `json:"load_factor_basis"`
	Uplift            bool        `json:"uplift"` // this case judges tension-at-uplift, instead of the cold tension
}

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

// subconductors is the number per phase; one where the Lines sheet states none, which is listed as an assumption.
func (l *Line) subconductors() int {
	if l.Row.Subconductors < 1 {
		return 1
	}
	return l.Row.Subconductors
}

// WeightNPerM is the weight of the conductor with the ice of a case.
func (c *LoadCase) WeightNPerM(conductor *basis.Conductor) float64 {
	return conductor.IcedWeightNPerM(c.IceMM, c.IceDensityKgPerM3)
}

// OverIceMM is the diameter of the conductor with the ice of a case.
func (c *LoadCase) OverIceMM(conductor *basis.Conductor) float64 {
	return basis.IcedDiameterMM(conductor.DiameterMM, c.IceMM)
}

// tension finds the tension of a case in kN per subconductor. rulingM is the ruling span of the section, which only a calculated
// tension needs.
func (l *Line) tension(c *LoadCase, rulingM float64) (tensionKN float64, reason Reason) {
	stated := func(v float64, missing Reason) (float64, Reason) {
		switch {
		case !math.IsNaN(v):
			return v, NoReason
		case l.Row.Faulty.Has(CellTension):
			return v, FaultyField
		}
		return v, missing
	}
	switch c.From {
	case MaximumTension:
		return stated(l.Row.MaximumTensionKN, MaximumTensionUnknown)
	case ColdTension:
		return stated(l.Row.ColdTensionKN, ColdTensionUnknown)
	case EverydayTension:
		return stated(l.Row.EverydayTensionKN, EverydayTensionUnknown)
	case GivenTension:
		return c.TensionKN, NoReason
	case ShareOfStrength:
		if l.Conductor == nil {
			return math.NaN(), ConductorUnknown
		}
		return stated(c.Share*l.Conductor.RatedStrengthKN, StrengthUnknown)
	}
	return l.calculatedTension(c, rulingM)
}

func (l *Line) calculatedTension(c *LoadCase, rulingM float64) (float64, Reason) {
	switch {
	case l.Conductor == nil:
		return math.NaN(), ConductorUnknown
	case math.IsNaN(l.Row.EverydayTensionKN) || math.IsNaN(l.Row.EverydayC):
		return math.NaN(), EverydayTensionUnknown
	}
	known := basis.ConductorState{TensionKN: l.Row.EverydayTensionKN, WeightNPerM: l.Conductor.WeightNPerM(), TemperatureC: l.Row.EverydayC}
	weight := basis.Resultant(c.WeightNPerM(l.Conductor), basis.WindLoad(c.WindPa, c.OverIceMM(l.Conductor)))
	tension, err := basis.TensionAt(known, weight, c.TemperatureC.Value, rulingM, *l.Conductor)
	if err != nil {
		return math.NaN(), StateUnknown
	}
	return tension, NoReason
}

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
	if s.Line.Conductor == nil || math.IsNaN(s.Line.Conductor.MassKgPerM) || math.IsNaN(s.Line.Conductor.DiameterMM) {
		return load, ConductorUnknown
	}
	if s.Structure.cutOff() {
		return load, BeyondExtract
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
		return load, s.groundReason()
	}
	swing := s.swingCase(load)
	load.WindN, load.TurnN, load.VerticalN, load.ResultantN = swing.WindN(), swing.TurnN(), swing.VerticalN(), swing.ResultantN()
	return load, NoReason
}

func (s *Subject) groundReason() Reason {
	if s.Structure.Faulty.Has(CellGround) {
		return FaultyField
	}
	return GroundUnknown
}

// swingCase puts a load into the form of package basis. The weight and the wind of the string are those of all strings
// of the assembly; where the unit states neither they are left out, which gives the larger swing.
func (s *Subject) swingCase(load Load) basis.SwingCase {
	c := load.Case
	deviation := s.Structure.DeviationDeg
	if math.IsNaN(deviation) {
		deviation = 0
	}
	swing := basis.SwingCase{
		TensionKN: load.TensionKN, DeviationDeg: deviation, WindSpanM: load.WindSpanM, WeightSpanM: load.WeightSpanM,
		WindPa: c.WindPa, DiameterMM: c.OverIceMM(s.Line.Conductor), WeightNPerM: c.WeightNPerM(s.Line.Conductor),
		Subconductors: s.Line.subconductors(),
	}
	if s.Assembly != nil {
		swing.StringWeightN = zeroIfNone(s.Assembly.WeightN())
		swing.StringWindN = basis.WindForce(c.WindPa, zeroIfNone(s.Assembly.windAreaM2()))
	}
	return swing
}

// StringLoadsN are the weight of all strings of the assembly and the wind on them in a load case, in N; 0 where the unit
// states none.
func (s *Subject) StringLoadsN(load Load) (weightN, windN float64) {
	swing := s.swingCase(load)
	return swing.StringWeightN, swing.StringWindN
}

// SwingDeg is the larger swing of the two wind directions under a load, in degrees.
func (s *Subject) SwingDeg(load Load) float64 { return s.swingCase(load).AngleDeg() }

// WeightN is the weight of all strings of an assembly in N; NaN if unknown.
func (a *Assembly) WeightN() float64 {
	return basis.Gravity * a.sumOfUnits(func(u *basis.Unit) float64 { return u.WeightKg })
}

func (a *Assembly) windAreaM2() float64 {
	return a.sumOfUnits(func(u *basis.Unit) float64 { return u.WindAreaM2 })
}

// sumOfUnits adds a figure over all units of all strings; NaN if unknown.
func (a *Assembly) sumOfUnits(figure func(u *basis.Unit) float64) float64 {
	if a.Makeup == nil || a.Strings < 1 {
		return math.NaN()
	}
	sum := 0.0
	for _, part := range a.Makeup.Parts {
		n := a.count(part)
		if n < 0 {
			return math.NaN()
		}
		sum += float64(n) * figure(&a.units[part.Unit])
	}
	return sum * float64(a.Strings)
}

// RatingKN is the rating of one string: the row's, else that of its weakest unit; NaN if unknown.
func (a *Assembly) RatingKN() float64 {
	if !math.IsNaN(a.Direct.RatingKN) || a.Makeup == nil {
		return a.Direct.RatingKN
	}
	weakest := math.Inf(1)
	for _, part := range a.Makeup.Parts {
		rating := a.units[part.Unit].RatingKN
		if math.IsNaN(rating) {
			return rating
		}
		weakest = math.Min(weakest, rating)
	}
	return weakest
}

// Pull is the load on the worst loaded string of an assembly in one load case, with the factor that its rating needs.
type Pull struct {
	Load     Load
	KN       float64 // on one string or insulator, load factor and unequal sharing included
	Required float64 // rating needed, kN
	Factor   float64
	Across   bool // across the axis of a pin, post or shackle insulator
}

// Pull finds the load on one string of the subject's assembly in a load case, with some of its parallel strings broken.
func (s *Subject) Pull(c *LoadCase, broken int) (pull Pull, reason Reason) {
	load, reason := s.Load(c)
	if reason != NoReason {
		return pull, reason
	}
	a, factors := s.Assembly, &s.Criteria.InsulatorFactor
	pull.Load = load
	carrying := a.Strings - broken
	share := basis.SharingFactor(carrying, s.Criteria.UnequalSharing.Value)
	switch a.Duty {
	case Tension:
		pull.Factor = factors.Tension
		pull.KN = basis.TensionLoad(load.TensionKN, s.Line.subconductors(), carrying)
	case Suspension, Jumper:
		pull.Factor = factors.Suspension
		pull.KN = load.ResultantN / 1000 / float64(carrying)
		if a.Arrangement == VSet {
			if math.IsNaN(a.VAngleDeg) {
				return pull, VAngleUnknown
			}
			pull.KN = basis.VLegLoad(load.TransverseN(), load.VerticalN, a.VAngleDeg) / 1000 / float64(max(carrying/2, 1))
		}
	default:
		pull.Factor, pull.Across = factors.Cantilever, true
		pull.KN = math.Abs(load.TransverseN()) / 1000
	}
	if broken > 0 {
		pull.Factor = factors.OneStringBroken
	}
	if pull.Factor == 0 {
		return pull, FactorNotStated
	}
	pull.KN *= share * c.Factor
	pull.Required = basis.RequiredRating(pull.KN, pull.Factor)
	return pull, NoReason
}

// WorstPull is the load case in which the assembly needs the highest rating.
func (s *Subject) WorstPull(broken int) (worst Pull, reason Reason) {
	if len(s.Criteria.LoadCases) == 0 {
		return worst, NoLoadCases
	}
	for i := range s.Criteria.LoadCases {
		pull, reason := s.Pull(&s.Criteria.LoadCases[i], broken)
		if reason != NoReason {
			return worst, reason
		}
		if i == 0 || pull.Required > worst.Required {
			worst = pull
		}
	}
	return worst, NoReason
}

// WorstSwing is the load case in which a suspension string swings farthest.
func (s *Subject) WorstSwing() (worst Load, swingDeg float64, reason Reason) {
	if len(s.Criteria.LoadCases) == 0 {
		return worst, math.NaN(), NoLoadCases
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
