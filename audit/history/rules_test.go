package history

import (
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// What a check judges by has changed where it changed on some lines, unless the criterion is none of its own.
func TestRulesCountCriteriaOfSomeLines(t *testing.T) {
	with := func(share float64) map[string]string {
		p := &audit.Project{Criteria: audit.DefaultCriteria()}
		line := p.Symbols.Number("L")
		if share > 0 {
			rules := audit.Rules{Lines: []audit.Symbol{line}, Criteria: p.Criteria}
			own := p.Criteria
			own.PunctureShare = audit.Stated(share)
			rules.Lay(own, []string{"puncture_share"}, "the project file, for these lines")
			p.Rules = []audit.Rules{rules}
		}
		return Rules(&audit.Result{Project: p, Checks: checks.All()})
	}
	none, half, most := with(0), with(0.5), with(0.9)
	require.NotEqual(t, none["puncture-margin"], half["puncture-margin"])
	require.NotEqual(t, half["puncture-margin"], most["puncture-margin"])
	require.Equal(t, none["sound-units"], half["sound-units"])
}

// Every criterion is one that may change what some check says, but for those that only choose among remedies and order them.
func TestCriteriaTouchRules(t *testing.T) {
	touching := func(key string) bool {
		return touches(key, "creepage") || touches(key, "puncture-margin") || touches(key, "near-worse-zone") || touches(key, "sound-units")
	}
	var idle []string
	for _, k := range audit.AllCriteria() {
		if !touching(k.Key) {
			idle = append(idle, k.Key)
		}
	}
	require.ElementsMatch(t, []string{"remedy", "priority"}, idle)
}
