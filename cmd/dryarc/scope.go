package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/headroom"
	"dryarc/audit/read"
	"dryarc/audit/scope"
	"dryarc/report"
)

type scopeCommand struct {
	Project  string        `arg:"" help:"Project file (YAML), with scenarios."`
	Scenario []string      `placeholder:"NAME" sep:"none" help:"Look at this scenario only; may be given more than once (default: all)."`
	Out      string        `default:"scope" placeholder:"DIR" help:"Folder for the outputs (default: ${default})."`
	Headroom bool          `help:"Say too how far each line is from falling short, as it stands and in each scenario, on the sheet Headroom; needs no scenarios."`
	FailOn   *string       `placeholder:"LEVEL" help:"Exit with 1 when a scenario has an exception at or above shortfall, advisory or note that today does not have, or has as a milder one."`
	AsOf     string        `placeholder:"DATE" help:"Date of the audit, YYYY-MM-DD (default: today)."`
	Also     []string      `placeholder:"NAMES" help:"Write these of one scenario too: register (as it would be with the remedies done), lines (its sheet Lines)."`
	Workers  int           `placeholder:"N" help:"Lines worked on at a time (default: one for each processor)."`
	Wait     time.Duration `default:"10m" placeholder:"DURATION" help:"How long to wait for another run that writes to the same folder (default: ${default})."`
	NoLock   bool          `help:"Write without a lock, where the file system has none and no other run writes there."`
	Quiet    bool          `help:"Print nothing but errors."`
}

// Run is the data flow of an audit, then each scenario of the project file over the same inputs.
func (c *scopeCommand) Run(at surroundings) error {
	settings := auditCommand{Project: c.Project, Format: formats[0], Log: formats[0], Out: c.Out, AsOf: c.AsOf, Workers: c.Workers, Wait: c.Wait, NoLock: c.NoLock, Quiet: c.Quiet}
	options, err := settings.options()
	if err != nil {
		return err
	}
	if c.FailOn != nil && !slices.Contains(failLevels[:severityLevels], *c.FailOn) {
		return noneOf("--fail-on", *c.FailOn, failLevels[:severityLevels])
	}
	progress := newProgress(at.screen, c.Quiet)
	defer progress.clear()

	progress.stage("reading " + c.Project)
	project, err := read.ForScope(at.ctx, c.Project)
	if err != nil {
		return err
	}
	for _, name := range c.Also {
		if name != report.AlsoRegister && name != report.AlsoLines {
			return &usage{fmt.Sprintf("--also %q is none of %s, %s", name, report.AlsoRegister, report.AlsoLines)}
		}
	}
	list, err := scope.Choose(project, c.Scenario)
	if err != nil {
		return withNames(err, project)
	}
	if len(list) == 0 && !c.Headroom {
		return &read.ProjectFileError{File: c.Project, Message: "has no scenarios, expected the key scenarios, or --headroom to look at the lines as they stand",
			Hint: "scenarios: [{name: 220 kV, lines: [L-1], set: {nominal_voltage_kV: 220}}]"}
	}
	if len(c.Also) > 0 && len(list) != 1 {
		return &usage{fmt.Sprintf("--also is of one scenario, and there are %d, expected --scenario with one of their names", len(list))}
	}
	if err := report.RefusedOfScope(project, c.Also); err != nil {
		return err
	}
	project.AsOf = audit.DayOf(options.AsOf)
	pristine := project.Pristine()
	progress.stage("arranging lines")
	network, err := audit.Arrange(project)
	if err != nil {
		return err
	}
	if err := usable(network); err != nil {
		return err
	}
	progress.stage("deriving geometry")
	if err := audit.Derive(at.ctx, network, options.Workers); err != nil {
		return err
	}
	options.Progress = progress.lines
	today, err := audit.Assess(at.ctx, network, checks.All(), options)
	if err != nil {
		return err
	}
	out := &report.Scope{Today: today, WithHeadroom: c.Headroom}
	if c.Headroom {
		progress.stage("looking for headroom")
		if out.Headroom, err = headroom.Of(at.ctx, today, options.Workers); err != nil {
			return err
		}
	}
	failed, fresh := 0, [severityLevels]int{}
	var telling *report.ScopeOf // the scenario at hand
	due := report.DueToday{}
	err = scope.Run(at.ctx, pristine, today, scope.Options{Names: c.Scenario, Workers: options.Workers, Starting: func(name string) {
		progress.stage("looking at scenario " + name)
	}, Judged: func(l *scope.Look) { telling = report.NewScopeOf(l, due) }}, func(l *scope.Look) (err error) {
		if telling.AddJobs(l, len(c.Also) > 0); c.Headroom {
			if telling.Headroom, err = headroom.OfLines(at.ctx, l.Then, func(line int) bool { return l.Chosen[line] }, options.Workers); err != nil {
				return err
			}
		}
		out.Scenarios = append(out.Scenarios, telling)
		for _, i := range l.New {
			fresh[l.Then.Exceptions[i].Verdict.Severity]++
		}
		failed += l.Then.JudgedErrors() // no output has the schedule of a scenario
		return nil
	})
	if err != nil {
		return err
	}
	today.Run.ID = report.ScopeID(today, list, c.Headroom)
	progress.stage("writing " + c.Out)
	how := settings.how(at, progress)
	how.Also = c.Also
	if _, err := report.WriteScope(at.ctx, c.Out, out, how); err != nil {
		return err
	}
	at.ending.done()
	at.ctx = context.WithoutCancel(at.ctx)
	progress.clear()
	if !c.Quiet {
		report.ScopeSummary(at.stderr, out, c.Out, c.Also...)
	}
	ofToday, err := report.CheckErrors(at.ctx, at.stderr, today)
	if err != nil {
		return err
	}
	if failed += ofToday; failed > 0 {
		return &checkFailed{failed}
	}
	if c.FailOn == nil {
		return nil
	}
	for severity, n := range fresh {
		if n > 0 && severity <= slices.Index(failLevels, *c.FailOn) {
			return &found{fmt.Sprintf("%s of severity %s that today does not have, or has as milder ones (--fail-on %s)", counted(n, "exception", "exceptions"), audit.Severity(severity), *c.FailOn)}
		}
	}
	return nil
}

// withNames adds the scenarios that there are to the error of one that there is not.
func withNames(err error, p *audit.Project) error {
	var unknown *scope.UnknownScenario
	if !errors.As(err, &unknown) {
		return err
	}
	if len(p.Scenarios) == 0 {
		return &usage{fmt.Sprintf("--scenario %q is no scenario of the project file, which has none", unknown.Name)}
	}
	var names []string
	for i := range p.Scenarios {
		names = append(names, fmt.Sprintf("%q", p.Scenarios[i].Name))
	}
	text := fmt.Sprintf("--scenario %q is no scenario of the project file, expected %s", unknown.Name, strings.Join(names, ", "))
	if close := nearestScenarios(unknown.Name, p); len(close) > 0 {
		text += "\n  hint: " + meant(close)
	}
	return &usage{text}
}

func nearestScenarios(name string, p *audit.Project) []string {
	var names []string
	for i := range p.Scenarios {
		names = append(names, p.Scenarios[i].Name)
	}
	return read.Nearest(name, names)
}
