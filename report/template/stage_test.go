package template

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// What a run left that was killed is cleared, after whichever file it was, and nothing that somebody has changed since or that
// another run works with.
func TestLeftoversAreCleared(t *testing.T) {
	var files []templateFile
	for _, name := range []string{"first", "second", "third"} {
		files = append(files, templateFile{name, func(path string) error { return writeNew(path, []byte(name)) }})
	}
	// killed leaves what a run leaves that is killed after it has placed so many files.
	killed := func(folder string, places int) *stage {
		s, err := newStage(folder)
		require.NoError(t, err)
		for _, file := range files {
			require.NoError(t, file.write(s.path(file.name)))
		}
		if places >= 0 {
			require.NoError(t, s.list(files))
		}
		for i := range max(places, 0) {
			name := files[len(files)-1-i].name
			require.NoError(t, place(s.path(name), filepath.Join(folder, name)))
		}
		return s
	}
	namesIn := func(folder string) (names []string) {
		entries, err := os.ReadDir(folder)
		require.NoError(t, err)
		for _, entry := range entries {
			names = append(names, entry.Name())
		}
		return names
	}
	for places := -1; places < len(files); places++ {
		folder := t.TempDir()
		require.NoError(t, killed(folder, places).lock.Close())
		_, err := writeFiles(folder, files)
		require.NoError(t, err, places)
		require.Equal(t, []string{"first", "second", "third"}, namesIn(folder), places)
	}

	folder := t.TempDir() // all was placed
	require.NoError(t, killed(folder, len(files)).lock.Close())
	_, err := writeFiles(folder, files)
	var there *ExistsError
	require.ErrorAs(t, err, &there)
	require.Equal(t, []string{"first", "second", "third"}, namesIn(folder))

	folder = t.TempDir() // somebody works with one of them
	require.NoError(t, killed(folder, 2).lock.Close())
	require.NoError(t, os.WriteFile(filepath.Join(folder, "third"), []byte("mine"), 0o666))
	_, err = writeFiles(folder, files)
	require.ErrorAs(t, err, &there)
	require.Equal(t, []string{"third"}, namesIn(folder))

	folder = t.TempDir() // the run is not over
	s := killed(folder, 1)
	_, err = writeFiles(folder, files)
	require.ErrorAs(t, err, &there)
	require.Equal(t, []string{filepath.Base(s.dir), "third"}, namesIn(folder))
	require.NoError(t, s.remove())

	folder = t.TempDir() // killed beside the folder that it would have made
	require.NoError(t, killed(folder, -1).lock.Close())
	require.NoError(t, os.Mkdir(filepath.Join(folder, stageStart+"17"), 0o777)) // and before it locked
	_, err = writeFiles(filepath.Join(folder, "new"), files)
	require.NoError(t, err)
	require.Equal(t, []string{"new"}, namesIn(folder))
	require.Equal(t, []string{"first", "second", "third"}, namesIn(filepath.Join(folder, "new")))
}

// What cannot be cleaned up once all has its place is no failure to write. A folder among the staged files stands for one that is held.
func TestWhatIsLeftBehindIsToldApart(t *testing.T) {
	dir := t.TempDir()
	files := []templateFile{{"a", func(path string) error {
		return errors.Join(os.MkdirAll(filepath.Join(path+".held", "file"), 0o777), os.WriteFile(path, []byte("a"), 0o666))
	}}}
	paths, err := writeFiles(dir, files)
	var left *LeftBehind
	require.ErrorAs(t, err, &left)
	require.Equal(t, []string{filepath.Join(dir, "a")}, paths)
	require.FileExists(t, paths[0])
	require.FileExists(t, filepath.Join(left.Dir, stageLock), "by which a later run knows it")
	require.NoError(t, os.RemoveAll(filepath.Join(left.Dir, stageFiles, "a.held")))
	clearLeftovers(dir, files)
	require.NoDirExists(t, left.Dir)
	require.FileExists(t, paths[0])
}
