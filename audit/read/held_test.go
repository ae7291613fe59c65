package read

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// heldAt holds the file at a path.
func heldAt(t *testing.T, path string) *held {
	t.Helper()
	in, err := newProjectFile().openAt(context.Background(), filepath.Base(path), path)
	require.NoError(t, err)
	h, err := in.held(false)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, h.close()) })
	return h
}

const registerText = "Line,Structure,Phase,Side,Duty,Unit,Units per string\nL1,1,A,ahead,tension,U120B,10\nL1,2,A,,suspension,U120B,%d\n"

// opened opens a register of one file and returns what goes on reading it.
func opened(t *testing.T, name string, content []byte) (path string, goOn func() (*audit.Project, error)) {
	t.Helper()
	path = filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, content, 0o600))
	file := newProjectFile()
	file.folder = filepath.Dir(path)
	file.register.entries = []registerEntry{{fileList: fileList{asStated: []string{name}, files: []string{name}}}}
	p := &audit.Project{Makeups: make([]audit.Makeup, 1)}
	r := &register{half: &half{projectFile: file}, project: p, units: map[string]int{}, unitRows: map[string]audit.Twin[basis.Unit]{}, makeups: map[string]makeup{}, rowsRead: map[string]int{}, parted: map[string]uint32{}}
	w, err := openWorkbook(context.Background(), r.half, p, &file.register.entries[0], name)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, w.close()) })
	return path, func() (*audit.Project, error) {
		return p, r.readKind(context.Background(), kindOfSheet{assembliesSheet, r.readAssemblies}, w)
	}
}

// TestReplacedInput holds that a file which is replaced while the run reads it does not matter: what was hashed is read.
func TestReplacedInput(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("an open file cannot be replaced there")
	}
	for _, name := range []string{"assemblies.csv", "register.xlsx"} {
		content, other := []byte(fmt.Sprintf(registerText, 9)), []byte(fmt.Sprintf(registerText, 3))
		if name == "register.xlsx" {
			content, other = workbookOf(t, fmt.Sprintf(registerText, 9)), workbookOf(t, fmt.Sprintf(registerText, 3))
		}
		path, goOn := opened(t, name, content)
		beside := filepath.Join(t.TempDir(), "other")
		require.NoError(t, os.WriteFile(beside, other, 0o600))
		require.NoError(t, os.Rename(beside, path))
		p, err := goOn()
		require.NoError(t, err, name)
		require.Equal(t, int16(9), p.Assemblies.At(1).UnitsPerString, name)
	}
}

// TestChangedInput holds that a file which is written to while the run reads it is an error.
func TestChangedInput(t *testing.T) {
	for name, content := range map[string][]byte{
		"assemblies.csv": []byte(fmt.Sprintf(registerText, 9)), "register.xlsx": workbookOf(t, fmt.Sprintf(registerText, 9)),
	} {
		path, goOn := opened(t, name, content)
		other := []byte(fmt.Sprintf(registerText, 3))
		if name == "register.xlsx" {
			other = workbookOf(t, fmt.Sprintf(registerText, 3)+"L1,3,A,,suspension,U120B,9\n")
		}
		require.NoError(t, os.WriteFile(path, other, 0o600))
		_, err := goOn()
		requireInputError(t, err, name+": was changed while it was read", changedHint)
	}
}

// workbookOf is a workbook with the sheet Assemblies of a text with commas.
func workbookOf(t *testing.T, text string) []byte {
	t.Helper()
	var rows [][]any
	for line := range strings.Lines(text) {
		var row []any
		for _, cell := range strings.Split(strings.TrimSpace(line), ",") {
			row = append(row, cell)
		}
		rows = append(rows, row)
	}
	path := filepath.Join(t.TempDir(), "register.xlsx")
	writeWorkbook(t, path, sheets{{"Assemblies", rows}})
	content, err := os.ReadFile(path)
	require.NoError(t, err)
	return content
}

// TestManyWorkbooks holds that a register may have more files than stay open, and that one which is not the same when it is
// opened again is an error.
func TestManyWorkbooks(t *testing.T) {
	b := newBase()
	path := b.write(t)
	folder := filepath.Dir(path)
	workbook := workbookOf(t, fmt.Sprintf(registerText, 9))
	var names []string
	for i := range mostOpen + 3 {
		name := fmt.Sprintf("r%d.xlsx", i)
		names = append(names, name)
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), workbook, 0o600))
	}
	b.project = strings.Replace(b.project, "register.xlsx", "["+strings.Join(names, ", ")+"]", 1)
	require.NoError(t, os.WriteFile(path, []byte(b.project), 0o600))
	p, err := Project(context.Background(), path)
	require.NoError(t, err)
	require.Equal(t, 2*len(names), p.RowsRead)

	h := heldAt(t, filepath.Join(folder, "r0.xlsx"))
	require.NoError(t, h.takeSum())
	require.NoError(t, h.putAside())
	require.NoError(t, h.takeUp())
	require.NoError(t, h.putAside())
	workbook[len(workbook)/2] ^= 1
	require.NoError(t, os.WriteFile(filepath.Join(folder, "r0.xlsx"), workbook, 0o600))
	require.ErrorIs(t, h.takeUp(), errChanged)
}

// TestPathOfAnother holds that a file which is opened by its path is an error if another lies there by then, or other content.
func TestPathOfAnother(t *testing.T) {
	for name, spoil := range map[string]func(t *testing.T, path string){
		"as it was": func(*testing.T, string) {},
		"another": func(t *testing.T, path string) {
			content, err := os.ReadFile(path)
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(path+" too", content, 0o600))
			require.NoError(t, os.Rename(path+" too", path))
		},
		"gone":    func(t *testing.T, path string) { require.NoError(t, os.Remove(path)) },
		"changed": func(t *testing.T, path string) { require.NoError(t, os.WriteFile(path, make([]byte, 200_000), 0o600)) },
	} {
		t.Run(name, func(t *testing.T) {
			if runtime.GOOS == "windows" && name != "as it was" && name != "changed" {
				t.Skip("an open file cannot be replaced there")
			}
			path := filepath.Join(t.TempDir(), "a.gpkg")
			require.NoError(t, os.WriteFile(path, []byte(strings.Repeat("x", 200_000)), 0o600))
			in, err := newProjectFile().openAt(context.Background(), "a.gpkg", path)
			require.NoError(t, err)
			defer in.file.Close()
			h, err := in.held(true)
			require.NoError(t, err)
			require.NoError(t, h.takeSum())
			spoil(t, path)
			if err = h.stillThere(in); name == "as it was" {
				require.NoError(t, err)
				return
			}
			requireInputError(t, err, "a.gpkg: was changed while it was read", changedHint)
		})
	}
}
