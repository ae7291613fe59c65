package main

import (
	"fmt"
	"io"
	"strings"

	"dryarc/audit/read"
)

// tables lists what inputs may hold: reference systems, columns, or both.
func (c *readCommand) tables(at surroundings) error {
	var b strings.Builder
	if c.Systems {
		for _, system := range read.Systems() {
			b.WriteString(system + "\n")
		}
	}
	if c.Columns {
		for i, sheet := range append(read.Sheets(), read.InspectionsSheet()) {
			if i > 0 || c.Systems {
				b.WriteString("\n")
			}
			fmt.Fprintf(&b, "%s: %s\n", sheet.Name, sheet.Meaning)
			for _, column := range sheet.Columns {
				printColumn(&b, column)
			}
		}
	}
	_, err := io.WriteString(at.stdout, b.String())
	return err
}

// printColumn prints a column: what it holds, and what else it may be called.
func printColumn(b *strings.Builder, c read.Column) {
	needed := ""
	if c.Required {
		needed = ", required"
	}
	fmt.Fprintf(b, "  %s%s: %s\n", c.Heading, needed, c.Meaning)
	for _, list := range [...]struct {
		name  string
		words []string
	}{{"words", c.Words}, {"units", c.Units}, {"other headings", c.Synonyms}} {
		if len(list.words) > 0 {
			fmt.Fprintf(b, "    %s: %s\n", list.name, strings.Join(list.words, ", "))
		}
	}
}
