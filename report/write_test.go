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

// written writes a result and returns what audit.json says of the other outputs.
func written(t *testing.T, dir string, r *audit.Result, also ...string) []Output {
	t.Helper()
	others, err := Write(context.Background(), dir, r, nil, How{Also: also})
	require.NoError(t, err)
	return others
}

func read(t *testing.T, dir, name string) string {
	t.Helper()
	content, err := os.ReadFile(filepath.Join(dir, name))
	require.NoError(t, err)
	return string(content)
}

func TestWriteMakesEveryFile(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "not", "there [yet]")
	written(t, dir, fixtureResult(t))
	require.Equal(t, []string{"audit.html", "audit.json", "exceptions.geojson", "exceptions.xlsx", "history.csv", "structures.geojson"}, filesIn(t, dir))
}

func TestWriteTakesOverFromAKilledRun(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{".dryarc-audit.json.tmp", ".dryarc-exceptions.kml.tmp", "notes.tmp", ".dryarc-4711/exceptions.xlsx", ".dryarc-4711/dryarc-4711-gpkg-1/layers.gpkg"} {
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte("half"), 0o666))
	}
	written(t, dir, fixtureResult(t))
	require.Equal(t, []string{"audit.html", "audit.json", "exceptions.geojson", "exceptions.xlsx", "history.csv", "notes.tmp", "structures.geojson"}, filesIn(t, dir))
}

func text(name, content string) output {
	return output{name: name, write: func(_ context.Context, w io.Writer, _ *audit.Result) error {
		_, err := io.WriteString(w, content)
		return err
	}}
}

func writeTexts(ctx context.Context, dir string, list []output) error {
	_, err := writeAll(ctx, soundDisk(), dir, nil, listed(list), How{Wait: time.Minute})
	return err
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
			return writeTexts(context.Background(), dir, []output{text("a", "new"),
				{name: "b", write: func(_ context.Context, w io.Writer, _ *audit.Result) error {
					_, _ = io.WriteString(w, "half")
					return broken
				}}})
		}},
		{"ctx has ended", "a", context.Canceled, func(dir string) error {
			ctx, cancel := context.WithCancel(context.Background())
			return writeTexts(ctx, dir, []output{{name: "a", write: func(_ context.Context, w io.Writer, _ *audit.Result) error {
				cancel()
				_, err := w.Write(make([]byte, 1<<20))
				return err
			}}})
		}},
		{"ctx ends when all is written", "", context.Canceled, func(dir string) error {
			ctx, cancel := context.WithCancel(context.Background())
			return writeTexts(ctx, dir, []output{{name: "a", write: func(context.Context, io.Writer, *audit.Result) error {
				cancel()
				return nil
			}}})
		}},
		{"a folder has the name of an output", "folder", nil, func(dir string) error {
			return writeTexts(context.Background(), dir, []output{text("a", "new"), text("folder", "new")})
		}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.Mkdir(filepath.Join(dir, "folder"), 0o777))
			require.NoError(t, writeTexts(context.Background(), dir, []output{text("a", "old"), text("b", "old")}))
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
	_, err := Write(ctx, dir, fixtureResult(t), nil, How{})
	require.ErrorIs(t, err, context.Canceled)
	require.Empty(t, filesIn(t, dir))
}

func TestWriteNeedsAFolder(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o666))
	_, err := Write(context.Background(), file, fixtureResult(t), nil, How{})
	var failed *WriteError
	require.ErrorAs(t, err, &failed)
	require.Equal(t, file, failed.File)
}
