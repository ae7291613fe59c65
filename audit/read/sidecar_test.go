package read

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"dryarc/audit/read/gdaltest"

	"github.com/stretchr/testify/require"
)

// TestWhatStandsBesideARaster: a file beside a raster that says otherwise where it is, in which system or what its heights are is refused with
// the raster, and one that says the same is not.
func TestWhatStandsBesideARaster(t *testing.T) {
	const degrees = `GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]`
	for _, c := range []struct{ name, file, content, says string }{
		{"place", "d.asc.aux.xml", `<PAMDataset><GeoTransform>8.5, 1, 0, 51.5, 0, -1</GeoTransform></PAMDataset>`, "and d.asc places its samples elsewhere by itself"},
		{"place that is none", "d.asc.aux.xml", `<PAMDataset><GeoTransform>9.5, 1</GeoTransform></PAMDataset>`, "places its samples elsewhere"},
		{"the same place", "d.asc.aux.xml", `<PAMDataset><GeoTransform>9.5, 1, 0, 51.5, 0, -1</GeoTransform></PAMDataset>`, ""},
		{"system", "d.asc.aux.xml", `<PAMDataset><SRS>EPSG:32633</SRS></PAMDataset>`, `has the SRS "EPSG:32633", and d.asc is read in EPSG:4326`},
		{"the same system", "d.asc.aux.xml", `<PAMDataset><SRS dataAxisToSRSAxisMapping="2,1">` + degrees + `</SRS></PAMDataset>`, ""},
		{"feet by keywords", "d.prj", "Projection GEOGRAPHIC\nUnits DD\nZunits FEET\n", `d.prj: has heights in "FEET"`},
		{"metres by keywords", "d.prj", "Projection GEOGRAPHIC\nUnits DD\nZunits METERS\n", ""},
		{"projection by keywords", "d.prj", "Projection UTM\nZone 33\nZunits NO\n", "describes positions by a projection"},
		{"feet", "d.prj", degrees + `,VERTCS["NAVD88_height_(ftUS)",VDATUM["North_American_Vertical_Datum_1988"],UNIT["Foot_US",0.3048006096012192]]`, `has heights in the unit "Foot_US"`},
		{"above the ellipsoid", "d.prj", degrees + `,VERTCS["WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],UNIT["Meter",1.0]]`, `has the heights "WGS_1984"`},
		{"metres", "d.prj", degrees + `,VERTCS["EGM2008_Geoid",VDATUM["EGM2008_Geoid"],UNIT["Meter",1.0]]`, ""},
		{"a projection that is not known", "d.prj", `PROJCS["own",` + degrees + `,PROJECTION["Sinusoidal"],UNIT["Meter",1.0]]`, "describes positions by a projection"},
		{"degrees of another datum", "d.prj", `GEOGCS["NAD83",DATUM["North_American_Datum_1983",SPHEROID["GRS 1980",6378137,298.257222101]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`, "describes the reference system EPSG:4269"},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(folder, "d.asc"), []byte("ncols 2\nnrows 2\nxllcenter 10\nyllcenter 50\ncellsize 1\n1 2\n3 4\n"), 0o600))
			require.NoError(t, os.WriteFile(filepath.Join(folder, c.file), []byte(c.content), 0o600))
			_, err := Project(context.Background(), terrainProject(t, folder, "{file: d.asc, crs: EPSG:4326}", [][2]float64{{10.5, 50.5}, {10.6, 50.5}}))
			if c.says == "" {
				require.NoError(t, err)
				return
			}
			require.ErrorContains(t, err, c.says)
		})
	}
}

// TestWhatGDALPutsBesideARaster: the files that GDAL writes beside a grid of text, and the texts in its TIFF, do not contradict it.
func TestWhatGDALPutsBesideARaster(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "d.asc"), []byte("ncols 40\nnrows 40\nxllcenter 10\nyllcenter 50\ncellsize 0.01\n"+levelRows(40)), 0o600))
	at := [][2]float64{{10.2, 50.2}, {10.21, 50.2}}
	for _, code := range []int{4326, 4258, 32632, 25832, 3857} {
		t.Run(fmt.Sprint(code), func(t *testing.T) {
			gdaltest.Run(t, folder, "gdalwarp", "-q", "-overwrite", "-s_srs", "EPSG:4326", "-t_srs", fmt.Sprintf("EPSG:%d", code), "-dstnodata", "-9999", "d.asc", "out.tif")
			gdaltest.Run(t, folder, "gdal_translate", "-q", "-of", "AAIGrid", "-co", "FORCE_CELLSIZE=TRUE", "out.tif", "out.asc")
			for _, file := range []string{"out.tif", "out.asc"} {
				p, err := Project(context.Background(), terrainProject(t, folder, fmt.Sprintf("{file: %s, crs: EPSG:%d}", file, code), at))
				require.NoError(t, err)
				require.False(t, math.IsNaN(p.Structures.At(0).GroundM), file)
			}
		})
	}
}

// levelRows is a grid of one level.
func levelRows(side int) (text string) {
	for range side {
		for range side {
			text += "250 "
		}
		text += "\n"
	}
	return text
}
