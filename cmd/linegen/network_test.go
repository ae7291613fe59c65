package main

import (
	"archive/zip"
	"bufio"
	"cmp"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"path/filepath"
	"runtime"
	"testing"

	"dryarc/audit"
	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
)

// Nothing is wrong with what is written, and the same is read from every form of the register.
func TestEveryRowIsPlaced(t *testing.T) {
	for name, o := range map[string]options{"workbook": {Sheets: 1}, "sheets": {Sheets: 3}, "csv": {CSV: true}, "several csv": {Sheets: 2, CSV: true}, "workbooks": {Sheets: sheetsPerBook + 2}} {
		t.Run(name, func(t *testing.T) {
			o.Structures, o.Dir = 700, t.TempDir()
			require.NoError(t, write(o))
			p, err := read.Project(context.Background(), filepath.Join(o.Dir, "audit.yaml"))
			require.NoError(t, err)
			require.Zero(t, p.Faults.Total())
			require.Equal(t, 700, p.Structures.Len())
			require.Len(t, p.Zones, 2000)
			require.Equal(t, 2100, p.RowsRead)
			n, err := audit.Arrange(p)
			require.NoError(t, err)
			require.Equal(t, 2100, n.RowsPlaced)
			require.Len(t, n.Lines, 3)
		})
	}
}

// Whatever the size, no more is held of what is written: of a workbook the names of lines, and of the rest nothing.
func TestWritesInBoundedMemory(t *testing.T) {
	const few, many = 3000, 60_000
	for name, write := range map[string]func(n *network, w io.Writer) error{
		"structures": func(n *network, w io.Writer) error {
			to := bufio.NewWriter(w)
			n.writeStructures(to)
			return to.Flush()
		},
		"rows": func(n *network, w io.Writer) error {
			assemblies(0, n.structures, func(row []string) { fmt.Fprintln(w, row[0]) })
			return nil
		},
		"workbook": func(n *network, w io.Writer) error {
			b := &bookWriter{archive: zip.NewWriter(w)}
			b.write([]table{{"Assemblies", func(each func([]string)) { assemblies(0, n.structures, each) }, 20}})
			return cmp.Or(b.err, b.archive.Close())
		},
	} {
		t.Run(name, func(t *testing.T) {
			held := func(structures int) (most uint64) {
				n := &network{structures: structures, random: rand.New(rand.NewPCG(7, 11))}
				written, next := 0, 0
				to := writerFunc(func(p []byte) (int, error) {
					if written += len(p); written >= next {
						var memory runtime.MemStats
						runtime.GC()
						runtime.ReadMemStats(&memory)
						most, next = max(most, memory.HeapAlloc), written+structures*2
					}
					return len(p), nil
				})
				require.NoError(t, write(n, to))
				return most
			}
			less := held(few)
			require.Less(t, held(many), less+400_000, "bytes; 180 000 rows have as many names of photos")
		})
	}
}

type writerFunc func([]byte) (int, error)

func (f writerFunc) Write(p []byte) (int, error) { return f(p) }
