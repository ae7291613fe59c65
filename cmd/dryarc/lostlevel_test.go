package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// levelNights is a line of five structures, 300 m apart, whose ground levels are stated or from rasters. At structure 3 a string of 9 units
// falls short at 2000 m: 650 kV·exp(2000/8150) = 831 kV are asked and 812.6 kV there (computed).
type levelNights struct {
	t       *testing.T
	project string
	out     string
}

func newLevelNights(t *testing.T) *levelNights {
	folder := t.TempDir()
	n := &levelNights{t, filepath.Join(folder, "audit.yaml"), filepath.Join(folder, "out")}
	n.put("lines.csv", "Line,Nominal voltage (kV),Highest voltage (kV),Conductor,Maximum tension (kN),Everyday tension (kN),Cold tension (kN),Lightning level (kV),Circuits,Phases\nL1,132,145,Lynx,30,18,27,650,1,A\n")
	n.put("assemblies.csv", "Line,Structure,Phase,Duty,Side,Unit,Units per string,Strings\nL1,1,A,tension,ahead,U120B,10,1\nL1,2,A,suspension,,U120B,10,1\nL1,3,A,suspension,,U120B,9,1\nL1,4,A,suspension,,U120B,10,1\nL1,5,A,tension,back,U120B,10,1\n")
	return n
}

func (n *levelNights) put(name, text string) {
	require.NoError(n.t, os.WriteFile(filepath.Join(filepath.Dir(n.project), name), []byte(text), 0o666))
}

// raster writes a grid with one column of samples for each structure and one beside each end, and one for each row.
func (n *levelNights) raster(name string, levels string) {
	n.put(name, "ncols 7\nnrows 3\nxllcenter 9.995815654\nyllcenter 49.995815654\ncellsize 0.004184345\nnodata_value -9999\n"+strings.Repeat(levels+"\n", 3))
}

// night audits with the levels that structures state, a blank for none, and what the project file says of rasters.
func (n *levelNights) night(day int, terrain string, levels ...string) (code int, stderr string, said levelsSaid) {
	var b strings.Builder
	b.WriteString("line,structure,lon,lat,ground_m\n")
	for i, level := range levels {
		fmt.Fprintf(&b, "L1,%d,%.9f,50,%s\n", i+1, 10+float64(i)*0.004184345, level)
	}
	n.put("structures.csv", b.String())
	n.put("audit.yaml", "structures: {file: structures.csv}\nregister: {file: [assemblies.csv, lines.csv]}\n"+terrain+`criteria:
  default_class: b
  insulator_factor: {basis: own rule, tension: 2, suspension: 2, cantilever: 2.5, compression: 2, one_string_broken: 1.5}
  load_cases: [{name: wind, wind_Pa: 400, tension: maximum}, {name: cold, tension: cold, uplift: true}]
  altitude_basis: sea level
`)
	code, stderr = auditSince(n.t, n.project, n.out, fmt.Sprintf("2026-11-%02d", day))
	if code == exitDone {
		text, err := os.ReadFile(filepath.Join(n.out, "audit.json"))
		require.NoError(n.t, err)
		require.NoError(n.t, json.Unmarshal(text, &said))
	}
	return code, stderr, said
}

type levelsSaid struct {
	Exceptions []struct{ Check, Structure, State string }
	Cleared    []struct{ Check, Structure, Why, Detail string }
}

// of is what is said of a check at structure 3.
func (s *levelsSaid) of(check string) string {
	for _, e := range s.Exceptions {
		if e.Check == check && e.Structure == "3" {
			return e.State
		}
	}
	for _, c := range s.Cleared {
		if c.Check == check && c.Structure == "3" {
			return c.Why + ": " + c.Detail
		}
	}
	return ""
}

// TestAStatedLevelLost: what a raster has in place of a level that is not stated any more clears nothing; a level that is stated does.
func TestAStatedLevelLost(t *testing.T) {
	const (
		terrain = "terrain: {file: d.asc, crs: EPSG:4326, vertical: EGM2008}\n"
		lost    = "not assessed: ground level of the structure: known before, and blank or not to be read now"
	)
	all := func(level string) []string { return []string{level, level, level, level, level} }
	lifted := []string{"115", "115", "100", "115", "115"} // W = 2·(150 − 27·1000/8.31·15/300) m is below 0 (computed)
	for name, c := range map[string]struct {
		check         string
		first, second []string
		before, after string    // sections terrain
		levels        [2]string // of the raster, on both nights
		says          string
	}{
		"altitude":                       {"lightning-withstand", all("2000"), all(""), terrain, terrain, [2]string{"2000", "500"}, lost},
		"altitude, a raster only now":    {"lightning-withstand", all("2000"), all(""), "", terrain, [2]string{"2000", "500"}, lost},
		"altitude, another is stated":    {"lightning-withstand", all("2000"), all("500"), terrain, terrain, [2]string{"2000", "500"}, "meets: now 812.55, required 691.13 kV"},
		"altitude, by the raster before": {"lightning-withstand", all(""), all("500"), terrain, terrain, [2]string{"2000", "500"}, "meets: now 812.55, required 691.13 kV"},
		"rise":                           {"tension-at-uplift", lifted, all(""), terrain, terrain, [2]string{"100", "100"}, lost},
		"rise, of the neighbours":        {"tension-at-uplift", lifted, []string{"", "", "100", "", ""}, terrain, terrain, [2]string{"100", "100"}, "not assessed: ground level of structure 2: known before, and blank or not to be read now"},
		"rise, another is stated":        {"tension-at-uplift", lifted, all("100"), terrain, terrain, [2]string{"100", "100"}, "meets: now"},
	} {
		t.Run(name, func(t *testing.T) {
			n := newLevelNights(t)
			everywhere := func(level string) { n.raster("d.asc", strings.TrimSpace(strings.Repeat(level+" ", 7))) }
			everywhere(c.levels[0])
			code, stderr, said := n.night(1, c.before, c.first...)
			require.Equal(t, exitDone, code, stderr)
			require.Equal(t, "new", said.of(c.check))
			everywhere(c.levels[1])
			code, stderr, said = n.night(2, c.after, c.second...)
			require.Equal(t, exitDone, code, stderr)
			require.True(t, strings.HasPrefix(said.of(c.check), c.says), said.of(c.check))
			if strings.HasPrefix(c.says, "not assessed") {
				everywhere(c.levels[0])
				_, _, said = n.night(3, c.after, c.first...)
				require.Equal(t, "standing", said.of(c.check))
			}
		})
	}
}

// TestAnotherRasterClears: what fell short by the levels of a raster and meets by those of another one is no "meets" of the line: that says that the
// rasters are others. So does a raster in place of a better one, which the run before had too. What meets within the accuracy of the levels says so.
func TestAnotherRasterClears(t *testing.T) {
	const (
		two   = "terrain: [{file: fine.asc, crs: EPSG:4326}, {file: d.asc, crs: EPSG:4326}]\n"
		one   = "terrain: {file: d.asc, crs: EPSG:4326}\n"
		other = "rule changed: the ground level is from a raster, and the run before had others: now 812.55, required 691.13 kV"
		rough = "terrain: {file: d.asc, crs: EPSG:4326, accuracy_m: 800}\n" // 650·exp((500 + 1600)/8150) = 841 kV (computed)
		by    = "; another outcome is within the accuracy of ground levels from rasters"
	)
	blank := []string{"", "", "", "", ""}
	everywhere := func(level string) string { return strings.TrimSpace(strings.Repeat(level+" ", 7)) }
	for name, c := range map[string]struct {
		before, after string
		second        string // level of d.asc on the second night
		units         string // at structure 3 on the second night
		says          string
	}{
		"another content":         {one, one, "500", "9", other},
		"one was taken away":      {two, one, "1999", "10", "rule changed: the ground level is from a raster, and the run before had others: now "},
		"within its accuracy":     {rough, rough, "500", "9", other + by},
		"the line itself changed": {one, one, "2000", "10", "meets: now "},
	} {
		t.Run(name, func(t *testing.T) {
			n := newLevelNights(t)
			n.raster("fine.asc", everywhere("2001"))
			n.raster("d.asc", everywhere("2000"))
			if c.before == two {
				n.raster("d.asc", everywhere(c.second))
			}
			code, stderr, said := n.night(1, c.before, blank...)
			require.Equal(t, exitDone, code, stderr)
			require.Equal(t, "new", said.of("lightning-withstand"))
			n.raster("d.asc", everywhere(c.second))
			text, err := os.ReadFile(filepath.Join(filepath.Dir(n.project), "assemblies.csv"))
			require.NoError(t, err)
			n.put("assemblies.csv", strings.Replace(string(text), "U120B,9,", "U120B,"+c.units+",", 1))
			code, stderr, said = n.night(2, c.after, blank...)
			require.Equal(t, exitDone, code, stderr)
			require.True(t, strings.HasPrefix(said.of("lightning-withstand"), c.says), said.of("lightning-withstand"))
			require.Equal(t, c.before == rough, strings.HasSuffix(said.of("lightning-withstand"), by))
			first := said.of("lightning-withstand")
			_, _, said = n.night(2, c.after, blank...)
			require.Equal(t, first, said.of("lightning-withstand"), "repeated on its day")
		})
	}
}

// TestRastersThatAreNotNoted: a run of a version of the program that noted no rasters is read, and where its day is repeated nothing meets by a
// raster that may be another.
func TestRastersThatAreNotNoted(t *testing.T) {
	const one = "terrain: {file: d.asc, crs: EPSG:4326}\n"
	blank := []string{"", "", "", "", ""}
	n := newLevelNights(t)
	asOlder := func() {
		file := filepath.Join(n.out, "audit.json")
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		older := regexp.MustCompile(` rasters/[0-9a-f]{12}:`).ReplaceAll(text, nil)
		require.NotEqual(t, len(text), len(older))
		require.NoError(t, os.WriteFile(file, older, 0o666))
	}
	n.raster("d.asc", "2000 2000 2000 2000 2000 2000 2000")
	_, _, _ = n.night(1, one, blank...)
	asOlder()
	n.raster("d.asc", "500 500 500 500 500 500 500")
	code, stderr, said := n.night(2, one, blank...)
	require.Equal(t, exitDone, code, stderr)
	require.Equal(t, "rule changed: the ground level is from a raster, and the run before had others: now 812.55, required 691.13 kV", said.of("lightning-withstand"))
	_, _, said = n.night(2, one, blank...)
	require.Equal(t, "rule changed: the ground level is from a raster, and the run before had one that it did not note: now 812.55, required 691.13 kV", said.of("lightning-withstand"))
}

// TestRastersGiveWay: a raster that gives no level any more, since all are stated or from another, stops nothing; one that has lost its levels does.
func TestRastersGiveWay(t *testing.T) {
	n := newLevelNights(t)
	n.raster("a.asc", "100 100 100 100 100 100 100")
	n.raster("b.asc", "100 100 100 100 100 100 100 ")
	both := "terrain: {file: [a.asc, b.asc], crs: EPSG:4326}\n"
	for day, c := range []struct {
		terrain string
		third   string
	}{{both, ""}, {strings.Replace(both, "a.asc, b.asc", "b.asc, a.asc", 1), ""}, {both, "101"}} {
		code, stderr, _ := n.night(day+1, c.terrain, "100", "100", c.third, "100", "100")
		require.Equal(t, exitDone, code, stderr)
	}
	code, stderr, _ := n.night(5, both, "100", "100", "", "100", "100")
	require.Equal(t, exitDone, code, stderr)
	n.raster("a.asc", "-9999 -9999 -9999 -9999 -9999 -9999 -9999")
	n.raster("b.asc", "-9999 -9999 -9999 -9999 -9999 -9999 -9999 ")
	code, stderr, _ = n.night(6, both, "100", "100", "", "100", "100")
	require.Equal(t, exitInputs, code)
	require.Contains(t, stderr, "a.asc: gives no ground level, and structures have none")
}

// Where no raster stands in for a stated level, what met at sea level cannot be judged any more, for a datum that was lost; and what falls short at
// any altitude is not better for it.
func TestALostLevelIsADatumLost(t *testing.T) {
	n := newLevelNights(t)
	_, _, said := n.night(1, "", "2000", "2000", "2000", "2000", "2000")
	require.Equal(t, "new", said.of("lightning-withstand"))
	_, stderr, said := n.night(2, "", "", "", "", "", "")
	require.Equal(t, "not assessed: ground level of the structure: known before, and blank or not to be read now", said.of("lightning-withstand"))
	require.Contains(t, stderr, "only because data were lost")
	require.NotContains(t, stderr, "no datum was lost")

	n = newLevelNights(t)
	n.put("assemblies.csv", "Line,Structure,Phase,Duty,Side,Unit,Units per string,Strings\nL1,1,A,tension,ahead,U120B,10,1\nL1,2,A,suspension,,U120B,10,1\nL1,3,A,suspension,,U120B,6,1\nL1,4,A,suspension,,U120B,10,1\nL1,5,A,tension,back,U120B,10,1\n")
	for day, level := range []string{"2000", ""} {
		code, stderr, said := n.night(day+1, "", level, level, level, level, level)
		require.Equal(t, exitDone, code, stderr)
		require.Equal(t, []string{"new", "standing"}[day], said.of("lightning-withstand"))
	}
}
