package read

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"github.com/tidwall/geodesic"
)

// agreeM is how far a position may be from that of PROJ, in metres.
const agreeM = 0.001

// projTool finds a program of PROJ. Where it is not installed the test is skipped, under CI=true it fails.
func projTool(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal(name + " is not installed")
		}
		t.Skip(name + " is not installed")
	}
	return path
}

// toolSays runs a program on lines of input and returns the lines it writes.
func toolSays(t *testing.T, lines []string, name string, arguments ...string) []string {
	t.Helper()
	command := exec.Command(name, arguments...)
	command.Stdin = strings.NewReader(strings.Join(lines, "\n") + "\n")
	out, err := command.CombinedOutput()
	require.NoError(t, err, string(out))
	return strings.Split(strings.TrimSpace(string(out)), "\n")
}

var (
	areaOfUse = regexp.MustCompile(`BBOX\[([^,]+),([^,]+),([^,]+),([^\]]+)\]`)
	accuracy  = regexp.MustCompile(`, ([0-9.]+) m, `)
	axisOrder = regexp.MustCompile(`AXIS\["[^"]*",(north|east)`)
)

// systems is a family of reference systems that are read.
type systems struct {
	name        string
	first, last int // EPSG codes
	projected   bool
}

// referenceSystems lists the reference systems beside WGS 84 longitude and latitude that are read.
func referenceSystems() []systems {
	var all []systems
	for _, g := range families() {
		all = append(all, systems{g.name, g.first, g.last, true})
	}
	all = append(all, systems{"Web Mercator", webMercator, webMercator, true})
	for _, g := range geographics() {
		all = append(all, systems{g.name, g.code, g.code, false})
	}
	return all
}

// TestSystemsAgainstPROJ compares systems with PROJ on a grid over their area of use as the EPSG dataset has it: under
// CI=true every one, else the first and the last of each family.
func TestSystemsAgainstPROJ(t *testing.T) {
	info, transform := projTool(t, "projinfo"), projTool(t, "cs2cs")
	for _, family := range referenceSystems() {
		for code := family.first; code <= family.last; code++ {
			if code != family.first && code != family.last && os.Getenv("CI") != "true" {
				continue
			}
			t.Run(strconv.Itoa(code), func(t *testing.T) {
				t.Parallel()
				name := fmt.Sprintf("EPSG:%d", code)
				definition := strings.Join(toolSays(t, nil, info, "-q", "--single-line", "-o", "WKT2:2019", name), "\n")
				require.Equal(t, family.projected, strings.HasPrefix(definition, "PROJCRS["))
				area := areaOfUse.FindStringSubmatch(definition)
				require.NotNil(t, area, definition)
				if code == family.first {
					ask := []string{"-s", name, "-t", "EPSG:4326", "--summary"}
					if code == 4269 { // whose transformations are each for a part of its area
						ask = append(ask, "--spatial-test", "intersects")
					}
					requireDatum(t, code, strings.Join(toolSays(t, nil, info, ask...), "\n"))
				}
				northFirst := axisOrder.FindStringSubmatch(definition)[1] == "north"
				requireAgreement(t, code, gridOver(t, code, area[1:]), northFirst, func(lines []string) []string {
					return toolSays(t, lines, transform, "-f", "%.12f", name, "EPSG:4326")
				})
			})
		}
	}
}

// TestSystemsAgainstPROJFarOut does the same over all that is believed of a zone, far beyond its area of use.
func TestSystemsAgainstPROJFarOut(t *testing.T) {
	transform := projTool(t, "cs2cs")
	for _, code := range [...]int{32632, 32719, webMercator} {
		s, _ := systemOf(code)
		const steps = 20
		var grid [][2]float64
		for i := range steps + 1 {
			for j := range steps + 1 {
				grid = append(grid, [2]float64{s.east[0] + (s.east[1]-s.east[0])*float64(i)/steps, s.north[0] + (s.north[1]-s.north[0])*float64(j)/steps})
			}
		}
		grid = slices.DeleteFunc(grid, func(at [2]float64) bool { return !s.believes(at[0], at[1]) })
		require.Greater(t, len(grid), steps*steps)
		requireAgreement(t, code, grid, false, func(lines []string) []string {
			return toolSays(t, lines, transform, "-f", "%.12f", s.String(), "EPSG:4326")
		})
	}
}

// requireDatum compares how well a datum agrees with WGS 84 with the accuracy that PROJ tells of the transformation.
func requireDatum(t *testing.T, code int, summary string) {
	t.Helper()
	s, ok := systemOf(code)
	require.True(t, ok)
	tells := accuracy.FindStringSubmatch(summary)
	require.NotNil(t, tells, summary)
	metres, err := strconv.ParseFloat(tells[1], 64)
	require.NoError(t, err)
	require.Equal(t, metres, s.datumM)
}

// gridOver is a grid of positions of a system over an area of latitudes and longitudes.
func gridOver(t *testing.T, code int, area []string) [][2]float64 {
	t.Helper()
	const steps = 12
	var south, west, north, east float64
	for i, to := range [...]*float64{&south, &west, &north, &east} {
		var err error
		*to, err = strconv.ParseFloat(area[i], 64)
		require.NoError(t, err)
	}
	if east < west {
		east += 360
	}
	s, ok := systemOf(code)
	require.True(t, ok)
	var grid [][2]float64
	for i := range steps + 1 {
		for j := range steps + 1 {
			lon, lat := west+(east-west)*float64(i)/steps, south+(north-south)*float64(j)/steps
			at := [2]float64{math.Remainder(lon, 360), lat}
			if s.project != nil {
				at = s.forward(lon, lat)
			}
			if slices.ContainsFunc(s.elsewhere, func(area orb.Bound) bool { return area.Contains(at) }) {
				continue // where it is refused
			}
			grid = append(grid, at)
		}
	}
	return grid
}

// requireAgreement compares the positions of a grid with those that an oracle gives as latitude and longitude.
func requireAgreement(t *testing.T, code int, grid [][2]float64, northFirst bool, oracle func(lines []string) []string) {
	t.Helper()
	s, ok := systemOf(code)
	require.True(t, ok)
	p := placing{system: s, written: nothing()}
	lines := make([]string, len(grid))
	for i, at := range grid {
		first, second := at[0], at[1]
		if northFirst {
			first, second = second, first
		}
		lines[i] = fmt.Sprintf("%.9f %.9f", first, second)
	}
	worst := 0.0
	for i, line := range oracle(lines) {
		words := strings.Fields(line)
		lat, err := strconv.ParseFloat(words[0], 64)
		require.NoError(t, err, line)
		lon, err := strconv.ParseFloat(words[1], 64)
		require.NoError(t, err, line)
		gotLon, gotLat := grid[i][0], grid[i][1]
		if p.projected() {
			gotLon, gotLat, ok = p.position(grid[i][0], grid[i][1])
			require.True(t, ok, "%v is in the area of use and not believed", grid[i])
		}
		var apart float64
		geodesic.WGS84.Inverse(lat, lon, gotLat, gotLon, &apart, nil, nil)
		worst = max(worst, apart)
	}
	t.Logf("worst %.7f m", worst)
	require.LessOrEqual(t, worst, agreeM)
}
