package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"
)

// hostileName would clear the screen, turn what follows around, and look like a line of the program's own.
const hostileName = "L\x1b[2J\u202e\nexceptions: 0 shortfalls\r\u200b\u009b1m"

// Names, values and file names of inputs reach the terminal as text only, whatever command prints them.
func TestHostileTextOnTheTerminal(t *testing.T) {
	folder := t.TempDir()
	name, err := json.Marshal(hostileName)
	require.NoError(t, err)
	feature := func(number, at string) string {
		return `{"type":"Feature","properties":{"line":` + string(name) + `,"structure":` + number + `,"ground_m":` + string(name) + `,` + string(name) + `:1},"geometry":{"type":"Point","coordinates":[` + at + `]}}`
	}
	layer := `{"type":"FeatureCollection","features":[` + feature(string(name), "5,60") + "," + feature(`"2"`, "5.01,60") + "," + feature(`"3"`, "5.02,60.01") + `]}`
	file := "s\u202e\u200b.geojson"
	require.NoError(t, os.WriteFile(filepath.Join(folder, file), []byte(layer), 0o666))
	cell := func(text string) string { return `"` + strings.ReplaceAll(text, `"`, `""`) + `"` }
	register := "Line,Structure,Duty,Unit,Units per string\n" + strings.Join([]string{cell(hostileName), "2", cell(hostileName), cell(hostileName), cell(strings.Repeat("9", 40_000))}, ",") +
		"\n" + strings.Join([]string{cell(hostileName), "3", "tension", "U120B", "9"}, ",") + "\n"
	require.NoError(t, os.WriteFile(filepath.Join(folder, "Assemblies.csv"), []byte(register), 0o666))
	units := "Unit,Kind,Creepage (mm)\n" + cell(hostileName) + ",cap-and-pin,300\n"
	require.NoError(t, os.WriteFile(filepath.Join(folder, "Units.csv"), []byte(units), 0o666))
	quoted, err := json.Marshal(file)
	require.NoError(t, err)
	project := filepath.Join(folder, "audit.yaml")
	yaml := "title: " + string(name) + "\nstructures: {file: " + string(quoted) + "}\nregister: {file: [Assemblies.csv, Units.csv]}\ncriteria: {default_class: c}\n"
	require.NoError(t, os.WriteFile(project, []byte(yaml), 0o666))
	broken := filepath.Join(folder, "broken\x1b[2J.yaml")
	require.NoError(t, os.WriteFile(broken, []byte("title: T\n"+string(name)+": 1\n\u202e: [\n"), 0o666))
	empty := filepath.Join(folder, "empty.yaml")
	require.NoError(t, os.WriteFile(empty, []byte("title: T\nstructures: {file: \"none\\e[2J.geojson\"}\n"), 0o666))
	out := filepath.Join(folder, "out\x1b[2J\u202e")

	for _, test := range []struct {
		args []string
		code int
		own  bool // the text is of the command line, and its lines stay lines
	}{
		{[]string{"read", project}, exitDone, false},
		{[]string{"read", project, "--all"}, exitDone, false},
		{[]string{"audit", project, "--out", out}, exitDone, false},
		{[]string{"verify", out}, exitDone, false},
		{[]string{"explain", project, hostileName, "2"}, exitDone, false},
		{[]string{"explain", project, hostileName, hostileName}, exitDone, false},
		{[]string{"explain", project, "M" + hostileName, "2"}, exitUsage, false},
		{[]string{"catalogue", project}, exitDone, false},
		{[]string{"audit", project, "--out", out, "--lines", hostileName + "x"}, exitUsage, false},
		{[]string{"audit", project, "--fail-on", hostileName}, exitUsage, false},
		{[]string{"audit", broken}, exitUsage, false},
		{[]string{"audit", empty}, exitUsage, false},
		{[]string{"checks", hostileName}, exitUsage, false},
		{[]string{hostileName}, exitUsage, true},
		{[]string{"verify", hostileName}, exitInputs, true},
		{[]string{"new", filepath.Join(folder, hostileName)}, exitDone, true},
	} {
		var stdout, stderr bytes.Buffer
		require.Equal(t, test.code, run(t.Context(), test.args, &stdout, &stderr), "%q: %s", test.args, stderr.String())
		for _, text := range []string{stdout.String(), stderr.String()} {
			require.False(t, !test.own && strings.Contains(text, "\nexceptions: 0 shortfalls"), "%q: %s", test.args, text)
			for line := range strings.Lines(text) {
				require.Less(t, len(line), 5000, "%q", test.args)
				require.Equal(t, -1, strings.IndexFunc(strings.TrimSuffix(line, "\n"), func(r rune) bool {
					return r != '\t' && unicode.IsControl(r) || unicode.Is(unicode.Cf, r)
				}), "%q: %q", test.args, line)
			}
		}
	}
}
