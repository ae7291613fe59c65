package main

import (
	"context"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"
	"dryarc/audit/read"
	"dryarc/report"

	"github.com/stretchr/testify/require"
)

// LibreOffice recomputes gaps over the units of strings, with and without defective ones, tested wet values of switching impulse, and the minima of dry and wet flashover
// between the rows of their table.
func TestLibreOfficeAgreesWithRangeTwoAndFlashoverMinima(t *testing.T) {
	t.Parallel()
	office := tool(t, "soffice")
	p, err := read.Project(context.Background(), demoProject)
	require.NoError(t, err)
	p.Criteria.ArcingDistance, p.Criteria.FlashoverMinimum = audit.ArcingOverUnits, basis.GO64Table6
	for i := range p.Lines {
		if line := &p.Lines[i]; line.NominalKV == 220 {
			line.NominalKV, line.HighestKV, line.LightningKV, line.SwitchingKV = 400, 420, 1300, 850
		}
	}
	wet := audit.UnknownDirectValues()
	wet.WetSwitchingKV = 840
	figures := p.AddFigures(wet)
	for i := range p.Assemblies.Len() {
		row := p.Assemblies.Row(i)
		if row.Duty != audit.Suspension && row.Duty != audit.Tension {
			continue
		}
		switch p.Symbols.Text(row.Line) {
		case "DF-220":
			if row.Defective = int16(i % 4); i%5 == 0 {
				row.Direct = figures
			}
		default:
			row.UnitsPerString, row.Defective = int16(4+i%3), 0
		}
	}
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 2))
	result, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{Workers: 2, Version: version, AsOf: "2026-01-01"})
	require.NoError(t, err)
	found := map[string]int{}
	for i := range result.Exceptions {
		found[result.Checks[result.Exceptions[i].Check].ID]++
	}
	for _, check := range []string{"switching-withstand", "lightning-withstand", "dry-wet-minimum"} {
		require.Greater(t, found[check], 10, check)
	}
	require.Equal(t, 1, found["level-pair"])
	out := t.TempDir()
	_, err = report.Write(context.Background(), out, result, nil, report.How{})
	require.NoError(t, err)
	require.Greater(t, requireSameWorking(t, office, out), 100)
}
