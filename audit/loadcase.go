package audit

import (
	"fmt"
	"strings"

	"dryarc/audit/basis"
)

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

// MostWindPa is the largest wind pressure that a load case may state.
const MostWindPa = 10_000

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
	Kind              string      `json:"kind,omitempty"` // what kind of weather, in the project's own word, by which factors may go
	Uplift            bool        `json:"uplift"`         // this case judges tension-at-uplift, instead of the cold tension
	ProjectLine       int         `json:"-"`              // of the project file, where its tension stands
}

// String is a load case with its figures, as it stands in a list.
func (c *LoadCase) String() string { return c.Name + " (" + c.Figures() + ")" }

// Figures says what a load case states beside its name.
func (c *LoadCase) Figures() string {
	var parts []string
	part := func(is bool, format string, values ...any) {
		if is {
			parts = append(parts, fmt.Sprintf(format, values...))
		}
	}
	part(c.WindPa > 0, "wind %g Pa", c.WindPa)
	part(c.IceMM > 0, "ice %g mm of %g kg/m³", c.IceMM, c.IceDensityKgPerM3)
	part(c.TemperatureC.Known(), "%g °C", c.TemperatureC.Value)
	switch c.From {
	case GivenTension:
		part(true, "tension %g kN", c.TensionKN)
	case ShareOfStrength:
		part(true, "tension %g of rated strength", c.Share)
	default:
		part(true, "tension %s", c.From)
	}
	part(c.Factor > 1, "load factor %g", c.Factor)
	part(c.Kind != "", "kind %s", c.Kind)
	part(c.Uplift, "uplift")
	return strings.Join(parts, "; ")
}

// WeightNPerM is the weight of the conductor with the ice of a case.
func (c *LoadCase) WeightNPerM(conductor *basis.Conductor) float64 {
	return conductor.IcedWeightNPerM(c.IceMM, c.IceDensityKgPerM3)
}

// PullingNPerM is the weight of the conductor with the ice of a case and the wind on both together, which stretches it.
func (c *LoadCase) PullingNPerM(conductor *basis.Conductor) float64 {
	return basis.Resultant(c.WeightNPerM(conductor), basis.WindLoad(c.WindPa, c.OverIceMM(conductor)))
}

// OverIceMM is the diameter of the conductor with the ice of a case.
func (c *LoadCase) OverIceMM(conductor *basis.Conductor) float64 {
	return basis.IcedDiameterMM(conductor.DiameterMM, c.IceMM)
}
