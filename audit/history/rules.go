package history

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"maps"
	"slices"

	"dryarc/audit"
)

// Rules are what each check of a result judges by, as hashes by its ID: the version of the program, the check as it describes itself, and
// the criteria. Where two runs have the same, a verdict that differs comes of the line and its data. On lines that have rules of their own others
// may hold, see Changes.RuleOf; all of those together have a hash too, by onSomeLines.
func Rules(r *audit.Result) map[string]string {
	rules := rulesBy(r, &r.Project.Criteria, nil)
	ofLines := rulesOfLines(r)
	for _, check := range slices.Collect(maps.Keys(rules)) {
		sum, some := sha256.New(), false
		for i := range r.Project.Rules {
			own := &r.Project.Rules[i]
			if ofLines[own][check] == rules[check] {
				continue
			}
			some = true
			for _, line := range own.Lines {
				fmt.Fprintf(sum, "%q ", r.Project.Symbols.Text(line))
			}
			fmt.Fprintln(sum, ofLines[own][check])
		}
		if some {
			rules[check+onSomeLines] = short(sum)
		}
	}
	return rules
}

// onSomeLines stands behind the ID of a check of which other criteria hold on some lines.
const onSomeLines = ", on some lines"

// rulesBy are the hashes of the checks by criteria, and by the classes that take the place of others where any do.
func rulesBy(r *audit.Result, by *audit.Criteria, classes any) map[string]string {
	rules := make(map[string]string, len(r.Checks))
	criteria := by.List()
	whole := make([][]byte, len(criteria)) // in words load cases are their names alone
	for i := range criteria {
		whole[i] = by.AsJSON(&criteria[i].Criterion)
	}
	for _, check := range r.Checks {
		sum := sha256.New()
		fmt.Fprintf(sum, "%q %q %s %q %q\n", r.Run.Version, check.ID, check.Severity, check.Method.Formula, check.Method.Limits)
		for i := range criteria {
			if touches(criteria[i].Key, check) {
				fmt.Fprintf(sum, "%s %q %t %s\n", criteria[i].Key, criteria[i].Value, criteria[i].Stated, whole[i])
			}
		}
		if classes != nil {
			fmt.Fprintf(sum, "%v\n", classes)
		}
		rules[check.ID] = short(sum)
	}
	return rules
}

// rulesOfLines are the hashes of the checks on lines that have rules of their own.
func rulesOfLines(r *audit.Result) map[*audit.Rules]map[string]string {
	of := make(map[*audit.Rules]map[string]string, len(r.Project.Rules))
	for i := range r.Project.Rules {
		own := &r.Project.Rules[i]
		var classes any
		if own.Classes != nil {
			classes = *own.Classes
		}
		of[own] = rulesBy(r, &own.Criteria, classes)
	}
	return of
}

// RuleOf is what a check judges a line by.
func (c *Changes) RuleOf(r *audit.Result, check string, line int) string {
	if own := r.Network.RulesOf(line); own != nil {
		return c.ofLines[own][check]
	}
	return c.Rules[check]
}

// ruleChanged tells whether a check judges a line by another rule than it did, or may: of a run that noted none that is not known.
func (c *comparison) ruleChanged(was *Record, line int) bool {
	return was.Rule == "" || was.Rule != c.out.RuleOf(c.r, was.Check, line)
}

// ruleDigits is the length of a hash of a rule.
const ruleDigits = 12

func short(sum hash.Hash) string { return hex.EncodeToString(sum.Sum(nil))[:ruleDigits] }

// touches tells whether a criterion may decide what a check says. Most may, by what a structure requires; a doubt counts as yes, since
// then it is put down to the rule and not to the line.
func touches(criterion string, of *audit.Check) bool {
	restsOn := func(kinds audit.Rests) bool { return of.Rests == 0 || of.Rests&kinds != 0 }
	switch check := of.ID; criterion {
	case "remedy", "priority", "cohort_years", "risk", "height_accuracy_m", "zone_accuracy_m", "tension_accuracy_percent": // they choose what to hang instead, what to do first, how what hangs is counted, what is ranked, and what is told of errors
		return false
	case "load_cases", "stated_tension", "unequal_sharing", "residual_strength", "combined_loads":
		return restsOn(audit.RestsOnLoad | audit.RestsOnCourse)
	case "insulator_factor":
		return restsOn(audit.RestsOnRating | audit.RestsOnFitting)
	case "puncture_share":
		return check == "puncture-margin"
	case "ageing":
		return check == "past-stated-age"
	case "broken_conductor":
		return check == "broken-conductor" || check == "fitting-broken-conductor"
	case "watch_list":
		return check == "on-watch-list"
	case "grading_rings":
		return check == "grading-rings"
	case "zone_margin_m":
		return check == "near-worse-zone"
	case "sound_units":
		return check == "sound-units"
	}
	return true
}
