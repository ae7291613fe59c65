package report

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// placesOf are the places that a path goes through, as far as it names them from the edge of the paper.
func placesOf(t *testing.T, d string) (places [][2]float64) {
	t.Helper()
	for _, m := range regexp.MustCompile(`[ML](-?[\d.]+) (-?[\d.]+)`).FindAllStringSubmatch(d, -1) {
		x, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		y, err := strconv.ParseFloat(m[2], 64)
		require.NoError(t, err)
		places = append(places, [2]float64{x, y})
	}
	return places
}

// withFar is a line, and others of one structure each far east of it.
func withFar(t *testing.T, near, far int) *audit.Result {
	t.Helper()
	p := longLine(t, near)
	for i := range far {
		row := p.Structures.At(0)
		row.Line, row.Lon = p.Symbols.Number(fmt.Sprintf("far %d", i)), row.Lon+20+float64(i)
		p.Structures.Append(row)
	}
	return assessed(t, p, 1)
}

// Few structures far away do not take the paper from the others, and the map says what it leaves out.
func TestMapFitsWhereMostStand(t *testing.T) {
	for name, c := range map[string]struct {
		near, far int
		outside   string
	}{
		"none is far": {300, 0, ""},
		"one is far":  {300, 1, "The map is fitted to where most stand: 1 structure lies outside it, 1 whole line among them."},
		"two are far": {300, 2, "The map is fitted to where most stand: 2 structures lie outside it, 2 whole lines among them."},
		"many are":    {300, 10, ""},
	} {
		t.Run(name, func(t *testing.T) {
			r := withFar(t, c.near, c.far)
			for what, m := range map[string]briefMap{"brief": briefMapOf(r, nil, nil, 180, 100, briefMapBytes), "page without scripts": (&htmlPage{result: r, changes: alone.since(r)}).still().briefMap} {
				if c.outside == "" {
					require.NotContains(t, m.Left, "outside", what)
				} else {
					require.Contains(t, m.Left, c.outside, what)
				}
				least, most := math.Inf(1), math.Inf(-1)
				for _, route := range m.Routes {
					for _, at := range placesOf(t, route) {
						require.True(t, at[0] >= 0 && at[1] >= 0 && at[0] <= float64(m.Width) && at[1] <= float64(m.Height), "%s: %v", what, at)
						least, most = min(least, at[0]), max(most, at[0])
					}
				}
				require.Greater(t, most-least, 0.7*float64(m.Width), what)
			}
		})
	}
}

// A line that leads off the map is drawn to its edge, and what is beyond is told.
func TestMapEndsLinesAtItsEdge(t *testing.T) {
	p := longLine(t, 300)
	last := p.Structures.Row(p.Structures.Len() - 1)
	last.Lon += 20
	r := assessed(t, p, 1)
	require.NotEmpty(t, r.Exceptions)
	r.Exceptions = r.Exceptions[:1]
	r.Exceptions[0].Structure = p.Structures.Len() - 1
	m := briefMapOf(r, nil, []int{p.Structures.Len() - 1}, 180, 100, briefMapBytes)
	require.Contains(t, m.Left, "1 structure lies outside it, and job A.")
	require.Empty(t, m.Marks)
	require.Len(t, m.Routes, 1)
	at := placesOf(t, m.Routes[0])
	require.InDelta(t, 180, at[len(at)-1][0], 0.01)
}

// The map names the places of the project that have room, the most important first, on nothing else and each beside its dot.
func TestMapNamesPlaces(t *testing.T) {
	p := longLine(t, 60)
	first, nan := p.Structures.At(0), math.NaN()
	add := func(name string, lon, lat, rank float64) {
		p.Places = append(p.Places, audit.NamedPlace{Name: p.Symbols.Number(name), Lon: lon, Lat: lat, Rank: rank})
	}
	add("Second here", first.Lon+0.02, first.Lat+0.02, 2)
	add("First here", first.Lon+0.02, first.Lat+0.02, 1)
	add("قرية", first.Lon+0.06, first.Lat+0.02, nan)
	add("A turn of the earth on", first.Lon+360.04, first.Lat-0.02, nan)
	add("Far away", first.Lon+40, first.Lat, 0)
	add("Nowhere", nan, nan, 0)
	for i := range 200 {
		add(fmt.Sprintf("Place %d", i), first.Lon+0.0005*float64(i), first.Lat-0.03, nan)
	}
	m := briefMapOf(assessed(t, p, 1), nil, nil, 180, 100, briefMapBytes)
	var names []string
	for _, l := range m.Labels {
		if l.Kind == "place" {
			names = append(names, l.Text)
		}
	}
	require.Equal(t, "First here", names[0])
	require.Subset(t, names, []string{"قرية", "A turn of the earth on"})
	require.NotContains(t, names, "Second here", "its dot would lie on the other")
	require.NotContains(t, names, "Far away")
	require.NotContains(t, names, "Nowhere")
	require.LessOrEqual(t, len(names), mostPlaceNames)
	require.Len(t, placesOf(t, m.Places), len(names))
	p.Places = nil
	require.Empty(t, briefMapOf(assessed(t, p, 1), nil, nil, 180, 100, briefMapBytes).Places)
}
