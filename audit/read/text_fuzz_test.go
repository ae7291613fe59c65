package read

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// requireReadable reads a project of which one file may be anything: it is read, or refused with a hint.
func requireReadable(t *testing.T, path string) {
	t.Helper()
	p, understood, err := Understood(context.Background(), path)
	var input *InputError
	if err != nil {
		require.True(t, errors.As(err, &input), "%v", err)
		require.NotEmpty(t, input.Hint)
		return
	}
	require.GreaterOrEqual(t, p.RowsRead, p.Assemblies.Len())
	rows := 0
	for _, u := range understood {
		if u.Section == "register" {
			rows += u.Rows
		}
	}
	require.Equal(t, p.RowsRead, rows)
	for _, fault := range p.Faults.List() {
		require.NotEmpty(t, fault.Where(p.Tables)+fault.Message())
	}
}

func FuzzRegisterText(f *testing.F) {
	for _, seed := range []string{
		"Line,Structure,Duty,Unit,Units per string\nL1,1,tension,U120B,10\n", "sep=;\nLine;Structure;Duty;Unit;Units per string;Length (m)\nL1;1;sus;U70BL;8;1,5\n",
		"Line\tTower\tDuty\tUnit\tDiscs\tRemarks\rL1\t1\tDE\t14×U70BL + 1×U120B\t\t\"a\rb\"\r", "\xef\xbb\xbfLine,Structure,Duty,Unit,Units per string\nL1,1,tension,U120B,10,7\n", "\"", "a,b\n\"",
	} {
		f.Add([]byte(seed))
	}
	folder := f.TempDir()
	b := newBase()
	f.Fuzz(func(t *testing.T, content []byte) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, "structures.geojson"), []byte(b.structures), 0o600))
		require.NoError(t, os.WriteFile(filepath.Join(folder, "audit.yaml"), []byte("structures: {file: structures.geojson}\nregister: {file: r.csv}\n"), 0o600))
		require.NoError(t, os.WriteFile(filepath.Join(folder, "r.csv"), content, 0o600))
		requireReadable(t, filepath.Join(folder, "audit.yaml"))
	})
}

func FuzzCompressed(f *testing.F) {
	b := newBase()
	var packed bytes.Buffer
	w := gzip.NewWriter(&packed)
	_, err := w.Write([]byte(b.structures))
	require.NoError(f, err)
	require.NoError(f, w.Close())
	f.Add(packed.Bytes())
	f.Add(packed.Bytes()[:packed.Len()/2])
	f.Add(append(packed.Bytes(), packed.Bytes()...))
	f.Add([]byte("\x1f\x8b"))
	byZstd := byZstdOf(f, b.structures)
	f.Add(byZstd)
	f.Add(byZstd[:len(byZstd)/2])
	f.Add(append(bytes.Clone(byZstd), byZstd...))
	f.Add([]byte("\x50\x2a\x4d\x18\xff\xff\xff\xff"))
	folder := f.TempDir()
	f.Fuzz(func(t *testing.T, content []byte) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, "audit.yaml"), []byte("structures: {file: s.geojson.gz}\n"), 0o600))
		require.NoError(t, os.WriteFile(filepath.Join(folder, "s.geojson.gz"), content, 0o600))
		requireReadable(t, filepath.Join(folder, "audit.yaml"))
	})
}
