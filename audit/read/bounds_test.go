package read

import (
	"bytes"
	"compress/gzip"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// rowStream is a register of text that is made while it is read. It looks now and then how much memory is in use.
type rowStream struct {
	rows, given int
	left        []byte
	most        uint64
}

func (s *rowStream) Read(p []byte) (int, error) {
	for len(s.left) < len(p) && s.given <= s.rows {
		if s.given == 0 {
			s.left = append(s.left, "Line,Structure,Duty,Unit,Units per string,Remarks\n"...)
		} else {
			s.left = fmt.Appendf(s.left, "L1,%d,suspension,U120B,9,seen and found in order\n", s.given%3+1)
		}
		s.given++
		if s.given%20_000 == 0 {
			s.look()
		}
	}
	n := copy(p, s.left)
	s.left = append(s.left[:0], s.left[n:]...)
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}

func (s *rowStream) look() {
	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	s.most = max(s.most, memory.HeapAlloc)
}

// TestRowsThatDoNotFit reads a stream of more rows than can be held: it is an error by their count, and the text is never held.
func TestRowsThatDoNotFit(t *testing.T) {
	const rows, held = 1_500_000, 50_000
	b := newBase()
	b.project = strings.Replace(b.project, "register.xlsx", `"-"`, 1)
	path := b.write(t)
	f, err := readProjectFile(path)
	require.NoError(t, err)
	stream := &rowStream{rows: rows}
	f.stdin, f.mostRows[assembliesSheet] = stream, held
	runtime.GC()
	stream.look()
	before := stream.most
	_, _, err = f.read(context.Background(), path)
	stream.look()
	requireInputError(t, err, fmt.Sprintf("-: has more than %d rows, with those of the same kind read before; that is the most that can be held", held), fullHint)
	require.Equal(t, rows+1, stream.given)
	require.Less(t, (stream.most-before)>>20, uint64(48), "the stream is %d MiB", rows*46>>20)
}

// TestRowsOfSeveralFiles holds that the rows of a kind are counted over all files.
func TestRowsOfSeveralFiles(t *testing.T) {
	b := newBase()
	b.project = strings.Replace(b.project, "register.xlsx", "[lines a.csv, lines b.csv, register.xlsx]", 1)
	path := b.write(t)
	for i, name := range []string{"lines a.csv", "lines b.csv"} {
		require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), name), []byte("Line\nL1\nL2\nL3\n"+strings.Repeat("\n", i)), 0o600))
	}
	read := func(most int) error {
		f, err := readProjectFile(path)
		require.NoError(t, err)
		f.mostRows[linesSheet] = most
		_, _, err = f.read(context.Background(), path)
		return err
	}
	require.ErrorContains(t, read(5), "lines b.csv: has more than 5 rows")
	require.ErrorContains(t, read(6), "register.xlsx!Lines: has more than 6 rows")
	require.NoError(t, read(7))
}

// TestUnpackedLimit holds that what unpacks to more than the project file allows is refused before it takes room.
func TestUnpackedLimit(t *testing.T) {
	text := fmt.Sprintf(registerText, 9)
	long := text + strings.Repeat("L1,3,A,,suspension,U120B,9\n", 200_000) // 5.4 MB, which repeat in a way that compresses well
	packed := func(content string) []byte {
		var out bytes.Buffer
		w := gzip.NewWriter(&out)
		_, err := io.WriteString(w, content)
		require.NoError(t, err)
		require.NoError(t, w.Close())
		return out.Bytes()
	}
	for name, content := range map[string]string{"register.xlsx": text, "assemblies.csv.gz": long, "register.xlsx.gz": "PK\x03\x04" + long, "structures.geojson.gz": strings.Repeat(" ", 5_000_000) + newBase().structures} {
		b := newBase()
		if strings.HasPrefix(name, "structures") {
			b.project = strings.Replace(b.project, "structures.geojson", name, 1)
		} else {
			b.project = strings.Replace(b.project, "register.xlsx", name, 1)
		}
		limited := b
		limited.project += "largest_unpacked_gb: 0.002\n"
		path := limited.write(t)
		if strings.HasSuffix(name, ".gz") {
			require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), name), packed(content), 0o600))
		}
		var err error
		mib := allocated(func() { _, err = Project(context.Background(), path) })
		if !strings.HasSuffix(name, ".gz") {
			require.NoError(t, err, "what is not compressed has no such limit")
			continue
		}
		requireInputError(t, err, name+": is compressed by gzip and cannot be unpacked: it unpacks to more than 0.002 GB; if it may be that large, write largest_unpacked_gb into the project file", readableHint)
		require.Less(t, mib, uint64(40), name)
	}
}

// TestEndlessStream holds that of what is no file no more is taken than the project file allows, be it the register or a layer. The
// streams end where they would not be stopped.
func TestEndlessStream(t *testing.T) {
	for name, start := range map[string]string{"register.xlsx": "", "zones.geojson": `{"type":"FeatureCollection","features":[], "x": [` + "\n"} {
		b := newBase()
		b.project = strings.Replace(b.project, name, `"-"`, 1) + "largest_unpacked_gb: 0.002\n"
		path := b.write(t)
		f, err := readProjectFile(path)
		require.NoError(t, err)
		text := "y\n"
		if start != "" {
			text = " \n"
		}
		f.stdin = io.MultiReader(strings.NewReader(start), io.LimitReader(endless(text), 3_000_000))
		_, _, err = f.read(context.Background(), path)
		requireInputError(t, err, "-: is no file, and more than 0.002 GB come out of it", "if it may be that long, write largest_unpacked_gb into the project file, or give it as a file")
	}
}

// TestLongNumbers holds that patterns are tried on no text that is longer than a name: what is longer is a fault.
func TestLongNumbers(t *testing.T) {
	long := strings.Repeat("0", 2_000_000) + "7"
	const pattern = "words: {Structure: [{match: '^0*(\\d+)$', as: '$1'}]}\n"
	b := newBase()
	b.project += pattern
	b.structures = strings.Replace(b.structures, `"structure":2,`, `"structure":"`+long+`",`, 1)
	p := b.mustRead(t)
	require.Equal(t, 2, p.Structures.Len())
	require.Len(t, p.LostStructures, 1)
	require.Contains(t, strings.Join(faultsOf(p), "\n"), `structure "`+long[:59]+`…" is out of range, expected no more than 1000 characters; the feature is left out`)

	b = newBase()
	b.project = strings.Replace(b.project, "register.xlsx", "assemblies.csv", 1) + pattern
	path := b.write(t)
	text := strings.Replace(fmt.Sprintf(registerText, 9), "L1,2,", "L1,"+long[len(long)-500_000:]+",", 1)
	require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), "assemblies.csv"), []byte(text), 0o600))
	p, err := Project(context.Background(), path)
	require.NoError(t, err)
	require.Equal(t, 1, p.Assemblies.Len())
	require.Contains(t, strings.Join(faultsOf(p), "\n"), "is out of range, expected no more than 1000 characters")
}
