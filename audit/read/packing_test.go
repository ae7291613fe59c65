package read

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/klauspost/compress/zstd"
	"github.com/stretchr/testify/require"
)

// byZstdOf compresses a text by zstd.
func byZstdOf(t testing.TB, text string, options ...zstd.EOption) []byte {
	t.Helper()
	var packed bytes.Buffer
	w, err := zstd.NewWriter(&packed, options...)
	require.NoError(t, err)
	_, err = io.WriteString(w, text)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return packed.Bytes()
}

func TestUnpackedName(t *testing.T) {
	for name, want := range map[string]string{"a.csv.gz": "a.csv", "a.csv.ZST": "a.csv", "a.csv": "a.csv", ".gz": "", "gz": "gz", "a.gz.csv": "a.gz.csv", "": ""} {
		require.Equal(t, want, unpackedName(name), name)
	}
}

// TestZstd reads what several programs write: one frame or several, with a frame to be skipped before them, and refuses what is damaged,
// goes on with something else, reaches back too far, or unpacks to more than it may.
func TestZstd(t *testing.T) {
	text := newBase().structures
	whole := byZstdOf(t, text)
	skipped := []byte("\x50\x2a\x4d\x18\x04\x00\x00\x00note")
	// a frame whose header asks for a window of 256 MiB (RFC 8878, 3.1.1.1.2: exponent 18)
	wide := []byte("\x28\xb5\x2f\xfd\x00\x90\x01\x00\x00")
	for _, c := range []struct {
		name    string
		content []byte
		want    string // of the error; empty for none
	}{
		{"one frame", whole, ""},
		{"two frames", append(byZstdOf(t, text[:100]), byZstdOf(t, text[100:])...), ""},
		{"a frame to be skipped before", append(bytes.Clone(skipped), whole...), ""},
		{"cut", whole[:len(whole)-5], "structures.geojson.zst: is compressed by zstd and cannot be unpacked: "},
		{"damaged", append(bytes.Clone(whole[:len(whole)-1]), whole[len(whole)-1]^1), "structures.geojson.zst: is compressed by zstd and cannot be unpacked: "},
		{"goes on", append(bytes.Clone(whole), "and more"...), "structures.geojson.zst: is compressed by zstd and cannot be unpacked: "},
		{"reaches back too far", wide, "structures.geojson.zst: is compressed by zstd and cannot be unpacked: "},
		{"too much", byZstdOf(t, text+strings.Repeat(" ", 2_000_000)), "structures.geojson.zst: is compressed by zstd and cannot be unpacked: it unpacks to more than 0.002 GB; if it may be that large, write largest_unpacked_gb into the project file"},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(folder, "structures.geojson.zst"), c.content, 0o600))
			require.NoError(t, os.WriteFile(filepath.Join(folder, "audit.yaml"), []byte("structures: {file: structures.geojson.zst}\nlargest_unpacked_gb: 0.002\n"), 0o600))
			p, err := Project(context.Background(), filepath.Join(folder, "audit.yaml"))
			if c.want != "" {
				require.ErrorContains(t, err, c.want)
				return
			}
			require.NoError(t, err)
			require.Equal(t, 3, p.Structures.Len())
		})
	}
}

// TestZstdBomb holds that what unpacks to far more than a table or layer does is given up, and not held.
func TestZstdBomb(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "structures.geojson.zst"), byZstdOf(t, `{"type":"FeatureCollection","features":[`+strings.Repeat(" ", 200<<20)), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "audit.yaml"), []byte("structures: {file: structures.geojson.zst}\n"), 0o600))
	got := allocated(func() {
		_, err := Project(context.Background(), filepath.Join(folder, "audit.yaml"))
		require.ErrorContains(t, err, "it unpacks to more than 500 times its size")
	})
	require.Less(t, got, uint64(40))
}
