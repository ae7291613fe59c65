package main

import (
	"fmt"
	"strings"
	"testing"

	"dryarc/audit/read"
)

// The README's table of columns is made from their declarations.
func TestREADMEListsTheColumns(t *testing.T) {
	var table strings.Builder
	for _, sheet := range append(read.Sheets(), read.InspectionsSheet()) {
		fmt.Fprintf(&table, "\n**%s**: %s.\n\n| column | required | holds |\n| --- | --- | --- |\n", sheet.Name, sheet.Meaning)
		for _, c := range sheet.Columns {
			required := ""
			if c.Required {
				required = "yes"
			}
			holds := c.Meaning
			if len(c.Words) > 0 {
				holds += ": " + strings.Join(c.Words, ", ")
			}
			fmt.Fprintf(&table, "| %s | %s | %s |\n", c.Heading, required, holds)
		}
	}
	table.WriteString("\n")
	requireInREADME(t, "columns", table.String())
}
