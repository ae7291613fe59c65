//go:build unix

package read

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// A pattern passes over pipes: nobody means one by it, and a run would wait for whoever writes into it.
func TestPatternsPassOverPipes(t *testing.T) {
	b := newBase()
	b.project = strings.Replace(b.project, "zones.geojson", "zone*.geojson", 1)
	path := b.write(t)
	require.NoError(t, syscall.Mkfifo(filepath.Join(filepath.Dir(path), "zone2.geojson"), 0o600))
	p, err := Project(context.Background(), path)
	require.NoError(t, err)
	require.Len(t, p.Zones, 1)
}

// TestPipes holds that any input may come from a pipe.
func TestPipes(t *testing.T) {
	b := newBase()
	want := b.mustRead(t)
	project := b.project
	for name, c := range map[string]struct{ old, new, given string }{
		"workbook":                  {"register.xlsx", "pipe.xlsx", "register.xlsx"},
		"workbook without its name": {"register.xlsx", "pipe", "register.xlsx"},
		"text":                      {"register.xlsx", "[register.xlsx, assemblies pipe.csv]", ""},
		"structures":                {"structures.geojson", "pipe", "structures.geojson"},
		"zones":                     {"zones.geojson", "pipe.geojson", "zones.geojson"},
	} {
		t.Run(name, func(t *testing.T) {
			b.project = strings.Replace(project, c.old, c.new, 1)
			path := b.write(t)
			folder := filepath.Dir(path)
			content, pipe := []byte(fmt.Sprintf(registerText, 9)), filepath.Join(folder, "assemblies pipe.csv")
			if c.given != "" {
				var err error
				content, err = os.ReadFile(filepath.Join(folder, c.given))
				require.NoError(t, err)
				pipe = filepath.Join(folder, c.new)
			}
			require.NoError(t, syscall.Mkfifo(pipe, 0o600))
			written := make(chan error, 1)
			go func() { written <- os.WriteFile(pipe, content, 0o600) }()
			p, err := Project(context.Background(), path)
			require.NoError(t, err)
			require.NoError(t, <-written)
			require.Equal(t, want.Structures.Len(), p.Structures.Len())
			require.Len(t, p.Zones, len(want.Zones))
			if c.given == "" {
				require.Equal(t, want.RowsRead+2, p.RowsRead)
			} else {
				require.Equal(t, fmt.Sprint(maps.Collect(want.Assemblies.All())), fmt.Sprint(maps.Collect(p.Assemblies.All())))
			}
		})
	}
}

// TestFewDescriptors reads a register of 300 workbooks, or under DRYARC_HARD=1 of 1100, in a process that may have 256 files
// open.
func TestFewDescriptors(t *testing.T) {
	if os.Getenv("DRYARC_FEW") != "" {
		p, err := Project(context.Background(), os.Getenv("DRYARC_FEW"))
		require.NoError(t, err)
		require.Equal(t, os.Getenv("DRYARC_ROWS"), fmt.Sprint(p.RowsRead))
		return
	}
	b := newBase()
	path := b.write(t)
	workbook := workbookOf(t, fmt.Sprintf(registerText, 9))
	var names []string
	count := 300
	if os.Getenv("DRYARC_HARD") != "" {
		count = 1100
	}
	for i := range count {
		names = append(names, fmt.Sprintf("r%d.xlsx", i))
		require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), names[i]), workbook, 0o600))
	}
	b.project = strings.Replace(b.project, "register.xlsx", "["+strings.Join(names, ", ")+"]", 1)
	require.NoError(t, os.WriteFile(path, []byte(b.project), 0o600))
	command := exec.Command("sh", "-c", `ulimit -n 256 && exec "$0" -test.run='^TestFewDescriptors$'`, os.Args[0])
	command.Env = append(os.Environ(), "DRYARC_FEW="+path, fmt.Sprintf("DRYARC_ROWS=%d", 2*count))
	out, err := command.CombinedOutput()
	require.NoError(t, err, string(out))
}

// TestStandardInputByPath reads /dev/stdin, be it a pipe or a file.
func TestStandardInputByPath(t *testing.T) {
	if os.Getenv("DRYARC_STDIN") != "" {
		p, err := Project(context.Background(), os.Getenv("DRYARC_STDIN"))
		require.NoError(t, err)
		require.Equal(t, 2, p.RowsRead)
		return
	}
	workbook := workbookOf(t, fmt.Sprintf(registerText, 9))
	for _, name := range []string{"/dev/stdin", `"-"`} {
		for _, content := range [][]byte{workbook, []byte(fmt.Sprintf(registerText, 9))} {
			for _, piped := range []bool{true, false} {
				b := newBase()
				b.project = strings.Replace(b.project, "register.xlsx", name, 1)
				command := exec.Command(os.Args[0], "-test.run=^TestStandardInputByPath$")
				command.Env = append(os.Environ(), "DRYARC_STDIN="+b.write(t))
				command.Stdin = bytes.NewReader(content)
				if !piped {
					path := filepath.Join(t.TempDir(), "given")
					require.NoError(t, os.WriteFile(path, content, 0o600))
					file, err := os.Open(path)
					require.NoError(t, err)
					defer file.Close()
					command.Stdin = file
				}
				out, err := command.CombinedOutput()
				require.NoError(t, err, string(out))
			}
		}
	}
}

// A device that has no end is refused before anything of it is copied, and a full folder of temporary files is no fault of
// the input.
func TestWhatCannotBeCopied(t *testing.T) {
	for _, c := range []struct{ device, temporary, want string }{
		{"/dev/zero", "", "is no file, and what comes out of it is neither text nor of a format that is read"},
		{"/dev/urandom", "", "is no file, and what comes out of it is neither text nor of a format that is read"},
		{"pipe", "nowhere", "pipe: cannot be copied into the folder of temporary files, %s/nowhere: no such file or directory"},
	} {
		b := newBase()
		b.project = strings.Replace(b.project, "register.xlsx", c.device, 1)
		path := b.write(t)
		folder := t.TempDir()
		t.Setenv("TMPDIR", filepath.Join(folder, c.temporary))
		if c.device == "pipe" {
			pipe := filepath.Join(filepath.Dir(path), c.device)
			require.NoError(t, syscall.Mkfifo(pipe, 0o600))
			go os.WriteFile(pipe, []byte("Line,Structure\n"), 0o600)
			c.want = fmt.Sprintf(c.want, folder)
		}
		_, err := Project(context.Background(), path)
		var refused *InputError
		require.ErrorAs(t, err, &refused)
		require.ErrorContains(t, err, c.want)
		require.NotContains(t, refused.Hint, "whole")
		left, err := os.ReadDir(folder)
		require.NoError(t, err)
		require.Empty(t, left)
	}
}

// A disk that is full tells of itself, and not of the input that is copied to it.
func TestFullDiskIsNoFaultOfTheInput(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip(err)
	}
	defer full.Close()
	to := &copied{to: full}
	_, err = to.Write([]byte("x"))
	require.ErrorIs(t, err, syscall.ENOSPC)
	require.EqualError(t, (&input{name: "a.csv"}).noRoom(to.err), "a.csv: cannot be copied into the folder of temporary files, "+os.TempDir()+": no space left on device")
}
