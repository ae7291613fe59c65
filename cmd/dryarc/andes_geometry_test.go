package main

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"testing"

	"dryarc/audit"
	"dryarc/audit/read"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// geometryOf maps line and structure number to the deviation; NaN at line ends.
func geometryOf(t *testing.T, p *audit.Project) (deviations map[string]float64, n *audit.Network) {
	t.Helper()
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 2))
	deviations = map[string]float64{}
	for l, line := range n.Lines {
		for i := line.First; i < line.End; i++ {
			s := n.Structure(l, i)
			deviations[p.Symbols.Text(line.Symbol)+"|"+p.Texts.Get(s.Number)] = s.DeviationDeg
		}
	}
	return deviations, n
}

func requireSameDeviations(t *testing.T, want, got map[string]float64) {
	t.Helper()
	require.Len(t, got, len(want))
	for key, deviation := range want {
		other, ok := got[key]
		same := math.IsNaN(deviation) && math.IsNaN(other) || math.Abs(deviation-other) <= 1e-9
		if !ok || !same { // twenty thousand calls of require would take minutes under the race detector
			require.InDelta(t, deviation, other, 1e-9, key)
			require.True(t, ok && same, key)
		}
	}
}

// The order of the structures may be told by sequence, by numbers or by a route; each way the deviations are the same.
func TestAndesOrdering(t *testing.T) {
	t.Parallel()
	file := filepath.Join(andesCase(t), "audit.yaml")
	project := func() *audit.Project {
		p, err := read.Project(context.Background(), file)
		require.NoError(t, err)
		return p
	}
	want, n := geometryOf(t, project())
	require.Len(t, want, 20166)

	t.Run("numbers only", func(t *testing.T) {
		p := project()
		for i := range p.Structures.Len() {
			p.Structures.Row(i).Sequence = math.NaN()
		}
		got, n := geometryOf(t, p)
		for _, line := range n.Lines {
			require.Equal(t, audit.ByNumber, line.Ordering)
		}
		requireSameDeviations(t, want, got)
	})

	t.Run("routes only", func(t *testing.T) {
		p := project()
		p.Structures, p.Routes, p.RoutesAlone = audit.StructureRows{}, routesOf(n, p, false), true
		got, alone := geometryOf(t, p)
		require.Len(t, alone.Lines, 303)
		for l, line := range alone.Lines {
			base := n.Lines[l]
			require.Equal(t, audit.ByRouteVertex, line.Ordering)
			require.Equal(t, base.End-base.First, line.End-line.First)
			for i := line.First; i < line.End; i++ {
				from, to := n.Structure(l, base.First+i-line.First), alone.Structure(l, i)
				requireSameDeviations(t, map[string]float64{"": from.DeviationDeg}, map[string]float64{"": to.DeviationDeg})
			}
		}
		require.Len(t, got, 20166)
	})

	t.Run("points and routes drawn in reverse", func(t *testing.T) {
		p := project()
		unordered := map[audit.Symbol]bool{}
		for i := range p.Structures.Len() {
			row := p.Structures.Row(i)
			row.Sequence = math.NaN()
			if p.Texts.Get(row.Number) == "1" { // a number without a digit, so that numbers alone cannot order the line
				number, err := p.Texts.Add("first after the gantry")
				require.NoError(t, err)
				row.Number = number
				unordered[row.Line] = true
			}
		}
		p.Routes = routesOf(n, p, true)
		got, byRoute := geometryOf(t, p)
		for key, deviation := range got { // under the old number again
			if line, ok := cutSuffix(key, "|first after the gantry"); ok {
				got[line+"|1"] = deviation
				delete(got, key)
			}
		}
		routed := 0
		for _, line := range byRoute.Lines {
			if line.Ordering == audit.ByRoute {
				routed++
				require.True(t, unordered[line.Symbol])
			}
		}
		require.Greater(t, routed, 250)
		requireSameDeviations(t, want, got)
	})
}

func cutSuffix(key, suffix string) (string, bool) {
	if len(key) < len(suffix) || key[len(key)-len(suffix):] != suffix {
		return key, false
	}
	return key[:len(key)-len(suffix)], true
}

func routesOf(n *audit.Network, p *audit.Project, reversed bool) (routes []audit.Route) {
	for l, line := range n.Lines {
		var points []orb.Point
		for i := line.First; i < line.End; i++ {
			points = append(points, n.Structure(l, i).Position)
		}
		if reversed {
			for i, j := 0, len(points)-1; i < j; i, j = i+1, j-1 {
				points[i], points[j] = points[j], points[i]
			}
		}
		symbol := p.Symbols.Number(n.Project.Symbols.Text(line.Symbol))
		routes = append(routes, audit.Route{Line: symbol, Parts: [][]orb.Point{points}})
	}
	return routes
}

// Wind and weight spans against an answer key of other code, within 1 mm.
func TestAndesWeightSpans(t *testing.T) {
	folder := andesCase(t)
	p, err := read.Project(context.Background(), filepath.Join(folder, "audit.yaml"))
	require.NoError(t, err)
	_, n := geometryOf(t, p)
	index := map[string][2]int{}
	for l, line := range n.Lines {
		for i := line.First; i < line.End; i++ {
			index[p.Symbols.Text(line.Symbol)+"|"+p.Texts.Get(n.Structure(l, i).Number)] = [2]int{l, i}
		}
	}
	const weight = 0.974 * 9.80665 // N/m
	rows := readCSV(t, filepath.Join(folder, "expected_loads.csv"))
	require.Len(t, rows, 300)
	for _, row := range rows {
		at, ok := index[row["line"]+"|"+row["structure"]]
		require.True(t, ok)
		s := n.Structure(at[0], at[1])
		for column, got := range map[string]float64{
			"wind_span_m":        s.WindSpanM,
			"weight_span_max_m":  s.WeightSpanM(30_000 / weight),
			"weight_span_cold_m": s.WeightSpanM(24_000 / weight),
		} {
			want, err := strconv.ParseFloat(row[column], 64)
			require.NoError(t, err)
			require.InDelta(t, want, got, 0.001, fmt.Sprint(row["line"], " ", row["structure"], " ", column))
		}
	}
}
