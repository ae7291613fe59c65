package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"io"
	"runtime/debug"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// An archive does not tell in which order, when and by whom it was packed.
func TestArchivesAreSortedOfOneTimeAndOfNobody(t *testing.T) {
	at := time.Date(2026, 11, 27, 3, 53, 22, 0, time.UTC)
	members := []member{{name: "man/man1/dryarc.1", content: []byte(".TH")}, {name: "dryarc", content: []byte("program"), runs: true}, {name: "README.md"}}
	turned := []member{members[2], members[1], members[0]}
	names := []string{"top/README.md", "top/dryarc", "top/man/man1/dryarc.1"}

	archive, err := tarred("top", members, at)
	require.NoError(t, err)
	again, err := tarred("top", turned, at)
	require.NoError(t, err)
	require.Equal(t, archive, again)
	unpacked, err := gzip.NewReader(bytes.NewReader(archive))
	require.NoError(t, err)
	require.True(t, unpacked.ModTime.IsZero())
	for r, i := tar.NewReader(unpacked), 0; ; i++ {
		header, err := r.Next()
		if err == io.EOF {
			require.Len(t, names, i)
			break
		}
		require.NoError(t, err)
		require.Equal(t, names[i], header.Name)
		require.True(t, header.ModTime.Equal(at))
		require.Zero(t, header.Uid+header.Gid)
		require.Empty(t, header.Uname+header.Gname)
		require.Equal(t, header.Name == "top/dryarc", header.FileInfo().Mode()&0o111 != 0)
	}

	archive, err = zipped("top", members, at)
	require.NoError(t, err)
	again, err = zipped("top", turned, at)
	require.NoError(t, err)
	require.Equal(t, archive, again)
	r, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	require.NoError(t, err)
	require.Len(t, r.File, len(names))
	for i, file := range r.File {
		require.Equal(t, names[i], file.Name)
		require.True(t, file.Modified.Equal(at))
	}
}

func TestVersionAndTimeOfTheCommit(t *testing.T) {
	require.True(t, isTag("v1.2.3"))
	require.False(t, isTag("v0.0.0-20261127035322-18097a5d3c1e"))
	info := &debug.BuildInfo{Settings: []debug.BuildSetting{{Key: "vcs", Value: "git"}, {Key: "vcs.time", Value: "2026-11-27T04:53:23+01:00"}}}
	require.Equal(t, time.Date(2026, 11, 27, 3, 53, 22, 0, time.UTC), committed(info))
	require.Equal(t, 1980, committed(&debug.BuildInfo{}).Year())
}

func TestNoticesOfALibraryAreNotLeftOut(t *testing.T) {
	b := builder{sources: "../.."}
	list, err := b.notices(&debug.BuildInfo{})
	require.NoError(t, err)
	require.Equal(t, "notices/go/LICENSE", list[0].name)
	_, err = b.notices(&debug.BuildInfo{Deps: []*debug.Module{{Path: "example.org/a", Version: "v1.0.0"}}})
	require.ErrorContains(t, err, "there is no licence text of example.org/a@v1.0.0")
}

func TestUnknownTargets(t *testing.T) {
	require.ErrorContains(t, run(t.Context(), []string{"-targets", "linux/amd64,windows"}, io.Discard), `target "windows" is none of darwin/amd64, `)
}

func TestStrayArguments(t *testing.T) {
	require.ErrorContains(t, run(t.Context(), []string{"foo", "-targets", "windows"}, io.Discard), `"foo" is no flag`)
}
