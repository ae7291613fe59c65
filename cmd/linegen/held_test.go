package main

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
)

// What a structure with its three rows costs does not grow: bytes that are held once all is judged, and bytes and pieces that are allocated
// on the way there. It is the difference between two sizes, so that neither zones nor catalogues count. The bounds are what the program
// took when they were written (Go 1.26, 64 bits), with one in a hundred more; of what is allocated after reading one in ten, since a
// collection now and then takes what one line leaves for the next. Nothing of them is a time. What brings a cost down takes its bound down
// with it.
//
// A process of its own measures, since other tests leave in theirs what the first of two sizes makes use of and the second does not.
func TestCostOfAStructure(t *testing.T) {
	const few, many, alone = 3000, 9000, "DRYARC_MEASURES_ALONE"
	if os.Getenv(alone) == "" {
		measures := exec.CommandContext(t.Context(), os.Args[0], "-test.run=^"+t.Name()+"$", "-test.v")
		measures.Env = append(os.Environ(), alone+"=1")
		told, err := measures.CombinedOutput()
		require.NoError(t, err, "%s", told)
		require.Contains(t, string(told), "--- PASS: "+t.Name()+"/xlsx")
		return
	}
	for _, c := range []struct {
		name                                       string
		form                                       options
		held, readBytes, readPieces, bytes, pieces float64
	}{
		{"csv", options{CSV: true}, 286, 855, 3.3, 425, 4},
		{"xlsx", options{Sheets: 1}, 288, 873, 3.3, 435, 5},
	} {
		t.Run(c.name, func(t *testing.T) {
			first, second := costOf(t, c.form, few), costOf(t, c.form, many)
			each := func(of func(c cost) uint64) float64 { return (float64(of(second)) - float64(of(first))) / (many - few) }
			for _, bound := range []struct {
				what string
				of   func(c cost) uint64
				most float64
			}{
				{"bytes held after judging", func(c cost) uint64 { return c.held }, c.held},
				{"bytes allocated while reading", func(c cost) uint64 { return c.readBytes }, c.readBytes},
				{"pieces allocated while reading", func(c cost) uint64 { return c.readPieces }, c.readPieces},
				{"bytes allocated after that", func(c cost) uint64 { return c.bytes }, c.bytes},
				{"pieces allocated after that", func(c cost) uint64 { return c.pieces }, c.pieces},
			} {
				cost := each(bound.of)
				t.Logf("%s: %.1f", bound.what, cost)
				if cost > bound.most {
					t.Errorf("%s: %.1f of a structure with three rows, expected at most %.0f", bound.what, cost, bound.most)
				}
			}
		})
	}
}

// cost is what a whole project takes.
type cost struct{ held, readBytes, readPieces, bytes, pieces uint64 }

// costOf reads and judges a project with one worker, since how often goroutines wait changes what they allocate.
func costOf(t *testing.T, o options, structures int) (c cost) {
	t.Helper()
	o.Structures, o.Dir = structures, t.TempDir()
	require.NoError(t, write(o))
	var before, read1, after runtime.MemStats
	settle := func(m *runtime.MemStats) {
		runtime.GC()
		runtime.GC() // what a finalizer or a pool kept goes with the second
		runtime.ReadMemStats(m)
	}
	settle(&before)
	p, err := read.Project(context.Background(), filepath.Join(o.Dir, "audit.yaml"))
	require.NoError(t, err)
	runtime.ReadMemStats(&read1)
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 1))
	r, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{Workers: 1})
	require.NoError(t, err)
	settle(&after)
	c = cost{after.HeapAlloc - before.HeapAlloc, read1.TotalAlloc - before.TotalAlloc, read1.Mallocs - before.Mallocs,
		after.TotalAlloc - read1.TotalAlloc, after.Mallocs - read1.Mallocs}
	runtime.KeepAlive(r)
	return c
}
