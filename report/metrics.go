package report

import (
	"bufio"
	"cmp"
	"context"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"dryarc/audit"
	"dryarc/audit/history"
)

// writeMetrics writes how the run stands as gauges in the text format that collectors of files read (version 0.0.4 of the Prometheus
// exposition format, which OpenMetrics 1.0 kept but for the end): for each check its severities and states, those of which there is none
// too, so that a series does not end where the last exception does. Nothing names a structure, and no sample has a time of its own.
func writeMetrics(ctx context.Context, w io.Writer, r *audit.Result, a *account) error {
	m := metrics{Writer: bufio.NewWriter(w), project: cmp.Or(r.Project.Title, r.Project.File)}
	changes := a.since(r)
	fmt.Fprintf(m, "# Run %s as of %s. %s\n", r.Run.ID, oneLineOf(r.Run.AsOf), oneLineOf(Caution))
	m.exceptions(r, changes)
	m.gauge("open_exceptions", "Exceptions that are neither accepted nor planned in force, by severity.")
	out, totals := decidedOut(r, changes.Decided), r.Totals()
	for _, s := range severities {
		m.sample("open_exceptions", float64(totals[s]-out[s]), "severity", s.String())
	}
	m.gauge("cleared", "Exceptions of the earlier run that are not there any more, by reason.")
	counts := changes.Counts()
	for why, n := range counts.ByWhy {
		m.sample("cleared", float64(n), "why", history.Why(why).String())
	}
	m.gauge("decisions", "Decisions by what they are worth.")
	for status := history.StillThere; status <= history.Over; status++ {
		m.sample("decisions", float64(changes.Decided.Count(status)), "status", status.String())
	}
	m.gauge("judged_ratio", "Share of what the project asks for that could be judged, 0 to 1.")
	m.sample("judged_ratio", math.Round(10*r.AssessedPercent())/1000) // tenths of a percent, in no more digits than they have
	m.gauge("faults", "Faults of the inputs, by whether a verdict may rest on them.")
	mattering := r.Project.Faults.Mattering()
	m.sample("faults", float64(mattering), "weight", audit.Matters.String())
	m.sample("faults", float64(r.Project.Faults.Total()-mattering), "weight", audit.ByTheWay.String())
	s := scopeOf(r)
	m.gauge("structures", "Structures that were audited.")
	m.sample("structures", float64(s.structures))
	if day, err := time.Parse(time.DateOnly, r.Run.AsOf); err == nil {
		m.gauge("as_of_seconds", "Day as of which was audited, in seconds since 1970-01-01 UTC.")
		m.sample("as_of_seconds", float64(day.Unix()))
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	return m.Flush()
}

var severities = [...]audit.Severity{audit.Shortfall, audit.Advisory, audit.Note}

// metrics writes gauges; the first error stays with the writer.
type metrics struct {
	*bufio.Writer
	project string
}

const metricStart = "dryarc_"

func (m *metrics) gauge(name, help string) {
	fmt.Fprintf(m, "# HELP %s%s %s\n# TYPE %[1]s%[2]s gauge\n", metricStart, name, help)
}

// sample writes one sample; labels are names and values in turn, and stand behind that of the project.
func (m *metrics) sample(name string, value float64, labels ...string) {
	fmt.Fprintf(m, `%s%s{project="%s"`, metricStart, name, labelValue(m.project))
	for i := 0; i < len(labels); i += 2 {
		fmt.Fprintf(m, `,%s="%s"`, labels[i], labelValue(labels[i+1]))
	}
	fmt.Fprintf(m, "} %s\n", strconv.FormatFloat(value, 'g', -1, 64))
}

// labelValue is a text as the value of a label: with escapes for what would end it.
func labelValue(text string) string {
	return strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`).Replace(plainText(text))
}

func oneLineOf(text string) string { return strings.Join(strings.Fields(text), " ") }

// exceptions writes the exceptions by check, severity and state.
func (m *metrics) exceptions(r *audit.Result, c *history.Changes) {
	type series struct {
		check    int
		severity audit.Severity
		state    history.State
	}
	counts := map[series]int{}
	has := map[[2]int]bool{}
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		counts[series{e.Check, e.Verdict.Severity, c.Exceptions[i].State}]++
		has[[2]int{e.Check, int(e.Verdict.Severity)}] = true
	}
	m.gauge("exceptions", "Exceptions by check, severity and state since the earlier run, those that people have decided on among them.")
	for i, check := range r.Checks {
		for _, severity := range severities {
			if severity != check.Severity && !has[[2]int{i, int(severity)}] {
				continue
			}
			for _, state := range [...]history.State{history.New, history.Standing, history.Worse, history.Better} {
				m.sample("exceptions", float64(counts[series{i, severity, state}]), "check", check.ID, "severity", severity.String(), "state", state.String())
			}
		}
	}
}
