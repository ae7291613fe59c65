package template

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

func TestTemplateIsSound(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "new")
	files, err := Write(folder)
	require.NoError(t, err)
	p, understood, err := read.Understood(context.Background(), files[0])
	require.NoError(t, err)
	require.Empty(t, p.Faults.List())
	require.Equal(t, 5, p.Structures.Len())
	require.Equal(t, 6, p.RowsRead)
	require.Len(t, p.Lines, 1)
	require.Len(t, p.Crossings, 1)
	for _, u := range understood {
		require.Empty(t, u.Ignored, "%s", u.Table)
		for _, c := range u.Columns {
			require.Equal(t, c.From, c.Kept, "headings have the unit that is kept")
		}
	}
	written := map[string]int{}
	for _, u := range understood {
		if u.Section == "register" {
			written[u.Table.Sheet] = len(u.Columns)
		}
	}
	for _, sheet := range read.Sheets() {
		require.Equal(t, len(sheet.Columns), written[sheet.Name], sheet.Name)
	}
}

// Every key that stands in the project file as a comment is one that is read. The register of the template carries nothing
// through that factors could go by.
func TestTemplateKeysAreRead(t *testing.T) {
	var text strings.Builder
	keys := 0
	for line := range strings.Lines(templateProject()) {
		if key, value, found := strings.Cut(strings.TrimLeft(line, " #"), ": "); found && !strings.Contains(key, " ") && strings.HasPrefix(line, "  ") && value != "" {
			keys++
			line = strings.Replace("  "+strings.TrimLeft(line, " #"), "carried: {District: {Hale: 1.2}}, ", "", 1)
		}
		text.WriteString(line)
	}
	files, err := Write(t.TempDir())
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(files[0], []byte(text.String()), 0o600))
	p, err := read.Project(context.Background(), files[0])
	require.NoError(t, err, text.String())
	require.Greater(t, keys, 20)
	require.Contains(t, text.String(), "\n  fill_down: [")
	require.Contains(t, text.String(), "\n  headings: ")
	for _, criterion := range p.Criteria.List() {
		require.True(t, criterion.Stated, criterion.Key)
	}
}

// The examples of criteria of some lines and of a scenario are read where somebody takes their marks of comments away.
func TestTemplateExamplesOfLinesAndScenarios(t *testing.T) {
	files, err := Write(t.TempDir())
	require.NoError(t, err)
	text, err := os.ReadFile(files[0])
	require.NoError(t, err)
	stated := strings.NewReplacer("\n# for:", "\nfor:", "\n# scenarios:", "\nscenarios:", "\n#   - {", "\n  - {").Replace(string(text))
	require.NoError(t, os.WriteFile(files[0], []byte(stated), 0o600))
	p, err := read.Project(context.Background(), files[0])
	require.NoError(t, err, stated)
	require.Len(t, p.Rules, 1)
	require.Equal(t, []string{"deviation_limit_deg"}, p.Rules[0].Keys)
	require.Len(t, p.Scenarios, 1)
	require.Equal(t, "L-1 to 132 kV", p.Scenarios[0].Name)
}

func TestTemplateOverwritesNothing(t *testing.T) {
	folder := t.TempDir()
	mine := filepath.Join(folder, "zones.geojson")
	require.NoError(t, os.WriteFile(mine, []byte("mine"), 0o600))
	_, err := Write(folder)
	var exists *ExistsError
	require.ErrorAs(t, err, &exists)
	require.Equal(t, mine+" is there already and is not overwritten; nothing was written", err.Error())
	there, err := os.ReadDir(folder)
	require.NoError(t, err)
	require.Len(t, there, 1)
	content, err := os.ReadFile(mine)
	require.NoError(t, err)
	require.Equal(t, "mine", string(content))
}

// Whichever file fails, what stood there stands, and nothing else.
func TestTemplateIsAllOrNothing(t *testing.T) {
	names := []string{"a", "b", "c"}
	for failing := range names {
		for _, test := range []struct {
			name  string
			there bool // the folder
			taken bool // somebody takes the name meanwhile
		}{{"new folder", false, false}, {"folder that is there", true, false}, {"name taken meanwhile", true, true}} {
			t.Run(test.name+", file "+names[failing], func(t *testing.T) {
				home := t.TempDir()
				folder := filepath.Join(home, "mine")
				if test.there {
					require.NoError(t, os.Mkdir(folder, 0o777))
					require.NoError(t, os.WriteFile(filepath.Join(folder, "own"), nil, 0o600))
				}
				broken := errors.New("broken")
				var files []templateFile
				for i, name := range names {
					files = append(files, templateFile{name, func(path string) error {
						switch {
						case i == failing && test.taken:
							require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte("theirs"), 0o600))
						case i == failing:
							return errors.Join(broken, os.WriteFile(path, []byte("half"), 0o600))
						}
						return writeNew(path, []byte(name))
					}})
				}
				_, err := writeFiles(folder, files)
				require.Error(t, err)
				var want []string
				if test.there {
					want = []string{"mine", "mine/own"}
				}
				if test.taken {
					var exists *ExistsError
					require.ErrorAs(t, err, &exists)
					want = []string{"mine", "mine/" + names[failing], "mine/own"}
				} else {
					require.ErrorIs(t, err, broken)
				}
				require.Equal(t, want, allIn(t, home))
			})
		}
	}
}

// allIn lists what is in a folder and below.
func allIn(t *testing.T, folder string) (names []string) {
	t.Helper()
	require.NoError(t, filepath.WalkDir(folder, func(path string, _ os.DirEntry, err error) error {
		if path != folder {
			name, relative := filepath.Rel(folder, path)
			require.NoError(t, relative)
			names = append(names, filepath.ToSlash(name))
		}
		return err
	}))
	return names
}

func TestTemplateLeavesNothingBehind(t *testing.T) {
	home := t.TempDir()
	_, err := Write(filepath.Join(home, "deep", "mine"))
	require.NoError(t, err)
	require.NoError(t, os.Mkdir(filepath.Join(home, "empty"), 0o777))
	_, err = Write(filepath.Join(home, "empty"))
	require.NoError(t, err)
	require.Len(t, allIn(t, home), 3+5+5)
	for _, name := range allIn(t, home) {
		require.NotContains(t, name, ".dryarc")
	}
}

func TestTemplateDropDowns(t *testing.T) {
	files, err := Write(t.TempDir())
	require.NoError(t, err)
	book, err := excelize.OpenFile(files[len(files)-1])
	require.NoError(t, err)
	defer book.Close()
	require.Equal(t, []string{"Assemblies", "Lines", "Units", "Conductors", "Notes"}, book.GetSheetList())
	rules, err := book.GetDataValidations("Assemblies")
	require.NoError(t, err)
	lists := map[string]string{}
	for _, rule := range rules {
		if rule.Type == "list" {
			lists[rule.Sqref] = rule.Formula1
		}
	}
	require.Equal(t, map[string]string{"E2:E5000": `"back,ahead,both"`, "F2:F5000": `"suspension,tension,pin,post,shackle,jumper,earth wire,guy"`, "G2:G5000": `"single,parallel,V"`, "I2:I5000": `"upright,horizontal"`, "J2:J5000": `"none,live,earth,both"`}, lists)
}
