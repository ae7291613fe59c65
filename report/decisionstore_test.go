package report

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// The set that replaces the other is that of a run which took a decision from the workbook into the file, while something else was done.
func replacing(t *testing.T, d disk, dir, store string, meanwhile func()) error {
	t.Helper()
	var decisions Decisions
	defer func() { decisions.close() }()
	_, err := writeAll(context.Background(), d, dir, nil, func(folder) ([]output, error) {
		file, err := openDecisions(context.Background(), d, store, How{})
		if err != nil {
			return nil, err
		}
		decisions.File, decisions.Next = file, []byte("old\ntaken\n")
		if decisions.Workbook, err = See(filepath.Join(dir, WorkbookFile)); err == nil && meanwhile != nil {
			meanwhile()
		}
		return newSet, err
	}, How{Replacing: decisions.keep})
	return err
}

// Whatever operation fails, and however, a decision stands in the workbook in which it was made or in the file, and the file is whole.
func TestDecisionsStandAtEachOperation(t *testing.T) {
	old, new := setsInPlace(t)
	prepare := func(t *testing.T) (dir, store string) {
		dir = t.TempDir()
		require.NoError(t, writeTexts(context.Background(), dir, oldSet))
		store = filepath.Join(t.TempDir(), "decisions.csv")
		require.NoError(t, os.WriteFile(store, []byte("old\n"), 0o666))
		return dir, store
	}
	dir, store := prepare(t)
	counting := soundDisk()
	require.NoError(t, replacing(t, counting, dir, store, nil))
	require.Equal(t, new, contents(t, dir))
	total := counting.done
	between := 0
	for _, how := range troubles {
		for at := range total {
			t.Run(fmt.Sprintf("%s at operation %d", how, at), func(t *testing.T) {
				dir, store := prepare(t)
				err := replacing(t, newFaultyDisk(at, how), dir, store, nil)
				require.NoError(t, folder{soundDisk(), dir}.recover())
				isNew := requireOldOrNew(t, dir, old, new)
				text, failed := os.ReadFile(store)
				require.NoError(t, failed)
				require.Contains(t, []string{"old\n", "old\ntaken\n"}, string(text))
				taken := string(text) == "old\ntaken\n"
				require.True(t, taken || !isNew, "the workbook was replaced, and the file does not have what stood in it")
				if err == nil {
					require.True(t, taken && isNew)
				}
				if taken && !isNew {
					between++
				}
				require.NoError(t, replacing(t, soundDisk(), dir, store, nil), "the next run is not blocked")
				require.Equal(t, new, contents(t, dir))
				require.Equal(t, []string{".decisions.csv.lock", "decisions.csv"}, filesIn(t, filepath.Dir(store)))
			})
		}
	}
	require.Positive(t, between, "no trouble fell between the two")
}

// What people save into the workbook while a run is at work is not replaced by a set that does not know it.
func TestWorkbookThatIsSavedMeanwhile(t *testing.T) {
	dir, store := t.TempDir(), filepath.Join(t.TempDir(), "decisions.csv")
	workbook := filepath.Join(dir, WorkbookFile)
	for name, save := range map[string]func(){
		"written anew": func() { require.NoError(t, os.WriteFile(workbook, []byte("decided"), 0o666)) },
		"taken away":   func() { require.NoError(t, os.Remove(workbook)) },
		"another file": func() { require.NoError(t, os.Rename(filepath.Join(dir, "audit.html"), workbook)) },
		"by its time":  func() { require.NoError(t, os.Chtimes(workbook, time.Time{}, time.Now().Add(time.Hour))) },
	} {
		require.NoError(t, os.RemoveAll(dir))
		require.NoError(t, os.MkdirAll(dir, 0o777))
		require.NoError(t, writeTexts(context.Background(), dir, oldSet))
		var saved map[string]string
		err := replacing(t, soundDisk(), dir, store, func() {
			save()
			saved = contents(t, dir)
		})
		require.ErrorContains(t, err, "exceptions.xlsx was not written: somebody saved it while this run was at work", name)
		require.Equal(t, saved, contents(t, dir), name)
		require.NoFileExists(t, store)
	}
	require.NoError(t, replacing(t, soundDisk(), dir, store, nil), "the next run has it")
}

func TestDecisionFileOfOthers(t *testing.T) {
	store := filepath.Join(t.TempDir(), "decisions.csv")
	file, err := OpenDecisions(context.Background(), store, How{})
	require.NoError(t, err)
	require.Empty(t, file.Text)
	_, err = OpenDecisions(context.Background(), store, How{})
	require.ErrorContains(t, err, "another run writes there", "one at a time")
	require.NoError(t, os.WriteFile(store, []byte("by hand\n"), 0o666))
	require.ErrorContains(t, file.Replace([]byte("by us\n")), "it was changed while this run had it")
	text, err := os.ReadFile(store)
	require.NoError(t, err)
	require.Equal(t, "by hand\n", string(text))
	file.Close()
	file, err = OpenDecisions(context.Background(), store, How{})
	require.NoError(t, err)
	defer file.Close()
	require.NoError(t, file.Replace([]byte("by us\n")))

	linked := filepath.Join(t.TempDir(), "linked.csv")
	if os.Symlink(store, linked) == nil {
		file.Close()
		file, err = OpenDecisions(context.Background(), linked, How{})
		require.NoError(t, err)
		require.NoError(t, file.Replace([]byte("through a link\n")))
		file.Close()
		text, err = os.ReadFile(store)
		require.NoError(t, err)
		require.Equal(t, "through a link\n", string(text))
	}
}
