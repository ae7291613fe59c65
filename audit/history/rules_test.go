package history

import (
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// What a check judges by has changed where it changed on some lines, unless the criterion is none of its own, and only there.
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
	const puncture = "puncture-margin"
	require.NotEqual(t, none[puncture+onSomeLines], half[puncture+onSomeLines])
	require.NotEqual(t, half[puncture+onSomeLines], most[puncture+onSomeLines])
	require.Equal(t, []string{none[puncture], none[puncture]}, []string{half[puncture], most[puncture]})
	require.Equal(t, none["sound-units"], half["sound-units"])
	require.NotContains(t, half, "sound-units"+onSomeLines)
	changed := func(then, now map[string]string) int {
		return (&Changes{Since: &Since{Rules: then}, Rules: now}).RulesChanged()
	}
	require.Equal(t, []int{1, 1, 1, 0}, []int{changed(none, half), changed(half, most), changed(half, none), changed(half, half)})
}

// Every criterion is one that may change what some check says, but for those that only choose among remedies and order them, and count what hangs.
func TestCriteriaTouchRules(t *testing.T) {
	touching := func(key string) bool {
		return touches(key, "creepage") || touches(key, "puncture-margin") || touches(key, "near-worse-zone") || touches(key, "past-stated-age") || touches(key, "broken-conductor") || touches(key, "grading-rings") || touches(key, "on-watch-list") || touches(key, "sound-units")
	}
	var idle []string
	for _, k := range audit.AllCriteria() {
		if !touching(k.Key) {
			idle = append(idle, k.Key)
		}
	}
	require.ElementsMatch(t, []string{"remedy", "priority", "cohort_years", "risk", "height_accuracy_m", "zone_accuracy_m", "tension_accuracy_percent"}, idle)
}
