package report

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// What the work mends besides and what it brings is told of each job, as an audit with all of the work done finds it. Of the demo project
// (PLANTED.csv) tension sets for strings that swing mend a turn too, and a set for a short string one that the line's suspension strings exceed.
func TestWhatWorkDoesBesidesIsTold(t *testing.T) {
	r, jobs := demoJobs(t)
	after := judged(t, remedy.Apply(r.Project, jobs))
	spot := func(r *audit.Result, e *audit.Exception) string {
		return fmt.Sprint(r.Checks[e.Check].ID, " ", e.Line, " ", e.Structure, " ", r.Project.Symbols.Text(e.Circuit))
	}
	before, stays := map[string]bool{}, map[string]bool{}
	for i := range r.Exceptions {
		before[spot(r, &r.Exceptions[i])] = true
	}
	brought := 0
	for i := range after.Exceptions {
		e := &after.Exceptions[i]
		stays[spot(after, e)] = true
		k := slices.IndexFunc(jobs, func(j remedy.Job) bool { return j.Line == e.Line && j.Structure == e.Structure })
		if k < 0 || e.To >= 0 || before[spot(after, e)] {
			continue
		}
		brought++
		require.True(t, slices.ContainsFunc(jobs[k].Open, func(o remedy.Open) bool {
			return o.Check == e.Check && o.Circuit == e.Circuit && o.Exception < 0 && o.Brought == (e.Verdict.Severity == audit.Note)
		}), "%s is said of the job", spot(after, e))
		require.Contains(t, openInWords(r, &jobs[k]), "a note that the work brings: ")
		require.Contains(t, strings.Join(openOnSheet(r, &jobs[k]), "\n"), "a note that the work brings: ")
	}
	require.Positive(t, brought)

	rows := workRows(r, jobs, nil)
	at := besides(r, rows)
	told := map[string]bool{}
	for i := range rows {
		j := rows[i].job
		for _, e := range j.AlsoMends {
			told[rows[i].structure+" "+r.Checks[r.Exceptions[e].Check].ID] = true
			require.NotContains(t, stays, spot(r, &r.Exceptions[e]))
			require.NotContains(t, at[j.Structure], e, "it is not said to be no part of the job")
			require.NotContains(t, j.Exceptions, e)
		}
		if len(j.AlsoMends) > 0 {
			require.Contains(t, rows[i].findings, "also mended by this job: advisory ")
			require.Len(t, jobOf(r, j, 1, &rows[i].why).AlsoMends, len(j.AlsoMends))
		}
		for _, e := range at[j.Structure] { // of the rest nothing is gone that the job changes
			if x := &r.Exceptions[e]; len(j.Remedies) > 0 && slices.ContainsFunc(j.Remedies, func(m remedy.Remedy) bool { return m.Circuit == x.Circuit && !m.Unregistered }) && x.To < 0 {
				require.Contains(t, stays, spot(r, x), rows[i].structure)
			}
		}
	}
	for _, mended := range []string{"T-017 tension-at-deviation", "T-038 tension-at-deviation", "T-011 tension-fewer-units"} {
		require.Contains(t, told, mended)
	}
}

// Every check that a job leaves open says why, also where what falls short with the work done is no exception of today.
func TestChecksThatStayOpenSayWhy(t *testing.T) {
	r, jobs := demoJobs(t)
	j := jobs[0]
	for name, c := range map[string]struct {
		open remedy.Open
		want string
	}{
		"an advisory stays":          {remedy.Open{}, "falls short with the work done"},
		"a note that is brought":     {remedy.Open{Brought: true}, "a note that the work brings"},
		"rows contradict each other": {remedy.Open{RowsContradict: true}, "rests on which of the rows that contradict each other is right"},
		"not assessed":               {remedy.Open{Reason: audit.GroundUnknown}, "ground level unknown"},
	} {
		c.open.Exception = -1
		j.Open = []remedy.Open{c.open}
		rec := jobOf(r, &j, 1, &remedy.Rank{})
		require.Empty(t, rec.Open, name)
		require.Equal(t, []openRecord{{r.Checks[0].ID, "", c.want}}, rec.OpenChecks, name)
	}
}
