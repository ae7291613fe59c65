package read

import (
	"context"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/read/gdaltest"

	"github.com/stretchr/testify/require"
)

// TestHalvesKeepTheirOrder reads layers and register, which are read at the same time, again and again: what comes out is
// the same, in the order of the project file.
func TestHalvesKeepTheirOrder(t *testing.T) {
	b := set(newBase(), "Duty", "hanging")
	b.structures = strings.Replace(b.structures, `"sequence":2`, `"sequence":"two","conductor_ahead":"Lynx"`, 1)
	b.zones = goodZone + zone(`{"class":"x"}`, "Polygon", "[]")
	path := b.write(t)
	for range 20 {
		p, err := Project(context.Background(), path)
		require.NoError(t, err)
		require.Equal(t, []string{
			`not-a-number structures.geojson row 2: sequence "two" is not a number`,
			`unknown-word zones.geojson row 2: class "x" is no pollution class, expected a to f; creepage in its area is not assessed; say what it means in the project file: words: {class: {"x": …}}`,
			`bad-geometry zones.geojson row 2: geometry "Polygon" is empty; where it lies cannot be told, so creepage is assessed only where its class is no worse than the one in force`,
			`unknown-word register.xlsx!Assemblies!F2: duty "hanging" is none of suspension, tension, pin, post, shackle, jumper, earth wire, guy; say what it means in the project file: words: {Duty: {"hanging": …}}`,
		}, faultsOf(p))
		require.Equal(t, []string{"structures.geojson", "zones.geojson", "register.xlsx"}, []string{p.Inputs[0].File, p.Inputs[1].File, p.Inputs[2].File})
		require.Equal(t, p.Structures.At(0).Line, p.Assemblies.At(0).Line, "one vocabulary")
		require.Equal(t, "Lynx", p.Symbols.Text(p.Structures.At(1).ConductorAhead))
		n, err := audit.Arrange(p)
		require.NoError(t, err)
		require.Equal(t, 2, n.RowsPlaced)
	}
}

func TestOfTwoErrorsTheLayersIsTold(t *testing.T) {
	b := newBase()
	b.structures, b.assemblies = "{", grid{{"nothing"}}
	for range 20 {
		_, err := b.read(t)
		requireInputError(t, err, "structures.geojson: ends in the middle, after 0 whole features", exportHint)
	}
}

// TestHintsConvert runs the command of the hint and reads what it writes.
func TestHintsConvert(t *testing.T) {
	b := newBase()
	b.project = "structures: {file: structures.geojson}\n"
	b.structures = `{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::2154"}},"features":[` + point("L1", "1", "[700000,6600000]") + `]}`
	path := b.write(t)
	_, err := Project(context.Background(), path)
	var input *InputError
	require.ErrorAs(t, err, &input)
	_, command, found := strings.Cut(input.Hint, ": ")
	require.True(t, found)
	words := strings.Fields(command)
	gdaltest.Run(t, filepath.Dir(path), words[0], words[1:]...)
	f, err := readProjectFile(path)
	require.NoError(t, err)
	f.structures.files = []string{words[len(words)-2]}
	p, _, err := f.read(context.Background(), path)
	require.NoError(t, err)
	require.InDelta(t, 3, p.Structures.At(0).Lon, 1e-9) // the origin of Lambert-93, by definition
	require.InDelta(t, 46.5, p.Structures.At(0).Lat, 1e-9)
}
