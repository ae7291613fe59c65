package raster

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"dryarc/audit/read/gdaltest"

	"github.com/stretchr/testify/require"
)

var anything = Believed{math.Inf(-1), math.Inf(1), math.Inf(1)}

// TestSeamsAgainstGDAL holds levels between tiles that abut to those that GDAL finds in a mosaic of them, and none is known until all tiles
// around a position have been asked.
func TestSeamsAgainstGDAL(t *testing.T) {
	const width, height, side = 60, 48, 20
	folder := t.TempDir()
	relief(t, folder, "whole.asc", 7, width, height, 341234.5, 6912345.25, 30)
	gdaltest.Run(t, folder, "gdal_translate", "-q", "-oo", "DATATYPE=Float64", "-a_srs", "EPSG:32719", "whole.asc", "whole.tif")
	var names []string
	var tiles []*Grid
	for row := 0; row < height; row += 16 {
		for column := 0; column < width; column += side {
			name := fmt.Sprintf("tile%d-%d.tif", column, row)
			gdaltest.Run(t, folder, "gdal_translate", "-q", "-srcwin", strconv.Itoa(column), strconv.Itoa(row), strconv.Itoa(side), "16", "whole.tif", name)
			names, tiles = append(names, name), append(tiles, openFile(t, folder, name))
		}
	}
	gdaltest.Run(t, folder, "gdalbuildvrt", append([]string{"-q", "mosaic.vrt"}, names...)...)
	points := resampled(t, folder, "mosaic.vrt", openFile(t, folder, "whole.tif"))
	random := rand.New(rand.NewPCG(8, 20))
	random.Shuffle(len(tiles), func(i, j int) { tiles[i], tiles[j] = tiles[j], tiles[i] })
	var s Seams
	between, within := 0, 0
	for number, p := range points {
		known := 0
		for _, g := range tiles {
			z, state, err := g.At(p.x, p.y, anything)
			seam := err == nil && state == Outside
			if seam {
				z, state, err = s.At(number, g, 0, p.x, p.y, anything)
			}
			require.NoError(t, err)
			if state == Outside {
				continue
			}
			require.Equal(t, Known, state)
			require.InDelta(t, p.z, z, agreeM, "%v", p)
			if known++; seam {
				between++
			} else {
				within++
			}
		}
		require.Equal(t, 1, known, "%v", p)
	}
	require.Empty(t, s.found)
	require.Greater(t, between, 500)
	require.Greater(t, within, 5000)
}

// TestNoSeams: tiles whose samples stand on no common lattice have nothing between them, and neither has the edge of all.
func TestNoSeams(t *testing.T) {
	grid := func(x float64, step float64, samples string) *Grid {
		g, err := open("a.asc", fmt.Appendf(nil, "ncols 2\nnrows 2\nxllcenter %v\nyllcenter 50\ncellsize %v\nnodata_value -9999\n%s\n", x, step, samples))
		require.NoError(t, err)
		return g
	}
	for _, c := range []struct {
		name    string
		second  *Grid
		moved   float64
		x       float64
		want    float64
		state   State
		between bool
	}{
		{"abutting", grid(12, 1, "30 40 30 40"), 0, 11.5, 25, Known, true},
		{"within the tolerance", grid(12.009, 1, "30 40 30 40"), 0, 11.5, 25, Known, true},
		{"off the lattice", grid(12.02, 1, "30 40 30 40"), 0, 11.5, 0, Outside, false},
		{"half a sample off", grid(11.5, 1, "30 40 30 40"), 0, 11.25, 0, Outside, false},
		{"another step", grid(12, 1.02, "30 40 30 40"), 0, 11.5, 0, Outside, false},
		{"a gap", grid(13, 1, "30 40 30 40"), 0, 11.5, 0, Outside, false},
		{"beyond the gap", grid(13, 1, "30 40 30 40"), 0, 12.5, 0, Outside, false},
		{"a void", grid(12, 1, "-9999 40 30 40"), 0, 11.5, 0, Void, true},
		{"a void without weight", grid(12, 1, "30 -9999 30 40"), 0, 11.5, 25, Known, true},
		{"round the world", grid(-348, 1, "30 40 30 40"), 360, 11.5, 25, Known, true},
		{"before the first", grid(12, 1, "30 40 30 40"), 0, 9.5, 0, Outside, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			var s Seams
			first := grid(10, 1, "10 20 10 20")
			_, state, err := s.At(0, first, 0, c.x, 50.5, anything)
			require.NoError(t, err)
			require.Equal(t, Outside, state)
			z, state, err := s.At(0, c.second, c.moved, c.x, 50.5, anything)
			require.NoError(t, err)
			require.Equal(t, c.state, state)
			if c.state == Known {
				require.Equal(t, c.want, z)
			}
			require.Equal(t, c.between, len(s.found) == 0 && state != Outside)
		})
	}
}
