package gpkg

import (
	"bytes"
	"context"
	"encoding/hex"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	geom "github.com/twpayne/go-geom"
)

// TestDamaged cuts a GeoPackage short and turns its bits at places drawn from a seed. The format has no sums, so that any
// reading will do: no panic, an end in time, and an error where the end of the file is missing.
func TestDamaged(t *testing.T) {
	statements := []string{
		`CREATE TABLE areas (fid INTEGER PRIMARY KEY, name TEXT, height REAL, geom BLOB)`,
		`INSERT INTO gpkg_contents VALUES ('areas', 'features', 4326)`,
		`INSERT INTO gpkg_geometry_columns VALUES ('areas', 'geom', 'POLYGON', 4326)`,
	}
	for i := range 60 {
		x := float64(i)
		shape := blob(t, geom.NewPolygonFlat(geom.XY, []float64{x, 0, x + 1, 0, x + 1, 1, x, 0}, []int{8}))
		statements = append(statements, fmt.Sprintf(`INSERT INTO areas VALUES (%d, 'area %d', %d.5, X'%s')`, i+1, i, i, hex.EncodeToString(shape)))
	}
	sound, err := os.ReadFile(write(t, statements...))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "damaged.gpkg")
	read := func(content []byte) (count int, err error) {
		require.NoError(t, os.WriteFile(path, content, 0o600))
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		defer cancel()
		f, err := Open(ctx, path)
		if err != nil {
			return 0, err
		}
		defer f.Close()
		layers, err := f.Layers(ctx)
		if err != nil {
			return 0, err
		}
		for _, layer := range layers {
			if err = f.Features(ctx, layer, func(*Feature) error { count++; return nil }); err != nil {
				break
			}
		}
		require.NoError(t, ctx.Err(), "comes to no end")
		return count, err
	}
	count, err := read(sound)
	require.NoError(t, err)
	require.Equal(t, 60, count)
	random := rand.New(rand.NewPCG(5, 3))
	for range 60 {
		length := random.IntN(len(sound))
		_, err := read(sound[:length])
		require.Error(t, err, "cut to %d of %d bytes", length, len(sound))
	}
	const head = 2048 // bytes in which the structure of the file stands
	for i := range 400 {
		damaged, at, bit := bytes.Clone(sound), random.IntN(len(sound)), random.IntN(8)
		if i%2 == 0 {
			at = random.IntN(head)
		}
		damaged[at] ^= 1 << bit
		if count, err := read(damaged); err == nil {
			require.LessOrEqual(t, count, 2*60, "bit %d of byte %d", bit, at)
		}
	}
}
