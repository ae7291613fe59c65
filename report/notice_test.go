package report

import (
	"os"
	"path/filepath"
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
	require.Contains(t, text, "Still there though reported done:\n  - line N-1, structure ")
	require.Contains(t, text, Caution)
	require.Contains(t, page, "<title>Harbour &lt;b&gt;&amp; night, 31 March 2026: since 30 March 2026: ")
	require.Contains(t, page, "<p>Still there though reported done:</p>\n<ul>\n<li>line N-1, structure ")
	require.NotContains(t, page, "<b>")
	for _, outside := range []string{"src=", "href=", "<link", "<script"} {
		require.NotContains(t, page, outside)
	}
	names, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	require.Len(t, names, 2, "nothing is left beside them")
}
