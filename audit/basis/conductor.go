package basis

import "math"

// Stranding is the make-up of an aluminium conductor with a steel core: numbers of wires and their diameters in mm. An
// unknown diameter is NaN.
type Stranding struct {
	Aluminium, Steel     int
	AluminiumMM, SteelMM float64
}

// AreaMM2 returns the cross-section of all wires in mm².
//
//	A = (π/4)·(na·da² + ns·ds²)
//
// Source: arithmetic (computed).
func (s Stranding) AreaMM2() float64 {
	return math.Pi / 4 *
		(float64(s.Aluminium)*s.AluminiumMM*s.AluminiumMM + float64(s.Steel)*s.SteelMM*s.SteelMM)
}

// Conductor is a conductor as a catalogue or a register describes it. A number that is not known is NaN.
type Conductor struct {
	Name             string
	Stranding        Stranding
	MassKgPerM       float64
	DiameterMM       float64
	RatedStrengthKN  float64
	AreaMM2          float64 // all wires
	ModulusGPa       float64 // final modulus, a user input
	Expansion1e6PerK float64 // linear expansion in 1e-6/K, a user input
	Edition          string  // which table the strength is from; editions differ
	Clause           Clause  // where mass and diameter come from
	StrengthClause   Clause  // where the rated strength comes from
}

// UnknownConductor returns a conductor of which nothing is known: every number is NaN.
func UnknownConductor() Conductor {
	nan := math.NaN()
	return Conductor{
		Stranding:  Stranding{AluminiumMM: nan, SteelMM: nan},
		MassKgPerM: nan, DiameterMM: nan, RatedStrengthKN: nan, AreaMM2: nan, ModulusGPa: nan, Expansion1e6PerK: nan,
	}
}

// WeightNPerM returns the weight of the bare conductor per metre.
//
//	w = mass · 9.80665
//
// The result is in N/m.
//
// Source: statics (computed).
func (c Conductor) WeightNPerM() float64 { return c.MassKgPerM * Gravity }

// IcedWeightNPerM returns the weight of the conductor and its sleeve of ice per metre, in N/m, see WeightNPerM and
// IceWeight.
//
// Source: statics (computed).
func (c Conductor) IcedWeightNPerM(thicknessMM, densityKgPerM3 float64) float64 {
	return c.WeightNPerM() + IceWeight(thicknessMM, c.DiameterMM, densityKgPerM3)
}

// conductorRow is one line of the conductor table.
type conductorRow struct {
	name                       string
	strands                    Stranding
	diameterMM, massKgPerM, kN float64
	edition                    string
	strength                   Clause
}

// conductorRows lists ACSR conductors: wires, diameter mm, mass kg/m, rated strength kN. Value from memory (H), except
// the strengths of Dog and Lynx, which were seen in print (published), and those of Panther, Zebra and Moose, which
// follow from published strand loads (IS 398-2). BS and IEC editions print 92.25, 131.9 and 161.2 kN for these three.
// The wire diameters of Drake are unknown here, and so is its area.
var conductorRows = [...]conductorRow{
	{"Dog", Stranding{6, 7, 4.72, 1.57}, 14.15, 0.394, 32.4, "", ConductorTableSeen},
	{"Wolf", Stranding{30, 7, 2.59, 2.59}, 18.13, 0.726, 67.3, "", ConductorTable},
	{"Lynx", Stranding{30, 7, 2.79, 2.79}, 19.53, 0.844, 78.0, "", ConductorTableSeen},
	{"Panther", Stranding{30, 7, 3.00, 3.00}, 21.00, 0.974, 89.67, "IS 398-2", StrandLoadsSource},
	{"Zebra", Stranding{54, 7, 3.18, 3.18}, 28.62, 1.621, 130.3, "IS 398-2", StrandLoadsSource},
	{"Moose", Stranding{54, 7, 3.53, 3.53}, 31.77, 2.00, 159.6, "IS 398-2", StrandLoadsSource},
	{"Drake", Stranding{26, 7, math.NaN(), math.NaN()}, 28.14, 1.628, 140.1, "", ConductorTable},
}

// Conductors returns the conductors known by trade name, as a slice of the caller's own. Modulus and expansion are NaN:
// they are user inputs. A register adds to it and overrides it.
//
// Source: tables of ACSR conductors (value from memory, H; strengths of Dog, Lynx, Panther, Zebra and Moose published).
func Conductors() []Conductor {
	conductors := make([]Conductor, 0, len(conductorRows))
	for _, r := range conductorRows {
		c := UnknownConductor()
		c.Name, c.Stranding, c.Edition = r.name, r.strands, r.edition
		c.MassKgPerM, c.DiameterMM, c.RatedStrengthKN, c.AreaMM2 = r.massKgPerM, r.diameterMM, r.kN, r.strands.AreaMM2()
		c.Clause, c.StrengthClause = ConductorTable, r.strength
		conductors = append(conductors, c)
	}
	return conductors
}

// IceWeight returns the weight of a sleeve of ice on a conductor in N/m.
//
//	w = π·ρ·t·(d + t)·g
//
// t is the radial thickness and d the diameter of the bare conductor, both in mm, ρ the density in kg/m³.
//
// Source: geometry (computed).
func IceWeight(thicknessMM, diameterMM, densityKgPerM3 float64) float64 {
	return math.Pi * densityKgPerM3 * thicknessMM * (diameterMM + thicknessMM) * 1e-6 * Gravity
}

// IcedDiameterMM returns the diameter of a conductor with its sleeve of ice in mm.
//
//	d + 2·t
//
// d is the diameter of the bare conductor and t the radial thickness of the ice, both in mm.
//
// Source: geometry (computed).
func IcedDiameterMM(diameterMM, thicknessMM float64) float64 { return diameterMM + 2*thicknessMM }

// WindLoad returns the wind force per metre of conductor in N/m.
//
//	f = p·d
//
// p is the wind pressure on the projected area in Pa and d the diameter in mm, ice included where there is any.
//
// Source: statics (computed).
func WindLoad(pressurePa, diameterMM float64) float64 { return pressurePa * diameterMM / 1000 }

// WindForce returns the wind force on a string in N.
//
//	F = p·A
//
// p is the wind pressure in Pa and A the area that the wind meets in m².
//
// Source: statics (computed).
func WindForce(pressurePa, areaM2 float64) float64 { return pressurePa * areaM2 }
