package report

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/stretchr/testify/require"
)

// decidedFixture is the fixture with a decision of each sort on its first structures: the result, and its account.
func decidedFixture(t *testing.T, csv string) (*audit.Result, *account) {
	t.Helper()
	r := assessed(t, fixture(t), 1)
	store, err := history.ParseStore([]byte(csv))
	require.NoError(t, err)
	changes := history.Alone(r)
	changes.Decided = store.Decide(r, changes)
	return r, &account{changes: changes}
}

func TestDecisionsOnThePageAndInLayers(t *testing.T) {
	r, a := decidedFixture(t, "exception,line,check,decision,until,by,reason,structure,decided,ended,was\n,N-1,short-string,accept,2026-04-20,K. Lee,\"=crew <in> spring\"\n")
	const decision, rest = "accept, in force", "until 2026-04-20; by K. Lee; =crew <in> spring; lapses within 30 days"
	closed := 0
	for i := range r.Exceptions {
		key := r.Key(i)
		require.Equal(t, key.Line == "N-1" && key.Check == "short-string", !a.changes.Decided.Open(i), key)
		if !a.changes.Decided.Open(i) {
			closed++
		}
	}
	require.Positive(t, closed)
	require.Less(t, closed, len(r.Exceptions))

	var page bytes.Buffer
	require.NoError(t, writePage(context.Background(), &page, r, a))
	plain := scripted.ReplaceAllString(page.String(), "")
	require.Contains(t, plain, "Decisions: 1 in force (1 lapses within 30 days); decided, and in no gate: ")
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, a, generous))
	overview := fmt.Sprint(cells(t, openFile(t, saved(t, "exceptions.xlsx", b.Bytes())), overviewSheet))
	require.Contains(t, overview, fmt.Sprintf("Decisions: 1 in force (1 lapses within 30 days); decided, and in no gate: %d exceptions (%d shortfalls, 0 advisories, 0 notes).", closed, closed))
	require.Contains(t, overview, fmt.Sprintf("%d exceptions in %d findings of sheet Exceptions.", len(r.Exceptions), len(decidedFindings(r, a.changes.Decided, r.Findings()))))
	require.Contains(t, plain, fmt.Sprintf("%d findings of %d exceptions, worst first", len(decidedFindings(r, a.changes.Decided, r.Findings())), len(r.Exceptions)))
	require.Contains(t, plain, "Decision: "+decision+"; Decided: until 2026-04-20; by K. Lee; =crew &lt;in&gt; spring; lapses within 30 days")
	rows := strings.Split(plain, `<tr id="e-`)[1:]
	data := dataOf(t, page.String())
	require.Len(t, data.Exceptions.Closed, len(rows))
	for i, row := range rows {
		told := [2]string{data.Texts[data.Exceptions.Decision[i]], data.Texts[data.Exceptions.Decided[i]]}
		if data.Exceptions.Closed[i] == 1 {
			require.Equal(t, [2]string{decision, rest}, told)
		} else {
			require.Equal(t, [2]string{}, told)
		}
		require.Equal(t, data.Exceptions.Closed[i] == 1, strings.Contains(row, `class="closed"`), row)
	}
	require.NotContains(t, pageOf(t, r), `"decision":`, "of a project without decisions")

	kml := strings.Join(strings.Fields(string(contentOf(t, r, a.by(writeKML)))), " ")
	require.Equal(t, closed, strings.Count(kml, "<styleUrl>#decided</styleUrl>"))
	require.Equal(t, closed, strings.Count(kml, `<Data name="decision"> <value>accept</value>`))
	require.Equal(t, closed, strings.Count(kml, `<Data name="decision_status"> <value>in force</value>`))
	require.NotContains(t, string(contentOf(t, r, alone.by(writeKML))), "decided")

	layer := exceptionLayer(r, a.changes)
	n, in := len(layer.Columns), 0
	require.Equal(t, decidedNames, []string{layer.Columns[n-2].Name, layer.Columns[n-1].Name})
	for row := range layer.Rows {
		require.Len(t, row.Values, n)
		if row.Values[n-2] == nil {
			require.Nil(t, row.Values[n-1])
			continue
		}
		require.Equal(t, []any{"accept", "in force"}, row.Values[n-2:])
		in++
	}
	require.Equal(t, closed, in)
	require.Len(t, exceptionLayer(r, history.Alone(r)).Columns, n-2)
}

// Findings whose exceptions are decided differently stand apart on the page, what was reported done first.
func TestPagePutsWhatIsReportedDoneFirst(t *testing.T) {
	r := assessed(t, fixture(t), 1)
	last := len(r.Exceptions) - 1
	id := r.ExceptionIDs()[last]
	r, a := decidedFixture(t, "exception,line,decision,structure,check,until,by,reason,decided,ended,was\n"+id+",,done\n")
	var page bytes.Buffer
	require.NoError(t, writePage(context.Background(), &page, r, a))
	data := dataOf(t, page.String())
	require.Equal(t, id, data.Texts[data.Exceptions.IDs[0]])
	require.Equal(t, "done, still there though reported done", data.Texts[data.Exceptions.Decision[0]])
	require.Equal(t, int64(0), data.Exceptions.Closed[0])
}
