package audit

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// What is taken from another network is what would be derived, and nothing is taken that may be another.
func TestDeriveLike(t *testing.T) {
	stricter := func(p *Project, lines ...Symbol) Rules {
		r := Rules{Lines: lines, Criteria: p.Criteria}
		r.Criteria.DefaultClass = basis.ClassD
		r.Criteria.ZoneMarginM = Stated(20_000)
		return r
	}
	worse := func(p *Project, lines ...Symbol) Rules {
		r := stricter(p, lines...)
		r.Change([...]basis.Class{basis.ClassUnknown, basis.ClassB, basis.ClassC, basis.ClassD, basis.ClassE, basis.ClassE, basis.ClassF})
		return r
	}
	for name, c := range map[string]struct {
		before, change func(p *Project)
		zones          bool // of the first line are taken
		course         bool
	}{
		"nothing changes": {zones: true, course: true},
		"other duties": {change: func(p *Project) {
			for i := range p.Assemblies.Len() {
				if i%60 < 3 {
					p.Assemblies.Row(i).Duty, p.Assemblies.Row(i).Side = Tension, BothSides
				}
			}
		}, zones: true, course: true},
		"another voltage":       {change: func(p *Project) { p.Lines = slices.Clone(p.Lines); p.Lines[0].NominalKV = 220 }, zones: true, course: true},
		"rules of another line": {change: func(p *Project) { p.Rules = []Rules{stricter(p, p.Lines[1].Line)} }, zones: true, course: true},
		"rules of the line":     {change: func(p *Project) { p.Rules = []Rules{stricter(p, p.Lines[0].Line)} }, course: true},
		"worse classes":         {change: func(p *Project) { p.Rules = []Rules{worse(p, p.Lines[0].Line)} }, course: true},
		"the same rules":        {before: func(p *Project) { p.Rules = []Rules{worse(p, p.Lines[0].Line, p.Lines[1].Line)} }, zones: true, course: true},
		"other rules in place of some": {before: func(p *Project) { p.Rules = []Rules{worse(p, p.Lines[0].Line)} },
			change: func(p *Project) { p.Rules = []Rules{stricter(p, p.Lines[0].Line)} }, course: true},
		"no rules any more": {before: func(p *Project) { p.Rules = []Rules{worse(p, p.Lines[0].Line)} },
			change: func(p *Project) { p.Rules = nil }, course: true},
		"other structures": {change: func(p *Project) {
			var kept StructureRows
			for _, row := range p.Structures.All() {
				kept.Append(row)
			}
			p.Structures = kept
			p.Structures.Row(7).Lon += 0.001
		}},
		"other zones":     {change: func(p *Project) { p.Zones = slices.Clone(p.Zones)[1:] }, course: true},
		"other crossings": {change: func(p *Project) { p.Crossings = slices.Clone(p.Crossings)[1:] }},
	} {
		t.Run(name, func(t *testing.T) {
			p := invented(t, 600)
			p.Zones = p.Zones[:300]
			if c.before != nil {
				c.before(p)
			}
			first, again := p.Clone(), p.Clone()
			was, err := Arrange(p)
			require.NoError(t, err)
			require.NoError(t, Derive(context.Background(), was, 2))
			derived := func(p *Project, derive func(n *Network) error) *Network {
				if c.change != nil {
					c.change(p)
				}
				n, err := Arrange(p)
				require.NoError(t, err)
				require.NoError(t, derive(n))
				return n
			}
			want := derived(first, func(n *Network) error { return Derive(context.Background(), n, 2) })
			n := derived(again, func(other *Network) error { return DeriveLike(context.Background(), other, was, 2) })

			for i := range n.structures {
				require.True(t, n.isLike(want, i), "%d: %+v %+v %+v %+v, expected %+v %+v %+v %+v", i, n.structures[i], n.courses[i], n.profiles[i], n.around[i], want.structures[i], want.courses[i], want.profiles[i], want.around[i])
			}
			for l := range n.Lines {
				require.Zero(t, want.Lines[l].otherwise(&n.Lines[l]))
			}
			require.Equal(t, fmt.Sprint(want.chainages), fmt.Sprint(n.chainages))
			require.Equal(t, want.runsOn, n.runsOn)
			require.Equal(t, want.beside, n.beside)
			require.Equal(t, want.kinds, n.kinds)
			require.Equal(t, first.Faults.List(), again.Faults.List())
			require.Equal(t, c.course, n.hasStructuresOf(was))
			if c.course {
				require.Equal(t, c.zones, n.hasZonesOf(was, 0))
			}
		})
	}
}
