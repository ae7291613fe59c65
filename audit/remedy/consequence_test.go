package remedy_test

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/remedy"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// weighed is the sample with strings too short at 3 (7 of 10 units) and 5 (9 of 10), a railway between 5 and 6, and weights.
func weighed(t *testing.T) *audit.Project {
	p := sample(t)
	rowsAt(p, "3")[0].UnitsPerString = 7
	rowsAt(p, "5")[0].UnitsPerString = 9
	p.CrossingsGiven = true
	p.Crossings = []audit.Crossing{{Kind: p.Symbols.Number("Railway"), Lines: [][]orb.Point{{{10.022, 49.9}, {10.022, 50.1}}}}}
	p.Criteria.Priority = audit.PriorityRule{Base: 10, Crossings: []audit.Weighing{{Of: "railway", Factor: 8}, {Of: "river", Factor: 2}},
		Voltages: []audit.Weighing{{Of: "132", Number: 132, Factor: 1.5}}, Circuits: []audit.Weighing{{Of: "2", Number: 2, Factor: 3}}, Tee: 4, Terminal: 2,
		Carried: []audit.CarriedWeights{{Name: "District", Values: []audit.Weighing{{Of: "Hale", Factor: 1.2}}}}}
	carry(p, 3, "Ost")
	carry(p, 5, "hale ")
	return p
}

// carry gives a structure of the sample a district.
func carry(p *audit.Project, structure uint32, district string) {
	p.Carried.Add(audit.Source{Row: structure}, "District", p.Symbols.Number(district))
}

// ranksOf are the ranks of the jobs by the number of their structure.
func ranksOf(t *testing.T, p *audit.Project) (order []string, ranks map[string]remedy.Rank) {
	r, jobs := searched(t, p)
	ranks = map[string]remedy.Rank{}
	for _, rank := range remedy.Order(r, jobs) {
		number := r.Network.Number(jobs[rank.Job].Structure)
		order, ranks[number] = append(order, number), rank
	}
	return order, ranks
}

func TestConsequenceBeforeShortage(t *testing.T) {
	p := weighed(t)
	order, ranks := ranksOf(t, p)
	require.Equal(t, []string{"5", "3"}, order, "the railway outweighs that 3 is shorter")
	five := ranks["5"]
	require.Equal(t, []remedy.Factor{{Name: "base", Value: 10}, {Name: "crossings", Of: "Railway", Value: 8}, {Name: "voltage", Of: "132 kV", Value: 1.5},
		{Name: "circuits", Of: "1", Value: 1}, {Name: "tee", Of: "none", Value: 1}, {Name: "terminal", Of: "none", Value: 1}, {Name: "District", Of: "hale ", Value: 1.2}}, five.Consequence.Factors)
	require.InDelta(t, 10*8*1.5*1.2, five.Consequence.Known, 1e-9, "computed")
	require.InDelta(t, five.Consequence.Known*five.Shortage, five.Score, 1e-9)
	require.InDelta(t, 10*1.5, ranks["3"].Consequence.Known, 1e-9, "computed")
	// Of 3 and 5 alone the district is known, so the mean is of these two: (15 + 144) / 2.
	require.InDelta(t, 144/79.5, five.Consequence.OfMean, 1e-9, "computed")
	require.Equal(t, []string{"high", "low"}, []string{five.Consequence.Band, ranks["3"].Consequence.Band})

	p.Criteria.Priority.Crossings[0].Factor = 1.1
	order, _ = ranksOf(t, p)
	require.Equal(t, []string{"3", "5"}, order, "a railway that weighs little does not")

	p.Criteria.Priority = audit.PriorityRule{}
	order, ranks = ranksOf(t, p)
	require.Equal(t, []string{"5", "3"}, order, "without weights a flashover at a crossing comes first")
	require.False(t, ranks["5"].Weighed)
}

func TestWeightsThatNothingHas(t *testing.T) {
	p := weighed(t)
	p.Criteria.Priority.Carried[0].Values = append(p.Criteria.Priority.Carried[0].Values, audit.Weighing{Of: "Vell", Factor: 2})
	r, _ := searched(t, p)
	require.Equal(t, []string{"crossings: river", "circuits: 2", "District: Vell"}, remedy.UnmetWeights(r))
	p.Criteria.Priority = audit.PriorityRule{}
	require.Empty(t, remedy.UnmetWeights(audited(t, p)))
}

func TestUnknownFactorsAreLeftOutAndTold(t *testing.T) {
	for name, c := range map[string]struct {
		change  func(p *audit.Project)
		unknown []string // at structure 5
		known   float64
	}{
		"no crossings given":    {func(p *audit.Project) { p.CrossingsGiven, p.Crossings = false, nil }, []string{"crossings: no crossings given"}, 10 * 1.5 * 1.2},
		"a kind not readable":   {func(p *audit.Project) { p.Crossings[0].Kind = p.Symbols.Number(audit.UnreadableKind) }, []string{"crossings: what a span crosses cannot all be read"}, 10 * 1.5 * 1.2},
		"voltage not known":     {func(p *audit.Project) { p.Lines[0].NominalKV = math.NaN() }, []string{"voltage: nominal voltage not known"}, 10 * 8 * 1.2},
		"circuits not readable": {func(p *audit.Project) { p.Lines[0].Faulty |= 1 << audit.CellCircuits }, []string{"circuits: a cell that says it cannot be read"}, 10 * 8 * 1.5 * 1.2},
		"no district":           {func(p *audit.Project) { p.Carried = audit.CarriedTexts{}; carry(p, 3, "Ost") }, []string{"District: blank"}, 10 * 8 * 1.5},
		"nothing carried":       {func(p *audit.Project) { p.Carried = audit.CarriedTexts{} }, []string{"District: blank"}, 10 * 8 * 1.5},
	} {
		t.Run(name, func(t *testing.T) {
			p := weighed(t)
			c.change(p)
			_, ranks := ranksOf(t, p)
			five := ranks["5"].Consequence
			require.Equal(t, c.unknown, five.Unknown())
			require.InDelta(t, c.known, five.Known, 1e-9, "computed: the product of what is known")
			require.Empty(t, five.Band)
			require.True(t, math.IsNaN(five.OfMean))
		})
	}
}

// A suspension assembly where tension is needed has no figure of how far it falls short.
func TestWhatHasNoFigureCountsWholeOrAsStated(t *testing.T) {
	p := weighed(t)
	for _, row := range rowsAt(p, "7") {
		row.Duty, row.Side = audit.Suspension, audit.NoSide
	}
	_, ranks := ranksOf(t, p)
	require.True(t, math.IsNaN(ranks["7"].Counts))
	require.InDelta(t, 10*1.5*2, ranks["7"].Score, 1e-9, "computed: terminal, and the whole of it")
	p.Criteria.Priority.WithoutFigure = 0.5
	_, ranks = ranksOf(t, p)
	require.InDelta(t, 0.5, ranks["7"].Counts, 1e-12)
	require.InDelta(t, 10*1.5*2*0.5, ranks["7"].Score, 1e-9)
}
