package raster

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// tag is an entry of a directory that a test writes: whole numbers, doubles or text.
type tag struct {
	number uint16
	values any
}

// written is a TIFF of classic kind: its directory, then the values that do not fit into it, then the content.
func written(order binary.AppendByteOrder, content []byte, tags ...tag) []byte {
	mark := "II*\x00"
	if order.String() == "BigEndian" {
		mark = "MM\x00*"
	}
	out := order.AppendUint32([]byte(mark), 8)
	out = order.AppendUint16(out, uint16(len(tags)))
	var far []byte
	farAt := 8 + 2 + 12*len(tags) + 4
	contentAt := farAt
	values := func(t tag, at int) (kind uint16, count int, b []byte) {
		switch v := t.values.(type) {
		case []float64:
			for _, x := range v {
				b = order.AppendUint64(b, math.Float64bits(x))
			}
			return 12, len(v), b
		case string:
			return 2, len(v) + 1, append([]byte(v), 0)
		case []int:
			for _, x := range v {
				if t.number == tagStripOffsets || t.number == tagTileOffsets {
					x += at
				}
				b = order.AppendUint32(b, uint32(x))
			}
			return 4, len(v), b
		}
		panic(t.number)
	}
	for _, t := range tags {
		if _, _, b := values(t, 0); len(b) > 4 {
			contentAt += len(b)
		}
	}
	for _, t := range tags {
		kind, count, b := values(t, contentAt)
		out = order.AppendUint16(order.AppendUint16(out, t.number), kind)
		out = order.AppendUint32(out, uint32(count))
		if len(b) <= 4 {
			out = append(out, append(b, make([]byte, 4-len(b))...)...)
			continue
		}
		out = order.AppendUint32(out, uint32(farAt+len(far)))
		far = append(far, b...)
	}
	return append(append(order.AppendUint32(out, 0), far...), content...)
}

// small are the tags of 3 by 2 samples of 16 bits with a sign, the first sample's corner at 10, 52, steps of 1.
func small(more ...tag) []tag {
	tags := []tag{
		{tagWidth, []int{3}}, {tagHeight, []int{2}}, {tagBits, []int{16}}, {tagSampleFormat, []int{2}}, {tagStripOffsets, []int{0}}, {tagStripBytes, []int{12}},
		{tagPixelScale, []float64{1, 1, 0}}, {tagTiepoints, []float64{0, 0, 0, 10, 52, 0}},
	}
	for _, m := range more {
		replaced := false
		for i := range tags {
			if tags[i].number == m.number {
				tags[i], replaced = m, true
			}
		}
		if !replaced {
			tags = append(tags, m)
		}
	}
	return tags
}

func samplesOf16(order binary.AppendByteOrder, values ...int16) (b []byte) {
	for _, v := range values {
		b = order.AppendUint16(b, uint16(v))
	}
	return b
}

func smallFile(more ...tag) []byte {
	return written(binary.LittleEndian, samplesOf16(binary.LittleEndian, 10, 20, 30, 40, 50, -32768), small(more...)...)
}

func open(name string, content []byte) (*Grid, error) {
	return Open(name, bytes.NewReader(content), int64(len(content)))
}

// values that are worked out by hand: the samples are 10, 20, 30 over 40, 50, void, the centre of the first at 10.5, 51.5.
func TestValuesByHand(t *testing.T) {
	noData := tag{tagNoData, "-32768"}
	for _, c := range []struct {
		name  string
		tags  []tag
		x, y  float64
		want  float64
		state State
	}{
		{"a centre", []tag{noData}, 10.5, 51.5, 10, Known},
		{"between four", []tag{noData}, 10.75, 51, 27.5, Known},                                       // 0.75·(10+40)/2 + 0.25·(20+50)/2
		{"beside a void of weight 0", []tag{noData}, 11.5, 50.5, 50, Known},                           // on the lower edge, at the centre of the sample before it
		{"between a void and others", []tag{noData}, 12, 51, math.NaN(), Void},                        // the void has a quarter of the weight
		{"along the edge above a void", []tag{noData}, 12, 51.5, 25, Known},                           // (20+30)/2
		{"on the void", []tag{noData}, 12.5, 50.5, math.NaN(), Void},                                  //
		{"beyond what is believed, no void stated", nil, 12, 51, math.NaN(), Beyond},                  //
		{"half a cell beyond the centres", []tag{noData}, 10.4, 51, math.NaN(), Outside},              //
		{"far outside", []tag{noData}, 1e300, 51, math.NaN(), Outside},                                //
		{"nowhere", []tag{noData}, math.NaN(), 51, math.NaN(), Outside},                               //
		{"the corner by rounding", []tag{noData}, 10.5 - 1e-9, 51.5 + 1e-9, 10, Known},                //
		{"a point", []tag{noData, {tagGeoKeys, []int{1, 1, 0, 1, 1025, 0, 1, 2}}}, 10, 52, 10, Known}, // the tie is the centre
		{"a transformation", []tag{noData, {tagTiepoints, []float64{}}, {tagTransformation, []float64{0, 2, 0, 100, 1, 0, 0, 200, 0, 0, 0, 0, 0, 0, 0, 1}}}, 101, 201.5, 20, Known}, // x = 100 + 2·row, y = 200 + column, at 1.5, 0.5
		{"scaled", []tag{noData, {tagMetadata, `<GDALMetadata><Item name="SCALE" sample="0" role="scale">0.5</Item><Item name="OFFSET" sample="0" role="offset">3</Item></GDALMetadata>`}}, 11.5, 51.5, 13, Known},
		{"another band scaled", []tag{noData, {tagMetadata, `<GDALMetadata><Item name="SCALE" sample="1" role="scale">0.5</Item><Item name="OFFSET" sample="1" role="offset">3</Item></GDALMetadata>`}}, 11.5, 51.5, 20, Known},
	} {
		t.Run(c.name, func(t *testing.T) {
			g, err := open("dem.tif", smallFile(c.tags...))
			require.NoError(t, err)
			z, state, err := g.At(c.x, c.y, Believed{-500, 9000, 9000})
			require.NoError(t, err)
			require.Equal(t, c.state, state)
			if math.IsNaN(c.want) {
				require.True(t, math.IsNaN(z))
			} else {
				require.InDelta(t, c.want, z, 1e-5)
			}
		})
	}
}

// TestFloatingPredictor: the planes of predictor 3 have the highest bytes first where the file has the low byte first; in the other order
// it is refused. The bytes are those that GDAL 3.6 writes for 1.5, 2.25, 3, 4, 5.75, 6 of Float32.
func TestFloatingPredictor(t *testing.T) {
	planes, err := hex.DecodeString("3f0100805030c00000000000400000403808400000000000")
	require.NoError(t, err)
	var packed bytes.Buffer
	w := zlib.NewWriter(&packed)
	_, err = w.Write(planes)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	tags := small(tag{tagBits, []int{32}}, tag{tagSampleFormat, []int{3}}, tag{tagCompression, []int{8}}, tag{tagPredictor, []int{3}}, tag{tagStripBytes, []int{packed.Len()}})
	g, err := open("dem.tif", written(binary.LittleEndian, packed.Bytes(), tags...))
	require.NoError(t, err)
	for i, want := range []float64{1.5, 2.25, 3, 4, 5.75, 6} {
		z, _, err := g.At(10.5+float64(i%3), 51.5-float64(i/3), Believed{-500, 9000, 9000})
		require.NoError(t, err)
		require.Equal(t, want, z)
	}
	_, err = open("dem.tif", written(binary.BigEndian, packed.Bytes(), tags...))
	require.ErrorContains(t, err, "predictor 3 and the high byte first")
}

// TestBadTIFF: each has an error that says what was expected.
func TestBadTIFF(t *testing.T) {
	geo := func(keys ...int) tag { return tag{tagGeoKeys, append([]int{1, 1, 0, len(keys) / 4}, keys...)} }
	for _, c := range []struct {
		name, says string
		content    []byte
	}{
		{"empty", "none of the rasters that are read", nil},
		{"a head alone", "beyond its end", []byte("II*\x00\x08\x00\x00\x00")},
		{"a head cut short", "beyond its end", []byte("II*\x00\x08")},
		{"a huge raster", "lengths of 1 strips or tiles", smallFile(tag{tagWidth, []int{1 << 20}}, tag{tagHeight, []int{1 << 30}}, tag{tagRowsPerStrip, []int{1}}, tag{tagCompression, []int{8}})},
		{"a row that is too long", "bytes at most", smallFile(tag{tagWidth, []int{1 << 30}})},
		{"a strip that is too large", "bytes at most", smallFile(tag{tagWidth, []int{1 << 14}}, tag{tagHeight, []int{1 << 14}}, tag{tagCompression, []int{8}})},
		{"no samples", "has 0 by 2 samples", smallFile(tag{tagWidth, []int{0}})},
		{"bytes", "expected Int16", smallFile(tag{tagBits, []int{8}})},
		{"unknown compression", "has the compression 7", smallFile(tag{tagCompression, []int{7}})},
		{"unknown predictor", "has the predictor 9", smallFile(tag{tagPredictor, []int{9}})},
		{"an alpha band", "by an alpha band", smallFile(tag{tagExtraSamples, []int{2}})},
		{"an associated alpha band", "by an alpha band", smallFile(tag{tagExtraSamples, []int{0, 1}})},
		{"no place", "does not say where its samples are", smallFile(tag{tagTiepoints, []float64{}})},
		{"no steps", "expected steps over 0", smallFile(tag{tagPixelScale, []float64{0, 1, 0}})},
		{"steps of no number", "expected steps over 0", smallFile(tag{tagPixelScale, []float64{math.NaN(), 1, 0}})},
		{"levels scaled", "expected steps over 0", smallFile(tag{tagPixelScale, []float64{1, 1, 0.3048}})},
		{"endless steps", "expected finite steps", smallFile(tag{tagPixelScale, []float64{math.Inf(1), 1, 0}})},
		{"feet", `in the unit "ft"`, smallFile(tag{tagMetadata, `<GDALMetadata><Item name="UNITTYPE" sample="0" role="unittype">ft</Item></GDALMetadata>`})},
		{"heights in feet", "has heights in the unit EPSG:9003", smallFile(geo(keyVerticalUnits, 0, 1, 9003))},
		{"positions in feet", "expected metres", smallFile(geo(keyModelType, 0, 1, 1, keyProjected, 0, 1, 2229, keyLinearUnit, 0, 1, 9003))},
		{"a system of its own", "of its own definition", smallFile(geo(keyModelType, 0, 1, 1, keyProjected, 0, 1, userDefined))},
		{"keys cut short", "fewer than these say", smallFile(tag{tagGeoKeys, []int{1, 1, 0, 50}})},
		{"colours", "colours (photometric interpretation 2)", smallFile(tag{tagPhotometric, []int{2}})},
		{"a palette", "colours (photometric interpretation 3)", smallFile(tag{tagPhotometric, []int{3}})},
		{"bits turned round", "fill order 2", smallFile(tag{tagFillOrder, []int{2}})},
		{"no-data of no number", `no-data value "none"`, smallFile(tag{tagNoData, "none"})},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := open("dem.tif", c.content)
			var known *Error
			require.ErrorAs(t, err, &known)
			require.ErrorContains(t, err, c.says)
		})
	}
}

// TestCitations: what a file writes of its systems is told as it stands, and how many bands it has.
func TestCitations(t *testing.T) {
	g, err := open("dem.tif", smallFile(tag{tagGeoTexts, "WGS 84|WGS84 ellipsoid height|"}, tag{tagSamplesPerPixel, []int{2}}, tag{tagPlanar, []int{2}},
		tag{tagGeoKeys, []int{1, 1, 0, 3, keyCitation, tagGeoTexts, 7, 0, keyVerticalText, tagGeoTexts, 23, 7, 2049, tagGeoTexts, 9, 1000}}, tag{tagStripOffsets, []int{8, 20}}, tag{tagStripBytes, []int{12, 12}}))
	require.NoError(t, err)
	require.Equal(t, "WGS 84", g.Citation)
	require.Equal(t, "WGS84 ellipsoid height", g.VerticalCitation)
	require.Equal(t, 2, g.Bands)
}

// TestBadBlocks: what is wrong with a strip is told when it is asked for.
func TestBadBlocks(t *testing.T) {
	for _, c := range []struct {
		name, says string
		tags       []tag
	}{
		{"beyond the end", "beyond its end", []tag{{tagStripOffsets, []int{1 << 20}}}},
		{"too short", "has 4 bytes in strip or tile 1, expected 6", []tag{{tagStripBytes, []int{4}}}},
		{"no Deflate", "ends or breaks off", []tag{{tagCompression, []int{8}}}},
		{"no LZW", "ends or breaks off", []tag{{tagCompression, []int{5}}, {tagHeight, []int{400}}}},
		{"no ZSTD", "ends or breaks off", []tag{{tagCompression, []int{50000}}}},
		{"PackBits cut short", "ends or breaks off", []tag{{tagCompression, []int{32773}}, {tagHeight, []int{4000}}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			g, err := open("dem.tif", smallFile(c.tags...))
			require.NoError(t, err)
			_, _, err = g.At(10.5, 51.5, Believed{-500, 9000, 9000})
			var known *Error
			require.ErrorAs(t, err, &known)
			require.ErrorContains(t, err, c.says)
		})
	}
}

// TestDirectoriesInACircle: the walk over directories, which looks for masks, ends.
func TestDirectoriesInACircle(t *testing.T) {
	content := smallFile()
	next := 8 + 2 + 12*len(small())
	binary.LittleEndian.PutUint32(content[next:], 8)
	_, err := open("dem.tif", content)
	require.ErrorContains(t, err, "in a circle")

	for _, kind := range []int{4, 5} { // a mask, and that of an overview
		second := written(binary.LittleEndian, nil, tag{tagSubfile, []int{kind}})
		binary.LittleEndian.PutUint32(content[next:], uint32(len(content)))
		_, err = open("dem.tif", append(bytes.Clone(content), second[8:]...))
		require.ErrorContains(t, err, "by a mask")
	}
}

// What 32 bits hold: a no-data value is the nearest that they have of what its text says, and what is infinite is no value.
func TestSamplesOf32Bits(t *testing.T) {
	var content []byte
	for _, v := range []float32{10, -99.9, 30, float32(math.Inf(1)), 50, 60} {
		content = binary.LittleEndian.AppendUint32(content, math.Float32bits(v))
	}
	g, err := open("dem.tif", written(binary.LittleEndian, content, small(tag{tagBits, []int{32}}, tag{tagSampleFormat, []int{3}}, tag{tagStripBytes, []int{24}}, tag{tagNoData, "-99.9"})...))
	require.NoError(t, err)
	for at, want := range map[[2]float64]State{{10.5, 51.5}: Known, {11.5, 51.5}: Void, {10.5, 50.5}: Void, {12.5, 50.5}: Known} {
		_, state, err := g.At(at[0], at[1], Believed{-500, 9000, 9000})
		require.NoError(t, err)
		require.Equal(t, want, state, at)
	}
}

// Beside a sample of exactly 0 one of as much as is believed there is taken, and none higher.
func TestSamplesBesideZero(t *testing.T) {
	for highest, want := range map[int16]State{100: ByZero, 101: Torn} {
		g, err := open("dem.tif", written(binary.LittleEndian, samplesOf16(binary.LittleEndian, 0, highest, 1, 1, 1, 1), small()...))
		require.NoError(t, err)
		_, state, err := g.At(11, 51.5, Believed{-500, 9000, 100})
		require.NoError(t, err)
		require.Equal(t, want, state)
	}
}

func TestBadText(t *testing.T) {
	const head = "ncols 2\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\n"
	for content, says := range map[string]string{
		"ncols 2\nnrows 2\n":                               "ends in its head",
		"ncols 2\rnrows 2\r1 2\r":                          "has no line end behind it",
		strings.Repeat(" ", 5000) + "ncols":                "none of the rasters",
		"ncols " + strings.Repeat(" ", 5000):               "no end of its head within 4096 bytes",
		"PK\x03\x04":                                       "is a zip archive",
		head + "1 2 3\n":                                   "holds 3 numbers, expected 2 columns times 2 rows",
		head + "1 2 3 4 5\n":                               "holds 5 numbers",
		strings.Replace(head, "2", "9e9", 1) + "1 2 3 4\n": "ncols \"9e9\"",
		strings.Replace(head, "2", "2.5", 1) + "1 2 3 4\n": "whole number",
		strings.Replace(head, "cellsize 1", "cellsize 0", 1) + "1 2 3 4\n": "cells of 0 by 0",
		"nrows 2\n" + head + "1 2 3 4\n":                                   "nrows twice",
		head + "1 2 3 " + strings.Repeat("4", 5000):                        "has a number of more than 4096 bytes in row 2, column 2",
		"ncols 2\nrows 2\n1 2\n":                                           `has the line "rows 2"`,
		"ncols 2\nnrows 2\ncellsize 1\n1 2 3 4\n":                          "no xllcenter or xllcorner",
	} {
		_, err := open("relief.asc", []byte(content))
		require.ErrorContains(t, err, says)
	}
	g, err := open("relief.asc", []byte(head+"1 2\n3 x\n"))
	require.NoError(t, err)
	_, _, err = g.At(1, 1, Believed{-500, 9000, 9000})
	require.ErrorContains(t, err, `has "x" in row 2, column 2, expected a number`)
}

// TestLongRows: the head of an ASCII grid ends where its first row starts, however long that is, and whatever stands before it.
func TestLongRows(t *testing.T) {
	for _, first := range []string{"123.45", " 123.45", "nan", "\r\n\t123.45", "-9.5", ".5"} {
		row := first + strings.Repeat(" 123.45", 2999)
		g, err := open("relief.asc", []byte("ncols 3000\nnrows 2\nxllcenter 0\nyllcenter 0\ncellsize 1\n"+row+"\n"+strings.TrimSpace(row)))
		require.NoError(t, err)
		z, state, err := g.At(2999, 1, Believed{-500, 9000, 100})
		require.NoError(t, err)
		require.Equal(t, Known, state)
		require.Equal(t, 123.45, z)
		_, state, err = g.At(0, 1, Believed{-500, 9000, 100})
		require.NoError(t, err)
		require.Equal(t, first == "nan", state == Void)
	}
}

// TestTextOfAnyShape: of an ASCII grid of a megabyte and more no more is held than a part, whether its rows are narrow or wide; each sample is
// where it stands, and what is no number is told by row and column.
func TestTextOfAnyShape(t *testing.T) {
	const samples = 300_000
	for _, width := range []int{1, 2, 3, 1000, samples / 2, samples} {
		height := samples / width
		var b bytes.Buffer
		fmt.Fprintf(&b, "ncols %d\nnrows %d\nxllcenter 0\nyllcenter 0\ncellsize 1\n", width, height)
		start := b.Len()
		for i := range samples {
			fmt.Fprint(&b, i%1000)
			b.WriteByte(" \n"[min((i+1)%width, 1)^1])
		}
		g, err := open("relief.asc", b.Bytes())
		require.NoError(t, err)
		held := g.samples.(*textSamples)
		require.LessOrEqual(t, len(held.windows), (b.Len()-start)/windowBytes+1)
		for _, i := range []int{0, 1, width, samples/3 + 1, samples - 1} {
			i = min(i, samples-1)
			z, err := g.samples.at(i%width, i/width)
			require.NoError(t, err)
			require.Equal(t, float64(i%1000), z, "sample %d of rows of %d", i, width)
		}
		require.LessOrEqual(t, held.read.bytes, 5*8*(windowBytes/2), "samples of rows of %d", width)

		text := b.Bytes()
		text[len(text)-2] = 'x' // of the last number, 999
		g, err = open("relief.asc", text)
		require.NoError(t, err)
		_, err = g.samples.at(width-1, height-1)
		require.ErrorContains(t, err, fmt.Sprintf(`has "99x" in row %d, column %d, expected a number`, height, width))
	}
}

func TestBadHeightFile(t *testing.T) {
	for name, says := range map[string]string{
		"N41W020.hgt": "2884802 (1201 samples a side)", "tile.hgt": "expected such as N41W020.hgt", "N41W0201.hgt": "expected such as",
	} {
		_, err := open(name, make([]byte, 100))
		require.ErrorContains(t, err, says)
	}
	_, err := Open("N91W020.hgt", zeros{}, 2*1201*1201)
	require.ErrorContains(t, err, "latitude 91")
	for name, corner := range map[string][2]float64{"N41W020.hgt": {-20, 41}, "s01e179.HGT": {179, -1}, "in/S34E018.hgt": {18, -34}} {
		g, err := Open(name, zeros{}, 2*3601*3601)
		require.NoError(t, err)
		for _, at := range [][2]float64{{0, 0}, {1, 1}} {
			z, state, err := g.At(corner[0]+at[0], corner[1]+at[1], Believed{-500, 9000, 9000})
			require.NoError(t, err)
			require.Equal(t, ByZero, state, name)
			require.Zero(t, z)
		}
		_, state, err := g.At(corner[0]-0.001, corner[1], Believed{-500, 9000, 9000})
		require.NoError(t, err)
		require.Equal(t, Outside, state)
	}
}

type zeros struct{}

func (zeros) ReadAt(p []byte, _ int64) (int, error) { clear(p); return len(p), nil }

// TestMemoryOfLargeFiles: of a file of a gigabyte that is read all over, no more than the cache is held.
func TestMemoryOfLargeFiles(t *testing.T) {
	const side = 20_000
	file, err := os.CreateTemp(t.TempDir(), "large")
	require.NoError(t, err)
	defer file.Close()
	offsets, lengths := make([]int, 1), make([]int, 1)
	lengths[0] = side * side * 2
	head := written(binary.LittleEndian, nil, small(tag{tagWidth, []int{side}}, tag{tagHeight, []int{side}}, tag{tagStripOffsets, offsets}, tag{tagStripBytes, lengths})...)
	_, err = file.Write(head)
	require.NoError(t, err)
	size := int64(len(head) + lengths[0])
	require.NoError(t, file.Truncate(size))
	g, err := Open("large.tif", file, size)
	require.NoError(t, err)
	for row := range side - 1 {
		z, state, err := g.At(10+side/2, 51-float64(row), Believed{-500, 9000, 9000})
		require.NoError(t, err)
		require.Equal(t, ByZero, state)
		require.Zero(t, z)
	}
	require.LessOrEqual(t, g.samples.(*tiffSamples).blocks.bytes, cacheBytes)
	require.Greater(t, g.samples.(*tiffSamples).blocks.bytes, cacheBytes/2)
}

// FuzzOpen: no content makes the reader fail but by an error, and what it reads is within what is believed.
func FuzzOpen(f *testing.F) {
	f.Add("dem.tif", smallFile())
	f.Add("dem.tif", smallFile(tag{tagCompression, []int{8}}, tag{tagPredictor, []int{2}}))
	f.Add("dem.tif", smallFile(tag{tagCompression, []int{5}}, tag{tagGeoKeys, []int{1, 1, 0, 1, 1024, 0, 1, 2}}))
	f.Add("dem.tif", smallFile(tag{tagCompression, []int{50000}}, tag{tagNoData, "-32768"}))
	f.Add("dem.tif", smallFile(tag{tagCompression, []int{32773}}, tag{tagMetadata, "<GDALMetadata/>"}))
	f.Add("dem.tif", written(binary.BigEndian, samplesOf16(binary.BigEndian, 1, 2, 3, 4, 5, 6), small()...))
	f.Add("dem.tif", []byte("II+\x00\x08\x00\x00\x00\x10\x00\x00\x00\x00\x00\x00\x00\x01\x00\x00\x00\x00\x00\x00\x00"))
	f.Add("relief.asc", []byte("ncols 2\nnrows 2\nxllcorner 0\nyllcenter 0\ncellsize 1\nNODATA_value 4\n1 2\n3 4\n"))
	f.Add("N41W020.hgt", []byte("\x80\x00"))
	f.Fuzz(func(t *testing.T, name string, content []byte) {
		g, err := open(name, content)
		if err != nil {
			return
		}
		for _, at := range [][2]float64{{0, 0}, {0.5, 0.5}, {float64(g.Width - 1), float64(g.Height - 1)}} {
			a := g.geo
			z, state, err := g.At(a.x0+a.xc*at[0]+a.xr*at[1], a.y0+a.yc*at[0]+a.yr*at[1], Believed{-500, 9000, 9000})
			if err == nil && state == Known && !(z >= -500.001 && z <= 9000.001) {
				t.Fatal(z)
			}
		}
	})
}
