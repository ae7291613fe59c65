package read

import (
	"context"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// Figures of a conductor that no metal has together are a fault where the row states them, and neither is used. The conductor is Panther: 0.974 kg/m, 21 mm, 89.67 kN and 261.5 mm²
// in a circle of 346 mm² (computed).
func TestFiguresOfAConductorThatContradict(t *testing.T) {
	const at = "implausible register.xlsx!Conductors!"
	for name, c := range map[string]struct {
		rows                       grid
		faults                     []string
		mass, diameter, kN, areaOf bool // not known
	}{
		"believed": {grid{{"X", 0.974, 21, 89.67, 261.5}}, nil, false, false, false, false},
		"diameter a tenth": {grid{{"X", 0.974, 2.1, 89.67, 261.5}}, []string{
			at + `B2: mass "0.974" is implausible for a conductor of diameter 2.1 mm, which makes 281 kg/dm³ of its circle, expected 0.5 to 11; neither is used`,
			at + `E2: area "261.5" is implausible for a conductor of diameter 2.1 mm, which makes 75.5 of its circle, expected 0.05 to 1.2; neither is used`}, true, true, false, true},
		"mass a tenth": {grid{{"X", 0.0974, 21, 89.67, 261.5}}, []string{
			at + `B2: mass "0.0974" is implausible for a conductor of area 261.5 mm², which makes 0.372 kg/dm³ of its wires, expected 1.5 to 20; neither is used`,
			at + `B2: mass "0.0974" is implausible for a conductor of diameter 21 mm, which makes 0.281 kg/dm³ of its circle, expected 0.5 to 11; neither is used`,
			at + `D2: rated strength "89.67" is implausible for a conductor of mass 0.0974 kg/m, which makes 921 kN per kg/m, expected 0 to 300; neither is used`}, true, true, true, true},
		"strength a tenth": {grid{{"X", 0.974, 21, 8.967, 261.5}}, []string{
			at + `D2: rated strength "8.967" is implausible for a conductor of area 261.5 mm², which makes 34.3 N/mm² of the wires that bear, expected 50 to 2200; neither is used`}, false, false, true, true},
		"the area of all cores of a bundled cable": {grid{{"X", 1.9, 48, 20.5, 520}}, []string{
			at + `D2: rated strength "20.5" is implausible for a conductor of area 520 mm², which makes 39.4 N/mm² of the wires that bear, expected 50 to 2200; neither is used`}, false, false, true, true},
		"that of its neutral": {grid{{"X", 1.9, 48, 20.5, 70}}, nil, false, false, false, false},
		"beside the catalogue": {grid{{"Panther", nil, 2.1, nil, 261.5}}, []string{
			at + `C2: diameter "2.1" is implausible for a conductor of mass 0.974 kg/m, which makes 281 kg/dm³ of its circle, expected 0.5 to 11; neither is used`,
			at + `E2: area "261.5" is implausible for a conductor of diameter 2.1 mm, which makes 75.5 of its circle, expected 0.05 to 1.2; neither is used`}, true, true, false, true},
		"in the row that stands again": {grid{{"X", 0.974, 21, 89.67, nil}, {"X", 0.974, 2.1, 89.67, nil}}, []string{
			at + `B3: mass "0.974" is implausible for a conductor of diameter 2.1 mm, which makes 281 kg/dm³ of its circle, expected 0.5 to 11; neither is used`}, true, true, false, true},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			path := b.write(t)
			writeWorkbook(t, filepath.Join(filepath.Dir(path), "register.xlsx"), sheets{{"Assemblies", b.assemblies}, {"Lines", b.lines},
				{"Conductors", append(grid{{"Conductor", "Mass (kg/m)", "Diameter (mm)", "Rated strength (kN)", "Area (mm2)"}}, c.rows...)}})
			p, err := Project(context.Background(), path)
			require.NoError(t, err)
			var found []string
			for _, fault := range faultsOf(p) {
				if fault[:len("implausible")] == "implausible" {
					found = append(found, fault)
				}
			}
			require.ElementsMatch(t, c.faults, found)
			i := slices.IndexFunc(p.Conductors, func(of basis.Conductor) bool { return of.Name == c.rows[0][0] })
			of, faulty := p.Conductors[i], audit.FaultsOf(p.ConductorFaults, i)
			require.Equal(t, []bool{c.mass, c.diameter, c.kN}, []bool{math.IsNaN(of.MassKgPerM), math.IsNaN(of.DiameterMM), math.IsNaN(of.RatedStrengthKN)})
			require.Equal(t, []bool{c.mass, c.diameter, c.kN}, []bool{faulty.Has(audit.CellWeight), faulty.Has(audit.CellDiameter), faulty.Has(audit.CellRating)})
			require.Equal(t, c.areaOf, math.IsNaN(of.AreaMM2))
		})
	}
}
