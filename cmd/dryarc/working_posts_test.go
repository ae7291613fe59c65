package main

import (
	"context"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"
	"dryarc/report"

	"github.com/stretchr/testify/require"
)

// LibreOffice recomputes what posts of every mounting and V sets are judged by, under loads that hardly any bears.
func TestLibreOfficeAgreesWithPostsAndLegs(t *testing.T) {
	t.Parallel()
	office := tool(t, "soffice")
	for _, rule := range []audit.CombinedLoads{audit.SumOfUtilisations, audit.EachUtilisation} {
		p, err := read.Project(context.Background(), demoProject)
		require.NoError(t, err)
		p.Criteria.CombinedLoads, p.Criteria.CombinedLoadsStated, p.Criteria.UnequalSharing = rule, true, audit.Stated(1.1)
		p.Criteria.LoadCases = []audit.LoadCase{
			{Name: "storm", WindPa: 900, From: audit.MaximumTension, Factor: 15, FactorBasis: "invented"},
			{Name: "ice", IceMM: 40, IceDensityKgPerM3: 900, From: audit.MaximumTension, Factor: 12},
		}
		mountings := [...]audit.Mounting{audit.MountingUnknown, audit.Upright, audit.Horizontal}
		for i := range p.Assemblies.Len() {
			switch row := p.Assemblies.Row(i); row.Duty {
			case audit.Pin, audit.Post:
				row.Mounting, row.Strings = mountings[i%3], int16(1+i%2)
			case audit.Suspension:
				row.Arrangement, row.Strings, row.VAngleDeg = audit.VSet, 2, [...]float32{20, 140}[i%2]
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
			if e.Assembly >= 0 {
				found[result.Checks[e.Check].ID+" "+p.Assemblies.Row(e.Assembly).Duty.String()]++
			}
		}
		for _, kind := range []string{"strength pin", "strength post", "strength suspension", "slack-leg suspension"} {
			require.Greater(t, found[kind], 10, kind)
		}
		out := t.TempDir()
		_, err = report.Write(context.Background(), out, result, nil, report.How{})
		require.NoError(t, err)
		require.Greater(t, requireSameWorking(t, office, out), 300)
	}
}
