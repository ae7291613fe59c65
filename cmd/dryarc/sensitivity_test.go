package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

const islandErrors = "  height_accuracy_m: 0.5\n  zone_accuracy_m: 100\n  tension_accuracy_percent: 10\n"

// TestSensitivityToTensionsIsThatOfTheirFiles: what is told of tensions that are a tenth larger or smaller is what audits of a project tell in whose
// sheet Lines and load cases they are. The sheet has what the file has, and exceptions how they stand.
func TestSensitivityToTensionsIsThatOfTheirFiles(t *testing.T) {
	t.Parallel()
	written := func(times float64, errors string) string {
		in, folder := island(t), t.TempDir()
		for _, row := range in.sheets["Lines"][1:] {
			for i, heading := range in.sheets["Lines"][0] {
				if tension, err := strconv.ParseFloat(row[i], 64); err == nil && strings.Contains(heading, "tension (kN)") {
					row[i] = strconv.FormatFloat(tension*times, 'f', -1, 64)
				}
			}
		}
		require.Contains(t, in.project, "{share: 0.3}")
		in.project = strings.Replace(in.project, "{share: 0.3}", fmt.Sprintf("{share: %g}", 0.3*times), 1) + errors
		in.writeAll(t, folder)
		return folder
	}
	folder := written(1, islandErrors)
	out := filepath.Join(folder, "out")
	runs(t, "audit", filepath.Join(folder, "audit.yaml"), "--out", out, "--also", "sensitivity")
	told := map[string][]string{}
	rows, sheet := readCSV(t, filepath.Join(out, "sensitivity.csv")), sheetRows(t, filepath.Join(out, "exceptions.xlsx"), "Sensitivity")
	stated, changing := 0, 0
	for i, row := range rows {
		require.Equal(t, []string{row["line"], row["input"], row["changes"], row["verdicts"], row["checks"]},
			[]string{sheet[i]["Line"], sheet[i]["Input"], sheet[i]["Change in all"], sheet[i]["Verdicts that go by it"], sheet[i]["Checks"]})
		if row["input"] == "stated tensions" {
			told[row["line"]+" "+row["moved"]] = []string{row["to_falls_short"], row["to_meets"], row["to_or_from_not_assessed"]}
		}
		require.NotEqual(t, "not stated", row["standard_error"])
		if stated++; row["changes"] != "0" {
			changing++
		}
	}
	require.Equal(t, 5*6, stated, "five lines by positions, heights, borders and tensions to two sides")
	require.Greater(t, changing, 3)
	errs := map[string]audit.Errs{}
	for _, check := range checks.All() {
		errs[check.ID] = check.Errs
	}
	today, err := runInFolder(written(1, ""), nil)
	require.NoError(t, err)
	for moved, times := range map[string]float64{"all up": 1.1, "all down": 0.9} {
		then, err := runInFolder(written(times, ""), nil)
		require.NoError(t, err)
		require.Len(t, then.findings, len(today.findings))
		want := map[string]*[3]int{}
		for i, was := range today.findings {
			is := then.findings[i]
			require.Equal(t, was.subject, is.subject)
			if want[was.line] == nil {
				want[was.line] = &[3]int{}
			}
			if was.outcome == is.outcome {
				continue
			}
			require.NotZero(t, errs[was.check]&audit.ErrsTension, "%v", was.subject)
			switch {
			case was.outcome == audit.Meets && is.outcome == audit.FallsShort:
				want[was.line][0]++
			case was.outcome == audit.FallsShort && is.outcome == audit.Meets:
				want[was.line][1]++
			default:
				want[was.line][2]++
			}
		}
		for line, counts := range want {
			require.Equal(t, []string{fmt.Sprint(counts[0]), fmt.Sprint(counts[1]), fmt.Sprint(counts[2])}, told[line+" "+moved], "%s %s", line, moved)
		}
	}

	var said struct {
		Exceptions []struct {
			Check           string
			Observed        any
			Required        any
			Standard_errors *struct {
				Value, Distance *float64
				Part            string
				Of              []struct {
					Input, Measure, Stated string
					Sigma                  float64
				}
			}
		}
	}
	content, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(content, &said))
	standing, parted := map[string]int{}, 0
	for _, e := range said.Exceptions {
		if e.Standard_errors == nil {
			continue
		}
		standing[e.Check]++
		require.LessOrEqual(t, *e.Standard_errors.Value, 0.0)
		require.NotEmpty(t, e.Standard_errors.Of)
		for _, of := range e.Standard_errors.Of {
			require.Positive(t, of.Sigma)
			require.Equal(t, map[string]string{"positions": "0.5 m (position_accuracy_m)", "stated heights": "0.5 m (height_accuracy_m)", "stated tensions": "10 % (tension_accuracy_percent)",
				"zone borders": "100 m (zone_accuracy_m) and 0.5 m (position_accuracy_m)"}[of.Input], of.Stated)
		}
		if e.Standard_errors.Part != "" {
			parted++
		} else if e.Standard_errors.Distance != nil {
			observed, required := e.Observed.(float64), e.Required.(float64)
			require.InDelta(t, max(observed-required, required-observed), -*e.Standard_errors.Distance, 1e-9)
		}
	}
	for _, check := range []string{"swing", "strength", "tension-at-deviation", "creepage"} {
		require.Positive(t, standing[check], check)
	}
	require.Positive(t, parted)
	requireReadable(t, filepath.Join(out, "exceptions.xlsx"))
}

// TestErrorsChangeNoVerdict: who states the errors of heights, borders and tensions has the verdicts of who does not, but for a remark on some that
// had none.
func TestErrorsChangeNoVerdict(t *testing.T) {
	t.Parallel()
	judged := func(errors string) *outcomeRun {
		in, folder := island(t), t.TempDir()
		in.project += errors
		in.writeAll(t, folder)
		run, err := runInFolder(folder, nil)
		require.NoError(t, err)
		return run
	}
	without, with, remarked := judged(""), judged(islandErrors), map[audit.Outcome]int{}
	for i := range with.findings {
		if f := &with.findings[i]; f.reason == audit.OutcomeWithinErrors {
			require.Equal(t, audit.NoReason, without.findings[i].reason)
			f.reason = audit.NoReason
			remarked[f.outcome]++
		}
	}
	every := func(string) bool { return true }
	requireSameText(t, ofLines(without.findings, every), ofLines(with.findings, every))
	require.Positive(t, remarked[audit.Meets])
	require.Positive(t, remarked[audit.FallsShort])
	require.Zero(t, remarked[audit.NotAssessed]+remarked[audit.NotApplicable])
}
