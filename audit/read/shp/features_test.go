package shp

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"dryarc/audit/read/shp/shptest"

	"github.com/stretchr/testify/require"
	geom "github.com/twpayne/go-geom"
)

// read reads a shapefile from its parts, as text of a line for each feature.
func read(parts map[string][]byte) ([]string, Account, error) {
	encoding, err := FindEncoding(parts[".cpg"], bytes.NewReader(parts[".dbf"]))
	if err != nil {
		return nil, Account{}, err
	}
	all := Parts{Shapes: bytes.NewReader(parts[".shp"]), Table: bytes.NewReader(parts[".dbf"]), Encoding: encoding}
	if index, given := parts[".shx"]; given {
		all.Index = bytes.NewReader(index)
	}
	var lines []string
	account, err := Read(all, func(f *Feature) error {
		line := fmt.Sprint(f.Number)
		switch g := f.Geometry.(type) {
		case nil:
			line += " nothing"
		default:
			line += fmt.Sprintf(" %T %v", g, g.FlatCoords())
			if _, points := g.(*geom.MultiPoint); !points && (len(g.Ends()) > 1 || len(g.Endss()) > 0) {
				line += fmt.Sprint(" ", g.Ends(), g.Endss())
			}
		}
		if f.Problem != nil {
			line += " " + f.Problem.Error()
		}
		for i, value := range f.Values {
			if day, is := value.(time.Time); is {
				value = day.Format(time.DateOnly)
			}
			line += fmt.Sprintf(" %s=%v", f.Names[i], value)
		}
		lines = append(lines, line)
		return nil
	})
	return lines, account, err
}

func described(t *testing.T, text string) map[string][]byte {
	t.Helper()
	parts, err := shptest.Parts(text)
	require.NoError(t, err)
	return parts
}

func TestShapes(t *testing.T) {
	// two squares that run clockwise, one in the other's hole, and holes that run the other way
	const big, hole = "0 0, 0 9, 9 9, 9 0, 0 0", "1 1, 8 1, 8 8, 1 8, 1 1"
	const island, pond = "3 3, 3 6, 6 6, 6 3, 3 3", "4 4, 5 4, 5 5, 4 5, 4 4"
	const apart = "20 0, 20 9, 29 9, 29 0, 20 0"
	const bigFlat, holeFlat = "0 0 0 9 9 9 9 0 0 0", "1 1 8 1 8 8 1 8 1 1"
	const islandFlat, pondFlat, apartFlat = "3 3 3 6 6 6 6 3 3 3", "4 4 5 4 5 5 4 5 4 4", "20 0 20 9 29 9 29 0 20 0"
	for name, c := range map[string]struct{ text, want string }{
		"point":                   {"type 1\n10 50", "1 *geom.Point [10 50]"},
		"point with a height":     {"type 11\n10 50 4100.5 7", "1 *geom.Point [10 50 4100.5]"},
		"point with a measure":    {"type 21\n10 50 0 7", "1 *geom.Point [10 50]"},
		"point at no number":      {"type 1\nNaN 50", "1 nothing has a coordinate that is not a number"},
		"null":                    {"type 15\nnull", "1 nothing"},
		"points":                  {"type 8\n10 50, 11 51", "1 *geom.MultiPoint [10 50 11 51]"},
		"points with heights":     {"type 18\n10 50 1, 11 51 2", "1 *geom.MultiPoint [10 50 1 11 51 2]"},
		"line":                    {"type 3\n1 2, 3 4", "1 *geom.LineString [1 2 3 4]"},
		"line with measures":      {"type 23\n1 2 0 7, 3 4 0 8", "1 *geom.LineString [1 2 3 4]"},
		"lines with heights":      {"type 13\n1 2 3, 4 5 6/7 8 9, 1 1 1", "1 *geom.MultiLineString [1 2 3 4 5 6 7 8 9 1 1 1] [6 12] []"},
		"position of no number":   {"type 3\n1 2, NaN 4", "1 *geom.MultiPoint [1 2 NaN 4] has a coordinate that is not a number"},
		"another type":            {"type 3\n1 2, 3 4\nset .shp 108 01000000", "1 nothing is of type 1, but the shapes of the file are of type 3"},
		"polygon":                 {"type 5\n" + big, "1 *geom.Polygon [" + bigFlat + "]"},
		"polygon the wrong way":   {"type 5\n" + hole, "1 *geom.Polygon [" + holeFlat + "]"},
		"with heights":            {"type 15\n0 0 1, 0 9 1, 9 9 1, 0 0 1", "1 *geom.Polygon [0 0 1 0 9 1 9 9 1 0 0 1]"},
		"hole":                    {"type 5\n" + big + "/" + hole, "1 *geom.Polygon [" + bigFlat + " " + holeFlat + "] [10 20] []"},
		"hole ahead":              {"type 5\n" + hole + "/" + big, "1 *geom.Polygon [" + bigFlat + " " + holeFlat + "] [10 20] []"},
		"two areas":               {"type 5\n" + big + "/" + apart, "1 *geom.MultiPolygon [" + bigFlat + " " + apartFlat + "] [] [[10] [20]]"},
		"hole of the first":       {"type 5\n" + big + "/" + apart + "/" + hole, "1 *geom.MultiPolygon [" + bigFlat + " " + holeFlat + " " + apartFlat + "] [] [[10 20] [30]]"},
		"island with a pond":      {"type 5\n" + pond + "/" + hole + "/" + big + "/" + island, "1 *geom.MultiPolygon [" + bigFlat + " " + holeFlat + " " + islandFlat + " " + pondFlat + "] [] [[10 20] [30 40]]"},
		"hole that touches":       {"type 5\n" + big + "/0 0, 5 2, 2 5, 0 0", "1 *geom.Polygon [" + bigFlat + " 0 0 5 2 2 5 0 0] [10 18] []"},
		"outer ring left open":    {"type 5\n0 0, 0 9, 9 9, 9 0/" + hole, "1 *geom.Polygon [0 0 0 9 9 9 9 0 " + holeFlat + "] [8 18] []"},
		"all the wrong way":       {"type 5\n" + hole + "/20 0, 29 0, 29 9, 20 0", "1 *geom.MultiPolygon [" + holeFlat + " 20 0 29 0 29 9 20 0] [] [[10] [18]]"},
		"hole in nothing":         {"type 5\n" + apart + "/" + hole, "1 *geom.MultiPoint [" + apartFlat + " " + holeFlat + "] has a ring 2 that runs counter-clockwise, as holes do, and lies in no outer ring"},
		"hole beside, in the box": {"type 5\n0 0, 9 9, 9 0, 0 0/1 7, 2 7, 2 8, 1 7", "1 *geom.MultiPoint [0 0 9 9 9 0 0 0 1 7 2 7 2 8 1 7] has a ring 2 that runs counter-clockwise, as holes do, and lies in no outer ring"},
		"all exchanged": {"type 5\n0 0, 9 0, 9 9, 0 9, 0 0/" + island, "1 *geom.MultiPoint [0 0 9 0 9 9 0 9 0 0 " + islandFlat +
			"] has a ring 1 that runs counter-clockwise, as holes do, and lies in no outer ring"},
		"none clockwise, nested": {"type 5\n" + hole + "/" + pond, "1 *geom.MultiPoint [" + holeFlat + " " + pondFlat + "] has a ring 2 in ring 1, and none that runs clockwise, as outer rings do"},
		"parts beyond":           {"type 3\n1 2, 3 4/5 6, 7 8\nset .shp 156 09000000", "1 nothing has a part 2 from position 9 on, of 4 positions"},
		"more positions":         {"type 3\n1 2, 3 4\nset .shp 148 03000000", "1 nothing has 76 bytes behind its type, expected 92 for its 1 parts and 3 positions"},
		"no end of positions":    {"type 3\n1 2, 3 4\nset .shp 148 ffffffff", "1 nothing has 76 bytes behind its type, expected 68719476764 for its 1 parts and 4294967295 positions"},
	} {
		t.Run(name, func(t *testing.T) {
			lines, account, err := read(described(t, c.text))
			require.NoError(t, err)
			require.Equal(t, []string{c.want}, lines)
			require.Equal(t, Account{Features: 1}, account)
		})
	}
}

func TestValues(t *testing.T) {
	const fields = "type 1\nfield t C 8\nfield n N 8 2\nfield f F 8\nfield d D 8\nfield l L 1\n"
	for name, c := range map[string]struct {
		text string
		want string
	}{
		"values":       {fields + "1 2 | Süd | -7.50 | 1e3 | 20240131 | T", "1 *geom.Point [1 2] t=Süd n=-7.50 f=1e3 d=2024-01-31 l=true"},
		"blanks":       {fields + "1 2", "1 *geom.Point [1 2] t=<nil> n=<nil> f=<nil> d=<nil> l=<nil>"},
		"no values":    {fields + "1 2 | * | ******** | * | 00000000 | ?", "1 *geom.Point [1 2] t=* n=<nil> f=<nil> d=<nil> l=<nil>"},
		"no numbers":   {fields + "1 2 | 1 | 7,5 | 007 | 20241331 | x", "1 *geom.Point [1 2] t=1 n=7,5 f=007 d=20241331 l=x"},
		"false":        {fields + "1 2 | | -0 | .5 | | n", "1 *geom.Point [1 2] t=<nil> n=-0 f=.5 d=<nil> l=false"},
		"text and end": {fields + "1 2 | abcdefgh | 1. | +1 | | N", "1 *geom.Point [1 2] t=abcdefgh n=1. f=+1 d=<nil> l=false"},
	} {
		t.Run(name, func(t *testing.T) {
			lines, _, err := read(described(t, c.text))
			require.NoError(t, err)
			require.Equal(t, []string{c.want}, lines)
		})
	}
	_, account, err := read(described(t, fields+"1 2 | * | *** | **"))
	require.NoError(t, err)
	require.Equal(t, Account{Features: 1, Starred: 2}, account)
}

func TestNumbersAreThoseOfJSON(t *testing.T) {
	for text, want := range map[string]bool{
		"0": true, "-0.5": true, "12e-3": true, "1E+05": true, "": false, "-": false, "01": false, ".5": false, "1.": false, "1e": false, "1,5": false, "nan": false, "0x1": false, "1 2": false,
	} {
		require.Equal(t, want, isNumber(text), text)
	}
}

// Rows that are marked as deleted go with their shapes; the numbers of the others stay.
func TestDeletedRows(t *testing.T) {
	lines, account, err := read(described(t, "type 1\nfield t C 2\n* 1 1 | a\n2 2 | b\n* 3 3 | c\n4 4 | d"))
	require.NoError(t, err)
	require.Equal(t, []string{"2 *geom.Point [2 2] t=b", "4 *geom.Point [4 4] t=d"}, lines)
	require.Equal(t, Account{Features: 2, Deleted: 2}, account)
}

func TestEncodings(t *testing.T) {
	const fields = "type 1\nfield t C 6\n"
	for name, c := range map[string]struct{ text, want, encoding string }{
		"ASCII":                {fields + "1 2 | a", "a", "UTF-8 "},
		"UTF-8":                {fields + "1 2 | Süd", "Süd", "UTF-8 since all of them are in it and nothing says otherwise"},
		"neither":              {fields + "latin1\n1 2 | Süd", "Süd", "Windows-1252 since not all of them are in UTF-8 and nothing says in what they are"},
		"named UTF-8":          {fields + "part .cpg UTF-8\n1 2 | Süd", "Süd", "UTF-8 as its .cpg says"},
		"named by number":      {fields + "part .cpg 65001\n1 2 | Süd", "Süd", "UTF-8 as its .cpg says"},
		"named ISO-8859-1":     {fields + "latin1\npart .cpg ISO-8859-1\n1 2 | Süd", "Süd", "ISO-8859-1 as its .cpg says"},
		"named 88591":          {fields + "latin1\npart .cpg 88591\n1 2 | Süd", "Süd", "ISO-8859-1 as its .cpg says"},
		"named ANSI 1251":      {fields + "latin1\npart .cpg ANSI 1251\n1 2 | þã", "юг", "Windows-1251 as its .cpg says"},
		"named OEM 850":        {fields + "latin1\npart .cpg OEM 850\n1 2 | S\u0081d", "Süd", "code page 850 as its .cpg says"},
		"ends beyond ASCII":    {fields + "latin1\n1 2 | abcdeü", "abcdeü", "Windows-1252 since not all of them are in UTF-8 and nothing says in what they are"},
		"ends beyond, in ä":    {fields + "latin1\n1 2 | abcdeä", "abcdeä", "Windows-1252 since not all of them are in UTF-8 and nothing says in what they are"},
		"driver 1252":          {fields + "latin1\ndriver 87\n1 2 | Süd", "Süd", "Windows-1252 as the language driver 87 of its .dbf says"},
		"driver 437":           {fields + "latin1\ndriver 1\n1 2 | S\u0081d", "Süd", "code page 437 as the language driver 1 of its .dbf says"},
		"driver not known":     {fields + "driver 254\n1 2 | Süd", "Süd", "UTF-8 since all of them are in it and nothing says otherwise"},
		"cut in the middle":    {fields + "part .cpg UTF-8\n1 2 | abcdeü", "abcde", "UTF-8 as its .cpg says"},
		"name wins the driver": {fields + "driver 87\npart .cpg UTF-8\n1 2 | Süd", "Süd", "UTF-8 as its .cpg says"},
	} {
		t.Run(name, func(t *testing.T) {
			parts := described(t, c.text)
			lines, _, err := read(parts)
			require.NoError(t, err)
			require.Equal(t, []string{"1 *geom.Point [1 2] t=" + c.want}, lines)
			encoding, err := FindEncoding(parts[".cpg"], bytes.NewReader(parts[".dbf"]))
			require.NoError(t, err)
			require.Equal(t, c.encoding, encoding.Name+" "+encoding.Why)
			require.Equal(t, encoding.Name == "Windows-1252" && strings.HasPrefix(encoding.Why, "since"), encoding.Guessed)
		})
	}
	for _, page := range driverPages {
		_, ok := EncodingNamed(fmt.Sprint(page))
		require.True(t, ok, page)
	}
}

// Every shapefile that is damaged is refused with the figures that disagree.
func TestDamage(t *testing.T) {
	const two = "type 1\nfield t C 2\n1 2 | a\n3 4 | b\n"
	for text, want := range map[string]string{
		"cut .shp 1":                          ".shp ends in the middle of record 2, after 19 of its 20 bytes",
		"cut .shp 24":                         ".shp ends in the middle of record 2; its header says that it has 156 bytes",
		"cut .shp 100":                        ".shp ends in the middle of its header",
		"set .shp 0 00000001":                 ".shp starts with the code 1, expected 9994",
		"set .shp 28 01000000":                ".shp is of version 1, expected 1000",
		"set .shp 32 1f000000":                ".shp has shapes of the type 31 (multipatch), expected points, lines or polygons",
		"set .shp 32 02000000":                ".shp has shapes of the type 2, expected points, lines or polygons",
		"set .shp 24 00000001":                ".shp says in its header that it has 2 bytes, expected no less than the 100 of the header",
		"set .shp 24 00000040":                ".shp goes on behind the 128 bytes that its header gives it",
		"set .shp 24 00000041":                ".shp has in record 2 a shape of 20 bytes, of which the 130 that its header gives the file leave 0",
		"set .shp 24 0000004f":                ".shp ends in the middle of record 3; its header says that it has 158 bytes",
		"set .shp 104 0fffffff":               ".shp has in record 1 a shape of 536870910 bytes, of which the 156 that its header gives the file leave 48",
		"set .shp 128 00000003":               ".shp has a record with the number 3 where that with 2 should be",
		"set .shx 100 00000034":               ".shx says that shape 1 has 20 bytes from byte 104 on, but it has 20 from 100 on",
		"set .shx 24 0000003e":                ".shx has 3 entries, but there are 2 shapes",
		"set .shx 24 00000036":                ".shx has 1 entries, but the shapes have a record 2",
		"cut .shx 3":                          ".shx ends in the middle of entry 2",
		"set .dbf 4 01000000":                 ".dbf has 1 rows, but the shapes go on with record 2",
		"set .dbf 4 03000000":                 ".dbf ends in the middle of row 3 of 3",
		"part .cpg 1252\nset .dbf 4 03000000": ".dbf has 3 rows, but there are 2 shapes",
		"cut .dbf 3":                          ".dbf ends in the middle of row 2 of 2",
		"set .dbf 10 0400":                    ".dbf says that each row has 4 bytes, but its fields have 3",
		"set .dbf 8 2000":                     ".dbf says that its header has 32 bytes and each row 3, expected more than 32 and 1",
		"set .dbf 65 7878":                    ".dbf has a row 1 that starts with \"x\", expected a blank or, of a deleted one, an asterisk",
		"set .dbf 43 4d":                      ".dbf has the memo field \"t\", whose texts are in another file, expected texts, numbers, dates and logical values",
		"set .dbf 43 40":                      ".dbf has the field \"t\" of the type \"@\", expected C, N, F, D or L",
		"set .dbf 64 20":                      ".dbf has fields that do not end within its header",
		"set .dbf 71 20":                      ".dbf goes on behind the 2 rows that its header gives it",
		"part .cpg EBCDIC":                    "the part .cpg names the encoding \"EBCDIC\", which is not known",
		"part .cpg UTF-8\nset .dbf 66 e420":   "row 1 of the table has in \"t\" a text that is not in UTF-8, \"\\xe4\"",
		"set .dbf 66 e481":                    "row 1 of the table has in \"t\" a text that has the byte 0x81, which Windows-1252 does not define",
	} {
		_, _, err := read(described(t, two+text))
		require.EqualError(t, err, want, text)
	}
}

// What the reader below says is told as it is.
func TestErrorsOfTheReader(t *testing.T) {
	parts := described(t, "type 1\nfield t C 2\n1 2 | a")
	for _, failing := range []Part{Shapes, Table} {
		all := Parts{Shapes: bytes.NewReader(parts[".shp"]), Table: bytes.NewReader(parts[".dbf"]), Encoding: Encoding{Name: utf8Name}}
		broken := io.MultiReader(bytes.NewReader(parts[string(failing)][:40]), errorReader{})
		if failing == Shapes {
			all.Shapes = broken
		} else {
			all.Table = broken
		}
		_, err := Read(all, func(*Feature) error { return nil })
		require.ErrorIs(t, err, errBroken)
	}
}

var errBroken = fmt.Errorf("the disk is gone")

type errorReader struct{}

func (errorReader) Read([]byte) (int, error) { return 0, errBroken }

// FuzzRead holds whatever is read to be sound: finite positions, rings of a polygon that are all there, as many values as
// fields.
func FuzzRead(f *testing.F) {
	for _, text := range []string{
		"type 1\nfield t C 2\n1 2 | a\n* 3 4 | b", "type 5\nfield n N 4\n0 0, 0 9, 9 9, 9 0, 0 0/1 1, 8 1, 8 8, 1 8, 1 1 | 7\nnull | 8",
		"type 13\nfield d D 8\n1 2 3, 4 5 6/7 8 9, 1 1 1 | 20240101", "type 28\nlatin1\nfield t C 4\n1 2, 3 4 | Süd", "type 11\nfield l L 1\n1 2 3 | T",
	} {
		parts, err := shptest.Parts(text)
		require.NoError(f, err)
		f.Add(parts[".shp"], parts[".dbf"], parts[".shx"], "")
		f.Add(parts[".shp"], parts[".dbf"], []byte(nil), "1252")
	}
	f.Fuzz(func(t *testing.T, shapes, table, index []byte, page string) {
		encoding, err := FindEncoding([]byte(page), bytes.NewReader(table))
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		parts := Parts{Shapes: bytes.NewReader(shapes), Table: bytes.NewReader(table), Encoding: encoding}
		if len(index) > 0 {
			parts.Index = bytes.NewReader(index)
		}
		count, last := 0, uint32(0)
		account, err := Read(parts, func(feature *Feature) error {
			count++
			require.Greater(t, feature.Number, last)
			last = feature.Number
			require.Len(t, feature.Values, len(feature.Names))
			if feature.Problem == nil && feature.Geometry != nil {
				requireSound(t, feature.Geometry)
			}
			return nil
		})
		require.Equal(t, account.Features, count)
		if err == nil {
			require.Equal(t, int(last) >= count, true)
		}
	})
}

func requireSound(t *testing.T, shape geom.T) {
	t.Helper()
	flat := shape.FlatCoords()
	require.NotEmpty(t, flat)
	for _, value := range flat {
		require.Zero(t, value-value, "finite") //nolint:staticcheck // NaN and infinities differ from themselves by NaN
	}
	ends := shape.Ends()
	for _, more := range shape.Endss() {
		ends = append(ends, more...)
	}
	before := 0
	for _, end := range ends {
		require.Greater(t, end, before)
		before = end
	}
	if len(ends) > 0 {
		require.Equal(t, len(flat), before)
	}
}
