package report

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit/history"

	"github.com/stretchr/testify/require"
)

func TestNoticeOfARun(t *testing.T) {
	p := fixture(t)
	p.Title = "Harbour <b>& \nnight"
	r := assessed(t, p, 1)
	store, err := history.ParseStore([]byte("exception,line,check,decision,structure,until,by,reason,decided,ended,was\n,N-1,short-string,done\n"))
	require.NoError(t, err)
	changes := history.Alone(r)
	changes.Since = &history.Since{Run: "before", AsOf: "2026-03-30"}
	changes.Decided = store.Decide(r, changes)
	path := filepath.Join(t.TempDir(), "news.txt")
	require.NoError(t, Notify(path, r, changes))
	text := read(t, filepath.Dir(path), "news.txt")
	page := read(t, filepath.Dir(path), "news.html")
	require.Contains(t, text, "Since 30 March 2026: ")
	require.Contains(t, text, "New, the worst first:\n  - line ")
	require.Contains(t, text, "Still there though reported done (1 decision):\n  - line N-1, short-string, 3 exceptions (structure 002, 004, 006): done\n")
	require.Contains(t, text, Caution)
	require.Contains(t, page, "<title>Harbour &lt;b&gt;&amp; night, 31 March 2026: since 30 March 2026: ")
	require.Contains(t, page, "<p>Still there though reported done (1 decision):</p>\n<ul>\n<li>line N-1, short-string, 3 exceptions ")
	require.NotContains(t, page, "<b>")
	for _, outside := range []string{"src=", "href=", "<link", "<script"} {
		require.NotContains(t, page, outside)
	}
	names, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	require.Len(t, names, 2, "nothing is left beside them")
}

// The lists of decisions have as many items as their counts say, with the phases and why; what has another name is listed too.
func TestNoticeListsDecisionsAndNames(t *testing.T) {
	r, a := twoNights(t)
	ids := r.ExceptionIDs()
	rows := "exception,line,structure,check,decision,until,by,reason,decided,ended,was\n"
	for i := range r.Exceptions {
		if r.Checks[r.Exceptions[i].Check].ID == "short-string" {
			rows += ids[i] + ",,,,accept,03/04/2027,Kim,,,,\n"
		}
	}
	rows += ",N-1,004,,accept,,Kim,,,,\n,N-1,004,,plan,,Lee,,,,\n"
	store, err := history.ParseStore([]byte(rows))
	require.NoError(t, err)
	changes := a.changes
	changes.Renamed = []history.Renamed{{FromLine: "N-0", Line: "N-1"}, {FromLine: "N-1", Line: "N-1", FromStructure: "3", Structure: "003"}}
	changes.Remarks = []string{"which of two it is cannot be told"}
	changes.Decided = store.Decide(r, changes)
	lapsed := changes.Decided.Count(history.Lapsed)
	require.Equal(t, 3, lapsed)
	path := filepath.Join(t.TempDir(), "news.txt")
	require.NoError(t, Notify(path, r, changes))
	text := read(t, filepath.Dir(path), "news.txt")
	require.Contains(t, text, "Decisions: 3 lapsed, 2 contradictory.\n")
	_, list, _ := strings.Cut(text, "Decisions that lapsed (3 decisions):\n")
	list, rest, _ := strings.Cut(list, "\n\n")
	require.Len(t, strings.Split(list, "\n"), lapsed, list)
	require.Contains(t, list, `  - line N-1, structure 003, short-string, circuit 1, phase A,B,C: accept until 03/04/2027, Kim; until "03/04/2027" may be 3 April 2027 or 4 March 2027`)
	require.Contains(t, rest, "Contradictory decisions, of which none is applied (2 decisions):\n  - line N-1, structure 004, 1 exception: accept, Kim; against plan, Lee\n  - line N-1, structure 004, 1 exception: plan, Lee; against accept, Kim\n")
	require.Contains(t, rest, "under which what is known is kept:\n  - line N-0 is now N-1\n  - structure 3 of line N-1 is now 003\n")
	require.Contains(t, rest, "What could not be told:\n  - which of two it is cannot be told\n")
}
