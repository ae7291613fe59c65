package checks_test

import (
	"fmt"
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

func TestRecordsAreComplete(t *testing.T) {
	require.NoError(t, audit.ValidateChecks(checks.All()))
	for _, check := range checks.All() {
		require.Same(t, check, checks.ByID(check.ID))
		require.NotEmpty(t, check.Method.Symbols, check.ID)
		require.NotEmpty(t, check.Method.Example.Source, check.ID)
	}
	require.Nil(t, checks.ByID("no-such-check"))
}

// The worked examples are run as `dryarc checks ID` prints them; where their figures come from stands in their Source.
func TestWorkedExamples(t *testing.T) {
	for _, check := range checks.All() {
		t.Run(check.ID, func(t *testing.T) {
			example := check.Method.Example
			var trace audit.Trace
			v := check.Run(example.Subject(), &trace)
			require.Equal(t, example.Outcome.String(), v.Outcome.String(), v.Reason)
			requireFigure(t, example.Observed, v.Observed.Number)
			requireFigure(t, example.Required, v.Required.Number)
			require.NotEmpty(t, trace.Steps)
			require.Equal(t, v.Outcome == audit.FallsShort, v.Sentence != "")
			requireOneMeaning(t, trace)
			requireRoles(t, check.ID, trace, v)
			bulk := check.Run(example.Subject(), nil)
			require.Equal(t, fmt.Sprintf("%+v", v), fmt.Sprintf("%+v", bulk), "a trace must not change the verdict")
			trial := example.Subject()
			trial.Trial = true
			tried := check.Run(trial, nil)
			tried.Sentence = v.Sentence
			require.Equal(t, fmt.Sprintf("%+v", v), fmt.Sprintf("%+v", tried), "on trial only the sentence may be missing")
		})
	}
}

// Needs are looked up for every check and subject of a network: an answer must not leave work to the collector.
func TestNeedsAreLookedUpWithoutAllocating(t *testing.T) {
	for _, check := range checks.All() {
		subject := check.Method.Example.Subject()
		for _, need := range check.Needs {
			require.Zero(t, testing.AllocsPerRun(10, func() { subject.Lacks(need) }), "%s: %s", check.ID, need.Name)
		}
	}
}

// withoutStep are the sides of a comparison that no step of the worked example shows, and why.
var withoutStep = map[string]string{
	"tension-at-uplift required":    "the limit is zero",
	"tension-at-deviation observed": "the size of the deviation is compared, the derivation shows its sign",
	"double-at-crossing required":   "two, which is what double means",
	"nothing-registered required":   "one",
	"side-missing required":         "one",
	"phase-missing observed":        "the derivation names the phases, which the verdict counts",
	"phase-missing required":        "the derivation names the phases, which the verdict counts",
	"puncture-margin required":      "the share of the criteria, told with them",
	"string-too-long required":      "the longest string of the Lines sheet, told with the line",
	"mixed-units required":          "one",
	"pin-voltage required":          "the limit of practice, told with the formula",
	"shackle-voltage required":      "the limit of practice, told with the formula",
	"odd-one-out required":          "to be like the strings around it",
}

// requireRoles holds a derivation to one step for what is observed and one for what is required, with the verdict's values.
func requireRoles(t *testing.T, check string, trace audit.Trace, v audit.Verdict) {
	t.Helper()
	for role, want := range map[audit.StepRole]audit.Value{audit.Observed: v.Observed, audit.Required: v.Required} {
		name := map[audit.StepRole]string{audit.Observed: "observed", audit.Required: "required"}[role]
		var have []string
		for _, step := range trace.Steps {
			if step.Role == role {
				have = append(have, fmt.Sprint(step.Result.Number, step.Result.Word))
			}
		}
		if withoutStep[check+" "+name] != "" {
			require.Empty(t, have, "%s: what is %s", check, name)
			continue
		}
		require.Equal(t, []string{fmt.Sprint(want.Number, want.Word)}, have, "%s: what is %s", check, name)
	}
}

// requireOneMeaning holds a derivation to one value for each symbol, so that a reader and a spreadsheet can follow it.
func requireOneMeaning(t *testing.T, trace audit.Trace) {
	t.Helper()
	values := map[string]string{}
	see := func(symbol string, value audit.Value) {
		text := fmt.Sprint(value.Number, value.Word)
		if before, seen := values[symbol]; seen {
			require.Equal(t, before, text, "%s stands for two values", symbol)
		}
		values[symbol] = text
	}
	for _, step := range trace.Steps {
		for _, in := range step.Inputs {
			see(in.Symbol, in.Value)
		}
		see(step.Symbol, step.Result)
	}
}

// requireFigure allows for the one decimal that the sources print.
func requireFigure(t *testing.T, want, got float64) {
	t.Helper()
	if math.IsNaN(want) {
		require.True(t, math.IsNaN(got))
		return
	}
	require.InDelta(t, want, got, 0.05)
}

// Of what falls short in its worked example, more strings side by side answer that of the checks which say so, and of others only what swings:
// four of them weigh more.
func TestChecksThatMoreStringsMayAnswerSaySo(t *testing.T) {
	answered := map[string]bool{}
	for _, check := range checks.All() {
		s := check.Method.Example.Subject()
		if check.Of != audit.OfAssembly || check.Method.Example.Outcome != audit.FallsShort || s.Assembly.Strings < 1 {
			require.False(t, check.Strings, check.ID)
			continue
		}
		more := *s.Assembly
		more.Strings, more.Arrangement = 4, audit.Parallel
		s.Assembly = &more
		if check.Run(s, nil).Outcome == audit.Meets {
			answered[check.ID] = true
		}
		require.Equal(t, check.Strings, answered[check.ID] && check.ID != "swing", check.ID)
	}
	require.NotEmpty(t, answered)
}
