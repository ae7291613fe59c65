package report

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// What a run removes before it writes is its own kind, by a mark or by all that is in it; whatever else has such a name stays.
func TestLeftovers(t *testing.T) {
	const drawn = ".dryarc-4711-0123456789abcdef"
	tests := []struct {
		name    string
		files   []string // those that end in a slash are folders
		removed bool
		remark  bool // verify mentions it
	}{
		{name: "marked", files: []string{drawn + "/" + markFile, drawn + "/anything/a"}, removed: true},
		{name: "ended before it was marked", files: []string{drawn + "/"}, removed: true},
		{name: "ended as it was removed", files: []string{drawn + "/exceptions.xlsx", drawn + "/old-audit.json", drawn + "/.dryarc-swap"}, removed: true},
		{name: "not marked, with something of somebody", files: []string{drawn + "/exceptions.xlsx", drawn + "/notes.txt"}},
		{name: "by an earlier version, replacing", files: []string{".dryarc-2024/old-audit.html", ".dryarc-2024/exceptions.xlsx"}, removed: true},
		{name: "by an earlier version, beside a database", files: []string{".dryarc-2024/audit.html", ".dryarc-2024/dryarc-2024-gpkg-17/layers.gpkg"}, removed: true},
		{name: "a file staged by an earlier version", files: []string{".dryarc-audit.json.tmp"}, removed: true},
		{name: "outputs put away", files: []string{".dryarc-2024/exceptions.xlsx", ".dryarc-2024/audit.json"}, remark: true},
		{name: "somebody's folder", files: []string{".dryarc-2024/layers/a.geojson"}},
		{name: "somebody's folder with an old output", files: []string{".dryarc-2024/old-audit.json", ".dryarc-2024/letter.txt"}},
		{name: "somebody's empty folder", files: []string{".dryarc-2024/"}},
		{name: "a database of another process", files: []string{".dryarc-2024/dryarc-2025-gpkg-17/layers.gpkg"}, remark: true},
		{name: "somebody's file", files: []string{".dryarc-notes.tmp"}},
		{name: "a folder of a staged file's name", files: []string{".dryarc-audit.json.tmp/a"}},
		{name: "a number that is too short", files: []string{".dryarc-2024-0123/audit.json"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			for _, name := range test.files {
				path := filepath.Join(dir, filepath.FromSlash(name))
				if name[len(name)-1] == '/' {
					require.NoError(t, os.MkdirAll(path, 0o777))
					continue
				}
				require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
				require.NoError(t, os.WriteFile(path, []byte("precious"), 0o666))
			}
			require.NoError(t, writeTexts(context.Background(), dir, newSet))
			for _, name := range test.files {
				_, err := os.Lstat(filepath.Join(dir, filepath.FromSlash(name)))
				require.Equal(t, test.removed, os.IsNotExist(err), name)
			}
			found, err := Verify(dir)
			require.NoError(t, err)
			require.True(t, found.Whole(), found.Damage)
			require.Equal(t, test.remark, len(found.Remarks) > 0, found.Remarks)
		})
	}
}

// What a link of such a name leads to stays, and so does the link.
func TestLinkOfALeftoversName(t *testing.T) {
	dir, other := t.TempDir(), t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(other, markFile), nil, 0o666))
	link := filepath.Join(dir, ".dryarc-4711-0123456789abcdef")
	if err := os.Symlink(other, link); err != nil {
		t.Skip(err)
	}
	require.NoError(t, writeTexts(context.Background(), dir, newSet))
	require.FileExists(t, filepath.Join(link, markFile))
}

// A swap of an earlier version that was cut short is undone, and its folder goes.
func TestSwapOfAnEarlierVersion(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, writeTexts(context.Background(), dir, oldSet))
	old := contents(t, dir)
	staging := filepath.Join(dir, ".dryarc-2024")
	require.NoError(t, os.Mkdir(staging, 0o777))
	require.NoError(t, os.Rename(filepath.Join(dir, "audit.html"), filepath.Join(staging, "old-audit.html")))
	require.NoError(t, os.WriteFile(filepath.Join(staging, "exceptions.xlsx"), []byte("new"), 0o666))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "audit.html"), []byte("new"), 0o666))
	require.NoError(t, os.WriteFile(filepath.Join(dir, journalFile), []byte(`{"staging":".dryarc-2024","files":[{"name":"audit.html","had":true},{"name":"exceptions.xlsx","had":true}]}`), 0o666))
	require.NoError(t, folder{soundDisk(), dir}.recover())
	require.Equal(t, old, contents(t, dir))
}
