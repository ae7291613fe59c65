package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"debug/buildinfo"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
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
	for version, pseudo := range map[string]bool{"v1.2.3": false, "v0.9.9-rc.1": false, "v0.0.0-20261127035322-18097a5d3c1e": true,
		"v1.2.4-0.20261127035322-18097a5d3c1e": true, "v1.2.3-rc.1.0.20261127035322-18097a5d3c1e": true} {
		require.Equal(t, pseudo, isPseudo.MatchString(version), version)
	}
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

// sources makes the top folder of a little program that says of everything what it is asked for, with what a release takes from there, as a
// commit with tags, and works in it.
func sources(t *testing.T, says string, tags ...string) {
	t.Helper()
	folder := t.TempDir()
	for name, text := range map[string]string{
		"go.mod":                        "module dryarc\n\ngo 1.26\n",
		"README.md":                     "# dryarc\n",
		"testdata/demo/audit.yaml":      "title: An island\n",
		"testdata/demo/pictures/a.png":  "a picture",
		"cmd/dryarc/main.go":            "package main\n\nimport \"os\"\n\nfunc main() { os.Stdout.WriteString(\"" + says + "\") }\n",
		"cmd/dryarc/notices/go/LICENSE": "free\n",
	} {
		path := filepath.Join(folder, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	}
	t.Chdir(folder)
	git(t, "init", "--quiet")
	git(t, "add", ".")
	git(t, "commit", "--quiet", "-m", "a program")
	for _, tag := range tags {
		git(t, "tag", tag)
	}
}

func git(t *testing.T, args ...string) {
	t.Helper()
	said, err := exec.Command("git", append([]string{"-c", "user.name=a", "-c", "user.email=a@example.org"}, args...)...).CombinedOutput()
	require.NoError(t, err, string(said))
}

// What is built for oneself does not reach a release, whether the environment or a file states it.
func TestReleaseIsBuiltAlikeByAll(t *testing.T) {
	file := filepath.Join(t.TempDir(), "env")
	require.NoError(t, os.WriteFile(file, []byte("GO386=softfloat\nGOFLAGS=-tags=own\n"), 0o666))
	t.Setenv("GOENV", file)
	t.Setenv("GOAMD64", "v3")
	t.Setenv("GOARM64", "v9.0")
	t.Setenv("GOEXPERIMENT", "nodwarf5")
	t.Setenv("GOFIPS140", "latest")
	t.Setenv("GOTOOLCHAIN", "go1.26.3+auto")
	t.Setenv("GOWORK", filepath.Join(t.TempDir(), "go.work"))
	ask := exec.Command("go", "env", "GOFLAGS", "GOEXPERIMENT", "GOFIPS140", "GOTOOLCHAIN", "GOWORK", "GO386")
	ask.Env = environment("linux/386")
	said, err := output(ask)
	require.NoError(t, err)
	require.Equal(t, "\n\noff\nlocal\noff\nsse2\n", said)

	sources(t, "")
	work := t.TempDir()
	for target, setting := range map[string]debug.BuildSetting{"linux/amd64": {Key: "GOAMD64", Value: "v1"}, "linux/arm64": {Key: "GOARM64", Value: "v8.0"}} {
		b := &builder{sources: "."}
		path := filepath.Join(work, strings.ReplaceAll(target, "/", "-"))
		require.NoError(t, b.build(t.Context(), target, path))
		info, err := buildinfo.ReadFile(path)
		require.NoError(t, err)
		require.Contains(t, info.Settings, setting)
		for _, s := range info.Settings {
			require.NotContains(t, []string{"-tags", "GOEXPERIMENT", "GOFIPS140"}, s.Key)
		}
	}
}

// Nor does what git is told, whether by the environment, by a file or by a hook.
func TestReleaseIsOfTheCommitAsItIsStored(t *testing.T) {
	sources(t, "dryarc 0.1.0")
	top, err := os.Getwd()
	require.NoError(t, err)
	sums := func() string {
		out := t.TempDir()
		require.NoError(t, here(t, out))
		text, err := os.ReadFile(filepath.Join(out, "SHA256SUMS"))
		require.NoError(t, err)
		return string(text)
	}
	want := sums()
	home := t.TempDir()
	for name, text := range map[string]string{
		"git/attributes":               "*.md text eol=crlf\n*.yaml filter=louder\n",
		"hooks/post-checkout":          "#!/bin/sh\necho more >> README.md\n",
		"template/info/attributes":     "*.md ident\n",
		"template/hooks/post-checkout": "#!/bin/sh\necho more >> README.md\n",
	} {
		path := filepath.Join(home, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o777))
	}
	t.Setenv("XDG_CONFIG_HOME", home)
	require.Equal(t, want, sums(), "attributes where git looks by itself")
	config := filepath.Join(home, "config")
	for _, c := range []string{"[core]\nautocrlf = true\neol = crlf\n", "[filter \"louder\"]\nsmudge = tr a-z A-Z\n", "[core]\nhooksPath = " + filepath.Join(home, "hooks") + "\n",
		"[init]\ntemplateDir = " + filepath.Join(home, "template") + "\n", "[core]\nattributesFile = " + filepath.Join(home, "git", "attributes") + "\n"} {
		require.NoError(t, os.WriteFile(config, []byte(c), 0o666))
		t.Setenv("GIT_CONFIG_GLOBAL", config)
		require.Equal(t, want, sums(), c)
	}
	t.Setenv("GIT_DIR", filepath.Join(top, ".git")) // as hooks and rebase --exec have it
	require.Equal(t, want, sums())
}

// A tag that a clone does not see would make another version of the commit.
func TestHiddenTagsAreTold(t *testing.T) {
	sources(t, "dryarc 0.1.0, built from v0.1.0", "v0.1.0")
	git(t, "config", "transfer.hideRefs", "refs/tags")
	require.ErrorContains(t, here(t, t.TempDir()), `hidden by a setting of git, such as transfer.hideRefs: ["v0.1.0"] here`)
}

// The version of a commit cannot be known where its history is not there. One that is tagged has it.
func TestShallowClonesHaveNoVersion(t *testing.T) {
	sources(t, "dryarc 0.1.0, built from v0.1.0", "v0.1.0")
	from, err := os.Getwd()
	require.NoError(t, err)
	shallow := func() string {
		to := filepath.Join(t.TempDir(), "shallow")
		git(t, "clone", "--quiet", "--depth", "1", "file://"+filepath.ToSlash(from), to)
		return to
	}
	t.Chdir(shallow())
	require.NoError(t, here(t, t.TempDir()))
	t.Chdir(from)
	git(t, "commit", "--quiet", "--allow-empty", "-m", "more")
	require.NoError(t, here(t, t.TempDir()))
	t.Chdir(shallow())
	require.ErrorContains(t, here(t, t.TempDir()), "the clone is shallow")
}

func TestSourcesThatAreNotTheirCommit(t *testing.T) {
	err := (&builder{}).agrees(t.Context(), "", &debug.BuildInfo{Settings: []debug.BuildSetting{{Key: "vcs.modified", Value: "true"}}})
	require.ErrorContains(t, err, "is not as it is stored there")
}

// here builds the sources for the system of the test alone.
func here(t *testing.T, out string) error {
	return run(t.Context(), []string{"-out", out, "-targets", runtime.GOOS + "/" + runtime.GOARCH}, io.Discard)
}

func TestTagsAreHeldAgainstTheProgram(t *testing.T) {
	for _, c := range []struct{ says, tag, refused string }{
		{"dryarc 0.9.9-rc.1, built from v0.9.9-rc.1", "v0.9.9-rc.1", ""},
		{"dryarc 0.1.0, built from a commit", "nightly", ""},
		{"dryarc 0.1.0, built from v0.9.9", "v0.9.9", "the tag v0.9.9 is another version than the program says"},
		{"dryarc 0.1.0, built from v0.9.9-rc.1", "v0.9.9-rc.1", "the tag v0.9.9-rc.1 is another version than the program says"},
		{"dryarc 9.9.9, built from a commit", "v9.9.9", "the commit has the tag v9.9.9, and Go builds it as v0.0.0-"},
	} {
		sources(t, c.says, c.tag)
		if err := here(t, t.TempDir()); c.refused == "" {
			require.NoError(t, err, c.tag)
		} else {
			require.ErrorContains(t, err, c.refused)
		}
	}
}

// An archive has what its README leads to. Targets that are built one after the other into a folder stand in its sums together; another version is refused there.
func TestSumsAreOfAllArchives(t *testing.T) {
	sources(t, "dryarc 0.1.0", "v0.1.0")
	out := t.TempDir()
	require.NoError(t, here(t, out))
	name := "dryarc_v0.1.0_" + runtime.GOOS + "_" + runtime.GOARCH + ".tar.gz"
	archive, err := os.ReadFile(filepath.Join(out, name))
	require.NoError(t, err)
	unpacked, err := gzip.NewReader(bytes.NewReader(archive))
	require.NoError(t, err)
	var names []string
	for r := tar.NewReader(unpacked); ; {
		header, err := r.Next()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		names = append(names, strings.TrimPrefix(header.Name, strings.TrimSuffix(name, ".tar.gz")+"/"))
	}
	require.Subset(t, names, []string{"README.md", "dryarc", "man/man1/dryarc.1", "notices/go/LICENSE", "testdata/demo/audit.yaml", "testdata/demo/pictures/a.png"})
	own := fmt.Sprintf("%x  %s\n", sha256.Sum256(archive), name)
	sums, err := os.ReadFile(filepath.Join(out, "SHA256SUMS"))
	require.NoError(t, err)
	require.Equal(t, own, string(sums))

	require.NoError(t, os.WriteFile(filepath.Join(out, "dryarc_v0.1.0_a_b.zip"), []byte("abc"), 0o666))
	require.NoError(t, here(t, out))
	sums, err = os.ReadFile(filepath.Join(out, "SHA256SUMS"))
	require.NoError(t, err)
	// SHA-256 of "abc": FIPS 180-2, appendix B.1.
	require.Equal(t, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  dryarc_v0.1.0_a_b.zip\n"+own, string(sums))

	require.NoError(t, os.WriteFile(filepath.Join(out, "dryarc_v0.0.9_a_b.zip"), nil, 0o666))
	require.ErrorContains(t, here(t, out), "holds dryarc_v0.0.9_a_b.zip, which is not of v0.1.0")
}

func TestReleaseIsMadeInTheTopFolder(t *testing.T) {
	sources(t, "")
	t.Chdir("cmd")
	require.ErrorContains(t, here(t, t.TempDir()), "top folder of the sources")
	t.Chdir(t.TempDir())
	require.ErrorContains(t, here(t, t.TempDir()), "top folder of the sources")
}

func TestUnknownTargets(t *testing.T) {
	require.ErrorContains(t, run(t.Context(), []string{"-targets", "linux/amd64,windows"}, io.Discard), `target "windows" is none of darwin/amd64, `)
}

func TestStrayArguments(t *testing.T) {
	require.ErrorContains(t, run(t.Context(), []string{"foo", "-targets", "windows"}, io.Discard), `"foo" is no flag`)
}
