package history

import (
	"slices"
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
		return slices.ContainsFunc(checks.All(), func(check *audit.Check) bool { return touches(key, check) })
	}
	var idle []string
	for _, k := range audit.AllCriteria() {
		if !touching(k.Key) {
			idle = append(idle, k.Key)
		}
	}
	require.ElementsMatch(t, []string{"remedy", "priority", "cohort_years", "risk", "height_accuracy_m", "zone_accuracy_m", "tension_accuracy_percent"}, idle)
}

// All of a criterion is of the rule, not only what the outputs say of it; and load cases and factors are of the rules of those checks alone that go by them.
func TestRulesGoByAllOfACriterion(t *testing.T) {
	all := checks.All()
	changed := func(change func(c *audit.Criteria)) (ids []string) {
		p := &audit.Project{Criteria: audit.DefaultCriteria()}
		p.Criteria.LoadCases = []audit.LoadCase{{Name: "storm", WindPa: 600, From: audit.MaximumTension, Factor: 1, TemperatureC: audit.NotStated()}}
		p.Criteria.InsulatorFactor = audit.InsulatorFactor{Basis: "own rule", Tension: 2, Suspension: 2, OneStringBroken: 1.5}
		before := Rules(&audit.Result{Project: p, Checks: all})
		p.Criteria.LoadCases = slices.Clone(p.Criteria.LoadCases)
		change(&p.Criteria)
		for id, rule := range Rules(&audit.Result{Project: p, Checks: all}) {
			if before[id] != rule {
				ids = append(ids, id)
			}
		}
		slices.Sort(ids)
		return ids
	}
	for name, change := range map[string]func(c *audit.Criteria){
		"wind":     func(c *audit.Criteria) { c.LoadCases[0].WindPa = 100 },
		"tension":  func(c *audit.Criteria) { c.LoadCases[0].From = audit.EverydayTension },
		"ice":      func(c *audit.Criteria) { c.LoadCases[0].IceMM = 5 },
		"factor":   func(c *audit.Criteria) { c.LoadCases[0].Factor = 1.2 },
		"a second": func(c *audit.Criteria) { c.LoadCases = append(c.LoadCases, audit.LoadCase{Name: "calm", Factor: 1}) },
	} {
		ids := changed(change)
		for _, check := range all {
			if check.Rests&audit.RestsOnLoad != 0 {
				require.Contains(t, ids, check.ID, name)
			}
		}
		for _, id := range []string{"creepage", "near-worse-zone", "lightning-withstand", "wet-withstand", "units-for-voltage", "odd-one-out", "grading-rings", "level-pair"} {
			require.NotContains(t, ids, id, name)
		}
	}
	for name, change := range map[string]func(c *audit.Criteria){
		"factor": func(c *audit.Criteria) { c.InsulatorFactor.Fitting = 1.9 },
		"basis":  func(c *audit.Criteria) { c.InsulatorFactor.Basis = "another" },
		"by case": func(c *audit.Criteria) {
			c.InsulatorFactor.By = []audit.ExactFactor{{Factor: 3, Basis: "study", Cases: []string{"storm"}}}
		},
	} {
		require.Equal(t, []string{"broken-conductor", "fitting-broken-conductor", "fitting-strength", "fitting-strength-one-string-broken", "strength", "strength-one-string-broken"}, changed(change), name)
	}
}
