package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// hungSoFar writes a line of five structures on which all that hangs at the third is what some rows say, and what inspections saw there.
func hungSoFar(t *testing.T, rows, seen string) (project string) {
	t.Helper()
	dir := t.TempDir()
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	var points []string
	for i := range 5 {
		points = append(points, fmt.Sprintf(`{"type":"Feature","properties":{"line":"L","structure":"%d","sequence":%d,"ground_m":100,"attachment_m":20},"geometry":{"type":"Point","coordinates":[%g,50]}}`, i+1, i+1, 10+0.0036*float64(i)))
	}
	write("structures.geojson", `{"type":"FeatureCollection","features":[`+strings.Join(points, ",")+`]}`)
	write("Assemblies.csv", "Line,Structure,Phase,Side,Duty,Unit,Units per string,Strings,Defective units\n"+
		"L,1,,ahead,tension,U70BL,10,1,0\nL,2,,,suspension,U70BL,10,1,0\n"+rows+"\nL,4,,,suspension,U70BL,10,1,0\nL,5,,back,tension,U70BL,10,1,0\n")
	write("Lines.csv", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV)\nL,1,ABC,132,145\n")
	write("Units.csv", "Unit,Price\nU70BL,10\n")
	write("inspections.csv", "Line,Structure,Phase,Side,String,Date,Units seen,Units broken\n"+seen)
	write("audit.yaml", "structures: {file: structures.geojson}\nregister: {file: [Assemblies.csv, Lines.csv, Units.csv]}\ninspections: {file: inspections.csv}\ncriteria: {default_class: b}\n")
	return filepath.Join(dir, "audit.yaml")
}

// The work orders as many defective units as there are in all of what a row of the register stands for, and the cohorts count the same: exactly
// where each string is known, or all of them at once, else from how many to how many.
func TestDefectiveUnitsOfARowAreCountedOnce(t *testing.T) {
	const three, parallel, both = "L,3,,,suspension,U70BL,10,1,0", "L,3,A,,suspension,U70BL,10,2,0\nL,3,B,,suspension,U70BL,10,1,0\nL,3,C,,suspension,U70BL,10,1,0", "L,3,,both,tension,U70BL,10,1,3"
	for name, c := range map[string]struct {
		rows, seen  string
		phases      string // on which there is work
		units       int    // of all five structures
		least, most int
		work        string
	}{
		"one of three phases":            {three, "L,3,A,,,2025-09-01,10,3\n", "A", 150, 3, 3, "phase A: change 3 × U70BL"},
		"three phases, each another":     {three, "L,3,A,,,2025-09-01,10,1\nL,3,B,,,2025-09-01,10,2\nL,3,C,,,2025-09-01,10,3\n", "A,B,C", 150, 6, 6, "phase C: change 3 × U70BL"},
		"two phases, both the same":      {three, "L,3,A,,,2025-09-01,10,3\nL,3,C,,,2025-09-01,10,3\n", "A,C", 150, 6, 6, "phases A,C: change 3 × U70BL on each"},
		"by the register alone":          {"L,3,,,suspension,U70BL,10,1,3", "", "A,B,C", 150, 3, 9, "phases A,B,C: change 3 to 9 × U70BL"},
		"two phases seen since":          {"L,3,,,suspension,U70BL,10,1,3", "L,3,A,,,2025-09-01,10,0\nL,3,B,,,2025-09-01,10,0\n", "C", 150, 0, 3, "phase C: change 0 to 3 × U70BL"},
		"both sides, by the register":    {both, "", "A,B,C", 180, 3, 18, "phases A,B,C, back and ahead: change 3 to 18 × U70BL"},
		"one of two strings":             {parallel, "L,3,A,,1,2025-09-01,10,3\nL,3,A,,2,2025-09-01,10,0\n", "A", 160, 3, 3, "phase A: change 3 × U70BL"},
		"two strings, one by one":        {parallel, "L,3,A,,1,2025-09-01,10,3\nL,3,A,,2,2025-09-01,10,1\n", "A", 160, 4, 4, "phase A: change 4 × U70BL"},
		"two strings at once":            {parallel, "L,3,A,,,2025-09-01,20,13\n", "A", 160, 13, 13, "phase A: change 13 × U70BL"},
		"at once, and one of them since": {parallel, "L,3,A,,,2025-08-01,20,13\nL,3,A,,1,2025-09-01,10,3\n", "A", 160, 6, 13, "phase A: change 6 to 13 × U70BL"},
	} {
		t.Run(name, func(t *testing.T) {
			out := t.TempDir()
			auditInto(t, hungSoFar(t, c.rows, c.seen), out, "--as-of", "2026-06-30")
			raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
			require.NoError(t, err)
			type count struct{ Count int }
			var told struct {
				Jobs []struct {
					Structure string
					Remedies  []struct {
						Phases            string
						Fit, Remove, More []count
						AtLeast           bool `json:"at_least"`
						Price             float64
					}
				}
				Cohorts []struct {
					Units int
					Least int `json:"defective_at_least"`
					Most  int `json:"defective_at_most"`
				}
			}
			require.NoError(t, json.Unmarshal(raw, &told))
			require.Len(t, told.Cohorts, 1)
			require.Equal(t, [3]int{c.units, c.least, c.most}, [3]int{told.Cohorts[0].Units, told.Cohorts[0].Least, told.Cohorts[0].Most})
			require.Len(t, told.Jobs, 1)
			require.Len(t, told.Jobs[0].Remedies, 1)
			x := told.Jobs[0].Remedies[0]
			sum := func(counts []count) (all int) {
				for _, c := range counts {
					all += c.Count
				}
				return all
			}
			require.Equal(t, c.phases, x.Phases)
			require.Equal(t, [3]int{c.least, c.least, c.most - c.least}, [3]int{sum(x.Fit), sum(x.Remove), sum(x.More)})
			require.Equal(t, c.least < c.most, x.AtLeast)
			require.Equal(t, 10*float64(c.least), x.Price)

			book, err := excelize.OpenFile(filepath.Join(out, "exceptions.xlsx"))
			require.NoError(t, err)
			defer book.Close()
			work, err := book.GetRows("Work")
			require.NoError(t, err)
			require.Contains(t, strings.Join(work[1], "\n"), c.work)
			material, err := book.GetRows("Material")
			require.NoError(t, err)
			require.Contains(t, strings.Join(material[1], "\t"), fmt.Sprintf("U70BL\tall lines\t%d\t%d", c.most, c.most))
			if c.least < c.most {
				require.Contains(t, strings.Join(material[1], "\t"), fmt.Sprintf("to fit: %d to %d", c.least, c.most))
			}
			page, err := os.ReadFile(filepath.Join(out, "audit.html"))
			require.NoError(t, err)
			require.Contains(t, string(page), c.work)
		})
	}
}
