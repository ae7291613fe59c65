package main

import (
	"fmt"
	"runtime"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"
	"dryarc/audit/remedy"
	"dryarc/report"
)

type explainCommand struct {
	Project   string `arg:"" help:"Project file (YAML)."`
	Line      string `arg:"" help:"Line, as written in the inputs."`
	Structure string `arg:"" help:"Structure, as written in the inputs."`
	AsOf      string `placeholder:"DATE" help:"Date of the audit, YYYY-MM-DD (default: today)."`
}

// Run explains with every check.
func (c *explainCommand) Run(at surroundings) error { return c.explain(at, checks.All()) }

// explain prints the derivation of every verdict on one structure.
func (c *explainCommand) explain(at surroundings, list []*audit.Check) error {
	settings := auditCommand{Format: formats[0], Log: formats[0], AsOf: c.AsOf}
	options, err := settings.options()
	if err != nil {
		return err
	}
	project, err := read.Project(at.ctx, c.Project)
	if err != nil {
		return err
	}
	project.AsOf = audit.DayOf(options.AsOf)
	network, err := audit.Arrange(project)
	if err != nil {
		return err
	}
	c.Line, c.Structure = read.Composed(c.Line), read.Composed(c.Structure)
	line, structure, err := network.FindStructure(c.Line, c.Structure)
	if err != nil {
		return err
	}
	if err := audit.Derive(at.ctx, network, runtime.NumCPU()); err != nil {
		return err
	}
	derivations := audit.Explain(network, list, line, structure)
	report.Explanation(at.stdout, network, line, structure, derivations)
	result, err := audit.Assess(at.ctx, network, list, audit.Options{Version: version, Lines: []string{c.Line}, Workers: runtime.NumCPU()})
	if err != nil {
		return err
	}
	if err := report.RiskExplained(at.ctx, at.stdout, result, line, structure); err != nil {
		return err
	}
	if err := propose(at, result, line, structure); err != nil {
		return err
	}
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

// propose prints what to hang at the structure, where something falls short.
func propose(at surroundings, result *audit.Result, line, structure int) error {
	jobs, err := remedy.Search(at.ctx, result, remedy.Options{Workers: runtime.NumCPU()})
	for i := range jobs {
		if jobs[i].Line == line && jobs[i].Structure == structure {
			report.Proposal(at.stdout, result, &jobs[i])
		}
	}
	return err
}
