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
