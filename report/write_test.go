package report

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"dryarc/audit"

	"github.com/rogpeppe/go-internal/lockedfile"
	"github.com/stretchr/testify/require"
)

func filesIn(t *testing.T, dir string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, entry := range entries {
		names = append(names, entry.Name())
	}
	return slices.DeleteFunc(names, func(name string) bool { return name == ".dryarc.lock" })
}

func read(t *testing.T, dir, name string) string {
	t.Helper()
	content, err := os.ReadFile(filepath.Join(dir, name))
	require.NoError(t, err)
	return string(content)
}

func TestWriteMakesEveryFile(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "not", "there [yet]")
	require.NoError(t, Write(context.Background(), dir, fixtureResult(t)))
	require.Equal(t, []string{"audit.html", "audit.json", "exceptions.geojson", "exceptions.xlsx", "structures.geojson"}, filesIn(t, dir))
}

func TestWriteTakesOverFromAKilledRun(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{".dryarc-audit.json.tmp", ".dryarc-gone.txt.tmp", "notes.tmp"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte("half"), 0o666))
	}
	require.NoError(t, Write(context.Background(), dir, fixtureResult(t)))
	require.Equal(t, []string{"audit.html", "audit.json", "exceptions.geojson", "exceptions.xlsx", "notes.tmp", "structures.geojson"}, filesIn(t, dir))
}

func text(name, content string) output {
	return output{name, func(_ context.Context, w io.Writer, _ *audit.Result) error {
		_, err := io.WriteString(w, content)
		return err
	}}
}

// Whatever goes wrong before the files take their names, those of the run before stay whole and nothing else is left.
func TestAFailedWriteLeavesTheEarlierFiles(t *testing.T) {
	broken := errors.New("broken")
	tests := []struct {
		name string
		file string // that the error must name; empty for the folder
		is   error
		run  func(dir string) error
	}{
		{"an output fails", "b", broken, func(dir string) error {
			return writeAll(context.Background(), dir, nil, []output{text("a", "new"),
				{"b", func(_ context.Context, w io.Writer, _ *audit.Result) error {
					_, _ = io.WriteString(w, "half")
					return broken
				}}})
		}},
		{"ctx has ended", "a", context.Canceled, func(dir string) error {
			ctx, cancel := context.WithCancel(context.Background())
			return writeAll(ctx, dir, nil, []output{{"a", func(_ context.Context, w io.Writer, _ *audit.Result) error {
				cancel()
				_, err := w.Write(make([]byte, 1<<20))
				return err
			}}})
		}},
		{"ctx ends when all is written", "", context.Canceled, func(dir string) error {
			ctx, cancel := context.WithCancel(context.Background())
			return writeAll(ctx, dir, nil, []output{{"a", func(context.Context, io.Writer, *audit.Result) error {
				cancel()
				return nil
			}}})
		}},
		{"a folder has the name of an output", "folder", nil, func(dir string) error {
			return writeAll(context.Background(), dir, nil, []output{text("a", "new"), text("folder", "new")})
		}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.Mkdir(filepath.Join(dir, "folder"), 0o777))
			require.NoError(t, writeAll(context.Background(), dir, nil, []output{text("a", "old"), text("b", "old")}))
			err := test.run(dir)
			var failed *WriteError
			require.ErrorAs(t, err, &failed)
			if test.is != nil {
				require.ErrorIs(t, err, test.is)
			}
			if test.file == "" {
				test.file = dir
			}
			require.Equal(t, test.file, failed.File)
			require.Equal(t, []string{"a", "b", "folder"}, filesIn(t, dir))
			require.Equal(t, "old", read(t, dir, "a"))
			require.Equal(t, "old", read(t, dir, "b"))
		})
	}
}

func TestACancelledRunWritesNothing(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	dir := t.TempDir()
	require.ErrorIs(t, Write(ctx, dir, fixtureResult(t)), context.Canceled)
	require.Empty(t, filesIn(t, dir))
}

func TestWriteNeedsAFolder(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o666))
	var failed *WriteError
	require.ErrorAs(t, Write(context.Background(), file, fixtureResult(t)), &failed)
	require.Equal(t, file, failed.File)
}

// Who waits for another run to finish can still be interrupted, and writes nothing.
func TestWaitingForAnotherRunEndsWithCtx(t *testing.T) {
	dir := t.TempDir()
	unlock, err := lockedfile.MutexAt(filepath.Join(dir, ".dryarc.lock")).Lock()
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
	defer cancel()
	err = writeAll(ctx, dir, nil, []output{text("a", "new")})
	require.ErrorIs(t, err, context.DeadlineExceeded)
	require.Empty(t, filesIn(t, dir))
	unlock()
	require.NoError(t, writeAll(context.Background(), dir, nil, []output{text("a", "new")}))
}
