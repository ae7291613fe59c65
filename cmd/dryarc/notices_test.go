package main

import (
	"bytes"
	"debug/buildinfo"
	"encoding/json"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

// platforms are those that the program is built for; on each it links other libraries.
var platforms = []string{"linux/amd64", "linux/arm64", "windows/amd64", "windows/arm64", "darwin/amd64", "darwin/arm64"}

// legal is the name of a file that says under which terms a folder is passed on.
var legal = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|patents)([.-].*)?$`)

// linked is what is asked of go list of a package that is linked.
type linked struct {
	Dir    string
	Module *struct {
		Path, Version, Dir string
		Main               bool
	}
}

// linkedNotices makes the notices from the modules that the program links, by file: the legal files of the folder of
// each linked package, and of the folders above it in its module.
func linkedNotices(t *testing.T) map[string]string {
	t.Helper()
	texts := map[string]string{}
	for _, platform := range platforms {
		system, processor, _ := strings.Cut(platform, "/")
		list := exec.Command("go", "list", "-deps", "-json=Dir,Module", ".")
		list.Env = append(os.Environ(), "GOOS="+system, "GOARCH="+processor, "CGO_ENABLED=0")
		var told bytes.Buffer
		list.Stderr = &told
		out, err := list.Output()
		require.NoError(t, err, told.String())
		for decoder := json.NewDecoder(bytes.NewReader(out)); decoder.More(); {
			var p linked
			require.NoError(t, decoder.Decode(&p))
			if p.Module != nil && !p.Module.Main {
				addLegal(t, texts, noticeFolder(p.Module.Path, p.Module.Version), p.Module.Dir, p.Dir)
			}
		}
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	require.NoError(t, err)
	goRoot := strings.TrimSpace(string(root))
	addLegal(t, texts, standardLibrary, goRoot, goRoot)
	return texts
}

func addLegal(t *testing.T, texts map[string]string, of, root, folder string) {
	t.Helper()
	inside, err := filepath.Rel(root, folder)
	require.NoError(t, err)
	for inside = filepath.ToSlash(inside); ; inside = path.Dir(inside) {
		entries, err := os.ReadDir(filepath.Join(root, inside))
		require.NoError(t, err)
		for _, entry := range entries {
			if entry.IsDir() || !legal.MatchString(entry.Name()) {
				continue
			}
			raw, err := os.ReadFile(filepath.Join(root, inside, entry.Name()))
			require.NoError(t, err)
			text := strings.TrimRight(strings.ReplaceAll(string(raw), "\r\n", "\n"), "\n") + "\n"
			texts[path.Join(of, inside, entry.Name())] = text
		}
		if inside == "." {
			return
		}
	}
}

func TestNoticesAreThoseOfTheLinkedModules(t *testing.T) {
	t.Parallel()
	made := linkedNotices(t)
	require.Greater(t, len(made), 20, "the libraries must have been found")
	if os.Getenv("DRYARC_UPDATE") != "" {
		require.NoError(t, os.RemoveAll("notices"))
		for name, text := range made {
			file := filepath.Join("notices", filepath.FromSlash(name))
			require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
			require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
		}
	}
	have := map[string]string{}
	require.NoError(t, fs.WalkDir(os.DirFS("notices"), ".", func(file string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		text, err := os.ReadFile(filepath.Join("notices", file))
		have[file] = string(text)
		return err
	}))
	require.Equal(t, slices.Sorted(maps.Keys(made)), slices.Sorted(maps.Keys(have)), "run again with DRYARC_UPDATE=1")
	for name := range made {
		require.True(t, made[name] == have[name], "%s differs; run again with DRYARC_UPDATE=1", name)
	}
}

func TestProgramPrintsTheNoticesOfItsModules(t *testing.T) {
	t.Parallel()
	program := filepath.Join(t.TempDir(), "dryarc")
	told, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput()
	require.NoError(t, err, string(told))
	printed, err := exec.Command(program, "version", "--notices").Output()
	require.NoError(t, err)
	build, err := buildinfo.ReadFile(program)
	require.NoError(t, err)
	require.Greater(t, len(build.Deps), 20, "the libraries must have been found")
	heads := []string{"Go standard library " + build.GoVersion}
	for _, module := range build.Deps {
		heads = append(heads, module.Path+" "+module.Version)
	}
	for _, head := range heads {
		require.Regexp(t, `(?mi)^`+regexp.QuoteMeta(head)+`: (licen[cs]e|copying).*\n\n(.*\n){0,40}?.*(copyright|public domain)`, string(printed))
	}
	require.Contains(t, string(printed), "EPSG Geodetic Parameter Dataset")
}

func TestNoticesAreRefusedWhereOneIsMissing(t *testing.T) {
	texts := fstest.MapFS{
		"go/LICENSE":                         {Data: []byte("terms of Go\n")},
		"example.org/a@v1.2.0/LICENSE":       {Data: []byte("terms of a\n")},
		"example.org/b@v1.0.0/COPYING":       {Data: []byte("terms of b\n")},
		"example.org/b@v1.0.0/inner/LICENSE": {Data: []byte("terms within b\n")},
	}
	for _, c := range []struct {
		name, module, version string
		printed, refused      string
	}{
		{"linked", "example.org/a", "v1.2.0", "example.org/a v1.2.0: LICENSE\n\nterms of a\n", ""},
		{"two texts", "example.org/b", "v1.0.0", "b v1.0.0: inner/LICENSE\n\nterms within b\n", ""},
		{"another version", "example.org/a", "v1.2.1", "", "there is no licence text of example.org/a v1.2.1"},
		{"the beginning of a version", "example.org/a", "v1.2", "", "there is no licence text of example.org/a v1.2"},
		{"unknown", "example.org/c", "v1.0.0", "", "there is no licence text of example.org/c v1.0.0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b strings.Builder
			err := writeNotices(&b, &debug.BuildInfo{GoVersion: "go1.30", Deps: []*debug.Module{{Path: c.module, Version: c.version}}}, texts)
			if c.refused != "" {
				require.EqualError(t, err, c.refused)
				require.Empty(t, b.String(), "nothing is printed that is not whole")
				return
			}
			require.NoError(t, err)
			require.Contains(t, b.String(), c.printed)
			require.Contains(t, b.String(), "Go standard library go1.30: LICENSE\n\nterms of Go\n")
			require.Equal(t, c.module == "example.org/a", strings.Contains(b.String(), "terms of a"), "only what is linked is printed")
		})
	}
}
