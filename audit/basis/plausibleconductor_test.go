package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// publishedConductors are rows of California General Order 95, appendix B (published): diameter in, area in², strength lbf, mass lb/ft.
var publishedConductors = map[string][4]float64{
	"table 17, solid copper 0.165 in":           {0.165, 0.02138, 1326, 0.0825},
	"table 17, solid copper 14":                 {0.080, 0.00503, 330, 0.0194},
	"table 18, stranded copper 500":             {0.813, 0.3927, 22510, 1.544},
	"table 18, three wires of copper 4":         {0.254, 0.0328, 1564, 0.1276},
	"table 19, covered copper 1000":             {1.430, 0.7854, 45030, 3.456},
	"table 19, covered copper 4":                {0.344, 0.0328, 1940, 0.1550},
	"table 21, solid steel 4":                   {0.238, 0.0445, 2433, 0.1530},
	"table 21, iron 14":                         {0.083, 0.0054, 247, 0.0190},
	"table 23, aluminium and steel 795, 30/19":  {1.140, 0.7668, 38400, 1.234},
	"table 23, aluminium and steel 397.5, 26/7": {0.783, 0.3630, 16190, 0.5464},
	"table 23, aluminium and steel 4, 7/1":      {0.257, 0.0411, 2288, 0.0674},
	"table 23, aluminium and steel 6, 6/1":      {0.198, 0.0240, 1170, 0.0362},
}

// conductorsOfEverySort are the catalogue, the published rows and sizes of the sorts that no published row here shows: round figures of what their metals have
// in their circle (densities: see LeastMetalDensity; common practice).
func conductorsOfEverySort() map[string]Conductor {
	sorts := map[string]Conductor{}
	for _, c := range Conductors() {
		sorts[c.Name] = c
	}
	of := func(kgPerM, mm, kN, mm2 float64) Conductor {
		c := UnknownConductor()
		c.MassKgPerM, c.DiameterMM, c.RatedStrengthKN, c.AreaMM2 = kgPerM, mm, kN, mm2
		return c
	}
	for name, row := range publishedConductors {
		const inch, pound, poundForce = 25.4, 0.45359237, 4.4482216e-3 // mm, kg, kN, by definition
		sorts[name] = of(row[3]*pound/(12*inch/1000), row[0]*inch, row[2]*poundForce, row[1]*inch*inch)
	}
	sorts["aluminium, 7 × 3 mm"] = of(0.135, 9, 8.4, 49.5)
	sorts["annealed aluminium, 19 × 3 mm"] = of(0.370, 15, 8.0, 134.3)
	sorts["shaped aluminium on a carbon core of 71 mm²"] = of(1.56, 28.1, 183, 591)
	sorts["steel of 1960 N/mm², 7 × 3 mm"] = of(0.392, 9, 97, 49.5)
	sorts["aluminium-clad steel, 7 × 3 mm"] = of(0.330, 9, 63, 49.5)
	sorts["soft copper, 7 × 2.5 mm"] = of(0.312, 7.5, 7, 34.4)
	sorts["covered aluminium of 53 mm² for 46 kV"] = of(0.6, 27, 8, 53)
	sorts["hollow copper"] = of(2.27, 27.4, 80, 253)
	sorts["two bundled cores of 16 mm²"] = of(0.14, 15.5, 5, 32)
	sorts["three cores of 150 mm² round a neutral of 70 mm², which bears"] = of(1.9, 48, 20.5, 70)
	sorts["three cores of 70 mm² round a neutral of 54.6 mm², which bears"] = of(1.05, 34, 16.6, 54.6)
	return sorts
}

func TestEverySortOfConductorIsPlausible(t *testing.T) {
	for name, c := range conductorsOfEverySort() {
		for _, share := range ConductorShares(&c) {
			require.False(t, share.Contradicts(), "%s: %g %s", name, share.Value, share.In)
		}
	}
	unknown := UnknownConductor()
	for _, share := range ConductorShares(&unknown) {
		require.True(t, math.IsNaN(share.Value))
		require.False(t, share.Contradicts())
	}
}

// Of every conductor of the catalogue a figure of ten times or a tenth, or an area in circular mils, contradicts another.
func TestSlipsOfAConductorAreImplausible(t *testing.T) {
	for _, c := range Conductors() {
		if math.IsNaN(c.AreaMM2) {
			continue
		}
		for name, slip := range map[string]func(c *Conductor){
			"mass ten times":          func(c *Conductor) { c.MassKgPerM *= 10 },
			"mass a tenth":            func(c *Conductor) { c.MassKgPerM /= 10 },
			"diameter ten times":      func(c *Conductor) { c.DiameterMM *= 10 },
			"diameter a tenth":        func(c *Conductor) { c.DiameterMM /= 10 },
			"area ten times":          func(c *Conductor) { c.AreaMM2 *= 10 },
			"area a tenth":            func(c *Conductor) { c.AreaMM2 /= 10 },
			"area in circular mils":   func(c *Conductor) { c.AreaMM2 *= 1.97353 }, // thousands of them in a mm² (computed)
			"strength ten times":      func(c *Conductor) { c.RatedStrengthKN *= 10 },
			"strength a tenth":        func(c *Conductor) { c.RatedStrengthKN /= 10 },
			"mass ten times, no area": func(c *Conductor) { c.MassKgPerM, c.AreaMM2 = 10*c.MassKgPerM, math.NaN() },
			"mass a tenth, no area":   func(c *Conductor) { c.MassKgPerM, c.AreaMM2 = c.MassKgPerM/10, math.NaN() },
			"strength ten times, no area": func(c *Conductor) {
				c.RatedStrengthKN, c.AreaMM2 = 10*c.RatedStrengthKN, math.NaN()
			},
		} {
			slipped := c
			slip(&slipped)
			found := false
			for _, share := range ConductorShares(&slipped) {
				found = found || share.Contradicts()
			}
			require.True(t, found, "%s: %s", c.Name, name)
		}
	}
}
