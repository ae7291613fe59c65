package raster

import (
	"bufio"
	"bytes"
	"cmp"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// textSamples are the numbers of an ASCII grid, row by row. Where its windows start is found once; one is read when it is asked for.
type textSamples struct {
	in            io.ReaderAt
	windows       []textWindow
	width, height int
	void          float64 // NaN where none is stated
	read          cache[[]float64]
}

// textWindow is a part of the text with whole numbers, whatever its rows.
type textWindow struct {
	first      int64 // number
	start, end int64 // bytes
}

// mostHeadBytes is how long the head of a grid may be, windowBytes how many bytes behind the start of a window a number still starts in it,
// mostNumberBytes how long a number may be (choices of this program).
const (
	mostHeadBytes   = 4096
	windowBytes     = 64 << 10
	mostNumberBytes = 4096
)

var headKeys = [...]string{"ncols", "nrows", "xllcorner", "yllcorner", "xllcenter", "yllcenter", "cellsize", "nodata_value", "dx", "dy"}

func isText(start []byte) bool {
	text := strings.ToLower(string(bytes.TrimLeft(bytes.TrimPrefix(start, []byte("\xef\xbb\xbf")), " \t\r\n")))
	return slices.ContainsFunc(headKeys[:], func(key string) bool {
		return text != "" && (strings.HasPrefix(text, key) || len(text) >= 2 && strings.HasPrefix(key, text))
	})
}

// openText opens an ASCII grid, whose rows stand from the north.
func openText(in io.ReaderAt, size int64) (*Grid, error) {
	head := make([]byte, min(size, mostHeadBytes))
	if err := readAt(in, size, head, 0, "its head"); err != nil {
		return nil, err
	}
	stated, start, err := readHead(head)
	if err != nil {
		return nil, err
	}
	number := func(keys ...string) (float64, string, error) {
		for _, key := range keys {
			if text, ok := stated[key]; ok {
				value, err := strconv.ParseFloat(text, 64)
				if err != nil || math.IsNaN(value) || math.IsInf(value, 0) {
					return 0, "", wrong("has %s %q in its head, expected a number", key, text)
				}
				return value, key, nil
			}
		}
		return 0, "", wrong("has no %s in its head", strings.Join(keys, " or "))
	}
	count := func(key string) (int, error) {
		value, _, err := number(key)
		if err != nil {
			return 0, err
		}
		if value != math.Trunc(value) || value < 1 || value > float64(size) {
			return 0, wrong("has %s %q in its head, expected a whole number from 1, and no more than a file of %d bytes can hold", key, stated[key], size)
		}
		return int(value), nil
	}
	width, err := count("ncols")
	if err != nil {
		return nil, err
	}
	height, err := count("nrows")
	if err != nil {
		return nil, err
	}
	if int64(width) > size/int64(height) {
		return nil, wrong("has %d columns and %d rows in its head, more than a file of %d bytes can hold", width, height, size)
	}
	x0, xKey, err := number("xllcenter", "xllcorner")
	if err != nil {
		return nil, err
	}
	y0, yKey, err := number("yllcenter", "yllcorner")
	if err != nil {
		return nil, err
	}
	dx, _, err := number("dx", "cellsize")
	if err != nil {
		return nil, err
	}
	dy, _, err := number("dy", "cellsize")
	if err != nil {
		return nil, err
	}
	if dx <= 0 || dy <= 0 {
		return nil, wrong("has cells of %g by %g in its head, expected more than 0", dx, dy)
	}
	if xKey == "xllcorner" {
		x0 += dx / 2
	}
	if yKey == "yllcorner" {
		y0 += dy / 2
	}
	void := math.NaN()
	if text := stated["nodata_value"]; text != "" {
		if void, err = strconv.ParseFloat(text, 64); err != nil {
			return nil, wrong("has NODATA_value %q in its head, expected a number", text)
		}
	}
	windows, err := textWindows(in, int64(start), size, width, height)
	if err != nil {
		return nil, err
	}
	return &Grid{Format: "ASCII grid", Width: width, Height: height, geo: affine{x0, dx, 0, y0 + dy*float64(height-1), 0, -dy},
		samples: &textSamples{in: in, windows: windows, width: width, height: height, void: void}}, nil
}

// readHead reads the keys of a head, and where the numbers start.
func readHead(head []byte) (stated map[string]string, start int, err error) {
	stated = map[string]string{}
	if bytes.HasPrefix(head, []byte("\xef\xbb\xbf")) {
		start = 3
	}
	for {
		start += len(head[start:]) - len(bytes.TrimLeft(head[start:], " \t\r\n"))
		rest := head[start:]
		if len(rest) > 0 && !startsKey(rest) {
			return stated, start, nil
		}
		end := bytes.IndexByte(rest, '\n')
		if end < 0 && len(head) < mostHeadBytes {
			return nil, 0, wrong("ends in its head, or has no line end behind it, expected a line for each of ncols, nrows, the lower left corner or centre, cellsize and NODATA_value, and lines of numbers")
		}
		if end < 0 {
			return nil, 0, wrong("has no end of its head within %d bytes, expected a line for each of ncols, nrows, the lower left corner or centre, cellsize and NODATA_value", len(head))
		}
		words := strings.Fields(string(rest[:end]))
		key := strings.ToLower(words[0])
		if !slices.Contains(headKeys[:], key) || len(words) != 2 {
			return nil, 0, wrong("has the line %q in its head, expected one of %s with a number", strings.TrimSpace(string(rest[:min(end, 80)])), strings.Join(headKeys[:], ", "))
		}
		if _, twice := stated[key]; twice {
			return nil, 0, wrong("has %s twice in its head", key)
		}
		stated[key] = words[1]
		start += end + 1
	}
}

// startsKey tells whether a line that starts so is one of a head: it starts with a letter, which of numbers NaN does alone.
func startsKey(line []byte) bool {
	first := line[0] | 0x20
	return first >= 'a' && first <= 'z' && !(len(line) >= 4 && strings.EqualFold(string(line[:3]), "nan") && isSpace(line[3]))
}

func isSpace(b byte) bool { return b == ' ' || b == '\t' || b == '\n' || b == '\r' }

// textWindows finds where each window starts by counting numbers.
func textWindows(in io.ReaderAt, start, size int64, width, height int) (windows []textWindow, err error) {
	read := bufio.NewReaderSize(io.NewSectionReader(in, start, size-start), 64<<10)
	var w *textWindow
	at, count, number := start, int64(0), int64(-1) // number: where the one at hand starts
	for {
		b, err := read.ReadByte()
		if err != nil && err != io.EOF {
			return nil, err
		}
		switch space := err == io.EOF || isSpace(b); {
		case space && number >= 0:
			count++
			w.end, number = at, -1
		case !space && number < 0:
			if number = at; w == nil || number-w.start >= windowBytes {
				windows = append(windows, textWindow{first: count, start: number})
				w = &windows[len(windows)-1]
			}
		case !space && at-number >= mostNumberBytes:
			return nil, wrong("has a number of more than %d bytes in row %d, column %d", mostNumberBytes, count/int64(width)+1, count%int64(width)+1)
		}
		if err == io.EOF {
			break
		}
		at++
	}
	if want := int64(width) * int64(height); count != want {
		return nil, wrong("holds %d numbers, expected %d columns times %d rows, which is %d", count, width, height, want)
	}
	return windows, nil
}

// block is the window of a sample.
func (s *textSamples) block(column, row int) uint64 {
	number := int64(row)*int64(s.width) + int64(column)
	i, starts := slices.BinarySearchFunc(s.windows, number, func(w textWindow, number int64) int { return cmp.Compare(w.first, number) })
	if !starts {
		i--
	}
	return uint64(i)
}

func (s *textSamples) at(column, row int) (float64, error) {
	block := s.block(column, row)
	w := &s.windows[block]
	values, err := s.read.get(block, func() ([]float64, int, error) {
		text := make([]byte, w.end-w.start)
		if err := readAt(s.in, w.end, text, uint64(w.start), "its numbers"); err != nil {
			return nil, 0, err
		}
		count := int64(s.width)*int64(s.height) - w.first
		if int(block)+1 < len(s.windows) {
			count = s.windows[block+1].first - w.first
		}
		values := make([]float64, 0, count)
		for word := range bytes.FieldsFuncSeq(text, func(r rune) bool { return r < utf8.RuneSelf && isSpace(byte(r)) }) {
			value, err := strconv.ParseFloat(string(word), 64)
			if err != nil {
				number := w.first + int64(len(values))
				return nil, 0, wrong("has %q in row %d, column %d, expected a number", word[:min(len(word), 40)], number/int64(s.width)+1, number%int64(s.width)+1)
			}
			if value == s.void || math.IsInf(value, 0) {
				value = math.NaN()
			}
			values = append(values, value)
		}
		if int64(len(values)) != count {
			return nil, 0, wrong("has %d numbers where it had %d: it was changed while it was read", len(values), count)
		}
		return values, 8 * len(values), nil
	})
	if err != nil {
		return math.NaN(), err
	}
	return values[int64(row)*int64(s.width)+int64(column)-w.first], nil
}
