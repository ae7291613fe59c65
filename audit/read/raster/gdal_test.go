package raster

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit/read/gdaltest"

	"github.com/stretchr/testify/require"
)

const agreeM = 0.001

// openFile opens a raster in a folder.
func openFile(t testing.TB, folder, name string) *Grid {
	t.Helper()
	content, err := os.ReadFile(filepath.Join(folder, name))
	require.NoError(t, err)
	g, err := Open(name, bytes.NewReader(content), int64(len(content)))
	require.NoError(t, err, name)
	return g
}

// point is a position with its value.
type point struct{ x, y, z float64 }

// resampled are the values between the samples of a raster as GDAL has them, at steps of no round part of a cell.
func resampled(t *testing.T, folder, file string, g *Grid) (points []point) {
	t.Helper()
	return resampledWithin(t, folder, file, g.geo, g.Width, g.Height)
}

// resampledWithin are those within some columns and rows from a first sample.
func resampledWithin(t *testing.T, folder, file string, a affine, width, height int) (points []point) {
	t.Helper()
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', 17, 64) }
	x0, x1, y0, y1 := a.x0, a.x0+a.xc*float64(width-1), a.y0+a.yr*float64(height-1), a.y0
	dx, dy := a.xc*0.431, -a.yr*0.377
	columns, rows := math.Floor((x1-x0)/dx), math.Floor((y1-y0)/dy)
	gdaltest.Run(t, folder, "gdalwarp", "-q", "-overwrite", "-r", "bilinear", "-et", "0", "-ot", "Float64", "-wt", "Float64", "-dstnodata", "nan", "-te", number(x0), number(y0), number(x0+columns*dx), number(y0+rows*dy),
		"-ts", number(columns), number(rows), file, "warped.tif")
	for line := range strings.Lines(gdaltest.Run(t, folder, "gdal_translate", "-q", "-of", "XYZ", "-co", "DECIMAL_PRECISION=12", "warped.tif", "/vsistdout/")) {
		words := strings.Fields(line)
		require.Len(t, words, 3)
		var p [3]float64
		for i, word := range words {
			var err error
			p[i], err = strconv.ParseFloat(word, 64)
			require.NoError(t, err)
		}
		points = append(points, point{p[0], p[1], p[2]})
	}
	return points
}

// requireAgrees holds a raster to the values at points.
func requireAgrees(t *testing.T, g *Grid, points []point, allowed float64) {
	t.Helper()
	require.Greater(t, len(points), 1000)
	for _, p := range points {
		z, state, err := g.At(p.x, p.y, Believed{math.Inf(-1), math.Inf(1), math.Inf(1)})
		require.NoError(t, err)
		require.Equal(t, Known, state, "%v", p)
		require.InDelta(t, p.z, z, allowed, "%v", p)
	}
}

// relief writes an ASCII grid of levels of no pattern.
func relief(t *testing.T, folder, name string, seed uint64, width, height int, x, y, cell float64) {
	t.Helper()
	random := rand.New(rand.NewPCG(seed, 20))
	var b strings.Builder
	fmt.Fprintf(&b, "ncols %d\nnrows %d\nxllcorner %v\nyllcorner %v\ncellsize %v\n", width, height, x, y, cell)
	for row := range height {
		for column := range width {
			fmt.Fprintf(&b, "%.4f ", 800+300*math.Sin(float64(row)/9)*math.Cos(float64(column)/7)+random.Float64()*40)
		}
		b.WriteByte('\n')
	}
	require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(b.String()), 0o600))
}

// TestTIFFAgainstGDAL holds every form that GDAL writes to the values that it finds between the samples: every compression of every kind of number, in
// strips of one and in tiles of the next kind, and with DRYARC_HARD=1 in both of each.
func TestTIFFAgainstGDAL(t *testing.T) {
	both := os.Getenv("DRYARC_HARD") != ""
	folder := t.TempDir()
	relief(t, folder, "one.asc", 1, 83, 71, 341234.5, 6912345.25, 30)
	relief(t, folder, "two.asc", 2, 83, 71, 341234.5, 6912345.25, 30)
	for _, name := range []string{"one", "two"} {
		gdaltest.Run(t, folder, "gdal_translate", "-q", "-oo", "DATATYPE=Float64", "-a_srs", "EPSG:32719", name+".asc", name+".tif")
	}
	gdaltest.Run(t, folder, "gdalbuildvrt", "-q", "-separate", "both.vrt", "one.tif", "two.tif")
	random := rand.New(rand.NewPCG(3, 20))
	forms := 0
	for k, kind := range []string{"Int16", "UInt16", "Int32", "UInt32", "Float32", "Float64"} {
		gdaltest.Run(t, folder, "gdal_translate", "-q", "-ot", kind, "one.tif", "source.tif")
		source := openFile(t, folder, "source.tif")
		require.Equal(t, 32719, source.EPSG)
		points := resampled(t, folder, "source.tif", source)
		for c, compress := range []string{"NONE", "LZW", "DEFLATE", "PACKBITS", "ZSTD"} {
			for predictor := 1; predictor <= 3; predictor++ {
				if predictor > 1 && (compress == "NONE" || compress == "PACKBITS") || predictor == 3 && !strings.HasPrefix(kind, "Float") {
					continue
				}
				for i, tiled := range []string{"NO", "YES"} {
					if !both && (k+c+predictor)%2 != i {
						continue
					}
					options := []string{"COMPRESS=" + compress, "PREDICTOR=" + strconv.Itoa(predictor), "TILED=" + tiled,
						[]string{"ENDIANNESS=LITTLE", "ENDIANNESS=BIG"}[random.IntN(2)], []string{"BIGTIFF=NO", "BIGTIFF=YES"}[random.IntN(2)],
						[]string{"INTERLEAVE=PIXEL", "INTERLEAVE=BAND"}[random.IntN(2)]}
					if predictor == 3 { // GDAL 3.6 does not read what it writes so in the other order
						options[3] = "ENDIANNESS=LITTLE"
					}
					if tiled == "YES" {
						options = append(options, "BLOCKXSIZE=32", "BLOCKYSIZE=16")
					} else {
						options = append(options, "BLOCKYSIZE="+strconv.Itoa(1+random.IntN(80)))
					}
					from := []string{"one.tif", "both.vrt"}[random.IntN(2)]
					arguments := []string{"-q", "-ot", kind}
					for _, option := range options {
						arguments = append(arguments, "-co", option)
					}
					gdaltest.Run(t, folder, "gdal_translate", append(arguments, from, "form.tif")...)
					g := openFile(t, folder, "form.tif")
					require.Equal(t, 32719, g.EPSG)
					require.True(t, t.Run(fmt.Sprint(kind, options, from), func(t *testing.T) { requireAgrees(t, g, points, agreeM) }))
					forms++
				}
			}
		}
	}
	require.Equal(t, map[bool]int{false: 54, true: 108}[both], forms)
}

// TestPlacesAgainstGDAL holds the ways to say where samples are.
func TestPlacesAgainstGDAL(t *testing.T) {
	folder := t.TempDir()
	relief(t, folder, "one.asc", 4, 60, 50, -70.5, -28.25, 1.0/1200)
	for name, options := range map[string][]string{
		"area": {"-mo", "AREA_OR_POINT=Area"}, "point": {"-mo", "AREA_OR_POINT=Point"}, "degrees": {"-a_srs", "EPSG:4326"},
		"scaled": {"-a_scale", "0.5", "-a_offset", "-20"}, "no data": {"-a_nodata", "-9999"},
	} {
		t.Run(name, func(t *testing.T) {
			gdaltest.Run(t, folder, "gdal_translate", append([]string{"-q", "-oo", "DATATYPE=Float64", "one.asc", "form.tif"}, options...)...)
			g := openFile(t, folder, "form.tif")
			file := "form.tif"
			if name == "scaled" {
				gdaltest.Run(t, folder, "gdal_translate", "-q", "-unscale", "-ot", "Float64", "form.tif", "plain.tif")
				file = "plain.tif"
			}
			requireAgrees(t, g, resampled(t, folder, file, g), agreeM)
		})
	}
	t.Run("ASCII grid", func(t *testing.T) {
		g := openFile(t, folder, "one.asc")
		requireAgrees(t, g, resampled(t, folder, "one.asc", g), agreeM)
	})
}

// TestHeightFileAgainstGDAL holds height files that GDAL writes to its own reading of them.
func TestHeightFileAgainstGDAL(t *testing.T) {
	folder := t.TempDir()
	step := 1.0 / 1200
	relief(t, folder, "one.asc", 5, 1201, 1201, -20-step/2, 41-step/2, step)
	gdaltest.Run(t, folder, "gdal_translate", "-q", "-ot", "Int16", "-a_srs", "EPSG:4326", "-of", "SRTMHGT", "one.asc", "N41W020.hgt")
	g := openFile(t, folder, "N41W020.hgt")
	require.Equal(t, 4326, g.EPSG)
	for _, corner := range [][2]int{{0, 0}, {1160, 30}, {700, 1160}} {
		from := g.geo
		from.x0, from.y0 = from.x0+float64(corner[0])*step, from.y0-float64(corner[1])*step
		requireAgrees(t, g, resampledWithin(t, folder, "N41W020.hgt", from, 41, 41), agreeM)
	}
}

// TestSamplesAgainstGDAL holds voids and samples, read at their own places, to those of gdallocationinfo.
func TestSamplesAgainstGDAL(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "one.asc"), []byte("ncols 3\nnrows 2\nxllcenter 10\nyllcenter 50\ncellsize 1\nNODATA_value -9999\n1 -9999 3\n4 5 6\n"), 0o600))
	gdaltest.Run(t, folder, "gdal_translate", "-q", "one.asc", "one.tif")
	for _, name := range []string{"one.asc", "one.tif"} {
		g := openFile(t, folder, name)
		for row := range 2 {
			for column := range 3 {
				x, y := 10+float64(column), 51-float64(row)
				said := strings.TrimSpace(gdaltest.Run(t, folder, "gdallocationinfo", "-valonly", "-geoloc", name, fmt.Sprint(x), fmt.Sprint(y)))
				z, state, err := g.At(x, y, Believed{-500, 9000, 9000})
				require.NoError(t, err)
				if said == "-9999" {
					require.Equal(t, Void, state)
					continue
				}
				require.Equal(t, Known, state)
				require.Equal(t, said, fmt.Sprint(z))
			}
		}
	}
}
