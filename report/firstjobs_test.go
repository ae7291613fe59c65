package report

import (
	"fmt"
	"html"
	"slices"
	"strings"
	"testing"

	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// The page, the Overview and the brief list the same jobs first, those with something to hang, and say which they pass over and why.
func TestOutputsListTheSameJobsFirst(t *testing.T) {
	r, jobs := demoJobs(t)
	jobs = slices.Clone(jobs)
	before := (&account{jobs: jobs}).rows(r)
	for _, i := range []int{0, 2} { // of the order of doing
		before[i].job.Remedies, before[i].job.StoppedBy = nil, []remedy.Stop{{Check: -1, Sentence: "No unit to choose from is made for this duty."}}
	}
	a := &account{jobs: jobs}
	rows := a.rows(r)
	var want []string
	for i := range rows {
		if len(rows[i].job.Remedies) > 0 {
			want = append(want, fmt.Sprintf("%d. %s, %s", rows[i].rank, rows[i].line, rows[i].structure))
		}
	}
	passed := leftOutOfOrder(r, rows, 4, listedPassed)
	require.Equal(t, fmt.Sprintf("Left out in the order, since nothing is to be hung yet: 1 (%s, %s: nothing serves: No unit to choose from is made for this duty), 3 (%s, %s: nothing serves: No unit to choose from is made for this duty)",
		rows[0].line, rows[0].structure, rows[2].line, rows[2].structure), passed)

	f := firstOfAccount(t, r, a)
	for i, job := range f.First {
		require.Equal(t, want[i], fmt.Sprintf("%d. %s, %s", job.Rank, job.Line, job.Structure), "page")
	}
	require.Len(t, f.First, listedFirst)
	b := briefOf(r, a)
	for i, job := range b.Jobs {
		require.Equal(t, want[i], fmt.Sprintf("%d. %s, %s", job.Rank, job.Line, job.Structure), "brief")
	}
	require.NotEmpty(t, b.Jobs)
	named := jobCounts{}
	for _, job := range b.Jobs {
		w := &rows[slices.IndexFunc(rows, func(w workRow) bool { return w.rank == job.Rank })]
		named.add(r, w.job, &w.said)
	}
	ready := countRows(r, rows).Ready
	require.Greater(t, ready, named.Ready)
	require.Equal(t, fmt.Sprintf("%d more to be done as they stand, in the order of doing on the sheet Work of exceptions.xlsx.", ready-named.Ready), b.MoreJobs,
		"with those that are named as many as Work says")
	require.Contains(t, b.Work, fmt.Sprintf("; %d to be done as they stand", ready))
	var overview strings.Builder
	for _, row := range cells(t, openBookOf(t, r, a, generous), overviewSheet) {
		fmt.Fprintln(&overview, strings.Join(row, " "))
	}
	_, left, told := strings.Cut(overview.String(), "Left out in the order")
	left, _, _ = strings.Cut(left, "\n")
	require.True(t, told)
	require.Equal(t, strings.Count(left, "("), strings.Count(left, ")"), "%s", left)
	require.Contains(t, left, "No unit to choose from is made for this duty)", "what stops the first is told to its end")
	at := 0
	for _, job := range want[:3] {
		next := strings.Index(overview.String(), job+": ")
		require.Greater(t, next, at, "Overview: "+job)
		at = next
	}
	page, brief := html.UnescapeString(string(contentOf(t, r, a.by(writePage)))), html.UnescapeString(string(contentOf(t, r, a.by(writeBrief))))
	require.Contains(t, page, passed)
	require.Contains(t, brief, passed)
	require.Contains(t, overview.String(), passed[:120], "cut where it is long")
}

// Where nothing at all is to be hung all three say so in the same words.
func TestOutputsSayAlikeThatNothingIsToBeHung(t *testing.T) {
	r, jobs := demoJobs(t)
	jobs = slices.Clone(jobs)
	for i := range jobs {
		jobs[i].Remedies, jobs[i].StoppedBy = nil, []remedy.Stop{{Check: -1, Sentence: "No unit to choose from is made for this duty."}}
	}
	a := &account{jobs: jobs}
	want := nothingToDoFirst(r, countRows(r, a.rows(r)))
	require.Contains(t, want, "Nothing is to be hung yet")
	require.Equal(t, want, firstOfAccount(t, r, a).NoWork)
	require.Equal(t, want, briefOf(r, a).NoJob)
	var overview strings.Builder
	for _, row := range cells(t, openBookOf(t, r, a, generous), overviewSheet) {
		fmt.Fprintln(&overview, strings.Join(row, " "))
	}
	require.Contains(t, overview.String(), want)
}
