package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestCarriedTextsOfRows(t *testing.T) {
	var p, other Project
	row, far, structure := Source{Table: 1, Row: 2}, Source{Table: 1, Row: 9}, Source{Table: 0, Row: 2}
	require.Empty(t, p.CarriedAt(row), "nothing is carried")
	p.Carried.Add(row, "District", p.Symbols.Number("north"))
	p.Carried.Add(row, "Contractor", p.Symbols.Number("Hale"))
	p.Carried.Add(far, "Contractor", p.Symbols.Number("Ost"))
	other.Carried.Add(structure, "Owner", other.Symbols.Number("Vell"))
	other.Carried.Add(structure, "District", other.Symbols.Number("of the GIS"))
	p.Carried.Merge(&other.Carried, func(s Symbol) Symbol { return p.Symbols.Number(other.Symbols.Text(s)) })
	require.Equal(t, []string{"District", "Contractor", "Owner"}, p.Carried.Names)
	require.Equal(t, []string{"north", "Hale", "Vell"}, p.CarriedAt(row, structure), "the first row that has a text wins")
	require.Equal(t, []string{"of the GIS", "Ost", "Vell"}, p.CarriedAt(far, structure))
	require.Equal(t, []string{"", "", ""}, p.CarriedAt(Source{Table: 5}))
}
