package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestLayersFarApartClearNothing holds that zones and crossings of another zone of the projection than the structures clear nothing: what
// met by the default class, and what crossed nothing, is not assessed.
func TestLayersFarApartClearNothing(t *testing.T) {
	const (
		structures = `{"type":"Feature","properties":{"line":"L1","structure":"1"},"geometry":{"type":"Point","coordinates":[512000,5096000]}}
{"type":"Feature","properties":{"line":"L1","structure":"2"},"geometry":{"type":"Point","coordinates":[512300,5096100]}}
{"type":"Feature","properties":{"line":"L1","structure":"3"},"geometry":{"type":"Point","coordinates":[512600,5096200]}}`
		zones     = `{"type":"Feature","properties":{"class":"d"},"geometry":{"type":"Polygon","coordinates":[[[15.17,46],[15.2,46],[15.2,46.1],[15.17,46.1],[15.17,46]]]}}`
		crossings = `{"type":"Feature","properties":{"kind":"river"},"geometry":{"type":"LineString","coordinates":[[15,46.1],[15.2,46.1]]}}`
		register  = "Line,Structure,Duty,Unit,Units per string\nL1,1,tension,U120B,8\nL1,2,suspension,U120B,8\nL1,3,tension,U120B,8\n"
		lines     = "Line,Nominal voltage (kV),Phases,Circuits\nL1,132,ABC,1\n"
	)
	of := func(crs string) map[string][3]int {
		folder := t.TempDir()
		project := "structures: {file: structures.geojson, crs: " + crs + "}\nzones: {file: zones.geojson}\ncrossings: {file: crossings.geojson}\n" +
			"register: {file: [assemblies.csv, lines.csv]}\ncriteria: {default_class: a, crossing_rules: {river: tension}}\n"
		for name, text := range map[string]string{"audit.yaml": project, "structures.geojson": structures, "zones.geojson": zones, "crossings.geojson": crossings, "assemblies.csv": register, "lines.csv": lines} {
			require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
		}
		outcomes := map[string][3]int{}
		for _, c := range auditInto(t, filepath.Join(folder, "audit.yaml"), t.TempDir()).Coverage {
			outcomes[c.Check] = [3]int{c.Meets, c.NotApplicable, c.NotAssessed}
		}
		return outcomes
	}
	inPlace, apart := of("EPSG:32633"), of("EPSG:32623")
	require.Equal(t, [3]int{3, 0, 0}, inPlace["creepage"])
	require.Equal(t, [3]int{0, 3, 0}, inPlace["tension-at-crossing"])
	require.Equal(t, [3]int{0, 0, 3}, apart["creepage"])
	require.Equal(t, [3]int{0, 0, 3}, apart["tension-at-crossing"])
}
