package report

import (
	"bytes"
	"context"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/stretchr/testify/require"
)

// logOf is the log that a run leaves where one stood.
func logOf(t *testing.T, before string, r *audit.Result) string {
	t.Helper()
	var b bytes.Buffer
	a := &account{log: parseLog([]byte(before))}
	require.NoError(t, writeHistory(context.Background(), &b, r, a))
	return b.String()
}

// on is the fixture's result as of a day.
func on(t *testing.T, asOf string, assessed ...bool) *audit.Result {
	t.Helper()
	r := fixtureResult(t)
	r.Run.AsOf = asOf
	for l := range assessed {
		if r.Lines[l].Assessed = assessed[l]; !assessed[l] {
			r.Run.Lines = []string{"N-1"}
		}
	}
	return r
}

func TestLogIsAppendedTo(t *testing.T) {
	first := logOf(t, "", on(t, "2026-11-24"))
	rows := csvRows(t, []byte(first))
	require.Equal(t, historyHeading, rows[0])
	require.Len(t, rows, 3)
	require.Equal(t, []string{"2026-11-24", "'" + awkwardLine, "all", "2", "1", "0", "0", "", "", "0"}, rows[1][:10], "a first run compares with nothing")

	second := logOf(t, first, on(t, "2026-11-25"))
	require.True(t, strings.HasPrefix(second, first))
	require.Len(t, csvRows(t, []byte(second)), 5)
	require.Equal(t, second, logOf(t, second, on(t, "2026-11-25")), "a repeated run takes the place of its rows")

	partial := logOf(t, second, on(t, "2026-11-25", false, true))
	require.Len(t, csvRows(t, []byte(partial)), 5, "and of no others")
	require.Equal(t, "all", csvRows(t, []byte(partial))[3][2])
	require.Equal(t, "chosen", csvRows(t, []byte(partial))[4][2])
	require.Equal(t, partial, logOf(t, partial, on(t, "2026-11-25", false, true)))

	back := logOf(t, second, on(t, "2026-11-24"))
	require.True(t, strings.HasPrefix(back, second), "only a run that repeats the last one takes the place of anything")
}

// What people wrote into the log stays, byte for byte.
func TestLogKeepsWhatPeopleWrote(t *testing.T) {
	first := logOf(t, "", on(t, "2026-11-24"))
	for _, before := range []string{
		"notes of the night shift;nothing to tell\nsecond \"line",
		"\ufeff" + strings.ReplaceAll(first, ",", ";"),
		first + "2026-11-24,seen by us\r\n",
		strings.TrimSuffix(first, "\r\n"),
		"\x00\xff\xfe",
		first + "\"left open, by the night shift\n",
	} {
		after := logOf(t, before, on(t, "2026-11-25"))
		require.True(t, strings.HasPrefix(after, before), before)
		require.Equal(t, 2, strings.Count(after[len(before):], "2026-11-25"))
		require.Equal(t, after, logOf(t, after, on(t, "2026-11-25")))
		third := logOf(t, after, on(t, "2026-11-26"))
		require.Equal(t, third, logOf(t, third, on(t, "2026-11-26")), before)
		require.Equal(t, 2, strings.Count(third[len(before):], "2026-11-26"), before)
	}
}

func TestTrend(t *testing.T) {
	row := func(asOf, line string, whole bool, shortfalls, fresh int) history.LogRow {
		return history.LogRow{AsOf: asOf, Line: line, Whole: whole, Shortfalls: shortfalls, New: fresh, Cleared: max(fresh, -1)}
	}
	got := history.Trend([]history.LogRow{
		row("1", "A", true, 3, -1), row("1", "B", true, 4, -1),
		row("2", "A", false, 2, 1), // B stands as it did
		row("3", "B", false, 6, 2),
		row("4", "C", true, 1, 0), // A and B are no lines any more
	})
	require.Equal(t, []history.Point{
		{AsOf: "1", Shortfalls: 7, New: -1, Cleared: -1}, {AsOf: "2", Shortfalls: 6, New: 1, Cleared: 1},
		{AsOf: "3", Shortfalls: 8, New: 2, Cleared: 2}, {AsOf: "4", Shortfalls: 1},
	}, got)
	back := history.Trend([]history.LogRow{row("2", "A", true, 3, 0), row("1", "A", true, 4, 0)})
	require.Equal(t, []string{"1", "2"}, []string{back[0].AsOf, back[1].AsOf}, "a day that was run later stands where it belongs")
	require.Nil(t, trendOf(got[:1]))
	require.Equal(t, "0.0,8.8 100.0,17.5 200.0,0.0 300.0,61.2", trendOf(got).Shortfalls)
}

func TestHeadline(t *testing.T) {
	since := &history.Since{AsOf: "2026-11-24"}
	cleared := func(whys ...history.Why) (list []history.Cleared) {
		for _, why := range whys {
			list = append(list, history.Cleared{Why: why})
		}
		return list
	}
	change := func(states ...history.State) (list []history.Change) {
		for _, state := range states {
			list = append(list, history.Change{State: state})
		}
		return list
	}
	for want, c := range map[string]*history.Changes{
		"first run: there is no earlier one to compare with":                                                                                     {Exceptions: change(history.New)},
		"since 24 November 2026: nothing new, worse or cleared":                                                                                  {Since: since, Exceptions: change(history.Standing)},
		"since 24 November 2026: 2 new, 1 worse, 2 cleared, 1 not judged any more, only because data were lost":                                  {Since: since, Exceptions: change(history.New, history.New, history.Worse), Cleared: cleared(history.Meets, history.Gone, history.NotAssessed)},
		"since 24 November 2026: 1 better, 1 cleared (1 of them since the rule or a zone changed); 2 exceptions on lines that this run left out": {Since: since, Exceptions: change(history.Better), Cleared: cleared(history.RuleChanged, history.NotInRun, history.NotInRun)},
		"since 24 November 2026: 1 not judged any more, only because data were lost; 1 exception not judged any more since data were lost before": {Since: since, Cleared: []history.Cleared{
			{Why: history.NotAssessed, Was: &history.Record{}}, {Why: history.NotAssessed, Was: &history.Record{Lost: "2026-11-24"}}}},
		"since 24 November 2026: 2 that cannot be judged as they stand now, though no datum was lost": {Since: since, Cleared: []history.Cleared{
			{Why: history.NotAssessed, NothingLost: true, Was: &history.Record{}}, {Why: history.NotAssessed, NothingLost: true, Was: &history.Record{Lost: "2026-11-24"}}}},
	} {
		require.Equal(t, want, headline(c))
	}
}

// What is cleared with a line that left the inputs is in the headline, in the log and in the trend alike, and the line counts no more.
func TestLogTellsWhatIsClearedWithALine(t *testing.T) {
	before := logOf(t, "", on(t, "2026-11-24"))
	heading, rest, _ := strings.Cut(before, "\r\n")
	before = heading + "\r\n2026-11-24,\"Gone, 2\",all,4,3,1,0,,,0,81.2,0123456789abcdef\r\n" + rest
	for _, asOf := range []string{"2026-11-25", "2026-11-24"} { // another day, and the same once more
		r := on(t, asOf)
		changes := history.Alone(r)
		changes.Since = &history.Since{AsOf: "2026-11-24"}
		for i := range changes.Exceptions {
			changes.Exceptions[i].State = history.Standing
		}
		cleared := func(line string, why history.Why) {
			x := history.Cleared{Why: why}
			x.Line = line
			changes.Cleared = append(changes.Cleared, x)
		}
		cleared("Gone, 2", history.Gone)
		cleared("Gone, 2", history.Gone)
		cleared("Gone, 2", history.NotAssessed)
		cleared("Gone, 10", history.Gone)
		cleared("N-1", history.Meets)
		cleared("Unread", history.NotAssessed)
		require.Contains(t, headline(changes), ": 4 cleared, ")

		a := &account{log: parseLog([]byte(before)), changes: changes}
		text := string(contentOf(t, r, a.by(writeHistory)))
		sum, gone := 0, [][]string{}
		for _, row := range csvRows(t, []byte(text)) {
			if row[0] != asOf || row[8] == "" {
				continue
			}
			n, err := strconv.Atoi(row[8])
			require.NoError(t, err)
			if sum += n; strings.HasPrefix(row[1], "Gone") {
				gone = append(gone, row[:11])
			}
		}
		require.Equal(t, 4, sum)
		require.Equal(t, [][]string{{asOf, "Gone, 2", "all", "0", "0", "0", "0", "0", "2", "0", ""}, {asOf, "Gone, 10", "all", "0", "0", "0", "0", "0", "1", "0", ""}}, gone)
		require.Equal(t, text, string(contentOf(t, r, (&account{log: parseLog([]byte(text)), changes: changes}).by(writeHistory))), "a repeated run takes the place of its rows")

		points := a.runs().trend(r, changes)
		last := points[len(points)-1]
		require.Equal(t, 4, last.Cleared)
		totals := r.Totals()
		require.Equal(t, [2]int{totals[audit.Shortfall], totals[audit.Advisory]}, [2]int{last.Shortfalls, last.Advisories}, "the line that is gone counts no more")
	}
}
