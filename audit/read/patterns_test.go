package read

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFits(t *testing.T) {
	for _, c := range []struct {
		pattern, name string
		want          bool
	}{
		{"assemblies-*.csv.gz", "assemblies-north.csv.gz", true},
		{"assemblies-*.csv.gz", "assemblies-north.csv", false},
		{"*.csv", "ASSEMBLIES.CSV", true},
		{"ASSEMBLIES-?.csv", "assemblies-1.csv", true},
		{"assemblies-?.csv", "assemblies-10.csv", false},
		{"assemblies-?.csv", "assemblies-.csv", false},
		{"*", "a", true},
		{"*", "", true},
		{"a*b*c", "aXbYbZc", true},
		{"a*b*c", "aXcYb", false},
		{"*a", "aaab", false},
		{"*.csv", "north/a.csv", false},
		{"?/a.csv", "n/a.csv", true},
		{"Élan-*.csv", "e\u0301lan-1.csv", true},
		{"layers[1]*.shp", "layers[1]-a.shp", true},
		{"layers[1]*.shp", "layers1-a.shp", false},
		{"\xff*", "\xffa", true},
	} {
		require.Equal(t, c.want, fits(c.pattern, c.name), "%q %q", c.pattern, c.name)
	}
}

// TestFilesLike holds which files of a folder a pattern finds, and what it finds beside them.
func TestFilesLike(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"r-1.csv", "r-2.csv", "r-10.csv", "R-3.CSV", ".r-4.csv", "~$r-5.csv", "r-6.csv~", "r-7.csv.tmp", "r-8.csv/inside.csv",
		"north/r.csv", "south/r.csv", ".hidden/r.csv", "plain", "out/r-11.csv", "out/exceptions.csv", "out/structures.geojson", "out/scope-register.xlsx", "out/audit.json",
		"other/structures.geojson", "other/audit.json"} {
		content := "x"
		switch name {
		case "out/audit.json":
			content = "{\n \"run\": {\"schema\": 1, \"id\": \"x\"}}"
		case "other/audit.json":
			content = `{"run":"of somebody else"}`
		}
		path := filepath.Join(folder, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
		require.NoError(t, os.WriteFile(path, []byte(content), 0o600))
	}
	require.NoError(t, os.Symlink(filepath.Join(folder, "nowhere"), filepath.Join(folder, "north", "gone-1.csv")))
	require.NoError(t, os.Symlink(filepath.Join(folder, "north"), filepath.Join(folder, "link")))
	for _, c := range []struct {
		pattern                         string
		names, hidden, outputs, folders []string
	}{
		{"r-*", []string{"r-1.csv", "r-2.csv", "R-3.CSV", "r-10.csv"}, []string{"r-6.csv~", "r-7.csv.tmp"}, nil, []string{"r-8.csv"}},
		{"*r-?.csv", []string{"r-1.csv", "r-2.csv", "R-3.CSV"}, []string{".r-4.csv", "~$r-5.csv"}, nil, []string{"r-8.csv"}},
		{".r-*", []string{".r-4.csv"}, nil, nil, nil},
		{"*/r.csv", []string{"link/r.csv", "north/r.csv", "south/r.csv"}, []string{".hidden"}, nil, nil},
		{"./nor*/*", []string{"./north/gone-1.csv", "./north/r.csv"}, nil, nil, nil},
		{"out/*", []string{"out/r-11.csv"}, nil, []string{"out/audit.json", "out/exceptions.csv", "out/scope-register.xlsx", "out/structures.geojson"}, nil},
		{"other/*", []string{"other/audit.json", "other/structures.geojson"}, nil, nil, nil},
		{"north/gone-*", []string{"north/gone-1.csv"}, nil, nil, nil},
		{"missing/*.csv", nil, nil, nil, nil},
		{"plain/*.csv", nil, nil, nil, nil},
		{filepath.ToSlash(folder) + "/r-1*.csv", []string{filepath.ToSlash(folder) + "/r-1.csv", filepath.ToSlash(folder) + "/r-10.csv"}, nil, nil, nil},
	} {
		found, err := filesLike(folder, c.pattern)
		if c.pattern == "plain/*.csv" {
			require.Error(t, err, "a file is no folder")
			continue
		}
		require.NoError(t, err, c.pattern)
		require.Equal(t, c.names, emptyAsNil(found.names), c.pattern)
		require.Equal(t, c.hidden, found.hidden, c.pattern)
		require.Equal(t, c.outputs, found.outputs, c.pattern)
		require.Equal(t, c.folders, found.folders, c.pattern)
	}
}

// TestPatternsThatCannotBeFollowed holds that what a pattern may mean and that cannot be looked at is an error which names it.
func TestPatternsThatCannotBeFollowed(t *testing.T) {
	for name, c := range map[string]struct {
		pattern string
		change  func(folder string) error
		message string
	}{
		"nothing of the name":             {"*/z", func(south string) error { return os.Remove(filepath.Join(south, "z")) }, ""},
		"a file in the place of a folder": {"*/q/z*", func(south string) error { return os.WriteFile(filepath.Join(south, "q"), nil, 0o600) }, ""},
		"a folder": {"*/z", func(south string) error {
			return errors.Join(os.Remove(filepath.Join(south, "z")), os.Mkdir(filepath.Join(south, "z"), 0o700))
		}, "south/z: is a folder"},
		"a link that leads nowhere": {"*/z", func(south string) error {
			return errors.Join(os.Remove(filepath.Join(south, "z")), os.Symlink("nowhere", filepath.Join(south, "z")))
		}, "south/z: is a link that leads to nothing that can be read"},
		"a folder that leads nowhere": {"*/z", func(south string) error {
			return errors.Join(os.RemoveAll(south), os.Symlink("nowhere", south))
		}, "south: is a link that leads to nothing that can be read"},
		"a folder that leads nowhere, below": {"*/q/z*", func(south string) error { return os.Symlink("nowhere", filepath.Join(south, "q")) },
			"south/q: is a link that leads to nothing that can be read"},
		"a folder without rights":         {"*/z", func(south string) error { return os.Chmod(south, 0) }, "south/z: permission denied"},
		"a folder without rights, within": {"*/z*", func(south string) error { return os.Chmod(south, 0) }, "south: permission denied"},
	} {
		t.Run(name, func(t *testing.T) {
			folder := t.TempDir()
			south := filepath.Join(folder, "south")
			for _, at := range []string{"north/q", "south"} {
				require.NoError(t, os.MkdirAll(filepath.Join(folder, at), 0o700))
			}
			for _, at := range []string{"north/z", "north/q/z", "south/z"} {
				require.NoError(t, os.WriteFile(filepath.Join(folder, at), nil, 0o600))
			}
			require.NoError(t, c.change(south))
			t.Cleanup(func() { os.Chmod(south, 0o700) })
			if _, err := os.Stat(filepath.Join(south, "z")); strings.HasSuffix(c.message, "denied") && err == nil {
				t.Skip("the user may read everything")
			}
			_, err := filesLike(folder, c.pattern)
			if c.message == "" {
				require.NoError(t, err)
			} else {
				require.EqualError(t, err, c.message)
			}
		})
	}
}

func emptyAsNil(names []string) []string {
	if len(names) == 0 {
		return nil
	}
	return names
}

func TestMatching(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"b.csv", "a.csv", ".c.csv"} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), nil, 0o600))
	}
	t.Chdir(folder)
	found, err := Matching("*.csv")
	require.NoError(t, err)
	require.Equal(t, []string{"a.csv", "b.csv"}, found)
	found, err = Matching("none.csv")
	require.NoError(t, err, "that it is not there is told when it is opened")
	require.Equal(t, []string{"none.csv"}, found)
	_, err = Matching("*.gpkg")
	require.EqualError(t, err, "*.gpkg: finds no file")
}

// TestOneFileByTwoNames holds that a file which two names or a link lead to is read once, and that this is told.
func TestOneFileByTwoNames(t *testing.T) {
	const csv = "Line,Structure,Phase,Duty,Unit,Units per string\nL1,2,A,suspension,U120B,9\n"
	for _, c := range []struct {
		name, register string
		link           func(folder string) error
		taken          []string
	}{
		{"a link that a pattern finds", `"a*.csv"`, func(folder string) error {
			return os.Symlink(filepath.Join(folder, "assemblies.csv"), filepath.Join(folder, "assemblies-2.csv"))
		}, []string{"The pattern a*.csv finds assemblies.csv, which is the same file as assemblies-2.csv, and is read once."}},
		{"another name of the file", `[assemblies-2.csv, "assemblies.*"]`, func(folder string) error {
			return os.Link(filepath.Join(folder, "assemblies.csv"), filepath.Join(folder, "assemblies-2.csv"))
		}, []string{"The pattern assemblies.* finds assemblies.csv, which is the same file as assemblies-2.csv, and is read once."}},
		{"two paths", `[assemblies.csv, ./assemblies.csv]`, func(string) error { return nil },
			[]string{"./assemblies.csv is the same file as assemblies.csv, and is read once."}},
		{"what is left out, and what is not there to be", `"a*.csv", without: [./assemblies-9.csv, ./old.csv]`, func(folder string) error {
			return os.WriteFile(filepath.Join(folder, "assemblies-9.csv"), []byte(csv), 0o600)
		}, []string{"The pattern a*.csv finds assemblies-9.csv, which is not read, as the project file says under without.",
			"The project file says ./old.csv under without, which no pattern beside it finds."}},
		{"the file of decisions", `"*s.csv"`, func(folder string) error {
			return os.WriteFile(filepath.Join(folder, "decisions.csv"), []byte("decision\n"), 0o600)
		}, []string{"The pattern *s.csv finds decisions.csv, which is the project file or that of the decisions, and no input."}},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := t.TempDir()
			for name, text := range map[string]string{"structures.geojson": newBase().structures, "assemblies.csv": csv,
				"audit.yaml": "structures: {file: structures.geojson}\ndecisions: decisions.csv\nregister: {file: " + c.register + "}\n"} {
				require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
			}
			require.NoError(t, c.link(folder))
			p, err := Project(context.Background(), filepath.Join(folder, "audit.yaml"))
			require.NoError(t, err)
			require.Equal(t, 1, p.RowsRead)
			require.Len(t, p.Inputs, 2)
			require.Equal(t, c.taken, p.FilesTaken)
		})
	}
}

// TestInputsSayTheirPattern holds that each file that a pattern finds is an input of its own which says by what it was found.
func TestInputsSayTheirPattern(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "structures-1.geojson"), []byte(newBase().structures), 0o600))
	for i := range 3 {
		csv := "Line,Structure,Phase,Duty,Unit,Units per string\nL1,2," + string(rune('A'+i)) + ",suspension,U120B,9\n"
		require.NoError(t, os.WriteFile(filepath.Join(folder, "assemblies-"+strconv.Itoa(i+9)+".csv"), []byte(csv), 0o600))
	}
	require.NoError(t, os.WriteFile(filepath.Join(folder, "audit.yaml"), []byte("structures: {file: structures-*.geojson}\nregister: {file: [assemblies-11.csv, 'assemblies-*.csv']}\n"), 0o600))
	p, err := Project(context.Background(), filepath.Join(folder, "audit.yaml"))
	require.NoError(t, err)
	var got [][3]string
	for _, in := range p.Inputs {
		require.Len(t, in.SHA256, 64)
		got = append(got, [3]string{in.File, in.Pattern, in.Section})
	}
	require.Equal(t, [][3]string{{"structures-1.geojson", "structures-*.geojson", "structures"}, {"assemblies-11.csv", "", "register"},
		{"assemblies-9.csv", "assemblies-*.csv", "register"}, {"assemblies-10.csv", "assemblies-*.csv", "register"}}, got)
}

// TestTooManyFiles holds that no more files are read than tables can be numbered.
func TestTooManyFiles(t *testing.T) {
	f := newProjectFile()
	f.structures.files = make([]string, mostFiles+1)
	problem := f.findFiles("audit.yaml")
	require.NotNil(t, problem)
	require.Equal(t, "names more than 20000 files with those that its patterns find", problem.Message)

	folder := t.TempDir()
	for i := range mostFiles + 1 {
		file, err := os.Create(filepath.Join(folder, strconv.Itoa(i)+".asc"))
		require.NoError(t, err)
		require.NoError(t, file.Truncate(int64(i))) // so that no two need be told apart
		require.NoError(t, file.Close())
	}
	l := fileList{asStated: []string{"*.asc"}}
	problem = l.find(folder, nil, nil)
	require.NotNil(t, problem)
	require.Equal(t, "names more than 20000 files with those that its patterns find: *.asc alone finds 20001", problem.Message)
	require.Empty(t, l.files, "before any of them is looked at")
	l = fileList{asStated: []string{"*.asc"}, without: []string{"20000.asc"}}
	require.Nil(t, l.find(folder, nil, nil))
	require.Len(t, l.files, mostFiles)
}
