package main

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"time"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/history"
	"dryarc/audit/read"
	"dryarc/audit/remedy"
	"dryarc/report"
)

type auditCommand struct {
	Project       string        `arg:"" help:"Project file (YAML)."`
	Out           string        `default:"out" placeholder:"DIR" help:"Folder for the outputs (default: ${default})."`
	Lines         []string      `placeholder:"A,B" help:"Assess these lines only; geometry is derived from all."`
	FailOn        *string       `placeholder:"LEVEL" help:"Exit with 1 on an open exception at or above shortfall, advisory or note, on one that is new since the earlier run, or has risen to that severity, at or above new-shortfall or new-advisory, on a decision that lapsed (lapsed), or on any input fault that matters (fault)."`
	MaxShortfalls *int          `placeholder:"N" help:"Exit with 1 on more open shortfalls than this."`
	Since         string        `placeholder:"FILE" help:"Compare with this audit.json, or that of this folder, or with none (default: the one in the folder of the outputs)."`
	MinAssessed   float64       `placeholder:"PERCENT" help:"Exit with 1 when less than this share of what the project asks for could be judged."`
	AsOf          string        `placeholder:"DATE" help:"Date of the audit, YYYY-MM-DD (default: today)."`
	Workers       int           `placeholder:"N" help:"Lines worked on at a time (default: one for each processor)."`
	Also          []string      `placeholder:"NAMES" help:"Write these too, by name: ${also}."`
	Format        string        `default:"text" help:"What the run prints when done: a summary on stderr (text), or audit.json on stdout (json)."`
	Log           string        `default:"text" help:"What the run says on stderr: text for people, or a JSON object on each line."`
	Notify        string        `placeholder:"FILE" help:"Write the news of the run for a mailer: as text into this file, and as HTML into the one beside it that ends in .html."`
	Wait          time.Duration `default:"10m" placeholder:"DURATION" help:"How long to wait for another run that writes to the same folder (default: ${default})."`
	NoWrite       bool          `help:"Leave the database alone that the project names under write, as for a trial: the tables stay those of before."`
	NoLock        bool          `help:"Write without a lock, where the file system has none and no other run writes there."`
	Quiet         bool          `help:"Print nothing but errors, and what the run does not take over of what people typed under In stock."`
}

// Run audits with every check.
func (c *auditCommand) Run(at surroundings) error { return c.audit(at, checks.All()) }

// audit is the data flow: read, arrange, derive, assess, remedy, report.
func (c *auditCommand) audit(at surroundings, list []*audit.Check) error {
	options, err := c.options()
	if err != nil {
		return err
	}
	progress := newProgress(at.screen, c.Quiet || c.Log == formatJSON)
	if c.Log == formatJSON {
		at.stderr.asRecords()
		if !c.Quiet {
			progress.say = func(what string) { at.stderr.record(what, nil) }
		}
	}
	defer progress.clear()

	compared, err := c.comparison(at, progress)
	if err != nil {
		return err
	}
	progress.stage("reading " + c.Project)
	project, err := read.Project(at.ctx, c.Project)
	if err != nil {
		return err
	}
	project.AsOf = audit.DayOf(options.AsOf)
	if err := report.Refused(project, c.Also); err != nil {
		return err
	}
	if c.NoWrite {
		project.Write = nil
	}
	returnMemory()
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
	result, err := audit.Assess(at.ctx, network, list, options)
	if err != nil {
		return err
	}
	returnMemory()
	progress.stage("finding remedies")
	jobs, err := remedy.Search(at.ctx, result, remedy.Options{Workers: options.Workers})
	if err != nil {
		return err
	}
	returnMemory()
	progress.stage("writing " + c.Out)
	how := c.how(at, progress)
	how.Compare = func(ctx context.Context) (*history.Changes, error) { return compared.with(ctx, result) }
	rescue, stock := c.rescue(at, progress, result), c.stocktaking()
	how.Recovering = func(ctx context.Context) error {
		if err := stock.beforeRecovery(ctx); err != nil {
			return err
		}
		return rescue(ctx)
	}
	how.Decide = c.decide(at, progress, result)
	how.Stock = stock.take
	var tables *report.Tables
	defer func() { tables.Close() }()
	how.Replacing = func() (err error) { // when all files are staged, so that files and tables are of one run
		if project.Write != nil {
			progress.stage("writing schema " + project.Write.Schema)
		}
		if tables, err = report.WriteDatabase(at.ctx, result, jobs, compared.changes, c.Wait); err != nil {
			return err
		}
		return at.ending.replace()
	}
	var removed []string
	how.Removed = func(name string) { removed = append(removed, name) }
	others, err := report.Write(at.ctx, c.Out, result, jobs, how)
	if err != nil {
		return err
	}
	at.ctx = context.WithoutCancel(at.ctx) // the outputs are replaced, so the run ends as it would have
	at.ending.commit(tables.GivenUp())
	unstored := tables.Commit(at.ctx)
	if unstored == nil {
		at.ending.done()
	}
	progress.clear()
	stock.say(at, c.Quiet)
	if !c.Quiet {
		for _, name := range removed {
			fmt.Fprintf(at.stderr, "%s of an earlier run is gone from %s with its set, since this run leaves it out\n", name, c.Out)
		}
	}
	if unstored == nil {
		written, remarks := tables.Told()
		if written != "" && !c.Quiet {
			fmt.Fprintln(at.stderr, written)
		}
		for _, remark := range remarks {
			fmt.Fprintln(at.stderr, remark)
		}
	}
	var unprinted error
	switch {
	case c.Format == formatJSON && at.nowhere:
		unprinted = &report.WriteError{File: standardOutput, Err: errNowhere}
	case c.Format == formatJSON:
		if err := report.JSON(at.ctx, at.data, result, jobs, compared.changes, others); err != nil && !nobodyReads(err) {
			unprinted = &report.WriteError{File: standardOutput, Err: err}
		}
	default:
		c.closing(at, result, compared.changes, func() { report.Summary(at.stderr, result, jobs, compared.changes, c.Out, c.Also...) })
	}
	failed, err := report.CheckErrors(at.ctx, at.stderr, result)
	if err != nil {
		return err
	}
	if unstored != nil {
		return unstored
	}
	if unprinted != nil {
		return unprinted
	}
	if failed > 0 {
		return &checkFailed{failed}
	}
	return c.verdict(result, compared.changes)
}

// errNowhere is why audit.json cannot be printed where the standard output is closed.
var errNowhere = errors.New("it is closed, or the null device in the place of a closed one, and --format json prints there")

// how says how the outputs are written.
func (c *auditCommand) how(at surroundings, p *progress) report.How {
	return report.How{Also: c.Also, Wait: c.Wait, NoLock: c.NoLock, News: c.Notify, Replacing: at.ending.replace, Staged: p.writing(c.Out), Waiting: func(by report.Holder) {
		if !c.Quiet {
			p.clear()
			fmt.Fprintf(at.stderr, "waiting for another run that writes to %s: %s\n", c.Out, by)
		}
	}}
}

// checkFailed is the error of a run that did its work but for checks that failed, as the lines before it say.
type checkFailed struct{ times int }

func (f *checkFailed) Error() string {
	return fmt.Sprintf("checks failed (errors of the program: %d); what they had to judge is not assessed\n  hint: please tell the maintainers, with the lines above", f.times)
}

func (c *auditCommand) options() (audit.Options, error) {
	o := audit.Options{Version: version, AsOf: c.AsOf, Lines: c.Lines, Workers: c.Workers}
	if o.AsOf == "" {
		o.AsOf = time.Now().Format(time.DateOnly)
	} else if _, err := time.Parse(time.DateOnly, o.AsOf); err != nil {
		return o, &usage{fmt.Sprintf("--as-of %q is no date, expected YYYY-MM-DD", o.AsOf)}
	}
	if o.Workers < 0 {
		return o, &usage{fmt.Sprintf("--workers %d is out of range, expected 1 or more", o.Workers)}
	}
	if o.Workers == 0 {
		o.Workers = runtime.NumCPU()
	}
	if c.FailOn != nil && !slices.Contains(failLevels, *c.FailOn) {
		return o, noneOf("--fail-on", *c.FailOn, failLevels)
	}
	if !slices.Contains(formats, c.Format) {
		return o, noneOf("--format", c.Format, formats)
	}
	if !slices.Contains(formats, c.Log) {
		return o, noneOf("--log", c.Log, formats)
	}
	if c.MaxShortfalls != nil && *c.MaxShortfalls < 0 {
		return o, &usage{fmt.Sprintf("--max-shortfalls %d is out of range, expected 0 or more", *c.MaxShortfalls)}
	}
	if !(c.MinAssessed >= 0 && c.MinAssessed <= 100) { // NaN is neither
		return o, &usage{fmt.Sprintf("--min-assessed %g is out of range, expected 0 to 100", c.MinAssessed)}
	}
	if c.Notify != "" {
		if err := c.noticeApart(); err != nil {
			return o, err
		}
	}
	if c.Wait < 0 {
		return o, &usage{fmt.Sprintf("--wait %s is out of range, expected 0 or more", c.Wait)}
	}
	for _, name := range c.Also {
		if !slices.Contains(report.Also(), name) {
			return o, noneOf("--also", name, report.Also())
		}
	}
	o.Lines = slices.Clone(o.Lines)
	for i := range o.Lines {
		o.Lines[i] = read.Composed(o.Lines[i])
	}
	slices.Sort(o.Lines)
	o.Lines = slices.Compact(o.Lines)
	return o, nil
}

// usable refuses a register of which no row could be placed.
func usable(n *audit.Network) error {
	if n.Project.RowsRead > 0 && n.RowsPlaced == 0 {
		faults := n.Project.Faults.List()
		text := ""
		if len(faults) > 0 {
			last := faults[len(faults)-1]
			text = fmt.Sprintf(", such as %s: %s", last.Where(n.Project.Tables), last.Message())
		}
		return &read.InputError{File: n.Project.File,
			Message: fmt.Sprintf("none of %d register rows stands on a structure%s", n.Project.RowsRead, text),
			Hint:    "line and structure must be written alike in the register and the structures; map differing names under structures: properties"}
	}
	return nil
}

// formats are what --format and --log take.
var formats = []string{"text", formatJSON}

const formatJSON = "json"

const (
	failOnFault  = "fault"
	failOnLapsed = "lapsed" // a decision, of what is still there
)

// onlyNew stands before a severity that fails a run only by what is new.
const onlyNew = "new-"

var failLevels = []string{audit.Shortfall.String(), audit.Advisory.String(), audit.Note.String(), onlyNew + audit.Shortfall.String(), onlyNew + audit.Advisory.String(), failOnLapsed, failOnFault}

// severityLevels is how many of failLevels are severities.
const severityLevels = 3

// openBySeverity counts the exceptions that are neither accepted nor planned, on request only those that the earlier run did not have at
// that severity or a graver one.
func openBySeverity(r *audit.Result, c *history.Changes, fresh bool) (counts [severityLevels]int) {
	for i := range r.Exceptions {
		if c.Decided.Open(i) && (!fresh || c.Exceptions[i].Risen(r.Exceptions[i].Verdict.Severity)) {
			counts[r.Exceptions[i].Verdict.Severity]++
		}
	}
	return counts
}

// counted is a count and its noun.
func counted(n int, one, many string) string {
	if n == 1 {
		many = one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// verdict decides whether a finished run has to fail.
func (c *auditCommand) verdict(r *audit.Result, changes *history.Changes) error {
	failOn := ""
	if c.FailOn != nil {
		failOn = *c.FailOn
	}
	if failOn == failOnFault {
		if n := r.Project.Faults.Mattering(); n > 0 {
			return &found{counted(n, "input fault that matters", "input faults that matter") + " (--fail-on fault)"}
		}
	}
	level, fresh := strings.CutPrefix(failOn, onlyNew)
	if failOn == failOnLapsed {
		if n := changes.Decided.Count(history.Lapsed); n > 0 {
			return &found{counted(n, "decision", "decisions") + " that lapsed (--fail-on lapsed)"}
		}
	}
	open, of := openBySeverity(r, changes, false), ""
	gated := open
	if fresh {
		gated, of = openBySeverity(r, changes, true), "new "
	}
	for severity, n := range gated {
		if n > 0 && severity <= slices.Index(failLevels[:severityLevels], level) {
			return &found{fmt.Sprintf("%s of severity %s (--fail-on %s)", counted(n, of+"exception", of+"exceptions"), audit.Severity(severity), failOn)}
		}
	}
	if n := open[audit.Shortfall]; c.MaxShortfalls != nil && n > *c.MaxShortfalls {
		return &found{fmt.Sprintf("%s, more than --max-shortfalls %d", counted(n, "shortfall", "shortfalls"), *c.MaxShortfalls)}
	}
	if percent := r.AssessedPercent(); percent < c.MinAssessed {
		return &found{fmt.Sprintf("%.1f %% could be judged, less than --min-assessed %g", percent, c.MinAssessed)}
	}
	return nil
}
