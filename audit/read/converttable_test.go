package read

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestTheCommandForATableConverts runs the command of the hint as it stands, and reads what it writes.
func TestTheCommandForATableConverts(t *testing.T) {
	projTool(t, "ogr2ogr")
	folder := t.TempDir()
	write := func(name, text string) string {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
		return filepath.Join(folder, name)
	}
	for name, separator := range map[string]string{"towers.csv": ",", "table of towers.csv": ";", "towers.txt": ";"} {
		write(name, strings.ReplaceAll("line;structure;East coordinate [m];Coord. Nord [m]\nL1;1;2479006.4;4549888.2\nL1;2;2479298.3;4549993.2\n", ";", separator))
		properties := `properties: {easting: "East coordinate [m]", northing: "Coord. Nord [m]"}`
		_, err := Project(context.Background(), write("audit.yaml", "structures: {file: "+name+", crs: EPSG:3004, "+properties+"}\n"))
		var problem *InputError
		require.True(t, errors.As(err, &problem), "%v", err)
		_, command, found := strings.Cut(problem.Hint, "ogr2ogr ")
		require.True(t, found, problem.Hint)
		shell := exec.Command("sh", "-c", "ogr2ogr "+command)
		shell.Dir = folder
		out, err := shell.CombinedOutput()
		require.NoError(t, err, "%s: %s", command, out)
		converted := "wgs84-" + strings.TrimSuffix(name, filepath.Ext(name)) + ".geojson"
		p, err := Project(context.Background(), write("audit.yaml", "structures: {file: "+converted+"}\n"))
		require.NoError(t, err)
		require.Equal(t, 2, p.Structures.Len())
		require.InDelta(t, 14.51, p.Structures.At(0).Lon, 0.02) // 41.0 km west of the meridian of 15 degrees, whose false easting is 2520 km, at 83.9 km a degree
		require.InDelta(t, 41.1, p.Structures.At(0).Lat, 0.02)
		require.NoError(t, os.Remove(filepath.Join(folder, converted)))
	}
}
