package read

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// Of two files of zones or of crossings it is told that they hold the same, whatever the order, the white space and the packing, and not where
// one feature differs. Those that patterns found are refused then.
func TestFilesThatHoldTheSame(t *testing.T) {
	square := func(class string, east int) string {
		return fmt.Sprintf(`{"type":"Feature","properties":{"class":%q,"kind":"river"},"geometry":{"type":"Polygon","coordinates":[[[%d,49],[%d,49],[%d,51],[%d,51],[%d,49]]]}}`, class, east, east+1, east+1, east, east)
	}
	collection := func(features string) string { return `{"type":"FeatureCollection","features":[` + features + `]}` }
	one := collection(square("d", 9) + "," + square("e", 10))
	for _, section := range []string{"zones", "crossings"} {
		for name, c := range map[string]struct {
			other string
			same  bool
		}{
			"another end":    {one + "\n", true},
			"another order":  {collection(square("e", 10) + " , " + square("d", 9)), true},
			"one less":       {collection(square("d", 9)), false},
			"one twice":      {collection(square("d", 9) + "," + square("e", 10) + "," + square("d", 9)), false},
			"another place":  {collection(square("d", 8) + "," + square("e", 10)), false},
			"another figure": {collection(square("f", 9) + "," + square("e", 10)), section == "crossings"},
		} {
			for _, found := range []bool{false, true} {
				t.Run(fmt.Sprintf("%s, %s, %t", section, name, found), func(t *testing.T) {
					files := "[x-1.geojson, x-2.geojson]"
					if found {
						files = `"x-*"`
					}
					project := "structures: {file: s.geojson}\ncriteria: {default_class: c}\n" + section + ": {file: " + files + "}\n"
					folder := t.TempDir()
					for name, text := range map[string]string{"audit.yaml": project, "s.geojson": newBase().structures, "x-1.geojson": one, "x-2.geojson": c.other} {
						require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
					}
					p, err := Project(t.Context(), filepath.Join(folder, "audit.yaml"))
					if found && c.same {
						require.ErrorContains(t, err, "x-1.geojson: holds the same features as x-2.geojson, and the pattern \"x-*\" finds it too")
						return
					}
					require.NoError(t, err)
					want := map[bool][2]string{true: {"x-2.geojson", "x-1.geojson"}}[c.same]
					require.Equal(t, want, [2]string{p.Inputs[1].SameAs, p.Inputs[2].SameAs})
				})
			}
		}
	}
}
