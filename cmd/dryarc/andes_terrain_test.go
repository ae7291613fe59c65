package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"
	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
)

// The tiles of the relief: degrees a side, and samples.
const (
	reliefTile    = 1
	reliefSamples = 400
)

// agreeWithin is how near a level from the relief is to the stated one, in m, to be the same. Over a span of 1 m, as the case has, 0.02 m moves the low
// point by some 100 m (computed).
const agreeWithin = 0.005

// TestAndesFromItsRelief: the real case without its levels takes them from a relief that was fitted to them, in tiles that abut. Where the levels
// agree at a structure and beside it, and nothing rests on others, it has the same exceptions, of creepage and withstand by altitude and of uplift too.
func TestAndesFromItsRelief(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	structures := readLayer(t, filepath.Join(andesCase(t), "structures.geojson"))
	tiles, between := writeRelief(t, folder, structures)
	for _, f := range structures.Features {
		delete(f.Properties, "ground_m")
	}
	content, err := json.Marshal(structures)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "structures.geojson"), content, 0o600))
	text, err := os.ReadFile(filepath.Join(andesCase(t), "audit.yaml"))
	require.NoError(t, err)
	absolute, err := filepath.Abs(andesCase(t))
	require.NoError(t, err)
	own := strings.NewReplacer("file: zones", fmt.Sprintf("file: %s/zones", filepath.ToSlash(absolute)), "file: assemblies", fmt.Sprintf("file: %s/assemblies", filepath.ToSlash(absolute)),
		", ground_m: ground_m", "").Replace(string(text)) + "terrain: {file: \"*.asc\", crs: EPSG:4326}\n"
	require.NoError(t, os.WriteFile(filepath.Join(folder, "audit.yaml"), []byte(own), 0o600))

	stated, fromRelief := loadedAndes(t, filepath.Join(andesCase(t), "audit.yaml")), loadedAndes(t, filepath.Join(folder, "audit.yaml"))
	require.Empty(t, stated.Project.Terrain)
	require.Len(t, fromRelief.Project.Terrain, tiles)
	require.Equal(t, stated.Network.StructureCount(), fromRelief.Network.StructureCount())
	agree, off, largest := make([]bool, stated.Network.StructureCount()), 0, 0.0
	for l := range stated.Network.Lines {
		line := &stated.Network.Lines[l]
		for i := line.First; i < line.End; i++ {
			a, b := stated.Network.Structure(l, i), fromRelief.Network.Structure(l, i)
			require.Equal(t, audit.NoReason, b.NoGround)
			require.NotZero(t, b.Terrain)
			apart := math.Abs(a.GroundM - b.GroundM)
			largest = max(largest, apart)
			if agree[i] = apart <= agreeWithin; !agree[i] {
				off++
			}
		}
	}
	require.Less(t, off, len(agree)*15/100)
	require.Less(t, largest, 1.0)
	require.Positive(t, between)

	one, other := exceptionsBy(stated), exceptionsBy(fromRelief)
	byLevels, differ := map[string]int{}, 0
	for _, of := range []struct{ has, lacks map[string]*audit.Exception }{{one, other}, {other, one}} {
		for id, e := range of.has {
			if name := stated.Checks[e.Check].ID; slices.Contains([]string{"creepage", "lightning-withstand", "tension-at-uplift"}, name) {
				byLevels[name]++
			}
			if of.lacks[id] == nil {
				differ++
				require.True(t, restsOnOthers(stated.Network, e, agree), "%+v", e)
			}
		}
	}
	for check, least := range map[string]int{"creepage": 20_000, "lightning-withstand": 10_000, "tension-at-uplift": 40} {
		require.Greater(t, byLevels[check], least, check)
	}
	require.Less(t, differ, 20)
	for i := range stated.Coverage {
		a, b := stated.Coverage[i], fromRelief.Coverage[i]
		require.Equal(t, []int{a.NotAssessed, a.NotApplicable}, []int{b.NotAssessed, b.NotApplicable}, stated.Checks[i].ID)
	}
	t.Logf("%d tiles, between which %d structures stand; %d of %d levels differ by more than %g m, the most by %.2f m; %d and %d exceptions, of which %d are in one of the two; by levels, of both: %v",
		tiles, between, off, len(agree), agreeWithin, largest, len(one), len(other), differ, byLevels)
}

// restsOnOthers tells whether a level of an exception, or one beside it, does not agree.
func restsOnOthers(n *audit.Network, e *audit.Exception, agree []bool) bool {
	line := &n.Lines[e.Line]
	for i := max(e.Structure-1, line.First); i <= min(e.Structure+1, line.End-1); i++ {
		if !agree[i] {
			return true
		}
	}
	return false
}

func exceptionsBy(r *audit.Result) map[string]*audit.Exception {
	found := map[string]*audit.Exception{}
	for i, id := range r.ExceptionIDs() {
		found[id] = &r.Exceptions[i]
	}
	return found
}

// loadedAndes is the case with what makes levels count: a lightning level, creepage by altitude, and a conductor on every line, drawn so hard in the cold case that
// it lifts here and there, as the relief of the case is smooth.
func loadedAndes(t *testing.T, path string) *audit.Result {
	p, err := read.Project(context.Background(), path)
	require.NoError(t, err)
	conductor := basis.UnknownConductor()
	conductor.Name, conductor.MassKgPerM, conductor.DiameterMM = "of the answer key", 0.974, 21
	p.Conductors = append(p.Conductors, conductor)
	symbol := p.Symbols.Number(conductor.Name)
	for i := range p.Lines {
		p.Lines[i].Conductor, p.Lines[i].MaximumTensionKN, p.Lines[i].ColdTensionKN, p.Lines[i].Subconductors = symbol, 120, 120, 1
		p.Lines[i].LightningKV = 550
	}
	p.Criteria.LoadCases = []audit.LoadCase{{Name: "cold", From: audit.ColdTension, Factor: 1, Uplift: true}}
	p.Criteria.CreepageAltitudeExponent = audit.Stated(0.2)
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 2))
	r, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{Workers: 2})
	require.NoError(t, err)
	return r
}

// reliefAt is a place of the relief, in samples from 180° west and 90° south.
type reliefAt struct{ column, row int }

func tileOf(at reliefAt) reliefAt { return reliefAt{at.column / reliefSamples, at.row / reliefSamples} }

// writeRelief fits samples to the levels of structures, correcting the four around one after the other by what it is off (S. Kaczmarz, 1937), and
// writes them as tiles that abut, without a value where no structure is. It returns how many there are, and how many
// structures have samples of more than one around them.
func writeRelief(t *testing.T, folder string, structures *layer) (tiles, between int) {
	type equation struct {
		at      [4]reliefAt
		weights [4]float64
		squares float64
		levelM  float64
	}
	const step = float64(reliefTile) / reliefSamples
	var equations []equation
	sums, shares := map[reliefAt]float64{}, map[reliefAt]float64{}
	for _, f := range structures.Features {
		levelM, stated := f.Properties["ground_m"].(float64)
		require.True(t, stated)
		var point struct{ Coordinates [2]float64 }
		require.NoError(t, json.Unmarshal(f.Geometry, &point))
		x, y := (point.Coordinates[0]+180)/step-0.5, (point.Coordinates[1]+90)/step-0.5
		u, v := x-math.Floor(x), y-math.Floor(y)
		e := equation{weights: [4]float64{(1 - u) * (1 - v), u * (1 - v), (1 - u) * v, u * v}, levelM: levelM}
		for k, w := range e.weights {
			e.at[k] = reliefAt{int(math.Floor(x)) + k%2, int(math.Floor(y)) + k/2}
			e.squares += w * w
			sums[e.at[k]] += w * levelM
			shares[e.at[k]] += w
		}
		if first, last := tileOf(e.at[0]), tileOf(e.at[3]); first != last {
			between++
		}
		equations = append(equations, e)
	}
	levels := map[reliefAt]float64{}
	for at, sum := range sums {
		levels[at] = sum / max(shares[at], 1e-9)
	}
	for range 200 {
		for i := range equations {
			e := &equations[i]
			off := e.levelM
			for k, w := range e.weights {
				off -= w * levels[e.at[k]]
			}
			for k, w := range e.weights {
				levels[e.at[k]] += off * w / e.squares
			}
		}
	}
	of := map[reliefAt]map[reliefAt]float64{}
	for at, levelM := range levels {
		tile := tileOf(at)
		if of[tile] == nil {
			of[tile] = map[reliefAt]float64{}
		}
		of[tile][at] = levelM
	}
	for tile, has := range of {
		file, err := os.Create(filepath.Join(folder, fmt.Sprintf("relief-%d-%d.asc", tile.column, tile.row)))
		require.NoError(t, err)
		w := bufio.NewWriter(file)
		fmt.Fprintf(w, "ncols %d\nnrows %d\nxllcorner %d\nyllcorner %d\ncellsize %g\nNODATA_value -9999\n", reliefSamples, reliefSamples, tile.column*reliefTile-180, tile.row*reliefTile-90, step)
		for row := reliefSamples - 1; row >= 0; row-- {
			for column := range reliefSamples {
				if levelM, there := has[reliefAt{tile.column*reliefSamples + column, tile.row*reliefSamples + row}]; there {
					fmt.Fprintf(w, "%.3f ", levelM)
				} else {
					fmt.Fprint(w, "-9999 ")
				}
			}
			fmt.Fprintln(w)
		}
		require.NoError(t, w.Flush())
		require.NoError(t, file.Close())
	}
	return len(of), between
}
