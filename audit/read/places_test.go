package read

import (
	"fmt"
	"maps"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// Nothing rests on places: whatever is wrong with them is by the way, and the rest of the project is read as without them.
func TestPlacesTouchNothing(t *testing.T) {
	point := func(properties string) string { return shape(properties, "Point", "[10,50]") }
	without, err := Project(t.Context(), newBase().write(t))
	require.NoError(t, err)
	p, err := readWith(t, "places", ", only: {kind: town}", point(`{"name":"Quellmor","kind":"town","rank":"?"}`)+point(`{"kind":"town"}`)+point(`{"kind":"town"}`)+
		point(`{"name":"n/a","kind":"town"}`)+point(`{"name":"Ostrade","kind":"?"}`)+shape(`{"name":"Road","kind":"town"}`, "LineString", "[[10,50],[11,50]]")+
		shape(`{"name":"Far","kind":"town"}`, "Point", "[1000,50]"), "")
	require.NoError(t, err)
	require.Len(t, p.Places, 1)
	require.Equal(t, "Quellmor", p.Symbols.Text(p.Places[0].Name))
	rows := func(p *audit.Project) string { return fmt.Sprint(maps.Collect(p.Structures.All())) }
	require.Equal(t, rows(without), rows(p), "as text, since what is not known is NaN")
	require.Equal(t, without.Faults.Mattering(), p.Faults.Mattering())
	for _, fault := range p.Faults.List() {
		require.Equal(t, audit.ByTheWay, fault.Weight, "%v", fault)
	}
	table := p.Tables[len(p.Tables)-1]
	for i := range p.Tables {
		if p.Tables[i].File == "extra.geojson" {
			table = p.Tables[i]
		}
	}
	require.Equal(t, audit.Balance{Read: 7, Used: 1, LeftOut: 5, PassedOver: 1}, table.Balance)
}

func TestPlacesAreOfTheReading(t *testing.T) {
	reading := func(text string) string {
		f, problem := parseProjectFile([]byte("structures: {file: s}\n" + text))
		require.Nil(t, problem)
		return f.reading()
	}
	require.NotEqual(t, reading("places: {file: p}\n"), reading("places: {file: p, properties: {name: label}}\n"))
	require.Equal(t, reading(""), reading("title: x\n"))
}
