package read

import (
	"context"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

func TestConductors(t *testing.T) {
	b := newBase()
	b.lines = grid{{"Line", "Conductor"}, {"L1", "ZEBRA"}, {"L2", "own wire"}, {"L3", "Zebre"}, {"L4", "Copper 95"}, {"L5"}}
	b.structures = strings.Replace(b.structures, `"sequence":2`, `"sequence":2,"conductor_ahead":"own  wire"`, 1)
	b.structures = strings.Replace(b.structures, `"sequence":3`, `"sequence":3,"conductor_ahead":"Wire 7"`, 1)
	path := b.write(t)
	writeWorkbook(t, filepath.Join(filepath.Dir(path), "register.xlsx"), sheets{
		{"Assemblies", b.assemblies}, {"Lines", b.lines},
		{"Conductors", grid{
			{"Conductor", "Mass (lb/kft)", "Diameter (in)", "Rated strength (lbf)", "Area (kcmil)", "Modulus (psi)", "Expansion (1e-6/F)"},
			{"Own Wire", 1000, 1, 10000, 1000, 1e7, 10},
			{"zebra", nil, nil, 30000},
			{"own wire", 1000, 1, 10000, 1000, 1e7, 10},
			{nil, 1000},
			{"Slip", "heavy", 1000},
		}},
	})
	p, err := Project(context.Background(), path)
	require.NoError(t, err)
	require.Equal(t, []string{
		`unknown-word structures.geojson row 3: conductor_ahead "Wire 7" is no conductor of the catalogue or of the Conductors sheet`,
		`unknown-word register.xlsx!Lines!B4: conductor "Zebre" is no conductor of the catalogue or of the Conductors sheet, perhaps "zebra"`,
		`unknown-word register.xlsx!Lines!B5: conductor "Copper 95" is no conductor of the catalogue or of the Conductors sheet`,
		`duplicate-row register.xlsx!Conductors!A4: conductor "own wire" stands in row 2 too, which says the same`,
		`missing-value register.xlsx!Conductors!A5: conductor is blank; the row is left out`,
		`not-a-number register.xlsx!Conductors!B6: mass "heavy" is not a number`,
		`out-of-range register.xlsx!Conductors!C6: diameter "1000" is out of range, expected 0.0393701 to 7.87402 in`,
	}, faultsOf(p))
	require.True(t, p.Lines[2].Faulty.Has(audit.CellConductor))
	require.False(t, p.Lines[0].Faulty.Has(audit.CellConductor))
	require.Equal(t, "zebra", p.Symbols.Text(p.Lines[0].Conductor), "named as the sheet names it")
	require.Equal(t, "Own Wire", p.Symbols.Text(p.Structures.At(1).ConductorAhead))

	named := func(name string) basis.Conductor {
		for _, c := range p.Conductors {
			if c.Name == name {
				return c
			}
		}
		require.Fail(t, "no conductor "+name)
		return basis.Conductor{}
	}
	own := named("Own Wire") // factors are exact by definition of inch and pound; a circular mil is π/4 square mils
	require.InDelta(t, 1.48816394, own.MassKgPerM, 1e-8)
	require.InDelta(t, 25.4, own.DiameterMM, 1e-9)
	require.InDelta(t, 44.482216, own.RatedStrengthKN, 1e-6)
	require.InDelta(t, 1000*math.Pi/4*25.4*25.4/1e6*1000, own.AreaMM2, 1e-9)
	require.InDelta(t, 68.947573, own.ModulusGPa, 1e-6)
	require.InDelta(t, 18, own.Expansion1e6PerK, 1e-9)

	zebra := named("zebra")
	require.InDelta(t, 133.446648, zebra.RatedStrengthKN, 1e-6) // 30000 lbf, exact by definition
	require.False(t, math.IsNaN(zebra.MassKgPerM), "what the row does not state stays as in the catalogue")
	require.False(t, zebra.Clause.IsZero())
	require.True(t, zebra.StrengthClause.IsZero(), "the strength is the register's own")
}
