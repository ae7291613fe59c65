package raster

import (
	"bufio"
	"bytes"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
)

// textSamples are the numbers of an ASCII grid. Where its rows start is found once; a row is read when it is asked for.
type textSamples struct {
	in     io.ReaderAt
	starts []int64 // of the rows, and the end of the last
	width  int
	void   float64 // NaN where none is stated
	rows   cache[[]float64]
}

// mostHeadBytes is how long the head of a grid may be, mostRowBytes how long a row (choices of this program).
const (
	mostHeadBytes = 4096
	mostRowBytes  = largestBlock
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
	starts, err := rowStarts(in, int64(start), size, width, height)
	if err != nil {
		return nil, err
	}
	return &Grid{Format: "ASCII grid", Width: width, Height: height, geo: affine{x0, dx, 0, y0 + dy*float64(height-1), 0, -dy},
		samples: &textSamples{in: in, starts: starts, width: width, void: void}}, nil
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

// rowStarts finds where each row starts by counting its numbers.
func rowStarts(in io.ReaderAt, start, size int64, width, height int) ([]int64, error) {
	starts := []int64{start}
	read := bufio.NewReaderSize(io.NewSectionReader(in, start, size-start), 64<<10)
	at, count, inNumber := start, 0, false
	total := int64(0)
	for {
		b, err := read.ReadByte()
		if err != nil && err != io.EOF {
			return nil, err
		}
		space := err == io.EOF || isSpace(b)
		if inNumber && space {
			total++
			if count++; count == width {
				count = 0
				if at-starts[len(starts)-1] > mostRowBytes {
					return nil, wrong("has a row of %d bytes, expected %d at most", at-starts[len(starts)-1], mostRowBytes)
				}
				starts = append(starts, at)
			}
		}
		if err == io.EOF {
			break
		}
		inNumber = !space
		at++
	}
	if want := int64(width) * int64(height); total != want {
		return nil, wrong("holds %d numbers, expected %d columns times %d rows, which is %d", total, width, height, want)
	}
	return starts, nil
}

func (s *textSamples) block(_, row int) uint64 { return uint64(row) }

func (s *textSamples) at(column, row int) (float64, error) {
	values, err := s.rows.get(uint64(row), func() ([]float64, int, error) {
		text := make([]byte, s.starts[row+1]-s.starts[row])
		if err := readAt(s.in, s.starts[row]+int64(len(text)), text, uint64(s.starts[row]), "row "+strconv.Itoa(row+1)); err != nil {
			return nil, 0, err
		}
		values := make([]float64, 0, s.width)
		for word := range strings.FieldsSeq(string(text)) {
			value, err := strconv.ParseFloat(word, 64)
			if err != nil {
				return nil, 0, wrong("has %q in row %d, column %d, expected a number", word[:min(len(word), 40)], row+1, len(values)+1)
			}
			if value == s.void || math.IsInf(value, 0) {
				value = math.NaN()
			}
			values = append(values, value)
		}
		if len(values) != s.width {
			return nil, 0, wrong("has %d numbers in row %d, expected %d: it was changed while it was read", len(values), row+1, s.width)
		}
		return values, 8 * len(values), nil
	})
	if err != nil {
		return math.NaN(), err
	}
	return values[column], nil
}
