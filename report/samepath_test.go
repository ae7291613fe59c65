package report

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestSamePath(t *testing.T) {
	folder := t.TempDir()
	at := func(parts ...string) string { return filepath.Join(append([]string{folder}, parts...)...) }
	require.NoError(t, os.MkdirAll(at("out", "deep"), 0o777))
	require.NoError(t, os.WriteFile(at("out", "a.csv"), nil, 0o666))
	require.NoError(t, os.Symlink("out", at("alias")))
	require.NoError(t, os.Symlink(at("out", "a.csv"), at("alias.csv")))
	t.Chdir(at("out"))
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{at("out"), at("alias"), true},
		{".", at("alias"), true},
		{at("out"), at("alias", "deep", ".."), true},
		{at("alias.csv"), "a.csv", true},
		{at("out"), folder, false},
		{at("out", "new", "folder"), at("alias", "new", "folder"), true},
		{at("new"), at("NEW"), true},
		{at("gr\u00fcn"), at("gru\u0308n"), true},
		{at("new"), at("new2"), false},
		{at("new"), at("out", "new"), false},
		{at("new"), folder, false},
		{"new", "", false},
	} {
		require.Equal(t, c.same, SamePath(c.a, c.b), "%s and %s", c.a, c.b)
		require.Equal(t, c.same, SamePath(c.b, c.a), "%s and %s", c.b, c.a)
	}
	if _, err := os.Stat(at("OUT")); err != nil { // the file system tells case apart
		require.NoError(t, os.Mkdir(at("OUT"), 0o777))
		require.False(t, SamePath(at("out"), at("OUT")), "two that are there are what they are")
		require.False(t, SamePath(at("OUT"), at("oUT")))
	}
}
