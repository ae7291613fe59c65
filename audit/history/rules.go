package history

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"

	"dryarc/audit"
)

// Rules are what each check of a result judges by, as hashes by its ID: the version of the program, the check as it describes itself, and
// the criteria, those of some lines included. Where two runs have the same, a verdict that differs comes of the line and its data.
func Rules(r *audit.Result) map[string]string {
	rules := make(map[string]string, len(r.Checks))
	criteria := r.Project.Criteria.List()
	for _, check := range r.Checks {
		sum := sha256.New()
		fmt.Fprintf(sum, "%q %q %s %q %q\n", r.Run.Version, check.ID, check.Severity, check.Method.Formula, check.Method.Limits)
		for i := range criteria {
			if touches(criteria[i].Key, check.ID) {
				writeCriterion(sum, &criteria[i])
			}
		}
		for i := range r.Project.Rules {
			writeRules(sum, r, &r.Project.Rules[i], check.ID)
		}
		rules[check.ID] = hex.EncodeToString(sum.Sum(nil))[:ruleDigits]
	}
	return rules
}

// ruleDigits is the length of a hash of a rule.
const ruleDigits = 12

// writeRules writes what holds on some lines of what may decide what a check says.
func writeRules(sum hash.Hash, r *audit.Result, of *audit.Rules, check string) {
	var own []audit.InForce
	for _, k := range of.Stated() {
		if touches(k.Key, check) {
			own = append(own, k)
		}
	}
	if len(own) == 0 {
		return
	}
	for _, line := range of.Lines {
		fmt.Fprintf(sum, "%q ", r.Project.Symbols.Text(line))
	}
	for i := range own {
		writeCriterion(sum, &own[i])
	}
}

func writeCriterion(sum hash.Hash, k *audit.InForce) {
	fmt.Fprintf(sum, "%s %q %t\n", k.Key, k.Value, k.Stated)
}

// touches tells whether a criterion may decide what a check says. Most may, by what a structure requires; a doubt counts as yes, since
// then it is put down to the rule and not to the line.
func touches(criterion, check string) bool {
	switch criterion {
	case "remedy", "priority": // they choose what to hang instead, and what to do first
		return false
	case "puncture_share":
		return check == "puncture-margin"
	case "zone_margin_m":
		return check == "near-worse-zone"
	case "sound_units":
		return check == "sound-units"
	}
	return true
}
