package read

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strconv"
	"strings"

	"dryarc/audit/read/raster"
)

// largestSidecar is how long a file of statistics beside a raster may be, in bytes (a choice of this program).
const largestSidecar = 16 << 20

// refuseSidecars refuses a raster beside which a file says what its samples mean: NAME.aux.xml with another scale, unit or value for none,
// or the mask NAME.msk. These are not read, and without them samples would be taken for levels that they are not.
func refuseSidecars(folder string, names ...string) error {
	for _, name := range names {
		mask := name + ".msk"
		if _, err := os.Stat(pathIn(folder, mask)); err == nil {
			return &InputError{File: name, Message: fmt.Sprintf("has the mask %s beside it, which says where it has no values, expected a no-data value in their place", mask), Hint: terrainHint}
		}
		aux := name + ".aux.xml"
		said, err := auxiliary(pathIn(folder, aux))
		switch {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			return &InputError{File: aux, Message: fmt.Sprintf("cannot be read: %v", err), Hint: "take it away where it says nothing of the values of " + name, Err: err}
		case said != "":
			return &InputError{File: aux, Message: fmt.Sprintf("has %s for %s, which does not say so itself", said, name), Hint: "write it into the file, for example: gdal_translate IN OUT.tif; levels in another unit calculate in metres"}
		}
	}
	return nil
}

// auxiliary is what an auxiliary file says of the values of the first band, in its words; empty where it leaves them as they are.
func auxiliary(path string) (string, error) {
	in, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer in.Close()
	if info, err := in.Stat(); err != nil || !info.Mode().IsRegular() || info.Size() > largestSidecar {
		return "", errors.Join(err, fmt.Errorf("expected a file of %d bytes at most", largestSidecar))
	}
	var all struct {
		Bands []struct {
			Number string  `xml:"band,attr"`
			Void   *string `xml:"NoDataValue"`
			Scale  string  `xml:"Scale"`
			Offset string  `xml:"Offset"`
			Unit   string  `xml:"UnitType"`
		} `xml:"PAMRasterBand"`
	}
	if err := xml.NewDecoder(io.LimitReader(in, largestSidecar)).Decode(&all); err != nil {
		return "", err
	}
	for _, band := range all.Bands {
		is := func(text string, neutral float64) bool {
			value, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
			return text == "" || err == nil && value == neutral
		}
		switch {
		case band.Number != "" && band.Number != "1":
		case band.Void != nil:
			return fmt.Sprintf("the NoDataValue %q", strings.TrimSpace(*band.Void)), nil
		case !is(band.Scale, 1):
			return fmt.Sprintf("the Scale %q", band.Scale), nil
		case !is(band.Offset, 0):
			return fmt.Sprintf("the Offset %q", band.Offset), nil
		case !raster.IsMetre(band.Unit):
			return fmt.Sprintf("the UnitType %q", band.Unit), nil
		}
	}
	return "", nil
}
