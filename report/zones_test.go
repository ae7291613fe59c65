package report

import (
	"bytes"
	"context"
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// The outputs say nothing of a class that is in doubt, and that it is.
func TestOutputsOfZonesInDoubt(t *testing.T) {
	p := longLine(t, 20)
	p.Criteria.DefaultClass = basis.ClassB
	first := p.Structures.At(0)
	p.Zones = []audit.Zone{square(basis.ClassE, "works", first.Lon, first.Lat, 0.0005), square(basis.ClassUnknown, "harbour", first.Lon, first.Lat, 0.001)}
	p.Zones[1].Unknown, p.Zones[0].Broken = audit.ZoneClassUnreadable, true
	r := assessed(t, p, 1)
	there := r.Network.Structure(0, 0)
	elsewhere := r.Network.Structure(0, 10)

	require.Empty(t, structureRecordOf(r, &there).ZoneClass)
	require.EqualValues(t, "b", structureRecordOf(r, &elsewhere).ZoneClass)

	needs, err := requirements(context.Background(), r)
	require.NoError(t, err)
	i := 0
	for q := range needs {
		if i == 0 {
			require.Empty(t, q.class)
		} else if i == 10 {
			require.Equal(t, "b", q.class)
		}
		i++
	}

	for row := range zoneLayer(r).Rows {
		require.Nil(t, row.Values[0], "the class in its area is not known")
		require.True(t, math.IsNaN(row.Values[1].(float64)))
	}

	data := dataOf(t, pageOf(t, r))
	require.Equal(t, int64(basis.ClassUnknown), data.Structures.Class[0])
	require.Equal(t, "harbour", data.Texts[data.Zones[data.Structures.Zone[0]].Label])
	for _, z := range data.Zones {
		require.True(t, z.Doubtful)
		require.Equal(t, basis.ClassUnknown, z.Class)
	}

	var out bytes.Buffer
	Explanation(&out, r.Network, 0, 0, audit.Explain(r.Network, r.Checks, 0, 0))
	require.Contains(t, out.String(), `class          not known: class of the zone not readable (zone "harbour", `)
	p.Zones[1].Unknown = audit.NoReason
	p.Zones[1].Class = basis.ClassC
	r = assessed(t, p, 1)
	out.Reset()
	Explanation(&out, r.Network, 0, 0, audit.Explain(r.Network, r.Checks, 0, 0))
	require.Contains(t, out.String(), "class          c, 34.7 mm/kV (zone \"harbour\"")
	require.Contains(t, out.String(), "as far as is known: a worse zone may lie here, whose area is not readable (zone \"works\"")
}

// On lines with rules of their own a zone may ask for something else: the layer has no figure where lines differ, and the page draws by the
// greater one.
func TestZonesOfLinesWithRules(t *testing.T) {
	figures := func(p *audit.Project) (found []float64) {
		for row := range zoneLayer(assessed(t, p, 1)).Rows {
			found = append(found, row.Values[1].(float64))
		}
		return found
	}
	p := longLine(t, 20)
	first := p.Structures.At(0)
	p.Zones = []audit.Zone{square(basis.ClassE, "works", first.Lon, first.Lat, 0.0005), square(basis.ClassC, "harbour", first.Lon, first.Lat, 0.001)}
	own := p.Criteria.SpecificCreepage(basis.ClassE)
	require.Equal(t, []float64{own, p.Criteria.SpecificCreepage(basis.ClassC)}, figures(p))

	rules := audit.Rules{Lines: []audit.Symbol{p.Structures.At(0).Line}, Criteria: p.Criteria}
	rules.Criteria.OwnSpecificCreepage.MMPerKV[basis.ClassE] = 99
	rules.Criteria.OwnSpecificCreepage.Base = rules.Criteria.CreepageBasis.Base()
	p.Rules = []audit.Rules{rules}
	require.Equal(t, 99.0, figures(p)[0], "all lines have the rules")

	other := p.Symbols.Number("other line")
	for i := range 3 {
		s := p.Structures.At(i)
		s.Line = other
		p.Structures.Append(s)
	}
	require.True(t, math.IsNaN(figures(p)[0]), "one line has them and the other not")
	r := assessed(t, p, 1)
	_, most := r.Network.ZoneAsks()
	require.Equal(t, 99.0, most[0])
	data := dataOf(t, pageOf(t, r))
	require.Equal(t, "works", data.Texts[data.Zones[len(data.Zones)-1].Label], "drawn above the rest")
	r.Project.Rules[0].Criteria.OwnSpecificCreepage.MMPerKV[basis.ClassC] = 100
	data = dataOf(t, pageOf(t, assessed(t, p, 1)))
	require.Equal(t, "harbour", data.Texts[data.Zones[len(data.Zones)-1].Label])
}
