package main

import (
	"fmt"
	"strings"
	"testing"

	"dryarc/audit"
)

// The README's table of criteria is made from their records.
func TestREADMEListsTheCriteria(t *testing.T) {
	var table strings.Builder
	table.WriteString("| key | criterion | unit of measure | range | where not stated | meaning |\n| --- | --- | --- | --- | --- | --- |\n")
	criteria := audit.DefaultCriteria()
	for _, c := range criteria.List() {
		unstated := c.From()
		if c.Value != audit.NothingStated {
			unstated = c.Value + " (" + strings.TrimPrefix(unstated, "default, ") + ")"
		}
		fmt.Fprintf(&table, "| `%s` | %s | %s | %s | %s | %s |\n", c.Key, c.Name, c.Measure, c.Range(), strings.TrimPrefix(unstated, "default: "), c.Meaning)
	}
	requireInREADME(t, "criteria", table.String())
}
