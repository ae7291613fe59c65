package main

import (
	"fmt"
	"runtime"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"
	"dryarc/report"
)

type explainCommand struct {
	Project   string `arg:"" help:"Project file (YAML)."`
	Line      string `arg:"" help:"Line, as written in the inputs."`
	Structure string `arg:"" help:"Structure, as written in the inputs."`
}

// Run explains with every check.
func (c *explainCommand) Run(at surroundings) error { return c.explain(at, checks.All()) }

// explain prints the derivation of every verdict on one structure.
func (c *explainCommand) explain(at surroundings, list []*audit.Check) error {
	project, err := read.Project(at.ctx, c.Project)
	if err != nil {
		return err
	}
	network, err := audit.Arrange(project)
	if err != nil {
		return err
	}
	line, structure, err := network.FindStructure(c.Line, c.Structure)
	if err != nil {
		return err
	}
	if err := audit.Derive(at.ctx, network, runtime.NumCPU()); err != nil {
		return err
	}
	derivations := audit.Explain(network, list, line, structure)
	report.Explanation(at.stdout, network, line, structure, derivations)
	failed := 0
	for i := range derivations {
		if d := &derivations[i]; d.Failed != "" {
			fmt.Fprintf(at.stderr, "check %s failed: %s\n", d.Check.ID, d.Failed)
			failed++
		}
	}
	if failed > 0 {
		return &checkFailed{failed}
	}
	return nil
}
