package read

import (
	"archive/zip"
	"bytes"
	"context"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit/read/gdaltest"
	"dryarc/audit/read/shp/shptest"
	"dryarc/geo"

	"github.com/stretchr/testify/require"
)

func shapefileParts(t testing.TB, description string) map[string][]byte {
	t.Helper()
	parts, err := shptest.Parts(description)
	require.NoError(t, err)
	return parts
}

// zipped is an archive of shapefiles and other files, each below its path in brackets.
func zipped(t testing.TB, description string) []byte {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	add := func(name string, content []byte) {
		file, err := w.Create(name)
		require.NoError(t, err)
		_, err = file.Write(content)
		require.NoError(t, err)
	}
	for entry := range strings.SplitSeq("\n"+description, "\n[") {
		name, text, found := strings.Cut(entry, "]\n")
		stem, isShapes := strings.CutSuffix(name, ".shp")
		switch {
		case !found:
		case isShapes && !strings.Contains(name, "/._"):
			parts := shapefileParts(t, text)
			for _, extension := range slices.Sorted(maps.Keys(parts)) {
				add(stem+extension, parts[extension])
			}
		default:
			add(name, []byte(text))
		}
	}
	require.NoError(t, w.Close())
	return out.Bytes()
}

// describedSystems is where the texts are that GDAL has for the systems that are read: the dialect of shapefiles, and the
// common one without its codes. A line is the code of a system and a text.
const describedSystems = "../../testdata/projections.tsv"

// TestProjectionsOfGDAL holds every system that is read to be known again from what GDAL writes of it into a part .prj: as
// itself, or as one whose positions are the same. DRYARC_UPDATE=1 asks GDAL anew.
func TestProjectionsOfGDAL(t *testing.T) {
	if os.Getenv("DRYARC_UPDATE") != "" {
		writeDescribedSystems(t)
	}
	recorded, err := os.ReadFile(describedSystems)
	require.NoError(t, err)
	found := map[int]int{}
	for line := range strings.Lines(string(recorded)) {
		number, text, _ := strings.Cut(strings.TrimSpace(line), "\t")
		code, err := strconv.Atoi(number)
		require.NoError(t, err)
		want, known := systemOf(code)
		require.True(t, known, line)
		node, ok := readWKT(text)
		require.True(t, ok, line)
		got, ok := systemDescribed(&node)
		require.True(t, ok, line)
		require.Equal(t, want.project, got.project, "%s is taken as %s", want, got)
		require.True(t, want.project != nil || want.code == got.code, line)
		found[code]++
	}
	for _, code := range codesToDescribe() {
		require.Positive(t, found[code], code)
	}
}

// codesToDescribe are the first and the last code of each family, and all others that are read.
func codesToDescribe() (codes []int) {
	for _, g := range families() {
		codes = append(codes, g.first, g.last)
	}
	for _, g := range geographics() {
		codes = append(codes, g.code)
	}
	codes = append(codes, wgs84, webMercator)
	slices.Sort(codes)
	return slices.Compact(codes)
}

func writeDescribedSystems(t *testing.T) {
	t.Helper()
	var out strings.Builder
	for _, code := range codesToDescribe() {
		for _, dialect := range []string{"wkt_esri", "wkt1"} {
			if dialect == "wkt1" && code == webMercator {
				continue // it describes another projection there, and the right one in words of its own
			}
			text := strings.TrimSpace(gdaltest.Run(t, t.TempDir(), "gdalsrsinfo", "-o", dialect, "--single-line", "EPSG:"+strconv.Itoa(code)))
			fmt.Fprintf(&out, "%d\t%s\n", code, withoutCodes(text))
		}
	}
	require.NoError(t, os.WriteFile(describedSystems, []byte(out.String()), 0o644))
}

// withoutCodes takes the nodes AUTHORITY out of a text.
func withoutCodes(text string) string {
	for {
		at := strings.Index(text, ",AUTHORITY[")
		if at < 0 {
			at = strings.Index(text, "AUTHORITY[")
		}
		if at < 0 {
			return text
		}
		end := at + strings.IndexByte(text[at:], ']') + 1
		text = strings.TrimRight(strings.TrimRight(text[:at], " \n"), ",") + text[end:]
	}
}

// TestProjectionsThatAreNotRead holds what is close to a known system to be refused.
func TestProjectionsThatAreNotRead(t *testing.T) {
	const sound = `PROJCS["WGS_1984_UTM_Zone_19S",GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],` +
		`UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",10000000.0],` +
		`PARAMETER["Central_Meridian",-69.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]`
	described := func(text string) string {
		node, ok := readWKT(text)
		if !ok {
			return "no text"
		}
		s, ok := systemDescribed(&node)
		if !ok {
			return "not known"
		}
		return s.String()
	}
	require.Equal(t, "EPSG:32719", described(sound))
	require.Equal(t, "EPSG:32719", described(sound+`,VERTCS["EGM96_Geoid",VDATUM["EGM96_Geoid"],PARAMETER["Vertical_Shift",0.0],UNIT["Meter",1.0]]`))
	require.Equal(t, "EPSG:32719", described(`COMPD_CS["both",`+sound+`,VERT_CS["heights",UNIT["metre",1]]]`))
	require.Equal(t, "EPSG:32718", described(strings.Replace(sound, "-69.0", "-75", 1)))
	for was, is := range map[string]string{
		"D_WGS_1984": "D_South_American_1969", "Transverse_Mercator": "Lambert_Conformal_Conic", "500000.0": "500000.1", "10000000.0": "1e6", "-69.0": "-69.01",
		"0.9996": "0.9999", `Origin",0.0`: `Origin",1.0`, `"Meter",1.0`: `"Foot_US",0.3048006096012192`, `"Greenwich",0.0`: `"Paris",2.33722917`, "0.0174532925199433": "0.01570796326794897",
		"False_Northing": "Northing", "Latitude_Of_Origin": "Azimuth",
	} {
		require.Contains(t, sound, was)
		require.Equal(t, "not known", described(strings.Replace(sound, was, is, 1)), "%s for %s", is, was)
	}
	for _, text := range []string{"", "EPSG:32719", `PROJCS["x"`, `PROJCS["x",]`, `PROJCS["x" "y"]`, `["x"]`, `PROJCS["x]`, strings.Repeat("A[", 100) + strings.Repeat("]", 100), sound + "x"} {
		require.Equal(t, "no text", described(text), text)
	}
	for i := range sound {
		if got := described(sound[:i]); got != "no text" {
			require.Equal(t, "not known", got, sound[:i])
		}
	}
}

// TestLongNotes holds that parts that are one line of text are refused where they are much longer, and not taken for what their start is.
func TestLongNotes(t *testing.T) {
	const description = "type 1\nfield line C 4\nfield structure C 4\n10 50 | L1 | 1\n10.003 50 | L1 | 2"
	for part, c := range map[string]struct {
		blanks int
		long   bool
	}{".prj": {70_000, true}, ".cpg": {70_000, true}, ".prj ": {60_000, false}} {
		b := newBase()
		b.project = "structures: {file: towers.shp}\n"
		path := b.write(t)
		parts := shapefileParts(t, description)
		name := strings.TrimSpace(part)
		parts[name] = append([]byte(strings.Repeat(" ", c.blanks)), parts[name]...)
		for extension, content := range parts {
			require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), "towers"+extension), content, 0o600))
		}
		p, err := Project(context.Background(), path)
		if !c.long {
			require.NoError(t, err)
			require.Equal(t, 2, p.Structures.Len())
			continue
		}
		requireInputError(t, err, fmt.Sprintf("towers.shp: has a part %s of more than 65536 bytes, expected one line of text", name),
			fmt.Sprintf("look at it with an editor: it may be blanks, or no %s at all; export the layer again", name))
	}
}

// TestPartsThatAreNoFiles holds that a part that is a pipe or a device is refused by its name, and neither waited for nor read.
func TestPartsThatAreNoFiles(t *testing.T) {
	for _, part := range []string{".cpg", ".prj", ".dbf", ".shx"} {
		b := newBase()
		b.project = "structures: {file: towers.shp}\n"
		path := b.write(t)
		for extension, content := range shapefileParts(t, "type 1\nfield line C 4\nfield structure C 4\n10 50 | L1 | 1\n10.003 50 | L1 | 2") {
			if extension != part {
				require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), "towers"+extension), content, 0o600))
			}
		}
		require.NoError(t, os.Symlink(os.DevNull, filepath.Join(filepath.Dir(path), "towers"+part)))
		_, err := Project(context.Background(), path)
		requireInputError(t, err, fmt.Sprintf("towers%[1]s: is no regular file, expected the part %[1]s of a shapefile", part), shapesHint)
	}
}

// TestDamagedFilesOfAnArchive holds that a file of an archive that cannot be unpacked is told with both names, whichever part it is.
func TestDamagedFilesOfAnArchive(t *testing.T) {
	parts := shapefileParts(t, "type 1\nfield line C 4\nfield structure C 4\n10 50 | L1 | 1\n10.003 50 | L1 | 2")
	for damaged := range parts {
		b := newBase()
		b.project = "structures: {file: layers.zip}\n"
		path := b.write(t)
		var packed bytes.Buffer
		w := zip.NewWriter(&packed)
		for extension, content := range parts {
			header := &zip.FileHeader{Name: "towers" + extension, Method: zip.Deflate}
			if extension != damaged {
				file, err := w.CreateHeader(header)
				require.NoError(t, err)
				_, err = file.Write(content)
				require.NoError(t, err)
				continue
			}
			header.UncompressedSize64, header.CompressedSize64 = uint64(len(content)), 4
			file, err := w.CreateRaw(header)
			require.NoError(t, err)
			_, err = file.Write([]byte{0xff, 0xff, 0xff, 0xff})
			require.NoError(t, err)
		}
		require.NoError(t, w.Close())
		require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), "layers.zip"), packed.Bytes(), 0o600))
		_, err := Project(context.Background(), path)
		var wrong *InputError
		require.ErrorAs(t, err, &wrong, damaged)
		require.Equal(t, "layers.zip", wrong.File)
		require.Contains(t, wrong.Message, fmt.Sprintf("has a file %q that cannot be unpacked: flate: corrupt input", "towers"+damaged))
		require.Equal(t, err, error(wrong), "nothing else is told beside it")
	}
}

// TestShapefilesOfGDAL holds the layers of shapefiles that GDAL makes to be read as those of GeoJSON.
func TestShapefilesOfGDAL(t *testing.T) {
	want := newBase().mustRead(t)
	for name, options := range map[string][]string{"plain": nil, "UTF-8": {"-lco", "ENCODING=UTF-8"}, "without heights": {"-dim", "XY"}} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.project = strings.ReplaceAll(b.project, ".geojson", ".shp")
			b.structures = strings.Replace(b.structures, `"structure":3.0`, `"structure":"3"`, 1)
			path := b.write(t)
			for _, layer := range []string{"structures", "zones"} {
				arguments := append([]string{"-f", "ESRI Shapefile", layer + ".shp", layer + ".geojson"}, options...)
				gdaltest.Run(t, filepath.Dir(path), "ogr2ogr", arguments...)
			}
			p, understood, err := Understood(context.Background(), path)
			require.NoError(t, err)
			require.Empty(t, faultsOf(p))
			require.Equal(t, "shapefile", understood[0].Format)
			for i := range p.Zones {
				turnAround(p.Zones[i].Polygons)
			}
			if name != "without heights" {
				requireSameLayers(t, want, p)
			}
			var files []string
			for _, in := range p.Inputs {
				require.NotEmpty(t, in.SHA256)
				files = append(files, in.File)
			}
			want := []string{"structures.shx", "structures.dbf", "structures.prj", "structures.shp", "zones.shx", "zones.dbf", "zones.prj", "zones.shp"}
			if name == "UTF-8" {
				want = slices.Insert(slices.Insert(want, 7, "zones.cpg"), 3, "structures.cpg")
			}
			require.Equal(t, want, files[:len(want)])
		})
	}
}

// turnAround reverses the rings of polygons, which shapefiles have the other way round.
func turnAround(polygons []geo.Polygon) {
	for _, polygon := range polygons {
		start := 0
		for _, end := range polygon.Ends {
			ring := polygon.Flat[start:end]
			slices.Reverse(ring)
			for i := 0; i < len(ring); i += 2 {
				ring[i], ring[i+1] = ring[i+1], ring[i]
			}
			start = end
		}
	}
}

// FuzzArchive reads an archive that may be anything, whose shapefile is compressed besides.
func FuzzArchive(f *testing.F) {
	for _, description := range []string{
		"[a.shp]\ntype 1\nfield line C 4\nfield structure C 4\n10 50 | L1 | 1\n10.003 50 | L1 | 2", "[a.shp]\ntype 5\nfield class C 4\n0 0, 0 9, 9 9, 0 0 | d\n[b/c.shp]\ntype 1", "[a.txt]\nx",
	} {
		content := zipped(f, description)
		f.Add(content)
		f.Add(content[:len(content)/2])
	}
	folder := f.TempDir()
	f.Fuzz(func(t *testing.T, content []byte) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, "audit.yaml"), []byte("structures: {file: s.zip}\n"), 0o600))
		require.NoError(t, os.WriteFile(filepath.Join(folder, "s.zip"), content, 0o600))
		requireReadable(t, filepath.Join(folder, "audit.yaml"))
	})
}

// FuzzProjectionText holds any description of a system to be read without failing, and what is read to be a system of the list.
func FuzzProjectionText(f *testing.F) {
	recorded, err := os.ReadFile(describedSystems)
	require.NoError(f, err)
	for line := range strings.Lines(string(recorded)) {
		_, text, _ := strings.Cut(strings.TrimSpace(line), "\t")
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if node, ok := readWKT(text); ok {
			if s, known := systemDescribed(&node); known {
				_, listed := systemOf(s.code)
				require.True(t, listed)
			}
		}
	})
}
