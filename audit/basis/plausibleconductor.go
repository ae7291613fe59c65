package basis

import "math"

// Bounds beyond which two figures of one conductor are taken for contradictory: no conductor that is strung has them together. All are choices of this
// program, from the densities of its metals in kg/dm³: aluminium 2.70, aluminium-clad steel 6.6, steel 7.8, copper 8.89 (IEC 61089, IEC 60888, IEC 61232 and
// IEC 60228, values from memory), a carbon core 1.6 to 1.9 and the polymer of a covering 0.9 to 1.4 (common practice). Published rows they are tested on: California General
// Order 95, tables 17 to 19, 21 and 23.
const (
	// LeastMetalDensity and MostMetalDensity bound mass per area of the wires, in kg/dm³: above two thirds of carbon core some 2.2, aluminium 2.7, and covered copper
	// with ten times its area in polymer 8.9 + 9·0.95 = 17.5 (computed). Circular mils for mm² make 1.4 of aluminium.
	LeastMetalDensity = 1.5
	MostMetalDensity  = 20.0
	// LeastCircleDensity and MostCircleDensity bound mass per area of the circle round the conductor, in kg/dm³: bundled cores and hollow conductors have 0.7 and more, stranded
	// aluminium 2.0, a solid copper wire 8.9, and a diameter of 5 mm that is rounded to a whole one has an area that is a fifth off (computed).
	LeastCircleDensity = 0.5
	MostCircleDensity  = 11.0
	// LeastFill and MostFill bound the area of the wires as a share of that circle: covered wires of some 50 mm² for 46 kV have 0.1 (common practice), round wires 0.75, shaped ones 0.95, a solid one 1, rounded a
	// fifth more. Circular mils for mm² make 1.5 of round wires.
	LeastFill = 0.05
	MostFill  = 1.2
	// MostBundledDensity is how much mass per area of that circle bundled cores and covered wires have at most, in kg/dm³: some 1.1 (common practice). Up to it the neutral may be all that bears, and
	// the area its own: MostBundledMetalDensity and LeastBundledFill are the bounds then. Three cores of 150 mm² round a neutral of 70 mm² have some 1.9 kg/m in 48 mm: 27 kg/dm³ and 0.04 (computed).
	MostBundledDensity      = 1.3
	MostBundledMetalDensity = 35.0
	LeastBundledFill        = 0.025
	// LeastStress and MostStress bound rated strength per area, in N/mm²: annealed aluminium has 59 (ASTM B609, value from memory), drawn 160 to 200, steel of the highest grades some 2000 (common practice).
	LeastStress = 50.0
	MostStress  = 2200.0
	// MostStrengthPerMass bounds rated strength per mass, in kN per kg/m: aluminium 60 to 70, its alloys 120, steel of 2000 N/mm² 257 (computed), carbon cores with their aluminium less.
	MostStrengthPerMass = 300.0
)

// CircleMM2 is the area of the circle round a conductor, in mm².
//
//	π·d²/4
//
// Source: geometry (computed).
func (c *Conductor) CircleMM2() float64 { return math.Pi / 4 * c.DiameterMM * c.DiameterMM }

// ConductorShare is one figure of a conductor over another, and what of it is believed. Value is NaN where one of the figures is unknown.
type ConductorShare struct {
	Of, By             ConductorFigure
	Value, Least, Most float64
	In                 string // what Value is and its unit
}

// ConductorFigure is one of the figures that are held against each other.
type ConductorFigure uint8

// The figures of a conductor that are held against each other.
const (
	ConductorMass ConductorFigure = iota
	ConductorDiameter
	ConductorStrength
	ConductorArea
)

// Contradicts tells whether the two figures cannot both be right. Unknown ones can.
func (s *ConductorShare) Contradicts() bool {
	return Contradicts(s.Value, s.Least) || Contradicts(s.Most, s.Value)
}

// ConductorShares returns the figures of a conductor that bound each other, two by two.
//
//	m/A, m/(π·d²/4), A/(π·d²/4), R/A, R/m
//
// Source: arithmetic (computed); the bounds are choices of this program, see LeastMetalDensity.
func ConductorShares(c *Conductor) [5]ConductorShare {
	circle := c.CircleMM2()
	mostMetal, leastFill := MostMetalDensity, LeastFill
	if density := 1000 * c.MassKgPerM / circle; density >= LeastCircleDensity && density <= MostBundledDensity {
		mostMetal, leastFill = MostBundledMetalDensity, LeastBundledFill
	}
	return [...]ConductorShare{
		{ConductorMass, ConductorArea, 1000 * c.MassKgPerM / c.AreaMM2, LeastMetalDensity, mostMetal, "kg/dm³ of its wires"},
		{ConductorMass, ConductorDiameter, 1000 * c.MassKgPerM / circle, LeastCircleDensity, MostCircleDensity, "kg/dm³ of its circle"},
		{ConductorArea, ConductorDiameter, c.AreaMM2 / circle, leastFill, MostFill, "of its circle"},
		{ConductorStrength, ConductorArea, 1000 * c.RatedStrengthKN / c.AreaMM2, LeastStress, MostStress, "N/mm² of the wires that bear"},
		{ConductorStrength, ConductorMass, c.RatedStrengthKN / c.MassKgPerM, 0, MostStrengthPerMass, "kN per kg/m"},
	}
}
