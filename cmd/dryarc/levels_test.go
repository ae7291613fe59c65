package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestWhereLevelsAreFrom: the outputs of a project with rasters say of each structure where its ground level is from and its standard error, why there
// is none, and which verdicts would be others within it: as many as the coverage counts. Structure 3 falls short at 2000 m (831 kV are asked,
// 812.6 kV are there) and would not 200 m lower, where 650·exp(1800/8150) = 810.7 kV are asked (computed).
func TestWhereLevelsAreFrom(t *testing.T) {
	n := newLevelNights(t)
	n.raster("fine.asc", "2000 2000 2000 2000 -9999 -9999 -9999")
	code, stderr, _ := n.night(1, "terrain: [{file: fine.asc, crs: EPSG:4326, accuracy_m: 100}]\n", "", "1990", "", "", "")
	require.Equal(t, exitDone, code, stderr)
	const void = "ground level unknown: a sample of the raster beside it has no value"

	var layer struct {
		Features []struct {
			Properties struct {
				Structure, Ground_from string
				Ground_error_m         *float64
			}
		}
	}
	content, err := os.ReadFile(filepath.Join(n.out, "structures.geojson"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(content, &layer))
	sheet := sheetRows(t, filepath.Join(n.out, "exceptions.xlsx"), "Structures")
	require.Len(t, sheet, 5)
	for i, want := range []struct{ from, errorM string }{{"fine.asc", "100"}, {"stated", ""}, {"fine.asc", "100"}, {void, ""}, {void, ""}} {
		of := layer.Features[i].Properties
		require.Equal(t, want.from, of.Ground_from)
		require.Equal(t, want.errorM != "", of.Ground_error_m != nil)
		require.Equal(t, want.from, sheet[i]["Ground from"])
		require.Equal(t, want.errorM, strings.TrimSuffix(sheet[i]["Ground σ (m)"], ".0000"))
	}

	var said struct {
		Coverage []struct {
			Check   string
			Reasons []struct {
				Outcome, Reason string
				Count           int
			}
		}
		Within_levels []struct {
			Check, Structure, Outcome, Ground_from string
			Ground_error_m                         float64
		}
		Exceptions []struct{ Check, Structure, Severity string }
	}
	content, err = os.ReadFile(filepath.Join(n.out, "audit.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(content, &said))
	counted, listed, voids := map[string]int{}, map[string]int{}, 0
	for _, c := range said.Coverage {
		for _, reason := range c.Reasons {
			if strings.Contains(reason.Reason, "within the accuracy of ground levels from rasters") {
				counted[c.Check+" "+reason.Outcome] += reason.Count
			}
			if reason.Outcome == "not assessed" && reason.Reason == void {
				voids++
			}
		}
	}
	require.Positive(t, voids)
	for _, v := range said.Within_levels {
		listed[v.Check+" "+v.Outcome]++
		if v.Check == "lightning-withstand" {
			require.Equal(t, "fine.asc", v.Ground_from)
			require.InDelta(t, 100, v.Ground_error_m, 0)
		}
	}
	require.Equal(t, counted, listed)
	require.Equal(t, 1, listed["lightning-withstand falls short"])
	for _, e := range said.Exceptions {
		if e.Check == "lightning-withstand" && e.Structure == "3" {
			require.Equal(t, "advisory", e.Severity)
		}
	}
	levels := sheetRows(t, filepath.Join(n.out, "exceptions.xlsx"), "Levels")
	require.Len(t, levels, len(said.Within_levels)+1, "below them stands what they are")
	for i, v := range said.Within_levels {
		require.Equal(t, []string{v.Check, v.Structure, v.Outcome}, []string{levels[i]["Check"], levels[i]["Structure"], levels[i]["Outcome"]})
	}

	page, err := os.ReadFile(filepath.Join(n.out, "audit.html"))
	require.NoError(t, err)
	require.Contains(t, string(page), `"fine.asc, σ 100 m"`)
	require.Contains(t, string(page), void)
	requireReadable(t, filepath.Join(n.out, "exceptions.xlsx"))
}
