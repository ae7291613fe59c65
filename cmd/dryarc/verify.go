package main

import (
	"fmt"

	"dryarc/report"
)

type verifyCommand struct {
	Dir string `arg:"" help:"Folder of the outputs."`
}

// Run says what keeps a folder from being one whole run, or that nothing does. It writes nothing into it.
func (c *verifyCommand) Run(at surroundings) error {
	v, err := report.Verify(c.Dir)
	if err != nil {
		return err
	}
	for _, lines := range [][]string{v.Damage, v.Remarks} {
		for _, line := range lines {
			fmt.Fprintln(at.stdout, report.Visible(line))
		}
	}
	if !v.Whole() {
		return &found{fmt.Sprintf("%s is not one whole run", c.Dir)}
	}
	fmt.Fprintf(at.stdout, "whole: %d files of run %s, as of %s, unchanged since\n", v.Files, report.Visible(v.Run), report.Visible(v.AsOf))
	return nil
}
