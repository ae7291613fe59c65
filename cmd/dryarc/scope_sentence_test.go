package main

import (
	"bytes"
	"context"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// scopedDemo looks at the scenarios of the demo, with headroom.
func scopedDemo(t *testing.T) (folder string, out scopeOut) {
	t.Helper()
	folder = t.TempDir()
	var said bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"scope", demoProject, "--headroom", "--out", folder, "--as-of", "2026-01-01", "--quiet"}, &said, &said), said.String())
	return folder, scopeOf(t, folder)
}

// sheetRows are the rows of a sheet that stand below its headings, by heading.
func sheetRows(t *testing.T, path, sheet string) (rows []map[string]string) {
	t.Helper()
	book, err := excelize.OpenFile(path)
	require.NoError(t, err)
	defer func() { require.NoError(t, book.Close()) }()
	all, err := book.GetRows(sheet, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, cell := range cells {
			if i < len(all[0]) {
				row[all[0][i]] = cell
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// numberAfter is the number that follows words in a sentence, -1 where they do not stand there.
func numberAfter(t *testing.T, sentence, words string) int {
	t.Helper()
	return numberIn(t, sentence, regexp.QuoteMeta(words)+` ([\d\x{202F}]+)`)
}

func numberIn(t *testing.T, sentence, pattern string) int {
	t.Helper()
	found := regexp.MustCompile(pattern).FindStringSubmatch(sentence)
	if found == nil {
		return -1
	}
	n, err := strconv.Atoi(strings.ReplaceAll(found[1], "\u202F", ""))
	require.NoError(t, err)
	return n
}

// Every number of a sentence is that of the sheets, of scope.json and of the page.
func TestSentencesOfScenariosAgreeWithTheSheets(t *testing.T) {
	t.Parallel()
	folder, out := scopedDemo(t)
	book := filepath.Join(folder, "scope.xlsx")
	changes, stops, material := sheetRows(t, book, "Changes"), sheetRows(t, book, "What stops it"), sheetRows(t, book, "Material")
	page, err := os.ReadFile(filepath.Join(folder, "scope.html"))
	require.NoError(t, err)
	told := textOf(t, book, "Scenarios")
	var written []string
	for _, o := range out.Run.Outputs {
		written = append(written, o.File)
	}
	require.Equal(t, []string{"scope.xlsx", "scope.html", "scope.geojson"}, written, "what scope.json vouches for")
	compared := 0
	for _, s := range out.Scenarios {
		require.Len(t, s.InWords, 1, "the scenarios of the demo are about one line each")
		sentence := s.InWords[0]
		require.Contains(t, told, sentence)
		require.Contains(t, html.UnescapeString(string(page)), sentence)
		require.True(t, strings.HasPrefix(sentence, s.Name+": "), sentence)
		count := func(fits func(row map[string]string) bool) (n int) {
			for _, row := range changes {
				if row["Scenario"] == s.Name && fits(row) {
					n++
				}
			}
			return n
		}
		same := func(words string, fits func(row map[string]string) bool) {
			if n := count(fits); n > 0 {
				compared++
				require.Equal(t, n, numberAfter(t, sentence, words), "%s: %s", words, sentence)
			} else {
				require.NotContains(t, sentence, words)
			}
		}
		needs := func(words string) func(row map[string]string) bool {
			return func(row map[string]string) bool { return strings.Contains(row["What is needed"], words) }
		}
		require.Equal(t, count(func(row map[string]string) bool { return row["What is needed"] != "" }), numberIn(t, sentence, `: (\d+) of \d+ structures need work`))
		same("longer strings at", func(row map[string]string) bool {
			mm, _ := strconv.ParseFloat(strings.TrimPrefix(row["Longer by (mm)"], "at least "), 64)
			return mm > 0
		})
		same("another type of unit at", needs("(another unit)"))
		same("tension sets at", needs("(another duty)"))
		same("sound units for defective ones at", needs("(sound units for defective ones)"))
		same("a look first at what hangs at", needs("look "))
		stopped := map[string]map[string]bool{"limit": {}, "not known": {}}
		for _, row := range stops {
			if row["Scenario"] == s.Name {
				compared++
				require.Equal(t, row["Structures"], fmt.Sprint(numberAfter(t, sentence, strings.ReplaceAll(row["What stops it"], "-", " ")+" at")))
				for _, structure := range strings.Split(row["Which"], ", ") {
					stopped[row["Limit, or not known"]][structure] = true
				}
			}
		}
		for kind, words := range map[string]string{"limit": "no remedy serves", "not known": "it cannot be judged what serves"} {
			if n := len(stopped[kind]); n > 0 {
				require.Equal(t, n, numberAfter(t, sentence, words))
			}
		}
		units, sets := 0, 0
		for _, row := range material {
			if n, err := strconv.Atoi(row["To fit"]); err == nil && row["Scenario"] == s.Name {
				if row["Item"] == "unit" {
					units += n
				} else {
					sets += n
				}
			}
		}
		require.Equal(t, units, numberIn(t, sentence, `\(([\d\x{202F}]+) units? to fit`))
		require.Equal(t, sets, numberIn(t, sentence, `([\d\x{202F}]+) sets? to add`))
		lacking := 0
		for _, c := range s.Coverage {
			if c.Line == s.Lines[0] {
				lacking += c.Then.NotAssessed - c.Then.NotAsked
			}
		}
		require.Equal(t, lacking, numberIn(t, sentence, `([\d\x{202F}]+) verdicts could not be judged`))
		require.Equal(t, count(func(map[string]string) bool { return true }), strings.Count(sectionOf(t, string(page), s.Name), "<tr data-at="))
	}
	require.GreaterOrEqual(t, compared, 10)
}

// sectionOf is the part of the page that is about a scenario.
func sectionOf(t *testing.T, page, name string) string {
	t.Helper()
	for _, part := range strings.Split(page, `<section class="scenario"`)[1:] {
		if strings.Contains(html.UnescapeString(part), "<h2 dir=\"auto\">"+name+"</h2>") {
			return part
		}
	}
	t.Fatalf("the page has no scenario %q", name)
	return ""
}

func textOf(t *testing.T, path, sheet string) string {
	t.Helper()
	book, err := excelize.OpenFile(path)
	require.NoError(t, err)
	defer func() { require.NoError(t, book.Close()) }()
	rows, err := book.GetRows(sheet)
	require.NoError(t, err)
	var cells []string
	for _, row := range rows {
		cells = append(cells, row...)
	}
	return strings.Join(cells, "\n")
}
