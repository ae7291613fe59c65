package main

import (
	"context"
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"
	"dryarc/audit/read"
	"dryarc/report"

	"github.com/stretchr/testify/require"
)

// LibreOffice recomputes creepage by the whole of Um, of railways and of direct current, the counting rule and pins of railways, and the notes on rings
// and of the watch list. Figures are such that hardly anything meets.
func TestLibreOfficeAgreesOnWhatStandsAlongStrings(t *testing.T) {
	t.Parallel()
	office := tool(t, "soffice")
	systems := [...]audit.System{audit.Isolated, audit.SinglePhaseRailway, audit.DirectCurrent, audit.Resonant}
	for turn := range systems {
		p, err := read.Project(context.Background(), demoProject)
		require.NoError(t, err)
		for i := range p.Lines {
			row := &p.Lines[i]
			row.System, row.LightningKV, row.SwitchingKV, row.CreepageKV = systems[(i+turn)%len(systems)], math.NaN(), math.NaN(), math.NaN()
			if row.System == audit.DirectCurrent {
				row.CreepageKV = 1.1 * row.NominalKV
			} else if row.System == audit.SinglePhaseRailway {
				row.HighestKV = 1.1 * row.NominalKV
			}
		}
		c := &p.Criteria
		c.CreepageVoltage = audit.CreepageVoltage{Isolated: basis.PerPhaseToPhase, Resonant: basis.PerPhaseToEarth, EarthFaults: "cut off within 10 s"}
		for class := basis.ClassA; class <= basis.ClassF; class++ {
			c.DirectCreepage.MMPerKV[class] = 30 + 10*float64(class)
		}
		c.GradingRings = audit.GradingRings{{FromKV: 1, Ends: audit.BothEnds}}
		c.WatchList = audit.WatchList{{Material: "porcelain", Note: "look"}, {Material: "glass", Until: 2020, Note: "look twice"}}
		for i := range p.Assemblies.Len() {
			p.Assemblies.Row(i).Rings = audit.LiveEnd
		}
		for i := range p.Units {
			if p.Units[i].Kind == basis.LongRod {
				p.Units[i].Kind = basis.Composite
			}
		}
		n, err := audit.Arrange(p)
		require.NoError(t, err)
		require.NoError(t, audit.Derive(context.Background(), n, 2))
		result, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{Workers: 2, Version: version, AsOf: "2026-01-01"})
		require.NoError(t, err)
		found := map[string]int{}
		for i := range result.Exceptions {
			e := &result.Exceptions[i]
			found[result.Checks[e.Check].ID+" "+n.Lines[e.Line].Row.System.String()]++
		}
		for _, system := range systems[:3] {
			require.Greater(t, found["creepage "+system.String()], 3, system)
		}
		out := t.TempDir()
		_, err = report.Write(context.Background(), out, result, nil, report.How{})
		require.NoError(t, err)
		require.Greater(t, requireSameWorking(t, office, out), 100)
	}
}
