package read

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A workbook without a sheet that is read is refused by its name, also where so many are that each is put aside.
func TestOneOfManyWorkbooksHasNoSheet(t *testing.T) {
	for _, count := range []int{2, mostOpen + 3} {
		b := newBase()
		path := b.write(t)
		names := []string{"register.xlsx"}
		for i := range count {
			names = append(names, fmt.Sprintf("r%d.xlsx", i))
			writeWorkbook(t, filepath.Join(filepath.Dir(path), names[i+1]), sheets{{"Cct 1", b.assemblies}})
		}
		b.project = strings.Replace(b.project, "register.xlsx", "["+strings.Join(names, ", ")+"]", 1)
		require.NoError(t, os.WriteFile(path, []byte(b.project), 0o600))
		_, err := Project(t.Context(), path)
		require.ErrorContains(t, err, `r0.xlsx: has no sheet "Assemblies"`)
	}
}

// Of files of an archive whose names differ in case the exact name is meant, and no other is guessed.
func TestOnlyMember(t *testing.T) {
	archive := func(names ...string) *zip.Reader {
		var b bytes.Buffer
		w := zip.NewWriter(&b)
		for _, name := range names {
			_, err := w.Create(name)
			require.NoError(t, err)
		}
		require.NoError(t, w.Close())
		r, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
		require.NoError(t, err)
		return r
	}
	for _, c := range []struct {
		names []string
		want  string
	}{
		{[]string{"s.DBF", "s.dbf"}, "s.dbf"}, {[]string{"s.DBF"}, "s.DBF"}, {[]string{"t.dbf"}, ""},
	} {
		file, err := onlyMember("a.zip", archive(c.names...), "s.dbf")
		require.NoError(t, err)
		if c.want == "" {
			require.Nil(t, file)
			continue
		}
		require.Equal(t, c.want, file.Name)
	}
	for _, names := range [][]string{{"s.dbf", "s.dbf"}, {"s.DBF", "S.dbf"}} {
		_, err := onlyMember("a.zip", archive(names...), "s.dbf")
		require.ErrorContains(t, err, `has 2 files "s.dbf"`)
	}
}
