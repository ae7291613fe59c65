package main

import (
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

// Run prints the derivation of every verdict on one structure.
func (c *explainCommand) Run(at surroundings) error {
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
	report.Explanation(at.stdout, network, line, structure, audit.Explain(network, checks.All(), line, structure))
	return nil
}
