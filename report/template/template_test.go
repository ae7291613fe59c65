package template

import (
	"context"
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
	require.Len(t, p.Structures, 5)
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

// Every key that stands in the project file as a comment is one that is read.
func TestTemplateKeysAreRead(t *testing.T) {
	var text strings.Builder
	keys := 0
	for line := range strings.Lines(templateProject()) {
		if key, value, found := strings.Cut(strings.TrimLeft(line, " #"), ": "); found && !strings.Contains(key, " ") && strings.HasPrefix(line, "  ") && value != "" {
			keys++
			line = "  " + strings.TrimLeft(line, " #")
		}
		text.WriteString(line)
	}
	files, err := Write(t.TempDir())
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(files[0], []byte(text.String()), 0o600))
	p, err := read.Project(context.Background(), files[0])
	require.NoError(t, err, text.String())
	require.Greater(t, keys, 20)
	for _, criterion := range p.Criteria.List() {
		require.True(t, criterion.Stated, criterion.Key)
	}
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
	require.Equal(t, map[string]string{"E2:E5000": `"back,ahead,both"`, "F2:F5000": `"suspension,tension,pin,post,shackle,jumper,earth wire,guy"`, "G2:G5000": `"single,parallel,V"`, "I2:I5000": `"upright,horizontal"`}, lists)
}
