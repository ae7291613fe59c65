package read

import (
	"math"
	"strings"
	"unicode"
)

// measure is a kind of quantity: the unit in which the audit keeps it, which holds where a heading names none, and
// what other units are in it.
type measure struct {
	name  string
	units []unitOfMeasure
	ratio bool // a number without a unit says the same
}

// unitOfMeasure turns a value into the unit of its measure:
//
//	kept = value·factor + offset
type unitOfMeasure struct {
	names          []string
	factor, offset float64
}

// isUnread tells whether it is one that nobody knows.
func (u *unitOfMeasure) isUnread() bool { return math.IsNaN(u.factor) }

// equals tells whether values in two units say the same.
func (u unitOfMeasure) equals(other unitOfMeasure) bool {
	return u.factor == other.factor && u.offset == other.offset
}

// The measures of the register. Factors are exact by definition (international yard and pound, standard gravity).
var (
	millimetres = &measure{name: "mm", units: []unitOfMeasure{
		{names: []string{"mm", "millimetre", "millimetres", "millimeters"}, factor: 1},
		{names: []string{"cm"}, factor: 10},
		{names: []string{"m", "metre", "metres", "meters"}, factor: 1000},
		{names: []string{"in", "inch", "inches", `"`, "″", "Zoll", "pouce", "pouces", "pulgada", "pulgadas", "pollici"}, factor: 25.4},
		{names: []string{"ft", "foot", "feet", "'", "′", "Fuß", "pied", "pieds", "pie", "pies", "piedi"}, factor: 304.8},
	}}
	metres = &measure{name: "m", units: []unitOfMeasure{
		{names: []string{"m", "metre", "metres", "meters"}, factor: 1},
		{names: []string{"km"}, factor: 1000},
		{names: []string{"ft", "foot", "feet", "Fuß", "pied", "pieds", "pie", "pies", "piedi"}, factor: 0.3048},
	}}
	millimetresPerKilovolt = &measure{name: "mm/kV", units: []unitOfMeasure{
		{names: []string{"mm/kV"}, factor: 1},
		{names: []string{"cm/kV"}, factor: 10},
		{names: []string{"in/kV"}, factor: 25.4},
	}}
	kilonewtons = &measure{name: "kN", units: []unitOfMeasure{
		{names: []string{"kN"}, factor: 1},
		{names: []string{"N"}, factor: 1e-3},
		{names: []string{"daN"}, factor: 1e-2},
		{names: []string{"kgf", "kg", "kp"}, factor: 9.80665e-3},
		{names: []string{"tf", "t", "tonne", "tonnes"}, factor: 9.80665},
		{names: []string{"lbf", "lb", "lbs"}, factor: 4.4482216152605e-3},
		{names: []string{"klbf", "kip", "kips"}, factor: 4.4482216152605},
	}}
	kilovolts = &measure{name: "kV", units: []unitOfMeasure{
		{names: []string{"kV"}, factor: 1},
		{names: []string{"V"}, factor: 1e-3},
	}}
	// Impulse voltages are peak values, whether their unit says so or not.
	peakKilovolts = &measure{name: "kV", units: []unitOfMeasure{
		{names: []string{"kV", "kVp", "kVpk", "kV peak", "kV crest"}, factor: 1},
		{names: []string{"V"}, factor: 1e-3},
	}}
	kilograms = &measure{name: "kg", units: []unitOfMeasure{
		{names: []string{"kg"}, factor: 1},
		{names: []string{"g"}, factor: 1e-3},
		{names: []string{"lb", "lbs"}, factor: 0.45359237},
	}}
	// Angles are no slopes: their tangents are.
	slopes = &measure{name: "m/m", units: []unitOfMeasure{
		{names: []string{"m/m", "mm/mm", "m per m"}, factor: 1},
		{names: []string{"cm/m"}, factor: 1e-2},
		{names: []string{"mm/m", "mm per m", "‰"}, factor: 1e-3},
		{names: []string{"%", "per cent", "percent"}, factor: 1e-2},
	}, ratio: true}
	degrees = &measure{name: "deg", units: []unitOfMeasure{
		{names: []string{"deg", "degree", "degrees", "°"}, factor: 1},
	}}
	kilometres = &measure{name: "km", units: []unitOfMeasure{
		{names: []string{"km"}, factor: 1},
		{names: []string{"m"}, factor: 1e-3},
		{names: []string{"mi", "mile", "miles"}, factor: 1.609344},
		{names: []string{"ft"}, factor: 3.048e-4},
	}}
	celsius = &measure{name: "C", units: []unitOfMeasure{
		{names: []string{"C", "°C", "deg C", "Celsius"}, factor: 1},
		{names: []string{"F", "°F", "deg F", "Fahrenheit"}, factor: 5. / 9, offset: -160. / 9},
	}}
	squareMetres = &measure{name: "m2", units: []unitOfMeasure{
		{names: []string{"m2", "m²"}, factor: 1},
		{names: []string{"cm2", "cm²"}, factor: 1e-4},
		{names: []string{"mm2", "mm²"}, factor: 1e-6},
		{names: []string{"in2", "in²", "sq in"}, factor: 6.4516e-4},
		{names: []string{"ft2", "ft²", "sq ft"}, factor: 0.09290304},
	}}
	squareMillimetres = &measure{name: "mm2", units: []unitOfMeasure{
		{names: []string{"mm2", "mm²"}, factor: 1},
		{names: []string{"cm2", "cm²"}, factor: 100},
		{names: []string{"in2", "in²", "sq in"}, factor: 645.16},
		{names: []string{"kcmil", "MCM"}, factor: 0.5067074790974977}, // π/4·0.0254² mm² a circular mil, times 1000
	}}
	kilogramsPerMetre = &measure{name: "kg/m", units: []unitOfMeasure{
		{names: []string{"kg/m"}, factor: 1},
		{names: []string{"kg/km"}, factor: 1e-3},
		{names: []string{"lb/ft"}, factor: 0.45359237 / 0.3048},
		{names: []string{"lb/kft", "lb/1000 ft"}, factor: 0.45359237 / 304.8},
	}}
	gigapascals = &measure{name: "GPa", units: []unitOfMeasure{
		{names: []string{"GPa", "kN/mm2", "kN/mm²"}, factor: 1},
		{names: []string{"MPa", "N/mm2", "N/mm²"}, factor: 1e-3},
		{names: []string{"psi", "lbf/in2"}, factor: 6.894757293168361e-6},
	}}
	millionthsPerKelvin = &measure{name: "1e-6/K", units: []unitOfMeasure{
		{names: []string{"1e-6/K", "1e-6/C", "10^-6/K", "10^-6/C", "ppm/K"}, factor: 1},
		{names: []string{"1/K", "1/C"}, factor: 1e6},
		{names: []string{"1e-6/F"}, factor: 1.8},
		{names: []string{"1/F"}, factor: 1.8e6},
	}}
)

// find looks up a unit by its name, whatever its case and spaces.
func (m *measure) find(name string) (unitOfMeasure, bool) {
	for _, u := range m.units {
		for _, known := range u.names {
			if wordKey(known) == wordKey(name) {
				return u, true
			}
		}
	}
	return unitOfMeasure{}, false
}

// behind finds the unit with which a name ends, behind a blank or a mark, as in clearance_cm and Masse, kg/km.
func (m *measure) behind(name string) (unitOfMeasure, bool) {
	isPart := func(r rune) bool {
		return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '°' || r == '%' || r == '‰'
	}
	inWord := false
	for i, r := range name {
		if is := isPart(r); is != inWord {
			if inWord = is; is && i > 0 {
				if in, known := m.find(strings.TrimRight(name[i:], "})]> ")); known {
					return in, true
				}
			}
		}
	}
	return unitOfMeasure{}, false
}

// list names the units that are read, for messages.
func (m *measure) list() []string {
	names := make([]string, len(m.units))
	for i, u := range m.units {
		names[i] = u.names[0]
	}
	return names
}

// names gives every name of every unit; none where there is no measure.
func (m *measure) names() []string {
	if m == nil {
		return nil
	}
	var names []string
	for _, u := range m.units {
		names = append(names, u.names...)
	}
	return names
}
