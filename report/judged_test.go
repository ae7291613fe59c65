package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit/history"

	"github.com/stretchr/testify/require"
)

// The share that could be judged is one figure, cut to its tenth, wherever it stands.
func TestJudgedShareIsOneFigure(t *testing.T) {
	r := judged(t, demo(t))
	changes := history.Alone(r)
	shares := map[string]string{}
	log, err := csv.NewReader(strings.NewReader(logOf(t, "", r))).ReadAll()
	require.NoError(t, err)
	for _, row := range log[1:] {
		shares[row[1]] = row[10]
	}
	book := openBook(t, r, generous)
	at := slices.Index(cells(t, book, linesSheet)[0], "Judged (%)")
	require.Positive(t, at)
	for line, share := range shares {
		found := false
		for _, row := range cells(t, book, linesSheet)[1:] {
			if row[0] == line {
				found = true
				require.Equal(t, strings.TrimSuffix(share, ".0"), row[at], line)
			}
		}
		require.True(t, found, line)
	}

	var metrics bytes.Buffer
	require.NoError(t, writeMetrics(context.Background(), &metrics, r, &account{changes: changes}))
	tenths := int(10*r.AssessedPercent() + 0.5)
	require.NotZero(t, tenths%10, "a whole percent shows nothing")
	require.Contains(t, metrics.String(), fmt.Sprintf("} 0.%03d\n", tenths))
}

// What is not judged, what is not asked for and what is judged are the same counts in audit.json, on Lines and Coverage and on the page: the JSON has
// what is not asked for within what is not assessed, and sheets and page beside it.
func TestCountsOfVerdictsAgreeEverywhere(t *testing.T) {
	r := judged(t, demo(t))
	type counts struct {
		Meets       int `json:"meets"`
		FallsShort  int `json:"falls_short"`
		NotAssessed int `json:"not_assessed"`
		NotAsked    int `json:"not_asked"`
	}
	lacking := func(c counts) int { return c.NotAssessed - c.NotAsked }
	share := func(c counts) string {
		if c.Meets+c.FallsShort+lacking(c) == 0 {
			return ""
		}
		return strconv.FormatFloat(math.Floor(1000*float64(c.Meets+c.FallsShort)/float64(c.Meets+c.FallsShort+lacking(c)))/10, 'f', -1, 64)
	}
	var raw bytes.Buffer
	require.NoError(t, writeAudit(context.Background(), &raw, r, &account{}))
	var said struct {
		Lines []struct {
			Line     string
			Verdicts counts
		}
		Coverage []struct {
			Check string
			counts
		}
	}
	require.NoError(t, json.Unmarshal(raw.Bytes(), &said))
	book := openBook(t, r, generous)
	// onSheet are the figures of a row under headings.
	onSheet := func(sheet, name string, headings ...string) (figures []string) {
		rows := cells(t, book, sheet)
		for _, row := range rows[1:] {
			if row[0] != name {
				continue
			}
			for _, heading := range headings {
				at := slices.Index(rows[0], heading)
				require.GreaterOrEqual(t, at, 0, heading)
				figures = append(figures, append(row, make([]string, len(rows[0]))...)[at]) // blank cells at the end of a row are not there
			}
			return figures
		}
		t.Fatal(sheet, " has no row of ", name)
		return nil
	}
	texts := func(c counts) []string {
		return []string{strconv.Itoa(c.Meets), strconv.Itoa(c.FallsShort), strconv.Itoa(lacking(c)), strconv.Itoa(c.NotAsked), share(c)}
	}
	var ofLines, ofChecks counts
	add := func(sum *counts, c counts) {
		sum.Meets, sum.FallsShort, sum.NotAssessed, sum.NotAsked = sum.Meets+c.Meets, sum.FallsShort+c.FallsShort, sum.NotAssessed+c.NotAssessed, sum.NotAsked+c.NotAsked
	}
	require.Len(t, said.Lines, len(r.Lines))
	for _, l := range said.Lines {
		require.Equal(t, texts(l.Verdicts), onSheet(linesSheet, l.Line, "Verdicts: meets", "Verdicts: falls short", "Verdicts: not assessed", "Verdicts: not asked for", "Judged (%)"), l.Line)
		add(&ofLines, l.Verdicts)
	}
	page := pageOf(t, r)
	require.Len(t, said.Coverage, len(r.Checks))
	for _, c := range said.Coverage {
		require.Equal(t, texts(c.counts), onSheet(coverageSheet, c.Check, "Meets", "Falls short", "Not assessed", "Not asked for", "Judged (%)"), c.Check)
		add(&ofChecks, c.counts)
		row := regexp.MustCompile(`<span class="soft code">` + c.Check + `</span></th><td class="number">([^<]*)</td><td class="number">([^<]*)</td><td class="number">([^<]*)</td>`).FindStringSubmatch(page)
		if share(c.counts) == "" {
			require.Nil(t, row, c.Check)
			continue
		}
		require.Equal(t, []string{grouped(c.Meets), grouped(c.FallsShort), grouped(lacking(c.counts))}, row[1:], c.Check)
	}
	require.Equal(t, ofLines, ofChecks)
	require.Positive(t, ofLines.NotAsked)
	require.Positive(t, lacking(ofLines))
	require.Contains(t, page, "Not judged: "+counted(lacking(ofLines), "verdict", "verdicts")+", for ")
}
