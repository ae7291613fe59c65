package report

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// Beside the cost stands by what the remedies were chosen that it is of.
func TestCostsSayWhatCountedFirst(t *testing.T) {
	p := fixture(t)
	s := lookedAt(t, p, "at 245 kV")
	const standing = "Cost is that of all units to fit, of the remedies that come first by fewest changes, then price, then length (criterion remedy); others may cost less. What is to be bought, without units to use again, stands under Material."
	require.Equal(t, standing, costsInWords(s.Scenarios))
	var out bytes.Buffer
	require.NoError(t, s.writeBook(context.Background(), &out, s.Today))
	text, err := openFile(t, saved(t, "scope.xlsx", out.Bytes())).GetCellValue(scenariosSheet, "A3")
	require.NoError(t, err)
	require.Contains(t, text, standing)
	require.Contains(t, scripted.ReplaceAllString(scopePageOf(t, s), ""), standing)

	p = fixture(t)
	p.Criteria.Remedy.Prefer = []audit.Preference{audit.LeastPrice}
	require.Equal(t, strings.Replace(strings.Replace(standing, "fewest changes, then price", "price, then fewest changes", 1), "; others may cost less", "", 1), costsInWords(lookedAt(t, p, "at 245 kV").Scenarios))

	other := &ScopeOf{scenario: &audit.Scenario{Name: "x"}, lines: []string{"B"}, perLine: []scopeLine{{line: "B", prefer: []audit.Preference{audit.LeastPrice, audit.FewestChanges, audit.LeastLength}}}}
	require.Contains(t, costsInWords(append(s.Scenarios[:1:1], other)), "by fewest changes, then price, then length ("+isolated(s.Scenarios[0].perLine[0].line)+", ", "each order names what it is of")
	require.Contains(t, costsInWords(append(s.Scenarios[:1:1], other)), "; by price, then fewest changes, then length ("+isolated("B")+", "+isolated("x")+") (criterion remedy); others may cost less")
}
