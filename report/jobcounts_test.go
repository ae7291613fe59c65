package report

import (
	"bytes"
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// Every output says one number of jobs, and of each how it begins. Of the demo project five structures lack rows, and at two a row is
// misspelt (PLANTED.csv), so that somebody has to look.
func TestOutputsAgreeOnJobs(t *testing.T) {
	r, jobs := demoJobs(t)
	counts := countJobs(r, jobs, nil)
	require.Equal(t, len(jobs), counts.All)
	require.Equal(t, counts.All, counts.Ready+counts.LookFirst+counts.Unmended, "each is one of them")
	require.Equal(t, 7, counts.LookFirst)
	said := counts.inWords()

	a := &account{jobs: jobs, changes: history.Alone(r)}
	require.Equal(t, counts, countRows(r, a.rows(r)))
	order := a.inOrder(r)
	require.Len(t, order, len(jobs))
	a.rows(r)
	require.Same(t, &order[0], &a.inOrder(r)[0], "the order is reckoned once")
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, a, generous))
	book, err := excelize.OpenReader(&b)
	require.NoError(t, err)
	text := func(sheet string) (all string) {
		for _, row := range cells(t, book, sheet) {
			all += strings.Join(row, " ") + "\n"
		}
		return all
	}
	overview := text(overviewSheet)
	require.Contains(t, overview, said)
	require.Contains(t, text(workSheet), sentenceCase(said)+".")

	var terminal bytes.Buffer
	Summary(&terminal, r, jobs, a.changes, "out")
	require.Contains(t, terminal.String(), "work: "+said+", see sheet Work\n")

	var html bytes.Buffer
	require.NoError(t, writePage(context.Background(), &html, r, a))
	page := html.String()
	require.Contains(t, page, sentenceCase(said)+".")

	var out bytes.Buffer
	require.NoError(t, writeAudit(context.Background(), &out, r, a))
	var read struct {
		Run  struct{ Jobs jobCounts }
		Jobs []struct{ Rank int }
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &read))
	require.Len(t, read.Jobs, counts.All)
	require.Equal(t, counts, read.Run.Jobs)

	_, looks, _ := strings.Cut(overview, "What needs a look or an entry first")
	looks, unsolved, _ := strings.Cut(looks, "What no unit to choose from can mend")
	require.True(t, strings.HasPrefix(strings.TrimSpace(unsolved), "Nothing."))
	for _, w := range workRows(r, jobs, nil) {
		if wantsLook(r, w.job) {
			require.Regexp(t, w.line+",? "+w.structure, looks, "each is named")
		}
		require.NotContains(t, strings.ToLower(w.workInWords(r)), "nothing serves", "the overview says there is nothing of that")
	}
	require.NotContains(t, page, "nothing serves: ")
	for i := range jobs {
		var told bytes.Buffer
		Proposal(&told, r, &jobs[i])
		require.NotContains(t, told.String(), "nothing serves:")
	}
}

// What no unit mends is no look, and is told as such everywhere.
func TestNothingServesIsToldApart(t *testing.T) {
	r, _ := demoJobs(t)
	job := remedy.Job{StoppedBy: []remedy.Stop{{Check: -1, Sentence: "No unit to choose from."}}}
	require.Equal(t, jobCounts{All: 1, Unmended: 1}, countJobs(r, []remedy.Job{job}, nil))
	require.Equal(t, "nothing serves", stopWord(r, &job))
	job.Remedies = []remedy.Remedy{{Changes: []remedy.Change{{RowsContradict: true}}}}
	require.Equal(t, jobCounts{All: 1, LookFirst: 1, Partly: 1}, countJobs(r, []remedy.Job{job}, nil))
	require.False(t, wantsEntry(r, &job))
	for i, check := range r.Checks {
		if check.Of == audit.OfPlace {
			job = remedy.Job{StoppedBy: []remedy.Stop{{Check: i, Sentence: "A side is missing."}}}
		}
	}
	require.Equal(t, jobCounts{All: 1, LookFirst: 1}, countJobs(r, []remedy.Job{job}, nil))
	require.Equal(t, "look or enter first", stopWord(r, &job))
}

// Where nothing but what cannot be judged stands against what may serve, that is told, and counted under no limit.
func TestWhatMayServeIsNoLimit(t *testing.T) {
	r, _ := demoJobs(t)
	at := slices.IndexFunc(r.Checks, func(c *audit.Check) bool { return c.ID == "strength" })
	require.GreaterOrEqual(t, at, 0)
	open, limit := remedy.Stop{Check: at, Unjudged: true, Sentence: "It cannot be judged."}, remedy.Stop{Check: at, Sentence: "It is too weak."}
	job := remedy.Job{StoppedBy: []remedy.Stop{open}}
	require.Equal(t, jobCounts{All: 1, Unjudged: 1}, countJobs(r, []remedy.Job{job}, nil))
	require.Equal(t, "1 job in all; 1 of which it cannot be judged what mends them", countJobs(r, []remedy.Job{job}, nil).inWords())
	require.Equal(t, "not known what serves", stopWord(r, &job))
	require.Equal(t, "strength cannot be judged", limitOf(r, &open))
	require.Equal(t, "strength", limitOf(r, &limit))
	require.Equal(t, "length or coupling not known", limitOf(r, &remedy.Stop{Check: -1, Unjudged: true}))
	job.StoppedBy = append(job.StoppedBy, limit)
	require.Equal(t, jobCounts{All: 1, Unmended: 1}, countJobs(r, []remedy.Job{job}, nil))
	require.Equal(t, "nothing serves", stopWord(r, &job))
}

// What stops a job is told with its limit or with what is not known, and each sentence of that begins like one.
func TestWhatStopsAJobIsTold(t *testing.T) {
	r, _ := demoJobs(t)
	strength := slices.IndexFunc(r.Checks, func(c *audit.Check) bool { return c.ID == "strength" })
	place := slices.IndexFunc(r.Checks, func(c *audit.Check) bool { return c.Of == audit.OfPlace })
	tooLong := remedy.Stop{Check: -1, TooLong: true, Sentence: "14 × U70BL is 2044 mm, the line allows 1800 mm."}
	weak := remedy.Stop{Check: strength, Sentence: "the load is 90 kN, the string bears 70 kN."}
	unknown := remedy.Stop{Check: -1, Unjudged: true, Sentence: "the length of 9 × U70BL is not known, and the line allows 1800 mm."}
	none := remedy.Stop{Check: -1, Sentence: "No unit to choose from is made for this duty."}
	for want, stops := range map[[2]string][]remedy.Stop{
		{"nothing serves: limit string-too-long", "Nothing serves: limit string-too-long. 14 × U70BL is 2044 mm, the line allows 1800 mm."}: {tooLong},
		{"nothing serves: limit string-too-long, limit strength",
			"Nothing serves: limit string-too-long, limit strength. 14 × U70BL is 2044 mm, the line allows 1800 mm. The load is 90 kN, the string bears 70 kN."}: {tooLong, weak, weak},
		{"not known what serves: length or coupling not known",
			"Not known what serves: length or coupling not known. The length of 9 × U70BL is not known, and the line allows 1800 mm."}: {unknown},
		{"nothing serves: No unit to choose from is made for this duty", "Nothing serves. No unit to choose from is made for this duty."}: {none},
		{"look or enter first: " + r.Checks[place].ID, "Look or enter first: " + r.Checks[place].ID + ". É is missing."}:                  {{Check: place, Sentence: "é is missing."}},
	} {
		job := remedy.Job{StoppedBy: stops}
		w := workRow{job: &job, stoppedBy: stopsInWords(&job)}
		require.Equal(t, want, [2]string{stopInShort(r, &job), w.workInWords(r)})
	}
	w := workRow{job: &remedy.Job{}, open: "still falls short: creepage"}
	require.Equal(t, "Nothing serves. Still falls short: creepage.", w.workInWords(r))
}

// A job that is set aside without an end never comes back, which no day of the others may hide.
func TestAcceptedJobsWithoutEndAreToldApart(t *testing.T) {
	aside := func(of int, until string) history.WorkDecision {
		return history.WorkDecision{Of: of, Accepted: of, Aside: true, Until: until}
	}
	for want, said := range map[string][]history.WorkDecision{
		"1 accepted until 2026-06-30 and not to be done":                                          {aside(1, "2026-06-30")},
		"2 accepted until 2026-06-30 and not to be done":                                          {aside(1, "2026-06-30"), aside(0, "")},
		"2 accepted, the first until 2026-06-30, and not to be done":                              {aside(1, "2027-01-31"), aside(2, "2026-06-30")},
		"2 accepted without end and not to be done":                                               {aside(1, ""), aside(1, "")},
		"2 accepted and not to be done, 1 until 2026-06-30, 1 without end":                        {aside(1, ""), aside(1, "2026-06-30")},
		"3 accepted and not to be done, 2 with an end, the first until 2026-06-30, 1 without end": {aside(1, "2027-01-31"), aside(1, ""), aside(1, "2026-06-30")},
		"4 accepted and not to be done, 2 until 2026-06-30, 2 without end":                        {aside(1, "2026-06-30"), aside(1, "2026-06-30"), aside(1, ""), aside(3, "")},
	} {
		var c jobCounts
		for i := range said {
			c.add(nil, nil, &said[i])
		}
		require.Equal(t, counted(len(said), "job", "jobs")+" in all; "+want, c.inWords())
	}
}
