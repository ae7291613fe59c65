package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Why an exception is not there any more, where nothing but one datum of the inputs changed. The string of phase A at structure 3 of
// line L0 is too short at first.
func TestWhyCleared(t *testing.T) {
	t.Parallel()
	const (
		point = `{"type":"Feature","properties":{"line":"L0","structure":"3","sequence":3},"geometry":{"type":"Point","coordinates":[10.003000,50]}}`
		row   = "L0,3,1,A,suspension,U120B,8\n"
	)
	at := func(replacement string) func(map[string]string) {
		return func(files map[string]string) {
			files["structures.geojson"] = strings.Replace(files["structures.geojson"], point, replacement, 1)
		}
	}
	withoutRows := func(change func(map[string]string)) func(map[string]string) {
		return func(files map[string]string) {
			change(files)
			var rows []string
			for row := range strings.Lines(files["Assemblies.csv"]) {
				if !strings.HasPrefix(row, "L0,3,") {
					rows = append(rows, row)
				}
			}
			files["Assemblies.csv"] = strings.Join(rows, "")
		}
	}
	registered := func(replacement string) func(map[string]string) {
		return func(files map[string]string) {
			files["Assemblies.csv"] = strings.Replace(files["Assemblies.csv"], row, replacement, 1)
		}
	}
	for _, c := range []struct {
		name   string
		change func(files map[string]string)
		why    string
		detail string
	}{
		{"mended", registered("L0,3,1,A,suspension,U120B,14\n"), "meets", "now 4130"},
		{"figure unreadable", registered("L0,3,1,A,suspension,U120B,six\n"), "not assessed", "a field it needs is faulty"},
		{"unit unknown", registered("L0,3,1,A,suspension,NONE-1,8\n"), "not assessed", ""},
		{"now a jumper", registered("L0,3,1,A,guy,U120B,8\n"), "does not apply", ""},
		{"row taken out", registered(""), "gone", "nothing of that circuit, phase and side is registered there any more"},
		{"row names no structure", registered("L0,,1,A,suspension,U120B,8\n"), "not assessed", "a row of the register that cannot be read or placed may be it"},
		{"row names no line", registered(",3,1,A,suspension,U120B,8\n"), "not assessed", "a row of the register that cannot be read or placed may be it"},
		{"structure taken down", withoutRows(at("")), "gone", "the inputs have no such structure any more"},
		{"structure lost by the layer", at(""), "not assessed", "the structures have no such structure any more, and the register has rows that may be of it"},
		{"structure lost by the layer, the register spells its line otherwise", func(files map[string]string) {
			at("")(files)
			files["Assemblies.csv"] = strings.ReplaceAll(files["Assemblies.csv"], "L0,3,", "l-0,03,")
		}, "not assessed", "the register has rows that may be of it"},
		{"line lost by the layer", func(files map[string]string) {
			var features []string
			for feature := range strings.Lines(files["structures.geojson"]) {
				if !strings.Contains(feature, `"L0"`) {
					features = append(features, feature)
				}
			}
			files["structures.geojson"] = strings.Join(features, "")
		}, "not assessed", "the structures have no such line any more, and the register has rows that may be of it"},
		{"position unreadable", at(strings.Replace(point, "10.003000", `"x"`, 1)), "not assessed", "the position of a structure that may be it cannot be read"},
		{"number lost", at(strings.Replace(point, `"structure":"3"`, `"structure":null`, 1)), "not assessed", "where it stood is a structure whose line or number cannot be read"},
		{"line lost", at(strings.Replace(point, `"line":"L0"`, `"line":null`, 1)), "not assessed", "where it stood is a structure whose line or number cannot be read"},
		{"moved by two metres and renumbered", withoutRows(at(strings.Replace(strings.Replace(point, "10.003000", "10.003030", 1), `"3"`, `"3N"`, 1))), "gone", "the inputs have no such structure any more"},
		{"two numbers where it stood", withoutRows(at(strings.Replace(point, `"3"`, `"3N"`, 1) + "\n" + strings.Replace(point, `"3"`, `"3M"`, 1))), "gone", "the inputs have no such structure any more"},
		{"line gone", func(files map[string]string) {
			for name, text := range files {
				files[name] = strings.ReplaceAll(strings.ReplaceAll(text, `"L0"`, `"M0"`), "L0,", "M0,")
				files[name] = strings.ReplaceAll(files[name], ",50]", ",54]") // elsewhere, so that it is another one
			}
		}, "gone", "the inputs have no such line any more"},
		{"criteria eased", func(files map[string]string) {
			files["audit.yaml"] = strings.Replace(files["audit.yaml"], "default_class: c", "default_class: a", 1)
		}, "rule changed", "now 2360"},
		{"criteria eased and datum lost", func(files map[string]string) {
			files["audit.yaml"] = strings.Replace(files["audit.yaml"], "default_class: c", "default_class: a", 1)
			registered("L0,3,1,A,suspension,U120B,six\n")(files)
		}, "not assessed", "a field it needs is faulty"},
	} {
		t.Run(c.name, func(t *testing.T) {
			y := newYear(t)
			for _, line := range y.lines {
				for _, tw := range line.towers {
					tw.units = [3]int{14, 14, 14}
				}
			}
			y.lines[0].towers[2].units[0] = 8
			y.write()
			y.asOf = "2026-11-24"
			first := y.audit(y.lines)
			require.Len(t, first.Exceptions, 1)

			files := map[string]string{}
			for _, name := range []string{"audit.yaml", "structures.geojson", "Assemblies.csv", "Lines.csv"} {
				text, err := os.ReadFile(filepath.Join(y.folder, name))
				require.NoError(t, err)
				files[name] = string(text)
			}
			require.Contains(t, files["structures.geojson"], point)
			require.Contains(t, files["Assemblies.csv"], row)
			c.change(files)
			for name, text := range files {
				y.put(name, text)
			}
			y.asOf = "2026-11-25"
			y.audit(y.lines)
			raw, err := os.ReadFile(filepath.Join(y.folder, "out", "audit.json"))
			require.NoError(t, err)
			var said struct {
				Cleared []struct{ Check, Line, Structure, Why, Detail string }
			}
			require.NoError(t, json.Unmarshal(raw, &said))
			require.Len(t, said.Cleared, 1)
			require.Equal(t, []string{"creepage", "L0", "3", c.why}, []string{said.Cleared[0].Check, said.Cleared[0].Line, said.Cleared[0].Structure, said.Cleared[0].Why}, said.Cleared[0].Detail)
			require.Contains(t, said.Cleared[0].Detail, c.detail)
			if c.name == "two numbers where it stood" {
				require.Contains(t, string(raw), `structure \"3\" of line \"L0\" is not there any more, and where it stood are [\"3M\" \"3N\"]: which of them it is cannot be told`)
			}
		})
	}
}

// A criterion changes on one line: what is mended there while it does is put down to the rule, what is mended on another line is not, and what
// nobody touched stands, each night by what holds on its line.
func TestACriterionOfOneLineChanges(t *testing.T) {
	t.Parallel()
	y := newYear(t)
	y.lines = y.lines[:2]
	for _, line := range y.lines {
		for _, tw := range line.towers {
			tw.units = [3]int{14, 14, 14}
		}
	}
	mended, other := &y.lines[0].towers[2].units[0], &y.lines[1].towers[2].units[0]
	y.lines[0].towers[4].units[0], y.lines[1].towers[4].units[0] = 5, 5
	night := func(day, class string, units int) (said []string) {
		*mended, *other = units, units
		y.write()
		project, err := os.ReadFile(filepath.Join(y.folder, "audit.yaml"))
		require.NoError(t, err)
		y.put("audit.yaml", string(project)+"for: [{lines: [L1], criteria: {default_class: "+class+"}}]\n")
		y.asOf = day
		out := y.audit(y.lines)
		for _, e := range out.Exceptions {
			said = append(said, e.Line+" "+e.State)
		}
		for _, e := range out.Cleared {
			said = append(said, e.Line+" "+e.Why)
		}
		return said
	}
	require.ElementsMatch(t, []string{"L0 new", "L0 new", "L1 new", "L1 new"}, night("2026-11-01", "c", 8))
	require.ElementsMatch(t, []string{"L0 standing", "L1 standing", "L0 meets", "L1 meets"}, night("2026-11-02", "c", 14))
	require.ElementsMatch(t, []string{"L0 new", "L0 standing", "L1 new", "L1 standing"}, night("2026-11-03", "c", 8))
	require.ElementsMatch(t, []string{"L0 standing", "L1 worse", "L0 meets", "L1 rule changed"}, night("2026-11-04", "d", 14))
	require.ElementsMatch(t, []string{"L0 standing", "L1 worse", "L0 meets", "L1 rule changed"}, night("2026-11-04", "d", 14), "repeated")
}
