package history

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// Each case is what was read then and what is read now, as "section name content", where a name with a * behind it was found by a pattern; and what
// has vanished. The project file names zones by the pattern zones-* and by the name plain.geojson.
func TestVanished(t *testing.T) {
	inputs := func(text string) (inputs []audit.Input) {
		for _, input := range strings.Split(text, ", ") {
			if f := strings.Split(input, " "); len(f) == 3 {
				i := audit.Input{Section: strings.TrimPrefix(f[0], "-"), File: strings.TrimSuffix(f[1], "*"), SHA256: f[2]}
				if strings.HasSuffix(f[1], "*") {
					i.Pattern = "zones-*"
				}
				inputs = append(inputs, i)
			}
		}
		return inputs
	}
	const ab = "zones zones-a* A, zones zones-b* B"
	for name, c := range map[string]struct {
		then, now string
		leftOut   string
		gone      []string
	}{
		"not there":                             {ab, "zones zones-a* A", "", []string{"zones-b"}},
		"left out":                              {ab, "zones zones-a* A", "zones-b", nil},
		"of no pattern any more":                {"zones old-b* B", "zones zones-a* A", "", []string{"old-b"}},
		"the section is taken out":              {"places p* P, zones zones-a* A", "zones zones-a* A", "", nil},
		"there, and changed":                    {ab, "zones ./zones-a* C, zones zones-b* D", "", nil},
		"renamed":                               {ab, "zones zones-a* A, zones zones-c* B", "", nil},
		"exchanged":                             {ab, "zones zones-a* B, zones zones-b* A", "", nil},
		"a copy of the other now":               {"zones zones-a A, zones zones-b B", "zones zones-a B, zones zones-b B", "", []string{"zones-a"}},
		"a copy of the other then too":          {"zones zones-a A, zones zones-b A", "zones zones-a A, zones zones-b A", "", nil},
		"renamed over the other":                {ab, "zones zones-a* B", "", []string{"zones-b"}},
		"two of one content, one of them left":  {"zones zones-a* A, zones zones-b* A", "zones zones-a* A", "", []string{"zones-b"}},
		"its case is other":                     {ab, "zones Zones-A* A, zones zones-b* B", "", nil},
		"its case is other, and it is changed":  {ab, "zones Zones-A* C, zones zones-b* B", "", nil},
		"two names apart by case":               {"zones zones-a* A, zones zones-A* B", "zones zones-a* A", "", []string{"zones-A"}},
		"named by itself now":                   {ab, "zones zones-a* A, zones other B", "", nil},
		"its content is something else now":     {ab, "zones zones-a* A, crossings crossings-1* B", "", []string{"zones-b"}},
		"its name is something else now":        {"zones x* A", "crossings x B, zones zones-a* C", "", []string{"x"}},
		"the project file has moved":            {ab, "zones ../zones-a* C, zones ../zones-b* D", "", nil},
		"it has moved, and one is lost":         {ab, "zones ../zones-a* C", "", []string{"zones-b"}},
		"packed, and one is lost":               {ab, "zones zones-a.gz* C", "", []string{"zones-b"}},
		"another of its name":                   {"zones north/z* A", "zones west/z* C", "", []string{"north/z"}},
		"its place is named otherwise":          {"zones real/z* A", "zones link/z* C", "", nil},
		"a name is taken out":                   {"zones zones.geojson A, zones zones-a* A", "zones zones-a* B", "", nil},
		"a name is there, and is not read":      {"zones plain.geojson A, zones zones-a* B", "zones zones-a* B", "", []string{"plain.geojson"}},
		"a name is a pattern's now":             {"zones zones-b B, zones zones-a A", "zones zones-a* A", "", []string{"zones-b"}},
		"no section is told":                    {"- plain.geojson A, - s S", "zones plain.geojson B, structures s S", "", nil},
		"no section is told, and another name":  {"- plain.geojson A, - s S", "zones zones-b* A, structures s S", "", []string{"plain.geojson"}},
		"the table of a shapefile has its name": {"zones plain.geojson A, - plain.dbf T", "zones plain.geojson B, - plain.dbf U", "", nil},
	} {
		t.Run(name, func(t *testing.T) {
			folder := t.TempDir()
			require.NoError(t, os.Mkdir(filepath.Join(folder, "real"), 0o700))
			require.NoError(t, os.WriteFile(filepath.Join(folder, "real", "z"), nil, 0o600))
			require.NoError(t, os.Symlink("real", filepath.Join(folder, "link")))
			earlier := &Earlier{}
			for _, i := range inputs(c.then) {
				earlier.files = append(earlier.files, file{name: i.File, sha256: i.SHA256, pattern: i.Pattern, section: i.Section})
			}
			names := func(name string) bool { return name == "plain.geojson" || strings.HasPrefix(name, "zones-") }
			none := func(string) bool { return false }
			p := &audit.Project{File: filepath.Join(folder, "audit.yaml"), Inputs: inputs(c.now), Files: []audit.FileList{
				{Section: "zones", Names: names, LeavesOut: func(name string) bool { return name == c.leftOut }},
				{Section: "crossings", Names: none, LeavesOut: none}, {Section: "structures", Names: none, LeavesOut: none}}}
			for i := range p.Inputs {
				p.Inputs[i].Path = filepath.Join(folder, p.Inputs[i].File)
			}
			var gone []string
			for _, v := range earlier.Vanished(p, nil) {
				gone = append(gone, v.File)
			}
			require.Equal(t, c.gone, gone)
		})
	}
}

// A table of text whose last row ended with its line and does not now may be cut; one that never did, or is no table of text now, is not.
func TestLastRowIsOpen(t *testing.T) {
	for _, c := range []struct {
		ended bool
		now   string
		open  bool
	}{{true, audit.Open, true}, {true, audit.Ended, false}, {true, "", false}, {false, audit.Open, false}} {
		p := &audit.Project{Inputs: []audit.Input{{File: "a.csv", SHA256: "B", Section: "register", LastRow: c.now}}}
		vanished := (&Earlier{files: []file{{name: "a.csv", sha256: "A", section: "register", ended: c.ended}}}).Vanished(p, nil)
		require.Equal(t, c.open, len(vanished) == 1 && vanished[0].Open, "%v", c)
	}
}

// A file that has come to hold the features of another has lost its own; one that held them then too, or is what it was, has not.
func TestSameFeatures(t *testing.T) {
	for _, c := range []struct {
		twice bool
		sha   string
		told  bool
	}{{false, "A", true}, {true, "A", false}, {false, "B", false}} {
		p := &audit.Project{Inputs: []audit.Input{{File: "a", SHA256: "B", Section: "zones", SameAs: "b"}, {File: "b", SHA256: "C", Section: "zones", SameAs: "a"}}}
		vanished := (&Earlier{files: []file{{name: "a", sha256: c.sha, section: "zones", twice: c.twice}}}).Vanished(p, nil)
		require.Equal(t, c.told, len(vanished) == 1 && vanished[0].SameAs == "b", "%v", c)
	}
}

// A query is told by its text: its name has a number that may be another where queries were added or taken out. Each is "kind number text rows", and
// what has lost its rows is told by the name of now.
func TestQueriesAreTold(t *testing.T) {
	for name, c := range map[string]struct{ then, now, gone string }{
		"one added above, and the other lost its rows": {"Assemblies 1 a 9", "Assemblies 1 b 5, Assemblies 2 a 0", "query Assemblies 2"},
		"one added above": {"Assemblies 1 a 9", "Assemblies 1 b 0, Assemblies 2 a 9", ""},
		"one added below, and the other lost its rows": {"Assemblies 1 a 9", "Assemblies 1 a 0, Assemblies 2 b 5", "query Assemblies"},
		"the first is taken out":                       {"Assemblies 1 a 9, Assemblies 2 b 5", "Assemblies 1 b 5", ""},
		"the first is taken out, the other is lost":    {"Assemblies 1 a 9, Assemblies 2 b 5", "Assemblies 1 b 0", "query Assemblies"},
		"exchanged, and one lost its rows":             {"Assemblies 1 a 9, Assemblies 2 b 5", "Assemblies 1 b 5, Assemblies 2 a 0", "query Assemblies 2"},
		"exchanged, and the one that was changed":      {"Assemblies 1 a 9, Assemblies 2 b 5", "Assemblies 1 b 5, Assemblies 2 c 0", "query Assemblies 2"},
		"changed, and it lost its rows":                {"Assemblies 1 a 9", "Assemblies 1 b 0", "query Assemblies"},
		"changed":                                      {"Assemblies 1 a 9, Assemblies 2 b 5", "Assemblies 1 c 9, Assemblies 2 d 5", ""},
		"one text of two sheets":                       {"Lines 1 a 9, Units 1 a 5", "Units 1 a 5, Lines 1 a 0", "query Lines"},
		"one text of two databases":                    {"Lines 1 a 9, Lines 2 a 5", "Lines 1 a 9, Lines 2 a 0", "query Lines 2"},
		"it had none":                                  {"Assemblies 1 a 0", "Assemblies 1 b 5, Assemblies 2 a 0", ""},
	} {
		t.Run(name, func(t *testing.T) {
			earlier, p, filled := &Earlier{}, &audit.Project{Files: []audit.FileList{{Section: "register",
				Names: func(string) bool { return true }, LeavesOut: func(string) bool { return false }}}}, map[string]map[string]int{}
			each := func(text string, take func(name, kind, query string, rows int)) {
				for _, one := range strings.Split(text, ", ") {
					f := strings.Fields(one)
					rows, err := strconv.Atoi(f[3])
					require.NoError(t, err)
					take(strings.TrimSuffix("query "+f[0]+" "+f[1], " 1"), f[0], f[2], min(rows, 1))
				}
			}
			each(c.then, func(name, kind, query string, rows int) {
				f := file{name: name, sha256: query, section: "register", query: query}
				if rows > 0 {
					f.filled = map[string]int{kind: rows}
				}
				earlier.files = append(earlier.files, f)
			})
			each(c.now, func(name, kind, query string, rows int) {
				p.Inputs = append(p.Inputs, audit.Input{File: name, SHA256: fmt.Sprint(query, rows), Section: "register", Query: query})
				filled[name] = map[string]int{kind: rows}
			})
			gone := ""
			for _, v := range earlier.Vanished(p, filled) {
				gone += v.File
			}
			require.Equal(t, c.gone, gone)
		})
	}
}

// A file of which fewer tables of a kind hold rows has lost what these held; where the earlier run does not tell how many did, nothing is said.
func TestEmptiedTables(t *testing.T) {
	then := file{name: "a.xlsx", sha256: "A", section: "register", filled: map[string]int{"Assemblies": 2, "Lines": 1}}
	p := &audit.Project{Inputs: []audit.Input{{File: "b.xlsx", SHA256: "A", Section: "register"}}}
	for _, c := range []struct {
		then file
		now  map[string]int
		gone []string
	}{
		{then, map[string]int{"Assemblies": 2, "Lines": 1, "Units": 1}, nil},
		{then, map[string]int{"Assemblies": 1, "Lines": 1}, []string{"Assemblies"}},
		{then, map[string]int{"Units": 3}, []string{"Assemblies", "Lines"}},
		{then, nil, []string{"Assemblies", "Lines"}},
		{file{name: "a.xlsx", sha256: "A", section: "register"}, nil, nil},
	} {
		var gone []string
		for _, v := range (&Earlier{files: []file{c.then}}).Vanished(p, map[string]map[string]int{"b.xlsx": c.now}) {
			require.Equal(t, "b.xlsx", v.File)
			gone = append(gone, v.Kind)
		}
		require.Equal(t, c.gone, gone)
	}
}
