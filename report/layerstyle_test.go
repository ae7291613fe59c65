package report

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image"
	"image/png"
	"io"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/report/gpkg"

	"github.com/stretchr/testify/require"
)

// demoLayers are the layers of the demo project as they are written.
func demoLayers(t *testing.T) (*audit.Result, []gpkg.Layer) {
	t.Helper()
	r := judged(t, demo(t))
	layers := layersOf(r, alone, unitCountsOf(t, r))
	require.NotEmpty(t, layers)
	return r, layers
}

// Every column that the program names has a heading and a description, and no two of a layer the same heading.
func TestColumnsAreDescribed(t *testing.T) {
	_, layers := demoLayers(t)
	used := map[string]bool{}
	for _, l := range layers {
		titles := map[string]string{}
		for _, c := range l.Columns {
			require.Contains(t, columnTexts, c.Name, l.Name)
			require.NotEmpty(t, c.Description, c.Name)
			require.Empty(t, titles[c.Title], "%s: %s and %s are called the same", l.Name, titles[c.Title], c.Name)
			titles[c.Title] = c.Name
			used[c.Name] = true
			for _, unit := range [...][2]string{{"_m", "(m)"}, {"_deg", "(deg)"}, {"_percent", "(%)"}, {"_mm_per_kv", "(mm/kV)"}} {
				if strings.HasSuffix(c.Name, unit[0]) {
					require.Contains(t, c.Title, unit[1], c.Name)
				}
			}
		}
	}
	for _, name := range slices.Concat(structureMembers, levelNames, exceptionMembers) {
		require.Contains(t, columnTexts, name)
		used[name] = true
	}
	for _, name := range slices.Concat(decidedNames, workDecisionNames) {
		used[name] = true
	}
	for name := range columnTexts {
		require.True(t, used[name], "nothing is called %s", name)
	}
}

// A style names only columns that its layer has, and draws each severity by another mark.
func TestStylesAreOfTheirLayers(t *testing.T) {
	r, layers := demoLayers(t)
	styled := 0
	for _, l := range layers {
		if l.Geometry == gpkg.NoGeometry {
			require.Empty(t, l.Style.Name)
			continue
		}
		styled++
		has := func(name string) bool {
			return slices.ContainsFunc(l.Columns, func(c gpkg.Column) bool { return c.Name == name })
		}
		d := drawingOf(l.Name, false)
		require.Equal(t, l.Geometry, d.geometry, l.Name)
		for _, name := range append([]string{d.label}, d.tip...) {
			require.True(t, name == "" || has(name), "%s has no %s", l.Name, name)
		}
		symbols := map[string]bool{}
		for _, rule := range d.rules {
			require.True(t, rule.filter == filter{} || has(rule.filter.column), "%s has no %s", l.Name, rule.filter.column)
			class, props := rule.qmlProps()
			symbol := fmt.Sprint(class, props)
			require.False(t, symbols[symbol], "%s: %s is drawn like another", l.Name, rule.label)
			symbols[symbol] = true
		}
		var doc qmlDocument
		require.NoError(t, xml.Unmarshal([]byte(l.Style.QML), &doc))
		require.Len(t, doc.Renderer.Rules.Rules, len(d.rules))
		require.Len(t, doc.Renderer.Symbols, len(d.rules))
		for i, rule := range doc.Renderer.Rules.Rules {
			require.Equal(t, doc.Renderer.Symbols[i].Name, rule.Symbol)
			require.NotEmpty(t, doc.Renderer.Symbols[i].Layer.Props)
		}
		require.Contains(t, l.Style.QML, r.Run.ID)
		wellFormed(t, l.Style.SLD)
	}
	require.Equal(t, 5, styled)
}

// wellFormed reads XML to its end.
func wellFormed(t *testing.T, text string) {
	t.Helper()
	decoder := xml.NewDecoder(strings.NewReader(text))
	for {
		_, err := decoder.Token()
		if err == io.EOF {
			return
		}
		require.NoError(t, err)
	}
}

// What is accepted or planned is drawn apart, and no rule of a severity draws it too.
func TestStylesKeepDecidedApart(t *testing.T) {
	d := drawingOf(pointLayer.name, true)
	require.Equal(t, "Accepted or planned", d.rules[0].label)
	require.Len(t, d.rules, 1+len(severityMarks))
	require.Equal(t, `"decision_status" = 'in force' AND "decision" IN ('accept', 'plan')`, d.rules[0].filter.expression(true))
	for _, rule := range d.rules[1:] {
		require.Contains(t, rule.filter.expression(true), "AND NOT (", rule.label)
		require.NotContains(t, rule.filter.expression(false), "decision", rule.label)
	}
	require.NotContains(t, d.sld("x"), "Accepted")
}

// Styles beside the GeoJSON name its own properties, and each geometry has a file.
func TestStylesBesideTheGeoJSON(t *testing.T) {
	r := fixtureResult(t)
	dir := t.TempDir()
	written(t, dir, r, "styles")
	for file, want := range map[string]struct {
		geometry   int
		properties []string
	}{structuresStyle: {0, structureMembers}, exceptionsStyle: {0, exceptionMembers}, alongStyle: {1, exceptionMembers}} {
		var doc qmlDocument
		require.NoError(t, xml.Unmarshal([]byte(read(t, dir, file)), &doc))
		require.Equal(t, want.geometry, doc.Geometry, file)
		require.Len(t, doc.Aliases, len(want.properties))
		for i, alias := range doc.Aliases {
			require.Equal(t, want.properties[i], alias.Field)
			require.NotEmpty(t, alias.Name)
		}
	}
}

// A mark is drawn whole, in its colours, and what is around it is clear.
func TestMarksAreDrawn(t *testing.T) {
	for i, m := range append(severityMarks[:], decidedMark) {
		img := pixelsOf(t, m, 64)
		r, g, b, a := img.At(32, 32).RGBA()
		want := rgb(m.fill)
		require.Equal(t, [4]uint32{uint32(want.R) * 257, uint32(want.G) * 257, uint32(want.B) * 257, 0xffff}, [4]uint32{r, g, b, a}, i)
		for _, corner := range [][2]int{{0, 0}, {63, 0}, {0, 63}, {63, 63}} {
			_, _, _, a := img.At(corner[0], corner[1]).RGBA()
			require.Zero(t, a, "mark %d reaches its corner", i)
		}
	}
}

// alongALine is the result of the demo project with one exception along a span, and how many are at one structure.
func alongALine(t *testing.T) (r *audit.Result, places int) {
	t.Helper()
	r = judged(t, demo(t))
	r.Exceptions[0].To = r.Exceptions[0].Structure + 1
	for i := range r.Exceptions {
		if r.Exceptions[i].Structure >= 0 && r.Exceptions[i].To < 0 {
			places++
		}
	}
	require.Positive(t, places)
	require.Less(t, places, len(r.Exceptions))
	return r, places
}

// pixelsOf is a mark as an image.
func pixelsOf(t *testing.T, m mark, pixels int) image.Image {
	t.Helper()
	picture, err := m.picture(pixels)
	require.NoError(t, err)
	img, err := png.Decode(bytes.NewReader(picture))
	require.NoError(t, err)
	return img
}

// QGIS opens the layers with their styles, finds every column that a rule names, and draws each exception once.
func TestQGISDrawsTheLayers(t *testing.T) {
	python := program(t, "/usr/bin/python3")
	if exec.Command(python, "-c", "import qgis.core").Run() != nil {
		t.Skip("QGIS is not installed") // large, so that .ci/run does not ask for it
	}
	r, places := alongALine(t)
	dir := t.TempDir()
	written(t, dir, r, "gpkg", "styles")
	script := filepath.Join("testdata", "drawlayers.py")
	said := run(t, "env", "QT_QPA_PLATFORM=offscreen", python, script, dir, filepath.Join(t.TempDir(), "layers.png"))
	for layer, want := range map[string]int{"structures": r.Network.StructureCount(), "spans": spansOf(r), pointLayer.name: places,
		wayLayer.name: len(r.Exceptions) - places, "zones": len(r.Project.Zones)} {
		require.Contains(t, said, fmt.Sprintf("%s RuleRenderer drawn once: %d, otherwise: 0, alias True\n", layer, want))
	}
	for _, file := range []string{structuresStyle, exceptionsStyle, alongStyle} {
		require.Contains(t, said, file+" read True, otherwise: 0, alias True\n")
	}
}
