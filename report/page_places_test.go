package report

import (
	"math"
	"slices"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// The page holds the most important places near its structures and says what it leaves out of the others.
func TestPagePlaces(t *testing.T) {
	p := longLine(t, 20)
	first := p.Structures.At(0)
	nan := math.NaN()
	add := func(name string, lon, rank float64) {
		p.Places = append(p.Places, audit.NamedPlace{Name: p.Symbols.Number(name), Lon: lon, Lat: first.Lat, Rank: rank})
	}
	add("Ostrade", first.Lon, nan)
	add("قرية الجبل", first.Lon+0.001, 2)
	add("Far away", first.Lon+40, 0)
	add("</script><b onload=x>&\u2028", first.Lon+360, 3)
	add("Brack", first.Lon, nan)
	add("Quellmor", first.Lon+0.002, 1)
	r := assessed(t, p, 1)
	limits := pageLimits{structures: 1000, exceptions: 1000, rows: 10, zonePositions: 100, places: 4, text: 300}
	named := func(page string) (names []string) {
		data := dataOf(t, page)
		for i, n := range data.Places.Name {
			names = append(names, data.Texts[n])
			require.Equal(t, i == 0, data.Places.Lon[i] > 1e6, "differences beyond the first, a turn of the earth taken off")
		}
		return names
	}
	page := cutPageOf(t, r, limits)
	require.Equal(t, []string{"Quellmor", "قرية الجبل", "</script><b onload=x>&\u2028", "Brack"}, named(page))
	require.Contains(t, page, "The map holds 4 of 6 places; 1 lies away from what it shows; 1 is left out, the least important by rank, then the last by name.")
	require.NotContains(t, page, "<b onload")

	limits.places = 5
	require.Equal(t, "Ostrade", slices.Max(named(cutPageOf(t, r, limits))[3:]))
	p.Places = nil
	page = cutPageOf(t, assessed(t, p, 1), limits)
	require.Nil(t, dataOf(t, page).Places)
	require.NotContains(t, page, "The map holds")
}
