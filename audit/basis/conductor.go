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
// they are user inputs, see TypicalElasticity. A register adds to it and overrides it.
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

// TypicalElasticity returns the typical final modulus in GPa and linear expansion in 1e-6/K of a stranding, as a
// suggestion the user can override: 80 and 17.8 for 30/7, 69 and 19.3 for 54/7. Any other stranding is false.
//
// Source: tables of ACSR conductors (value from memory, M).
func TypicalElasticity(aluminium, steel int) (modulusGPa, expansion1e6PerK float64, ok bool) {
	switch [2]int{aluminium, steel} {
	case [2]int{30, 7}:
		return 80, 17.8, true
	case [2]int{54, 7}:
		return 69, 19.3, true
	}
	return math.NaN(), math.NaN(), false
}

// RatedStrength returns the rated tensile strength of an aluminium conductor with a steel core from the breaking loads
// of its wires, in kN.
//
//	RTS = 0.98·na·Fa + 0.85·ns·Fs
//
// na and ns are the numbers of aluminium and steel wires, Fa and Fs the breaking load of one wire in kN.
//
// Source: IS 398-2 (published strand loads).
func RatedStrength(aluminium, steel int, aluminiumWireKN, steelWireKN float64) float64 {
	return 0.98*float64(aluminium)*aluminiumWireKN + 0.85*float64(steel)*steelWireKN
}

// IceDensity is the density of glaze ice in kg/m³ (value from memory; a default the user can override).
const IceDensity = 900.0

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

// WindLoad returns the wind force per metre of conductor in N/m.
//
//	f = p·d
//
// p is the wind pressure on the projected area in Pa and d the diameter in mm, ice included where there is any.
//
// Source: statics (computed).
func WindLoad(pressurePa, diameterMM float64) float64 { return pressurePa * diameterMM / 1000 }
