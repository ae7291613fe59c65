package read

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/read/gdaltest"
	"dryarc/audit/read/raster"

	"github.com/stretchr/testify/require"
)

// terrainProject writes a project of structures at positions, which state no level.
func terrainProject(t *testing.T, folder, terrain string, at [][2]float64) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("line,structure,lon,lat\n")
	for i, p := range at {
		fmt.Fprintf(&b, "L1,%d,%.9f,%.9f\n", i+1, p[0], p[1])
	}
	require.NoError(t, os.WriteFile(filepath.Join(folder, "structures.csv"), []byte(b.String()), 0o600))
	path := filepath.Join(folder, "audit.yaml")
	require.NoError(t, os.WriteFile(path, []byte("structures: {file: structures.csv}\nterrain: "+terrain+"\n"), 0o600))
	return path
}

// TestGroundLevelsAgainstGDAL holds levels at random positions, taken from rasters in systems that are transformed, to those that GDAL
// finds in the pixel that it warps to lie around each: 8 in each system, 25 with DRYARC_HARD=1.
func TestGroundLevelsAgainstGDAL(t *testing.T) {
	positions := 8
	if os.Getenv("DRYARC_HARD") != "" {
		positions = 25
	}
	folder := t.TempDir()
	random := rand.New(rand.NewPCG(20, 3))
	var b strings.Builder
	const side = 101
	fmt.Fprintf(&b, "ncols %d\nnrows %d\nxllcenter -70.6\nyllcenter -28.4\ncellsize 0.001\n", side, side)
	for range side * side {
		fmt.Fprintf(&b, "%.3f\n", 500+random.Float64()*300)
	}
	require.NoError(t, os.WriteFile(filepath.Join(folder, "relief.asc"), []byte(b.String()), 0o600))
	for _, code := range []int{4326, 4674, 32719, 31979, 3857} {
		t.Run(fmt.Sprintf("EPSG:%d", code), func(t *testing.T) {
			gdaltest.Run(t, folder, "gdalwarp", "-q", "-overwrite", "-r", "bilinear", "-ot", "Float64", "-dstnodata", "-9999", "-s_srs", "EPSG:4326", "-t_srs", fmt.Sprintf("EPSG:%d", code), "relief.asc", "dem.tif")
			var at [][2]float64
			for range positions {
				at = append(at, [2]float64{-70.57 + random.Float64()*0.04, -28.37 + random.Float64()*0.04})
			}
			p, err := Project(context.Background(), terrainProject(t, folder, "{file: dem.tif}", at))
			require.NoError(t, err)
			for i, place := range at {
				row := p.Structures.Row(i)
				lon, lat, small := math.Round(place[0]*1e9)/1e9, math.Round(place[1]*1e9)/1e9, 1e-7
				number := func(v float64) string { return strconv.FormatFloat(v, 'f', 12, 64) }
				gdaltest.Run(t, folder, "gdalwarp", "-q", "-overwrite", "-r", "bilinear", "-et", "0", "-wt", "Float64", "-ts", "1", "1", "-ovr", "NONE", "-wo", "XSCALE=1", "-wo", "YSCALE=1",
					"-t_srs", "EPSG:4326", "-te", number(lon-small), number(lat-small), number(lon+small), number(lat+small), "dem.tif", "one.tif")
				want, err := strconv.ParseFloat(strings.TrimSpace(gdaltest.Run(t, folder, "gdallocationinfo", "-valonly", "one.tif", "0", "0")), 64)
				require.NoError(t, err)
				require.InDelta(t, want, row.GroundM, 0.001, "%v", place)
				require.EqualValues(t, 1, row.Terrain)
			}
		})
	}
}

// TestGroundFromRaster: what is said of levels from a raster, and what is refused.
func TestGroundFromRaster(t *testing.T) {
	const grid = "ncols 2\nnrows 2\nxllcenter 10\nyllcenter 50\ncellsize 1\n1 2\n3 4\n"
	at := [][2]float64{{10.5, 50.5}, {10.25, 50}, {12, 50}}
	read := func(t *testing.T, terrain string) (*audit.Project, []Understanding, error) {
		folder := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(folder, "relief.asc"), []byte(grid), 0o600))
		require.NoError(t, os.WriteFile(filepath.Join(folder, "other.asc"), []byte(grid+"\n"), 0o600))
		require.NoError(t, os.WriteFile(filepath.Join(folder, "dem.tif"), []byte("II*\x00\x08\x00\x00\x00"), 0o600))
		return Understood(context.Background(), terrainProject(t, folder, terrain, at))
	}
	t.Run("said", func(t *testing.T) {
		p, understood, err := read(t, "{file: [relief.asc, other.asc], crs: EPSG:4326, surface: true}")
		require.NoError(t, err)
		require.Equal(t, 2.5, p.Structures.At(0).GroundM)
		require.Equal(t, 3.25, p.Structures.At(1).GroundM)
		require.True(t, math.IsNaN(p.Structures.At(2).GroundM))
		require.Zero(t, p.Structures.At(2).Terrain)
		require.Equal(t, []audit.Terrain{{File: "relief.asc", Surface: true}, {File: "other.asc", Surface: true}}, p.Terrain)
		require.Equal(t, []string{"The ground levels of structures that state none are taken from relief.asc, bilinear between its samples (structures: 2); their vertical datum is not stated, and is taken for that of the other ground levels.",
			"The levels of relief.asc are those of a surface model, which has trees and roofs for ground where they stand."}, p.Inputs[1].Assumed)
		require.Len(t, p.Inputs[1].SHA256, 64)
		require.Empty(t, p.Inputs[2].Assumed)
		require.Equal(t, []string{"2 by 2 samples in EPSG:4326, above a vertical datum that is not stated; a level is bilinear between the centres of the samples around a structure", "structures without a level that are outside its samples: 1"}, understood[1].Notes)
		require.Equal(t, 2, understood[1].Rows)
		other, _, err := read(t, "{file: [other.asc, relief.asc], crs: EPSG:4326, surface: true}")
		require.NoError(t, err)
		require.NotEqual(t, other.Reading, p.Reading, "the order tells which gives a level")
	})
	for _, vertical := range []string{"EPSG:6360", "EPSG:4979", "WGS84", "EPSG:4326+6360", "NAVD88 height (ftUS)", "feet", "US survey foot", "m above the ellipsoid", "alturas elipsoidales"} {
		t.Run(vertical, func(t *testing.T) {
			_, _, err := read(t, fmt.Sprintf("{file: relief.asc, crs: EPSG:4326, vertical: %q}", vertical))
			require.ErrorContains(t, err, fmt.Sprintf("vertical %q is none of the vertical systems that are known to be in metres above the sea", vertical))
		})
	}
	for _, vertical := range []string{"EPSG:5773", "DHHN92", "Kronstadt", "left bank gauge"} {
		p, _, err := read(t, fmt.Sprintf("{file: relief.asc, crs: EPSG:4326, vertical: %q}", vertical))
		require.NoError(t, err)
		require.Equal(t, strings.Replace(vertical, "EPSG:5773", "EGM96", 1), p.Terrain[0].Vertical)
	}
	for terrain, says := range map[string]string{
		"[]": "terrain is an empty list, expected entries with a file",
		"[{file: relief.asc, crs: EPSG:4326}, {accuracy_m: 2}]": "an entry of terrain names no file",
		"{file: relief.asc, accuracy_m: 0}":                     "accuracy_m \"0\" is out of range, expected 0.001 to 1000",
		"[relief.asc, other.asc]":                               "terrain",
		"{file: relief.asc}":                                    "relief.asc: does not say its reference system",
		"{file: relief.asc, crs: EPSG:27700}":                   "relief.asc: names none, and the project file under terrain the reference system EPSG:27700, which is neither",
		"{file: dem.tif}":                                       "dem.tif: has a directory of tags at byte 8",
		"{file: structures.csv}":                                "structures.csv: is none of the rasters that are read",
		"{file: none.tif}":                                      "none.tif: ",
		"{file: relief.asc, datum: EGM2008}":                    `unknown key "datum" in terrain`,
		"{file: relief.asc, surface: perhaps}":                  "neither true nor false",
	} {
		t.Run(terrain, func(t *testing.T) {
			_, _, err := read(t, terrain)
			require.ErrorContains(t, err, says)
		})
	}
	_, problem := parseProjectFile([]byte("routes: {file: routes.geojson}\nterrain: {file: dem.tif}\n"))
	require.ErrorContains(t, problem, "names terrain and no structures")
}

// TestVerticalSystems: what a file says of its levels is not said otherwise by the project file.
func TestVerticalSystems(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "relief.asc"), []byte("ncols 2\nnrows 2\nxllcenter 10\nyllcenter 50\ncellsize 1\n1 2\n3 4\n"), 0o600))
	for _, c := range []struct{ system, stated, want, says string }{
		{"EPSG:4326+5773", "", "EGM96", ""},
		{"EPSG:4326+5773", "egm96", "EGM96", ""},
		{"EPSG:4326+3855", "EPSG:3855", "EGM2008", ""},
		{"EPSG:4326+5773", "EGM2008", "", `names the vertical system EGM96 (EPSG:5773), but vertical under terrain in the project file is "EGM2008"`},
		{"EPSG:4326+6360", "", "", "none of those that are known to be in metres"}, // NAVD88 height (ftUS)
		{"EPSG:4326", "local", "local", ""},
	} {
		t.Run(c.system+" "+c.stated, func(t *testing.T) {
			gdaltest.Run(t, folder, "gdal_translate", "-q", "-a_srs", c.system, "relief.asc", "dem.tif")
			p, err := Project(context.Background(), terrainProject(t, folder, fmt.Sprintf("{file: dem.tif, vertical: %q}", c.stated), [][2]float64{{10.5, 50.5}, {10.6, 50.5}}))
			if c.says != "" {
				require.ErrorContains(t, err, c.says)
				return
			}
			require.NoError(t, err)
			require.Equal(t, c.want, p.Terrain[0].Vertical)
		})
	}
}

// TestTerrainHints follows what the program says of a raster that is refused, with GDAL, to the letter: the outcome is read, a place without a
// level has none, and the others have theirs.
func TestTerrainHints(t *testing.T) {
	const head = "ncols 5\nnrows 5\nxllcenter 10\nyllcenter 50\ncellsize 1\nNODATA_value -9999\n"
	at := [][2]float64{{11, 51}, {13.5, 53.5}}
	for name, make := range map[string][][]string{
		"a mask within":  {{"gdal_translate", "-q", "-a_srs", "EPSG:4326", "-b", "1", "-mask", "1", "-a_nodata", "none", "--config", "GDAL_TIFF_INTERNAL_MASK", "YES", "relief.asc", "IN"}},
		"an alpha band":  {{"gdalwarp", "-q", "-s_srs", "EPSG:4326", "-t_srs", "EPSG:4326", "-ot", "Float32", "-srcnodata", "-9999", "-dstalpha", "relief.asc", "IN"}},
		"another system": {{"gdalwarp", "-q", "-r", "bilinear", "-s_srs", "EPSG:4326", "-t_srs", "EPSG:3034", "-ot", "Float32", "-dstnodata", "-9999", "relief.asc", "IN"}},
	} {
		t.Run(name, func(t *testing.T) {
			folder := t.TempDir()
			rows := "500 500 500 500 -9999\n500 500 500 500 500\n500 500 500 500 500\n500 500 500 500 500\n500 500 500 500 500\n"
			if name == "a mask within" { // -mask 1 takes what is not 0 for a level
				rows = strings.Replace(rows, "-9999", "0", 1)
			}
			require.NoError(t, os.WriteFile(filepath.Join(folder, "relief.asc"), []byte(head+rows), 0o600))
			for _, command := range make {
				gdaltest.Run(t, folder, command[0], command[1:]...)
			}
			_, err := Project(context.Background(), terrainProject(t, folder, "{file: IN}", at))
			var refused *InputError
			require.ErrorAs(t, err, &refused)
			_, commands, _ := strings.Cut(refused.Hint, "example: ")
			commands, _, _ = strings.Cut(commands, ";")
			for command := range strings.SplitSeq(commands, ", then ") {
				words := strings.Fields(command)
				gdaltest.Run(t, folder, words[0], words[1:]...)
			}
			p, err := Project(context.Background(), terrainProject(t, folder, "{file: OUT.tif}", at))
			require.NoError(t, err)
			require.InDelta(t, 500, p.Structures.At(0).GroundM, 0.001)
			require.True(t, math.IsNaN(p.Structures.At(1).GroundM), p.Structures.At(1).GroundM)
		})
	}
}

// TestSidecars: what a file beside a raster says of its values is not passed over; statistics are.
func TestSidecars(t *testing.T) {
	band := func(said string) string {
		return `<PAMDataset><PAMRasterBand band="1">` + said + `</PAMRasterBand><PAMRasterBand band="2"><Scale>3</Scale></PAMRasterBand></PAMDataset>`
	}
	for _, c := range []struct{ name, beside, content, says string }{
		{"scale", "relief.asc.aux.xml", band("<Scale>0.1</Scale>"), `relief.asc.aux.xml: has the Scale "0.1" for relief.asc`},
		{"offset", "relief.asc.aux.xml", band("<Offset>5</Offset>"), `the Offset "5"`},
		{"feet", "relief.asc.aux.xml", band("<UnitType>ft</UnitType>"), `the UnitType "ft"`},
		{"no data", "relief.asc.aux.xml", band("<NoDataValue>1.0E+00</NoDataValue>"), `the NoDataValue "1.0E+00"`},
		{"no text of its kind", "relief.asc.aux.xml", "<PAMDataset>", "relief.asc.aux.xml: cannot be read"},
		{"mask", "relief.asc.msk", "II*", "has the mask relief.asc.msk beside it"},
		{"statistics", "relief.asc.aux.xml", band(`<Scale>1</Scale><UnitType>m</UnitType><Metadata><MDI key="STATISTICS_MINIMUM">1</MDI></Metadata>`), ""},
		{"another raster's", "other.asc.msk", "II*", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(folder, "relief.asc"), []byte("ncols 2\nnrows 2\nxllcenter 10\nyllcenter 50\ncellsize 1\n1 2\n3 4\n"), 0o600))
			require.NoError(t, os.WriteFile(filepath.Join(folder, c.beside), []byte(c.content), 0o600))
			p, err := Project(context.Background(), terrainProject(t, folder, "{file: relief.asc, crs: EPSG:4326}", [][2]float64{{10.5, 50.5}, {10.6, 50.5}}))
			if c.says != "" {
				require.ErrorContains(t, err, c.says)
				return
			}
			require.NoError(t, err)
			require.Equal(t, 2.5, p.Structures.At(0).GroundM)
		})
	}
}

// TestMixedDatums: rasters of two vertical systems on one line are told as taken for one.
func TestMixedDatums(t *testing.T) {
	folder := t.TempDir()
	for x, system := range map[int]string{10: "EPSG:4326+3855", 20: "EPSG:4326+5703"} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, "relief.asc"), fmt.Appendf(nil, "ncols 2\nnrows 2\nxllcenter %d\nyllcenter 50\ncellsize 1\n1 2\n3 4\n", x), 0o600))
		gdaltest.Run(t, folder, "gdal_translate", "-q", "-a_srs", system, "relief.asc", fmt.Sprintf("%d.tif", x))
	}
	for second, want := range map[float64]string{
		10.6: "",
		20.6: "On one line there are levels from rasters above EGM2008, levels from rasters above NAVD88; nothing that takes the difference of two of them is assessed (lines: 1).",
	} {
		p, err := Project(context.Background(), terrainProject(t, folder, "{file: [10.tif, 20.tif]}", [][2]float64{{10.5, 50.5}, {second, 50.5}}))
		require.NoError(t, err)
		var assumed []string
		for i := range p.Inputs {
			assumed = append(assumed, p.Inputs[i].Assumed...)
		}
		if want == "" {
			require.NotContains(t, strings.Join(assumed, "\n"), "one vertical datum")
		} else {
			require.Contains(t, assumed, want)
		}
	}
}

// TestLevelsOfZero: levels that rest on samples of exactly 0, which a conversion may leave where there is none, are told.
func TestLevelsOfZero(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "relief.asc"), []byte("ncols 2\nnrows 2\nxllcenter 10\nyllcenter 50\ncellsize 1\n0 0\n0 4\n"), 0o600))
	p, err := Project(context.Background(), terrainProject(t, folder, "{file: relief.asc, crs: EPSG:4326}", [][2]float64{{10, 50}, {10.6, 50.5}, {10, 50.5}}))
	require.NoError(t, err)
	require.Contains(t, p.Inputs[1].Assumed, "Samples of exactly 0 m of relief.asc are taken as they stand, though a raster may hold 0 where it has no value (structures: 3).")
	for i := range p.Structures.Len() {
		require.True(t, p.Structures.At(i).ByZero)
	}
}

// TestCitationsOfHeights: texts in which heights above an ellipsoid are told from the ellipsoid of the positions.
func TestCitationsOfHeights(t *testing.T) {
	for text, is := range map[string]bool{"WGS84 ellipsoid height": true, "Heights above the ellipsoid": true, "ellipsoidal heights": true,
		"WGS 84 / UTM zone 33N": false, "Projection = Geographic|Ellipsoid = WGS 84|Datum = WGS 84": false, "EGM2008 height": false, "Ellipsoid = GRS 1980|Units = meters|EGM96 height": false} {
		require.Equal(t, is, aboveEllipsoid.MatchString(text), text)
	}
}

// TestContradictingLevels: a level that a raster contradicts is not known, whichever of the two stands first; one that differs by what they are
// known to is taken as it stands.
func TestContradictingLevels(t *testing.T) {
	for name, c := range map[string]struct {
		stated, accuracy string
		samples          []int // of each raster, everywhere
		want             float64
		fault            string
	}{
		"overlap, within the accuracy": {"", "1", []int{130, 132}, 130, ""}, // 2·√2·1 m = 2.83 m
		"overlap, beyond it": {"", "1", []int{130, 133}, math.NaN(),
			`"130" is the level from 0.asc, and 1.asc has 133.0 m there, expected them no more than 2.8 m apart (twice the standard error of their difference, by accuracy_m or terrain_accuracy_m); neither is taken`},
		"overlap, the other way round": {"", "1", []int{133, 130}, math.NaN(), `"133" is the level from 0.asc`},
		"overlap, not stated":          {"", "", []int{130, 159}, 130, ""},
		"overlap, not stated, beyond":  {"", "", []int{130, 161}, math.NaN(), "no more than 30.0 m apart (the most that is passed over where neither accuracy_m nor terrain_accuracy_m is stated)"},
		"stated":                       {"500", "", []int{520}, 500, ""},
		"stated, contradicted":         {"500", "", []int{2000}, math.NaN(), `"500" is the level that is stated, and 0.asc has 2000.0 m there`},
		"stated in whole metres":       {"500", "0.1", []int{501}, 500, ""},
		"stated, the raster has 0":     {"500", "", []int{0}, 500, ""},
	} {
		t.Run(name, func(t *testing.T) {
			folder := t.TempDir()
			var names []string
			for i, z := range c.samples {
				names = append(names, fmt.Sprintf("%d.asc", i))
				require.NoError(t, os.WriteFile(filepath.Join(folder, names[i]), fmt.Appendf(nil, "ncols 2\nnrows 2\nxllcenter 10\nyllcenter 50\ncellsize 1\n%[1]d %[1]d\n%[1]d %[1]d\n", z), 0o600))
			}
			path := terrainProject(t, folder, fmt.Sprintf("{file: [%s], crs: EPSG:4326}", strings.Join(names, ", ")), nil)
			require.NoError(t, os.WriteFile(filepath.Join(folder, "structures.csv"), []byte("line,structure,lon,lat,ground_m\nL1,1,10.5,50.5,"+c.stated+"\nL1,2,10.6,50.5,"+c.stated+"\n"), 0o600))
			if c.accuracy != "" {
				text, err := os.ReadFile(path)
				require.NoError(t, err)
				require.NoError(t, os.WriteFile(path, append(text, "criteria: {terrain_accuracy_m: "+c.accuracy+"}\n"...), 0o600))
			}
			p, err := Project(context.Background(), path)
			require.NoError(t, err)
			faults := p.Faults.List()
			if c.fault == "" {
				require.Equal(t, c.want, p.Structures.At(0).GroundM)
				require.Empty(t, faults)
				return
			}
			require.True(t, math.IsNaN(p.Structures.At(0).GroundM))
			require.True(t, p.Structures.At(0).Faulty.Has(audit.CellGround))
			require.Len(t, faults, 1)
			require.Contains(t, faults[0].Message(), c.fault)
			require.Contains(t, faults[0].Message(), "(2 rows, this is the first)")
		})
	}
}

// A raster that contradicts most of the levels that are known is taken nowhere; one that contradicts half of them is, where nothing else is known.
func TestRasterThatMostLevelsContradict(t *testing.T) {
	for others, believed := range map[string]bool{"3000 3000 50 50": true, "3000 3000 3000 50": false, "3000": true} {
		folder := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(folder, "dem.asc"), []byte("ncols 2\nnrows 2\nxllcenter 10\nyllcenter 50\ncellsize 1\n50 50\n50 50\n"), 0o600))
		path := terrainProject(t, folder, "{file: dem.asc, crs: EPSG:4326}", nil)
		table := "line,structure,lon,lat,ground_m\nL1,0,10.5,50.5,\n"
		for i, level := range strings.Fields(others) {
			table += fmt.Sprintf("L1,%d,10.%d,50.5,%s\n", i+1, i+1, level)
		}
		require.NoError(t, os.WriteFile(filepath.Join(folder, "structures.csv"), []byte(table), 0o600))
		p, err := Project(context.Background(), path)
		require.NoError(t, err)
		row := p.Structures.At(0)
		require.Equal(t, believed, row.GroundM == 50, others)
		require.Equal(t, !believed, row.Faulty.Has(audit.CellGround), others)
		if !believed {
			require.Contains(t, fmt.Sprint(faultsOf(p)), "is the level that dem.asc has, and of the levels that are known otherwise it contradicts 3 of 4; it is taken nowhere")
		}
	}
}

// TestVoidsOfZero: levels of 0 where a line stands high, or nowhere else, and those between one of 0 and high ground, are none.
func TestVoidsOfZero(t *testing.T) {
	at := [][2]float64{{10, 50}, {11, 50}, {12, 50}, {12.5, 50}, {13, 50}}
	unknown := math.NaN()
	for name, c := range map[string]struct {
		samples string
		want    [5]float64
		faults  int
	}{
		"all":                 {"0 0 0 0", [5]float64{unknown, unknown, unknown, unknown, unknown}, 1},
		"beside high ground":  {"2000 2000 0 2000", [5]float64{2000, 2000, unknown, unknown, 2000}, 1},
		"a shore":             {"0 0 40 1000", [5]float64{0, 0, 40, 520, 1000}, 0},
		"a shore and a cliff": {"0 60 0 1000", [5]float64{0, 60, 0, unknown, 1000}, 0},
	} {
		t.Run(name, func(t *testing.T) {
			folder := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(folder, "d.asc"), []byte("ncols 4\nnrows 1\nxllcenter 10\nyllcenter 50\ncellsize 1\n"+c.samples+"\n"), 0o600))
			p, err := Project(context.Background(), terrainProject(t, folder, "{file: d.asc, crs: EPSG:4326}", at))
			require.NoError(t, err)
			for i, want := range c.want {
				require.Equal(t, math.IsNaN(want), math.IsNaN(p.Structures.At(i).GroundM), "%d", i)
				if !math.IsNaN(want) {
					require.Equal(t, want, p.Structures.At(i).GroundM)
				}
				require.Equal(t, want == 0, p.Structures.At(i).ByZero)
			}
			require.Len(t, p.Faults.List(), c.faults)
		})
	}
}

// TestAccuracyOfEachRaster: levels are as far apart as the accuracy of their own rasters lets them be, 2·√(σ1² + σ2²), and that of the criterion
// where a raster states none.
func TestAccuracyOfEachRaster(t *testing.T) {
	for name, c := range map[string]struct {
		first, second, criteria string
		apart                   float64 // largest, computed
	}{
		"both":                    {", accuracy_m: 3", ", accuracy_m: 4", "", 10},
		"both, and the criterion": {", accuracy_m: 3", ", accuracy_m: 4", "criteria: {terrain_accuracy_m: 100}\n", 10},
		"one, and the criterion":  {"", ", accuracy_m: 12", "criteria: {terrain_accuracy_m: 5}\n", 26},
		"one alone":               {"", ", accuracy_m: 1", "", 30},
	} {
		for _, beyond := range []bool{false, true} {
			folder := t.TempDir()
			z := 500 + c.apart - 0.001
			if beyond {
				z += 0.002
			}
			for i, level := range []float64{500, z} {
				require.NoError(t, os.WriteFile(filepath.Join(folder, fmt.Sprintf("%d.asc", i)), fmt.Appendf(nil, "ncols 2\nnrows 2\nxllcenter 10\nyllcenter 50\ncellsize 1\n%[1]v %[1]v\n%[1]v %[1]v\n", level), 0o600))
			}
			path := terrainProject(t, folder, fmt.Sprintf("[{file: 0.asc, crs: EPSG:4326%s}, {file: 1.asc, crs: EPSG:4326%s}]\n%s", c.first, c.second, c.criteria), [][2]float64{{10.5, 50.5}, {10.6, 50.5}})
			p, err := Project(context.Background(), path)
			require.NoError(t, err)
			require.Equal(t, beyond, math.IsNaN(p.Structures.At(0).GroundM), name)
			require.Len(t, p.Terrain, 2)
			for i, of := range []string{c.first, c.second} {
				require.Equal(t, of != "", p.Terrain[i].AccuracyM > 0)
			}
		}
	}
}

// TestLevelsBetweenTiles: tiles that abut without an overlap give levels between their samples, wherever they stand in the project file, across the
// 180th meridian too; where they state different accuracies or surfaces, or their samples stand on no common lattice, there is none, and why is kept.
func TestLevelsBetweenTiles(t *testing.T) {
	tile := func(t *testing.T, folder, name string, x float64, cell float64, samples string) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), fmt.Appendf(nil, "ncols 2\nnrows 2\nxllcorner %v\nyllcorner 50\ncellsize %v\nnodata_value -9999\n%s\n", x, cell, samples), 0o600))
	}
	for name, c := range map[string]struct {
		terrain string
		east    float64 // corner of the second tile
		cell    float64
		samples string
		lon     float64
		want    float64
		reason  audit.Reason
	}{
		"abutting":               {"{file: [w.asc, e.asc], crs: EPSG:4326}", 12, 1, "30 40 30 40", 12.25, 27.5, audit.NoReason},
		"the other way round":    {"{file: [e.asc, w.asc], crs: EPSG:4326}", 12, 1, "30 40 30 40", 12.25, 27.5, audit.NoReason},
		"two entries":            {"[{file: w.asc, crs: EPSG:4326}, {file: e.asc, crs: EPSG:4326}]", 12, 1, "30 40 30 40", 12.25, 27.5, audit.NoReason},
		"two accuracies":         {"[{file: w.asc, crs: EPSG:4326, accuracy_m: 1}, {file: e.asc, crs: EPSG:4326, accuracy_m: 2}]", 12, 1, "30 40 30 40", 12.25, 0, audit.GroundOutsideRasters},
		"a surface model":        {"[{file: w.asc, crs: EPSG:4326, surface: true}, {file: e.asc, crs: EPSG:4326}]", 12, 1, "30 40 30 40", 12.25, 0, audit.GroundOutsideRasters},
		"coarser":                {"{file: [w.asc, e.asc], crs: EPSG:4326}", 12, 2, "30 40 30 40", 12.25, 0, audit.GroundOutsideRasters},
		"a void":                 {"{file: [w.asc, e.asc], crs: EPSG:4326}", 12, 1, "-9999 40 -9999 40", 12.25, 0, audit.GroundVoid},
		"no height of ground":    {"{file: [w.asc, e.asc], crs: EPSG:4326}", 12, 1, "9999 40 9999 40", 12.25, 0, audit.GroundBeyond},
		"0 beside high ground":   {"{file: [w.asc, e.asc], crs: EPSG:4326}", 12, 1, "0 900 0 900", 13, 0, audit.GroundTorn},
		"far from both":          {"{file: [w.asc, e.asc], crs: EPSG:4326}", 12, 1, "30 40 30 40", 20, 0, audit.GroundOutsideRasters},
		"the edge of both":       {"{file: [w.asc, e.asc], crs: EPSG:4326}", 12, 1, "30 40 30 40", 13.75, 0, audit.GroundOutsideRasters},
		"east of the first void": {"{file: [w.asc, e.asc], crs: EPSG:4326}", 12, 1, "30 -9999 30 -9999", 13, 0, audit.GroundVoid},
	} {
		t.Run(name, func(t *testing.T) {
			folder := t.TempDir()
			tile(t, folder, "w.asc", 10, 1, "10 20 10 20")
			tile(t, folder, "e.asc", c.east, c.cell, c.samples)
			p, err := Project(context.Background(), terrainProject(t, folder, c.terrain, [][2]float64{{11, 51}, {c.lon, 51}}))
			require.NoError(t, err)
			row := p.Structures.Row(1)
			require.Equal(t, c.reason, row.NoGround)
			require.Equal(t, c.reason != audit.NoReason, math.IsNaN(row.GroundM))
			if c.reason == audit.NoReason {
				require.Equal(t, c.want, row.GroundM)
				require.EqualValues(t, 2, row.Terrain)
			}
		})
	}
	for stated, held := range map[string]bool{"57.5": true, "57.6": false} { // 27.5 m between the tiles, 30 m pass
		t.Run("held against "+stated, func(t *testing.T) {
			folder := t.TempDir()
			tile(t, folder, "w.asc", 10, 1, "10 20 10 20")
			tile(t, folder, "e.asc", 12, 1, "30 40 30 40")
			path := terrainProject(t, folder, "{file: [w.asc, e.asc], crs: EPSG:4326}", nil)
			require.NoError(t, os.WriteFile(filepath.Join(folder, "structures.csv"), []byte("line,structure,lon,lat,ground_m\nL1,1,12.25,51,"+stated+"\nL1,2,11,51,\n"), 0o600))
			p, err := Project(context.Background(), path)
			require.NoError(t, err)
			require.Equal(t, held, !math.IsNaN(p.Structures.At(0).GroundM))
			require.Equal(t, !held, p.Structures.At(0).Faulty.Has(audit.CellGround))
		})
	}
	t.Run("held against a raster before", func(t *testing.T) {
		folder := t.TempDir()
		tile(t, folder, "coarse.asc", 9, 3, "800 800 800 800")
		tile(t, folder, "w.asc", 10, 1, "10 20 10 20")
		tile(t, folder, "e.asc", 12, 1, "30 40 30 40")
		p, err := Project(context.Background(), terrainProject(t, folder, "{file: [coarse.asc, w.asc, e.asc], crs: EPSG:4326}", [][2]float64{{12.25, 51.5}, {11, 57}}))
		require.NoError(t, err)
		require.True(t, p.Structures.At(0).Faulty.Has(audit.CellGround))
	})
	t.Run("the 180th meridian", func(t *testing.T) {
		for _, order := range []string{"[w.asc, e.asc]", "[e.asc, w.asc]"} {
			for lon, want := range map[float64]float64{179.75: 22.5, -179.75: 27.5, 180: 25} {
				folder := t.TempDir()
				tile(t, folder, "w.asc", 178, 1, "10 20 10 20")
				tile(t, folder, "e.asc", -180, 1, "30 40 30 40")
				p, err := Project(context.Background(), terrainProject(t, folder, "{file: "+order+", crs: EPSG:4326}", [][2]float64{{lon, 51}, {179, 51}}))
				require.NoError(t, err)
				require.Equal(t, want, p.Structures.At(0).GroundM)
			}
		}
	})
}

// TestWhyThereIsNoLevel: what the first raster says that has samples at a structure is kept, and nothing where a later one has a level.
func TestWhyThereIsNoLevel(t *testing.T) {
	folder := t.TempDir()
	for name, samples := range map[string]string{"void.asc": "-9999 -9999 -9999 -9999", "mark.asc": "9999 9999 9999 9999", "level.asc": "7 7 7 7"} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte("ncols 2\nnrows 2\nxllcenter 10\nyllcenter 50\ncellsize 1\nnodata_value -9999\n"+samples+"\n"), 0o600))
	}
	require.NoError(t, os.WriteFile(filepath.Join(folder, "elsewhere.asc"), []byte("ncols 2\nnrows 2\nxllcenter 60\nyllcenter 50\ncellsize 1\n7 7 7 7\n"), 0o600))
	for files, want := range map[string]audit.Reason{
		"elsewhere.asc": audit.GroundOutsideRasters, "elsewhere.asc, void.asc": audit.GroundVoid, "void.asc, elsewhere.asc": audit.GroundVoid,
		"mark.asc, void.asc": audit.GroundBeyond, "void.asc, mark.asc": audit.GroundVoid, "void.asc, level.asc": audit.NoReason,
	} {
		p, err := Project(context.Background(), terrainProject(t, folder, "{file: ["+files+"], crs: EPSG:4326}", [][2]float64{{10.5, 50.5}, {10.6, 50.5}}))
		require.NoError(t, err)
		require.Equal(t, want, p.Structures.At(0).NoGround, files)
	}
}

// readsCounted counts the bytes that are read of a file.
type readsCounted struct {
	*os.File
	bytes int
}

func (r *readsCounted) ReadAt(p []byte, at int64) (int, error) {
	n, err := r.File.ReadAt(p, at)
	r.bytes += n
	return n, err
}

// TestBlocksAreDecodedOnce: structures that stand by turns in blocks of which one is held are asked for in the order of the blocks, and each gets its own
// level.
func TestBlocksAreDecodedOnce(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "relief.asc"), []byte("ncols 1\nnrows 2\nxllcorner 10\nyllcorner 50\ncellsize 1\n300\n200\n"), 0o600))
	gdaltest.Run(t, folder, "gdal_translate", "-q", "-ot", "Float32", "-a_srs", "EPSG:4326", "-outsize", "4096", "8192", "-co", "COMPRESS=DEFLATE", "-co", "BLOCKYSIZE=4096", "relief.asc", "p.tif")
	file, err := os.Open(filepath.Join(folder, "p.tif"))
	require.NoError(t, err)
	defer file.Close()
	info, err := file.Stat()
	require.NoError(t, err)
	counted := &readsCounted{File: file}
	grid, err := raster.Open("p.tif", counted, info.Size())
	require.NoError(t, err)
	counted.bytes = 0
	p := &audit.Project{Terrain: []audit.Terrain{{File: "p.tif"}}}
	for i := range 20 {
		p.Structures.Append(audit.StructureRow{Lon: 10.1 + float64(i)/100, Lat: 50.5 + float64(i%2), GroundM: math.NaN()})
	}
	wgs, _ := systemOf(wgs84)
	r := groundReader{project: p}
	count, err := r.levels(context.Background(), "p.tif", grid, wgs)
	require.NoError(t, err)
	require.Equal(t, p.Structures.Len(), count.known)
	for i := range p.Structures.Len() {
		require.Equal(t, float64(200+100*(i%2)), p.Structures.At(i).GroundM)
	}
	require.LessOrEqual(t, int64(counted.bytes), info.Size())
}
