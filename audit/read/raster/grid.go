package raster

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"path"
	"regexp"
	"strings"
)

// Error says why a file is no raster that can be read.
type Error struct {
	Message string // lower case, quotes the value and says what was expected
	Hint    string // what to do, where that is another thing than to convert the file
}

func (e *Error) Error() string { return e.Message }

func wrong(format string, values ...any) error {
	return &Error{Message: fmt.Sprintf(format, values...)}
}

// Grid is an open raster. It is not for several goroutines at once.
type Grid struct {
	Format        string // in words
	Width, Height int    // in samples
	EPSG          int    // code of the system of its positions; 0 where it names none
	Vertical      int    // EPSG code of the vertical system that it names; 0 where it names none
	Bands         int    // of which the first is read

	Citation, VerticalCitation string // what it writes of its systems; empty where nothing

	geo     affine
	samples samples
}

// samples gives the value of one sample, NaN for a void, and the number of the block that is decoded for it.
type samples interface {
	at(column, row int) (float64, error)
	block(column, row int) uint64
}

// affine takes columns and rows to positions, those of the centres of samples at whole numbers:
//
//	x = x0 + xc·column + xr·row,  y = y0 + yc·column + yr·row
type affine struct{ x0, xc, xr, y0, yc, yr float64 }

func (a affine) det() float64 { return a.xc*a.yr - a.xr*a.yc }

// check refuses a transformation that has no inverse.
func (a affine) check() error {
	if d := a.det(); d == 0 || math.IsNaN(d) || math.IsInf(d, 0) || math.IsNaN(a.x0+a.y0) || math.IsInf(a.x0+a.y0, 0) {
		return wrong("places its samples by x = %g + %g·column + %g·row and y = %g + %g·column + %g·row, expected finite steps that span an area", a.x0, a.xc, a.xr, a.y0, a.yc, a.yr)
	}
	return nil
}

// PlacedAs tells whether a transformation from corners of samples, in the order x0, xc, xr, y0, yc, yr, places the first and the last sample as
// the grid does, to a hundredth of a sample.
func (g *Grid) PlacedAs(corner [6]float64) bool {
	const near = 0.01
	other := affine{x0: corner[0] + (corner[1]+corner[2])/2, xc: corner[1], xr: corner[2], y0: corner[3] + (corner[4]+corner[5])/2, yc: corner[4], yr: corner[5]}
	for _, at := range [...][2]float64{{0, 0}, {float64(g.Width - 1), float64(g.Height - 1)}, {float64(g.Width - 1), 0}} {
		column, row := g.geo.toSample(other.x0+other.xc*at[0]+other.xr*at[1], other.y0+other.yc*at[0]+other.yr*at[1])
		if !(math.Abs(column-at[0]) <= near && math.Abs(row-at[1]) <= near) {
			return false
		}
	}
	return true
}

// toSample takes a position to column and row.
func (a affine) toSample(x, y float64) (column, row float64) {
	x, y = x-a.x0, y-a.y0
	return (a.yr*x - a.xr*y) / a.det(), (a.xc*y - a.yc*x) / a.det()
}

// gridHead is how an ASCII grid begins, and no table.
var gridHead = regexp.MustCompile(`(?i)^(\xef\xbb\xbf)?\s*(ncols|nrows)[ \t]+\d`)

// Is tells whether a file is meant to be a raster, by its name and how it begins.
func Is(name string, start []byte) bool {
	return isHeightFile(name) || isTIFF(start) || gridHead.Match(start)
}

func isHeightFile(name string) bool { return strings.EqualFold(path.Ext(name), ".hgt") }

// isTIFF knows both byte orders of both kinds.
func isTIFF(start []byte) bool {
	return bytes.HasPrefix(start, []byte("II*\x00")) || bytes.HasPrefix(start, []byte("MM\x00*")) ||
		bytes.HasPrefix(start, []byte("II+\x00")) || bytes.HasPrefix(start, []byte("MM\x00+"))
}

// Open opens a raster by its content; a height file, which has no mark, by its name.
func Open(name string, in io.ReaderAt, size int64) (*Grid, error) {
	start := make([]byte, 8)
	if n, err := in.ReadAt(start, 0); err != nil && err != io.EOF {
		return nil, err
	} else {
		start = start[:n]
	}
	var g *Grid
	var err error
	switch {
	case isHeightFile(name):
		g, err = openHeightFile(name, in, size)
	case isTIFF(start):
		g, err = openTIFF(in, size)
	case bytes.HasPrefix(start, []byte("PK\x03\x04")):
		return nil, &Error{Message: "is a zip archive, expected a raster", Hint: "take the raster out of the archive"}
	case isText(start):
		g, err = openText(in, size)
	default:
		return nil, wrong("is none of the rasters that are read, expected TIFF, an ASCII grid or a height file whose name ends in .hgt")
	}
	if err != nil {
		return nil, err
	}
	g.Bands = max(g.Bands, 1)
	return g, g.geo.check()
}

// State tells what is known of a position.
type State uint8

// The states.
const (
	Known   State = iota
	ByZero        // known, and a sample that counts there is exactly 0
	Outside       // of the hull of the centres of samples
	Void          // a sample that counts there has no value
	Beyond        // a sample that counts there is beyond what is believed
	Torn          // a sample that counts there is exactly 0, and another higher than is believed beside it
)

// Believed is what samples are believed to be.
type Believed struct {
	Low, High  float64
	BesideZero float64 // how high one may be beside one of exactly 0, which may stand for none
}

// nearSample is how near to the centre of a sample, in samples, a position counts as there.
const nearSample = 1e-6

// At returns the value at a position in the system of the raster, bilinear between the centres of the four samples around it. Where one of
// them whose weight is not 0 is a void, or beyond what is believed, there is none.
//
//	z = (1−u)·(1−v)·z00 + u·(1−v)·z10 + (1−u)·v·z01 + u·v·z11
//
// u and v are the parts of a column and row that the position is beyond sample 00.
func (g *Grid) At(x, y float64, believed Believed) (float64, State, error) {
	column, row := g.geo.toSample(x, y)
	c, u, in := split(column, g.Width)
	r, v, also := split(row, g.Height)
	if !in || !also {
		return math.NaN(), Outside, nil
	}
	var z [4]float64
	weights := weightsOf(u, v)
	for i, weight := range weights {
		if weight == 0 {
			continue
		}
		var err error
		if z[i], err = g.samples.at(c+i%2, r+i/2); err != nil {
			return math.NaN(), Void, err
		}
	}
	value, state := blend(z, weights, believed)
	return value, state, nil
}

// Block is the number of a block that is decoded for the samples around a position; false where there are none. Positions that are asked for in
// the order of blocks have each decoded once, but for those between two.
func (g *Grid) Block(x, y float64) (uint64, bool) {
	column, row := g.geo.toSample(x, y)
	if !(column > -1 && column < float64(g.Width) && row > -1 && row < float64(g.Height)) {
		return 0, false
	}
	return g.samples.block(max(int(column), 0), max(int(row), 0)), true
}

// weightsOf are those of the four samples around a position, the sample after by columns first.
func weightsOf(u, v float64) [4]float64 {
	return [...]float64{(1 - u) * (1 - v), u * (1 - v), (1 - u) * v, u * v}
}

// blend is the value between four samples, and what is known of it. A sample without weight does not count.
func blend(samples, weights [4]float64, believed Believed) (float64, State) {
	sum, highest, state := 0.0, math.Inf(-1), Known
	for i, weight := range weights {
		z := samples[i]
		switch {
		case weight == 0:
			continue
		case math.IsNaN(z):
			return math.NaN(), Void
		case z < believed.Low || z > believed.High:
			return math.NaN(), Beyond
		case z == 0:
			state = ByZero
		}
		sum, highest = sum+weight*z, math.Max(highest, z)
	}
	if state == ByZero && highest > believed.BesideZero {
		return math.NaN(), Torn
	}
	return sum, state
}

// split parts a place along an axis into the sample before it and the part of a step beyond that; false outside count samples.
func split(at float64, count int) (int, float64, bool) {
	whole, part := floor(at)
	if !(whole >= 0 && whole+part <= float64(count-1)) {
		return 0, 0, false
	}
	return int(whole), part, true
}

// floor is split where there is no end of samples.
func floor(at float64) (whole, part float64) {
	if near := math.Round(at); math.Abs(at-near) <= nearSample {
		at = near
	}
	whole = math.Floor(at)
	return whole, at - whole
}

// readAt fills a buffer from a place of a file. what says of what it is.
func readAt(in io.ReaderAt, size int64, to []byte, at uint64, what string) error {
	if at > uint64(size) || uint64(len(to)) > uint64(size)-at {
		return wrong("has %s at byte %d with %d bytes, beyond its end at byte %d: it is damaged or was cut short", what, at, len(to), size)
	}
	_, err := io.ReadFull(io.NewSectionReader(in, int64(at), int64(len(to))), to)
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		return wrong("ends in %s, which was expected at byte %d with %d bytes", what, at, len(to))
	}
	return err
}
