package read

import (
	"bytes"
	"compress/gzip"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// damages calls each with a content cut short, then with one bit of it turned, at places drawn from a seed.
func damages(content []byte, cuts, flips int, each func(what string, damaged []byte)) {
	random := rand.New(rand.NewPCG(7, 11))
	for range cuts {
		length := random.IntN(len(content))
		each(fmt.Sprintf("cut to %d bytes", length), content[:length])
	}
	for range flips {
		damaged, at, bit := bytes.Clone(content), random.IntN(len(content)), random.IntN(8)
		damaged[at] ^= 1 << bit
		each(fmt.Sprintf("bit %d of byte %d", bit, at), damaged)
	}
}

// readingOf is what is read of a project as one text.
func readingOf(path string) (string, error) {
	p, err := Project(context.Background(), path)
	if err != nil {
		return "", err
	}
	var out strings.Builder
	dump(&out, p, true)
	return out.String() + strings.Join(faultsOf(p), "\n"), nil
}

// TestDamagedRegister holds that a damaged archive gives an error or the same rows: its sums tell, whoever unpacks it.
func TestDamagedRegister(t *testing.T) {
	b := newBase()
	path := b.write(t)
	folder := filepath.Dir(path)
	workbook, err := os.ReadFile(filepath.Join(folder, "register.xlsx"))
	require.NoError(t, err)
	odd := writeOdd(t, workbook)
	var packed bytes.Buffer
	w := gzip.NewWriter(&packed)
	fmt.Fprint(w, "Line,Structure,Duty,Unit,Units per string,Remarks\n")
	for i := range 40 {
		fmt.Fprintf(w, "L1,%d,suspension,U120B,%d,\"seen, %d\"\n", i%3+1, 7+i%5, i*i)
	}
	require.NoError(t, w.Close())
	for name, content := range map[string][]byte{"register.xlsx": workbook, "odd.xlsx": odd, "assemblies.csv.gz": packed.Bytes()} {
		t.Run(name, func(t *testing.T) {
			require.NoError(t, os.WriteFile(path, []byte(strings.Replace(b.project, "register.xlsx", name, 1)), 0o600))
			file := filepath.Join(folder, name)
			require.NoError(t, os.WriteFile(file, content, 0o600))
			want, err := readingOf(path)
			require.NoError(t, err)
			refused := 0
			damages(content, 40, 160, func(what string, damaged []byte) {
				require.NoError(t, os.WriteFile(file, damaged, 0o600))
				got, err := readingOf(path)
				if err == nil {
					require.Equal(t, want, got, what)
					return
				}
				refused++
				var input *InputError
				require.ErrorAs(t, err, &input, what)
				require.Equal(t, name, strings.SplitN(input.File, "!", 2)[0])
			})
			require.Greater(t, refused, 100)
		})
	}
}

// writeOdd changes a workbook so that the library has to read it.
func writeOdd(t *testing.T, workbook []byte) []byte {
	t.Helper()
	path := filepath.Join(t.TempDir(), "odd.xlsx")
	require.NoError(t, os.WriteFile(path, workbook, 0o600))
	rewrite(t, path, firstSheet, func(xml string) string { return strings.Replace(xml, `r="A2"`, `r="$A$2"`, 1) })
	content, err := os.ReadFile(path)
	require.NoError(t, err)
	return content
}

// TestDamagedLayer holds that damaged GeoJSON, which has no sums, gives an error of the input or a reading.
func TestDamagedLayer(t *testing.T) {
	b := newBase()
	path := b.write(t)
	file := filepath.Join(filepath.Dir(path), "structures.geojson")
	refused := 0
	damages([]byte(b.structures), 40, 120, func(what string, damaged []byte) {
		require.NoError(t, os.WriteFile(file, damaged, 0o600))
		if _, err := readingOf(path); err != nil {
			var input *InputError
			require.ErrorAs(t, err, &input, what)
			refused++
		}
	})
	require.Greater(t, refused, 80)
}
