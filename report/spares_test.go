package report

import (
	"cmp"
	"context"
	"os"
	"path/filepath"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// An output never takes the place of an input, by whatever name or link that is reached.
func TestWriteSparesInputs(t *testing.T) {
	tests := []struct {
		name  string
		input string // what is the input
		place func(t *testing.T, input, out string)
		file  string // that the error names; the folder where it is empty
		also  []string
	}{
		{name: "the same path", input: "out/exceptions.xlsx", file: "exceptions.xlsx"},
		{name: "the project file", input: "out/audit.json", file: "audit.json"},
		{name: "on request", input: "out/requirements.csv", file: "requirements.csv", also: []string{"requirements"}},
		{name: "a symbolic link at the output", input: "in/layer.geojson", file: "structures.geojson", place: func(t *testing.T, input, out string) {
			require.NoError(t, os.Symlink(input, filepath.Join(out, "structures.geojson")))
		}},
		{name: "a hard link at the output", input: "in/layer.geojson", file: "structures.geojson", place: func(t *testing.T, input, out string) {
			require.NoError(t, os.Link(input, filepath.Join(out, "structures.geojson")))
		}},
		{name: "the lock", input: "out/" + lockFile, file: lockFile},
		{name: "a link to it under the name of the lock", input: "in/layer.geojson", file: lockFile, place: func(t *testing.T, input, out string) {
			require.NoError(t, os.Symlink(input, filepath.Join(out, lockFile)))
		}},
		{name: "the journal", input: "out/" + journalFile, file: journalFile},
		{name: "a file of a leftover's name", input: "out/.dryarc-audit.html.tmp"},
		{name: "in a staging folder", input: "out/.dryarc-2024-0123456789abcdef/layers/a.geojson", place: func(t *testing.T, input, out string) {
			require.NoError(t, os.WriteFile(filepath.Join(out, ".dryarc-2024-0123456789abcdef", markFile), nil, 0o666))
		}},
		{name: "through a link in a staging folder", input: "in/layer.geojson", place: func(t *testing.T, input, out string) {
			require.NoError(t, os.Mkdir(filepath.Join(out, ".dryarc-2024-0123456789abcdef"), 0o777))
			require.NoError(t, os.WriteFile(filepath.Join(out, ".dryarc-2024-0123456789abcdef", markFile), nil, 0o666))
			require.NoError(t, os.Symlink(input, filepath.Join(out, ".dryarc-2024-0123456789abcdef", "a")))
		}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			out, input := filepath.Join(dir, "out"), filepath.Join(dir, filepath.FromSlash(test.input))
			require.NoError(t, os.MkdirAll(out, 0o777))
			require.NoError(t, os.MkdirAll(filepath.Dir(input), 0o777))
			require.NoError(t, os.WriteFile(input, []byte("precious"), 0o666))
			if test.place != nil {
				test.place(t, input, out)
			}
			r := fixtureResult(t)
			if test.name == "the project file" {
				r.Project.File = input
			} else {
				r.Project.Inputs = append(r.Project.Inputs, audit.Input{File: "the/input", Path: filepath.Join(dir, "in", "..", filepath.FromSlash(test.input))})
				require.NoError(t, os.MkdirAll(filepath.Join(dir, "in"), 0o777))
			}
			before := filesIn(t, out)
			_, err := Write(context.Background(), out, r, nil, How{Also: test.also})
			var failed *WriteError
			require.ErrorAs(t, err, &failed)
			require.Equal(t, cmp.Or(test.file, out), failed.File)
			require.ErrorContains(t, err, "choose another folder for the outputs, such as --out "+filepath.Join(out, "out"))
			require.Equal(t, before, filesIn(t, out), "nothing is written")
			require.Equal(t, "precious", read(t, filepath.Dir(input), filepath.Base(input)))
			written(t, filepath.Join(out, "out"), r, test.also...)
		})
	}
}

// What an input is called like, and is not, is overwritten: the outputs of an earlier run.
func TestWriteReplacesItsOwnOutputs(t *testing.T) {
	out := t.TempDir()
	r := fixtureResult(t)
	r.Project.Inputs = append(r.Project.Inputs, audit.Input{File: "-"})
	written(t, out, r, Also()...)
	written(t, out, r, Also()...)
}

// The file that the standard input reads is an input too.
func TestWriteSparesTheStandardInput(t *testing.T) {
	out := t.TempDir()
	path := filepath.Join(out, "structures.geojson")
	require.NoError(t, os.WriteFile(path, []byte("precious"), 0o666))
	file, err := os.Open(path)
	require.NoError(t, err)
	defer file.Close()
	was := os.Stdin
	os.Stdin = file
	defer func() { os.Stdin = was }()
	r := fixtureResult(t)
	r.Project.Inputs = []audit.Input{{File: "-"}}
	_, err = Write(context.Background(), out, r, nil, How{})
	require.ErrorContains(t, err, path+" is the input -; choose another folder")
	require.Equal(t, "precious", read(t, out, "structures.geojson"))
}
