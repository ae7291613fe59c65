package report

import (
	"bytes"
	"context"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/stretchr/testify/require"
)

// sampleLine is a sample of the text format: a name, labels in braces whose values have their escapes, a value, and no time.
var sampleLine = regexp.MustCompile(`^([a-zA-Z_:][a-zA-Z0-9_:]*)\{((?:[a-zA-Z_][a-zA-Z0-9_]*="(?:[^"\\\n]|\\\\|\\"|\\n)*",?)*)\} ([^ ]+)$`)

func TestMetrics(t *testing.T) {
	p := fixture(t)
	p.Title = "Har\"bour\\\nline"
	r := assessed(t, p, 1)
	store, err := history.ParseStore([]byte("exception,line,check,decision,structure,until,by,reason,decided,ended,was\n,N-1,short-string,accept\n"))
	require.NoError(t, err)
	changes := history.Alone(r)
	changes.Decided = store.Decide(r, changes)
	var out bytes.Buffer
	require.NoError(t, writeMetrics(context.Background(), &out, r, &account{changes: changes}))
	require.True(t, strings.HasSuffix(out.String(), "\n"))

	samples, typed, sums := map[string]float64{}, map[string]bool{}, map[string]float64{}
	for line := range strings.SplitSeq(strings.TrimSuffix(out.String(), "\n"), "\n") {
		if strings.HasPrefix(line, "#") {
			if name, is := strings.CutPrefix(line, "# TYPE "); is {
				name, kind, _ := strings.Cut(name, " ")
				require.Equal(t, "gauge", kind)
				require.False(t, typed[name], "once for each")
				typed[name] = true
			}
			continue
		}
		found := sampleLine.FindStringSubmatch(line)
		require.NotNil(t, found, line)
		require.True(t, typed[found[1]], "the type comes first")
		require.NotContains(t, found[2], "structure=")
		value, err := strconv.ParseFloat(found[3], 64)
		require.NoError(t, err)
		series := found[1] + found[2]
		require.NotContains(t, samples, series)
		samples[series] = value
		sums[found[1]] += value
	}
	const project = `project="Har\"bour\\\nline"`
	totals := r.Totals()
	require.Positive(t, totals[audit.Shortfall])
	require.Equal(t, float64(len(r.Exceptions)), sums["dryarc_exceptions"])
	require.Equal(t, float64(totals[audit.Shortfall]), samples["dryarc_exceptions"+project+`,check="short-string",severity="shortfall",state="new"`])
	require.Contains(t, samples, "dryarc_exceptions"+project+`,check="short-string",severity="shortfall",state="worse"`, "series of none")
	decided := decidedOut(r, changes.Decided)
	require.Positive(t, decided[audit.Shortfall])
	require.Equal(t, float64(totals[audit.Shortfall]-decided[audit.Shortfall]), samples["dryarc_open_exceptions"+project+`,severity="shortfall"`])
	require.Equal(t, 1.0, samples["dryarc_decisions"+project+`,status="in force"`])
	require.Equal(t, 1774915200.0, samples["dryarc_as_of_seconds"+project], "2026-03-31, computed by date -u")
	require.Equal(t, r.AssessedPercent()/100, samples["dryarc_judged_ratio"+project])
	require.Equal(t, float64(p.Faults.Total()), sums["dryarc_faults"])
}
