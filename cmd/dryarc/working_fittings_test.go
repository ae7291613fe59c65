package main

import (
	"context"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"
	"dryarc/report"

	"github.com/stretchr/testify/require"
)

// LibreOffice recomputes the loads on clamps, yokes, and ball and socket of single, parallel and V strings, where each in its turn is the weakest, by
// factors for a load case, a kind of case, a material, the years, the ends of lines and what spans cross.
func TestLibreOfficeAgreesWithFittingsAndExactFactors(t *testing.T) {
	t.Parallel()
	office := tool(t, "soffice")
	p, err := read.Project(context.Background(), demoProject)
	require.NoError(t, err)
	p.Criteria.UnequalSharing = audit.Stated(1.1)
	p.Criteria.LoadCases = []audit.LoadCase{
		{Name: "storm", Kind: "wind", WindPa: 600, From: audit.MaximumTension, Factor: 1.3, FactorBasis: "invented"},
		{Name: "ice", Kind: "ice", IceMM: 20, IceDensityKgPerM3: 900, From: audit.MaximumTension, Factor: 1},
		{Name: "cold", Kind: "cold", From: audit.ColdTension, Factor: 1, Uplift: true},
	}
	fitting, one := []audit.FactorOf{audit.FittingFactor}, []audit.FactorOf{audit.OneStringBrokenFactor, audit.FittingOneStringBrokenFactor}
	insulator := []audit.FactorOf{audit.TensionFactor, audit.SuspensionFactor, audit.CantileverFactor, audit.CompressionFactor}
	p.Criteria.InsulatorFactor = audit.InsulatorFactor{Basis: "general", Tension: 10, Suspension: 12, Cantilever: 12, Compression: 9, OneStringBroken: 8, Fitting: 7, FittingOneStringBroken: 5,
		By: []audit.ExactFactor{
			{For: fitting, Cases: []string{"ice"}, Factor: 6.5, Basis: "by case"},
			{For: fitting, At: audit.AtTerminal, Factor: 11, Basis: "by end"},
			{For: fitting, Crossings: []string{"river", "road"}, Factor: 9.5, Basis: "by crossing"},
			{For: one, Kinds: []string{"wind"}, Factor: 8.5, Basis: "by kind"},
			{For: insulator, Materials: []string{"glass"}, Factor: 9, Basis: "by material"},
			{For: insulator, InstalledFrom: 2010, Factor: 13, Basis: "by years"},
			{For: insulator, Units: []string{"U160BL"}, Crossings: []string{"railway", "road"}, Factor: 14, Basis: "by unit"},
		}}
	kN := [...]float64{25, 50, 90}
	for i := range p.Assemblies.Len() {
		row := p.Assemblies.Row(i)
		figures := audit.UnknownDirectValues()
		if stated := p.Figures(row); stated != nil {
			figures = *stated
		}
		for f := range figures.FittingsKN {
			figures.FittingsKN[f] = kN[(i+f)%len(kN)]
		}
		row.Direct = p.AddFigures(figures)
		switch {
		case row.Duty == audit.Suspension && i%3 == 0:
			row.Arrangement, row.Strings, row.VAngleDeg = audit.VSet, 2, [...]float32{30, 80, 130}[i/3%3]
		case row.Duty == audit.Suspension && i%3 == 1:
			row.Arrangement, row.Strings = audit.Parallel, 2
		}
	}
	for i := range p.Lines {
		p.Lines[i].Subconductors = 1 + i%2
	}
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 2))
	result, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{Workers: 2, Version: version, AsOf: "2026-01-01"})
	require.NoError(t, err)
	found := map[string]int{}
	for i := range result.Exceptions {
		e := &result.Exceptions[i]
		for _, of := range [...]string{"The clamp of", "The yoke of", "The ball and socket of", "leg that stays taut", "by case", "by end", "by crossing", "by kind", "by material", "by years", "by unit"} {
			if strings.Contains(e.Verdict.Sentence, of) {
				found[of]++
			}
		}
	}
	require.Len(t, found, 11)
	for of, times := range found {
		require.Greater(t, times, 5, of)
	}
	out := t.TempDir()
	_, err = report.Write(context.Background(), out, result, nil, report.How{})
	require.NoError(t, err)
	require.Greater(t, requireSameWorking(t, office, out), 1000)
}
