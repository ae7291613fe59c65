package report

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"

	"dryarc/audit"
	"dryarc/audit/remedy"
	scenarios "dryarc/audit/scope"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// Where no limit stops a remedy but what serves cannot be judged, that is counted by itself in every output, and in no count of what no remedy
// serves.
func TestWhatServesCannotBeJudgedIsNoLimit(t *testing.T) {
	p := fixture(t)
	sheet := append([]audit.LineRow{}, p.Lines...)
	sheet[0].HighestKV = 245
	p.Scenarios = append(p.Scenarios, audit.Scenario{Name: "at 245 kV", Lines: []audit.Symbol{p.Lines[0].Line}, Sheet: sheet, Rules: p.Rules})
	pristine := p.Pristine()
	s := &Scope{Today: assessed(t, p, 1)}
	require.NoError(t, scenarios.Run(context.Background(), pristine, s.Today, scenarios.Options{Workers: 1}, func(l *scenarios.Look) error {
		require.GreaterOrEqual(t, len(l.Jobs), 3)
		open, limit := remedy.Stop{Unjudged: true, Sentence: "It cannot be judged."}, remedy.Stop{Sentence: "It falls short."}
		for i := range l.Jobs {
			l.Jobs[i].StoppedBy = nil
			require.NotEmpty(t, l.Jobs[i].Remedies)
		}
		l.Jobs[0].StoppedBy, l.Jobs[0].Remedies = []remedy.Stop{open}, nil
		l.Jobs[1].StoppedBy = []remedy.Stop{open}
		l.Jobs[2].StoppedBy = []remedy.Stop{open, limit}
		s.Scenarios = append(s.Scenarios, NewScopeOf(l, DueToday{}).AddJobs(l, false))
		return nil
	}))
	of := s.Scenarios[0]
	line := &of.perLine[0]
	require.Equal(t, []int{1, 2}, []int{line.stopped, line.notKnown})
	require.Equal(t, []int{1, 1}, []int{of.said[0].both, of.said[0].partly})
	what := s.Today.Checks[0].ID + " cannot be judged"
	sentence := line.inWords(of)
	require.Contains(t, sentence, "no remedy serves 1, ")
	require.Contains(t, sentence, "; it cannot be judged what serves 2, ")
	require.Contains(t, sentence, "("+limitInWords(what)+" at 2), 1 of them takes some of the work all the same")

	var raw bytes.Buffer
	require.NoError(t, of.writeJSON(context.Background(), &raw, s))
	var told struct {
		Sums []struct {
			Stopped    int     `json:"structures_stopped"`
			StoppedKM  float64 `json:"stopped_km"`
			NotKnown   int     `json:"structures_remedy_not_judged"`
			NotKnownKM float64 `json:"remedy_not_judged_km"`
		}
		Stopped []struct {
			Limit      string
			Structures []string
		}
		NotKnown []struct {
			What       string
			Structures []string
		} `json:"remedy_not_judged"`
	}
	require.NoError(t, json.Unmarshal(raw.Bytes(), &told))
	require.Equal(t, []int{1, 2}, []int{told.Sums[0].Stopped, told.Sums[0].NotKnown})
	require.Positive(t, told.Sums[0].NotKnownKM)
	require.Len(t, told.Stopped, 1)
	require.Len(t, told.Stopped[0].Structures, 1)
	require.Len(t, told.NotKnown, 1)
	require.Equal(t, what, told.NotKnown[0].What)
	require.Len(t, told.NotKnown[0].Structures, 2)

	page := scopePageOf(t, s)
	require.Contains(t, page, `<span class="soft">+ 2 not known what serves, `)
	require.Contains(t, page, `<strong class="stop">It cannot be judged what serves: `+limitInWords(what)+`.</strong>`)
	require.Contains(t, page, `<strong class="stop">It cannot be judged what serves all of it: `)
	data := scopeDataOf(t, page)
	var states [len(placeStates)]int
	for _, state := range data.Scenarios[0].State {
		states[state]++
	}
	require.Equal(t, 1, states[placeStopped])
	require.Equal(t, line.needing-1, states[placeNeedsWork])

	var book bytes.Buffer
	require.NoError(t, s.writeBook(context.Background(), &book, s.Today))
	file, err := excelize.OpenReader(&book)
	require.NoError(t, err)
	defer func() { require.NoError(t, file.Close()) }()
	rows, err := file.GetRows(stopsSheet)
	require.NoError(t, err)
	require.Equal(t, []string{"1", "limit"}, []string{rows[1][3], rows[1][8]})
	require.Equal(t, []string{what, "2", "not known"}, []string{rows[2][2], rows[2][3], rows[2][8]})
	rows, err = file.GetRows(scenariosSheet)
	require.NoError(t, err)
	found := false
	for i, row := range rows {
		if len(row) > 11 && row[10] == "Not known what serves" {
			found = true
			require.Equal(t, []string{"1", "2"}, []string{rows[i+1][8], rows[i+1][10]})
		}
	}
	require.True(t, found)
}
