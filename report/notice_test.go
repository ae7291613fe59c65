package report

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/stretchr/testify/require"
)

// notify writes the news of a run.
func notify(t *testing.T, path string, r *audit.Result, changes *history.Changes) {
	t.Helper()
	placed, err := placeNews(soundDisk(), path, r, changes)
	require.NoError(t, err)
	require.NoError(t, placed.settle(true))
}

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
	notify(t, path, r, changes)
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
	notify(t, path, r, changes)
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

// News that another program has open stop the run before an output is replaced, whichever of the two forms it is: what is new would be in no
// news else.
func TestNewsThatAreOpenElsewhere(t *testing.T) {
	r, a := twoNights(t)
	for _, name := range []string{"news.txt", "news.html"} {
		dir := t.TempDir()
		path := filepath.Join(dir, "news.txt")
		notify(t, path, fixtureResult(t), history.Alone(r))
		old := contents(t, dir)
		held, err := os.Stat(filepath.Join(dir, name))
		require.NoError(t, err)
		_, err = placeNews(&holdingDisk{soundDisk(), held}, path, r, a.changes)
		var failed *WriteError
		require.ErrorAs(t, err, &failed)
		require.Equal(t, filepath.Join(dir, name), failed.File)
		require.ErrorContains(t, err, "close it there and run again)\n  hint: the outputs stay those of the run before too")
		require.Equal(t, old, contents(t, dir), "with nothing left of the run")
		notify(t, path, r, a.changes)
		require.NotEqual(t, old["news.html"], read(t, dir, "news.html"))
	}
}

// Whatever operation fails, and however, the news are placed or those of before are back; where the file system does not let them, that is said.
func TestNewsFailAtEachOperation(t *testing.T) {
	r, a := twoNights(t)
	placing := soundDisk()
	_, err := placeNews(placing, filepath.Join(t.TempDir(), "news.txt"), r, a.changes)
	require.NoError(t, err)
	total, restored := placing.done, 0
	for _, how := range []trouble{refused, fullDisk, readOnly, heldOpen} {
		for at := range total {
			dir := t.TempDir()
			path := filepath.Join(dir, "news.txt")
			notify(t, path, fixtureResult(t), history.Alone(r))
			old := contents(t, dir)
			_, err := placeNews(newFaultyDisk(at, how), path, r, a.changes)
			now := contents(t, dir)
			switch {
			case err == nil:
				require.NotEqual(t, old["news.txt"], now["news.txt"])
				require.NotEqual(t, old["news.html"], now["news.html"])
			case old["news.txt"] == now["news.txt"] && old["news.html"] == now["news.html"]:
				restored++
			default:
				require.ErrorContains(t, err, "it may tell of a run that was not written", "%s at operation %d", how, at)
			}
			notify(t, path, r, a.changes)
			require.Equal(t, []string{"news.html", "news.txt"}, filesIn(t, dir), "the next run is not blocked, and removes what was left")
		}
	}
	require.Greater(t, restored, total)
}

// News and outputs are of one run: neither is replaced where the other cannot be.
func TestNewsAreOfTheRunWhoseOutputsStand(t *testing.T) {
	r, a := twoNights(t)
	out, folder := t.TempDir(), t.TempDir()
	how := How{News: filepath.Join(folder, "news.txt"), Compare: func(context.Context) (*history.Changes, error) { return history.Alone(r), nil }}
	_, err := Write(context.Background(), out, r, nil, how)
	require.NoError(t, err)
	old, oldNews := contents(t, out), contents(t, folder)
	how.Compare = func(context.Context) (*history.Changes, error) { return a.changes, nil }
	unchanged := func(says, file string) {
		t.Helper()
		_, err := Write(context.Background(), out, r, nil, how)
		var failed *WriteError
		require.ErrorAs(t, err, &failed)
		require.Equal(t, file, failed.File)
		require.ErrorContains(t, err, says)
		require.Equal(t, old, contents(t, out))
		require.Equal(t, oldNews, contents(t, folder))
	}

	how.Replacing = func() error { // the last of the files that is put in its place is not there any more
		staged, err := filepath.Glob(filepath.Join(out, ".dryarc-*", AuditFile))
		require.NoError(t, err)
		require.Len(t, staged, 1)
		return os.Remove(staged[0])
	}
	unchanged("no such file", AuditFile)
	how.Replacing = nil

	page := filepath.Join(folder, "news.html")
	require.NoError(t, os.Remove(page))
	require.NoError(t, os.MkdirAll(filepath.Join(page, "somebody's"), 0o777))
	oldNews = contents(t, folder)
	unchanged("a folder has its name", page)
	require.DirExists(t, filepath.Join(page, "somebody's"))
	require.NoError(t, os.RemoveAll(page))

	other := filepath.Join(t.TempDir(), "other")
	how.News, oldNews = filepath.Join(other, "news.txt"), contents(t, folder)
	unchanged("no such file", how.News)
	require.NoError(t, os.Symlink(out, other))
	unchanged("it lies in the folder of the outputs", how.News)

	how.News = filepath.Join(folder, "news.txt")
	_, err = Write(context.Background(), out, r, nil, how)
	require.NoError(t, err)
	require.Contains(t, read(t, folder, "news.txt"), "Since 31 March 2026: 1 new, 1 worse")
	require.NotEqual(t, old[AuditFile], read(t, out, AuditFile))
	require.False(t, slices.ContainsFunc(filesIn(t, folder), func(name string) bool { return strings.HasPrefix(name, stagingStart) }))
}

// Only what runs that ended left of the same news is removed; whatever else has such a name stays, and so does what a run of other news has there.
func TestNewsSpareWhatIsNotTheirs(t *testing.T) {
	const drawn = ".dryarc-4711-0123456789abcdef"
	r := fixtureResult(t)
	dir := t.TempDir()
	path := filepath.Join(dir, "news.txt")
	gone := []string{drawn + "-news.html/" + markFile, drawn + "-news.html/old-news.txt", ".dryarc-4712-0123456789abcdef-news.html/"}
	kept := []string{
		".dryarc-news.txt/thesis.doc", ".dryarc-news.txt/sub/y", ".dryarc-news.html", ".dryarc-news/",
		".dryarc-4713-0123456789abcdef-news.html/news.txt", ".dryarc-4714-0123456789abcdef-news.html",
		drawn + "-other-news.html/" + markFile, drawn + "-other-news.html/other-news.txt", drawn + "/" + markFile,
	}
	for _, name := range slices.Concat(gone, kept) {
		at := filepath.Join(dir, filepath.FromSlash(name))
		if strings.HasSuffix(name, "/") {
			require.NoError(t, os.Mkdir(at, 0o777))
			continue
		}
		require.NoError(t, os.MkdirAll(filepath.Dir(at), 0o777))
		require.NoError(t, os.WriteFile(at, []byte("precious"), 0o666))
	}
	notify(t, path, r, history.Alone(r))
	require.NoError(t, os.Remove(path))
	require.NoError(t, os.Mkdir(path, 0o777))
	_, err := placeNews(soundDisk(), path, r, history.Alone(r))
	require.ErrorContains(t, err, "a folder has its name")
	for _, name := range gone {
		require.NoDirExists(t, filepath.Join(dir, strings.Split(name, "/")[0]))
	}
	for _, name := range kept {
		if strings.HasSuffix(name, "/") {
			require.DirExists(t, filepath.Join(dir, name))
			continue
		}
		require.Equal(t, "precious", read(t, dir, filepath.FromSlash(name)))
	}
}

// Of runs with the same news one has them from before they are placed until its outputs stand; another waits for it, or changes nothing.
func TestNewsAreOfOneRunAtATime(t *testing.T) {
	folder, outs := t.TempDir(), [2]string{t.TempDir(), t.TempDir()}
	results := [2]*audit.Result{fixtureResult(t), fixtureResult(t)}
	write := func(i int, file string, how How) error {
		changes := history.Alone(results[i])
		changes.Remarks = []string{[2]string{"told by one", "told by two"}[i]}
		how.News, how.Compare = filepath.Join(folder, file), func(context.Context) (*history.Changes, error) { return changes, nil }
		_, err := Write(context.Background(), outs[i], results[i], nil, how)
		return err
	}
	for _, file := range []string{"news.txt", "news.md"} {
		require.NoError(t, write(0, file, How{Replacing: func() error {
			var held *Held
			require.ErrorAs(t, write(1, file, How{}), &held)
			require.Empty(t, filesIn(t, outs[1]))
			return nil
		}}))
	}
	for range 10 {
		ended := make(chan error, 2)
		for i := range 2 {
			go func() { ended <- write(i, "news.txt", How{Wait: time.Minute}) }()
		}
		require.NoError(t, <-ended)
		require.NoError(t, <-ended)
		text, page := read(t, folder, "news.txt"), read(t, folder, "news.html")
		require.Equal(t, strings.Contains(text, "told by one"), strings.Contains(page, "told by one"))
		require.Equal(t, strings.Contains(text, "told by two"), strings.Contains(page, "told by two"))
	}
}
