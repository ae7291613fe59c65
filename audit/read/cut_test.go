package read

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dryarc/audit"
)

// A table of text that is cut within its last row is refused wherever the cut leaves fewer cells than there are headings. What has no line end
// and all its cells, or as few as other rows, is read, and told to have none.
func TestATableIsCut(t *testing.T) {
	const (
		project    = "structures: {file: structures.geojson}\nregister: {file: r.csv}\ncriteria: {default_class: c}\n"
		headings   = "Line,Structure,Duty,Unit,Units per string,Strings,Defective units,Remarks\n"
		structures = `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"line":"L","structure":"1"},"geometry":{"type":"Point","coordinates":[10,50]}}]}`
		row        = "L,1,suspension,U120B,13,1,11,shattered"
		refused    = "r.csv: ends in the middle of line "
	)
	read := func(files map[string]string) (*audit.Project, error) {
		folder := t.TempDir()
		for name, text := range files {
			require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
		}
		return Project(t.Context(), filepath.Join(folder, "audit.yaml"))
	}
	first := strings.TrimSuffix(row, "shattered") + "x\n"
	for name, c := range map[string]struct{ rows, message, ends string }{
		"whole":                               {first + row + "\n", "", audit.Ended},
		"without a line end":                  {first + row, "", audit.Open},
		"with another line end":               {first + row + "\r", "", audit.Ended},
		"ended by a mark":                     {first + row + "\x1a", "", audit.Ended},
		"within a number":                     {first + row[:len(row)-len("1,shattered")], refused + "3: it has 7 of the 8 cells of the headings, and no line end", ""},
		"behind the first letter":             {first + "L", refused + "3: it has 1 of the 8", ""},
		"behind a comma, the last cell blank": {first + row[:len(row)-len("shattered")], "", audit.Open},
		"the only row":                        {row[:len(row)-len("1,shattered")], refused + "2", ""},
		"the only row, with a line end":       {row[:len(row)-len(",shattered")] + "\n", "", audit.Ended},
		"as few cells as others":              {row[:len(row)-len(",shattered")] + "\n" + row[:len(row)-len(",shattered")], "", audit.Open},
		"fewer than others, which vary":       {row[:len(row)-len(",shattered")] + "\n" + first + row[:len(row)-len(",11,shattered")], refused + "4", ""},
		"in quotes":                           {first + `"L","1","suspension","U120B"`, refused + "3: it has 4 of the 8", ""},
		"a total":                             {first + "Total,1", "", audit.Open},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := read(map[string]string{"audit.yaml": project, "structures.geojson": structures, "r.csv": headings + c.rows})
			if c.message != "" {
				require.ErrorContains(t, err, c.message)
				return
			}
			require.NoError(t, err)
			require.Equal(t, c.ends, p.Inputs[1].LastRow)
		})
	}
	t.Run("points", func(t *testing.T) {
		files := map[string]string{"audit.yaml": "structures: {file: s.csv}\ncriteria: {default_class: c}\n"}
		for text, message := range map[string]string{
			"line,structure,lon,lat\nL,1,10.001,50.0001\nL,2,10.002,50.0007\n": "",
			"line,structure,lon,lat\nL,1,10.001,50.0001\nL,2,10.002,50.00":     "",
			"line,structure,lon,lat\nL,1,10.001,50.0001\nL,2,10.00":            "s.csv: ends in the middle of line 3: it has 3 of the 4 cells of the headings, and no line end",
		} {
			files["s.csv"] = text
			p, err := read(files)
			if message != "" {
				require.ErrorContains(t, err, message)
				continue
			}
			require.NoError(t, err)
			require.Equal(t, map[bool]string{true: audit.Ended, false: audit.Open}[strings.HasSuffix(text, "\n")], p.Inputs[0].LastRow)
		}
	})
}
