package report

import (
	"bytes"
	"context"
	"encoding/json"
	"strconv"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// unjudgedScope is a scenario in which nobody knows how many units hang at one structure.
func unjudgedScope(t *testing.T) *Scope {
	t.Helper()
	p := fixture(t)
	p.Assemblies.Row(0).UnitsPerString = -1
	s := lookedAt(t, p, "at 245 kV")
	require.Positive(t, s.Scenarios[0].perLine[0].notJudged)
	return s
}

// What could not be judged in a scenario has its reasons in scope.json and on the sheet Coverage, as many as the sentence counts.
func TestScopeSaysWhyVerdictsAreNotAssessed(t *testing.T) {
	s := unjudgedScope(t)
	of := s.Scenarios[0]
	want := of.perLine[0].notJudged

	var out bytes.Buffer
	_, err := s.JSON(context.Background(), &out, nil)
	require.NoError(t, err)
	type said struct {
		Reasons []struct {
			Outcome, Reason string
			Count           int
			AskedBy         string `json:"asked_by"`
		}
	}
	var read struct {
		Scenarios []struct {
			Coverage []struct {
				Line, Check string
				Today, Then struct {
					NotAssessed int `json:"not_assessed"`
					NotAsked    int `json:"not_asked"`
					said
				}
			}
		}
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &read))
	lacking, asked := 0, 0
	for _, c := range read.Scenarios[0].Coverage {
		for _, v := range []struct {
			all, notAsked int
			said
		}{{c.Today.NotAssessed, c.Today.NotAsked, c.Today.said}, {c.Then.NotAssessed, c.Then.NotAsked, c.Then.said}} {
			all, notAsked := 0, 0
			for _, x := range v.Reasons {
				require.Equal(t, audit.NotAssessed.String(), x.Outcome)
				if all += x.Count; x.AskedBy != "" {
					notAsked += x.Count
				}
			}
			require.Equal(t, []int{v.all, v.notAsked}, []int{all, notAsked}, "%s %s", c.Line, c.Check)
		}
		if c.Line == of.lines[0] {
			for _, x := range c.Then.Reasons {
				if x.AskedBy == "" {
					lacking += x.Count
				} else {
					asked += x.Count
				}
			}
		}
	}
	require.Equal(t, want, lacking)

	out.Reset()
	require.NoError(t, s.writeBook(context.Background(), &out, s.Today))
	file, err := excelize.OpenReader(&out)
	require.NoError(t, err)
	defer file.Close()
	rows, err := file.GetRows(coverageSheet, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	heads, reasons, notAsked := 0, 0, 0
	titles := map[string]bool{}
	for _, check := range s.Today.Checks {
		titles[check.Title] = true
	}
	for _, row := range rows[1:] {
		number := func(at int) int {
			if len(row) <= at || row[at] == "" {
				return 0
			}
			n, err := strconv.Atoi(row[at])
			require.NoError(t, err, row)
			return n
		}
		if len(row) < 4 || row[0] != of.scenario.Name {
			continue
		}
		if titles[row[2]] {
			heads += number(7)
			continue
		}
		reasons += number(7)
		notAsked += number(9)
	}
	require.Equal(t, []int{want, want, asked}, []int{heads, reasons, notAsked}, rows)
}

// The reasons of the page are the most frequent ones, with today's counts where they are others.
func TestReasonsOfAScenarioInWords(t *testing.T) {
	because := func(reason audit.Reason, count int) audit.ReasonCount {
		return audit.ReasonCount{Outcome: audit.NotAssessed, Reason: reason, Count: count}
	}
	then := audit.Coverage{Reasons: []audit.ReasonCount{because(audit.FaultyField, 2), because(audit.UnitNotStated, 1200), because(audit.SpacingUnknown, 3), because(audit.UnitsNotStated, 1),
		because(audit.LongestStringNotStated, 9), {Outcome: audit.NotApplicable, Reason: audit.NotCapAndPin, Count: 5}}}
	today := audit.Coverage{Reasons: []audit.ReasonCount{because(audit.FaultyField, 2), because(audit.UnitNotStated, 7)}}
	require.NotEmpty(t, audit.LongestStringNotStated.AskedBy())
	require.Equal(t, audit.UnitNotStated.String()+" at 1\u202F200 (7 today); "+audit.SpacingUnknown.String()+" at 3 (0 today); "+audit.FaultyField.String()+" at 2; other reasons at 1",
		lackingInWords(&then, &today))
	require.Empty(t, lackingInWords(&audit.Coverage{}, &then))
}

// A check that says the same as today stands on the page all the same where it could not judge all.
func TestScopePageSaysWhyChecksCouldNotJudge(t *testing.T) {
	s := unjudgedScope(t)
	page := scopePageOf(t, s)
	told := 0
	for c := range s.Scenarios[0].coverageBeside(s.Today) {
		if c.then.Lacking() > 0 {
			told++
			require.Contains(t, page, "Not judged: "+lackingInWords(&c.then, &c.today))
		}
	}
	require.Positive(t, told)
}
