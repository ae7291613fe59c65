package raster

import (
	"encoding/binary"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Tags of TIFF that are read.
const (
	tagSubfile         = 254
	tagWidth           = 256
	tagHeight          = 257
	tagBits            = 258
	tagCompression     = 259
	tagPhotometric     = 262
	tagFillOrder       = 266
	tagStripOffsets    = 273
	tagSamplesPerPixel = 277
	tagRowsPerStrip    = 278
	tagStripBytes      = 279
	tagPlanar          = 284
	tagPredictor       = 317
	tagTileWidth       = 322
	tagTileHeight      = 323
	tagTileOffsets     = 324
	tagTileBytes       = 325
	tagExtraSamples    = 338
	tagSampleFormat    = 339
	tagPixelScale      = 33550
	tagTiepoints       = 33922
	tagTransformation  = 34264
	tagGeoKeys         = 34735
	tagGeoTexts        = 34737
	tagMetadata        = 42112
	tagNoData          = 42113
)

// Limits of what a file may have (choices of this program).
const (
	mostDirectories = 1024
	mostEntries     = 4096
	mostValues      = 1 << 20 // bytes of a tag that is read whole
)

// field is an entry of a directory: values of one type somewhere in the file.
type field struct {
	tag, kind uint16
	count, at uint64
}

// bytesOf are the sizes of the types of values, 0 of those that are none.
func bytesOf(kind uint16) uint64 {
	sizes := [...]uint64{0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 4, 0, 0, 8, 8, 8}
	if int(kind) >= len(sizes) {
		return 0
	}
	return sizes[kind]
}

// tiffFile is a TIFF of either kind and byte order.
type tiffFile struct {
	in    io.ReaderAt
	size  int64
	order binary.ByteOrder
	big   bool
}

func (f *tiffFile) read(to []byte, at uint64, what string) error {
	return readAt(f.in, f.size, to, at, what)
}

// word reads a whole number of some bytes.
func (f *tiffFile) word(b []byte) uint64 {
	switch len(b) {
	case 1:
		return uint64(b[0])
	case 2:
		return uint64(f.order.Uint16(b))
	case 4:
		return uint64(f.order.Uint32(b))
	}
	return f.order.Uint64(b)
}

func openTIFF(in io.ReaderAt, size int64) (*Grid, error) {
	f := &tiffFile{in: in, size: size, order: binary.LittleEndian}
	head := make([]byte, 16)
	if err := f.read(head[:8], 0, "its head"); err != nil {
		return nil, err
	}
	if head[0] == 'M' {
		f.order = binary.BigEndian
	}
	first := f.word(head[4:8])
	if f.big = f.word(head[2:4]) == 43; f.big {
		if err := f.read(head, 0, "its head"); err != nil {
			return nil, err
		}
		if width := f.word(head[4:6]); width != 8 {
			return nil, wrong("is a BigTIFF whose offsets have %d bytes, expected 8", width)
		}
		first = f.word(head[8:16])
	}
	directory, next, err := f.directory(first)
	if err != nil {
		return nil, err
	}
	if err := f.refuseAlpha(directory); err != nil {
		return nil, err
	}
	if err := f.refuseMasks(first, next); err != nil {
		return nil, err
	}
	if err := f.refusePicture(directory); err != nil {
		return nil, err
	}
	return f.grid(directory)
}

// directory reads the entries of the directory at a place, and where the next one is.
func (f *tiffFile) directory(at uint64) (entries map[uint16]field, next uint64, err error) {
	countBytes, entryBytes, inline := uint64(2), uint64(12), uint64(4)
	if f.big {
		countBytes, entryBytes, inline = 8, 20, 8
	}
	buffer := make([]byte, countBytes)
	if err := f.read(buffer, at, "a directory of tags"); err != nil {
		return nil, 0, err
	}
	count := f.word(buffer)
	if count == 0 || count > mostEntries {
		return nil, 0, wrong("has a directory of %d tags, expected 1 to %d", count, mostEntries)
	}
	buffer = make([]byte, count*entryBytes+inline)
	if err := f.read(buffer, at+countBytes, "a directory of tags"); err != nil {
		return nil, 0, err
	}
	entries = map[uint16]field{}
	for i := range count {
		e := buffer[i*entryBytes : (i+1)*entryBytes]
		to := field{tag: uint16(f.word(e[:2])), kind: uint16(f.word(e[2:4])), count: f.word(e[4 : entryBytes-inline])}
		if bytesOf(to.kind) == 0 {
			continue // a reader passes over types that it does not know
		}
		if to.count > uint64(f.size) {
			return nil, 0, wrong("has %d values under tag %d, more than a file of %d bytes can hold", to.count, to.tag, f.size)
		}
		to.at = at + countBytes + (i+1)*entryBytes - inline
		if to.count*bytesOf(to.kind) > inline {
			to.at = f.word(e[entryBytes-inline:])
		}
		if _, twice := entries[to.tag]; !twice {
			entries[to.tag] = to
		}
	}
	return entries, f.word(buffer[count*entryBytes:]), nil
}

// refuseAlpha refuses voids that a band of opacity tells, which would be taken for values.
func (f *tiffFile) refuseAlpha(entries map[uint16]field) error {
	const associated, unassociated = 1, 2
	extra, err := f.wholes(entries, tagExtraSamples)
	if slices.Contains(extra, associated) || slices.Contains(extra, unassociated) {
		return &Error{Message: "says by an alpha band where it has no values, expected a no-data value in their place",
			Hint: "write a no-data value in place of the alpha band, for example: gdalwarp -dstnodata -32768 -ot Float32 IN TMP.tif, then gdal_translate -b 1 TMP.tif OUT.tif"}
	}
	return err
}

// refuseMasks walks the directories after the first: voids that a mask tells would be taken for values.
func (f *tiffFile) refuseMasks(first, next uint64) error {
	const mask = 4
	seen := map[uint64]bool{first: true}
	for next != 0 {
		if seen[next] {
			return wrong("has directories of tags that follow one another in a circle, at byte %d", next)
		}
		if seen[next] = true; len(seen) > mostDirectories {
			return wrong("has more than %d directories of tags", mostDirectories)
		}
		entries, after, err := f.directory(next)
		if err != nil {
			return err
		}
		kind, err := f.whole(entries, tagSubfile, 0)
		if err != nil {
			return err
		}
		if kind&mask != 0 {
			return wrong("says by a mask in it where it has no values, expected a no-data value in their place")
		}
		next = after
	}
	return nil
}

// refusePicture refuses what says that its samples are colours, or that the bits of its bytes are turned round.
func (f *tiffFile) refusePicture(entries map[uint16]field) error {
	const whiteIsZero, blackIsZero, lowestFirst = 0, 1, 2
	shows, err := f.whole(entries, tagPhotometric, blackIsZero)
	switch {
	case err != nil:
		return err
	case shows != whiteIsZero && shows != blackIsZero:
		return &Error{Message: fmt.Sprintf("says that its samples are colours (photometric interpretation %d), expected levels (%d)", shows, blackIsZero), Hint: "take the raster that has the levels, not a picture of it"}
	}
	order, err := f.whole(entries, tagFillOrder, 1)
	if err == nil && order == lowestFirst {
		return wrong("has the bits of its bytes in the other order (fill order %d), expected 1", order)
	}
	return err
}

// bytes are the values of a tag as they stand in the file; none where it is not there.
func (f *tiffFile) bytes(entries map[uint16]field, tag uint16) ([]byte, error) {
	at, ok := entries[tag]
	if !ok {
		return nil, nil
	}
	size := at.count * bytesOf(at.kind)
	if size > mostValues {
		return nil, wrong("has %d values under tag %d, which is more than is read", at.count, tag)
	}
	b := make([]byte, size)
	return b, f.read(b, at.at, "the values of tag "+strconv.Itoa(int(tag)))
}

// wholes are the values of a tag of whole numbers.
func (f *tiffFile) wholes(entries map[uint16]field, tag uint16) ([]uint64, error) {
	b, err := f.bytes(entries, tag)
	if err != nil || b == nil {
		return nil, err
	}
	switch kind := entries[tag].kind; kind {
	case 1, 3, 4, 13, 16, 18:
		step := int(bytesOf(kind))
		values := make([]uint64, 0, len(b)/step)
		for ; len(b) >= step; b = b[step:] {
			values = append(values, f.word(b[:step]))
		}
		return values, nil
	default:
		return nil, wrong("has values of type %d under tag %d, expected whole numbers", kind, tag)
	}
}

// whole is the first value of a tag, or what it is where the tag is not there.
func (f *tiffFile) whole(entries map[uint16]field, tag uint16, otherwise uint64) (uint64, error) {
	values, err := f.wholes(entries, tag)
	if err != nil || len(values) == 0 {
		return otherwise, err
	}
	return values[0], nil
}

// doubles are the values of a tag of numbers of 8 bytes.
func (f *tiffFile) doubles(entries map[uint16]field, tag uint16) ([]float64, error) {
	b, err := f.bytes(entries, tag)
	if err != nil || b == nil {
		return nil, err
	}
	if kind := entries[tag].kind; kind != 12 {
		return nil, wrong("has values of type %d under tag %d, expected numbers of 8 bytes", kind, tag)
	}
	values := make([]float64, 0, len(b)/8)
	for ; len(b) >= 8; b = b[8:] {
		values = append(values, math.Float64frombits(f.order.Uint64(b)))
	}
	return values, nil
}

// grid makes the raster of the first directory.
func (f *tiffFile) grid(entries map[uint16]field) (*Grid, error) {
	s := &tiffSamples{file: f, scale: 1, noData: math.NaN()}
	if err := s.layout(entries); err != nil {
		return nil, err
	}
	g := &Grid{Format: "TIFF", Width: s.width, Height: s.height, Bands: s.bands, samples: s}
	if f.big {
		g.Format = "BigTIFF"
	}
	keys, err := f.geoKeys(entries)
	if err != nil {
		return nil, err
	}
	if g.geo, err = f.affine(entries, keys.numbers[keyRasterType] == rasterIsPoint); err != nil {
		return nil, err
	}
	if g.EPSG, g.Vertical, err = keys.systems(); err != nil {
		return nil, err
	}
	g.Citation, g.VerticalCitation = keys.texts[keyCitation], keys.texts[keyVerticalText]
	if err := s.readNoData(entries); err != nil {
		return nil, err
	}
	return g, s.readMetadata(entries)
}

// affine reads where the samples are.
func (f *tiffFile) affine(entries map[uint16]field, isPoint bool) (affine, error) {
	scale, err := f.doubles(entries, tagPixelScale)
	if err != nil {
		return affine{}, err
	}
	ties, err := f.doubles(entries, tagTiepoints)
	if err != nil {
		return affine{}, err
	}
	matrix, err := f.doubles(entries, tagTransformation)
	if err != nil {
		return affine{}, err
	}
	var a affine
	switch {
	case len(scale) >= 2 && len(ties) == 6:
		if !(scale[0] > 0 && scale[1] > 0) || len(scale) > 2 && scale[2] != 0 && scale[2] != 1 || ties[2] != 0 || ties[5] != 0 {
			return affine{}, wrong("has the steps %v and the tie point %v, expected steps over 0 and heights that are not shifted", scale, ties)
		}
		a = affine{x0: ties[3] - ties[0]*scale[0], xc: scale[0], y0: ties[4] + ties[1]*scale[1], yr: -scale[1]}
	case len(matrix) == 16:
		a = affine{x0: matrix[3], xc: matrix[0], xr: matrix[1], y0: matrix[7], yc: matrix[4], yr: matrix[5]}
	default:
		return affine{}, wrong("does not say where its samples are, expected one tie point with steps, or a transformation (tags %d and %d, or %d)", tagTiepoints, tagPixelScale, tagTransformation)
	}
	if !isPoint { // what is placed is the corner of the first sample
		a.x0 += (a.xc + a.xr) / 2
		a.y0 += (a.yc + a.yr) / 2
	}
	return a, nil
}

// readNoData reads the value that stands for none.
func (s *tiffSamples) readNoData(entries map[uint16]field) error {
	b, err := s.file.bytes(entries, tagNoData)
	if err != nil {
		return err
	}
	text := strings.Trim(string(b), "\x00 ")
	if text == "" {
		return nil
	}
	if s.noData, err = strconv.ParseFloat(text, 64); err != nil && !math.IsInf(s.noData, 0) {
		return wrong("has the no-data value %q, expected a number", text)
	}
	if s.kind == floating && s.bytes == 4 {
		s.noData = float64(float32(s.noData))
	}
	return nil
}

// IsMetre tells whether the unit of a band is the metre, which it is where none is stated.
func IsMetre(unit string) bool {
	return slices.Contains([]string{"", "m", "metre", "meter", "metres", "meters"}, strings.ToLower(strings.TrimSpace(unit)))
}

// readMetadata reads scale, offset and unit of the first band.
func (s *tiffSamples) readMetadata(entries map[uint16]field) error {
	b, err := s.file.bytes(entries, tagMetadata)
	if err != nil || len(b) == 0 {
		return err
	}
	var all struct {
		Items []struct {
			Sample string `xml:"sample,attr"`
			Role   string `xml:"role,attr"`
			Text   string `xml:",chardata"`
		} `xml:"Item"`
	}
	if err := xml.Unmarshal([]byte(strings.TrimRight(string(b), "\x00")), &all); err != nil {
		return wrong("has metadata under tag %d that cannot be read: %v", tagMetadata, err)
	}
	for _, item := range all.Items {
		if item.Sample != "0" {
			continue
		}
		text := strings.TrimSpace(item.Text)
		number := func(to *float64) error {
			value, err := strconv.ParseFloat(text, 64)
			if err != nil || math.IsNaN(value) || math.IsInf(value, 0) {
				return wrong("has the %s %q, expected a number", item.Role, text)
			}
			*to = value
			return nil
		}
		var err error
		switch item.Role {
		case "scale":
			err = number(&s.scale)
		case "offset":
			err = number(&s.offset)
		case "unittype":
			if !IsMetre(text) {
				err = &Error{Message: fmt.Sprintf("has values in the unit %q, expected metres", text), Hint: unitHint}
			}
		}
		if err != nil {
			return err
		}
	}
	return nil
}
