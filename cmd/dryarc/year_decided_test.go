package main

import (
	"path/filepath"
	"slices"
	"strings"
	"time"

	"dryarc/report"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// yearDecision is what the model knows of a decision: on which figures it was made, and under which name the file has it.
type yearDecision struct {
	word, until string
	was         fact
	as          named
	filled      bool // the last run wrote it into the workbook
}

// toldDecision is what audit.json says of the decision on an exception.
type toldDecision struct{ Decision, Status string }

// decide writes decisions into the workbook of the last run, as people do in the day: on some rows new ones, on some others instead, and
// some taken away. Rows of missing phases are left alone, since those are another thing when other phases are missing.
func (y *year) decide() {
	path := filepath.Join(y.folder, "out", report.WorkbookFile)
	book, err := excelize.OpenFile(path)
	require.NoError(y.t, err)
	defer func() { require.NoError(y.t, book.Close()) }()
	rows, err := book.GetRows("Exceptions")
	require.NoError(y.t, err)
	column := map[string]int{}
	for i, heading := range rows[0] {
		column[heading] = i
	}
	for n, row := range rows[1:] {
		if column["Id"] >= len(row) || row[column["Check"]] == "phase-missing" || y.random.IntN(8) > 0 {
			continue
		}
		var word, until string
		if y.random.IntN(5) > 0 {
			word = []string{"accept", "plan", "data wrong", "done"}[y.random.IntN(4)]
			if word == "accept" || word == "plan" {
				until = []string{"", y.dayFromNow(y.random.IntN(12) - 2)}[y.random.IntN(2)]
			}
		}
		for heading, text := range map[string]string{"Decision": word, "Until": until} {
			cell, err := excelize.CoordinatesToCellName(column[heading]+1, n+2)
			require.NoError(y.t, err)
			require.NoError(y.t, book.SetCellStr("Exceptions", cell, text))
		}
		for id := range strings.FieldsSeq(row[column["Id"]]) {
			y.take(y.spots[id], word, until)
		}
	}
	require.NoError(y.t, book.Save())
}

// take is what the run makes of a row that says what it says.
func (y *year) take(spot spotOf, word, until string) {
	d := y.decided[spot]
	stands := d != nil && d.as == y.names[spot]
	switch {
	case word == "" && stands && d.filled:
		delete(y.decided, spot)
		y.withdrawn++
	case word == "", stands && d.filled && d.word == word && d.until == until:
	default:
		y.decided[spot] = &yearDecision{word: word, until: until, was: y.known[spot], as: y.names[spot]}
	}
}

func (y *year) dayFromNow(days int) string {
	now, err := time.Parse(time.DateOnly, y.asOf)
	require.NoError(y.t, err)
	return now.AddDate(0, 0, days).Format(time.DateOnly)
}

// worth is what the decisions are worth for the exceptions of a run, of which the model has taken the facts. A decision goes along with
// its tower and line where the program can tell: where the exception was there before, and is there now or on a line that was left out.
func (y *year) worth(chosen []*yearLine) map[named]toldDecision {
	want := map[named]toldDecision{}
	for spot, d := range y.decided {
		now, is := y.known[spot]
		if before, was := y.before[spot]; is && was && before == d.as {
			d.as = y.names[spot]
		}
		if !is || !slices.Contains(chosen, spot.tower.line) {
			d.filled = false
			continue
		}
		if d.as == y.names[spot] {
			status := y.statusOf(d, now)
			d.filled = status == "in force" || status == "still there though reported done"
			want[d.as] = toldDecision{d.word, status}
		}
	}
	return want
}

func (y *year) statusOf(d *yearDecision, now fact) string {
	switch {
	case d.word == "done":
		return "still there though reported done"
	case d.until != "" && d.until < y.asOf,
		d.word == "data wrong" && (now.observed != d.was.observed || now.required != d.was.required),
		d.word != "data wrong" && now.observed/now.required < d.was.observed/d.was.required: // neither holds where nothing is registered
		return "lapsed"
	}
	return "in force"
}

// heard compares what was said of decisions, and notes what the workbook lets people decide on.
func (y *year) heard(want map[named]toldDecision, said []toldException, when string) {
	got := map[named]toldDecision{}
	spots := map[named]spotOf{}
	for spot, name := range y.names {
		spots[name] = spot
	}
	clear(y.spots)
	for _, e := range said {
		name := named{e.Check, e.Line, e.Structure, e.Phase}
		y.spots[e.ID] = spots[name]
		if e.Decision != nil {
			got[name] = *e.Decision
			y.judged[e.Decision.Status]++
		}
	}
	requireAlike(y.t, want, got, "decisions, "+when)
}
