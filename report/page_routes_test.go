package report

import (
	"fmt"
	"math"
	"testing"

	"dryarc/audit"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// manyLines are invented lines of as many structures each; of the first so many every fifth structure has a short string.
func manyLines(t *testing.T, lines, each, short int) *audit.Project {
	t.Helper()
	p := longLine(t, lines*each)
	for i := range p.Structures.Len() {
		l := i / each
		name := p.Symbols.Number(fmt.Sprintf("N-%d", 100+l))
		p.Structures.Row(i).Line, p.Assemblies.Row(i).Line = name, name
		p.Structures.Row(i).Lon, p.Structures.Row(i).Lat = 5+0.003*float64(i%each), 60+0.05*float64(l)+0.01*math.Sin(float64(i%each)/20)
		p.Assemblies.Row(i).UnitsPerString = 10
		if l < short && i%5 == 2 {
			p.Assemblies.Row(i).UnitsPerString = 8
		}
	}
	return p
}

// Beyond the limit of structures every line is there with its name, its counts and a route; lines with most exceptions are there whole.
func TestPageHoldsEveryLine(t *testing.T) {
	r := assessed(t, manyLines(t, 40, 50, 3), 1)
	require.Len(t, r.Network.Lines, 40)
	require.NotEmpty(t, r.Exceptions)
	page := cutPageOf(t, r, pageLimits{structures: 210, exceptions: 1000, rows: 10, zonePositions: 100, routes: 600, text: 300})
	data := dataOf(t, page)
	require.Len(t, data.Lines.Name, 40)
	require.Len(t, data.Routes.Count, 40)
	whole, counted := 0, 0
	for l := range r.Network.Lines {
		require.Equal(t, r.Project.Symbols.Text(r.Network.Lines[l].Symbol), data.Texts[data.Lines.Name[l]])
		require.GreaterOrEqual(t, data.Routes.Count[l], int64(2), "the ends of every line")
		require.EqualValues(t, 50, data.Lines.Of[l])
		if data.Lines.Count[l] == 50 {
			whole++
		}
		counted += int(data.Lines.Shortfalls[l] + data.Lines.Advisories[l] + data.Lines.Notes[l])
	}
	require.Equal(t, len(r.Exceptions), counted)
	require.Equal(t, 4, whole, "three lines with exceptions and one more fit 210 structures")
	require.LessOrEqual(t, len(data.Routes.Lon), 600)
	require.Contains(t, page, "Map and strip hold 200 of 2\u202F000 structures: all of 4 of 40 lines,")
	require.Regexp(t, `Every line is on the map with its name, counts and route, drawn within \d+ m\.`, page)

	all := dataOf(t, pageOf(t, r))
	require.Nil(t, all.Routes, "where every structure is there, it shows the route")
}

// What is left out of a route lies within what the page says of the route that is drawn.
func TestRoutesAreDrawnWithinWhatIsSaid(t *testing.T) {
	r := assessed(t, manyLines(t, 3, 200, 0), 1)
	h := htmlPage{result: r, limits: pageLimits{structures: 10}, open: openByLine(r, nil)}
	h.choose()
	full, simple := h.lineRoutes(1_000_000), h.lineRoutes(60)
	require.Zero(t, full.simplifiedDeg)
	require.Positive(t, simple.simplifiedDeg)
	for l := range full.routes {
		drawn := simple.routes[l].at
		require.Len(t, simple.routes[l].ahead, len(drawn))
		for _, p := range full.routes[l].at {
			nearest := math.Inf(1)
			for i := 1; i < len(drawn); i++ {
				_, d := farthest(orb.LineString{drawn[i-1], p, drawn[i]}, 0, 2)
				nearest = min(nearest, d)
			}
			require.LessOrEqual(t, nearest, simple.simplifiedDeg*(1+1e-9))
		}
	}
}

// Where a line is broken its route is too, also where the positions beside the gap are left out.
func TestRoutesAreBrokenWhereLinesAre(t *testing.T) {
	route := lineRoute{orb.LineString{{0, 0}, {1, 0}, {2, 0}, {3, 0}, {4, 0}}, []bool{true, true, false, true, false}}
	route.simplify([]float64{9, 0, 0, 9, 9}, 1)
	require.Equal(t, lineRoute{orb.LineString{{0, 0}, {3, 0}, {4, 0}}, []bool{false, true, false}}, route)

	p := manyLines(t, 1, 6, 0)
	p.Structures.Row(3).Lon = math.NaN()
	h := htmlPage{result: assessed(t, p, 1), limits: pageLimits{structures: 1}}
	h.open = openByLine(h.result, nil)
	h.choose()
	reference := math.NaN()
	var followed lineRoute
	h.follow(&followed, 0, &reference)
	require.Equal(t, []bool{true, true, false, true, false}, followed.ahead)
}

func TestMissingUnits(t *testing.T) {
	for _, c := range []struct {
		has, needs float64
		units      int
		want       int64
	}{
		{2700, 2700, 9, 0}, {2400, 2700, 8, 1}, {2399, 2700, 8, 2}, {2400, 2701, 8, 2}, {2400, 2700, 1, 0}, {math.NaN(), 2700, 8, 0}, {2400, math.NaN(), 8, 0}, {0, 2700, 8, 0},
	} {
		require.Equal(t, c.want, creepage{c.has, c.needs, audit.NoReason}.missingUnits(c.units), "%v", c)
	}
}
