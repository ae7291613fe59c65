package read

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

func BenchmarkReadXLSX100k(b *testing.B) { benchmarkRead(b, 100_000, "register.xlsx") }

func benchmarkRead(b *testing.B, structures int, register string) {
	path := newInvented(structures).write(b, register)
	b.ReportAllocs()
	for b.Loop() {
		p, err := Project(context.Background(), path)
		require.NoError(b, err)
		require.Len(b, p.Assemblies, 3*structures)
		require.Zero(b, p.Faults.Total())
	}
}

func BenchmarkStructures100k(b *testing.B) {
	path := newInvented(100_000).write(b, "register.csv")
	info, err := os.Stat(filepath.Join(filepath.Dir(path), "structures.geojson"))
	require.NoError(b, err)
	b.SetBytes(info.Size())
	b.ReportAllocs()
	for b.Loop() {
		f := newProjectFile()
		f.folder, f.structures.files = filepath.Dir(path), []string{"structures.geojson"}
		p := &audit.Project{}
		_, err := readStructures(context.Background(), &half{projectFile: f}, p)
		require.NoError(b, err)
		require.Len(b, p.Structures, 100_000)
	}
}

func BenchmarkReadCSV100k(b *testing.B) { benchmarkRead(b, 100_000, "register.csv") }
