package raster

import (
	"encoding/binary"
	"io"
	"math"
	"path"
	"regexp"
	"strconv"
)

// heightFileName is how the name of a height file begins: the latitude and longitude of the centre of its south-west sample.
var heightFileName = regexp.MustCompile(`(?i)^([NS])([0-9]{2})([EW])([0-9]{3})(\.|$)`)

const heightVoid = -32768

// rowSamples are samples of 16 bits with a sign, the high byte first, in rows from the start of a file.
type rowSamples struct {
	in    io.ReaderAt
	size  int64
	width int
	rows  cache[[]byte]
}

// openHeightFile opens a tile of one degree of 1201 or 3601 samples a side, rows from the north.
func openHeightFile(name string, in io.ReaderAt, size int64) (*Grid, error) {
	parts := heightFileName.FindStringSubmatch(path.Base(name))
	if parts == nil {
		return nil, &Error{Message: "is a height file by the end of its name, which does not begin with the position of its south-west sample, expected such as N41W020.hgt",
			Hint: "give it the name of its tile, whose position you have to know"}
	}
	side := 0
	for _, known := range [...]int{1201, 3601} {
		if size == int64(known)*int64(known)*2 {
			side = known
		}
	}
	if side == 0 {
		return nil, wrong("is a height file of %d bytes, expected %d (1201 samples a side) or %d (3601)", size, 1201*1201*2, 3601*3601*2)
	}
	degrees := func(digits, letter, negative string) float64 {
		value, _ := strconv.ParseFloat(digits, 64)
		if letter == negative || letter == string(negative[0]+'a'-'A') {
			return -value
		}
		return value
	}
	south, west := degrees(parts[2], parts[1], "S"), degrees(parts[4], parts[3], "W")
	if south < -90 || south > 89 || west < -180 || west > 179 {
		return nil, wrong("has the latitude %g and longitude %g in its name, expected a tile of one degree on the globe", south, west)
	}
	step := 1 / float64(side-1)
	return &Grid{Format: "height file", Width: side, Height: side, EPSG: 4326,
		geo: affine{west, step, 0, south + 1, 0, -step}, samples: &rowSamples{in: in, size: size, width: side}}, nil
}

func (s *rowSamples) block(_, row int) uint64 { return uint64(row) }

func (s *rowSamples) at(column, row int) (float64, error) {
	line, err := s.rows.get(uint64(row), func() ([]byte, int, error) {
		line := make([]byte, 2*s.width)
		err := readAt(s.in, s.size, line, uint64(row)*uint64(len(line)), "row "+strconv.Itoa(row+1))
		return line, len(line), err
	})
	if err != nil {
		return math.NaN(), err
	}
	value := int16(binary.BigEndian.Uint16(line[2*column:]))
	if value == heightVoid {
		return math.NaN(), nil
	}
	return float64(value), nil
}
