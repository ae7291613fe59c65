package main

import (
	"fmt"

	"dryarc/report"
)

type verifyCommand struct {
	Dir string `arg:"" help:"Folder of the outputs."`
}

// Run says what keeps a folder from being one whole run, or that nothing does: a line for an audit, and one for a run over scenarios. It
// writes nothing into it.
func (c *verifyCommand) Run(at surroundings) error {
	v, err := report.Verify(c.Dir)
	for _, lines := range [][]string{v.Damage, v.Remarks} {
		for _, line := range lines {
			fmt.Fprintln(at.stdout, report.Visible(line))
		}
	}
	if err != nil {
		return err
	}
	if !v.Whole() {
		return &found{fmt.Sprintf("%s is not one whole run", c.Dir)}
	}
	for _, of := range v.Runs {
		fmt.Fprintf(at.stdout, "whole: %d files of run %s, as of %s, unchanged since\n", of.Files, report.Visible(of.Run), report.Visible(of.AsOf))
	}
	return nil
}
